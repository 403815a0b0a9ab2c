"""How listed masses hang on the frame: those on mounts with rates, and those spread along the rails."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import mount_wrenches
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Chassis, Mass, Mount
from ladderfe.report.table import number, paragraph, table

__all__ = ["MOUNT_COLUMNS", "listed_words", "masses_text", "mount_rows"]

Array = NDArray[np.float64]
MOUNT_COLUMNS = (
    "mass", "mount", "part", "x mm", "y mm", "z mm", "rate along N/mm", "rate sideways N/mm", "rate N/mm",
    "load down at 1 g N",
)  # fmt: skip
#: Fewer than this part of a mass's weight is rounding.
NOTHING = 1e-9


def listed_words(mass: Mass) -> str:
    """A listed mass in words: "occupants 300 kg (4 people; added after weighing)"."""
    told = []
    if mass.people:
        told.append(f"{mass.people} {'person' if mass.people == 1 else 'people'}")
    if mass.litres:
        told.append(f"{mass.litres:g} l of {mass.fluid}")
    if mass.spread:
        told.append(f"spread from {mass.spread[0]:g} to {mass.spread[1]:g} mm")
    if not mass.aboard:
        told.append("added after weighing")
    return f"{mass.name} {1000 * mass.mass:.0f} kg" + (f" ({'; '.join(told)})" if told else "")


def mount_rows(chassis: Chassis) -> list[tuple[object, ...]]:
    """A row of MOUNT_COLUMNS for every mount of every listed mass; what a mount does not have is None."""
    rows: list[tuple[object, ...]] = []
    for mass in chassis.masses:
        mounts = _mounts(chassis, mass)
        for m, load in zip(mounts, _weight_on(mass, mounts), strict=True):
            rates = m.rates or (None, None, None)
            rows.append((mass.name, m.name, m.part, m.station, m.y, m.height, *rates, float(load)))
    return rows


def masses_text(chassis: Chassis) -> list[str]:
    """Tables of masses on mounts with rates and of spread masses; nothing where there are none."""
    return [*_on_rates(chassis), *_spread(chassis)]


def _mounts(chassis: Chassis, mass: Mass) -> tuple[Mount, ...]:
    by_name = {m.name: m for m in chassis.mounts}
    return tuple(by_name[n] for n in mass.mounts)


def _weight_on(mass: Mass, mounts: tuple[Mount, ...]) -> Array:
    """(n,) N down on its mounts by a mass that stands at 1 g; 0 where it is nothing beside its weight."""
    weight = mass.mass * GRAVITY
    down = weight * mount_wrenches(mass, mounts)[:, 2, 2]
    return np.where(np.abs(down) > NOTHING * weight, down, 0.0)


def _on_rates(chassis: Chassis) -> list[str]:
    """Masses that hang on the same mounts are told together."""
    alike: dict[tuple[str, ...], list[Mass]] = {}
    for mass in chassis.masses:
        if all(m.rates for m in _mounts(chassis, mass)):
            alike.setdefault(mass.mounts, []).append(mass)
    if not alike:
        return []
    rows = []
    for masses in alike.values():
        mounts = _mounts(chassis, masses[0])
        load = sum((_weight_on(m, mounts) for m in masses), np.zeros(len(mounts)))
        names = ", ".join(m.name for m in masses)
        for k, m in enumerate(mounts):
            rows.append(["" if k else names, m.name, *map(number, m.rates or ()), f"{load[k] / 1000:.2f}"])
    words = (
        "Masses on mounts with a rate are rigid bodies on springs. What each mount bears of them, standing at 1 g with "
        "all that is listed (negative: it is pulled up):"
    )
    head = ["masses", "mount", "N/mm along", "sideways", "upright", "kN"]
    return ["", *paragraph(words), *table(head, rows, "wwrrrr")]


def _spread(chassis: Chassis) -> list[str]:
    """Spread masses as the line loads that they are: kg/m at both ends of each rail's stretch."""
    rows = []
    for mass in chassis.masses:
        if mass.spread is None:
            continue
        (start, end), mounts = mass.spread, _mounts(chassis, mass)
        down = _weight_on(mass, mounts) / GRAVITY * 1000  # kg
        for side in ("left", "right"):
            own = np.array([v for v, m in zip(down, mounts, strict=True) if m.part == f"{side} rail"])
            line = own * len(own) / (end - start) * 1000  # kg/m over the stretch that each place stands for
            half = (line[-1] - line[0]) / max(len(own) - 1, 1) / 2  # from the middle of a stretch to its end
            ends = [f"{v:.1f}" for v in (line[0] - half, line[-1] + half)]
            rows.append([mass.name, side, f"{start:.0f} to {end:.0f}", f"{own.sum():.0f}", *ends])
    if not rows:
        return []
    head = ["spread mass", "rail", "stations mm", "kg", "kg/m at start", "kg/m at end"]
    return ["", "Listed masses that lie along the rails:", *table(head, rows, "wlrrrr")]
