"""Shapes with plates welded on: doublers lapped on their walls, and plates that box a channel."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.sections.plates import Lap, boxing_plate, lapped_plates
from ladderfe.sections.shapes import SIDES, Channel, Plain, Sides, Tube
from ladderfe.sections.walls import Section, Wall

__all__ = ["BOXING", "Plate", "Plated", "Shape", "wall_called", "lies_on", "open_side"]

#: What the plate between or over a channel's flanges is called.
BOXING = "boxing plate"
#: Throat of a weld that nobody stated over the thinner of plate and wall: a fillet with a leg as large as that.
FULL_LEG = 0.7
#: The wall on a channel's open side by where it opens.
OPEN_SIDE = {"+y": "plus", "-y": "minus", "+z": "top", "-z": "bottom"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """A plate welded on along its two edges, mm.

    wall: the wall it lies on, in the words of a shape whose sides are "minus" (toward -y) and "plus"; of a plate that
    boxes a channel the side it closes.  width: None for the whole flat of the wall (inside: between the faces of the
    walls beside it; lying plates end at upright ones).  centre: of the plate from the middle of the flat, toward +y on
    walls that lie and +z on upright ones; None: centred on that flat.  face: "outside" or "inside".  throat: of the
    welds, None 0.7 of the thinner of plate and wall (a fillet with a leg as large; common practice, no source).
    kind: "lapped" on a wall, "boxing" between the flanges of a channel flush with their edges, or "over" these edges.
    """

    wall: str
    thickness: float
    width: float | None = None
    centre: float | None = None
    face: Literal["outside", "inside"] = "outside"
    throat: float | None = None
    kind: Literal["lapped", "boxing", "over"] = "lapped"

    def __post_init__(self) -> None:
        where = f"plate on wall {self.wall}"
        for name in ("thickness", "width", "throat"):
            value = getattr(self, name)
            least = value >= 0 if name == "thickness" and value is not None else value is None or value > 0
            if not least or (value is not None and not value < float("inf")):
                raise ModelError(where, f"{name} is {value} mm", "Give a size greater than 0 in mm")
        if self.face not in ("outside", "inside"):
            raise ModelError(where, f"it lies on the face {self.face!r}", "Write outside or inside")
        if self.kind not in ("lapped", "boxing", "over"):
            raise ModelError(where, f"it is {self.kind!r}", "Write lapped, boxing or over")


@dataclass(frozen=True, slots=True, kw_only=True)
class Plated:
    """A shape with plates on it; it is placed, met and called by its `base`, whose outline is its depth and width.

    Lapped plates are walls of their own, "<wall> plate" (inside ones "<wall> plate inside", others on the same face
    numbered), joined by "<wall> weld 1" and "2"; the plate on a channel's open side is the "boxing plate".  `plated` in
    `plating` makes one, and leaves plates of no thickness out.  Raises ModelError for plates that do not lie on the
    base's walls, and for a plate over a channel with lips or over anything but a channel.
    """

    base: Plain
    plates: tuple[Plate, ...]

    def __post_init__(self) -> None:
        if isinstance(self.base, Tube):
            raise ModelError("plated", "a tube has no flat wall for a plate", "State a tube of the thickness of both")
        if not self.plates or any(p.thickness == 0 for p in self.plates):
            raise ModelError("plated", "it has a plate of no thickness, or none", "Take the shape itself")
        closing = self.closing
        for p in closing:
            _may_close(self.base, p)
        if len(closing) > 1:
            raise ModelError("plated", f"{len(closing)} plates close its open side", "Give one of them")
        self.section()

    @property
    def closing(self) -> tuple[Plate, ...]:
        """The plate that closes the open side, if there is one."""
        return tuple(p for p in self.plates if p.kind != "lapped")

    @property
    def lapped(self) -> tuple[Plate, ...]:
        return tuple(p for p in self.plates if p.kind == "lapped")

    @property
    def depth(self) -> float:
        return self.base.depth

    @property
    def width(self) -> float:
        return self.base.width

    @property
    def closed(self) -> bool:
        return self.base.closed or bool(self.closing)

    def section(self, side_names: Sides = SIDES) -> Section:
        return _plated_section(self, side_names)

    def mirrored(self) -> Plated:
        return Plated(base=self.base.mirrored(), plates=tuple(_mirrored(self.base, p) for p in self.plates))

    def landing(self, direction: int) -> float:
        """The base's: lapped plates are fitted round what meets the wall; a plate that closes the side is met."""
        for p in self.closing:
            if p.wall == ("plus" if direction > 0 else "minus"):
                return direction * (self.base.width / 2 + (p.thickness if p.kind == "over" else 0.0))
        return self.base.landing(direction)


