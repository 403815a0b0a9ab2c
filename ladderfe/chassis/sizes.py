"""Sizes in a chassis file -> shapes: which sizes a shape needs, whether they fit, and the shape itself."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import isnan
from typing import Any, Final

from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.errors import ModelError
from ladderfe.sections import Angle, Box, Channel, Flat, Shape, TopHat, Tube

__all__ = ["CROSS", "NEEDS", "RAIL", "Words", "check_sizes", "shape_of", "sizes_of"]

Sizes = Mapping[str, float | str]


@dataclass(frozen=True, slots=True)
class Words:
    """What the sides are called on a kind of part: the wall at -y, the wall at +y, and toward where it opens."""

    part: str
    minus: str
    plus: str
    opens: Mapping[str, str]


#: A rail is read as the right rail, whose inner wall is at -y; the left one mirrors it.
RAIL: Final = Words("rail", "inner", "outer", {"inward": "-y", "outward": "+y", "up": "+z", "down": "-z"})
#: Crossmembers and outriggers run to the right, so that +y of the section is forward.
CROSS: Final = Words("crossmember", "rear", "front", {"rearward": "-y", "forward": "+y", "up": "+z", "down": "-z"})

SIZE_KEYS: Final = (
    "depth",
    "width",
    "wall",
    "top",
    "bottom",
    "web",
    "flange",
    "inner",
    "outer",
    "front",
    "rear",
    "diameter",
    "thickness",
    "brim",
    "lip",
    "radius",
    "opens",
    "corner",
)
#: Per shape: sizes it must have, sizes it may have, and the sizes that together stand for `wall`.
NEEDS: Final[dict[str, tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]]] = {
    "box": (("depth", "width"), ("radius",), ("top", "bottom", "minus", "plus")),
    "channel": (("depth", "width", "opens"), ("radius", "lip"), ("web", "flange")),
    "tube": (("diameter", "wall"), (), ()),
    "top hat": (("depth", "width", "wall", "brim", "opens"), ("radius",), ()),
    "flat": (("depth", "thickness"), (), ()),
    "angle": (("depth", "width", "wall", "corner"), ("radius",), ()),
}


def sizes_of(table: Any, *, end: bool = False) -> dict[str, float | str]:
    """The shape and sizes that a table gives; with `end`, those at the end of its taper."""
    stated = table.model_fields_set
    sizes: dict[str, float | str] = {"shape": table.shape}
    for key in SIZE_KEYS:
        if end and f"{key}_end" in stated:
            sizes[key] = getattr(table, f"{key}_end")
        elif key in stated:
            sizes[key] = getattr(table, key)
    return sizes


def tapers(table: Any) -> bool:
    """Whether a table gives any size at the end of a taper."""
    return any(key.endswith("_end") for key in table.model_fields_set)


def _walls(sizes: Sizes, words: Words) -> tuple[str, ...]:
    """Keys by which the walls of a box or channel are given one by one."""
    if sizes["shape"] == "box":
        return ("top", "bottom", words.minus, words.plus)
    lying = sizes.get("opens") in ("up", "down")
    return ("web", words.minus, words.plus) if lying else ("web", "top", "bottom")


def check_sizes(faults: Faults, path: Path, sizes: Sizes, words: Words, suffix: str = "") -> bool:
    """Note what is wrong with a shape's sizes; true when a shape can be made of them."""
    shape = str(sizes["shape"])
    if faults.checked:
        return True
    if shape not in NEEDS or any(isinstance(v, float) and isnan(v) for v in sizes.values()) or "" in sizes.values():
        return False
    needed, optional, together = NEEDS[shape]
    single = _walls(sizes, words) if together else ()
    one_by_one = (*single, "flange") if shape == "channel" else single
    takes = [*needed, *(("wall",) if together else ()), *one_by_one, *optional]
    advice = _takes(shape, needed, one_by_one, optional)
    foreign = [key for key in sizes if key != "shape" and key not in takes]
    for key in foreign:
        written = key if faults.at((*path, key)) is not None else key + suffix
        faults.add((*path, written), f"is not a size of {_a(shape)}", advice)
    missing = [key for key in needed if key not in sizes]
    for key in missing:
        faults.add((*path, key), "is missing", advice)
    if together and "wall" not in sizes:
        covered = {"top", "bottom", words.minus, words.plus} if "flange" in sizes else set()
        if walls := [k for k in single if k not in sizes and k not in covered]:
            faults.add((*path, "wall"), "is missing", f"Give wall for all walls, or {listed(walls, 'and')} too")
            missing += walls
    return not foreign and not missing and _fits(faults, path, sizes, words, suffix)


