"""What the slots of a sleeve must be: how many on each side of the joint, and whether the plan has them.

The most loaded slot counts (`checks.weld_slots` has the forces).  One slot carries what its weld does, the hole's area
or the fillet round its edge (`connections.slots`), or what the thinner of both walls does in shear round its edge at
yield, whichever is less.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, inf

from ladderfe.checks.weld_slots import SlotDemand
from ladderfe.connections import Broken, plug_strength, slot_area, slot_fillet_strength, slot_girth, slot_rules
from ladderfe.connections import wall_shear as shear_at_yield

__all__ = ["SlotSize", "slot_size"]

#: Force that is none, N.
NONE = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotSize:
    """Slots of one wall on one side of the joint.  weld, wall: N that one slot carries, by its weld and by the wall
    round its edge; area mm2 and girth mm of one; throat: mm of the fillet, 0 of filled slots; broken: rules of size
    that they do not keep."""

    demand: SlotDemand
    weld: float
    wall: float
    area: float
    girth: float
    throat: float
    broken: tuple[Broken, ...]

    @property
    def each(self) -> float:
        """N that one slot carries."""
        return min(self.weld, self.wall)

    @property
    def loose(self) -> tuple[str, ...]:
        """What the slots do not hold, beside shear square to their walls, which is contact's."""
        return tuple(n for n in self.demand.left if "shear" not in n)

    @property
    def enough(self) -> bool:
        """Whether they hold what they must."""
        return self.use <= 1 and not self.loose

    @property
    def planned(self) -> int:
        return len(self.demand.stations)

    @property
    def use(self) -> float:
        return self.share(self.demand.force)

    @property
    def use_alone(self) -> float:
        """The same were the butt weld not to count."""
        return self.share(self.demand.alone)

    def share(self, force: float) -> float:
        """Force on the most loaded slot over what it carries; inf where there is none to carry it."""
        if force <= NONE:
            return 0.0
        return force / self.each if self.planned else inf

    def asks(self, use: float) -> int:
        """Slots in that wall on that side that would do, by as many times more as the most loaded one lacks."""
        return ceil(use * self.planned - 1e-9) if self.planned else 1

    def reach(self, number: int) -> float:
        """Mm of sleeve that so many slots at the plan's pitch take on that side of the joint."""
        s = self.demand.slots
        return max(number - 1, 0) * s.pitch + s.length + 2 * s.width


def slot_size(d: SlotDemand, strength: float, yields: float, full: float) -> SlotSize:
    """The answer to one demand; strength: MPa on throat or area; yields: MPa of the walls; full: throat over the wall's
    thickness of a fillet that nobody states."""
    s = d.slots
    throat = 0.0 if s.filled else d.plate.weld.throat or full * d.thickness
    weld = plug_strength(s.length, s.width, strength) if s.filled else slot_fillet_strength(
        s.length, s.width, throat, strength)  # fmt: skip
    girth = float(slot_girth(s.length, s.width))
    broken = slot_rules(s.length, s.width, s.pitch, d.thickness, filled=s.filled)
    return SlotSize(demand=d, weld=float(weld), wall=girth * float(shear_at_yield(d.thinner, yields)),
                    area=float(slot_area(s.length, s.width)), girth=girth, throat=throat, broken=broken)  # fmt: skip
