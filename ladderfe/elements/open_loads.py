"""Line loads inside members of open section, carried to the ends: force, torque from eccentricity, bimoment.

Torque per length is taken about the shear centre, so a load beside it twists.  A force along the member at a wall point
with sectorial coordinate w brings the bimoment -w fx per length to the warping rate.
Integrals of quadratics times the exact shapes: Gauss points where the shapes hardly decay within the piece, closed
forms from y'' = k^2 y + a + b s where they do; both to rounding (1e-13 of the largest end load, see the tests).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import line_loads
from ladderfe.elements.arrays import sum_by
from ladderfe.elements.hyperbolic import end_factors
from ladderfe.elements.line_loads import LineLoads, Together
from ladderfe.elements.open_beam import PLAIN, OpenBeams, ends_to_own, warping_drive, warping_fields, warping_stiffness
from ladderfe.elements.pieces import NEAR, along, at, gauss_places, integral, slope_at

__all__ = ["each_equivalent", "equivalent_loads", "twisting_work", "with_warping"]

Array = NDArray[np.float64]


def twisting(p: OpenBeams, loads: LineLoads, omega: Array | None) -> tuple[Array, Array, Array]:
    """Torque about the shear centre, bimoment, and `coupling` . force per length; polynomials (k, 3, c) of s.

    p has one entry per load; omega (k,) is the sectorial coordinate of the points where the loads act, about the
    shear centre with mean zero (None: all zero, as for a force spread over the whole section).
    """
    arm = loads.point - p.beams.shear_centre
    fx, fy, fz = (loads.force[:, :, i] for i in range(3))
    torque = arm[:, :1, None] * fz - arm[:, 1:, None] * fy
    drift = p.coupling[:, :1, None] * fy + p.coupling[:, 1:, None] * fz
    return torque, np.zeros_like(torque) if omega is None else -omega[:, None, None] * fx, drift


def equivalent_loads(p: OpenBeams, loads: LineLoads, omega: Array | None = None) -> Array:
    """(n_members, 14, c) end loads that move the ends just as the line loads do; N, N mm and, for f, N mm2.

    Parameters
    ----------
    p : OpenBeams of all members
    loads : line loads on them
    omega : (k,) sectorial coordinates of the loads' points, mm2; see `twisting`
    """
    if not len(loads):
        return np.zeros((len(p), 14, loads.cases))
    work = np.concatenate(
        [line_loads.resultant_work(loads.point), twisting_work(p.take(loads.member), loads, omega)], axis=1
    )
    whole = Together.of(loads, work)
    return with_warping(p, whole.part(slice(6, 9)), line_loads.of_resultants(p.beams, whole.part(slice(6))))


def each_equivalent(p: OpenBeams, loads: LineLoads, omega: Array | None = None) -> Array:
    """(k, 14, c) equivalent end loads of every line load by itself."""
    own = p.take(loads.member)
    force = line_loads.acting(twisting_work(own, loads, omega), loads.force)
    each = Together(np.arange(len(loads)), loads.start, loads.end, force)
    return with_warping(own, each, line_loads.each_equivalent(p.beams, loads))


def twisting_work(p: OpenBeams, loads: LineLoads, omega: Array | None = None) -> Array:
    """(k, 3, 3) torque, bimoment and drift as in `twisting` per unit x' y' z'; one entry of p per load."""
    out, (arm_y, arm_z) = np.zeros((len(loads), 3, 3)), (loads.point - p.beams.shear_centre).T
    out[:, 0, 1], out[:, 0, 2], out[:, 2, 1:] = -arm_z, arm_y, p.coupling
    if omega is not None:
        out[:, 1, 0] = -omega
    return out


def with_warping(p: OpenBeams, loads: Together, plain: Array) -> Array:
    """(n, 14, c) equivalent end loads by loads on the three movements of `twisting_work` and the equivalent loads of
    `Beams` (n, 12, c)."""
    own, span, member = p.take(loads.member), loads.end - loads.start, loads.member
    torque, bimoment, drift = loads.force.transpose(2, 0, 1, 3)
    drive, none, c = warping_drive(p), np.zeros_like(drift), drift.shape[2]
    three = [np.concatenate(parts, axis=2) for parts in ((torque, drift, none), (bimoment, none, drift))]
    found = _on_warping(own, loads.start, loads.end, three[0], three[1])
    grown = _on_bimoment(own, found[:, 0, c : 2 * c], found[:, 0, 2 * c :], integral(drift, span))
    whole = np.concatenate([found[:, :, :c], integral(bimoment, span)[:, None], grown], axis=1)
    fields, even, force = np.split(sum_by(len(p), member, whole), [2, 3], axis=1)
    share = drive.fields.transpose(0, 2, 1) @ fields + (drive.twist - drive.drift)[:, :, None] * even
    share += drive.force.transpose(0, 2, 1) @ force
    share += 2 * drive.force[:, 1, :, None] * (p.coupling[:, None] @ plain[:, 7:9])
    out: Array = share + ends_to_own(p).transpose(0, 2, 1)[:, :, PLAIN] @ plain
    return out


