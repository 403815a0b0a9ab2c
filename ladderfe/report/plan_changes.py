"""What a repair plan changes beside its pieces and plates: parts of the base that it replaces, moves, adds or takes
out."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import isclose
from typing import TypeVar

from ladderfe.chassis import Chassis
from ladderfe.chassis.types import Crossmember, Diaphragm, Mass, Outrigger
from ladderfe.condition.rails import SIDES
from ladderfe.condition.repaired import Repaired
from ladderfe.sections import Flat, Shape, Tube, wall_thickness

__all__ = ["change_words"]

T = TypeVar("T", Crossmember, Outrigger, Diaphragm, Mass)
#: What else may be stated otherwise: field of the chassis -> how it is called.
OTHERS = {
    "mounts": "mounts", "axles": "axles", "body": "body", "material": "material", "criteria": "limits",
    "cases": "load cases", "bolts": "bolts", "hangers": "hangers", "gussets": "gussets", "towing": "towing",
    "ground": "height above the ground", "centre_height": "centre of gravity",
}  # fmt: skip


def change_words(states: Repaired) -> str:
    """One sentence; "" where the plan changes nothing but by its pieces and plates."""
    built, after = states.found.built, states.chassis
    out = [
        *_kind("crossmember", built.crossmembers, after.crossmembers, _crossmember),
        *_kind("outrigger", built.outriggers, after.outriggers, _outrigger),
        *_kind("diaphragm", built.diaphragms, after.diaphragms, _diaphragm),
        *_kind("mass", built.masses, after.masses, _mass),
    ]
    other = [words for field, words in OTHERS.items() if getattr(built, field) != getattr(after, field)]
    out += [f"stated otherwise: {', '.join(other)}"] if other else []
    out += ["rails laid otherwise"] if _courses(built) != _courses(after) else []
    return f"Changes to the frame: {'; '.join(out)}." if out else ""


def _kind(
    noun: str, before: Iterable[T], after: Iterable[T], words: Callable[[T], str]
) -> list[str]:
    """What becomes of the parts of a kind, those of the base first."""
    old, new = ({_name(p): p for p in parts} for parts in (before, after))
    out = []
    for name, part in old.items():
        if name not in new:
            out.append(f"taken out: {noun} {name}: {words(part)}")
        elif new[name] != part:
            a, b = words(part), words(new[name])
            out.append(f"{noun} {name}: {a} becomes {b}" if a != b else f"{noun} {name} ({a}) stated otherwise")
    return out + [f"added: {noun} {name}: {words(part)}" for name, part in new.items() if name not in old]


def _name(part: Crossmember | Outrigger | Diaphragm | Mass) -> str:
    side = getattr(part, "side", "")
    return f"{part.name}, {side}" if side and not {side, "both"} & set(part.name.split()) else part.name


def _crossmember(c: Crossmember) -> str:
    same = isclose(c.station_left, c.station_right, abs_tol=1e-6)
    at = f"{c.station_left:g}" if same else f"{c.station_left:g} (left) and {c.station_right:g} (right)"
    return f"{_size(c.shape)} at {at} mm"


def _outrigger(o: Outrigger) -> str:
    return f"{_size(o.shape)}, {o.length:g} mm long, at {o.station:g} mm"


def _diaphragm(d: Diaphragm) -> str:
    return f"{d.thickness:g} mm at {d.station:g} mm"


def _mass(m: Mass) -> str:
    return f"{1000 * m.mass:g} kg at {m.centre[0]:.0f} mm"


def _size(shape: Shape) -> str:
    """A shape with its outline and its walls, mm, as in "box 90 x 60 x 2.5"."""
    noun = {"TopHat": "top-hat"}.get(type(shape).__name__, type(shape).__name__.lower())
    if isinstance(shape, Tube):
        outline = [shape.diameter]
    else:
        outline = [shape.depth] if isinstance(shape, Flat) else [shape.depth, shape.width]
    walls = dict.fromkeys(f"{t:g}" for t in wall_thickness(shape, SIDES["left"]).values())
    return f"{noun} {' x '.join(f'{v:g}' for v in outline)} x {'/'.join(walls)}"


def _courses(chassis: Chassis) -> list[object]:
    return [(r.start, r.end, r.path) for r in chassis.rails]
