"""Places that are named on the command line: rail, wall, station."""

from __future__ import annotations

import re

import click

from ladderfe.advice.places import ALL
from ladderfe.chassis import Chassis, Side
from ladderfe.chassis.faults import WALL_ALIKE, closest
from ladderfe.condition.measures import station_of
from ladderfe.condition.rails import rail_of, wall_names
from ladderfe.units import UnitError

__all__ = ["Named", "named_place"]

#: Rail, wall (or `ALL`), station in mm.
Named = tuple[Side, str, float]
SIDES: dict[str, Side] = {"left": "left", "right": "right"}
#: "left bottom 1180", and as pages write it: "left rail, bottom at 1180 mm", "left rail, all walls at 1180 mm".
WORDS = re.compile(
    r"(\S+?)(?:\s+rail)?\s*[\s,]\s*(all\s+walls|\S+?)(?:\s*,\s*|\s+)(?:at\s+)?(\S.*)", re.IGNORECASE
)


def named_place(chassis: Chassis, words: str, *, one: bool = False) -> Named:
    """Of "left bottom 1180" the rail, one of its walls there or "all" (unless `one`), and the station; commas and the
    words that pages put between them may stand there too.

    UsageError that tells all that is wrong, what is allowed, and the nearest word.
    """
    match = WORDS.fullmatch(words.strip())
    if match is None:
        raise click.UsageError(f"{words!r} names no place: give {_wanted(chassis, one)}.")
    side, wall = SIDES.get(match[1].lower()), match[2].lower()
    wall = "all" if wall.split() == ALL.split() else wall
    problems = [] if side else [f"there is no rail {match[1]!r}.{_near(match[1], list(SIDES))}"]
    station, why = _station(chassis, side, match[3])
    problems += [why] if why else []
    problems += _no_wall(chassis, (side, wall, None if why else station), one)
    if problems or side is None:
        told = [problems[0], *(p[0].upper() + p[1:] for p in problems[1:])]
        raise click.UsageError(f"{words!r}: {' '.join(told)}")
    return side, ALL if wall == "all" else wall, station


def _wanted(chassis: Chassis, one: bool) -> str:
    """What a place is made of, with the words of this chassis and an example that it has."""
    rail = rail_of(chassis, "left")
    middle = round((rail.start + rail.end) / 2, -1)
    walls = wall_names(chassis, "left", middle)
    wall = next((w for w in ("bottom", *walls) if w in walls), "bottom")
    more = "" if one else ", or all for all of them"
    return (
        f"rail (left or right), wall (such as {', '.join(walls)}{more}) and station in mm (from {rail.start:g} to "
        f'{rail.end:g}), as in "left {wall} {middle:.0f}"'
    )


def _station(chassis: Chassis, side: Side | None, words: str) -> tuple[float, str]:
    """The station, and what is wrong with it."""
    try:
        station = station_of(words)
    except UnitError as error:
        return 0.0, f"the station {words!r} {str(error).rstrip('.')}."
    rails = chassis.rails if side is None else (rail_of(chassis, side),)
    if any(r.start <= station <= r.end for r in rails):
        return station, ""
    rail = rails[0]
    name = rail.name if side else "rails"
    verb = ("has", "it runs") if side else ("have", "they run")
    return station, f"the {name} {verb[0]} no station {station:g} mm; {verb[1]} from {rail.start:g} to {rail.end:g} mm."


def _no_wall(chassis: Chassis, named: tuple[Side | None, str, float | None], one: bool) -> list[str]:
    side, wall, station = named
    walls = wall_names(chassis, side, station)
    if wall in walls or (wall == "all" and not one):
        return []
    known = walls if one else [*walls, "all"]
    where = f"the {side} rail has" if side else "the rails have"
    return [f"{where} no wall {wall!r}{'' if station is None else ' there'}.{_near(wall, known, WALL_ALIKE)}"]


def _near(word: str, known: list[str], alike: float = 0.5) -> str:
    near = closest(word, known, alike)
    return f" Did you mean {near}?" if near else f" Known: {', '.join(known)}."
