"""What is under a stand's name: the web above it, what was read there, cuts beside it, and where it had better go.

A stand on the rail that is cut keeps `CLEAR` from the cut, and `OFF_DAMAGE` from holes and doubtful places, as places
that are proposed do; nobody puts one where a wall was found thinner than `THIN`.  All bounds are judgement, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor

from ladderfe.advice.stand_places import CLEAR, Bad
from ladderfe.chassis import Chassis, Mount
from ladderfe.chassis.settings import YIELD
from ladderfe.checks.cut_faces import Cut
from ladderfe.checks.stands import Frames
from ladderfe.checks.web_forces import WebAt, web_at
from ladderfe.condition import Found
from ladderfe.mesh.rails import SAME

__all__ = ["OFF_DAMAGE", "THIN", "Ground", "bad_metal", "ground_of"]

#: A wall found thinner than this part of the wall as built is no metal for a stand; judgement, no source.
THIN = 0.9
#: Stands keep so far from holes and places that ring dull, mm; judgement, no source.
OFF_DAMAGE = 100.0
#: Better places are told on a grid of so many mm, and not at the very ends of a rail.
GRID, END = 10, 50.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """A stand: its name, rail ("" off the rails) and station, the web above it (None off the rails or where there is
    none), and what readings say of the walls there, in words.

    near: the cut of its own rail that is less than CLEAR away, if any; damage: holes and doubtful places within
    OFF_DAMAGE, in words; better: the nearest good stations of that rail before and behind it, mm, where there is
    something to complain of.
    """

    name: str
    side: str
    station: float
    web: WebAt | None
    metal: tuple[str, ...]
    near: Cut | None = None
    damage: tuple[str, ...] = ()
    better: tuple[float, ...] = ()

    @property
    def exceeded(self) -> bool:
        """True where the stand is too near a cut, a hole or a doubtful place."""
        return self.near is not None or bool(self.damage)


def bad_metal(found: Found | None) -> tuple[Bad, ...]:
    """Stretches of the rails on which nobody should put a stand, by the readings."""
    if found is None:
        return ()
    out: list[Bad] = [(h.side, h.reach[0] - OFF_DAMAGE, h.reach[1] + OFF_DAMAGE) for h in found.holes]
    out += [(s.side, s.station - OFF_DAMAGE, s.station + OFF_DAMAGE) for s in found.suspects]
    out += [(s.side, s.start, s.end) for s in found.stretches
            if any(w.basis == "read" and w.least < THIN * w.nominal for w in s.walls)]  # fmt: skip
    return tuple(out)


def ground_of(chassis: Chassis, frames: Frames, mount: Mount, found: Found | None) -> Ground:
    """What is under one stand's name."""
    side = mount.part.removesuffix(" rail") if mount.part in ("left rail", "right rail") else ""
    if not side:
        return Ground(name=mount.name, side="", station=mount.station, web=None, metal=())
    steel = chassis.material.yield_stress or YIELD.used
    own = [c for c in frames.cuts if c.side == side]
    beside = [c for c in own if abs(c.station - mount.station) < CLEAR - SAME]
    thin, damage, unread = _read(found, side, mount.station)
    troubled = beside or thin or damage
    return Ground(
        name=mount.name, side=side, station=mount.station,
        web=web_at(frames.whole, mount.name, chassis.criteria, steel), metal=(*damage, *thin, *unread),
        near=min(beside, key=lambda c: abs(c.station - mount.station), default=None), damage=damage,
        better=_better(chassis, side, mount.station, own, bad_metal(found)) if troubled else (),
    )  # fmt: skip


def _read(found: Found | None, side: str, station: float) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """What readings say at a stand: of walls that are thin, of holes and doubtful places, of what was not read."""
    if found is None:
        return (), (), ()
    damage = [_hole(h.wall, *h.reach, station) for h in found.holes
              if h.side == side and h.reach[0] - OFF_DAMAGE <= station <= h.reach[1] + OFF_DAMAGE]  # fmt: skip
    damage += [f"doubtful place at {s.station:g} mm" for s in found.suspects
               if s.side == side and abs(s.station - station) <= OFF_DAMAGE]  # fmt: skip
    stretch = next((s for s in found.stretches_of(side) if s.start - SAME <= station <= s.end + SAME), None)
    walls = stretch.walls if stretch else ()
    thin = [f"{w.wall} {w.least:.2f} of {w.nominal:g} mm" for w in walls
            if w.basis == "read" and w.least < THIN * w.nominal]  # fmt: skip
    names = [w.wall for w in walls if w.basis == "assumed"]
    told = "all walls" if len(names) == len(walls) else ", ".join(names)
    return tuple(thin), tuple(damage), (f"UNREAD: {told}",) if names else ()


def _hole(wall: str, start: float, end: float, station: float) -> str:
    """A hole over or beside a stand, in words."""
    if start <= station <= end:
        return f"{wall} gone"
    return f"{wall} gone from {start:g} to {end:g} mm, {max(start - station, station - end):.0f} mm off"


def _better(chassis: Chassis, side: str, at: float, cuts: Sequence[Cut], bad: Sequence[Bad]) -> tuple[float, ...]:
    """The nearest stations before and behind a place at which a stand keeps clear of cuts and of bad metal, mm."""
    rail = next(r for r in chassis.rails if r.side == side)
    tried = [float(v) for v in range(GRID * ceil((rail.start + END) / GRID), floor(rail.end - END) + 1, GRID)]
    good = [
        s for s in tried
        if all(abs(s - c.station) >= CLEAR for c in cuts) and all(r != side or not a <= s <= b for r, a, b in bad)
    ]  # fmt: skip
    before, behind = [s for s in good if s <= at], [s for s in good if s > at]
    return (*before[-1:], *behind[:1])
