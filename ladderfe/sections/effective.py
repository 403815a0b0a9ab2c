"""Effective sections: what is left of thin walls under N, My and Mz together, many demands at once.

Each panel loses at most one strip: its middle (internal) or its tip (outstand), after EN 1993-1-5 Tables 4.1 and 4.2.
One effective section serves N, My and Mz acting together, as 4.3(5) allows: the stress on it gives each panel's psi,
which gives the strips, which give the stress, until the strips stay where they are.  The moments are taken about the
effective centroid, so the shift e_N of 4.3(3) is in it.  Slenderness is that at yield (4.4(2)): the pattern counts as
if the loads grew in proportion until the section's edge yields; walls that are stressed less could keep more (4.4(4)).
Shear lag (3.1) is left out: flanges of frame rails are narrow beside their length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.sections.panels import Panel, panels_of
from ladderfe.sections.plate_buckling import internal_factor, outstand_factor, reduction, slenderness, strain_factor
from ladderfe.sections.properties import properties
from ladderfe.sections.walls import Section, Wall

__all__ = [
    "Effective", "PanelTable", "Patterns", "cut_section", "edge_places", "effective", "effective_section",
    "gross_stress", "panel_table", "patterns", "plate_sums", "thinner_edges",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Mask = NDArray[np.bool_]

#: Strips that move by less than this part of their panel's width have settled; rounds at most; rounds without damping.
SETTLED, MOST_ROUNDS, FREE_ROUNDS = 1e-9, 100, 60
#: Strips that move this little after all rounds only answer to the small steps of the tables at psi = 0 and -1.
NEARLY = 5e-3
#: Edges whose stresses differ by less than this part count as pressed alike: rounding must not choose between them.
EVEN = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class PanelTable:
    """Panels of s sections, padded to P (`real` marks those that exist), and the gross sections.

    start, along (s, P, 2); width, thickness, metal, modulus (s, P); tip (s, P): free edge 0 or 1, -1 where internal.
    area (s,), centre (s, 2), moments (s, 2, 2) = [[Izz, Iyz], [Iyz, Iyy]] about the centroid; mm.
    """

    panels: tuple[tuple[Panel, ...], ...]
    real: Mask
    start: Array
    along: Array
    width: Array
    thickness: Array
    metal: Array
    modulus: Array
    tip: IntArray
    area: Array
    centre: Array
    moments: Array

    @property
    def outstand(self) -> Mask:
        """(s, P) True where one edge is free."""
        return self.tip >= 0


def panel_table(sections: Sequence[Section]) -> PanelTable:
    """Panels and gross properties of sections."""
    panels = tuple(panels_of(s) for s in sections)
    shape = (len(panels), max(1, *(len(p) for p in panels)))
    plain = np.tile([0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0, 1.0, -1.0], (*shape, 1))
    real = np.zeros(shape, dtype=bool)
    for k, own in enumerate(panels):
        real[k, : len(own)] = True
        for i, p in enumerate(own):
            plain[k, i] = (*p.start, *p.along, p.width, p.thickness, p.metal, p.modulus, p.tip)
    gross = [properties(s) for s in sections]
    return PanelTable(
        panels=panels, real=real, start=plain[..., :2], along=plain[..., 2:4], width=plain[..., 4],
        thickness=plain[..., 5], metal=plain[..., 6], modulus=plain[..., 7], tip=plain[..., 8].astype(np.int64),
        area=np.array([g.A for g in gross]), centre=np.array([(g.yc, g.zc) for g in gross]),
        moments=np.array([((g.Izz, g.Iyz), (g.Iyz, g.Iyy)) for g in gross]))  # fmt: skip


@dataclass(frozen=True, slots=True, eq=False)
class Patterns:
    """How panels are stressed, all (n, P): the greater compression at an edge (MPa, 0 where there is none), psi, True
    where the end of the panel is the more compressed edge, True where the free edge of an outstand is, slenderness,
    rho, and the strip lost: its start from the panel's start and its length, mm."""

    compression: Array
    psi: Array
    at_end: Mask
    at_tip: Mask
    slender: Array
    rho: Array
    strip: Array
    lost: Array


