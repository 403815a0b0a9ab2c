"""Thin walls: where and in which case which of them may buckle, what is left of them, and the stress on what is left.

Gross walls carry the frame's stiffness; effective walls count for resistance only.  Every place and case is looked at
where a part bears a quarter or more of its greatest normal stress in that case, and a twentieth of the frame's in any:
elsewhere lost strips cannot make it govern.  Rule: ladderfe/sections/effective.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.least_walls import carried_over
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.mesh import Mesh
from ladderfe.sections import Section, properties
from ladderfe.sections.effective import (
    Effective,
    PanelTable,
    Patterns,
    edge_places,
    effective,
    gross_stress,
    panel_table,
    patterns,
)  # fmt: skip
from ladderfe.sections.plate_buckling import strain_factor

__all__ = ["WORTH", "Demands", "PointPlaces", "demands", "effective_peak", "gross_peak", "remaining_stress"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]

#: Part of the greatest normal stress of a part in a case from which its places are looked at.
WORTH = 0.25
#: Part of the greatest normal stress of the frame in any case from which a place is looked at.
LEAST = 0.05
#: A stress below this part of the greatest of all is rounding.
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class PointPlaces:
    """Stress points of s sections, padded to p: places (s, p, 2), modulus ratio (s, p), panel (s, p) or -1, how far
    along it from its start (s, p); edges (s, P, 2): the points that stand for the panels' edges."""

    places: Array
    modulus: Array
    panel: IntArray
    along: Array
    edges: IntArray


def point_places(sections: Sequence[Section], table: PanelTable) -> PointPlaces:
    """The stress points of sections beside their panels, in the order of the stress tables."""
    points = [properties(s).points for s in sections]
    shape = (len(points), max(len(q.y) for q in points))
    places, modulus = np.zeros((*shape, 2)), np.ones(shape)
    wall = np.full(shape, -1)
    panel_of = np.full((len(points), 1 + max(len(s.walls) for s in sections)), -1)  # the last for walls that are none
    ends = np.full((*table.width.shape, 2), -2)
    for k, q in enumerate(points):
        n = len(q.y)
        places[k, :n, 0], places[k, :n, 1], modulus[k, :n], wall[k, :n] = q.y, q.z, q.modulus, q.index
        for i, p in enumerate(table.panels[k]):
            panel_of[k, list(p.walls)] = i
            ends[k, i] = p.walls[0], p.walls[-1]
    own = np.arange(len(points))[:, None]
    panel = panel_of[own, wall]
    along = ((places - table.start[own, panel]) * table.along[own, panel]).sum(axis=2)
    first = (wall[:, None, None, :] == ends[..., None]).argmax(axis=3)  # start of each edge's piece; then its end
    pair = np.stack([along[own[..., None], first], along[own[..., None], np.minimum(first + 1, shape[1] - 1)]], axis=3)
    edges = first + np.stack([pair[:, :, 0].argmin(axis=2), pair[:, :, 1].argmax(axis=2)], axis=2)
    return PointPlaces(places, modulus, panel, along, np.where(table.real[..., None], edges, 0))


@dataclass(frozen=True, slots=True, eq=False)
class Demands:
    """All places and cases looked at: n of them.

    sections and their panels; row, case, part, section (n,) numbers; force (n, 3) N, My, Mz; extra (n, P, 2) stress at
    the panels' edges beside theirs (warping; in tapers also the true shape less the step); pattern: on gross walls.
    """

    sections: tuple[Section, ...]
    table: PanelTable
    points: PointPlaces
    eps: float
    row: IntArray
    case: IntArray
    part: IntArray
    section: IntArray
    force: Array
    extra: Array
    pattern: Patterns

    def slender(self) -> IntArray:
        """Those where some wall loses a strip."""
        return np.nonzero((self.pattern.lost > 0).any(axis=1))[0]

    def effective(self, chosen: IntArray) -> Effective:
        """Effective sections of the chosen ones."""
        return effective(self.table, self.section[chosen], self.force[chosen], self.eps, self.extra[chosen])


def gross_peak(s: Stresses) -> Array:
    """(r, c) greatest normal stress of every row and case on gross walls."""
    out: Array = np.abs(s.normal).max(axis=1)
    return out


