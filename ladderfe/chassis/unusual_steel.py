"""Unusual sizes of the steel: walls, outlines, joints, material and limits."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Final

from ladderfe.chassis import usual
from ladderfe.chassis.types import Chassis, Crossmember, Joint, Outrigger, Rail
from ladderfe.chassis.unusual_places import called
from ladderfe.chassis.usual import Unusual
from ladderfe.sections import Box, Channel, Flat, Plated, Shape, Tube, wall_thickness
from ladderfe.sections.plated import wall_called

__all__ = ["CROSS_SIDES", "SIDES", "unusual_steel"]

Found = Iterator[Unusual]
KILOGRAM_METRE: Final = 1e-12  # kg/m3 in t/mm3
#: What the walls at -y and +y of a section are called on a rail, and on a crossmember or outrigger.
SIDES: Final = {"left": ("outer", "inner"), "right": ("inner", "outer")}
CROSS_SIDES: Final = ("rear", "front")


def unusual_steel(chassis: Chassis) -> Found:
    """Walls, outside sizes and joints part by part, then the material and the limits."""
    for rail in chassis.rails:
        yield from _rail(rail)
    for c in chassis.crossmembers:
        yield from _crossmember(c)
    for o in chassis.outriggers:
        yield from _outrigger(o)
    for d in chassis.diaphragms:
        yield from usual.DIAPHRAGM.look(f"{called('diaphragm', d.name)}, thickness", d.thickness)
    yield from _material(chassis)
    yield from _criteria(chassis)


def _rail(rail: Rail) -> Found:
    for span in rail.spans:
        if span.shape_end is None or span.shape_end == span.shape:
            ends = {f"{rail.name} from {span.start:g} to {span.end:g} mm": span.shape}
        else:
            ends = {f"{rail.name} at {x:g} mm": s for x, s in ((span.start, span.shape), (span.end, span.shape_end))}
        for where, shape in ends.items():
            yield from _walls(shape, where, SIDES[rail.side])
            word = "diameter" if isinstance(shape, Tube) else "depth"
            found = [*usual.RAIL_DEPTH.look(f"{where}, {word}", shape.depth)]
            if not isinstance(shape, Flat | Tube):
                found += usual.RAIL_WIDTH.look(f"{where}, width", shape.width)
                found = found or [*usual.WIDTH_OF_DEPTH.of(shape.depth).look(f"{where}, width", shape.width)]
            yield from found


def _crossmember(c: Crossmember) -> Found:
    where = called("crossmember", c.name)
    yield from _member(c.shape, where)
    yield from _joint(c.joint_left, f"{where}, joint at left rail")
    yield from _joint(c.joint_right, f"{where}, joint at right rail")


def _outrigger(o: Outrigger) -> Found:
    where = called("outrigger", o.name)
    yield from _member(o.shape, where)
    yield from usual.OUTRIGGER.look(f"{where}, length", o.length)
    yield from _joint(o.joint, f"{where}, joint")


def _member(shape: Shape, where: str) -> Found:
    yield from _walls(shape, where, CROSS_SIDES)
    if isinstance(shape, Tube):
        yield from usual.MEMBER_SIZE.look(f"{where}, diameter", shape.diameter)
        return
    yield from usual.MEMBER_SIZE.look(f"{where}, {'size' if isinstance(shape, Flat) else 'depth'}", _larger(shape))
    if not isinstance(shape, Flat):
        yield from usual.MEMBER_SIZE.look(f"{where}, width", shape.width)


def _larger(shape: Shape) -> float:
    return max(shape.depth, shape.width) if isinstance(shape, Flat) else shape.depth


def _walls(shape: Shape, where: str, sides: tuple[str, str]) -> Found:
    """Walls of one section against their usual thickness, else against the outline; those alike are told together."""
    by_thickness: dict[float, list[str]] = {}
    walls = _thicknesses(shape, sides)
    for name, thickness in walls.items():
        by_thickness.setdefault(thickness, []).append(name)
    least = min(shape.depth, shape.width)
    for thickness, names in by_thickness.items():
        words = "wall" if len(names) == len(walls) else f"{_listed(names)} wall"
        found = list(usual.WALL.look(f"{where}, {words}", thickness))
        if not found and not isinstance(shape, Flat):
            found = list(usual.WALL_PART.of(least).look(f"{where}, {words} on {least:g} mm outside", thickness))
        yield from found


def _thicknesses(shape: Shape, sides: tuple[str, str]) -> dict[str, float]:
    """Walls by name; one without a name where all are alike by their nature."""
    if isinstance(shape, Plated):
        walls = wall_thickness(shape, sides)
        names = (wall_called(p.wall, sides) for p in shape.plates)
        return walls | {f"{name} plate": p.thickness for name, p in zip(names, shape.plates, strict=True)}
    if isinstance(shape, Box):
        return {"top": shape.top, "bottom": shape.bottom, sides[0]: shape.minus, sides[1]: shape.plus}
    if isinstance(shape, Channel):
        flanges = sides if shape.opens[1] == "z" else ("top", "bottom")
        return {"web": shape.web, flanges[0]: shape.top, flanges[1]: shape.bottom}
    return {"": min(shape.depth, shape.thickness) if isinstance(shape, Flat) else shape.wall}


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _joint(joint: Joint, where: str) -> Found:
    if joint.doubler:
        yield from usual.DOUBLER.look(f"{where}, doubler", joint.doubler)
        yield from usual.MARGIN.look(f"{where}, margin", joint.margin)
    if joint.gusset:
        yield from usual.GUSSET.look(f"{where}, gusset", joint.gusset)


def _material(chassis: Chassis) -> Found:
    m = chassis.material
    yield from usual.MODULUS.look("material, youngs_modulus", m.youngs_modulus)
    yield from usual.POISSON.look("material, poissons_ratio", m.poissons_ratio)
    if m.density:  # none at all is a choice: the weight is then elsewhere
        yield from usual.DENSITY.look("material, density", m.density / KILOGRAM_METRE)
    if m.yield_stress is not None:
        yield from usual.YIELD.look("material, yield_stress", m.yield_stress)


def _criteria(chassis: Chassis) -> Found:
    """Limits by themselves, else against the yield stress where that is known."""
    c, known = chassis.criteria, chassis.material.yield_stress or inf
    for name, value, range_, of_yield in (
        ("bending", c.bending, usual.BENDING, usual.OF_YIELD),
        ("shear", c.shear, usual.SHEAR, usual.OF_SHEAR_YIELD),
        ("von_mises", c.von_mises, usual.VON_MISES, usual.OF_YIELD),
    ):
        where = f"criteria, {name}"
        yield from list(range_.look(where, value)) or of_yield.of(known).look(f"{where} beside the yield stress", value)
