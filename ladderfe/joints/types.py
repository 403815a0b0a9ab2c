"""What a joint estimate is made from and what it gives: two frozen types, plain numbers in mm, N, rad."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, isnan
from typing import Any, Literal, get_args

import numpy as np
import numpy.typing as npt

from ladderfe.errors import ModelError

__all__ = ["GUSSETED", "SOURCE", "Array", "CrossmemberKind", "JointEstimate", "JointGeometry", "WarpingLink"]

Array = npt.NDArray[np.float64]
RailKind = Literal["box", "channel"]
CrossmemberKind = Literal[
    "box", "tube", "channel rearward", "channel forward", "channel downward", "channel upward", "flat",
]
CLOSED = ("box", "tube")
GUSSETED = ("gusseted upright", "gusseted in plan")
SOURCE = "own studies in solids, no published source"


@dataclass(frozen=True, slots=True, kw_only=True)
class JointGeometry:
    """A crossmember that meets one web of a rail; outside sizes in mm, walls as they are now.

    Raises ModelError where a value is impossible or the crossmember does not meet the web.

    Parameters
    ----------
    rail
        "box", or "channel": open toward the crossmember, which lies between its flanges and meets the web's inner face.
    rail_depth, rail_width, top, bottom, web, far
        Outline and walls of the rail; `web` is the upright wall that is met, `far` the other one (any in channels).
    crossmember, depth, width, wall
        Its kind (a channel by the side it opens to), outline upright and along the rail, and wall.
    height
        Of its mid-depth above the rail's mid-depth.
    to_end
        From its middle to the nearest free end of the rail.
    through
        It passes the web that it meets and ends on the far one (box rails).
    doubler, margin
        Thickness of an extra plate on the web, 0 for none, and how far it reaches beyond the crossmember all round.
    gusset
        Leg along the web of three-cornered plates between the crossmember and the web, on both sides of it: above and
        below where kind is "gusseted upright", before and behind where it is "gusseted in plan".
    kind
        The word for the joint; "butted" and "through" are in the data; "wrapped": the end embraces the rail or is
        welded to its flanges too; "gusseted upright" and "gusseted in plan"; any other only adds a warning.
    notes
        What was taken for something else, in words; each widens the range and comes back as a warning.
    """

    rail: RailKind
    rail_depth: float
    rail_width: float
    top: float
    bottom: float
    web: float
    far: float
    crossmember: CrossmemberKind
    depth: float
    width: float
    wall: float
    height: float = 0.0
    to_end: float = inf
    through: bool = False
    doubler: float = 0.0
    margin: float = 0.0
    gusset: float = 0.0
    kind: str = "butted"
    notes: tuple[str, ...] = ()
    youngs_modulus: float = 205_000.0
    poissons_ratio: float = 0.3

    def __post_init__(self) -> None:
        self._check_words()
        for name in ("rail_depth", "rail_width", "top", "bottom", "web", "depth", "width", "wall", "youngs_modulus"):
            self._require(name, 0 < getattr(self, name) < inf, "a size greater than 0")
        self._require("far", self.far > 0 or self.rail == "channel", "the far web's thickness")
        self._require("poissons_ratio", 0 <= self.poissons_ratio < 0.5, "a value from 0 to below 0.5")
        self._require("doubler", 0 <= self.doubler < inf, "0 or the plate's thickness")
        self._require("margin", 0 <= self.margin < inf, "how far the doubler reaches beyond the crossmember")
        self._require("gusset", 0 <= self.gusset < inf, "0 or the length of its leg along the web")
        self._require("to_end", self.to_end >= 0, "a distance from 0 up")
        self._require("through", not (self.through and self.rail == "channel"), "false: a channel has no far web")
        self._require("kind", not (self.through and self.wrapped), "through or wrapped, not both")
        across = self.web + (self.far if self.rail == "box" else 0.0)
        self._require("web", across < self.rail_width and self.top + self.bottom < self.rail_depth,
                      "walls that leave room inside the rail")
        lowest, highest = -self.rail_depth / 2 + self.bottom, self.rail_depth / 2 - self.top
        self._require("height", self.height + self.depth / 2 > lowest and self.height - self.depth / 2 < highest,
                      "a height at which it meets the web, or state the joint's stiffness")

    def _check_words(self) -> None:
        self._require("rail", self.rail in get_args(RailKind), "box or channel")
        self._require("crossmember", self.crossmember in get_args(CrossmemberKind),
                      "one of " + ", ".join(get_args(CrossmemberKind)))

    def _require(self, name: str, holds: bool, wanted: str) -> None:
        value = getattr(self, name)
        if not holds or (isinstance(value, float) and isnan(value)):
            raise ModelError("joint", f"{name} is {value}", f"Give {wanted}")

    def changed(self, **changes: Any) -> JointGeometry:
        """The same joint with some of its values changed."""
        return replace(self, **changes)

    @property
    def closed(self) -> bool:
        """Whether the crossmember is a closed section."""
        return self.crossmember in CLOSED

    @property
    def flanges_meet(self) -> bool:
        """Whether the crossmember's flanges lie on a channel rail's: it fills the rail or embraces it."""
        return self.rail == "channel" and (max(self.gaps()) == 0 or self.wrapped)

    @property
    def wrapped(self) -> bool:
        """Whether the crossmember's end embraces the rail, which then keeps its shape there."""
        return self.kind == "wrapped"

    def spread(self, share: float) -> JointGeometry:
        """The joint without its gussets, of a crossmember that is larger by that share of them; a joint that has none
        as it is."""
        if self.kind not in GUSSETED:
            return self
        size = "depth" if self.kind == "gusseted upright" else "width"
        return replace(self, kind="butted", gusset=0.0, **{size: getattr(self, size) + 2 * share * self.gusset})

    @property
    def shear_modulus(self) -> float:
        return self.youngs_modulus / 2 / (1 + self.poissons_ratio)

    @property
    def clear_depth(self) -> float:
        """Height of the web between the flanges."""
        return self.rail_depth - self.top - self.bottom

    def gaps(self) -> tuple[float, float]:
        """Clear height of bare web above and below the crossmember, 0 where it reaches the flange."""
        above = self.rail_depth / 2 - self.top - self.height - self.depth / 2
        below = self.rail_depth / 2 - self.bottom + self.height - self.depth / 2
        return max(above, 0.0), max(below, 0.0)

    def plate(self, thickness: float) -> float:
        """Bending stiffness of a plate, E t^3/12(1 - nu^2), in N mm."""
        return self.youngs_modulus * thickness**3 / 12 / (1 - self.poissons_ratio**2)


@dataclass(frozen=True, slots=True, eq=False)
class JointEstimate:
    """Springs between a crossmember's end and the rail's section, at the crossmember's centroid on the web's face.

    `stiffness`, `low` and `high` have the shape (6,): along the vehicle's x (rearward), y (right), z (up) in N/mm, then
    about them in N mm/rad; inf is rigid.  Of the joints of that kind that were solved in solids 90 % lie between low
    and high; what the solids leave out (welds, corner radii, fasteners, a next joint close by) is not in the range.
    """

    stiffness: Array
    low: Array
    high: Array
    kind: str
    source: str
    warnings: tuple[str, ...]

    def __post_init__(self) -> None:
        for array in (self.stiffness, self.low, self.high):
            array.setflags(write=False)


@dataclass(frozen=True, slots=True)
class WarpingLink:
    """Warping spring of an open crossmember: B = stiffness (w_crossmember - link w_rail), w the twist rates in rad/mm.

    B is the bimoment in N mm2, stiffness in N mm3/rad; link is 0 on box rails (the spring goes to ground), +1 or -1 on
    channel rails.  `low` and `high` as in JointEstimate.
    """

    stiffness: float
    low: float
    high: float
    link: int
