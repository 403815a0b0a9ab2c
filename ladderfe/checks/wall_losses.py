"""Of every wall how slender it is in its worst case; of every part and case the stress on effective walls."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.thin_walls import Demands, gross_peak, remaining_stress
from ladderfe.mesh import Mesh
from ladderfe.sections.effective import Effective, thinner_edges
from ladderfe.sections.plate_buckling import wall_class, width_limit
from ladderfe.solve import Solution

__all__ = ["EffectiveUse", "ThinWall", "effective_uses", "onset_thickness", "thin_walls"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Rounds to find the thickness at which a wall begins to lose width.
ROUNDS = 4
ALIKE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinWall:
    """A wall of a part where it is nearest to buckling (or furthest beyond).

    held: "internal" or "outstand"; width: clear, thickness: mm; compression: the greatest at its edges there, MPa;
    psi; grade: class 1 to 4; slender: lambda_p at yield; rho: its reduction factor; kept: effective over gross width.
    onset: thickness in mm at which rho reaches 1, the other walls whole as they are and the forces unchanged; 0 where
    nothing presses it.
    """

    part: str
    kind: str
    side: str
    wall: str
    held: str
    width: float
    thickness: float
    case: str
    along: float
    compression: float
    psi: float
    grade: int
    slender: float
    rho: float
    kept: float
    onset: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EffectiveUse:
    """The greatest normal stress on effective walls of a part in a case, against the permissible bending stress.

    gross: the greatest at the same place on gross walls; compression, tension: the greatest of each sign on effective
    walls, MPa.  area: effective over gross; shift: of the centroid (y, z), mm; lost: (wall, effective over gross width)
    of walls that lose some, the least first; rounds: how often strips moved until they settled.
    """

    case: str
    part: str
    kind: str
    side: str
    along: float
    wall: str
    point: str
    stress: float
    limit: float
    ratio: float
    gross: float
    compression: float
    tension: float
    area: float
    shift: tuple[float, float]
    lost: tuple[tuple[str, float], ...]
    rounds: int
    settled: bool


def thin_walls(solution: Solution, rows: Rows, d: Demands) -> tuple[ThinWall, ...]:
    """Every wall of every part where its onset thickness is greatest, the one furthest beyond its onset first.

    A wall that no case presses counts where it comes first.
    """
    p, t = d.pattern, d.table
    group, onset = _groups(d), onset_thickness(d)
    near = np.round(onset / t.thickness[d.section], 4)  # of places alike the one pressed most is told
    order = np.lexsort((-np.round(p.compression, 6).ravel(), -near.ravel(), group.ravel()))
    ordered = group.ravel()[order]
    firsts = order[np.flatnonzero(np.diff(ordered, prepend=-1))]
    n, i = np.divmod(firsts, group.shape[1])
    thick = _onset_alone(d, n, i, onset[n, i])
    found = [_wall(solution, rows, d, int(a), int(b), float(c)) for a, b, c in zip(n, i, thick, strict=True)]
    return tuple(sorted(found, key=lambda w: -float(f"{w.onset / w.thickness:.9g}")))


def onset_thickness(d: Demands) -> Array:
    """(n, P) thickness in mm at which each panel begins to lose width under the pattern of stress that it has; 0 where
    nothing presses it."""
    p, t = d.pattern, d.table
    limit = width_limit(p.psi, t.outstand[d.section], p.at_tip) * d.eps * np.sqrt(t.modulus[d.section])
    out: Array = np.where(p.compression > 0, t.width[d.section] / limit, 0.0)
    return out


def _groups(d: Demands) -> IntArray:
    """(n, P) number of the part's wall that each panel is, -1 where there is none."""
    names: dict[str, int] = {}
    of_panel = np.full(d.table.width.shape, -1)
    for k, own in enumerate(d.table.panels):
        of_panel[k, : len(own)] = [names.setdefault(p.name, len(names)) for p in own]
    name = of_panel[d.section]
    return np.where(name >= 0, d.part[:, None] * len(names) + name, -1)


def _onset_alone(d: Demands, n: IntArray, i: IntArray, onset: Array) -> Array:
    """Onset thickness when that wall alone becomes thinner (or thicker) and so changes its own pattern of stress."""
    section, t = d.section[n], d.table
    tip, width = t.tip[section, i], t.width[section, i]
    eps, out = d.eps * np.sqrt(t.modulus[section, i]), onset
    for _ in range(ROUNDS):
        thickness = np.where(out > 0, out, t.thickness[section, i])
        edges = thinner_edges(t, section, d.force[n], i, thickness, d.extra[n])
        one, other = -edges.min(axis=1), -edges.max(axis=1)
        pressed = (one > 0) & (onset > 0)
        psi = np.where(pressed, other / np.where(pressed, one, 1.0), 1.0)
        at_tip = (tip >= 0) & ((edges[:, 1] < edges[:, 0]) == (tip == 1))
        out = np.where(pressed, width / (eps * width_limit(psi, tip >= 0, at_tip)), 0.0)
    return out


