"""Is a frame straight, by what was measured on it; and what moved between two rounds of measuring.  mm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import Final

import numpy as np

from ladderfe.advice.adjustment import Adjusted, Misfit, adjusted, misfits
from ladderfe.advice.alignment_modes import MODES, Mode, Modes, alignment_modes
from ladderfe.advice.observations import Observations, fitted_plane, observed
from ladderfe.advice.point_moves import PointMove, point_moves
from ladderfe.advice.tolerances import Tolerance
from ladderfe.chassis import Chassis
from ladderfe.condition.alignment_types import Alignment, AlignmentReading, RailPoint
from ladderfe.condition.rail_points import distance_as_built, facing, place_of

__all__ = ["Compared", "Diagonals", "Errors", "Moved", "MovedReading", "Straightness", "straightness", "what_moved"]

LEAST_ON_LINE: Final = 3


@dataclass(frozen=True, slots=True)
class Errors:
    """Standard deviations of a tape reading and of a height over the level datum, mm."""

    tape: float = 1.0
    level: float = 1.0


@dataclass(frozen=True, slots=True)
class Compared:
    """A reading beside what it would be as built; None where there is nothing to compare it with.  The limit is None
    for diagonals, which are compared with each other, and where the tolerance has none."""

    reading: AlignmentReading
    expected: float | None
    limit: float | None

    @property
    def difference(self) -> float | None:
        """Measured less expected."""
        return None if self.expected is None else self.reading.value - self.expected

    @property
    def exceeded(self) -> bool:
        """Whether it is outside the tolerance."""
        return self.limit is not None and self.difference is not None and abs(self.difference) > self.limit


@dataclass(frozen=True, slots=True)
class Diagonals:
    """A pair: from the left front to the right rear, and from the right front to the left rear; as_built: the first
    less the second as built, 0 for a frame alike on both sides."""

    first: AlignmentReading
    second: AlignmentReading
    as_built: float
    limit: float | None

    @property
    def difference(self) -> float:
        """First less second, less the same as built."""
        return self.first.value - self.second.value - self.as_built

    @property
    def exceeded(self) -> bool:
        """Whether they differ by more than the tolerance."""
        return self.limit is not None and abs(self.difference) > self.limit


@dataclass(frozen=True, slots=True, eq=False)
class Straightness:
    """All that one round of measuring tells."""

    alignment: Alignment
    compared: tuple[Compared, ...]
    diagonals: tuple[Diagonals, ...]
    adjusted: Adjusted
    observations: Observations
    misfits: tuple[Misfit, ...]
    points: tuple[PointMove, ...]
    modes: Modes
    tolerance: Tolerance
    errors: Errors

    @property
    def exceeded(self) -> bool:
        """Whether any reading or pair of diagonals is outside the tolerance."""
        return any(c.exceeded for c in self.compared) or any(d.exceeded for d in self.diagonals)


@dataclass(frozen=True, slots=True)
class MovedReading:
    """A reading before and after; `change` is after less before, of heights and offsets without what the floor's tilt
    or the centre line changed; its standard deviation."""

    before: AlignmentReading
    after: AlignmentReading
    change: float
    sigma: float


@dataclass(frozen=True, slots=True)
class Moved:
    """What moved between two rounds: readings that are in both, how many are in one alone, and modes, after less
    before."""

    before: str
    after: str
    readings: tuple[MovedReading, ...]
    alone: int
    modes: tuple[Mode, ...]


def straightness(chassis: Chassis, alignment: Alignment, tolerance: Tolerance, errors: Errors) -> Straightness:
    """What a round of measuring tells of a frame."""
    o = observed(chassis, alignment.readings, errors.tape, errors.level)
    network = adjusted(o)
    slips, kept, without = _slips(o, network)
    return Straightness(
        alignment,
        _compared(chassis, alignment.readings, o, tolerance),
        _diagonals(chassis, alignment.readings, tolerance.diagonals),
        network,
        o,
        slips,
        point_moves(without, kept),
        alignment_modes(chassis, kept),
        tolerance,
        errors,
    )


def _slips(o: Observations, network: Adjusted) -> tuple[tuple[Misfit, ...], Observations, Adjusted]:
    """Readings that do not fit, one by one, each without those named before; and readings and network without those
    that no other could stand for.  The search ends where it is not clear which reading is wrong."""
    found: list[Misfit] = []
    while slip := misfits(network, o):
        found += slip
        if slip[0].instead:
            break
        o = o.without(slip[0].reading)
        network = adjusted(o)
    return tuple(found), o, network


def is_diagonal(r: AlignmentReading, face: Callable[[RailPoint], RailPoint]) -> bool:
    """Whether a distance runs from one rail to the other, and not straight across."""
    return r.second is not None and r.first.side != r.second.side and r.second != face(r.first)


def _compared(
    chassis: Chassis, readings: Sequence[AlignmentReading], o: Observations, tolerance: Tolerance
) -> tuple[Compared, ...]:
    heights, offsets = ([r for r in readings if r.kind == kind] for kind in ("height", "offset"))
    plane = fitted_plane(o.built[o.first[o.heights]], o.value[o.heights]) if heights else None
    level = dict(zip(map(id, heights), [None] * len(heights) if plane is None else plane.tolist(), strict=True))
    line = dict(zip(map(id, offsets), _on_line(chassis, offsets), strict=True))
    out = []
    for r in readings:
        if r.second is not None:
            diagonal = is_diagonal(r, lambda p: facing(chassis, p))
            expected = distance_as_built(chassis, r.first, r.second)
            out.append(Compared(r, expected, None if diagonal else tolerance.points))
        else:
            out.append(Compared(r, (level | line)[id(r)], tolerance.points))
    return tuple(out)


def _on_line(chassis: Chassis, offsets: Sequence[AlignmentReading]) -> list[float | None]:
    """What offsets would be as built from the centre line that fits them best; None for fewer than three."""
    places = np.array([place_of(chassis, r.first) for r in offsets]).reshape(-1, 3)
    if len(places) < LEAST_ON_LINE or np.ptp(places[:, 0]) < 1.0:
        return [None] * len(places)
    out = np.where(places[:, 1] < 0, -1.0, 1.0)
    line = np.column_stack([-out, -out * places[:, 0]])
    built = out * places[:, 1]
    q = np.linalg.lstsq(line, np.array([r.value for r in offsets]) - built, rcond=None)[0]
    return [float(v) for v in built + line @ q]


def _diagonals(chassis: Chassis, readings: Sequence[AlignmentReading], limit: float | None) -> tuple[Diagonals, ...]:
    """Pairs of diagonals that cross each other; a diagonal that was measured twice is taken as it was read first."""
    found: dict[tuple[RailPoint, RailPoint], AlignmentReading] = {}
    for r in readings:
        if is_diagonal(r, lambda p: facing(chassis, p)) and r.second is not None:
            front, rear = sorted((r.first, r.second), key=lambda p: p.station)
            found.setdefault((front, rear), r)
    out = []
    for (front, rear), r in found.items():
        other = found.get((facing(chassis, front), facing(chassis, rear)))
        if front.side == "left" and other is not None:
            built = distance_as_built(chassis, front, rear) - distance_as_built(
                chassis, facing(chassis, front), facing(chassis, rear)
            )
            out.append(Diagonals(r, other, built, limit))
    return tuple(out)


def what_moved(chassis: Chassis, before: Straightness, after: Straightness) -> Moved:
    """What changed from one round of measuring to the next; readings of the same points, in either direction."""
    old = _by_points(before.alignment.readings)
    new = _by_points(after.alignment.readings)
    both = [k for k in new if k in old]
    change = np.array([new[k].value - old[k].value for k in both])
    heights = np.array([k for k, key in enumerate(both) if key[0] == "height"], dtype=int)
    if len(heights):
        built = np.array([place_of(chassis, new[both[k]].first) for k in heights])
        flat = built * [1.0, 1.0, 0.0]
        plane = fitted_plane(flat, change[heights])
        change[heights] -= change[heights] if plane is None else plane
    readings = tuple(
        MovedReading(
            old[k], new[k], float(c), sqrt(2) * (after.errors.level if k[0] == "height" else after.errors.tape)
        )
        for k, c in zip(both, change, strict=True)
    )
    pairs = [(before.modes[name], after.modes[name]) for name in MODES]
    modes = tuple(Mode(a.name, b.size - a.size, float(np.hypot(a.sigma, b.sigma))) for a, b in pairs)
    alone = len(old) + len(new) - 2 * len(both)
    return Moved(before.alignment.source, after.alignment.source, readings, alone, modes)


def _by_points(readings: Sequence[AlignmentReading]) -> dict[tuple[str, RailPoint, RailPoint], AlignmentReading]:
    """Readings by kind and points, whichever of these stands first; of several the first."""
    out: dict[tuple[str, RailPoint, RailPoint], AlignmentReading] = {}
    for r in readings:
        a, b = sorted((r.first, r.second or r.first))
        out.setdefault((r.kind, a, b), r)
    return out