def patterns(table: PanelTable, section: IntArray, edges: Array, eps: float) -> Patterns:
    """Patterns and lost strips of the panels of sections (n,) under stresses at their edges (n, P, 2), MPa."""
    width, tip = table.width[section], table.tip[section]
    outstand = tip >= 0
    at_end = edges[..., 1] < edges[..., 0]
    one, other = -edges.min(axis=2), -edges.max(axis=2)  # compression is negative stress
    pressed = (one > 0) & table.real[section]
    psi = np.where(pressed, other / np.where(pressed, one, 1.0), 1.0)
    even = abs(edges[..., 1] - edges[..., 0]) <= EVEN * one
    at_tip = outstand & (even | (at_end == (tip == 1)))
    k = np.where(outstand, outstand_factor(psi, at_tip), internal_factor(psi))
    own_eps = eps * np.sqrt(table.modulus[section])
    slender = slenderness(width / table.thickness[section] / own_eps, k, 1.0)
    rho = np.where(pressed, reduction(slender, psi, outstand), 1.0)
    zone = width / (1 - np.minimum(psi, 0.0))
    first = np.where(outstand, np.where(at_tip, 0.0, 1.0), np.where(psi >= 0, 2 / (5 - np.maximum(psi, 0.0)), 0.4))
    lost = (1 - rho) * zone
    from_edge = first * rho * zone  # of the more compressed edge
    at_end = np.where(at_tip, tip == 1, at_end)
    strip = np.where(at_end, width - from_edge - lost, from_edge)
    return Patterns(np.where(pressed, one, 0.0), psi, at_end, at_tip, slender, rho, strip, lost)


@dataclass(frozen=True, slots=True, eq=False)
class Effective:
    """Effective sections of n demands.

    patterns : the panels'.  area (n,), centre (n, 2), moments (n, 2, 2) as in PanelTable.  shift (n, 2): from the gross
    to the effective centroid (e_N), mm.  force (n, 3): N, and the moments about the effective centroid as int s y dA
    and int s z dA.  rounds (n,): how often the strips moved.  settled (n,): False where they still did at the end.
    """

    patterns: Patterns
    area: Array
    centre: Array
    moments: Array
    shift: Array
    force: Array
    rounds: IntArray
    settled: Mask

    def stress(self, places: Array) -> Array:
        """(n, p) normal stress at places (n, p, 2) for the reference material, MPa."""
        slope = np.linalg.solve(self.moments, self.force[:, 1:, None])
        out: Array = (self.force[:, :1] / self.area[:, None]) + ((places - self.centre[:, None]) @ slope)[..., 0]
        return out


def effective(
    table: PanelTable, section: IntArray, force: Array, eps: float, extra: Array | None = None
) -> Effective:
    """Effective sections under resultants about the gross centroid.

    section : (n,) into the table.  force : (n, 3) N, My, Mz in N and N mm.  eps : strain factor.  extra : (n, P, 2)
    stress at the panels' edges beside that of N, My, Mz (warping); it stays as it is.

    The first round takes psi from the gross section, as 4.4(3) has it for flanges; the second has the effective parts
    of flanges beside the webs, as it has it for webs; further ones go on until strips move by less than 1e-9 of their
    width, from round 60 on half way each time.
    """
    n, places = len(section), edge_places(table, section)
    cut = np.zeros((n, 2, table.width.shape[1]))  # where strips begin, and their length
    cut[:, 0] = np.nan  # a strip begins where it is first found
    went, gap_before = cut.copy(), cut.copy()
    width = np.maximum(table.width[section], 1e-12)[:, None]
    rounds, moved, live = np.zeros(n, dtype=np.int64), np.zeros(n), np.arange(n)
    for count in range(MOST_ROUNDS):
        some, beside = section[live], None if extra is None else extra[live]
        sums = _sums(table, some, force[live], np.nan_to_num(cut[live, 0]), cut[live, 1])
        found = patterns(table, some, edge_stress(table, some, sums, places[live], beside), eps)
        to = np.stack([found.strip, found.lost], axis=1)
        cut[live] = np.where((cut[live, 1:] > 0) & np.isfinite(cut[live]), cut[live], to * [[1.0], [0.0]])
        gap = to - cut[live]
        moved[live] = (abs(gap) / width[live]).max(axis=(1, 2))
        on = moved[live] > SETTLED
        live, to, gap = live[on], to[on], gap[on]
        if not len(live):
            break
        step = _step(to, gap, went[live], gap_before[live]) if 0 < count < FREE_ROUNDS else to
        went[live], gap_before[live] = to, gap
        cut[live] = step if count < FREE_ROUNDS else (to + cut[live]) / 2
        cut[live, 1] = np.clip(cut[live, 1], 0.0, width[live, 0])
        rounds[live] += 1
    strip, length = np.nan_to_num(cut[:, 0]), cut[:, 1]
    sums = _sums(table, section, force, strip, length)
    last = patterns(table, section, edge_stress(table, section, sums, places, extra), eps)
    return Effective(replace(last, strip=strip, lost=length), *sums, rounds, moved < NEARLY)


