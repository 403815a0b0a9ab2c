"""`ladderfe stands`: what stands carry, and what the frame does when a rail is cut."""

from __future__ import annotations

from pathlib import Path

import click

from ladderfe.advice.stands import stands
from ladderfe.chassis import Chassis, Mount, Side
from ladderfe.chassis.faults import closest
from ladderfe.checks.cut_faces import Cut
from ladderfe.checks.stands import rail_stand
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, files_read, progress, read
from ladderfe.condition.measures import station_of
from ladderfe.condition.rails import rail_of
from ladderfe.report.stands_text import stands_text
from ladderfe.units import UnitError

__all__ = ["command"]

SIDES: dict[str, Side] = {"left": "left", "right": "right"}


@click.command("stands", short_help="What stands carry, what a cut through a rail sets free and moves, where to prop.")
@chassis_argument
@click.option(
    "--cut", "cuts", multiple=True, metavar="PLACE", help='Cut right through a rail, "left 2300"; repeatable.'
)
@click.option(
    "--at", "places", multiple=True, metavar="PLACE",
    help='A stand under a rail, "left 600", or under a mount by its name; repeatable [default: those of the chassis '
    "file, else the four that come out best].",
)  # fmt: skip
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
@click.option("--out", type=click.Path(path_type=Path), help="Folder for results: page, JSON, tables (CSV).")
@click.option("--overwrite", is_flag=True, help="Replace earlier results of the same names.")
@readings_options
def command(
    file: Path, cuts: tuple[str, ...], places: tuple[str, ...], as_json: bool, out: Path | None, overwrite: bool,
    asked: Asked,
) -> int:  # fmt: skip
    r"""Set the vehicle of CHASSIS.toml on stands, axles hanging, and cut its rails: loads, gaps, brace forces, props.

    The exit status is 1 where a stress is over its limit, a stand asks more of its web than that bears or stands too
    near a cut, a hole or a doubtful place, or the cut frame falls apart or off its stands.

    \b
    Examples:
      ladderfe stands models/short-4x4.toml
      ladderfe stands my-chassis.toml --cut "left 2300"
      ladderfe stands my-chassis.toml --cut "left 2300" --readings my-readings.csv
      ladderfe stands my-chassis.toml --at "front jack pad" --at "rear jack pad"
      ladderfe stands my-chassis.toml --cut "left 2300" --out results
    """  # fmt: skip
    chassis = read(file)
    if out is not None:
        from ladderfe.report.stands_results import may_write_stands

        may_write_stands(out, overwrite=overwrite, inputs=[*files_read(file), *asked.files()])
    opened = [Cut(*_place(chassis, "--cut", words, inside=True)) for words in cuts]
    at = [m for words in places for m in _stand(chassis, words)]
    progress()("solving the frame on its stands, whole and cut")
    s = stands(chassis, opened, at, asked.found(chassis))
    if as_json:
        from ladderfe.report.stands_data import stands_json

        click.echo(stands_json(s, str(file)))
    else:
        click.echo(stands_text(s, str(file)))
    if not s.proven:
        return SHORT
    if out is not None:
        from ladderfe.report.stands_results import write_stands

        for line in write_stands(s, str(file), out, overwrite=overwrite):
            click.echo(line, err=as_json)
    return EXCEEDED if s.exceeded else 0


def _stand(chassis: Chassis, words: str) -> list[Mount]:
    """The mounts of that name, both of a pair, or a new place under a rail."""
    name = " ".join(words.split())
    named = [m for m in chassis.mounts if m.name in (name, f"{name} left", f"{name} right") and not m.spread]
    return named or [rail_stand(chassis, *_place(chassis, "--at", name, mounts=True))]


def _place(
    chassis: Chassis, option: str, words: str, *, inside: bool = False, mounts: bool = False
) -> tuple[Side, float]:
    """Rail and station of "left 2300" or "left rail at 2300 mm"; UsageError where it is none.  inside: not at the very
    ends."""
    first, _, rest = words.strip().partition(" ")
    side = SIDES.get(first.lower())
    rest = rest.strip().removeprefix("rail").strip().removeprefix("at ").strip()
    names = [m.name for m in chassis.mounts if not m.spread] if mounts else []
    if side is None or not rest:
        near = closest(words, [*names, *SIDES], 0.5)
        hint = f' Did you mean "{near}"?' if near in names else ""
        or_mount = " or the name of a mount" if names else ""
        raise click.UsageError(
            f'{option} {words!r} names no place: write rail (left or right) and station in mm, as in {option} "left '
            f'{_middle(chassis):.0f}"{or_mount}.{hint}'
        )
    try:
        station = station_of(rest)
    except UnitError as error:
        raise click.UsageError(f"{option} {words!r}: the station {str(error)[:1].lower()}{str(error)[1:]}") from None
    rail = rail_of(chassis, side)
    off = 1.0 if inside else 0.0
    if not rail.start + off <= station <= rail.end - off:
        lacks = "metal on both sides of" if inside else "station"
        raise click.UsageError(
            f"{option} {words!r}: the {rail.name} has no {lacks} {station:g} mm; it runs from {rail.start:g} "
            f"to {rail.end:g} mm."
        )
    return side, station


def _middle(chassis: Chassis) -> float:
    rail = chassis.rails[0]
    return round((rail.start + rail.end) / 2, -1)
