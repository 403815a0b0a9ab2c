"""Mass, centre and product of inertia of a frame in many states, as `mesh.frame_mass`."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh.varied import Varied
from ladderfe.solve.section_rows import section_rows
from ladderfe.solve.variant_members import States

__all__ = ["Moments", "state_moments", "still_moments"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """mass (v,) t, first (v, 3) mass x place, product (v,) the sum of mass x station x y."""

    mass: Array
    first: Array
    product: Array

    def of(self, state: int) -> tuple[float, tuple[float, float, float], float]:
        """Mass, centre and product of one state."""
        x, y, z = (self.first[state] / (self.mass[state] or 1.0)).tolist()  # without mass its place does not matter
        return float(self.mass[state]), (x, y, z), float(self.product[state])


def _moments(mass: Array, ends: Array, offset: Array, axes: Array) -> Moments:
    """Of members (v, m): mass, true ends (v, m, 2, 3), centroid (v, m, 2), axes (v, m, 3, 3)."""
    ends = ends + np.einsum("vei,veij->vej", offset, axes[:, :, 1:])[:, :, None]
    centre = ends.mean(axis=2)
    along = ends[:, :, 1] - ends[:, :, 0]
    product = (mass * (centre[..., 0] * centre[..., 1] + along[..., 0] * along[..., 1] / 12)).sum(axis=1)
    return Moments(mass.sum(axis=1), np.einsum("ve,vej->vj", mass, centre), product)


def still_moments(varied: Varied) -> Moments:
    """Of the members that stay; one state."""
    mesh = varied.mesh
    own = np.setdiff1d(np.arange(len(mesh.ends)), varied.members)
    rows, of = section_rows(mesh.shapes, mesh.sections, mesh.material), mesh.section_of[own]
    mass = rows.metal[of] * mesh.lengths[own] * mesh.material.density
    return _moments(mass[None], mesh.end_points()[None, own], rows.centroid[None, of], mesh.axes[None, own])


def state_moments(states: States, still: Moments) -> Moments:
    """Of all members in all states."""
    rows, of, v = states.sections.rows, states.section_of.reshape(states.count, -1), states.varied
    mass = rows.metal[of] * states.lengths * v.mesh.material.density
    own = _moments(mass, states.true_ends, rows.centroid[of], states.axes)
    return Moments(still.mass + own.mass, still.first + own.first, still.product + own.product)
