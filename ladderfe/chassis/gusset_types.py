"""Gussets of a crossmember's joint: frozen types.  mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

__all__ = ["Gusset"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gusset:
    """Two three-cornered plates between a rail's web and a crossmember: above and below it where way is "upright",
    before and behind it where it is "in plan".  web_leg along the web, reach along the crossmember; thickness 0: not
    there.  throat: of the fillets on both sides of both legs, None: not stated.  line: that of the file.
    """

    name: str
    member: str
    side: Literal["left", "right"]
    way: Literal["upright", "in plan"]
    web_leg: float
    reach: float
    thickness: float
    throat: float | None = None
    line: int = field(default=0, compare=False)

    @property
    def kind(self) -> str:
        """The word for the joint."""
        return f"gusseted {self.way}"
