"""Which common size of tube is as stiff as a member: bending in the vertical plane, and torsion."""

from __future__ import annotations

from dataclasses import dataclass
from math import log

from ladderfe.condition.repaired import Repaired
from ladderfe.sections import Box, Shape, Tube, properties
from ladderfe.sections.stock import STOCK

__all__ = ["Proposal", "proposals", "stock_like"]

#: So many sizes are proposed.
BEST = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A size in place of a member: its I (vertical), J and mass over those of the member."""

    member: str
    shape: Tube | Box
    I: float
    J: float
    mass: float


def stock_like(member: str, shape: Shape, count: int = BEST) -> tuple[Proposal, ...]:
    """The sizes nearest to a member's I about its horizontal axis, which bears its part of the rails' twist, and its J;
    nearest by the sum of both ratios' logarithms, J of open members left out (no tube is as soft)."""
    own = properties(shape.section())
    found = []
    for size in STOCK:
        q = properties(size.section())
        found.append(Proposal(member=member, shape=size, I=q.Iyy / own.Iyy, J=q.J / own.J, mass=q.metal / own.metal))

    def off(p: Proposal) -> float:
        return abs(log(p.I)) + (abs(log(p.J)) if shape.closed else 0.0)

    return tuple(sorted(found, key=lambda p: (round(off(p), 9), p.mass))[:count])


def proposals(states: Repaired) -> tuple[Proposal, ...]:
    """For every crossmember as built that the plan takes out or gives another section."""
    now = {c.name: c.shape for c in states.chassis.crossmembers}
    out: list[Proposal] = []
    for c in states.found.built.crossmembers:
        if now.get(c.name) != c.shape:
            out += stock_like(c.name, c.shape)
    return tuple(out)
