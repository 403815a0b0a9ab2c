"""Sections of one shape with other wall thicknesses, many at once: the same numbers as `properties`, array by array.

The places of the walls, and of the stress points on them, move evenly with the walls' thicknesses (mid-lines at half a
thickness from faces that stay), so that a table at one set of thicknesses and what a millimetre of each wall adds give
them for all.  Where that does not hold (bends of a radius beyond the walls) walls are drawn one section at a time.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError
from ladderfe.sections.flow import Flows, solve_flows
from ladderfe.sections.graph import graph_of
from ladderfe.sections.lines import Array, Lines, lines_of, lines_of_table, table_of
from ladderfe.sections.plated import Shape
from ladderfe.sections.points import rows_of
from ladderfe.sections.rings import Step, ring_flows, ring_of
from ladderfe.sections.shapes import Box, Channel
from ladderfe.sections.walls import Section

__all__ = ["WALLS", "Alike", "Many", "families"]

IntArray = NDArray[np.int64]
Sides = tuple[str, str]
#: The thicknesses of shapes that can be changed, in the order of all arrays over them.
WALLS: dict[type, tuple[str, ...]] = {Box: ("minus", "plus", "top", "bottom"), Channel: ("top", "web", "bottom")}
#: Off an even growth by this part of the section's size: it does not grow evenly.
EVEN = 1e-12


class Many(NamedTuple):
    """`Properties` and stress points of n sections, arrays with the sections first; flows: their shear flows.

    points: y, z, modulus, tau_face, omega, tau_warp (n, p), tau (n, p, 3); wall (p,) their walls' numbers."""

    metal: Array
    A: Array
    centroid: Array
    moments: Array
    J: Array
    J_plates: Array
    shear: Array
    shear_centre: Array
    Iw: Array
    warp_shear: Array
    coupling: Array
    flows: Flows
    true_length: Array
    wall: IntArray
    y: Array
    z: Array
    modulus: Array
    tau: Array
    tau_face: Array
    omega: Array
    tau_warp: Array


@dataclass(frozen=True, eq=False)
class Alike:
    """s shapes of one kind whose walls connect alike.

    shapes, sides: as they are given; thickness (s, t) in the order of `WALLS`.  table (s, w, 9: with the walls' lean),
    fillets (s, f, 3) and rows (s, p, 6): walls, small areas and stress points; by_table, by_fillets, by_rows: what a
    millimetre of each wall adds, t in the first place, the same for all.  evenly: they do grow so.
    """

    shapes: tuple[Shape, ...]
    sides: tuple[Sides, ...]
    thickness: Array
    sections: tuple[Section, ...]
    labels: tuple[str, ...]
    table: Array
    fillets: Array
    rows: Array
    by_table: Array
    by_fillets: Array
    by_rows: Array
    evenly: bool = True

    @staticmethod
    def of(shapes: Sequence[Shape], sides: Sequence[Sides]) -> Alike:
        """Shapes of one kind.  How they grow is taken from the first, and tried on all."""
        names = WALLS[type(shapes[0])]
        t = np.array([[getattr(s, n) for n in names] for s in shapes], dtype=float)
        sections = tuple(s.section(own) for s, own in zip(shapes, sides, strict=True))
        table, fillets, rows = _stacked(_measured(sections))
        step = 0.4 * float(t.min())
        less = [_drawn(shapes[0], sides[0], t[0] - step * one) for one in np.eye(len(names))]
        by = [(base[0] - m) / step for base, m in zip((table, fillets, rows), _stacked(_measured(less)), strict=True)]
        (lines,) = _lines(sections[:1])
        labels = tuple(rows_of(sections[0], lines, 0)[1])
        found = Alike(tuple(shapes), tuple(sides), t, sections, labels, table, fillets, rows, by[0], by[1], by[2])
        return found if found._proven() else replace(found, evenly=False)

    def _proven(self) -> bool:
        """Even growth holds a good way off."""
        off = self.thickness * np.linspace(0.55, 0.8, self.thickness.shape[1])
        got, drawn = self._grown(off, np.arange(len(self.shapes))), self._drawn(off, np.arange(len(self.shapes)))
        size = np.abs(self.table[..., :4]).max()
        pairs = zip(got, drawn, strict=True)
        return drawn[0].size > 0 and all(
            a.shape == b.shape and np.abs(a - b).max(initial=0.0) <= EVEN * size for a, b in pairs
        )

    def _grown(self, thickness: Array, which: IntArray) -> tuple[Array, ...]:
        """Walls, small areas and stress points, the sections last in the computer's memory."""
        more = np.ascontiguousarray((thickness - self.thickness[which]).T)
        out = []
        for base, by in ((self.table, self.by_table), (self.fillets, self.by_fillets), (self.rows, self.by_rows)):
            own = base.reshape(len(base), -1).T[:, which] + by.reshape(len(by), -1).T @ more
            out.append(np.moveaxis(own.reshape(*base.shape[1:], len(which)), -1, 0))
        return tuple(out)

    def _drawn(self, thickness: Array, which: IntArray) -> tuple[Array, ...]:
        """The same one section at a time; empty where they are not of one kind any more."""
        pairs = zip(which.tolist(), thickness, strict=True)
        each = _measured([_drawn(self.shapes[i], self.sides[i], t) for i, t in pairs])
        if len({tuple(a.shape for a in own) for own in each}) > 1:
            return tuple(np.zeros(0) for _ in range(3))
        return _stacked(each)

    def at(self, thickness: Array, which: IntArray) -> Many:
        """Properties with thicknesses (n, t) of the shapes `which` (n,)."""
        table, fillets, rows = (self._grown if self.evenly else self._drawn)(thickness, which)
        if table.shape[1:] != self.table.shape[1:] or rows.shape[1:] != self.rows.shape[1:]:
            raise ModelError("section", "its bends become corners or corners bends", "Work it out by itself")
        lines = lines_of_table(table[..., :8], graph_of(self.sections[0]))
        flows = ring_flows(lines, self.ring) if self.ring else None
        return _many(table, fillets, rows, flows or solve_flows(lines))

    @cached_property
    def ring(self) -> list[Step] | None:
        """The walls on the way round where they are one ring."""
        return ring_of(graph_of(self.sections[0]))


