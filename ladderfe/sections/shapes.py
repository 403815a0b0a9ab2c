"""Shapes that a tape measure describes; each knows its walls.

Section axes: y to the right and z up as seen looking along the member's x' axis, origin in the middle of the
shape's outline (mid-width, mid-depth).  All sizes are outside dimensions in mm.  `minus` and `plus` are the
upright walls on the -y and the +y side.  On the right rail minus is the inner and plus the outer wall, on the
left rail the other way round; on a crossmember (x' to the right, y' forward) minus is the rear and plus the
front wall.  `side_names` carries those words into the wall names.  `depth` is always the upright and `width` the
sideways size of the outline, however the shape is turned.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from ladderfe.errors import ModelError
from ladderfe.sections.ring import ring_walls
from ladderfe.sections.runs import Leg, walls_of_run
from ladderfe.sections.walls import Point, Section, Wall

__all__ = ["Angle", "Box", "Channel", "Flat", "Plain", "TopHat", "Tube"]

Opens = Literal["+y", "-y", "+z", "-z"]
Corner = Literal["-y-z", "+y-z", "-y+z", "+y+z"]
Sides = tuple[str, str]
SIDES: Sides = ("minus", "plus")
TURNED: dict[str, Opens] = {"+y": "-y", "-y": "+y", "+z": "+z", "-z": "-z"}


def _positive(shape: object, **sizes: float) -> None:
    for name, size in sizes.items():
        if not 0 < size < float("inf"):
            raise ModelError(type(shape).__name__.lower(), f"{name} is {size} mm", "Give a size greater than 0 in mm")


def _fits(shape: object, fits: bool, problem: str, hint: str) -> None:
    if not fits:
        raise ModelError(type(shape).__name__.lower(), problem, hint)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """Closed box.  Thickness by wall (thinned from the inside, the outside stays), and outside corner `radius`.

    Wall names: "top", "bottom" and the two side names.
    """

    depth: float
    width: float
    top: float
    bottom: float
    minus: float
    plus: float
    radius: float = 0.0

    def __post_init__(self) -> None:
        _positive(self, depth=self.depth, width=self.width, top=self.top, bottom=self.bottom, minus=self.minus,
                  plus=self.plus)
        _fits(self, self.top + self.bottom < self.depth and self.minus + self.plus < self.width,
              f"its walls leave no room inside {self.depth} x {self.width} mm", "Give the walls' thickness in mm")
        _fits(self, 0 <= 2 * self.radius <= min(self.depth, self.width),
              f"radius {self.radius} mm does not fit {self.depth} x {self.width} mm", "Give the outside corner radius")

    @property
    def closed(self) -> bool:
        return True

    def section(self, side_names: Sides = SIDES) -> Section:
        return _box_section(self, side_names)

    def mirrored(self) -> Box:
        return replace(self, minus=self.plus, plus=self.minus)

    def landing(self, direction: int) -> float:
        return direction * self.width / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """Channel that opens toward `opens`; `lip` is the outside height of inward lips (0: none), thick as their flange.

    Opening sideways, `top` and `bottom` are the flanges' thicknesses and the wall names are "top", "web", "bottom".
    Opening up or down the web lies; `top` is then the thickness of the upright flange on the -y side, `bottom` of that
    on the +y side, and the flanges bear the side names.  Lips are called "<flange> lip".
    """

    depth: float
    width: float
    web: float
    top: float
    bottom: float
    opens: Opens
    radius: float = 0.0
    lip: float = 0.0

    def __post_init__(self) -> None:
        _positive(self, depth=self.depth, width=self.width, web=self.web, top=self.top, bottom=self.bottom)
        _fits(self, self.opens in TURNED, f"it opens toward {self.opens!r}", "Write +y, -y, +z or -z")
        across, reach = self._across, self._reach
        _fits(self, self.top + self.bottom < across and self.web < reach,
              f"its walls leave no room inside {self.depth} x {self.width} mm", "Give the walls' thickness in mm")
        rounded = 2 if self.lip else 1
        _fits(self, 0 <= 2 * self.radius <= across and rounded * self.radius <= reach
              and (not self.lip or self.radius < self.lip),
              f"radius {self.radius} mm does not fit", "Give the outside corner radius")
        thickest = max(self.top, self.bottom)
        _fits(self, self.lip == 0 or (thickest < self.lip <= across / 2 and self.web + thickest < reach),
              f"lip {self.lip} mm does not fit", "Give the lip's outside height, 0 for none")

    @property
    def _across(self) -> float:
        return self.depth if self.opens[1] == "y" else self.width

    @property
    def _reach(self) -> float:
        return self.width if self.opens[1] == "y" else self.depth

    @property
    def closed(self) -> bool:
        return False

    def section(self, side_names: Sides = SIDES) -> Section:
        return _channel_section(self, side_names)

    def mirrored(self) -> Channel:
        if self.opens[1] == "z":
            return replace(self, top=self.bottom, bottom=self.top)
        return replace(self, opens=TURNED[self.opens])

    def landing(self, direction: int) -> float:
        open_to_it = self.opens == ("+y" if direction > 0 else "-y")
        return direction * (self.web - self.width / 2 if open_to_it else self.width / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """Round tube; its quarters are called "top", "bottom" and by the side names."""

    diameter: float
    wall: float

    def __post_init__(self) -> None:
        _positive(self, diameter=self.diameter, wall=self.wall)
        _fits(self, 2 * self.wall < self.diameter, f"wall {self.wall} mm does not fit diameter {self.diameter} mm",
              "Give the wall's thickness in mm")

    @property
    def depth(self) -> float:
        return self.diameter

    @property
    def width(self) -> float:
        return self.diameter

    @property
    def closed(self) -> bool:
        return True

    def section(self, side_names: Sides = SIDES) -> Section:
        return _tube_section(self, side_names)

    def mirrored(self) -> Tube:
        return self

    def landing(self, direction: int) -> float:
        return direction * self.diameter / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class TopHat:
    """Top-hat: a crown, two sides and two brims, one thickness; it opens toward `opens`, where the brims lie.

    `depth` and `width` are the outline's, brims included; `brim` is how far each brim stands out from its side's face.
    Opening up or down the walls are called "crown", the side names, and "<side> brim"; opening sideways the sides are
    "top" and "bottom".
    """

    depth: float
    width: float
    wall: float
    brim: float
    opens: Opens
    radius: float = 0.0

    def __post_init__(self) -> None:
        _positive(self, depth=self.depth, width=self.width, wall=self.wall, brim=self.brim)
        _fits(self, self.opens in TURNED, f"it opens toward {self.opens!r}", "Write +y, -y, +z or -z")
        across, reach = (self.depth, self.width) if self.opens[1] == "y" else (self.width, self.depth)
        _fits(self, 2 * self.brim + 2 * self.wall < across and 2 * self.wall < reach,
              f"brims of {self.brim} mm and walls of {self.wall} mm leave no room in {self.depth} x {self.width} mm",
              "Give the brim from the face of the side to its edge")
        _fits(self, 0 <= 2 * self.radius <= min(reach, across - 2 * self.brim) and self.radius < self.brim + self.wall,
              f"radius {self.radius} mm does not fit", "Give the outside radius of the bends")

    @property
    def closed(self) -> bool:
        return False

    def section(self, side_names: Sides = SIDES) -> Section:
        return _hat_section(self, side_names)

    def mirrored(self) -> TopHat:
        return replace(self, opens=TURNED[self.opens])

    def landing(self, direction: int) -> float:
        if self.opens[1] == "z":
            return direction * (self.width / 2 - self.brim)
        open_to_it = self.opens == ("+y" if direction > 0 else "-y")
        return direction * (self.wall - self.width / 2 if open_to_it else self.width / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Flat:
    """Flat plate, `depth` upright by `thickness` sideways; where `thickness` is the larger size the plate lies.

    Its one wall is called "plate".
    """

    depth: float
    thickness: float

    def __post_init__(self) -> None:
        _positive(self, depth=self.depth, thickness=self.thickness)

    @property
    def width(self) -> float:
        return self.thickness

    @property
    def closed(self) -> bool:
        return False

    def section(self, side_names: Sides = SIDES) -> Section:
        half: Point = (0.0, self.depth / 2) if self.depth >= self.thickness else (self.thickness / 2, 0.0)
        thin = min(self.depth, self.thickness)
        return Section((Wall("plate", (-half[0], -half[1]), half, thin),), side_names=side_names)

    def mirrored(self) -> Flat:
        return self

    def landing(self, direction: int) -> float:
        return direction * self.thickness / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """Angle with its heel in the outline's corner `corner`, such as "-y-z" (lower, minus side).

    The upright leg bears the side name of its side, the lying one is "top" or "bottom".  `wall` is the thickness of the
    upright leg, `lying` that of the lying one (0, or left out: as `wall`).
    """

    depth: float
    width: float
    wall: float
    corner: Corner
    radius: float = 0.0
    lying: float = 0.0

    def __post_init__(self) -> None:
        if self.lying == 0:
            object.__setattr__(self, "lying", self.wall)
        _positive(self, depth=self.depth, width=self.width, wall=self.wall, lying=self.lying)
        _fits(self, self.corner in ("-y-z", "+y-z", "-y+z", "+y+z"), f"its heel is at {self.corner!r}",
              "Write -y-z, +y-z, -y+z or +y+z")
        smaller, thickest = min(self.depth, self.width), max(self.wall, self.lying)
        _fits(self, thickest < smaller, f"wall {thickest} mm does not fit", "Give the wall's thickness in mm")
        _fits(self, 0 <= self.radius < smaller, f"radius {self.radius} mm does not fit", "Give the outside radius")

    @property
    def closed(self) -> bool:
        return False

    def section(self, side_names: Sides = SIDES) -> Section:
        return _angle_section(self, side_names)

    def mirrored(self) -> Angle:
        flipped: dict[str, Corner] = {"-y-z": "+y-z", "+y-z": "-y-z", "-y+z": "+y+z", "+y+z": "-y+z"}
        return replace(self, corner=flipped[self.corner])

    def landing(self, direction: int) -> float:
        heel = 1 if self.corner[0] == "+" else -1
        return heel * (self.width / 2 - (0 if heel == direction else self.wall))


Plain = Box | Channel | Tube | TopHat | Flat | Angle


# --- the walls of each shape --------------------------------------------------------------------------------------


@lru_cache(maxsize=4096)
def _box_section(box: Box, sides: Sides) -> Section:
    top, bottom = box.depth / 2 - box.top / 2, box.bottom / 2 - box.depth / 2
    minus, plus = box.minus / 2 - box.width / 2, box.width / 2 - box.plus / 2
    corners = [(minus, bottom), (plus, bottom), (plus, top), (minus, top), (minus, bottom)]
    legs = [Leg("bottom", box.bottom), Leg(sides[1], box.plus, 1), Leg("top", box.top), Leg(sides[0], box.minus, 1)]
    walls, fillets = walls_of_run(corners, legs, box.radius)
    return Section(tuple(walls), tuple(fillets), sides)


@lru_cache(maxsize=4096)
def _channel_section(shape: Channel, sides: Sides) -> Section:
    """Drawn opening toward +y, then turned; seen so, "top" is the flange at +z."""
    names = ("top", "bottom") if shape.opens[1] == "y" else sides
    across, reach = shape._across, shape._reach
    back, top, bottom = shape.web / 2 - reach / 2, across / 2 - shape.top / 2, shape.bottom / 2 - across / 2
    tip_top = tip_bottom = reach / 2
    if shape.lip:
        tip_top, tip_bottom = reach / 2 - shape.top / 2, reach / 2 - shape.bottom / 2
    corners = [(tip_top, top), (back, top), (back, bottom), (tip_bottom, bottom)]
    legs = [Leg(names[0], shape.top, 1), Leg("web", shape.web, 2), Leg(names[1], shape.bottom, 1)]
    if shape.lip:
        corners = [(tip_top, across / 2 - shape.lip), *corners, (tip_bottom, shape.lip - across / 2)]
        legs = [Leg(f"{names[0]} lip", shape.top), *legs, Leg(f"{names[1]} lip", shape.bottom)]
    return _turned(corners, legs, shape.radius, shape.opens, sides)


@lru_cache(maxsize=4096)
def _hat_section(shape: TopHat, sides: Sides) -> Section:
    """Drawn opening toward +y (crown at -y), then turned."""
    names = ("top", "bottom") if shape.opens[1] == "y" else sides
    across, reach = (shape.depth, shape.width) if shape.opens[1] == "y" else (shape.width, shape.depth)
    half = shape.wall / 2
    crown, rim, side, edge = half - reach / 2, reach / 2 - half, across / 2 - shape.brim - half, across / 2
    corners = [(rim, edge), (rim, side), (crown, side), (crown, -side), (rim, -side), (rim, -edge)]
    legs = [Leg(f"{names[0]} brim", shape.wall), Leg(names[0], shape.wall, 1), Leg("crown", shape.wall, 2),
            Leg(names[1], shape.wall, 1), Leg(f"{names[1]} brim", shape.wall)]
    return _turned(corners, legs, shape.radius, shape.opens, sides)


@lru_cache(maxsize=1024)
def _angle_section(shape: Angle, sides: Sides) -> Section:
    y, z = (1 if sign == "+" else -1 for sign in (shape.corner[0], shape.corner[2]))
    upright, lying = y * (shape.width - shape.wall) / 2, z * (shape.depth - shape.lying) / 2
    corners = [(upright, -z * shape.depth / 2), (upright, lying), (-y * shape.width / 2, lying)]
    legs = [Leg(sides[y > 0], shape.wall, 1), Leg("top" if z > 0 else "bottom", shape.lying)]
    walls, fillets = walls_of_run(corners, legs, shape.radius)
    return Section(tuple(walls), tuple(fillets), sides)


@lru_cache(maxsize=1024)
def _tube_section(shape: Tube, sides: Sides) -> Section:
    return Section(tuple(ring_walls(shape.diameter, shape.wall, (sides[1], "top", sides[0], "bottom"))),
                   side_names=sides)


def _turned(corners: list[Point], legs: list[Leg], radius: float, opens: Opens, sides: Sides) -> Section:
    """A run drawn opening toward +y, brought to where it opens: +z turns it (its top goes to -y), -y and -z mirror."""
    if opens[1] == "z":
        corners = [(-z, y) for y, z in corners]
    if opens == "-y":
        corners = [(-y, z) for y, z in corners]
    if opens == "-z":
        corners = [(y, -z) for y, z in corners]
    walls, fillets = walls_of_run(corners, legs, radius)
    return Section(tuple(walls), tuple(fillets), sides)
