"""What the load cases of a chassis file act on."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan

from ladderfe.chassis.mount_names import MountNames
from ladderfe.chassis.towing import Workshop
from ladderfe.chassis.types import Axle, Towing
from ladderfe.units import G

__all__ = ["Places"]


@dataclass(frozen=True, slots=True)
class Places:
    """What cases act on: mounts, axles (none where these cannot be read), what tows, and the workshop's points."""

    names: MountNames
    axles: tuple[Axle, ...]
    towing: Towing
    workshop: Workshop
    later: float

    @property
    def weight(self) -> float:
        """Weight of the vehicle laden, N: as weighed and with the masses that were not aboard then."""
        return (sum(a.load for a in self.axles) + self.later) * G

    def usual_at(self, kind: str) -> tuple[str, ...]:
        """The mounts that a kind of case is at where it names none."""
        coupling = (self.towing.coupling,) if self.towing.coupling else ()
        return {
            "nose weight": coupling,
            "rear overhang whip": coupling,
            "drawbar pull": coupling,
            "winch": self.towing.winch,
            "recovery": self.towing.recovery,
            "two-post lift": self.workshop.pads,
            "stands": self.workshop.stands,
        }.get(kind, ())

    def radius(self, wheels: tuple[str, ...]) -> float:
        """Tyre radius of the axle that a wheel is on, mm; nan where it is not known."""
        return next((a.tyre_radius for a in self.axles if wheels and wheels[0].startswith(a.name)), nan)
