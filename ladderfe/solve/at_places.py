"""Forces and moments at named places of the frame, on its unknowns; all places at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import PLACES
from ladderfe.mesh import Place
from ladderfe.solve.frame import Frame

__all__ = ["at_places"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

NONE = (0.0,) * 6


def at_places(frame: Frame, places: Sequence[Place], wrench: Array) -> tuple[IntArray, Array]:
    """Loads of forces and moments (k, 6, c), vehicle axes, at k places.

    Returns (k, 8) unknowns of their nodes and (k, 8, c) what acts on each, N, N mm and what racking and warping take;
    where a node has no such unknown its first one stands in with a load of zero.  The same numbers say how a place
    moves along directions (k, 6, c).
    """
    out = np.zeros((len(places), PLACES, wrench.shape[2]))
    out[:, :6] = wrench
    (x, y, z), (fx, fy, fz) = np.array([p.arm for p in places]).T[:, :, None], wrench[:, :3].swapaxes(0, 1)
    out[:, 3] += y * fz - z * fy
    out[:, 4] += z * fx - x * fz
    out[:, 5] += x * fy - y * fx
    out[:, 6:] = np.array([(*p.follow, NONE, NONE)[:2] for p in places]) @ wrench
    known = np.array([6 + len(p.follow) for p in places])[:, None]
    first, place = frame.start[[p.node for p in places]][:, None], np.arange(PLACES)
    return first + np.where(place < known, place, 0), out
