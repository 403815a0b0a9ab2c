"""Rough sizes of what members carry in many states, from the forces on their ends alone: never less than the finer
bounds of `variant_rows`, and cheap, so that most members can be left out before anything finer is asked of them.

Inside a box that racks, B and g are held by their values at both ends: between them y leaves the straight line by no
more than L^2/8 of the greatest y'', which by the foundation's equations (see `elements.foundation`) is made of B and g
again,

    B'' = 2 rho (KD g + 2 P B/EI)        g'' = rho (S KD g - 2 B/EI),

and R by no more than KD g over half the length; loads inside add at most their whole work, times L/4 where they act on
the second derivative.  So B and g obey two inequalities, which bound them as long as the member is not much longer than
the length over which racking dies out.  Own derivation.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.variant_rows import BEYOND, Stacked, long_ones
from ladderfe.elements import PLACES, LineLoads, racking_beam
from ladderfe.elements.arrays import sum_by
from ladderfe.elements.foundation import Foundation
from ladderfe.elements.pieces import take_loads
from ladderfe.elements.racking_loads import driving
from ladderfe.elements.resultants import by_end_1

__all__ = ["rough_sizes"]

Array = NDArray[np.float64]


def rough_sizes(stack: Stacked, *, by_case: bool) -> tuple[Array, NDArray[np.bool_]]:
    """(n, 9, c) what the resultants of stacked members do not pass; c = 1 for all cases but the first together, unless
    by_case.  (n,) false where that does not hold and nothing cheap can be said: of open walls, and of boxes much longer
    than racking carries."""
    k, length = stack.frame.kernels, stack.mesh.lengths
    out = np.zeros((len(length), 9, stack.end_forces.shape[2] if by_case else 1))
    at, box = k.racking_at, k.racking
    one, two = stack.end_forces[:, :PLACES], stack.end_forces[:, PLACES:]
    force = _together(lambda a, b: _size(a, -b), (one, two), by_case)
    force[at] = np.abs(racking_beam.from_own(box)).transpose(0, 2, 1) @ force[at]
    out[:, :6] = np.abs(by_end_1(k.beams, np.zeros(len(length)))) @ force[:, :6]
    turn = _together(_size, tuple(stack.end_movements[at, end] for end in (6, PLACES + 6)), by_case)
    out[at, 6], out[at, 7], out[at, 8] = force[at, 7], force[at, 6], turn
    whole = _whole(stack.units, by_case)
    out[:, 4:6] += (sum_by(len(length), stack.units.member, whole.sum(axis=1)) * length[:, None] / 4)[:, None]
    number = np.full(len(length), -1)
    number[at] = np.arange(len(at))
    long = number[long_ones(stack)]
    long = long[long >= 0]
    holds = np.ones(len(length), dtype=bool)
    holds[k.open_at] = False
    out[at[long], 6:], holds[at[long]] = _inside(stack, long, out[at[long], 6:], whole)
    return out, holds


def _size(one: Array, two: Array) -> Array:
    """What values do not pass that run from one to another all but straight."""
    return np.asarray(np.maximum(np.abs(one), np.abs(two)) + BEYOND * np.abs(one - two))


def _together(size: Callable[..., Array], values: tuple[Array, ...], by_case: bool) -> Array:
    """Size of values (..., c), or the greatest (..., 1) of all cases but the first."""
    if by_case:
        return size(*values)
    parts = (size(*(a[..., case] for a in values)) for case in range(1, values[0].shape[-1]))
    return reduce(np.maximum, parts)[..., None]


def _whole(loads: LineLoads, by_case: bool) -> Array:
    """(k, 3, c) what line loads bring in x', y', z', each power of each by its size."""
    span = (loads.end - loads.start)[:, None] ** np.arange(1, 4) / np.arange(1, 4)
    size = _together(np.abs, (loads.force,), by_case)
    out: Array = (span[:, :, None, None] * size).sum(axis=1)
    return out


def _inside(stack: Stacked, long: NDArray[np.int64], ends: Array, whole: Array) -> tuple[Array, NDArray[np.bool_]]:
    """(b, 3, c) bounds of B, R, g anywhere in boxes `long` (b,), from those at their ends; (b,) whether they hold."""
    kernels = stack.frame.kernels
    length, c = kernels.racking.length[long][:, None], kernels.racking.foundation.take(long)
    number = np.full(len(kernels), -1)
    number[kernels.racking_at[long]] = np.arange(len(long))
    mine = np.flatnonzero(number[stack.units.member] >= 0)
    loads = take_loads(stack.units, mine)
    own = number[loads.member]
    work = np.abs(driving(kernels.racking.take(long[own]), loads).work) @ whole[mine]
    on_g, on_f, _, slip = np.moveaxis(sum_by(len(long), own, work), 1, 0)
    (bent, holds), way = _within(c, length), c.rho[:, None] * length / 4
    plate, soft, stiff = c.plate[:, None], c.shear[:, None], c.KD[:, None]
    B, R, g = np.moveaxis(ends, 1, 0)
    B, g = B + 2 * way * (on_g + 2 * plate * slip) + on_f, g + way * (soft * on_g + 2 * slip)
    B, g = bent[:, :1] * B + bent[:, 1:2] * g, bent[:, 2:3] * B + bent[:, 3:] * g
    return np.stack([B, R + length / 2 * stiff * g + on_g, g], axis=1), holds


def _within(c: Foundation, length: Array) -> tuple[Array, NDArray[np.bool_]]:
    """(b, 4) by which B and g at the ends bound B (first two) and g inside; (b,) whether they do."""
    most = c.rho * length[:, 0] ** 2 / 8
    less_B, less_g = 1 - most * 4 * c.plate / c.EI, 1 - most * c.shear * c.KD
    by_g, by_B = 2 * most * c.KD, 2 * most / c.EI
    rest = less_B * less_g - by_g * by_B
    holds = (rest > 0) & (less_B > 0)
    bent = np.stack([less_g, by_g, by_B, less_B], axis=1) / np.where(holds, rest, 1.0)[:, None]
    return bent, holds
