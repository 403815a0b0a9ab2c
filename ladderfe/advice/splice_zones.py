"""Where a rail may not be cut for a splice, and why; where inspectors look closer."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import acos, degrees
from typing import Final

import numpy as np

from ladderfe.advice.fatigue_ratio import SUSPECT_REACH
from ladderfe.chassis import Chassis, Crossmember, Joint, Outrigger, Rail
from ladderfe.checks.found import NEAR_MOUNT
from ladderfe.checks.repair_places import rusted
from ladderfe.condition import Found, features
from ladderfe.condition.rails import shape_at
from ladderfe.sections import Shape

__all__ = ["BEND", "KEEP_OFF", "RUSTED", "Zone", "forbidden", "free_stretches", "marked", "merged"]

#: Joints keep off what is mounted or joined by one rail depth H or so much, mm, whichever is more: common practice, no
#: source.
KEEP_OFF: Final = 150.0
#: Bends of the rail below this many degrees are no kick-up (own judgement, no source).
BEND: Final = 2.0
#: Kinds of zone that are rust, whose distance is own judgement.
RUSTED: Final = ("hole", "suspect", "thin")
#: What is nearer to a suspension, steering, brake or belt mounting counts for more in inspections of several countries.
MARKED: Final = ("hanger", "mount", "outrigger")


@dataclass(frozen=True, slots=True, kw_only=True)
class Zone:
    """A stretch of rail around something: its kind and what it is; from `begins` to `ends` it lies itself, to `start`
    and `end` joints keep off by `off` mm."""

    kind: str
    what: str
    begins: float
    ends: float
    off: float

    @property
    def start(self) -> float:
        return self.begins - self.off

    @property
    def end(self) -> float:
        return self.ends + self.off

    def gap(self, station: float) -> float:
        """From a station to the thing itself, mm; 0 on it."""
        return max(self.begins - station, station - self.ends, 0.0)


def forbidden(chassis: Chassis, rail: Rail, found: Found | None = None) -> tuple[Zone, ...]:
    """All zones of a rail in which no joint should lie, from front to rear.

    `chassis` and `rail` are as built: where readings thin a wall is no step of its section.  Holes of `found`,
    places that ring dull and, as far as its readings speak, a wall of which less is left than a weld may join
    (`repair_rules.RUSTED`) are zones too, with `SUSPECT_REACH` to keep: a weld needs sound metal.
    """
    zones = [*_joined(chassis, rail), *_hung(chassis, rail), *_bends(rail), *_steps(rail)]
    ends = ("front end of the rail", rail.start), ("rear end of the rail", rail.end)
    zones += [Zone(kind="end", what=what, begins=x, ends=x, off=_off(rail, x)) for what, x in ends]
    zones += _rusted(rail, found) if found is not None else []
    return tuple(sorted(zones, key=lambda z: (z.start, z.end)))


def marked(chassis: Chassis, rail: Rail) -> tuple[Zone, ...]:
    """Zones within 30 cm of hangers, axles' brackets, mounts and outriggers.

    Damage and welds this near to mountings of brakes, steering, suspension and seat belts count more in inspections of
    several countries (check the local code).  The file does not say what hangs on a mount, so every mount counts.
    """
    own = [*_hung(chassis, rail), *(z for z in _joined(chassis, rail) if z.kind in MARKED)]
    kept = [z for z in own if z.kind in MARKED]
    at = [Zone(kind=z.kind, what=z.what, begins=z.begins, ends=z.ends, off=NEAR_MOUNT) for z in kept]
    return tuple(sorted(at, key=lambda z: (z.start, z.end)))


def merged(zones: Iterable[Zone]) -> list[tuple[float, float]]:
    """Stretches that the zones cover together, from front to rear."""
    out: list[tuple[float, float]] = []
    for z in sorted(zones, key=lambda z: z.start):
        if out and z.start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], z.end))
        else:
            out.append((z.start, z.end))
    return out


def free_stretches(rail: Rail, zones: Iterable[Zone], least: float) -> list[tuple[float, float]]:
    """What the zones leave of a rail, stretches of at least `least` mm, from front to rear."""
    out, at = [], rail.start
    for start, end in [*merged(zones), (rail.end, rail.end)]:
        if start - at >= least:
            out.append((at, start))
        at = max(at, end)
    return out


def _off(rail: Rail, station: float) -> float:
    return max(shape_at(rail, station).depth, KEEP_OFF)


def _joined(chassis: Chassis, rail: Rail) -> list[Zone]:
    """Crossmembers and outriggers with the plates of their joints."""
    left = rail.side == "left"
    own: list[tuple[Crossmember | Outrigger, float, Joint]] = [
        (c, c.station_left if left else c.station_right, c.joint_left if left else c.joint_right)
        for c in chassis.crossmembers
    ]
    own += [(o, o.station, o.joint) for o in chassis.outriggers if o.side == rail.side]
    out = []
    for part, station, joint in own:
        kind = "crossmember" if isinstance(part, Crossmember) else "outrigger"
        half = _half_width(part.shape) + _plate(joint)
        name = part.name if kind in part.name else f"{kind} {part.name}"
        plate = f" with its {joint.kind} plates" if _plate(joint) else ""
        out.append(
            Zone(kind=kind, what=name + plate, begins=station - half, ends=station + half, off=_off(rail, station))
        )
    return out


def _half_width(shape: Shape) -> float:
    """Half of what a part takes up along the rail, mm."""
    return shape.width / 2


def _plate(joint: Joint) -> float:
    """How far a joint's plates reach along the rail beyond its member, mm."""
    gusset = joint.gusset if joint.kind == "gusseted in plan" else 0.0
    return max(gusset, joint.margin if joint.doubler else 0.0)


