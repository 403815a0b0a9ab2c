"""Diaphragms in boxes, and walls beside openings of boxes, that vary."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh.bridges import edge_stiffness
from ladderfe.mesh.plates import per_area, plate_stiffness
from ladderfe.mesh.rails import box_at
from ladderfe.mesh.walls import lies
from ladderfe.sections import Channel
from ladderfe.solve.variant_members import States

__all__ = ["bridge_states", "plate_states"]

Array = NDArray[np.float64]


def plate_states(states: States) -> Iterator[tuple[int, Array]]:
    """Nodes at which something varies and (v, 2, 2) stiffness of a diaphragm there on racking and warping."""
    steel = states.varied.mesh.material
    for d, node, box in states.varied.diaphragms:
        out = np.zeros((states.count, 2, 2))
        if box is not None:
            area = box.sizes(states.sections.thickness)[:, 0].prod(axis=1)
            out[:] = area[:, None, None] * np.diag(per_area(d.thickness, steel.shear_modulus))
        else:
            for v, chassis in enumerate(states.met.chassis):
                found = box_at(next(r for r in chassis.rails if r.side == d.side), d.station)
                if found is not None:
                    out[v] = np.diag(plate_stiffness(found, d.thickness, steel.shear_modulus))
        yield node, out


def bridge_states(states: States) -> Iterator[tuple[tuple[int, int], Array]]:
    """Nodes of openings whose walls vary and (v, 2, 2) stiffness on their racking, as `bridges_of`."""
    varied, mesh = states.varied, states.varied.mesh
    for k in varied.bridges:
        first, *own, last = varied.opening(k)
        sections = [int(mesh.section_of[m]) for m in own]
        shape = mesh.shapes[sections[0]]
        across = int(isinstance(shape, Channel) and lies(shape))
        depth = np.stack([states.walls(int(mesh.section_of[m])).size[:, across] for m in (first, last)], axis=1)
        t = [states.walls(s).thickness for s in sections]
        beside = [np.min([x[name] for x in t], axis=0) for name in ("top", "bottom")]
        length = float(mesh.lengths[own].sum())
        out = np.zeros((states.count, 2, 2))
        for v in range(states.count):
            thickness = float(beside[0][v]), float(beside[1][v])
            K = edge_stiffness(length, float(depth[v].mean()), thickness, mesh.material)
            out[v] = K * np.outer(depth[v] * (1, -1), depth[v] * (1, -1))
        yield mesh.bridges[k].nodes, out