def _step(to: Array, gap: Array, went: Array, gap_before: Array) -> Array:
    """The next strips (n, 2, P) from the last two rounds: the point between them where the gap would be least.

    D. G. Anderson's acceleration with one round of memory; never further than three times the last move.
    """
    change = gap - gap_before
    size = np.maximum((change**2).sum(axis=(1, 2)), 1e-300)
    back = np.clip((gap * change).sum(axis=(1, 2)) / size, -3.0, 1.0)[:, None, None]
    out: Array = to - back * (to - went)
    return out


def edge_places(table: PanelTable, section: IntArray) -> Array:
    """(n, P, 2 edges, 2) places of the panels' edges."""
    start, along = table.start[section], table.along[section]
    return np.stack([start, start + table.width[section][..., None] * along], axis=2)


def gross_stress(table: PanelTable, section: IntArray, force: Array, places: Array) -> Array:
    """(n, p) normal stress at places (n, p, 2) of gross sections under N, My, Mz (n, 3), reference material, MPa."""
    slope = np.linalg.solve(table.moments[section], np.stack([-force[:, 2], force[:, 1]], axis=1)[..., None])
    arm = places - table.centre[section][:, None]
    out: Array = (force[:, 0] / table.area[section])[:, None] + (arm @ slope)[..., 0]
    return out


_Sums = tuple[Array, Array, Array, Array, Array]  # area, centre, moments, shift, force of Effective


def edge_stress(table: PanelTable, section: IntArray, sums: _Sums, edges: Array, extra: Array | None) -> Array:
    """(n, P, 2) stress at the panels' edges."""
    area, centre, moments, _, force = sums
    slope = np.linalg.solve(moments, force[:, 1:, None])[..., 0]
    plain = (force[:, 0] / area)[:, None, None] + np.einsum("npeq,nq->npe", edges - centre[:, None, None], slope)
    out: Array = plain * table.modulus[section][..., None]
    return out if extra is None else out + extra


def thinner_edges(
    table: PanelTable, section: IntArray, force: Array, panel: IntArray, thickness: Array, extra: Array
) -> Array:
    """(n, 2) stress at the edges of one panel each when that panel alone has another thickness (n,), mm, about its
    mid-line, and the resultants stay; corners keep their metal.  extra : (n, P, 2) as for `effective`."""
    lost, n = np.zeros((len(section), table.width.shape[1])), np.arange(len(section))
    lost[n, panel] = table.width[section, panel]
    part = (1 - thickness / table.thickness[section, panel])[:, None]
    sums = _sums(table, section, force, np.zeros_like(lost), lost, part)
    out: Array = edge_stress(table, section, sums, edge_places(table, section), extra)[n, panel]
    return out