def _wall(solution: Solution, rows: Rows, d: Demands, n: int, i: int, onset: float) -> ThinWall:
    mesh, p, k = solution.mesh, d.pattern, int(d.section[n])
    part, panel = mesh.parts[int(d.part[n])], d.table.panels[k][i]
    slender = panel.width / panel.thickness
    eps = d.eps * panel.modulus**0.5
    pressed = p.compression[n, i] > 0
    grade = wall_class(slender, p.psi[n, i], panel.outstand, p.at_tip[n, i], eps) if pressed else 1
    return ThinWall(
        part=part.name, kind=part.kind, side=part.side, wall=panel.name,
        held="outstand" if panel.outstand else "internal", width=panel.width, thickness=panel.thickness,
        case=solution.cases[int(d.case[n])].name, along=float(rows.along[d.row[n]]),
        compression=float(p.compression[n, i]), psi=float(p.psi[n, i]), grade=int(grade),
        slender=float(p.slender[n, i]) if pressed else 0.0, rho=float(p.rho[n, i]),
        kept=1 - float(p.lost[n, i]) / panel.width, onset=onset,
    )  # fmt: skip


def effective_uses(
    solution: Solution, rows: Rows, s: Stresses, d: Demands, limit: float
) -> tuple[tuple[EffectiveUse, ...], tuple[tuple[str, str, float], ...]]:
    """The greatest of every case and part where some wall loses width, governing first; and the least that is effective
    of every (part, wall) in any case."""
    chosen = d.slender()
    if not len(chosen):
        return (), ()
    found = d.effective(chosen)
    stress = remaining_stress(d, s, chosen, found)
    peak, gross = np.abs(stress).max(axis=1), gross_peak(s)
    key = d.case[chosen] * len(solution.mesh.parts) + d.part[chosen]
    order = np.lexsort((-np.round(peak, 9), key))
    firsts = order[np.flatnonzero(np.diff(key[order], prepend=-1))]
    uses = [_use(solution, rows, s, d, found, stress[k], int(k), int(chosen[k]), limit, gross) for k in firsts]
    return tuple(sorted(uses, key=lambda u: -float(f"{u.ratio:.9g}"))), _least(solution.mesh, d, chosen, found)


def _use(
    solution: Solution, rows: Rows, s: Stresses, d: Demands, found: Effective, stress: Array, k: int, n: int,
    limit: float, gross: Array,
) -> EffectiveUse:
    row, case = int(d.row[n]), int(d.case[n])
    part, table = solution.mesh.parts[int(d.part[n])], int(s.section[row])
    size = np.abs(stress)
    p = int(np.argmax(size >= size.max() * (1 - ALIKE)))
    kept = [(pa.name, 1 - float(found.patterns.lost[k, i]) / pa.width)
            for i, pa in enumerate(d.table.panels[int(d.section[n])]) if found.patterns.lost[k, i] > 0]  # fmt: skip
    return EffectiveUse(
        case=solution.cases[case].name, part=part.name, kind=part.kind, side=part.side,
        along=float(rows.along[row]), wall=s.table.walls[table][p], point=s.table.labels[table][p],
        stress=float(stress[p]), limit=limit, ratio=float(size[p]) / limit, gross=float(gross[row, case]),
        compression=float(stress.min()), tension=float(stress.max()),
        area=float(found.area[k] / d.table.area[d.section[n]]),
        shift=(float(found.shift[k, 0]), float(found.shift[k, 1])), lost=tuple(sorted(kept, key=lambda x: x[1])),
        rounds=int(found.rounds[k]), settled=bool(found.settled[k]),
    )  # fmt: skip


def _least(mesh: Mesh, d: Demands, chosen: IntArray, found: Effective) -> tuple[tuple[str, str, float], ...]:
    least: dict[tuple[str, str], float] = {}
    kept = 1 - found.patterns.lost / np.where(d.table.real, d.table.width, 1.0)[d.section[chosen]]
    for part in dict.fromkeys(d.part[chosen].tolist()):
        for section in dict.fromkeys(d.section[chosen[d.part[chosen] == part]].tolist()):
            own = (d.part[chosen] == part) & (d.section[chosen] == section)
            low = kept[own].min(axis=0)
            for i, panel in enumerate(d.table.panels[section]):
                if low[i] < 1:
                    name = (mesh.parts[part].name, panel.name)
                    least[name] = min(least.get(name, 1.0), float(low[i]))
    return tuple((*name, v) for name, v in sorted(least.items(), key=lambda x: x[1]))
