"""Diaphragms in boxes, and walls beside openings of boxes, that vary."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.mesh.bridges import edge_stiffness
from ladderfe.mesh.plates import plate_stiffness
from ladderfe.mesh.rails import box_at
from ladderfe.mesh.varied import Varied
from ladderfe.mesh.walls import lies
from ladderfe.sections import Channel
from ladderfe.solve.variant_members import States

__all__ = ["bridge_states", "plate_states"]

Array = NDArray[np.float64]


def plate_states(varied: Varied, states: Sequence[Chassis]) -> Iterator[tuple[int, Array]]:
    """Nodes at which something varies and (v, 2, 2) stiffness of a diaphragm there on racking and warping."""
    mesh, plates = varied.mesh, {p.node for p in varied.mesh.plates}
    for d in varied.chassis.diaphragms:
        part = mesh.part(f"{d.side} rail")
        nodes = [*mesh.ends[part.first : part.last, 0].tolist(), int(mesh.ends[part.last - 1, 1])]
        node = nodes[int(np.argmin(np.abs(mesh.nodes[nodes, 0] - d.station)))]
        if node not in plates or node not in varied.nodes:
            continue
        out = np.zeros((len(states), 2, 2))
        for v, chassis in enumerate(states):
            box = box_at(next(r for r in chassis.rails if r.side == d.side), d.station)
            if box is not None:
                out[v] = np.diag(plate_stiffness(box, d.thickness, mesh.material.shear_modulus))
        yield node, out


def bridge_states(varied: Varied, states: States) -> Iterator[tuple[tuple[int, int], Array]]:
    """Nodes of openings whose walls vary and (v, 2, 2) stiffness on their racking, as `bridges_of`."""
    mesh = varied.mesh
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