def _sums(
    table: PanelTable, section: IntArray, force: Array, strip: Array, lost: Array, part: Array | float = 1.0
) -> _Sums:
    """Gross sections less the strips (or that part of their thickness), and the moments about what is left."""
    along = table.along[section]
    gone = part * table.metal[section] * lost
    arm = table.start[section] + (strip + lost / 2)[..., None] * along - table.centre[section][:, None]
    area = table.area[section] - gone.sum(axis=1)
    shift = -np.einsum("np,npi->ni", gone, arm) / area[:, None]
    thick = table.thickness[section] ** 2
    own = np.einsum("np,npi,npj->nij", gone * (lost**2 - thick) / 12, along, along)
    own += (gone * thick).sum(axis=1)[:, None, None] / 12 * np.eye(2)
    own += np.einsum("np,npi,npj->nij", gone, arm, arm)
    moments = table.moments[section] - own - area[:, None, None] * shift[:, :, None] * shift[:, None, :]
    about = np.stack([force[:, 0], -force[:, 2], force[:, 1]], axis=1)
    about[:, 1:] -= force[:, :1] * shift
    return area, table.centre[section] + shift, moments, shift, about


def effective_section(
    section: Section, N: float = 0.0, My: float = 0.0, Mz: float = 0.0, *, yield_stress: float = 235.0,
    youngs_modulus: float = 210_000.0,
) -> tuple[Section, Effective]:
    """One section under one set of resultants about its gross centroid: its effective walls, and the numbers."""
    table = panel_table((section,))
    eps = strain_factor(yield_stress, youngs_modulus)
    found = effective(table, np.zeros(1, dtype=np.int64), np.array([[N, My, Mz]], dtype=float), eps)
    return cut_section(section, found), found


def cut_section(section: Section, found: Effective, n: int = 0) -> Section:
    """The section of demand n with its lost strips cut out of the walls.

    What is left need not hang together: such a section has plate sums (`plate_sums`) but no flow of shear or torsion.
    """
    left: dict[int, list[Wall]] = {}
    for i, panel in enumerate(panels_of(section)):
        first = float(found.patterns.strip[n, i])
        last = first + float(found.patterns.lost[n, i])
        if last > first:
            left |= {k: _cut(section.walls[k], panel, first, last) for k in panel.walls}
    return replace(section, walls=tuple(w for k, wall in enumerate(section.walls) for w in left.get(k, [wall])))


def _cut(wall: Wall, panel: Panel, first: float, last: float) -> list[Wall]:
    """What is left of a piece of a panel when the strip from `first` to `last` is gone."""
    s0, s1 = ((p[0] - panel.start[0]) * panel.along[0] + (p[1] - panel.start[1]) * panel.along[1]
              for p in (wall.start, wall.end))  # fmt: skip
    turned = s0 > s1
    grow = (wall.grow_end, wall.grow_start) if turned else (wall.grow_start, wall.grow_end)
    low, high = min(s0, s1), max(s0, s1)
    out = []
    for a, b, ga, gb in ((low, min(high, first), grow[0], grow[1] if first >= high else 0.0),
                         (max(low, last), high, grow[0] if last <= low else 0.0, grow[1])):  # fmt: skip
        if b - a + ga + gb > 1e-9 and b - a > 1e-9:
            ends, g = (panel.place(a), panel.place(b)), (ga, gb)
            out.append(replace(wall, start=ends[turned], end=ends[not turned], grow_start=g[turned],
                               grow_end=g[not turned]))  # fmt: skip
    return out


def plate_sums(section: Section) -> tuple[float, Array, Array]:
    """Area, centroid (2,) and moments (2, 2) = [[Izz, Iyz], [Iyz, Iyy]] from the true plates and small areas alone.

    Needs no graph, so the walls need not hang together.  Weighted by the modulus ratios; mm.
    """
    middle, weight, own = [], [], np.zeros((2, 2))
    for w in section.walls:
        along = np.subtract(w.end, w.start) / w.length
        left = np.array([-along[1], along[0]])
        m = w.modulus * w.area if w.true_length > 1e-9 * w.length else 0.0
        middle.append(np.add(w.start, w.end) / 2 + along * (w.grow_end - w.grow_start) / 2 + w.lean * left)
        weight.append(m)
        own += m / 12 * (w.true_length**2 * np.outer(along, along) + w.thickness**2 * np.outer(left, left))
    small = [(f.y, f.z) for f in section.fillets]
    places, m_all = np.array([*middle, *small]), np.array([*weight, *(f.area for f in section.fillets)])
    area = float(m_all.sum())
    centre: Array = m_all @ places / area
    arm = places - centre
    return area, centre, own + np.einsum("p,pi,pj->ij", m_all, arm, arm)