def _hung(chassis: Chassis, rail: Rail) -> list[Zone]:
    """Hangers and seats, brackets, mounts, and plates across the inside of the rail."""
    words = {"diaphragm": "plate inside, {}"}
    return [
        Zone(kind="weld" if f.kind == "diaphragm" else f.kind, what=words.get(f.kind, "{}").format(f.name),
             begins=f.station, ends=f.station, off=_off(rail, f.station))
        for f in features(chassis, rail) if f.kind in ("hanger", "mount", "diaphragm")
    ]  # fmt: skip


def _bends(rail: Rail) -> list[Zone]:
    points = [np.array([p.station, p.half_spacing, p.height]) for p in rail.path]
    out = []
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        one, two = here - before, after - here
        cosine = float(one @ two / np.linalg.norm(one) / np.linalg.norm(two))
        angle = degrees(acos(min(1.0, max(-1.0, cosine))))
        if angle >= BEND:
            what, x = f"bend of the rail by {angle:.1f} degrees", float(here[0])
            out.append(Zone(kind="bend", what=what, begins=x, ends=x, off=_off(rail, x)))
    return out


def _steps(rail: Rail) -> list[Zone]:
    """Where the section changes at once; a taper that begins or ends is no step."""
    out = []
    for before, after in zip(rail.spans, rail.spans[1:], strict=False):
        if (before.shape_end or before.shape) != after.shape:
            x = after.start
            off = max(_off(rail, x), (before.shape_end or before.shape).depth)
            out.append(Zone(kind="step", what="step of the section", begins=x, ends=x, off=off))
    return out


def _rusted(rail: Rail, found: Found) -> list[Zone]:
    bad = [("hole", f"hole in the {h.wall} wall with its rim", *h.reach) for h in found.holes if h.side == rail.side]
    bad += [
        ("suspect", f"{s.wall} wall that rings dull", s.station, s.station)
        for s in found.suspects
        if s.side == rail.side
    ]
    out = [Zone(kind=k, what=what, begins=a, ends=b, off=SUSPECT_REACH) for k, what, a, b in bad]
    names = tuple(dict.fromkeys(w.wall for s in found.stretches_of(rail.side) for w in s.walls))
    for thin in rusted(found, rail.side, rail.start, rail.end, names):
        if thin.left > 0:  # a hole has a zone of its own
            what = f"{thin.wall} wall with {100 * thin.left:.0f} % left by mean"
            out.append(Zone(kind="thin", what=what, begins=thin.start, ends=thin.end, off=SUSPECT_REACH))
    return out
