"""What a picture shows, as plain arrays: walls, their displacements and values, supports, loads, stations.

Everything is in mm in the vehicle's axes (x rearward, y to the right, z up); values are in N/mm2, or a plain ratio
(1 = 100 %) where they are utilisations.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError
from ladderfe.report.table import use_share

__all__ = ["Array", "Kind", "Load", "Mark", "Name", "Scene", "Support"]

Array = NDArray[np.float64]
Kind = Literal["signed", "size", "utilisation"]


@dataclass(frozen=True, slots=True)
class Support:
    """A place where the frame is held: point (3,) in mm and the words beside it ("" for none).  hangs: what is there
    carries nothing but hangs on the frame."""

    point: tuple[float, float, float]
    label: str = ""
    hangs: bool = False


@dataclass(frozen=True, slots=True)
class Name:
    """Words at a place (3,) in mm: the `side` of a rail, a `part` (written where there is room), or a `force`."""

    point: tuple[float, float, float]
    words: str
    kind: Literal["side", "part", "force"] = "part"


@dataclass(frozen=True, slots=True)
class Mark:
    """A corner that is ringed, with the word for it ("greatest")."""

    word: str
    wall: int
    corner: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Load:
    """A force, or a line load drawn as a comb of arrows; the arrow heads touch the frame.

    `points` (k, 3) in mm; `vectors` (k, 3): forces in N where k is 1, line loads in N/mm (at the points, in their order
    along the frame) where k is more.  One label for all of them.  applied: a pull, support or link, no weight.
    """

    points: Array
    vectors: Array
    label: str = ""
    applied: bool = False

    def __post_init__(self) -> None:
        if self.points.ndim != 2 or self.points.shape[1:] != (3,) or self.points.shape != self.vectors.shape:
            found = f"points {self.points.shape} and vectors {self.vectors.shape}"
            raise ModelError(f"load {self.label!r}", f"{found} do not match", "Give both as (k, 3) arrays")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """One picture: the walls of a frame in one case, coloured by one value.

    Parameters
    ----------
    title, case
        The chassis and the load case, as they are to be written.
    value, unit, kind
        What the colours show ("von Mises stress"), its unit ("N/mm2"), and how it is to be coloured: `size` (a
        magnitude), `signed` (compression negative) or `utilisation` (a ratio, written in per cent).
    quads
        (n, 4, 3) corners of the walls' surfaces, undeformed, mm, in order around each wall.
    displacements
        (n, 4, 3) displacements of those corners, mm, true size.
    values
        (n, 4) values at those corners; nan where a wall was not checked.
    parts, walls
        n names each: the part that a wall belongs to ("left rail"), and the wall's own ("bottom"; may be left out).
    magnification
        By how much displacements are drawn larger than they are.
    stations
        Stations (mm) to be marked along the edge.
    along, crosswise
        (n, 4) where along its part a corner is, in mm as the tables say it: the station, or y on the parts that
        `crosswise` names.  Without it a corner's own x is its station.
    marks
        Corners to be ringed; without them those with the greatest value and, where the sign matters, the lowest.
    names
        Further words at places of the frame.
    note
        What stands under the title where the size of the movement means nothing, as in modes; else it is told there.
    """

    title: str
    case: str
    value: str
    unit: str
    kind: Kind
    quads: Array
    displacements: Array
    values: Array
    parts: tuple[str, ...]
    walls: tuple[str, ...] = ()
    magnification: float = 1.0
    stations: tuple[float, ...] = ()
    supports: tuple[Support, ...] = ()
    loads: tuple[Load, ...] = ()
    along: Array | None = None
    crosswise: frozenset[str] = frozenset()
    marks: tuple[Mark, ...] = ()
    names: tuple[Name, ...] = ()
    note: str = ""

    def __post_init__(self) -> None:
        n = len(self.quads)
        shapes = {"quads": (n, 4, 3), "displacements": (n, 4, 3), "values": (n, 4)}
        for name, shape in shapes.items() if self.along is None else {**shapes, "along": (n, 4)}.items():
            found = getattr(self, name).shape
            if n == 0 or found != shape:
                raise ModelError(f"picture of {self.case!r}", f"{name} has shape {found}", f"It must be {shape}, n > 0")
        if len(self.parts) != n or len(self.walls) not in (0, n):
            found = f"{len(self.parts)} part names and {len(self.walls)} wall names"
            raise ModelError(f"picture of {self.case!r}", found, f"There are {n} walls")
        if not (np.isfinite(self.quads).all() and np.isfinite(self.displacements).all()):
            raise ModelError(f"picture of {self.case!r}", "a corner is not a number", "Only values may be nan")

    @property
    def lowest(self) -> float:
        """Least value of all corners: one end of the legend; nan where nothing was checked."""
        return float(np.nanmin(self.values)) if np.isfinite(self.values).any() else float("nan")

    @property
    def highest(self) -> float:
        """Greatest value of all corners: the other end of the legend; nan where nothing was checked."""
        return float(np.nanmax(self.values)) if np.isfinite(self.values).any() else float("nan")

    @property
    def drawn(self) -> Array:
        """(n, 4, 3) corners as they are drawn: displaced, magnified."""
        return self.quads + self.magnification * self.displacements

    @property
    def greatest_deflection(self) -> float:
        """Greatest true displacement of any corner, mm."""
        return float(np.sqrt((self.displacements**2).sum(-1).max()))

    def carried(self, points: Array) -> Array:
        """Points (k, 3) moved along, magnified, with the nearest corner of the frame."""
        corners = self.quads.reshape(-1, 3)
        nearest = [int(((corners - p) ** 2).sum(-1).argmin()) for p in points]
        return points + self.magnification * self.displacements.reshape(-1, 3)[nearest]

    def marked(self) -> tuple[Mark, ...]:
        """The corners to be ringed; none where all values are alike."""
        if np.isnan(self.highest) or self.lowest == self.highest:
            return ()
        if self.marks:
            return self.marks
        found = [("greatest", int(np.nanargmax(self.values)))]
        if self.kind == "signed":
            found.append(("lowest", int(np.nanargmin(self.values))))
        return tuple(Mark(word, *divmod(flat, 4)) for word, flat in found)

    def place(self, wall: int, corner: int) -> str:
        """Say where a corner is, as the tables do: "left rail, bottom, 2340 mm", "gearbox, top, y +120 mm"."""
        part = self.parts[wall]
        at = self.quads[wall, corner, 0] if self.along is None else self.along[wall, corner]
        words = f"y {at:+.0f} mm" if part in self.crosswise else f"{at:.0f} mm"
        return ", ".join([part, *self.walls[wall : wall + 1], words])

    def text(self, value: float) -> str:
        """Write a value with its unit, as the legend and the tables write it."""
        if np.isnan(value):
            return "not checked"
        if self.kind == "utilisation":
            return use_share(value)
        return f"{value:.1f} {self.unit}".replace("mm2", "mm²").rstrip()
