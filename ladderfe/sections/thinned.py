"""Shapes that lost metal: how thick their walls are, by the names that a person reads, and what is left of them.

Walls lose metal from the inside: the outline stays where it is, so the shape's reference line does too.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import hypot

from ladderfe.errors import ModelError
from ladderfe.sections.plated import Plated, Shape, wall_called
from ladderfe.sections.shapes import SIDES, Angle, Box, Channel, Corner, Flat, Opens, Plain, Sides, TopHat

__all__ = ["faces", "same_wall", "thinned", "wall_thickness"]

#: Where a box opens that lost a wall, by the wall's field, and the fields that become the channel's web, top, bottom.
OPENED: dict[str, tuple[Opens, str, str, str]] = {
    "top": ("+z", "bottom", "minus", "plus"), "bottom": ("-z", "top", "minus", "plus"),
    "plus": ("+y", "minus", "top", "bottom"), "minus": ("-y", "plus", "top", "bottom"),
}  # fmt: skip
#: The field of a wall of one that has no name of its own: one thickness all round.
ALL_ROUND = "wall"


def wall_thickness(shape: Shape, sides: Sides = SIDES) -> dict[str, float]:
    """Thickness in mm of every wall that can be read apart, by its name; `sides` name the faces toward -y and +y.

    Box: "top", "bottom" and the side names.  Channel opening sideways: "top", "web", "bottom", up or down: "web" and
    the side names; lips are as thick as their flange and have no entry.  Angle: a side name and "top" or "bottom".
    Flat: "plate".  Tubes and top-hats have one thickness all round, "wall".  Plated shapes: the walls under the plates.
    """
    if isinstance(shape, Plated):
        return wall_thickness(shape.base, sides)
    return {name: float(getattr(shape, field)) for name, field in _fields(shape, sides).items()}


def thinned(shape: Shape, walls: Mapping[str, float], sides: Sides = SIDES) -> Shape:
    """The shape with the named walls so thick (mm), the outline kept; 0: the wall is gone.

    A box less one wall is a channel that opens there, its flanges as long as the box was wide or deep; a box less two
    neighbouring walls, and a channel less a flange, is an angle.  Of rounded corners beside a lost wall the outline is
    kept too: the neighbouring wall counts as straight to its edge.  Plates stay on the walls that they lie on.

    Raises ModelError for a name that no wall of the shape has, a thickness that is negative or does not fit, where
    what is left does not hang together or has no shape here, and where a wall is gone that carries a plate.
    """
    if isinstance(shape, Plated):
        return _thinned_under(shape, walls, sides)
    fields = _fields(shape, sides)
    known = ", ".join(fields)
    for name, thickness in walls.items():
        if name not in fields:
            raise ModelError(_kind(shape), f"it has no wall called {name!r}", f"Its walls are {known}")
        if not 0 <= thickness < float("inf"):
            raise ModelError(
                _kind(shape),
                f"the thickness of its wall {name} is {thickness} mm",
                "Give a thickness in mm, 0 where the wall is gone",
            )
    gone = {fields[name] for name, thickness in walls.items() if thickness == 0}
    left = {fields[name]: float(thickness) for name, thickness in walls.items() if thickness > 0}
    if not gone:
        return replace(shape, **left) if left else shape  # type: ignore[arg-type]
    whole = replace(shape, **left)  # type: ignore[arg-type]
    rest = _less(whole, gone)
    if rest is None:
        names = " and ".join(name for name, field in fields.items() if field in gone)
        raise ModelError(
            _kind(shape),
            f"without its {names} nothing is left that holds together and has a shape here",
            "Describe what was put in its place, or leave the wall its least thickness",
        )
    return rest


def _thinned_under(shape: Plated, walls: Mapping[str, float], sides: Sides) -> Shape:
    bare = [p.wall for p in shape.lapped if walls.get(wall_called(p.wall, sides)) == 0]
    if bare:
        name = wall_called(bare[0], sides)
        raise ModelError(f"plate on wall {name}", "the wall that it is welded to is gone",
                         "Let in a piece of wall first, or take the plate out")
    base = thinned(shape.base, walls, sides)
    if isinstance(base, Plated):
        return base
    plates = (replace(p, wall=same_wall(shape.base, base, p.wall)) if p.kind == "lapped" else p for p in shape.plates)
    return Plated(base=base, plates=tuple(plates))


def same_wall(before: Shape, after: Shape, wall: str) -> str:
    """What a wall of a shape is wall_called in another one of the same outline: of its walls that which lies nearest.

    Sides are wall_called "minus" and "plus".  Raises ModelError for a name that no wall has.
    """
    flat = before.section().flat(wall)
    y, z = (flat.start[0] + flat.end[0]) / 2, (flat.start[1] + flat.end[1]) / 2

    def away(name: str) -> float:
        other = after.section().flat(name)
        (ys, zs), (ye, ze), length = other.start, other.end, other.length
        share = ((y - ys) * (ye - ys) + (z - zs) * (ze - zs)) / length**2
        share = min(max(share, 0.0), 1.0)
        return hypot(y - ys - share * (ye - ys), z - zs - share * (ze - zs))

    return min(dict.fromkeys(w.name for w in after.section().walls if not w.bulge and w.area > 0), key=away)


def faces(shape: Shape, direction: int) -> bool:
    """True where a wall of the shape stands upright on its outline's side toward +y (`direction` 1) or -y (-1): what a
    member that comes from there is joined to.  Brims and lips do not count."""
    side = "+" if direction > 0 else "-"
    if isinstance(shape, Plated):
        closed = any(p.wall == SIDES[direction > 0] for p in shape.closing)
        return closed or faces(shape.base, direction)
    if isinstance(shape, Angle):
        return shape.corner[0] == side
    return not (isinstance(shape, Channel | TopHat) and shape.opens == f"{side}y")


def _kind(shape: Shape) -> str:
    return type(shape).__name__.lower()


def _fields(shape: Plain, sides: Sides) -> dict[str, str]:
    """Name of every wall -> the field that holds its thickness."""
    if isinstance(shape, Box):
        return {"top": "top", "bottom": "bottom", sides[0]: "minus", sides[1]: "plus"}
    if isinstance(shape, Channel):
        flanges = ("top", "bottom") if shape.opens[1] == "y" else sides
        return {flanges[0]: "top", "web": "web", flanges[1]: "bottom"}
    if isinstance(shape, Angle):
        return {sides[shape.corner[0] == "+"]: "wall", "top" if shape.corner[2] == "+" else "bottom": "lying"}
    if isinstance(shape, Flat):
        return {"plate": "thickness" if shape.depth >= shape.thickness else "depth"}
    return {ALL_ROUND: "wall"}


def _less(shape: Plain, gone: set[str]) -> Plain | None:
    """What is left without the walls of these fields; None where no shape stands for it."""
    if isinstance(shape, Box):
        return _box_less(shape, gone)
    if isinstance(shape, Channel) and not shape.lip and len(gone) == 1 and "web" not in gone:
        return _channel_less(shape, *gone)
    return None


def _box_less(box: Box, gone: set[str]) -> Plain | None:
    """A box less one wall, or less one upright and one lying wall; None for others."""
    wall, *more = sorted(gone)
    opens, web, top, bottom = OPENED[wall]
    if not more:
        return Channel(
            depth=box.depth,
            width=box.width,
            web=getattr(box, web),
            top=getattr(box, top),
            bottom=getattr(box, bottom),
            opens=opens,
            radius=box.radius,
        )
    upright, lying = gone & {"minus", "plus"}, gone & {"top", "bottom"}
    if len(upright) != 1 or len(lying) != 1:
        return None
    corner: Corner = _corner(upright == {"minus"}, lying == {"bottom"})
    return Angle(
        depth=box.depth,
        width=box.width,
        corner=corner,
        radius=box.radius,
        wall=box.plus if corner[0] == "+" else box.minus,
        lying=box.top if corner[2] == "+" else box.bottom,
    )


def _channel_less(channel: Channel, flange: str) -> Angle:
    """A channel without lips less one flange: its web and the other one."""
    kept = channel.bottom if flange == "top" else channel.top
    if channel.opens[1] == "y":
        corner = _corner(channel.opens == "-y", flange == "bottom")
        upright, lying = channel.web, kept
    else:
        corner = _corner(flange == "top", channel.opens == "-z")
        upright, lying = kept, channel.web
    return Angle(
        depth=channel.depth, width=channel.width, corner=corner, radius=channel.radius, wall=upright, lying=lying
    )


def _corner(plus: bool, top: bool) -> Corner:
    """The heel on the plus or the minus side, at the top or the bottom."""
    return ("+y+z" if plus else "-y+z") if top else ("+y-z" if plus else "-y-z")
