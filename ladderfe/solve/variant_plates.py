"""Diaphragms in boxes whose walls vary."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.mesh.plates import plate_stiffness
from ladderfe.mesh.rails import box_at
from ladderfe.mesh.varied import Varied

__all__ = ["plate_states"]

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
