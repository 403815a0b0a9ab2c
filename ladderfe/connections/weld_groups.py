"""A group of straight weld lines under a force and a moment: the elastic method, welds as lines.

The attached part is stiff and the welds give way alike in every direction, so the line force at r is

    q = w (F/W + theta x (r - c)),  J theta = M about c,  W = sum of w L,  J = int w (|r - c|^2 1 - (r - c)(r - c)^T) ds

with w the throat over the greatest throat.  In one plane it is the handbooks' method of welds treated as a line: direct
force over length, torsion by the polar inertia, bending by the plane inertia, products of inertia included; in space
the same holds with J as a tensor.  Contact between the parts carries nothing.

Source: elastic (vector) method for eccentric weld groups, any text on welded joints (O. W. Blodgett, Design of Welded
Structures; J. E. Shigley, Mechanical Engineering Design), from memory; the form with a tensor is derived here.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.applied import Applied
from ladderfe.connections.inputs import Array, positive, vectors
from ladderfe.errors import ModelError

__all__ = ["LineForces", "WeldGroup", "in_weld_axes", "line_forces", "weld_group"]

WHERE: Final = "weld group"
FREE: Final = 1e-9  # of the greatest inertia: about this axis the lines hold nothing
LEFT: Final = 1e-9  # of the moment and of force times size: less than this about a free axis is rounding


@dataclass(frozen=True, slots=True, eq=False)
class WeldGroup:
    """n straight weld lines as lines, unit width at the greatest throat.

    start, end (n, 3) mm.  weight (n,) throat over the greatest one.  length (n,) mm.  effective: sum of weight times
    length, mm.  centroid (3,) mm.  inertia (3, 3) mm3 about the centroid; of a group in the plane normal to z, inertia
    zz is polar and xx, yy are the plane ones (int y^2 ds, int x^2 ds).
    """

    start: Array
    end: Array
    weight: Array
    length: Array
    effective: float
    centroid: Array
    inertia: Array


@dataclass(frozen=True, slots=True, eq=False)
class LineForces:
    """Force per length that the attached part passes to the welds, (..., n, 2, 3) N/mm at both ends of each line.

    Between them it changes linearly, so its size is greatest at an end and a line's sum is its length times the mean.
    """

    ends: Array

    @property
    def size(self) -> Array:
        """(..., n, 2) N/mm."""
        out: Array = np.linalg.norm(self.ends, axis=-1)
        return out

    @property
    def greatest(self) -> Array:
        """(...) N/mm, of all lines and ends."""
        out: Array = self.size.max(axis=(-2, -1))
        return out

    @property
    def greatest_at(self) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
        """(...) line and (...) end, 0 start or 1 end, where it is greatest; the first among equals within 1e-9."""
        flat = self.size.reshape(*self.size.shape[:-2], -1)
        first = np.argmax(flat >= flat.max(axis=-1, keepdims=True) * (1 - 1e-9), axis=-1)
        line, end = np.divmod(first, 2)
        return np.asarray(line), np.asarray(end)


def weld_group(start: npt.ArrayLike, end: npt.ArrayLike, throat: npt.ArrayLike = 1.0) -> WeldGroup:
    """The group of lines from start (n, 3) to end (n, 3) mm with throats (n,) or one for all, mm.

    Curves are given as chords.  Raises ModelError where a line has no length or a throat is not above 0.
    """
    a, b = (np.atleast_2d(vectors(WHERE, "a line's end", p, 3)) for p in (start, end))
    if a.ndim != 2 or a.shape != b.shape:
        raise ModelError(WHERE, f"starts have the shape {a.shape} and ends {b.shape}", "Give (n, 3) for both")
    length = np.linalg.norm(b - a, axis=1)
    positive(WHERE, "the length of a line", length)
    thick = positive(WHERE, "the throat", throat)
    if thick.shape not in ((), length.shape):
        raise ModelError(WHERE, f"{thick.size} throats for {len(length)} lines",
                         "Give one for each line, or one for all")
    weight = np.broadcast_to(thick / thick.max(), length.shape)
    effective = float((weight * length).sum())
    centroid = (weight * length) @ (a + b) / (2 * effective)
    p, q = a - centroid, b - centroid
    both = p + q
    # int r r^T ds over a line from p to q = L/6 (p p^T + q q^T + (p + q)(p + q)^T)
    spread = sum(np.einsum("n,ni,nj->ij", weight * length / 6, v, v) for v in (p, q, both))
    inertia = np.trace(spread) * np.eye(3) - spread
    return WeldGroup(a, b, weight, length, effective, centroid, inertia)


def line_forces(group: WeldGroup, applied: Applied) -> LineForces:
    """Line forces at both ends of each line; along the lines they add up to the applied force and moment.

    Raises ModelError where a moment acts about an axis on which all lines lie: they hold nothing about it.
    """
    direct = applied.force / group.effective
    turn = _turn(group, applied)
    arm = np.stack([group.start, group.end], axis=1) - group.centroid
    q = direct[..., None, None, :] + np.cross(turn[..., None, None, :], arm)
    return LineForces(group.weight[:, None, None] * q)


def _turn(group: WeldGroup, applied: Applied) -> Array:
    """(..., 3) theta: J theta = M about the centroid, N/mm2."""
    moment = applied.about(group.centroid)
    inertia, axes = np.linalg.eigh(group.inertia)
    free = inertia < FREE * inertia.max()
    part = moment @ axes
    size = float(np.linalg.norm(applied.at - group.centroid) + group.length.sum())
    scale = np.linalg.norm(applied.moment, axis=-1) + size * np.linalg.norm(applied.force, axis=-1)
    lost = np.abs(part) * free
    if np.any(lost > LEFT * scale[..., None]):
        axis = ", ".join(f"{v:.2g}" for v in axes[:, int(np.argmax(free))])
        raise ModelError(WHERE, f"a moment of {lost.max():.3g} N mm acts about the line on which all welds lie, "
                         f"direction ({axis})", "Give a second line beside it: one line holds nothing about its axis")
    out: Array = np.where(free, 0.0, part / np.where(free, 1.0, inertia)) @ axes.T
    return out


def in_weld_axes(group: WeldGroup, forces: LineForces, normal: npt.ArrayLike) -> Array:
    """(..., n, 2, 3) N/mm: along, across and normal, as `fillets` takes them.

    normal (3,) or (n, 3): of the plate at each line, away from the wall.  across = along x normal: for lines that run
    anticlockwise round the plate, seen from above it, it points out of the plate, which is what `fillets` means.
    Raises ModelError where a normal is not square to its line within 1e-6.
    """
    up = vectors(WHERE, "the normal", normal, 3)
    up = up / positive(WHERE, "the length of the normal", np.linalg.norm(up, axis=-1, keepdims=True))
    along = (group.end - group.start) / group.length[:, None]
    off = np.abs((along * up).sum(axis=-1))
    if np.any(off > 1e-6):
        raise ModelError(WHERE, f"line {int(np.argmax(off)) + 1} is not square to the normal of its plate",
                         "Give the normal of the plate at each line")
    frame = np.stack([along, np.cross(along, up), np.broadcast_to(up, along.shape)], axis=1)  # (n, axis, 3)
    out: Array = np.einsum("nai,...npi->...npa", frame, forces.ends)
    return out