def _on_bimoment(p: OpenBeams, twist: Array, rate: Array, drift: Array) -> Array:
    """(k, 2, c) integral of the drift times the growth of B per unit force of both warping deformations, from its
    integrals with the twist and the rate of the symmetric one, and its own."""
    even = 2 * p.decay * np.tanh(p.decay * p.length / 2) / p.softening
    return np.stack([-even[:, None] * twist, -2 * rate - drift], axis=1)


def _on_warping(p: OpenBeams, start: Array, end: Array, torque: Array, bimoment: Array) -> Array:
    """(k, 2, c) loads on the symmetric and the antisymmetric warping deformation."""
    out = np.zeros((len(p), 2, torque.shape[2]))
    near = p.decay * (end - start) <= NEAR
    for part, way in ((np.flatnonzero(near), _by_points), (np.flatnonzero(~near), _by_parts)):
        if len(part):
            out[part] = way(p.take(part), start[part], end[part], torque[part], bimoment[part])
    return out


def _by_points(p: OpenBeams, start: Array, end: Array, torque: Array, bimoment: Array) -> Array:
    """The same by Gauss points."""
    x, weight = gauss_places(start, end)
    fields = warping_fields(p.take(np.repeat(np.arange(len(p)), x.shape[1])), x.ravel())
    twist, rate = (field.reshape(*x.shape, 2) * weight[:, :, None] for field in fields)
    s = x - start[:, None]
    out: Array = np.einsum("kgm,kgc->kmc", twist, along(torque, s)) + np.einsum(
        "kgm,kgc->kmc", rate, along(bimoment, s)
    )
    return out


def _by_parts(p: OpenBeams, start: Array, end: Array, torque: Array, bimoment: Array) -> Array:
    """The same in closed form from the shapes' ends."""
    shapes = _Shapes.of(p, start, end)
    bimoment_slope = np.stack([bimoment[:, 1], 2 * bimoment[:, 2], 0 * bimoment[:, 2]], axis=1)
    by_rate = shapes.jump(bimoment) - shapes.moment(bimoment_slope) - shapes.lift[:, :, None] * shapes.total(bimoment)
    return shapes.moment(torque) + by_rate / p.softening[:, None, None]


@dataclass(frozen=True, slots=True, eq=False)
class _Shapes:
    """Twists y (2 warping deformations) over pieces: y'' = k^2 y + level + slant s and y' = rho f + lift.

    k2, span (k,); y, slope (k, 2 modes, 2 ends of the piece); level, slant, lift (k, 2 modes).
    """

    k2: Array
    span: Array
    y: Array
    slope: Array
    level: Array
    slant: Array
    lift: Array

    @staticmethod
    def of(p: OpenBeams, start: Array, end: Array) -> _Shapes:
        rho, length, none = p.softening, p.length, np.zeros(len(p))
        half = p.decay * length / 2
        even = rho * end_factors(half)[0] / length  # E Iw/L over the length: the constant end moments of the shapes
        odd = rho * warping_stiffness(p)[1] / p.EIw
        (y1, f1), (y2, f2) = (warping_fields(p, x) for x in (start, end))
        lift = np.stack([none, -(1 - rho) * odd * length / (2 * half**2)], axis=1)
        return _Shapes(
            k2=p.decay**2,
            span=end - start,
            y=np.stack([y1, y2], axis=2),
            slope=rho[:, None, None] * np.stack([f1, f2], axis=2) + lift[:, :, None],
            level=np.stack([even, odd * (2 * start / length - 1)], axis=1),
            slant=np.stack([none, 2 * odd / length], axis=1),
            lift=lift,
        )

    def jump(self, c: Array) -> Array:
        """(k, 2, c): m y at the end of the piece less m y at its start."""
        first, last = at(c, 0 * self.span)[:, None], at(c, self.span)[:, None]
        return last * self.y[:, :, 1, None] - first * self.y[:, :, 0, None]

    def total(self, c: Array) -> Array:
        """(k, 1, c): integral of m."""
        return integral(c, self.span)[:, None]

    def moment(self, c: Array) -> Array:
        """(k, 2, c): integral of m y, by parts twice."""
        h, zero = self.span[:, None], 0 * self.span
        area = (self.slope[:, :, 1] - self.slope[:, :, 0] - h * (self.level + h * self.slant / 2)) / self.k2[:, None]
        out = 2 * area[:, :, None] * c[:, None, 2]
        for end, sign, s in ((0, -1, zero), (1, 1, self.span)):
            here = at(c, s)[:, None] * self.slope[:, :, end, None] - slope_at(c, s)[:, None] * self.y[:, :, end, None]
            out = out + sign * here
        first = integral(np.stack([0 * c[:, 0], c[:, 0], c[:, 1]], axis=1), self.span) + h**4 / 4 * c[:, 2]
        line = self.level[:, :, None] * self.total(c) + self.slant[:, :, None] * first[:, None]
        out = (out - line) / self.k2[:, None, None]
        return out
