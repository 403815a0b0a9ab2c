"""`ladderfe twist`: how stiff the frame is in twist, what the road can ask of it, what the springs let through."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ladderfe.checks.twist import BUMP, HEIGHT, TwistFindings, check_twist
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, files_read, finite, progress, read
from ladderfe.condition import Found
from ladderfe.report.twist_text import twist_text
from ladderfe.units import LENGTH, UnitError, parse

__all__ = ["command"]

#: Beyond this a height over a track is no angle any more, mm.
MOST = 1000.0
#: A plain number below this may have been meant in metres, mm.
LEAST = 3.0


class Length(click.FloatRange):
    """A length in mm, or with its unit as in a chassis file: 200, "200 mm", "8 in"."""

    name = "length"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        try:
            number = parse(LENGTH, value) if isinstance(value, str) and value[-1:].isalpha() else value
        except UnitError as error:
            if value in ("nan", "inf"):
                number = float(value)
            else:
                self.fail(str(error).removesuffix("."), param, ctx)
        found = float(super().convert(number, param, ctx))
        if 0 < found < LEAST and number is value:
            self.fail(f"{found:g} mm? Write the unit with it: {found:g}m, or {found:g}mm if it is meant.", param, ctx)
        return found


@click.command("twist", short_help="Torsional stiffness, limit couple, raised wheels, what each crossmember does.")
@chassis_argument
@click.option(
    "--height",
    type=Length(min=0, max=MOST, min_open=True),
    default=HEIGHT,
    show_default=True,
    callback=finite,
    metavar="MM",
    help='How far wheels are raised: mm, or with its unit as in "8 in".',
)
@click.option(
    "--factor",
    type=click.FloatRange(min=0, min_open=True),
    default=BUMP,
    show_default=True,
    callback=finite,
    metavar="F",
    help="Factor of the one wheel bump on the limit couple: 1.3 on roads, to 1.8 on rough ground.",
)
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for results: page, JSON, diagrams (SVG and PNG).")
@click.option("--overwrite", is_flag=True, help="Replace earlier results of the same names.")
@readings_options
def command(
    file: Path, height: float, factor: float, as_json: bool, out: Path | None, overwrite: bool, asked: Asked
) -> int:
    r"""Twist the frame of CHASSIS.toml: bare between its axles, and on its springs with wheels raised.

    \b
    Examples:
      ladderfe twist models/short-4x4.toml
      ladderfe twist my-chassis.toml --height 350 --factor 1.8
      ladderfe twist my-chassis.toml --out results
    """  # fmt: skip
    chassis = read(file)
    found = asked.found(chassis)
    if out is not None:
        from ladderfe.report.twist_results import may_write_twist

        may_write_twist(out, overwrite=overwrite, inputs=[*files_read(file), *asked.files()])
    t = check_twist(chassis if found is None else found.chassis, height=height, factor=factor, progress=progress())
    if as_json:
        from ladderfe.report.twist_data import twist_json

        click.echo(twist_json(t, str(file), found))
    else:
        click.echo(twist_text(t, str(file), found))
    if not t.proven:
        return SHORT
    if out is not None:
        _write(t, file, out, overwrite, quiet=as_json, found=found)
    return EXCEEDED if t.exceeded else 0


def _write(t: TwistFindings, file: Path, out: Path, overwrite: bool, *, quiet: bool, found: Found | None) -> None:
    from ladderfe.report.twist_results import write_twist

    progress()("writing result files and diagrams")
    for line in write_twist(t, str(file), out, overwrite=overwrite, found=found):
        click.echo(line, err=quiet)
