"""Joints from the shapes of a chassis: which wall is met, and what stands for shapes that the data do not hold."""

from __future__ import annotations

from typing import Final

from ladderfe.errors import ModelError
from ladderfe.joints.types import CrossmemberKind, JointGeometry
from ladderfe.sections import Angle, Box, Channel, Flat, Plated, Shape, TopHat, Tube, cell_of, faces
from ladderfe.sections.shapes import SIDES, Plain

__all__ = ["from_shapes"]

# By the side to which a crossmember opens in its own section axes (y' forward).
OPENS: Final[dict[str, CrossmemberKind]] = {
    "+y": "channel forward", "-y": "channel rearward", "+z": "channel upward", "-z": "channel downward",
}
Values = dict[str, object]
#: An edge this near to another one is level with it, mm.
SAME: Final = 1e-6


def from_shapes(rail: Shape, crossmember: Shape, direction: int, height: float = 0.0) -> JointGeometry:
    """The joint of a crossmember that comes from the +y or -y side (`direction` 1 or -1) and meets the rail's web.

    `height` is that of its mid-depth above the rail's; the rest (free end, through, doubler, kind, material) is set
    with `changed`.  Rails that are open above or below, and angles, stand as boxes on which those walls were still
    there.  Raises ModelError for rails of other shapes, and where an angle has no wall on that side.
    """
    bare, plates, words = _plates(rail, direction, height, crossmember.depth)
    values = {**_rail(bare, direction), **plates, **_crossmember(_bare(crossmember)), "height": height}
    values["notes"] = (*_rail_notes(bare, direction), *words, *_crossmember_notes(_bare(crossmember)))
    return JointGeometry(**values)  # type: ignore[arg-type]


def _bare(shape: Shape) -> Plain:
    """The shape under its plates; a channel that a plate closes as the box of their mid-lines."""
    if not isinstance(shape, Plated):
        return shape
    cell = cell_of(shape)
    return cell.box if cell and shape.closing else shape.base


def _plates(rail: Shape, direction: int, height: float, depth: float) -> tuple[Plain, Values, list[str]]:
    """The rail without its plates, what they change, and notes.

    Plates on the web that is met are a doubler with the margin of their height, where they reach past the crossmember
    both ways; plates on the other walls of a box count by the thickness that bends as much as both.
    """
    if not isinstance(rail, Plated):
        return rail, {}, []
    cell, met, out = cell_of(rail), _met(rail, direction), Values()
    if cell is not None:
        minus, plus, top, bottom = (float(t) for t in cell.bending)
        out = {"top": top, "bottom": bottom, "far": minus if direction > 0 else plus}
    clear = rail.depth / 2 - max(getattr(rail.base, name, 0.0) for name in ("top", "bottom"))
    low, high = max(height - depth / 2, -clear), min(height + depth / 2, clear)
    margins = []
    for wall in rail.section().walls if met else ():
        if wall.name.startswith(f"{met} plate"):
            ends = sorted((wall.start[1], wall.end[1]))
            margins.append((min(low - ends[0], ends[1] - high), wall.thickness))
    over = [m for m in margins if m[0] >= -SAME]
    if over:
        out |= {"doubler": sum(t for _, t in over), "margin": max(min(m for m, _ in over), 0.0)}
    words = ["a plate over part of the crossmember's end only: left out"] * (len(over) < len(margins))
    if cell is None and any(p.wall != met for p in rail.lapped):
        words.append("no data on plates on the other walls of an open rail: left out")
    return _bare(rail), out, words


def _met(rail: Plated, direction: int) -> str:
    """The wall with plates that a crossmember from that side meets, "" where it meets the plate that closes a side."""
    side = SIDES[direction > 0]
    if any(p.wall == side for p in rail.closing):
        return ""
    return "web" if isinstance(rail.base, Channel) and rail.base.opens[1] == "y" else side


def _rail(rail: Plain, direction: int) -> Values:
    size = {"rail_depth": rail.depth, "rail_width": rail.width}
    if isinstance(rail, Box):
        web, far = (rail.plus, rail.minus) if direction > 0 else (rail.minus, rail.plus)
        return {"rail": "box", **size, "top": rail.top, "bottom": rail.bottom, "web": web, "far": far}
    if isinstance(rail, Channel) and rail.opens[1] == "y":
        return {"rail": "channel", **size, "top": rail.top, "bottom": rail.bottom, "web": rail.web, "far": 0.0}
    if isinstance(rail, Channel):
        web, far = (rail.bottom, rail.top) if direction > 0 else (rail.top, rail.bottom)
        return {"rail": "box", **size, "top": rail.web, "bottom": rail.web, "web": web, "far": far}
    if isinstance(rail, Angle) and faces(rail, direction):
        return {"rail": "box", **size, "top": rail.lying, "bottom": rail.lying, "web": rail.wall, "far": rail.wall}
    raise ModelError("joint", f"no estimate for a rail that is a {type(rail).__name__.lower()}",
                     "State the joint's stiffness")


def _rail_notes(rail: Plain, direction: int) -> list[str]:
    if isinstance(rail, Angle):
        return ["no data on a rail of two walls: taken as a box on which the others were still there, too stiff"]
    if not isinstance(rail, Channel):
        return []
    if rail.opens[1] == "z":
        side = "above" if rail.opens == "+z" else "below"
        notes = [f"no data on a rail that is open {side}: taken as a box on which that wall was still there, too stiff"]
        return notes + ["no data on lipped rails: lips left out"] * bool(rail.lip)
    toward = rail.opens == ("+y" if direction > 0 else "-y")
    notes = [] if toward else ["no data on the back of a channel rail: taken as between its flanges"]
    return notes + ["no data on lipped rails: lips left out"] * bool(rail.lip)


def _crossmember(shape: Plain) -> Values:
    size: Values = {"depth": shape.depth, "width": shape.width}
    if isinstance(shape, Box):
        return {**size, "crossmember": "box", "wall": (shape.top + shape.bottom) / 2}
    if isinstance(shape, Tube):
        return {**size, "crossmember": "tube", "wall": shape.wall}
    if isinstance(shape, Flat):
        return {**size, "crossmember": "flat", "wall": min(shape.depth, shape.thickness)}
    if isinstance(shape, Channel):
        wall = shape.web if shape.opens[1] == "z" else (shape.top + shape.bottom) / 2
        return {**size, "crossmember": OPENS[shape.opens], "wall": wall}
    if isinstance(shape, Angle):
        kind = "channel downward" if shape.corner[2] == "+" else "channel upward"
        return {**size, "crossmember": kind, "wall": shape.lying}
    across = "width" if shape.opens[1] == "z" else "depth"
    without_brims = {across: getattr(shape, across) - 2 * shape.brim}
    return {**size, **without_brims, "crossmember": OPENS[shape.opens], "wall": shape.wall}


def _crossmember_notes(shape: Plain) -> list[str]:
    if isinstance(shape, TopHat):
        return ["no data on top-hat crossmembers: taken as a channel, brims left out"]
    if isinstance(shape, Angle):
        return ["no data on angle crossmembers: taken as a channel of the angle's outline"]
    return ["no data on lipped crossmembers: lips left out"] if isinstance(shape, Channel) and shape.lip else []
