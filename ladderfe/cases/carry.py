"""How a mass hangs on its mounts."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Mass, Mount

__all__ = ["mount_wrenches"]

Array = NDArray[np.float64]


@lru_cache(maxsize=256)
def mount_wrenches(mass: Mass, mounts: tuple[Mount, ...]) -> Array:
    """Forces and moments on the mounts per unit force at the mass's centre.

    A rigid mass on springs: it moves by u + theta x r and every mount pushes back with its rates times the movement
    there.  Of all forces that balance, these store the least energy, sum f^2 / rate (Castigliano's theorem; any text on
    statically indeterminate structures), so they are the balancing forces that are smallest when weighted so; mounts
    without rates are all alike.  Rotation of a mount in itself meets no resistance.

    What forces alone cannot balance (one mount, or a couple about the line on which all mounts stand) goes into the
    mounts as equal moments: common practice, no source.

    Returns
    -------
    (n_mounts, 6, 3): force (N) and moment (N mm) on the frame at each mount, vehicle axes, per unit force x y z.
    """
    where = np.array([[m.station, m.y, m.height] for m in mounts])
    rates = np.array([r for m in mounts for r in m.rates or (1.0, 1.0, 1.0)])
    centre = np.asarray(mass.centre)
    arm = where - where.mean(axis=0)
    size = max(1.0, float(np.abs(arm).max()))
    balance = np.zeros((6, 3 * len(mounts)))
    for k, r in enumerate(arm):
        balance[:3, 3 * k : 3 * k + 3] = np.eye(3)
        balance[3:, 3 * k : 3 * k + 3] = _cross(r) / size
    wanted = np.vstack([np.eye(3), _cross(centre - where.mean(axis=0)) / size])
    root = np.sqrt(rates / rates.max())
    inverse = root[:, None] * np.linalg.pinv(balance * root, rcond=1e-9)
    forces = inverse @ wanted
    if np.ptp(rates) > 0:  # rates far apart leave rounding in the balance: taken out by a second step
        forces += inverse @ (wanted - balance @ forces)
    left_over = (wanted - balance @ forces)[3:] * size
    out = np.zeros((len(mounts), 6, 3))
    out[:, :3] = forces.reshape(len(mounts), 3, 3)
    out[:, 3:] = left_over / len(mounts)
    out.setflags(write=False)
    return out


def _cross(r: Array) -> Array:
    """(3, 3) so that _cross(r) @ f = r x f."""
    x, y, z = r
    return np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
