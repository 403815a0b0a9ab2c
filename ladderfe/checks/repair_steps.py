"""Steps of stiffness at the ends of a plan's pieces: bending EI (vertical) and torsion GJ, piece over what it ends
on."""

from __future__ import annotations

from dataclasses import dataclass

from ladderfe.condition.plan_types import Insert, PlanPlate
from ladderfe.condition.rails import SIDES, rail_of, shape_at
from ladderfe.condition.repaired import Repaired
from ladderfe.sections import properties

__all__ = ["EndStep", "end_steps"]

#: How far beyond an end a rail is looked at, mm.
BESIDE = 2.0


@dataclass(frozen=True, slots=True)
class EndStep:
    """One end of a piece: its station, and EI and GJ of the rail where the piece is whole over those beyond its end."""

    piece: str
    station: float
    EI: float
    GJ: float


def end_steps(states: Repaired) -> tuple[EndStep, ...]:
    """Both ends of every piece; ends at the rail's own ends are left out."""
    pieces: list[Insert | PlanPlate] = [*states.plan.inserts, *(p for p in states.plan.plates if p.thickness)]
    out = []
    for p in pieces:
        rail = rail_of(states.chassis, p.side)
        a, b = p.whole if isinstance(p, PlanPlate) else (p.start, p.end)
        front, rear = (a, b) if isinstance(p, PlanPlate) and not p.lapped else (p.start, p.end)
        for end, inside, beyond in ((front, a + BESIDE, front - BESIDE), (rear, b - BESIDE, rear + BESIDE)):
            if rail.start <= beyond <= rail.end:
                one, other = (properties(shape_at(rail, x).section(SIDES[p.side])) for x in (inside, beyond))
                out.append(EndStep(p.name, end, one.Iyy / other.Iyy, one.J / other.J))
    return tuple(out)