def _a(shape: str) -> str:
    return f"an {shape}" if shape[0] == "a" else f"a {shape}"


def _takes(shape: str, needed: tuple[str, ...], one_by_one: tuple[str, ...], optional: tuple[str, ...]) -> str:
    """What a shape takes, in words."""
    walls = [f"wall (or {', '.join(one_by_one)})"] if one_by_one else []
    text = f"{_a(shape)} takes {listed([*needed, *walls], 'and')}"
    return text[0].upper() + text[1:] + (f", and may have {listed(optional, 'and')}" if optional else "")


def _fits(faults: Faults, path: Path, sizes: Sizes, words: Words, suffix: str) -> bool:
    """Whether the sizes make a shape; notes the wall that is too thick, or what the shape itself objects to."""
    for wall, size in (("wall", "depth"), ("wall", "width"), ("wall", "diameter")):
        thick, room = float(sizes.get(wall, 0)), float(sizes.get(size, 1e9))
        sides = 1 if sizes["shape"] == "angle" or (sizes["shape"] == "channel" and size == "width") else 2
        if sides * thick >= room:
            key = wall + suffix if faults.at((*path, wall + suffix)) is not None else wall
            faults.add(
                (*path, key),
                f"leaves no room inside a {size} of {room:g} mm",
                "Give the thickness of the steel in mm, such as 2.5",
            )
            return False
    try:
        shape_of(sizes, words)
    except ModelError as error:
        faults.add(path, error.problem, error.hint, value="")
        return False
    return True


def shape_of(sizes: Sizes, words: Words, radius: float = 0.0) -> Shape:
    """The shape of a rail (as on the right rail), crossmember or outrigger; `radius` where a box or channel gives none.

    Raises ModelError where the sizes do not fit each other.
    """
    return _shape(tuple(sizes.items()), words.part, radius)


@lru_cache(maxsize=1024)
def _shape(sizes: tuple[tuple[str, float | str], ...], part: str, radius: float) -> Shape:
    words, given = (RAIL if part == RAIL.part else CROSS), dict(sizes)
    number = {k: float(v) for k, v in sizes if not isinstance(v, str)}
    opens: Any = words.opens.get(str(given.get("opens", "")), "")
    match given["shape"]:
        case "box":
            return _box(number, words, radius)
        case "channel":
            return _channel(number, opens, words, radius)
        case "tube":
            return Tube(**number)
        case "top hat":
            return TopHat(**number, opens=opens)
        case "flat":
            return Flat(**number)
        case _:
            return Angle(**number, corner=_heel(str(given["corner"]), words))


def _box(number: Mapping[str, float], words: Words, radius: float) -> Box:
    depth, width = number["depth"], number["width"]
    top, bottom, minus, plus = (
        number.get(k, number.get("wall", 0.0)) for k in ("top", "bottom", words.minus, words.plus)
    )
    fitted = number.get("radius", min(radius, 0.45 * depth, 0.45 * width))
    return Box(depth=depth, width=width, top=top, bottom=bottom, minus=minus, plus=plus, radius=fitted)


def _channel(number: Mapping[str, float], opens: Any, words: Words, radius: float) -> Channel:
    wall, lip = number.get("wall", 0.0), number.get("lip", 0.0)
    first, second = (words.minus, words.plus) if opens[1] == "z" else ("top", "bottom")
    flange = number.get("flange", wall)
    across, reach = (number["depth"], number["width"]) if opens[1] == "y" else (number["width"], number["depth"])
    fitted = 0.0 if lip else min(radius, 0.45 * across, 0.45 * reach)
    return Channel(
        depth=number["depth"],
        width=number["width"],
        web=number.get("web", wall),
        top=number.get(first, flange),
        bottom=number.get(second, flange),
        opens=opens,
        radius=number.get("radius", fitted),
        lip=lip,
    )


def _heel(corner: str, words: Words) -> Any:
    """The section corner of "bottom inner" and the like."""
    level, side = corner.split()
    return ("-y" if side == words.minus else "+y") + ("-z" if level == "bottom" else "+z")