def families(shapes: Sequence[Shape], sides: Sequence[Sides]) -> list[tuple[IntArray, Alike]]:
    """Shapes by families: numbers (s,) and what they have in common.  ModelError where a shape's walls cannot be
    changed."""
    groups: dict[object, list[int]] = {}
    for i, shape in enumerate(shapes):
        if not isinstance(shape, Box | Channel):
            raise ModelError("section", f"no walls of a {type(shape).__name__.lower()} can be changed here", "")
        g = graph_of(shape.section(sides[i]))
        opens = shape.opens if isinstance(shape, Channel) else ""
        groups.setdefault((type(shape), opens, shape.radius, tuple(g.ends), tuple(g.open), sides[i]), []).append(i)
    return [(np.array(own), Alike.of([shapes[i] for i in own], [sides[i] for i in own])) for own in groups.values()]


def _drawn(shape: Shape, sides: Sides, thickness: Array) -> Section:
    """A shape with these thicknesses."""
    names = WALLS[type(shape)]
    return replace(shape, **dict(zip(names, thickness.tolist(), strict=True))).section(sides)


def _lines(sections: Sequence[Section]) -> list[Lines]:
    """The mid-lines of each section, those that connect alike worked out together."""
    graphs = [graph_of(s) for s in sections]
    alike: dict[object, list[int]] = {}
    for i, g in enumerate(graphs):
        alike.setdefault(tuple(g.ends), []).append(i)
    found: dict[int, Lines] = {}
    for own in alike.values():
        lines = lines_of([sections[i] for i in own], [graphs[i] for i in own])
        found.update((i, lines.of(k, graphs[i])) for k, i in enumerate(own))
    return [found[i] for i in range(len(sections))]


def _measured(sections: Sequence[Section]) -> list[tuple[Array, Array, Array]]:
    """Walls, small areas and stress points of each section."""
    out = []
    for section, lines in zip(sections, _lines(sections), strict=True):
        rows, _ = rows_of(section, lines, 0)
        fillets = np.array([(f.y, f.z, f.area) for f in section.fillets]).reshape(-1, 3)
        table = np.array([(*row, w.lean) for row, w in zip(table_of(section), section.walls, strict=True)])
        out.append((table, fillets, np.array(rows, dtype=float)))
    return out


