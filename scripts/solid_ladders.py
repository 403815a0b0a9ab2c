"""Ladders as solids, for scripts/ladder-solids: their sizes (tests/data/ladders.toml), the grid and the bricks kept.

N, mm; x rearward from the rails' front ends, y to the right from the ladder's middle, z up from the rails' mid-depth.
Only the right half (y > 0) is modelled.
"""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
from solid_bricks import Array, Bricks, Index, Mask, divide

Span = tuple[float, float]

PATCH = 40.0  # mm: length of a load patch along the rail
NEAR, FAR, GROWTH, LEVEL = 10.0, 36.0, 0.2, 12.0  # mm, mm, mm per mm, mm: cells at joints, far, between, upright


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """Right rail: `web` meets the crossmembers; `far` is a box's other (outer) web, 0 for a channel, open inward."""

    kind: str
    depth: float
    width: float
    top: float
    bottom: float
    web: float
    far: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Crossmember:
    """`station`, `height`: middle of its outline; `kind`: "box", "channel rearward" or "channel downward"."""

    station: float
    kind: str
    depth: float
    width: float
    wall: float
    height: float = 0.0

    @property
    def x(self) -> Span:
        """Its outline along the frame."""
        return self.station - self.width / 2, self.station + self.width / 2

    @property
    def z(self) -> Span:
        """Its outline in height."""
        return self.height - self.depth / 2, self.height + self.depth / 2

    @property
    def upright(self) -> list[Span]:
        """Upright walls, in x."""
        front, rear = self.x
        return [(front, front + self.wall), (rear - self.wall, rear)][: 1 if self.kind == "channel rearward" else 2]

    @property
    def level(self) -> list[Span]:
        """Level walls, in z, the upper one first."""
        low, high = self.z
        return [(high - self.wall, high), (low, low + self.wall)][: 1 if self.kind == "channel downward" else 2]


@dataclass(frozen=True, kw_only=True)
class Ladder:
    """Two equal rails and their crossmembers; `spacing` between the boxes' middles or the channels' web mid-planes."""

    name: str
    set: str
    length: float
    spacing: float
    removed: int
    rail: Rail
    crossmembers: tuple[Crossmember, ...]

    @cached_property
    def y(self) -> Span:
        """The right rail's outline in y."""
        half, rail = self.spacing / 2, self.rail
        outer = half + (rail.width if rail.far else rail.web) / 2
        return outer - rail.width, outer

    @property
    def webs(self) -> list[Span]:
        """The right rail's webs in y, the met one first."""
        inner, outer = self.y
        if self.rail.far:
            return [(inner, inner + self.rail.web), (outer - self.rail.far, outer)]
        return [(outer - self.rail.web, outer)]

    @property
    def flanges(self) -> list[Span]:
        """Flanges in z, the top one first."""
        half = self.rail.depth / 2
        return [(half - self.rail.top, half), (-half, -half + self.rail.bottom)]

    @property
    def face(self) -> float:
        """Where (y) the met web's face lies, on which crossmembers end."""
        return self.webs[0][0]

    @property
    def load_y(self) -> float:
        """Where (y) the resultant of a vertical load acts, which the webs share evenly."""
        return float(np.mean(self.webs))

    @property
    def cut_y(self) -> float:
        """Where (y) the crossmembers are cut."""
        return round(self.y[0] / 2)

    @property
    def patches(self) -> dict[str, Span]:
        """Load patches along the rail."""
        middle = self.length / 2
        return {"front": (0.0, PATCH), "middle": (middle - PATCH / 2, middle + PATCH / 2),
                "rear": (self.length - PATCH, self.length)}

    @property
    def bays(self) -> list[Span]:
        """Clear lengths of rail between the outlines of neighbouring crossmembers."""
        return [(a.x[1], b.x[0]) for a, b in zip(self.crossmembers[:-1], self.crossmembers[1:], strict=True)]

    @property
    def cuts(self) -> list[float]:
        """Stations of the cuts through the rail: the middle of each bay."""
        return [(start + end) / 2 for start, end in self.bays]

    def without(self) -> Ladder:
        """The ladder with one crossmember removed."""
        return replace(self, crossmembers=self.crossmembers[: self.removed - 1] + self.crossmembers[self.removed :])

    def near_stations(self) -> Array:
        """In each bay 50, 100 and 200 mm off the crossmembers' outlines, as far as the middle, and the middle."""
        found = set(self.cuts)
        for start, end in self.bays:
            found.update(x for off in (50.0, 100.0, 200.0) if 2 * off < end - start for x in (start + off, end - off))
        return np.array(sorted(found))

    def plain_stations(self) -> Array:
        """In each bay, a rail depth or more off crossmembers and load patches: first, middle and last place."""
        depth, places = self.rail.depth, []
        low, high = self.patches["middle"]
        for start, end in self.bays:
            first, last = start + depth, end - depth
            if start < high and end > low:  # the load stands in this bay: keep its longer side
                first, last = max(((first, min(last, low - depth)), (max(first, high + depth), last)),
                                  key=lambda span: span[1] - span[0])
            if first <= last:
                places += [first, (first + last) / 2, last]
        return np.unique(np.round(places, 3))

    def edges(self) -> list[tuple[float, float]]:
        """(y, z) of the flange edges: where mid-lines of webs and flanges meet, or tip of the flange's mid-line."""
        y = [float(np.mean(web)) for web in self.webs]
        if not self.rail.far:
            y = [self.y[0], *y]
        return [(at, float(np.mean(flange))) for flange in self.flanges for at in y]

    def edge_cells(self, bricks: Bricks, edge: tuple[float, float]) -> Index:
        """The bricks along a flange edge."""
        flange = next(f for f in self.flanges if f[0] < edge[1] < f[1])
        web = next((w for w in self.webs if w[0] < edge[0] < w[1]), None)
        if web is None:
            chosen = bricks.inside(None, self.y, flange)
            tip: Index = chosen[abs(bricks.low[1, chosen] - edge[0]) < 1e-6]
            return tip
        return bricks.inside(None, web, flange)

    def area(self) -> tuple[float, list[float]]:
        """Areas of the sections of the rail and the crossmembers."""
        rail = self.rail
        rails = rail.depth * (rail.web + rail.far) + (rail.width - rail.web - rail.far) * (rail.top + rail.bottom)
        return rails, [
            len(c.upright) * c.wall * c.depth + len(c.level) * c.wall * (c.width - len(c.upright) * c.wall)
            for c in self.crossmembers
        ]


