"""Short openings of box rails: the walls that run on past the opening hold its two edges against each other.

Where one wall of a box ends (a hole of the wall's whole width) it moves on its own against the channel that is left,
delta = g times the distance between it and the opposite wall.  Between the two edges of the opening the pair of walls
beside it (the uprights beside a hole in the bottom) would have to bend and twist out of their plane: they follow the
edges as s/h delta, s from the wall that stays.  For one of thickness t and depth h along a length a

    K = 4 D h/(a + c)^3 + G t^3/(3 h a),    D = E t^3/(12 (1 - nu^2)),

strips built in at both edges, and the plate's twist (own derivation); energy K (delta_1 - delta_2)^2/2.  c, what the
edges themselves give way, is one constant found in solids (`GIVES`).  Without this a hole would cost a twisted rail the
same however short it is, since thin walls without plate bending see a slit right across the wall.

Against solids of twisted boxes (tests/mesh/test_walls_turned.py) what is left of the stiffness comes out 6 % low to
9 % high with holes of 25 and 50 mm, 3 to 14 % low with longer ones.  The stress by which these walls bend across the
opening is not worked out; at the corners of a hole it is high.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Material
from ladderfe.mesh.shaped import Shaped
from ladderfe.mesh.types import Bridge
from ladderfe.mesh.walls import OPEN, RACKING, lies, pole_of
from ladderfe.sections import cell_of, open_channel

__all__ = ["GIVES", "bridges_of", "edge_stiffness"]

Array = NDArray[np.float64]

#: What the edges of an opening give way, as length added to the opening's, over the depth of the walls beside it.
GIVES = 0.145


def edge_stiffness(length: float, depth: float, thickness: tuple[float, float], material: Material) -> float:
    """K of both walls beside an opening together, N/mm; see the module."""
    E, nu, t3 = material.youngs_modulus, material.poissons_ratio, sum(t**3 for t in thickness)
    strips = 4 * E * t3 / 12 / (1 - nu**2) * depth / (length + GIVES * depth) ** 3
    return strips + material.shear_modulus * t3 / (3 * depth * length)


def bridges_of(shaped: Shaped, lengths: Array, material: Material) -> tuple[Bridge, ...]:
    """All openings of rails: members of one opening in a row between nodes that rack."""
    out = []
    for run in shaped.rails:
        racks = [m for m in run if shaped.kind[m] == RACKING]
        for before, after in pairwise(racks):
            own = range(before + 1, after)
            bridge = _bridge(shaped, lengths, material, (before, after), own) if own else None
            if bridge is not None:
                out.append(bridge)
    return tuple(out)


def _bridge(
    shaped: Shaped, lengths: Array, material: Material, boxes: tuple[int, int], own: range
) -> Bridge | None:  # fmt: skip
    """None where the members between two boxes are not one opening, or a node between them holds the section, or a cut
    parts them."""
    shapes = [s for m in own if (s := open_channel(shaped.shapes[m]))]
    first, last = (shaped.shapes[m] for m in boxes)
    if not cell_of(first) or not cell_of(last):
        return None
    nodes = [int(shaped.ends[own[0], 0]), *(int(shaped.ends[m, 1]) for m in own)]
    around = [boxes[0], *own, boxes[1]]
    if any(shaped.ends[p, 1] != shaped.ends[q, 0] for p, q in pairwise(around)):
        return None  # a cut lies between them
    kinds = [int(shaped.extras[n]) for n in nodes]
    wanted = [RACKING, *(OPEN for _ in own[1:]), RACKING]
    if len(shapes) < len(own) or len({s.opens for s in shapes}) > 1 or kinds != wanted:
        return None
    depth = np.array([float(pole_of(box)[1][int(lies(shapes[0]))]) for box in (first, last)])
    thickness = min(s.top for s in shapes), min(s.bottom for s in shapes)
    K = edge_stiffness(float(lengths[own].sum()), float(depth.mean()), thickness, material)
    apart = depth * (1, -1)
    return Bridge((nodes[0], nodes[-1]), own[0], K * np.outer(apart, apart))