def effective_peak(mesh: Mesh, rows: Rows, s: Stresses, yield_stress: float, wanted: Mask) -> Array:
    """(r, c) greatest normal stress of every row and case: on effective walls where wanted (never less than on gross
    ones), on gross walls elsewhere."""
    out = gross_peak(s)
    wanted = wanted & (out > 0)
    if not wanted.any():
        return out
    d = demands(mesh, rows, s, yield_stress, wanted)
    chosen = d.slender()
    if len(chosen):
        at = d.row[chosen], d.case[chosen]
        left = remaining_stress(d, s, chosen, d.effective(chosen))
        out[at] = np.maximum(out[at], np.abs(left).max(axis=1))
    return out


def _worth_a_look(mesh: Mesh, part: IntArray, peak: Array) -> Mask:
    """(r, c) where effective walls may govern; the condition as weighed is no case."""
    peak = np.where(np.arange(peak.shape[1]) > 0, peak, 0.0)
    top = np.zeros((len(mesh.parts), peak.shape[1]))
    np.maximum.at(top, part, peak)
    out: Mask = (peak >= np.maximum(WORTH * top[part], LEAST * peak.max(initial=0.0))) & (peak > 0)
    return out


def demands(mesh: Mesh, rows: Rows, s: Stresses, yield_stress: float, wanted: Mask | None = None) -> Demands:
    """What is looked at (or the rows and cases wanted), with the pattern of stress of every panel."""
    part, peak = mesh.part_of()[rows.member], gross_peak(s)
    most = float(peak[:, 1:].max(initial=0.0))
    row, case = np.nonzero(_worth_a_look(mesh, part, peak) if wanted is None else wanted)
    used, section = np.unique(s.section[row], return_inverse=True)
    sections = tuple(mesh.least_sections[k] for k in used)
    table = panel_table(sections)
    points = point_places(sections, table)
    force = _forces(mesh, used, section, rows.resultants[row[:, None], [0, 4, 5], case[:, None]])
    eps = strain_factor(yield_stress, mesh.material.youngs_modulus)
    at, own = points.edges[section].reshape(len(row), -1), section[:, None]
    plain = gross_stress(table, section, force, points.places[own, at]) * points.modulus[own, at]
    extra = s.normal[row[:, None], at, case[:, None]] - plain
    extra[abs(extra) < NOTHING * most] = 0.0
    extra = extra.reshape(len(row), -1, 2)
    clear = edge_places(table, section).reshape(len(row), -1, 2)
    edges = gross_stress(table, section, force, clear).reshape(extra.shape) * table.modulus[section][..., None] + extra
    pattern = patterns(table, section, edges, eps)
    return Demands(sections, table, points, eps, row, case, part[row], section, force, extra, pattern)


def _forces(mesh: Mesh, used: IntArray, section: IntArray, force: Array) -> Array:
    """(n, 3) N, My, Mz about the centroids of the walls that strength is judged by, from those about the others'."""
    if mesh.least_sections is mesh.sections:
        return force
    pairs = [(properties(mesh.least_sections[k]), properties(mesh.sections[k])) for k in used]
    by = np.array([carried_over(*pair)[np.ix_([0, 4, 5], [0, 4, 5])] for pair in pairs])
    return np.asarray(np.einsum("nij,nj->ni", by[section], force))


def remaining_stress(d: Demands, s: Stresses, chosen: IntArray, found: Effective) -> Array:
    """(k, p) normal stress at the stress points on effective walls, MPa; 0 where a section has no such point.

    Stress on gross walls plus what the lost strips change under N, My and Mz.  A point at a lost tip moves to the edge
    of what is left of the wall.
    """
    section = d.section[chosen]
    places, panel = d.points.places[section], d.points.panel[section]
    n = np.arange(len(chosen))[:, None]
    width, tip = d.table.width[section][n, panel], d.table.tip[section][n, panel]
    strip, lost = found.patterns.strip[n, panel], found.patterns.lost[n, panel]
    along = d.points.along[section]
    held = np.where((tip == 0) & (strip < 1e-9 * width), np.maximum(along, strip + lost), along)
    held = np.where((tip == 1) & (strip + lost > (1 - 1e-9) * width), np.minimum(held, strip), held)
    held = np.where((panel >= 0) & (lost > 0), held, along)
    moved = places + (held - along)[..., None] * d.table.along[section][n, panel]
    change = found.stress(moved) - gross_stress(d.table, section, d.force[chosen], places)
    normal = s.normal[d.row[chosen], :, d.case[chosen]]
    p = normal.shape[1]
    full = np.zeros_like(normal)
    full[:, : change.shape[1]] = (change * d.points.modulus[section])[:, :p]
    return np.where(s.table.real[s.section[d.row[chosen]]], normal + full, 0.0)