def read_ladders(path: Path) -> dict[str, Ladder]:
    """All ladders of the file, by name."""
    with path.open("rb") as file:
        return {entry["name"]: ladder(entry) for entry in tomllib.load(file)["ladder"]}


def ladder(entry: dict[str, Any]) -> Ladder:
    """One ladder of the file; lengths become floats."""
    crossmembers = tuple(Crossmember(**c) for c in entry["crossmembers"])
    return Ladder(**{**entry, "rail": Rail(**entry["rail"]), "crossmembers": crossmembers})


def keep(ladder: Ladder) -> Callable[[Array, Array, Array], Mask]:
    """Tells of a brick's centre whether it is steel."""

    def among(x: Array, spans: list[Span]) -> Mask:
        found: Mask = np.any([(a < x) & (x < b) for a, b in spans], axis=0)
        return found

    def steel(x: Array, y: Array, z: Array) -> Mask:
        half = ladder.rail.depth / 2
        solid: Mask = among(y, [ladder.y]) & (abs(z) < half) & (among(y, ladder.webs) | among(z, ladder.flanges))
        for c in ladder.crossmembers:
            outline = among(x, [c.x]) & among(z, [c.z]) & (y < ladder.face)
            solid |= outline & (among(x, c.upright) | among(z, c.level))
        return solid

    return steel


def size_along(marks: list[Span], scale: float) -> Callable[[Array], Array]:
    """Cell size that grows with the distance from the spans."""

    def size(x: Array) -> Array:
        away = np.min([np.maximum(np.maximum(a - x, x - b), 0) for a, b in marks], axis=0)
        width: Array = scale * np.minimum(FAR, NEAR + GROWTH * np.maximum(away - 25, 0))
        return width

    return size


def bricks_of(ladder: Ladder, scale: float, layers: int, full: Ladder) -> Bricks:
    """The right half in bricks: cells `scale` times the usual ones, `layers` through each wall.

    The planes are those of `full`, so that a ladder without a crossmember is cut as the whole one is.
    """
    parts = full.crossmembers
    x = [0.0, full.length, *full.cuts, *spread(list(full.patches.values())), *spread([c.x for c in parts])]
    x_walls = [wall for c in parts for wall in c.upright]
    z = spread(full.flanges) + spread([c.z for c in parts])
    z_walls = full.flanges + [wall for c in parts for wall in c.level]
    y = [0.0, full.cut_y, *full.y, *spread(full.webs)]
    x_size = size_along([c.x for c in parts], scale)
    y_size = size_along([(full.y[0], full.y[1])], scale)
    planes = (
        divide(x + spread(x_walls), x_size, x_walls, layers),
        divide(y, y_size, full.webs, layers),
        divide(z + spread(z_walls), lambda at: np.full(at.shape, scale * LEVEL), z_walls, layers),
    )
    bricks = Bricks(planes, keep(ladder))
    check_volume(ladder, bricks)
    return bricks


def spread(spans: list[Span]) -> list[float]:
    """Both ends of all spans."""
    return [end for span in spans for end in span]


def check_volume(ladder: Ladder, bricks: Bricks) -> None:
    """The bricks must fill what the sections and lengths tell."""
    rail, crossmembers = ladder.area()
    told = rail * ladder.length + sum(crossmembers) * ladder.face
    if abs(bricks.volume.sum() / told - 1) > 1e-9:
        raise ArithmeticError(f"{ladder.name}: bricks of {bricks.volume.sum()} mm3 instead of {told} mm3")


def parts_of(ladder: Ladder) -> Iterator[tuple[str, Crossmember]]:
    """Names and crossmembers, numbered from the front."""
    for number, crossmember in enumerate(ladder.crossmembers, 1):
        yield f"crossmember {number}", crossmember
