"""The mesh: what the solver needs to know of a chassis, and the names by which people know its places."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from operator import attrgetter
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Material
from ladderfe.joints import Meeting
from ladderfe.sections import Section, Shape

__all__ = ["Bridge", "Mesh", "Part", "PartKind", "Place", "Plate", "SoftJoint"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
PartKind = Literal["rail", "crossmember", "outrigger"]


@dataclass(frozen=True, slots=True)
class Part:
    """A rail, crossmember or outrigger: its name, side ("left", "right", or "" for crossmembers) and the run of its
    members, `first` to `last` (exclusive), in order along x'."""

    name: str
    kind: PartKind
    side: str
    first: int
    last: int

    @property
    def called(self) -> str:
        """Its name with what it is: "left rail", "crossmember gearbox"."""
        return self.name if self.kind == "rail" or self.kind in self.name else f"{self.kind} {self.name}"

    @property
    def members(self) -> range:
        return range(self.first, self.last)


@dataclass(frozen=True, slots=True)
class Place:
    """A named point of the frame: a node and the arm from it to the true place, vehicle axes, mm.

    follow: for each racking or warping unknown of the node what a unit of it does to the place, six movements.
    """

    node: int
    arm: tuple[float, float, float]
    follow: tuple[tuple[float, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class SoftJoint:
    """End (0 or 1) of a member that meets its node through springs, N/mm and N mm/rad about vehicle axes; inf rigid.

    given: stated by the user, else estimated; warnings come with an estimate.  meeting: how the walls hold the end of a
    crossmember where that was estimated; it then stands in place of `stiffness`.  warping, link: how the warping of an
    open crossmember's end is held, as in `Meeting`.
    """

    member: int
    end: int
    kind: str
    stiffness: tuple[float, ...]
    given: bool = False
    warnings: tuple[str, ...] = ()
    meeting: Meeting | None = None
    warping: float = 0.0
    link: int = 0


@dataclass(frozen=True, slots=True)
class Plate:
    """A diaphragm at a node of a rail that racks; `member`, the rail's one before or behind it, is the one it is
    counted to.  Stiffness on the node's racking, N mm, and on its warping, N mm3 x mm."""

    node: int
    member: int
    racking: float
    warping: float


@dataclass(frozen=True, slots=True, eq=False)
class Bridge:
    """Two nodes of a rail that rack, on both sides of an opening, the first member between them, and stiffness (2, 2)
    on the racking of both, N mm."""

    nodes: tuple[int, int]
    member: int
    stiffness: Array


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """n nodes, m members; vehicle axes, mm.

    nodes (n, 3); ends (m, 2); arms (m, 2, 3) from the node to the member's end; axes (m, 3, 3) rows x' y' z';
    section_of (m,) index into `sections`, end_sections (m, 2) the true ones at both ends (others in tapers); along
    (m, 2) the coordinate of both ends along the part (station on rails, y on crossmembers and outriggers); tapered
    (m,) true where the member stands for a stretch of taper.  `joints` are all ends that meet a rail, soft or rigid.
    shapes: of the sections.  least_sections, least_shapes: those that strength is judged by, numbered alike, the same
    objects where nothing differs; stiffness and mass go by `sections`.  kind (m,), extras (n,): kernels and the nodes'
    unknowns beside the six, see `walls`; follow (m, 2, 8, 2) as in the solver's frame; origin (m, 3) of the sectorial
    coordinates of open members.
    plates: diaphragms, those at nodes that rack.  bridges: what holds the edges of openings in box rails together.
    """

    nodes: Array
    node_names: tuple[str, ...]
    ends: IntArray
    arms: Array
    axes: Array
    lengths: Array
    sections: tuple[Section, ...]
    shapes: tuple[Shape, ...]
    least_sections: tuple[Section, ...]
    least_shapes: tuple[Shape, ...]
    section_of: IntArray
    end_sections: IntArray
    along: Array
    kind: IntArray
    extras: IntArray
    follow: Array
    origin: Array
    tapered: NDArray[np.bool_]
    parts: tuple[Part, ...]
    joints: tuple[SoftJoint, ...]
    places: Mapping[str, Place]
    material: Material
    plates: tuple[Plate, ...] = ()
    bridges: tuple[Bridge, ...] = ()

    def part(self, name: str) -> Part:
        """The part of that name; KeyError if there is none."""
        for p in self.parts:
            if p.name == name:
                return p
        raise KeyError(name)

    def part_of(self) -> IntArray:
        """(m,) index into `parts`."""
        return np.repeat(np.arange(len(self.parts)), [p.last - p.first for p in self.parts])

    def part_at(self, member: int) -> Part:
        """The part that a member belongs to."""
        return self.parts[bisect_right(self.parts, member, key=attrgetter("last"))]

    def end_points(self) -> Array:
        """(m, 2, 3) true places of the member ends on their reference lines."""
        return self.nodes[self.ends] + self.arms

    def member_name(self, member: int) -> str:
        """Name of a member: its part, and on rails where along it."""
        return self._named(self.part_at(member), *self.along[member].tolist())

    def member_names(self) -> tuple[str, ...]:
        """Names of all members."""
        along = self.along.tolist()
        return tuple(self._named(p, *along[m]) for p in self.parts for m in p.members)

    @staticmethod
    def _named(part: Part, a: float, b: float) -> str:
        return f"{part.name} from {a:.0f} to {b:.0f} mm" if part.kind == "rail" else part.called