Shape = Plain | Plated


def open_side(channel: Channel) -> str:
    """The wall that would close a channel, in the words of `Plate.wall`."""
    return OPEN_SIDE[channel.opens]


def wall_called(wall: str, sides: Sides) -> str:
    """A wall's name in a section with these side names, from that with "minus" and "plus"."""
    return wall.replace("minus", sides[0]).replace("plus", sides[1])


def lies_on(base: Shape, wall: str) -> bool:
    """True where a wall of a shape lies, by its flat."""
    flat = base.section().flat(wall)
    return abs(flat.end[0] - flat.start[0]) > abs(flat.end[1] - flat.start[1])


def _may_close(base: Plain, plate: Plate) -> None:
    where = f"plate on wall {plate.wall}"
    if not isinstance(base, Channel) or base.lip:
        kind = "channel with lips" if isinstance(base, Channel) else type(base).__name__.lower()
        raise ModelError(where, f"it is to close a {kind}", "Only a channel without lips is closed by one plate")
    if plate.wall != open_side(base):
        raise ModelError(where, f"the channel is open on its side {open_side(base)}", "Name that side")
    if plate.width is not None or plate.centre is not None:
        raise ModelError(where, "it reaches from flange to flange", "Leave its width and centre out")


def _mirrored(base: Plain, plate: Plate) -> Plate:
    centre = plate.centre
    if centre and plate.kind == "lapped" and lies_on(base, plate.wall):
        centre = -centre
    swap = {"minus": "plus", "plus": "minus"}
    wall = " ".join(swap.get(word, word) for word in plate.wall.split(" "))
    return replace(plate, wall=wall, centre=centre)


@lru_cache(maxsize=4096)
def _plated_section(shape: Plated, sides: Sides) -> Section:
    section = shape.base.section(sides)
    for p in shape.closing:
        flanges = ("top", "bottom") if p.wall in SIDES else sides
        section = boxing_plate(section, *flanges, p.thickness, over=p.kind == "over")
    by_wall: dict[str, list[Lap]] = {}
    for p in shape.lapped:
        own = by_wall.setdefault(wall_called(p.wall, sides), [])
        before = sum(other.inside == (p.face == "inside") for other in own)
        own.append(_lap(shape, p, section.flat(wall_called(p.wall, sides)), before))
    for wall, laps in by_wall.items():
        section = lapped_plates(section, wall, laps)
    return section


def _lap(shape: Plated, plate: Plate, wall: Wall, before: int) -> Lap:
    """The plate as it lies on the flat of its wall; `before`: how many plates the same face has already."""
    inside = plate.face == "inside"
    first, last = _clear(shape, plate) if inside else (0.0, wall.length)
    way = 1 if sum(np.subtract(wall.end, wall.start)) > 0 else -1  # a wall runs along y or z
    centre = (first + last) / 2 if plate.centre is None else wall.length / 2 + way * plate.centre
    width = last - first if plate.width is None else plate.width
    throat = plate.throat or FULL_LEG * min(plate.thickness, wall.thickness)
    suffix = " inside" * inside + (f" {before + 1}" if before else "")
    return Lap(width, plate.thickness, throat, centre, inside, suffix)


def _clear(shape: Plated, plate: Plate) -> tuple[float, float]:
    """Where along its wall's flat, mm from its start, a plate inside finds room between the walls beside it and, where
    it lies, the plates inside on upright ones."""
    section = shape.base.section()
    wall = section.flat(plate.wall)
    lies = lies_on(shape.base, plate.wall)
    inner = {p.wall: p.thickness for p in shape.lapped if p.face == "inside"} if lies else {}
    reach = 1.5 * getattr(shape.base, "radius", 0.0) + 1e-6
    cuts = []
    for end, other_end in ((wall.start, wall.end), (wall.end, wall.start)):
        away = np.subtract(end, other_end) / wall.length
        cut = 0.0
        for name in dict.fromkeys(w.name for w in section.walls if w.name != wall.name and not w.bulge):
            flat = section.flat(name)
            near = min(float(np.hypot(*np.subtract(p, end))) for p in (flat.start, flat.end))
            if near <= reach and lies_on(shape.base, name) != lies:
                beyond = float(away @ np.subtract(flat.start, end))
                cut = max(cut, flat.thickness / 2 - beyond + inner.get(name, 0.0))
        cuts.append(cut)
    return cuts[0], wall.length - cuts[1]