def _stacked(each: Sequence[tuple[Array, Array, Array]]) -> tuple[Array, Array, Array]:
    """The same, sections first."""
    table, fillets, rows = (np.stack([own[k] for own in each]) for k in range(3))
    return table, fillets, rows


def _many(table: Array, fillets: Array, rows: Array, flows: Flows) -> Many:
    metal, area, centroid, moments = _plates(table, fillets)
    index, xi = rows[0, :, 0].astype(np.int64), rows[0, :, 2][:, None]  # alike in all
    m = flows.lines
    J = flows.J_cells + flows.J_open
    thickness, modulus = m.thickness.T[index], m.modulus.T[index]  # (p, n), as all here
    (ay, az), (y, z) = (np.moveaxis(a, (2, 0), (0, 2))[:, index] for a in (m.along, m.ends[:, :, 0]))
    on, off, face = np.moveaxis(rows[:, :, 3:], (2, 0), (0, 2))
    q0, q1, q2 = np.moveaxis(flows.q, (2, 3, 0), (0, 1, 3))[:, :, index]
    tau = (q0 + xi * (q1 + xi * q2)) / thickness
    omega = np.zeros(thickness.shape)
    warps = flows.Iw > 0
    if warps.any():
        first, last = (flows.omega[:, :, end].T[index] for end in (0, 1))
        omega = warps * (first + xi * (last - first))
    return Many(
        metal=metal, A=area, centroid=centroid, moments=moments, J=J,
        J_plates=flows.J_plates, shear=flows.soft[:, :2, :2], shear_centre=flows.shear_centre, Iw=flows.Iw,
        warp_shear=flows.soft[:, 2, 2], coupling=flows.soft[:, :2, 2], flows=flows,
        true_length=m.length + table[..., 6] + table[..., 7], wall=index,
        y=(y + on * ay - off * az).T, z=(z + on * az + off * ay).T,
        modulus=modulus.T, tau=np.moveaxis(tau[:3], (0, 2), (2, 0)),
        tau_face=(-face * flows.own.T[index] / J * modulus * thickness).T, omega=omega.T, tau_warp=tau[3].T,
    )  # fmt: skip


def _plates(table: Array, fillets: Array) -> tuple[Array, Array, Array, Array]:
    """(n,) metal and weighted area, (n, 2) centroid, (n, 2, 2) moments [[Izz, Iyz], [Iyz, Iyy]], as in `properties`."""
    y0, z0, y1, z1, thickness, modulus, before, behind, lean = np.moveaxis(table, (2, 0), (0, 2))  # (w, n)
    middle = np.hypot(y1 - y0, z1 - z0)
    ay, az = (y1 - y0) / middle, (z1 - z0) / middle
    length, shift = middle + before + behind, (behind - before) / 2
    metal = length * thickness
    weight = modulus * metal
    thin = weight * thickness**2 / 12
    along = weight * length**2 / 12 - thin
    spots = np.moveaxis(fillets, (2, 0), (0, 2))
    y = np.concatenate([(y0 + y1) / 2 + shift * ay - lean * az, spots[0]])
    z = np.concatenate([(z0 + z1) / 2 + shift * az + lean * ay, spots[1]])
    w = np.concatenate([weight, spots[2]])
    total = w.sum(axis=0)
    yc, zc = (w * y).sum(axis=0) / total, (w * z).sum(axis=0) / total
    y, z = y - yc, z - zc
    moments = np.zeros((2, 2, len(table)))
    moments[0, 0] = (along * ay**2 + thin).sum(axis=0) + (w * y * y).sum(axis=0)
    moments[1, 1] = (along * az**2 + thin).sum(axis=0) + (w * z * z).sum(axis=0)
    moments[0, 1] = moments[1, 0] = (along * ay * az).sum(axis=0) + (w * y * z).sum(axis=0)
    return metal.sum(axis=0) + spots[2].sum(axis=0), total, np.stack([yc, zc], axis=1), np.moveaxis(moments, 2, 0)
