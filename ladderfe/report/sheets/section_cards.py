"""Which sections a sheet shows: those of rails, crossmembers and outriggers as built, and the worst ones as found."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from ladderfe.chassis import Chassis
from ladderfe.condition import Found
from ladderfe.condition.found import Stretch as FoundStretch
from ladderfe.condition.found import WallState, shapes_of
from ladderfe.condition.rails import SIDES, rail_of
from ladderfe.report.sheets.outlines import stretches
from ladderfe.report.sheets.words import mm, without_side
from ladderfe.sections import Box, Properties, Section, Shape, corner_factor, properties

__all__ = ["CROSS", "Card", "Numbers", "cards_of", "numbers_of"]

#: What the faces toward -y' and +y' of crossmembers and outriggers are called.
CROSS = ("rear", "front")


@dataclass(frozen=True, slots=True)
class Numbers:
    """What a section is worth: A mm2; I about the level and the upright axis, mm4; Z the weaker about the level axis,
    mm3; J mm4; centroid and shear centre (y, z) from the middle of the outline, mm."""

    A: float
    I: float
    I_upright: float
    Z: float
    J: float
    centroid: tuple[float, float]
    shear_centre: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Card:
    """One section: where it is, how it is seen, its shape as built with the words for its side faces; `left`: what is
    left of it (walls that strength goes by), None as built; `mean`: what stiffness goes by."""

    title: str
    seen: str
    shape: Shape
    sides: tuple[str, str]
    places: tuple[str, ...] = field(default=())
    left: Shape | None = None
    mean: Shape | None = None
    walls: tuple[WallState, ...] = ()

    @property
    def section(self) -> Section:
        """Its walls as built."""
        return self.shape.section(self.sides)

    @property
    def gone(self) -> frozenset[str]:
        """Names of the walls that are gone."""
        return frozenset(w.wall for w in self.walls if w.basis == "hole")

    def told(self, wall: str, built: float) -> str:
        """Thickness of a wall in words: as built, or what is left of it and how that is known."""
        state = next((w for w in self.walls if w.wall == wall), None)
        if state is None:
            return mm(built)
        if state.basis == "hole":
            return "gone"
        return f"{state.least:.2f} of {mm(state.nominal)}" if state.basis == "read" else f"{mm(state.least)} ASSUMED"

    def list_told(self) -> list[tuple[str, str]]:
        """The same of all walls as found."""
        return [(w.wall, self.told(w.wall, w.nominal)) for w in self.walls]


def numbers_of(shape: Shape, sides: tuple[str, str]) -> Numbers:
    """Properties as the frame uses them: boxes twist with their corners and plates; Z = I/(depth/2 + off-centre)."""
    p: Properties = properties(shape.section(sides))
    J = p.J * corner_factor(shape) + p.J_plates if isinstance(shape, Box) else p.J
    Z = p.Iyy / (shape.depth / 2 + abs(p.zc))
    return Numbers(p.A, p.Iyy, p.Izz, Z, J, (p.yc, p.zc), (p.ys, p.zs))


def cards_of(chassis: Chassis, found: Found | None) -> list[Card]:
    """Rails first, then the worst places as found, crossmembers, outriggers."""
    cards = _rail_cards(chassis)
    cards += _found_cards(found) if found is not None else []
    bars = [(c.shape, c.name) for c in chassis.crossmembers]
    cards += _bar_cards("Crossmember", bars)
    arms = [(o.shape, without_side(o.name)) for o in chassis.outriggers]
    return cards + _bar_cards("Outrigger", arms)


def _rail_cards(chassis: Chassis) -> list[Card]:
    """Each shape of the right rail, and of the left one where it is not its mirror image, with its places."""
    places: dict[tuple[Shape, str], dict[tuple[float, float], list[str]]] = {}
    for side in ("right", "left"):
        for s in stretches(rail_of(chassis, side)):
            even = s.first == s.last
            ends = [(s.first, s.start, s.end)] if even else [(s.first, s.start, s.start), (s.last, s.end, s.end)]
            for shape, a, b in ends:
                mirrored = (shape.mirrored(), "right")
                key = mirrored if side == "left" and mirrored in places else (shape, side)
                places.setdefault(key, {}).setdefault((a, b), []).append(side)
    return [
        Card("Rail as built", f"{side} rail, seen looking forward", shape, SIDES[side], _told(where))
        for (shape, side), where in places.items()
    ]


def _told(where: Mapping[tuple[float, float], list[str]]) -> tuple[str, ...]:
    """Stretches and stations in words; the ends of tapers only where no stretch of that section begins."""
    long = [(a, b) for a, b in where if b > a]
    out = []
    for (a, b), sides in where.items():
        if b > a or not any(p <= a <= q for p, q in long):
            whose = "both rails" if len(sides) > 1 else f"{sides[0]} rail"
            out.append(f"{whose} {mm(a)} to {mm(b)}" if b > a else f"{whose} at {mm(a)}")
    return tuple(out)


def _found_cards(found: Found) -> list[Card]:
    """Of each stretch of one section the place where least is left, where anything was read or is gone."""
    out = []
    for side in ("left", "right"):
        for whole in stretches(rail_of(found.built, side)):
            inside = (whole.start - 1, whole.end + 1)
            own = [s for s in found.stretches_of(side) if inside[0] <= s.start and s.end <= inside[1]]
            known = [s for s in own if any(w.basis != "assumed" for w in s.walls)]
            if known:
                out.append(_found_card(found, min(known, key=lambda s: _left(found, s)), side))
    return out


def _left(found: Found, s: FoundStretch) -> tuple[float, float]:
    """What is left of the area of a stretch, as a part; where that is alike the first counts."""
    built, _, least = shapes_of(found, s)
    sides = SIDES[s.side]
    part = properties(least.section(sides)).A / properties(built.section(sides)).A
    return round(part, 9), s.start


def _found_card(found: Found, s: FoundStretch, side: str) -> Card:
    built, mean, least = shapes_of(found, s)
    where = f"{side} rail {mm(s.start)} to {mm(s.end)}"
    seen = f"{side} rail, seen looking forward"
    return Card("Rail as found", seen, built, SIDES[side], (where,), least, mean, s.walls)


def _bar_cards(kind: str, bars: Iterable[tuple[Shape, str]]) -> list[Card]:
    """Each distinct shape with the names of what has it."""
    names: dict[Shape, list[str]] = {}
    for shape, name in bars:
        names.setdefault(shape, []).append(name)
    looks = "seen looking to the left, front on the right"
    return [Card(kind, looks, shape, CROSS, tuple(dict.fromkeys(own))) for shape, own in names.items()]
