"""The frame's own mass from the true lengths of its members."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh.types import Mesh
from ladderfe.sections import Section, properties_of
from ladderfe.sections.kept import lately

__all__ = ["MassMoments", "frame_mass"]


@dataclass(frozen=True, slots=True)
class MassMoments:
    """A mass in t, its centre (station, y, height) in mm and its product of inertia, the sum of mass x station x y,
    in t mm2 about the datum."""

    mass: float
    centre: tuple[float, float, float]
    product: float


def frame_mass(mesh: Mesh) -> MassMoments:
    """Mass of all members, section area x true length x density, and its centre."""
    of_sections = _metal(mesh.sections)[mesh.section_of]
    area, offset = of_sections[:, 0], of_sections[:, 1:]
    mass = area * mesh.lengths * mesh.material.density
    centre = mesh.end_points().mean(axis=1) + np.einsum("ei,eij->ej", offset, mesh.axes)
    x, y, z = mass @ centre / mass.sum() if mass.sum() > 0 else centre.mean(axis=0)
    ends = mesh.end_points() + np.einsum("ei,eij->ej", offset, mesh.axes)[:, None]
    spread = (ends[:, 1] - ends[:, 0])[:, 0] * (ends[:, 1] - ends[:, 0])[:, 1] / 12  # of a straight line of mass
    product = float(mass @ (centre[:, 0] * centre[:, 1] + spread))
    return MassMoments(float(mass.sum()), (float(x), float(y), float(z)), product)


@lately
def _metal(sections: tuple[Section, ...]) -> NDArray[np.float64]:
    """(s, 4) area of all metal and the centroid's x', y', z' of every section."""
    return np.array([[q.metal, 0.0, q.yc, q.zc] for q in properties_of(sections)])
