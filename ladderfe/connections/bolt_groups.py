"""A group of bolts or rivets through one plane under a force and a moment: shear and pull in each, elastic method.

Axes: u and v in the plane of the joint, w away from the wall, right-handed.  Forces are what the attached part passes
to each fastener; pull is positive.  The attached part is stiff.  Shear: direct force by area, and the moment about w by
the polar inertia about the group's centroid.  Pull likewise, linear about the centroid: fasteners on the pressed side
carry negative pull, which is pressure under them that the contact takes; right for preloaded bolts whose faces stay in
contact.

Prying is left out: a thin plate that bends beside its bolts adds to their pull.

Source: elastic method for eccentric fastener groups, any text on machine or steel design (J. E. Shigley, Mechanical
Engineering Design, "shear joints with eccentric loading"), from memory; statics.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.applied import Applied
from ladderfe.connections.inputs import Array, positive, vectors
from ladderfe.errors import ModelError

__all__ = ["BoltForces", "BoltGroup", "bolt_forces", "bolt_group"]

WHERE: Final = "bolt group"
ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class BoltGroup:
    """n fasteners: places (n, 2) mm in the plane w = 0, area (n,) mm2 or any weight; centroid (2,), spread (2, 2).

    spread : sum of area times (place - centroid)(place - centroid)^T; its trace is the polar inertia.
    """

    places: Array
    area: Array
    centroid: Array
    spread: Array


@dataclass(frozen=True, slots=True, eq=False)
class BoltForces:
    """shear (..., n, 2) N along u and v, pull (..., n) N of each fastener."""

    shear: Array
    pull: Array

    @property
    def shear_size(self) -> Array:
        """(..., n) N."""
        out: Array = np.linalg.norm(self.shear, axis=-1)
        return out


def bolt_group(places: npt.ArrayLike, area: npt.ArrayLike = 1.0) -> BoltGroup:
    """The group of fasteners at (n, 2) mm with areas (n,) mm2, or one for all."""
    p = np.atleast_2d(vectors(WHERE, "a place", places, 2))
    a = positive(WHERE, "an area", area)
    if p.ndim != 2 or a.shape not in ((), (len(p),)):
        raise ModelError(WHERE, f"{a.size} areas for {len(p)} fasteners", "Give one for each fastener, or one for all")
    a = np.broadcast_to(a, len(p))
    centroid = a @ p / a.sum()
    arm = p - centroid
    return BoltGroup(p, a, centroid, np.einsum("n,ni,nj->ij", a, arm, arm))


def bolt_forces(group: BoltGroup, applied: Applied) -> BoltForces:
    """Shear and pull, the pull about the group's centroid; together they balance the applied force and moment.

    Raises ModelError where a moment acts that the group cannot hold: one bolt, or bolts in line and bending about them.
    """
    moment = applied.about(np.append(group.centroid, 0.0))
    arm = group.places - group.centroid
    total = group.area.sum()
    polar = np.trace(group.spread)[None, None]
    turn = _held(polar, moment[..., 2:], applied, group, "turning in its plane")
    across = np.stack([-arm[:, 1], arm[:, 0]], axis=-1)  # w x arm
    shear = group.area[:, None] * (applied.force[..., None, :2] / total + turn[..., None] * across)
    # M_u = sum v T, M_v = -sum u T
    bending = np.stack([-moment[..., 1], moment[..., 0]], axis=-1)
    slope = _held(group.spread, bending, applied, group, "bending out of it")
    pull = group.area * (applied.force[..., 2:] / total + slope @ arm.T)
    return BoltForces(shear, pull)


def _held(inertia: Array, moment: Array, applied: Applied, group: BoltGroup, what: str) -> Array:
    """(..., k) inertia^-1 moment, where the directions that hold nothing must have no moment; k of them."""
    own, axes = np.linalg.eigh(inertia)
    reach = float(np.linalg.norm(applied.at)) + float(np.abs(group.places).max())
    size = max(float(group.area.sum()) * reach**2, 1e-300)
    free = own <= ROUNDING * size if len(own) == 1 else own <= ROUNDING * max(own.max(), ROUNDING * size)
    part = moment @ axes
    scale = np.linalg.norm(applied.moment, axis=-1) + reach * np.linalg.norm(applied.force, axis=-1)
    if np.any(np.abs(part) * free > ROUNDING * scale[..., None]):
        raise ModelError(WHERE, f"its {len(group.area)} fasteners hold no moment for {what}",
                         "Give fasteners that are not all on one line with the moment, or a load that has none")
    out: Array = np.where(free, 0.0, part / np.where(free, 1.0, own)) @ axes.T
    return out
