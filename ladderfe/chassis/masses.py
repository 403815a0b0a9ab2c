"""Masses of a chassis file: what hangs on which mounts, and where it has its centre."""

from __future__ import annotations

from math import isnan, nan
from typing import Any, Final

from ladderfe.chassis.assumed import Assumed, Guess
from ladderfe.chassis.drafts import Rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Mass, Mount
from ladderfe.units import tonnes

__all__ = ["read_masses"]

#: A mass with its centre this far off the frame is a slip, mm.
FAR: Final = 2000.0


def read_masses(faults: Faults, file: Any, mounts: list[Mount], rails: Rails, assumed: Assumed) -> list[Mass]:
    """All masses; the name of a mount on both sides stands for its two; faults are noted."""
    tables, mount_tables = file.masses or [], file.mounts or []
    by_name = {m.name: m for m in mounts}
    pairs = {t.name: (f"{t.name} left", f"{t.name} right") for t in mount_tables if t.name not in by_name}
    out: list[Mass] = []
    for i, t in enumerate(tables):
        path: Path = ("masses", i)
        if not t.on:
            faults.add(
                (*path, "on"), "names no mount", "Name the mounts that carry it, from the [[mounts]] of this file"
            )
        names: list[str] = []
        for k, name in enumerate(t.on):
            place = (*path, "on", k) if isinstance(faults.at((*path, "on")), list) else (*path, "on")
            found = [n for n in ((name,) if name in by_name else pairs.get(name, ())) if n in by_name]
            if not found and name and name not in pairs and not faults.nameless("mounts"):
                faults.unknown(place, name, [m.name for m in mount_tables if m.name], "no mount has this name")
            if any(n in names for n in found):
                faults.add(place, "is named twice for this mass", "Name each mount once", value=f'"{name}"')
            names += [n for n in found if n not in names]
        _far_off(faults, path, t, rails)
        carriers = [by_name[n] for n in names]
        out.append(
            Mass(
                name=t.name,
                mass=tonnes(t.mass),
                centre=_centre(t, carriers, assumed),
                mounts=tuple(names),
                aboard=t.aboard,
            )
        )
    return out


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
    """A mass's own centre; where it is not given, the middle of its mounts."""
    out = []
    for key in ("station", "y", "height"):
        stated = getattr(table.at, key, None)
        values = [getattr(m, key) for m in mounts] or [nan]
        low, high = min(values), max(values)
        middle = sum(values) / len(values)
        if stated is None and key != "height" and high - low > 1 and not isnan(middle):
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
