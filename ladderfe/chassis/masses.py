"""Masses of a chassis file: what hangs on which mounts, and where it has its centre."""

from __future__ import annotations

from math import isnan, nan
from typing import Any, Final

from ladderfe.chassis.assumed import Assumed, Guess
from ladderfe.chassis.contents import given_one, read_weight
from ladderfe.chassis.drafts import Rails
from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.mount_names import MountNames
from ladderfe.chassis.schema import MASS_ONE_OF
from ladderfe.chassis.spread import spread_mounts
from ladderfe.chassis.types import Mass, Mount
from ladderfe.units import tonnes

__all__ = ["read_masses"]

#: A mass with its centre this far off the frame is a slip, mm.
FAR: Final = 2000.0


def read_masses(
    faults: Faults, tables: list[Any], names: MountNames, rails: Rails, assumed: Assumed
) -> tuple[list[Mass], list[Mount]]:
    """All masses, and the places that carry those which are spread along the rails; faults are noted."""
    masses: list[Mass] = []
    along: list[Mount] = []
    for i, t in enumerate(tables):
        path: Path = ("masses", i)
        weight = read_weight(faults, path, t, assumed)
        given_one(faults, path, t, MASS_ONE_OF[1])
        if t.spread is not None:
            carriers = spread_mounts(faults, (*path, "spread"), t.name, t.spread, rails)
            _distinct(faults, path, carriers, names)
            along += carriers
        else:
            carriers = _carriers(faults, path, t.on, names)
        _far_off(faults, path, t, rails)
        masses.append(
            Mass(
                name=t.name,
                mass=tonnes(weight.mass),
                centre=_centre(t, carriers, assumed),
                mounts=tuple(m.name for m in carriers),
                aboard=t.aboard,
                people=weight.people,
                litres=weight.litres,
                fluid=weight.fluid,
                spread=None if t.spread is None else (t.spread.start, t.spread.end),
            )
        )
    return masses, along


def _distinct(faults: Faults, path: Path, places: list[Mount], names: MountNames) -> None:
    """Note where a mount has the name of one of the places that carry a spread mass."""
    if taken := next((m.name for m in places if m.name in names.mounts), None):
        rule = f'names the places that carry it, and one of them is called "{taken}" as a mount is'
        faults.add((*path, "name"), rule, "Give the mass or the mount another name")


def _carriers(faults: Faults, path: Path, on: list[str] | None, names: MountNames) -> list[Mount]:
    """The mounts that a mass names; faults are noted."""
    if on is None:
        return []
    if not on:
        hint = "Name the mounts that carry it, from the [[mounts]] of this file"
        faults.add((*path, "on"), "names no mount", hint)
    names.check_all(faults, (*path, "on"), on)
    carriers = [names.mounts[n] for n in names.all(on)]
    _all_or_none(faults, path, carriers)
    return carriers


def _all_or_none(faults: Faults, path: Path, carriers: list[Mount]) -> None:
    """Note where only some of the mounts of a mass have a rate."""
    without = [f'"{m.name}"' for m in carriers if m.rates is None]
    faulty = any(p[0] == "mounts" and p[-1] == "rate" for p in faults.spared)
    if faulty or len(without) in (0, len(carriers)):
        return
    rule = f"names mounts with a rate and others without: {listed(without, 'and')}"
    faults.add((*path, "on"), rule, "Give all mounts of a mass their rate, or none of them")


def _far_off(faults: Faults, path: Path, table: Any, rails: Rails) -> None:
    """Note a centre so far from the frame that its place is a slip."""
    station, y = (getattr(table.at, key, None) for key in ("station", "y"))
    first, last = min(r.start for r in rails), max(r.end for r in rails)
    if station is not None and (station < first - FAR or station > last + FAR):
        rule = f"is more than {FAR:g} mm off the rails, which reach from {first:g} to {last:g} mm"
        faults.add((*path, "at", "station"), rule, "Measure it from the same datum as the rails' stations")
    if y is not None and abs(y) > FAR:
        faults.add(
            (*path, "at", "y"), f"is more than {FAR:g} mm from the centre line", "Measure y from the centre line"
        )


def _centre(table: Any, mounts: list[Mount], assumed: Assumed) -> tuple[float, float, float]:
    """A mass's own centre; where it is not given, the middle of its mounts.  A spread mass lies evenly then, so that
    nothing is assumed."""
    out = []
    for key in ("station", "y", "height"):
        stated = getattr(table.at, key, None)
        values = [getattr(m, key) for m in mounts] or [nan]
        low, high = min(values), max(values)
        middle = sum(values) / len(values)
        if stated is None and table.spread is None and key != "height" and high - low > 1 and not isnan(middle):
            what = "station" if key == "station" else "distance from the centre line"
            stated = assumed.take(
                f"masses.{table.name}.{key}",
                None,
                Guess(
                    f"{what} of the centre of {table.name}: in the middle of its mounts",
                    low,
                    middle,
                    high,
                    "mm",
                    "its mounts' places",
                ),
            )
        out.append(middle if stated is None else stated)
    return out[0], out[1], out[2]
