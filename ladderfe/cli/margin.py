"""`ladderfe margin`: how thin walls may get, and how long a hole may be."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import click

from ladderfe.advice.hole_length import HoleCurve, HolePlace, HoleRow, hole_curve, hole_places
from ladderfe.advice.margin import Margin, Margins, Tell, case_margins, margins
from ladderfe.advice.margin_governs import PlaceGoverns, governs
from ladderfe.advice.places import (
    Place,
    asked_place,
    grid_cuts,
    grid_places,
    places_of,
    reach_of,
)
from ladderfe.advice.together import answer_states
from ladderfe.chassis import Chassis, Side
from ladderfe.checks import check
from ladderfe.cli.main import EXCEEDED, SHORT
from ladderfe.cli.place import Named, named_place
from ladderfe.cli.progress import Progress
from ladderfe.cli.readings import Asked, readings_options
from ladderfe.cli.shared import chassis_argument, progress, read
from ladderfe.condition import Found, as_found
from ladderfe.condition.rails import rail_of
from ladderfe.report.findings_text import findings_text
from ladderfe.report.margin_text import margin_text

__all__ = ["command"]

#: Share of the time that limits take; the rest is what governs there.
SEARCH = 0.88
NARROWER = "; --case NAME or --place PLACE makes it shorter"


@click.command("margin", short_help="How thin walls may get before a limit is reached; how long a hole may be.")
@chassis_argument
@readings_options
@click.option(
    "--place", "places", multiple=True, metavar="PLACE", help='One place only, "left bottom 1180"; repeatable.'
)
@click.option(
    "--hole", "holes", multiple=True, metavar="PLACE",
    help='Utilisation against hole length there, "left bottom 1180", with readings or without; repeatable.',
)
@click.option("--case", "case", default="", metavar="NAME", help="One case of the chassis instead of all.")
@click.option("--every-case", is_flag=True, help="Also case by case, for places named with --place.")
@click.option("--json", "as_json", is_flag=True, help="Print everything as one JSON document instead of the page.")
def command(
    file: Path,
    places: tuple[str, ...],
    holes: tuple[str, ...],
    case: str,
    every_case: bool,
    as_json: bool,
    asked: Asked,
) -> int:
    r"""Find the thickness at which each wall that was read reaches its limit, all others as found.

    Without --readings all walls count as built, and places lie on a grid.  A place is named by rail, wall and station
    in mm, "left bottom 1180", or as pages write it; "all" for the wall stands for all walls alike, not for a hole.

    All places in all cases take minutes, and one hard case makes most of them "over": name a case by --case or a place
    by --place for less.  How much is done and about how long the rest takes is told meanwhile.

    \b
    Examples:
      ladderfe margin my-chassis.toml --readings readings.csv
      ladderfe margin my-chassis.toml --place "left bottom 1180" --every-case
      ladderfe margin my-chassis.toml --hole "left bottom 1180" --case static
    """
    if every_case and not places:
        raise click.UsageError('--every-case goes with --place, such as --place "left bottom 1180".')
    chassis, tell = read(file), progress()
    named, holed = [named_place(chassis, p) for p in places], [named_place(chassis, h, one=True) for h in holes]
    found, wanted = _wanted(chassis, asked, named, only_holes=bool(holes) and not places)
    findings = check(found.chassis, assumptions=False, progress=tell)
    if not findings.proven:
        click.echo(findings_text(findings, str(file)))
        return SHORT
    answer = partial(answer_states, taper_steps=findings.taper_steps)
    asked_for = f"{len(wanted)} places, {case or f'all {len(found.chassis.cases)} cases'}"
    tell(f"limits of {asked_for}" + ("" if case or places else NARROWER))
    made = margins(found, wanted, cases=[case] if case else (), answer=answer, progress=_part(tell, 0, SEARCH))
    by_case = [(p, case_margins(found, p, made.cases, answer=answer)) for p in wanted if every_case]
    curves = [_curve(chassis, asked, h, case, findings.taper_steps, tell) for h in holed]
    by = governs(made, taper_steps=findings.taper_steps, progress=_part(tell, SEARCH, 1))
    _show(made, str(file), by_case, curves, by, as_json=as_json)
    return EXCEEDED if made.worst else 0


def _part(tell: Progress, first: float, last: float) -> Tell:
    """Tells of a part of the work, from `first` to `last` of the whole."""

    def told(words: str, share: float | None = None) -> None:
        tell(words, None if share is None else first + (last - first) * share)

    return told


def _wanted(chassis: Chassis, asked: Asked, named: list[Named], *, only_holes: bool) -> tuple[Found, tuple[Place, ...]]:
    """The chassis as found, cut where places need it, and the places."""
    readings = asked.read(chassis)
    make = partial(as_found, chassis, readings, asked.options)
    if named:
        cuts = [v for side, _, station in named for v in _reach(chassis, asked, side, station)]
        found = make(cuts=cuts)
        reach = asked.options.reach
        return found, tuple(dict.fromkeys(asked_place(found, *n, reach) for n in named))
    if only_holes:
        return make(), ()
    if readings.readings:
        return (found := make()), places_of(found)
    return (found := make(cuts=grid_cuts(chassis))), grid_places(found)


def _reach(chassis: Chassis, asked: Asked, side: Side, station: float) -> tuple[float, float]:
    return reach_of(rail_of(chassis, side), station, asked.options.reach)


def _curve(
    chassis: Chassis, asked: Asked, named: Named, case: str, taper_steps: int, tell: Progress
) -> tuple[HoleCurve, tuple[HoleRow, ...]]:
    side, wall, station = named
    place = HolePlace(
        chassis=chassis, readings=asked.read(chassis), options=asked.options, side=side, wall=wall, station=station,
        taper_steps=taper_steps,
    )  # fmt: skip
    return hole_curve(place, case=case, progress=tell), hole_places(place, case=case, progress=tell)


def _show(
    made: Margins, source: str, by_case: list[tuple[Place, tuple[Margin, ...]]],
    curves: list[tuple[HoleCurve, tuple[HoleRow, ...]]], by: dict[Place, PlaceGoverns], *, as_json: bool,
) -> None:  # fmt: skip
    if as_json:
        from ladderfe.report.margin_data import margin_json

        click.echo(margin_json(made, source, by_case, curves, by))
        return
    from ladderfe.report.hole_text import hole_text

    holes = [line for c, rows in curves for line in hole_text(c, rows)]
    click.echo(margin_text(made, source, by_case, holes, by))
