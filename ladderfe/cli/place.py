"""Places that are named on the command line: rail, wall, station."""

from __future__ import annotations

from difflib import get_close_matches

import click

from ladderfe.advice.places import ALL
from ladderfe.chassis import Chassis, Side
from ladderfe.condition import walls_at
from ladderfe.condition.measures import station_of
from ladderfe.condition.rails import rail_of
from ladderfe.units import UnitError

__all__ = ["Named", "named_place"]

#: Rail, wall (or `ALL`), station in mm.
Named = tuple[Side, str, float]
SIDES: dict[str, Side] = {"left": "left", "right": "right"}


def named_place(chassis: Chassis, words: str, *, one: bool = False) -> Named:
    """Of "left bottom 1180" the rail, one of its walls there or "all" (unless `one`), and the station.

    UsageError that tells what is wrong, what is allowed, and the nearest word.
    """
    side_word, wall, station_words = (*words.split(maxsplit=2), "", "", "")[:3]
    if not station_words:
        raise click.UsageError(f'{words!r} names no place: give rail, wall and station, such as "left bottom 1180".')
    side = SIDES.get(side_word.lower())
    if side is None:
        raise click.UsageError(f"{words!r}: there is no rail {side_word!r}.{_near(side_word, list(SIDES))}")
    try:
        station = station_of(station_words)
    except UnitError as error:
        raise click.UsageError(f"{words!r}: the station {station_words!r} {error}.") from None
    rail = rail_of(chassis, side)
    if not rail.start <= station <= rail.end:
        raise click.UsageError(
            f"{words!r}: the {rail.name} has no station {station:g} mm; it runs from {rail.start:g} to {rail.end:g} mm."
        )
    return side, _wall(chassis, words, (side, wall.lower(), station), one), station


def _wall(chassis: Chassis, words: str, named: Named, one: bool) -> str:
    side, wall, station = named
    walls = list(walls_at(rail_of(chassis, side), station))
    if wall == "all" and not one:
        return ALL
    if wall not in walls:
        known = walls if one else [*walls, "all"]
        raise click.UsageError(f"{words!r}: the {side} rail has no wall {wall!r} there.{_near(wall, known)}")
    return wall


def _near(word: str, known: list[str]) -> str:
    near = get_close_matches(word.lower(), known, n=1, cutoff=0.5)
    return f" Did you mean {near[0]}?" if near else f" Known: {', '.join(known)}."
