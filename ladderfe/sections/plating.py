"""Metal put back on a shape: plates welded on, and pieces let in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from ladderfe.errors import ModelError
from ladderfe.sections.plated import Plate, Plated, Shape, open_side
from ladderfe.sections.shapes import SIDES, Angle, Box, Channel, Sides
from ladderfe.sections.thinned import same_wall, thinned, wall_thickness

__all__ = ["let_in", "plated", "sleeved"]


def plated(shape: Shape, plates: Iterable[Plate], sides: Sides = SIDES) -> Shape:
    """The shape with plates welded on; `sides` are the words for its faces toward -y and +y in the plates' walls.

    Plates of no thickness are left out, and a shape without plates is the shape itself.  Plates on a plated shape are
    added to those it has.  A plate flush between the flanges of a channel with sharp corners makes a box, which it is.

    Raises ModelError where a plate has no wall to lie on.
    """
    own = [replace(p, wall=_spelled(p.wall, sides)) for p in plates if p.thickness > 0]
    base = shape.base if isinstance(shape, Plated) else shape
    every = [*(shape.plates if isinstance(shape, Plated) else ()), *own]
    flush = next((p for p in every if p.kind == "boxing"), None)
    if flush is not None and isinstance(base, Channel) and not base.radius and not base.lip:
        Plated(base=base, plates=(flush,))  # raises where it does not fit
        box = _boxed(base, flush.thickness)
        base, every = box, [_moved(base, box, p) for p in every if p is not flush]
    return Plated(base=base, plates=tuple(every)) if every else base


def let_in(shape: Shape, wall: str, thickness: float, sides: Sides = SIDES) -> Shape:
    """The shape with a piece of plate let in for a wall, butt-welded into it: the wall is so thick again.

    Also for a wall that is gone: a channel becomes a box, an angle the channel or, for the wall on its free upright or
    lying side, that one.  Raises ModelError for a name that neither is nor was a wall of the shape.
    """
    if isinstance(shape, Plated):
        inner = let_in(shape.base, wall, thickness, sides)
        return plated(inner, (_moved(shape.base, inner, p) for p in shape.plates))
    if wall in wall_thickness(shape, sides):
        return thinned(shape, {wall: thickness}, sides)
    name = _spelled(wall, sides)
    if isinstance(shape, Channel) and not shape.lip and name == open_side(shape) and thickness > 0:
        return _boxed(shape, thickness)
    if isinstance(shape, Angle) and name in ("top", "bottom", *SIDES) and thickness > 0:
        return _channel(shape, name, thickness)
    known = ", ".join(wall_thickness(shape, sides))
    raise ModelError(type(shape).__name__.lower(), f"no piece can be let in for its wall {wall!r}",
                     f"Its walls are {known}")


def sleeved(box: Box, thickness: float) -> Shape:
    """The box with a close-fitting sleeve inside: four plates that fill its inner faces, welded along their edges."""
    walls = ("minus", "plus", "top", "bottom")
    return plated(box, [Plate(wall=w, thickness=thickness, face="inside") for w in walls])


def _spelled(wall: str, sides: Sides) -> str:
    """A wall in the words of `Plate.wall`."""
    back = {sides[0]: SIDES[0], sides[1]: SIDES[1]}
    return " ".join(back.get(word, word) for word in wall.split(" "))


def _boxed(channel: Channel, thickness: float) -> Box:
    """The box that a wall on a channel's open side makes of it."""
    side = open_side(channel)
    if channel.opens[1] == "y":
        walls = {"top": channel.top, "bottom": channel.bottom, "minus" if side == "plus" else "plus": channel.web}
    else:
        walls = {"minus": channel.top, "plus": channel.bottom, "top" if side == "bottom" else "bottom": channel.web}
    return Box(depth=channel.depth, width=channel.width, radius=channel.radius, **{**walls, side: thickness})


def _channel(angle: Angle, wall: str, thickness: float) -> Channel:
    """The channel that one more wall makes of an angle."""
    heel_side, heel_level = SIDES[angle.corner[0] == "+"], "top" if angle.corner[2] == "+" else "bottom"
    sizes = {"depth": angle.depth, "width": angle.width, "radius": angle.radius}
    if wall in ("top", "bottom"):
        flanges = {heel_level: angle.lying, wall: thickness}
        return Channel(**sizes, **flanges, web=angle.wall, opens="-y" if heel_side == "plus" else "+y")
    flanges = {"top" if side == "minus" else "bottom": t for side, t in ((heel_side, angle.wall), (wall, thickness))}
    return Channel(**sizes, **flanges, web=angle.lying, opens="-z" if heel_level == "top" else "+z")


def _moved(before: Shape, after: Shape, plate: Plate) -> Plate:
    """A plate under the name that its wall has in another shape of the same outline."""
    return plate if plate.kind != "lapped" else replace(plate, wall=same_wall(before, after, plate.wall))
