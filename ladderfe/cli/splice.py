"""`ladderfe splice`: where the rails may be cut and spliced, and the price of a chosen place."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.advice import splice
from ladderfe.advice.splice import At
from ladderfe.checks import check
from ladderfe.checks.cycles import TWIST_SHARE
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, finite, progress, read
from ladderfe.condition.measures import station_of
from ladderfe.report.splice_text import splice_text
from ladderfe.units import UnitError

__all__ = ["command", "place_of"]

SIDES = ("left", "right")


def place_of(text: str) -> At:
    """Side and station of a place as typed, "left 1850" or "right 1.85 m"; UsageError where it is none."""
    side, _, rest = text.strip().partition(" ")
    if side.lower() not in SIDES or not rest.strip():
        raise click.UsageError(f'--at {text!r} names no place: write rail and station in mm, as in --at "left 1850".')
    try:
        return ("left" if side.lower() == "left" else "right"), station_of(rest.strip())
    except UnitError as error:
        raise click.UsageError(f"--at {text!r}: the station {str(error)[:1].lower()}{str(error)[1:]}") from None


@click.command("splice", short_help="Where a rail may be cut and spliced; what a poor place costs.")
@chassis_argument
@click.option(
    "--at", "places", multiple=True, metavar="PLACE", help='Price of a chosen place, "left 1850"; repeatable.'
)
@click.option(
    "--twist-share",
    type=click.FloatRange(min=0, max=100, min_open=True, max_open=True),
    default=100 * TWIST_SHARE,
    show_default=True,
    callback=finite,
    metavar="PERCENT",
    help="Share of twists among all stress cycles, where the file has no [[cycles]].",
)
@click.option("--every-case", is_flag=True, help="Show contraflexure of all cases.")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@readings_options
def command(
    file: Path, places: tuple[str, ...], twist_share: float, every_case: bool, as_json: bool, asked: Asked
) -> int:
    r"""Rank the windows of both rails of CHASSIS.toml in which a joint may lie, and find the best staggered pair.

    \b
    Examples:
      ladderfe splice models/short-4x4.toml
      ladderfe splice my-chassis.toml --at "left 1850"
      ladderfe splice my-chassis.toml --readings my-readings.csv
    """  # fmt: skip
    at = [place_of(p) for p in places]
    chassis = read(file)
    found = asked.found(chassis)
    findings = check(chassis if found is None else found.chassis, assumptions=False, progress=progress())
    s = splice(chassis, findings, found=found, at=at, twist_share=twist_share / 100)
    if as_json:
        from ladderfe.report.splice_data import splice_json

        click.echo(splice_json(s, str(file)))
    else:
        click.echo(splice_text(s, str(file), every_case))
    if not findings.proven:
        return SHORT
    return EXCEEDED if s.exceeded else 0
