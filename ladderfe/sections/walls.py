"""Walls and sections: straight plates on a graph of mid-lines, frozen and checked at birth.  mm."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import hypot

from ladderfe.errors import ModelError

__all__ = ["Fillet", "Point", "Section", "Wall", "spot", "weld"]

Point = tuple[float, float]
GRID = 1e6  # ends closer than about 1e-6 mm coincide
SHIFT = 0.31830988618  # keeps sizes with few decimals off the grid's rounding limits


def spot(place: Point) -> tuple[int, int]:
    """What two places have in common that coincide."""
    return round(place[0] * GRID + SHIFT), round(place[1] * GRID + SHIFT)


@dataclass(frozen=True, kw_only=False)
class Wall:
    """A straight plate with its mid-line from `start` to `end`, (y, z) in section axes, mm.

    The true plate is a rectangle that reaches `grow_start` and `grow_end` beyond the ends of the mid-line (negative: it
    stops short), so that plates tile an outline without gap or overlap.  `modulus` is E over the reference E; the same
    ratio holds for G.  A curved wall is given by its chord: `bulge` is how far the middle of the true wall stands off
    the chord, and `lean` how far the centre of its area does, positive to the left of start -> end; stress points lie
    on the curved face.  A plate of no length at all (see `weld`) has no metal and only carries shear flow.

    Raises ModelError when thickness or modulus is not positive, the ends coincide or the plate has negative length.
    """

    name: str
    start: Point
    end: Point
    thickness: float
    grow_start: float = 0.0
    grow_end: float = 0.0
    modulus: float = 1.0
    bulge: float = 0.0
    lean: float = 0.0

    def __post_init__(self) -> None:
        where = f"wall {self.name}"
        if not self.thickness > 0 or not self.modulus > 0:
            raise ModelError(where, f"thickness {self.thickness} mm and modulus {self.modulus} must be greater than 0",
                             "Leave a wall out where there is no metal")
        if not self.length > 0:
            raise ModelError(where, f"starts and ends at {self.start}", "Give two different ends")
        if self.true_length < -1e-9 * self.length:
            raise ModelError(where, f"its plate is {self.true_length} mm long", "Check grow_start and grow_end")

    @property
    def length(self) -> float:
        """Length of the mid-line, mm."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])

    @property
    def true_length(self) -> float:
        """Length of the true plate, mm."""
        return self.length + self.grow_start + self.grow_end

    @property
    def area(self) -> float:
        """Area of the true plate, mm2."""
        return self.true_length * self.thickness

    def split(self, at: float) -> tuple[Wall, Wall]:
        """The same plate as two, joined at the fraction `at` of its mid-line."""
        (ys, zs), (ye, ze) = self.start, self.end
        middle = (ys + at * (ye - ys), zs + at * (ze - zs))
        return replace(self, end=middle, grow_end=0.0), replace(self, start=middle, grow_start=0.0)

    def to_edges(self, start: bool, end: bool) -> Wall:
        """The same plate with its mid-line brought to the plate's edge at the start, at the end."""
        first, last = (-self.grow_start if start else 0.0), self.length + (self.grow_end if end else 0.0)
        y, z = ((e - s) / self.length for s, e in zip(self.start, self.end, strict=True))
        (ys, zs), grow = self.start, (0.0 if start else self.grow_start, 0.0 if end else self.grow_end)
        return replace(self, start=(ys + first * y, zs + first * z), end=(ys + last * y, zs + last * z),
                       grow_start=grow[0], grow_end=grow[1])


def weld(name: str, start: Point, end: Point, throat: float) -> Wall:
    """A weld line that joins two walls: it carries shear flow over `throat` and has no metal of its own."""
    half = hypot(end[0] - start[0], end[1] - start[1]) / 2
    return Wall(name, start, end, throat, grow_start=-half, grow_end=-half)


@dataclass(frozen=True)
class Fillet:
    """A small area in mm2 at (y, z) beside the plates: a root fillet (positive) or a rounded-off corner (negative)."""

    y: float
    z: float
    area: float


@dataclass(frozen=True)
class Section:
    """A thin-walled section: walls joined where ends of their mid-lines coincide, and small areas beside them.

    Open, closed, with several cells, or mixed.  `fillets` count in area and moments of area only.  `side_names` are the
    words for the faces toward -y and +y.
    """

    walls: tuple[Wall, ...]
    fillets: tuple[Fillet, ...] = ()
    side_names: tuple[str, str] = ("minus", "plus")

    def __post_init__(self) -> None:
        if not any(wall.area > 0 for wall in self.walls):
            raise ModelError("section", "it has no wall with metal", "Give at least one wall")

    def __hash__(self) -> int:
        known = self.__dict__.get("_hash")
        if known is None:
            known = hash((self.walls, self.fillets, self.side_names))
            object.__setattr__(self, "_hash", known)
        return int(known)

    def __getstate__(self) -> dict[str, object]:
        """What is stored or sent to another process: without the hash, which holds in this process only."""
        return {name: value for name, value in self.__dict__.items() if name != "_hash"}

    def named(self, name: str) -> tuple[Wall, ...]:
        """The walls of that name; raises ModelError when there is none."""
        found = tuple(wall for wall in self.walls if wall.name == name)
        if not found:
            raise ModelError("section", f"no wall is called {name!r}",
                             "The walls are " + ", ".join(dict.fromkeys(wall.name for wall in self.walls)))
        return found

    def flat(self, name: str) -> Wall:
        """The longest straight wall of that name: the flat between two bends; raises ModelError when there is none."""
        straight = [wall for wall in self.named(name) if not wall.bulge]
        if not straight:
            raise ModelError(f"wall {name}", "it is curved all along", "Name a wall with a flat part")
        return max(straight, key=lambda wall: wall.length)

    def without(self, names: Iterable[str]) -> Section:
        """The section with the named walls gone (rusted away or cut out); the others end at their plates' edges."""
        gone = {wall for name in names for wall in self.named(name)}
        kept = [wall for wall in self.walls if wall not in gone]
        left = Counter(spot(place) for wall in kept for place in (wall.start, wall.end))
        bare = {place for wall in gone for place in (spot(wall.start), spot(wall.end)) if left[place] == 1}
        return replace(self, walls=tuple(
            wall.to_edges(spot(wall.start) in bare, spot(wall.end) in bare) for wall in kept))

    def gap(self, name: str, at: float, width: float) -> Section:
        """The section with a gap of `width` mm in the flat of that name, around the fraction `at` of its mid-line."""
        wall = self.flat(name)
        half = width / 2 / wall.length
        if not half < at < 1 - half or width <= 0:
            raise ModelError(f"wall {name}", f"a gap of {width} mm at {at} of {wall.length:.4g} mm does not fit",
                             "Leave some wall on both sides")
        left, right = wall.split(at - half)[0], wall.split(at + half)[1]
        return self.swapped(wall, (left, right))

    def swapped(self, wall: Wall, others: Iterable[Wall]) -> Section:
        """The section with other walls in the place of one."""
        at = self.walls.index(wall)
        return replace(self, walls=(*self.walls[:at], *others, *self.walls[at + 1:]))
