"""What holes do beside taking their wall away: joints on what is left, plates in the opening, angles that are left."""

from __future__ import annotations

from itertools import groupby

from ladderfe.chassis import Chassis, Diaphragm, Side
from ladderfe.condition.found import Found
from ladderfe.condition.landings import Landing, landings_at
from ladderfe.condition.rails import SAME, rail_of, shape_in, span_at
from ladderfe.condition.types import Hole
from ladderfe.sections import Angle, Box, Channel

__all__ = ["angles_left", "joints_beside", "near_hole", "plates_in_openings"]


def joints_beside(found: Found) -> tuple[tuple[Hole, Landing], ...]:
    """Holes with the members whose joint is estimated from walls, one of which a hole took away at or beside it."""
    return tuple(
        (h, p) for h in found.holes for p in landings_at(found.built, h.side, *h.reach) if p.joint and p.estimated
    )


def as_channel(found: Found, joint: Landing) -> bool:
    """Whether what is left of the rail at a joint is a channel that opens sideways: estimates take it as one."""
    shape = span_at(rail_of(found.chassis, joint.side), joint.station).shape
    return isinstance(shape, Channel) and shape.opens[1] == "y"


def plates_in_openings(found: Found) -> tuple[Diaphragm, ...]:
    """Diaphragms, in boxes as built, where a wall of their box is gone on both sides: the mesh has none there."""
    return tuple(d for d in found.built.diaphragms if not _boxed(found.chassis, d))


def _boxed(chassis: Chassis, d: Diaphragm) -> bool:
    spans = [s for s in rail_of(chassis, d.side).spans if s.start - SAME / 2 <= d.station <= s.end + SAME / 2]
    return any(isinstance(shape_in(s, d.station), Box) for s in spans)


def angles_left(found: Found) -> tuple[tuple[Side, float, float], ...]:
    """(side, start, end) of stretches where an angle is all that is left of a box or channel."""
    out: list[tuple[Side, float, float]] = []
    for side in ("left", "right"):
        pairs = zip(rail_of(found.built, side).spans, rail_of(found.chassis, side).spans, strict=True)
        marked = [(isinstance(now.shape, Angle) and not isinstance(b.shape, Angle), now) for b, now in pairs]
        for lost, own in groupby(marked, key=lambda pair: pair[0]):
            spans = [span for _, span in own]
            out += [(side, spans[0].start, spans[-1].end)] if lost else []
    return tuple(out)


def near_hole(found: Found, side: str, station: float) -> bool:
    """Whether a place lies in a hole of its rail, on whatever wall, or within one rail depth of its rim's end."""
    depth = span_at(rail_of(found.built, side), station).shape.depth
    return any(h.side == side and h.reach[0] - depth <= station <= h.reach[1] + depth for h in found.holes)
