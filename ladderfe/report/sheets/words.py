"""Words and numbers as drawings have them: lengths in mm without zeros that say nothing, sections by their sizes."""

from __future__ import annotations

from ladderfe.report.sheets.letters import TIED
from ladderfe.sections import Angle, Box, Channel, Flat, Plated, Shape, TopHat, Tube

__all__ = ["grouped", "mm", "section_words", "span_words", "without_side"]


def mm(value: float) -> str:
    """A length to 0.1 mm."""
    return f"{round(value, 1) + 0.0:g}" if abs(value) < 1e5 else f"{value:.0f}"


def grouped(value: float, digits: int = 4) -> str:
    """A number to so many significant digits, its thousands apart by spaces that do not break."""
    rounded = float(f"{value:.{digits}g}")
    return f"{rounded:,.0f}".replace(",", TIED) if abs(rounded) >= 10 ** (digits - 1) else f"{rounded:g}"


def without_side(name: str) -> str:
    """A name that stands for both sides."""
    return name.removesuffix(" left").removesuffix(" right")


def _to(a: float, b: float) -> str:
    return mm(a) if mm(a) == mm(b) else f"{mm(a)} to {mm(b)}"


def section_words(shape: Shape) -> str:
    """A section by its outside sizes and walls: "box 140 x 70 x 2.5"; walls that differ one by one."""
    return span_words(shape, shape)


def span_words(first: Shape, last: Shape) -> str:
    """The same for a stretch from one shape to another of its kind."""
    if isinstance(first, Plated):
        base = span_words(first.base, last.base if isinstance(last, Plated) else last)
        return base + (", plate on it" if len(first.plates) == 1 else f", {len(first.plates)} plates on it")
    if isinstance(last, Plated):
        last = last.base
    if isinstance(first, Tube):
        return f"tube {_to(first.depth, last.depth)} x {mm(first.wall)}"
    if isinstance(first, Flat):
        return f"flat {_to(first.depth, last.depth)} x {mm(first.thickness)}"
    kind = {Box: "box", Channel: "channel", TopHat: "top-hat", Angle: "angle"}[type(first)]
    return f"{kind} {_to(first.depth, last.depth)} x {_to(first.width, last.width)} x {_walls(first)}"


def _walls(shape: Box | Channel | TopHat | Angle) -> str:
    """One thickness, or each with its wall."""
    if isinstance(shape, Box):
        walls = {"top": shape.top, "bottom": shape.bottom, "sides": shape.minus}
        if shape.minus != shape.plus:
            walls = {"top": shape.top, "bottom": shape.bottom, "-y side": shape.minus, "+y side": shape.plus}
    elif isinstance(shape, Channel):
        walls = {"web": shape.web, "flanges": shape.top}
        if shape.top != shape.bottom:
            walls = {"web": shape.web, "top": shape.top, "bottom": shape.bottom}
    elif isinstance(shape, Angle):
        walls = {"upright": shape.wall, "lying": shape.lying}
    else:
        walls = {"": shape.wall}
    if len({mm(t) for t in walls.values()}) == 1:
        return mm(next(iter(walls.values())))
    return " and ".join(f"{mm(t)} ({name})" for name, t in walls.items())
