"""The sectorial coordinate at any place on a section: where brackets, welds and other members hold on to its walls."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from ladderfe.sections.flow import flow_of
from ladderfe.sections.lines import Array
from ladderfe.sections.walls import Section

__all__ = ["sectorial"]


def sectorial(section: Section, places: ArrayLike) -> Array:
    """Sectorial coordinate omega (n,) in mm2 at places (n, 2) = (y, z) in mm, section axes.

    About the shear centre, with mean zero over the metal; warping moves the place by u = -omega f along the member.
    Taken at the nearest point of the mid-lines of walls with metal, where it is linear along each wall (a curved wall
    is its chord): a place on a true face counts as the point of the mid-line beneath it.  Also where cells rule the
    torsion (Iw = 0): there it is the warping of free torsion.
    """
    flow = flow_of(section)
    solid = flow.lines.metal > 0
    ends, omega, along = flow.lines.ends[solid], flow.omega[solid], flow.lines.along[solid]
    length = flow.lines.length[solid]
    arm = np.asarray(places, dtype=np.float64).reshape(-1, 1, 2) - ends[:, 0]
    share = np.clip((arm * along).sum(axis=2) / length, 0, 1)
    off = np.linalg.norm(arm - (share * length)[:, :, None] * along, axis=2)
    nearest = off.argmin(axis=1)
    at = share[np.arange(len(nearest)), nearest]
    out: Array = omega[nearest, 0] + at * (omega[nearest, 1] - omega[nearest, 0])
    return out
