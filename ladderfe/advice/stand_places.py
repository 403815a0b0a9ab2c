"""Where stands may go: a plain search over stations of the rails, and props beside a cut.

Four stands are proposed, a pair in front and a pair behind, each at one station of both rails.  Stations that are
tried: those of crossmembers and the quarter points of the rails; not within `CLEAR` of a cut, and not where a wall was
found thin, gone or doubtful.  Pairs are `APART` apart at least.  First come pairs under which every stand carries at
least `LEAST` of the load before and after the cut, then those that keep that before it, then those that hold at all;
among these the one whose cut moves least, without a cut the one whose least loaded stand carries most.
Props go under the cut rail on both sides of the cut, at `OFFSETS`, set up snug under the rail as it stands before.
All bounds are judgement, no source.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from ladderfe.chassis import Chassis, Mount, Rail
from ladderfe.checks.cut_faces import Cut
from ladderfe.checks.stands import Frames, Stage, frames_of, rail_stand, stage_of, stands_case, with_stands
from ladderfe.solve import Solution

__all__ = ["APART", "CLEAR", "LEAST", "OFFSETS", "Bad", "PropUse", "StandUse", "height_of", "hint_for",
           "prop_mounts", "props", "proposed"]  # fmt: skip

CLEAR, APART, LEAST = 150.0, 500.0, 0.10
OFFSETS = (150.0, 250.0, 400.0)
#: A stand this near is the prop, mm.
SAME_STAND = 100.0
#: Side and stations between which a rail's metal is doubtful.
Bad = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class StandUse:
    """Two stations at which both rails stand, and what comes of it before and after the cut (None without one)."""

    stations: tuple[float, float]
    before: Stage
    after: Stage | None

    @property
    def rank(self) -> tuple[int, float]:
        """What comes first is the better."""
        after = self.after or self.before
        kind = [after.least >= LEAST and self.before.least >= LEAST, self.before.least >= LEAST and after.holds,
                self.before.holds and after.holds, self.before.holds, True].index(True)  # fmt: skip
        return kind, float(f"{after.moves if self.after else -self.before.least:.6g}")


@dataclass(frozen=True, slots=True)
class PropUse:
    """Props in front of and behind a cut, mm from it (0: none), with what comes of them."""

    cut: Cut
    offsets: tuple[float, float]
    stands: tuple[str, ...]
    after: Stage

    @property
    def lifted(self) -> int:
        """How many stands beside the props are lifted."""
        return sum(name not in self.stands for name in self.after.lifted)


def proposed(chassis: Chassis, cuts: Sequence[Cut], bad: Collection[Bad]) -> tuple[StandUse, ...]:
    """All pairs of stations, the best first, those that do not even hold the uncut vehicle last."""
    stations = _stations(chassis, cuts, bad)
    pairs = [(a, b) for a, b in combinations(stations, 2) if b - a >= APART]
    if not pairs:
        return ()
    mounts = {s: tuple(rail_stand(chassis, r.side, s) for r in chassis.rails) for s in stations}
    frames = frames_of(with_stands(chassis, [m for own in mounts.values() for m in own]), cuts)
    cases = [stands_case(f"{a:g} and {b:g}", [m.name for s in (a, b) for m in mounts[s]]) for a, b in pairs]
    whole, opened = frames.solved(cases)
    found = [
        StandUse(pair, stage_of(frames, whole, c.name), None if opened is None else stage_of(frames, opened, c.name))
        for pair, c in zip(pairs, cases, strict=True)
    ]
    return tuple(sorted(found, key=lambda u: (u.rank, u.stations)))


def hint_for(stage: Stage) -> str:
    """What to do where stands do not hold the vehicle."""
    if " drop" in stage.tips:
        return "Give `droop` of that axle, its travel down until dampers or straps hold it"
    return "Put stands on both sides, with the centre of gravity between them"


def _stations(chassis: Chassis, cuts: Sequence[Cut], bad: Collection[Bad]) -> list[float]:
    """Stations that are tried, from front to rear."""
    first, last = max(r.start for r in chassis.rails), min(r.end for r in chassis.rails)
    tried = [c.station_left for c in chassis.crossmembers if c.station_left == c.station_right]
    tried += [round(float(v), -1) for v in np.linspace(first, last, 5)[1:-1]]
    out: list[float] = []
    for s in sorted(set(tried)):
        clear = all(abs(s - c.station) >= CLEAR for c in cuts)
        sound = all(not a <= s <= b for _, a, b in bad)
        if first < s < last and clear and sound and (not out or s - out[-1] >= SAME_STAND):
            out.append(s)
    return out


def prop_mounts(chassis: Chassis, cut: Cut, cuts: Sequence[Cut], bad: Collection[Bad]) -> dict[float, Mount]:
    """Stands that may be put beside a cut, by their distance from it, rearward positive."""
    rail = next(r for r in chassis.rails if r.side == cut.side)
    away = [-d for d in OFFSETS] + list(OFFSETS)
    return {d: rail_stand(chassis, cut.side, cut.station + d) for d in away if _may(rail, cut, d, cuts, bad)}


def _may(rail: Rail, cut: Cut, away: float, cuts: Sequence[Cut], bad: Collection[Bad]) -> bool:
    s = cut.station + away
    others = [c.station for c in cuts if c.side == cut.side and c != cut]
    clear = all(abs(s - o) > OFFSETS[0] - 1 and (o - cut.station) * (o - s) > 0 for o in others)
    return rail.start + 50 < s < rail.end - 50 and clear and all(r != rail.side or not a <= s <= b for r, a, b in bad)


def props(
    frames: Frames, whole: Solution, level: str, cut: Cut, may: dict[float, Mount]
) -> tuple[PropUse, ...]:
    """Props at all distances beside one cut, in front, behind and both, those that lift no stand and then the least
    movement of its faces first.

    They are set up snug under the uncut rail: at the height at which it stands in the case `level`.
    """
    k = whole.case(level)
    stands = whole.cases[k].stands
    have = [m.station for m in frames.chassis.mounts if m.name in stands and m.part == f"{cut.side} rail"]
    free = {d: m for d, m in may.items() if all(abs(m.station - s) >= SAME_STAND for s in have)}
    front, behind = ([0.0, *(d for d in free if d * sign > 0)] for sign in (-1, 1))
    cases, asked = [], []
    for pair in product(front, behind):
        own = [free[d] for d in pair if d]
        if own:
            heights = [(m.name, height_of(whole, m.name, k)) for m in own]
            cases.append(stands_case(f"{pair}", [*stands, *(m.name for m in own)], heights))
            asked.append((pair, tuple(m.name for m in own)))
    if not cases:
        return ()
    _, opened = frames.solved(cases, whole)
    if opened is None:
        return ()
    found = [PropUse(cut, (abs(p[0]), p[1]), names, stage_of(frames, opened, c.name))
             for (p, names), c in zip(asked, cases, strict=True)]  # fmt: skip
    at = frames.cuts.index(cut)
    held = [u for u in found if u.after.holds]
    return tuple(sorted(held, key=lambda u: (
        u.lifted, float(f"{u.after.faces[at].greatest:.4g}"), len(u.stands), u.offsets)))  # fmt: skip


def height_of(whole: Solution, place: str, case: int) -> float:
    """Mm up: where a named place stands in a case of the whole frame."""
    at = whole.mesh.places[place]
    follow = np.array(at.follow).T if at.follow else None
    own, row = whole.frame.row(at.node, np.array(at.arm), np.array([0.0, 0, 1, 0, 0, 0]), follow)
    return float(row @ whole.movements[own, case])
