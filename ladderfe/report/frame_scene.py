"""Findings -> a scene: the real walls of the frame with their own stress or utilisation, moved as they move."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.report.frame_pulls import applied, lifted
from ladderfe.report.frame_signs import forces, loads, marks, names, stations, supports
from ladderfe.report.frame_walls import VALUES, WallStrips, corner_movements, corner_values, wall_strips
from ladderfe.report.scene import Scene

__all__ = ["VALUES", "WallStrips", "corner_movements", "corner_values", "frame_scene", "wall_strips"]

Array = NDArray[np.float64]


def frame_scene(findings: Findings, case: str, what: str = "utilisation", magnification: float | None = None) -> Scene:
    """The picture of one case.  Movement against level springs is left out: the frame is shown bent, not sunk.

    magnification : None chooses a round number that makes the frame's own bending visible.
    """
    s = findings.solution
    c = s.case(case)
    strips = wall_strips(findings)
    move = corner_movements(findings, strips)[..., c]
    move = move - _rigid_part(strips.corners, move)
    values = corner_values(findings, strips, what)[..., c]
    value, unit, kind = VALUES[what]
    parts = tuple(s.mesh.parts[k].name for k in s.mesh.part_of()[strips.member])
    along = findings.rows.along[strips.rows]
    return Scene(
        title=findings.chassis.title + ("" if findings.as_found is None else ", as found"),
        case=f"{case}: {s.cases[c].about}",
        value=value,
        unit=unit,
        kind=kind,
        quads=strips.corners,
        displacements=move,
        values=values,
        parts=parts,
        walls=strips.walls,
        along=along,
        crosswise=frozenset(p.name for p in s.mesh.parts if p.kind != "rail"),
        marks=marks(findings, case, what, values, (parts, strips.walls, along)),
        magnification=_magnification(findings, move) if magnification is None else magnification,
        stations=stations(findings),
        supports=supports(findings, c),
        loads=(*loads(findings, c), *applied(findings, c)),
        names=(*forces(findings, c), *lifted(findings, c), *names(findings)),
    )


def _rigid_part(corners: Array, move: Array) -> Array:
    """The rigid motion (least squares) in movements (q, 4, 3) of corners."""
    p, u = corners.reshape(-1, 3), move.reshape(-1, 3)
    mean = p.mean(axis=0)
    x, y, z = (p - mean).T
    zero, one = np.zeros_like(x), np.ones_like(x)
    a = np.stack(
        [
            np.stack([one, zero, zero, zero, z, -y], axis=1),
            np.stack([zero, one, zero, -z, zero, x], axis=1),
            np.stack([zero, zero, one, y, -x, zero], axis=1),
        ],
        axis=1,
    )
    q = np.linalg.lstsq(a.reshape(-1, 6), u.ravel(), rcond=None)[0]
    out: Array = (a @ q).reshape(move.shape)
    return out


def _magnification(findings: Findings, move: Array) -> float:
    """A round number that brings the greatest movement to about 3 % of the frame's length."""
    length = float(np.ptp(findings.solution.mesh.nodes[:, 0]))
    greatest = float(np.linalg.norm(move, axis=-1).max())
    if greatest == 0:
        return 1.0
    ratio = 0.03 * length / greatest
    base = 10.0 ** np.floor(np.log10(ratio))
    return float(max(1.0, base * max(k for k in (1, 2, 5) if k * base <= ratio)))
