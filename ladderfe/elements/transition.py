"""Where a box rail goes over into a channel: one of the box's walls (or its closing plate) ends, three run on.

The box's node has eight unknowns, the channel's end seven.  Along the member the walls they share move alike in all
points: on them -y z, counted from the box's `pole`, is a sectorial coordinate of the channel, so that with the
`origin` given here the channel's warping rate is the box's warping f and the other unknowns along the member are the
same. Across it, the channel's rigid shape follows the web that runs on and both flange lines; the box's other web
moves on its own.

A channel that opens up or down (`lying`: its web is the box's top or bottom, its flanges are the uprights) is the same
turned by a right angle about the member: there the sectorial coordinate is +y z and the channel's warping rate -f, the
web's line turns with rx + g/2.  Own derivation."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["box_to_channel", "channel_origin"]

Array = NDArray[np.float64]


def channel_origin(shear_centre: Array, omega: Array, pole: Array, web: Array, lying: bool = False) -> Array:
    """(n, 3) `OpenBeams.origin` of channels that continue boxes.

    Parameters
    ----------
    shear_centre : (n, 2) of the channel, mm from the reference line
    omega : (n,) its sectorial coordinate (about the shear centre, mean zero) in the middle of the web, mm2
    pole : (n, 2) the box's pole, the middle of its mid-lines, mm from the reference line
    web : (n,) the web's mid-line from the pole, mm: -width/2 or +width/2; of lying webs -height/2 or +height/2
    """
    across = np.zeros((len(web), 2))
    across[:, int(lying)] = web
    by_z, less = (shear_centre - pole - 2 * across).T
    by_y, at = -less, pole + across
    one = -omega - by_y * at[:, 0] - by_z * at[:, 1]
    return np.stack([one, by_y, by_z], axis=1)


def box_to_channel(pole: Array, web: Array, lying: bool = False) -> Array:
    """(n, 7, 8) from the box node's ux uy uz rx ry rz g f to the channel end's ux uy uz rx ry rz f; see
    `channel_origin`.

    An upright web's line turns by rx - g/2 and carries the channel along; the web itself moves up by y (rx + g/2).  A
    lying one turns by rx + g/2 and moves aside by -z (rx - g/2).
    """
    out = np.zeros((len(web), 7, 8))
    out[:, range(6), range(6)] = 1
    if lying:
        out[:, 1, 6], out[:, 2, 6], out[:, 3, 6] = web + pole[:, 1] / 2, -pole[:, 0] / 2, 0.5
    else:
        out[:, 1, 6], out[:, 2, 6], out[:, 3, 6] = -pole[:, 1] / 2, web + pole[:, 0] / 2, -0.5
    out[:, 6, 7] = -1 if lying else 1
    return out
