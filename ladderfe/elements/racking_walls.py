"""What a box section's four walls give to a member that racks: stiffness per mm against racking and against warping.

Walls in the order minus (at y = -width/2), plus, top, bottom, as straight mid-lines; y and z from the middle of their
rectangle.  Racking by the angle g turns the flanges' lines by rx + g/2 and the webs' lines by rx - g/2; warping moves
the walls along the member by u = f y z.

Membrane part.  omega = y z - plane . (1, y, z) is what of y z no stretch and no bending does; EI = E int omega^2 dA.
Its stress varies along the member as B omega/I with B' = 2 R, so that R, the force of racking, comes with the shear
flow dq/ds = -t s', closed by no torque.  With the flows of Vy, Vz (through the shear centre) and of T (Bredt) this
makes the shear flexibility of the walls for (T, Vy, Vz, R), int q q/(G t) ds: its first three rows are those of every
thin-walled beam, the fourth is new.

Plate part.  Per mm of member the four walls are a rigid frame with clear spans (no plate inside the corners); racking
turns the flanges' chords against the webs' and leaves four corner turns free: KD.  The walls' twist as plates resists
a change of racking by G t^3/3 each.  Beside plane-strain solids KD is right within 1 % for equal walls, 3 to 4 % low
where thick walls meet thin ones (see the tests).

Own derivation; theory: Vlasov; Wright, Abdel-Samad & Robinson 1968 (distortion of boxes); Bredt (all from memory).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.arrays import solved

__all__ = ["BoxWalls", "Membrane", "WallFrame"]

Array = NDArray[np.float64]

# Walls in the order minus, plus, top, bottom; corners 0 (-, -), 1 (+, -), 2 (+, +), 3 (-, +).
CORNERS = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
ENDS = np.array([[0, 3], [1, 2], [3, 2], [0, 1]])
CHORDS = np.array([0.0, 0.0, 1.0, 1.0])  # turn of the walls' chords per unit racking angle, seen from the webs
ROUND = ((3, 0, 1), (1, 1, 2), (2, 2, 3), (0, 3, 0))  # walls met walking counter-clockwise, from corner, to corner
QUADRATIC = np.array([[1, 1 / 2, 1 / 3], [1 / 2, 1 / 3, 1 / 4], [1 / 3, 1 / 4, 1 / 5]])


@dataclass(frozen=True, slots=True, eq=False)
class Membrane:
    """plane (n, 3) mm2, mm, mm: coefficients of 1, y, z in y z; inertia (n,) int omega^2 dA, mm6; shear (n, 4, 4)
    flexibility for (T, Vy, Vz, R) times G, T and R in N mm: 1/mm4, 1/mm3, 1/mm2; shear_centre (n, 2) from the
    middle.  racking_flow (n, 4 walls, 3): shear flow per unit R, 1/mm2, coefficients of 1, s, s^2 of the share s of the
    mid-line from bottom to top or left to right, positive that way."""

    plane: Array
    inertia: Array
    shear: Array
    shear_centre: Array
    racking_flow: Array


@dataclass(frozen=True, slots=True, eq=False)
class WallFrame:
    """Per unit racking angle and mm of member.  KD (n,) N; slope (n, 4) of the walls' ends against their chord, mean of
    both; moment (n, 4, 2) N at the start and end of the walls (lower or left end first), positive where it turns the
    wall's end as the racking of the flanges does: bending stress 6 moment g/t^2."""

    KD: Array
    slope: Array
    moment: Array


@dataclass(frozen=True, slots=True, eq=False)
class BoxWalls:
    """Mid-line width and height (n,) mm and thickness (n, 4) mm of n sections.

    Walls with plates lapped on them: `thickness` is then that of the membrane, `bending` (n, 4) that by which the walls
    bend and twist, `bare` (n, 4) that of the walls alone, between whose faces they bend; None: all the same.
    """

    width: Array
    height: Array
    thickness: Array
    bending: Array | None = None
    bare: Array | None = None

    @property
    def lengths(self) -> Array:
        """(n, 4) mid-line lengths."""
        return np.stack([self.height, self.height, self.width, self.width], axis=1)

    @property
    def plates(self) -> Array:
        """(n,) mm4: sum of t^3/3 along the walls."""
        out: Array = (self.lengths * self._across**3).sum(axis=1) / 3
        return out

    @property
    def _across(self) -> Array:
        return self.thickness if self.bending is None else self.bending

    def membrane(self) -> Membrane:
        """Warping function and shear flexibility of the walls.

        Integrals over the walls' metal of products of y, z and y z, each 1 or -1 in the corners: of y y it is
        `by_y`, of z z `by_z`, of y and y (y z) `sideways` and a third of `upward`, and so on; of y z none."""
        metal = self.lengths * self.thickness
        minus, plus, top, bottom = metal.T
        total, sideways, upward = metal.sum(axis=1), plus - minus, top - bottom
        by_y, by_z = minus + plus + (top + bottom) / 3, top + bottom + (minus + plus) / 3
        one = -sideways * upward / 3 * (1 / by_y + 1 / by_z) / (total - sideways**2 / by_y - upward**2 / by_z)
        y, z = (upward / 3 - sideways * one) / by_y, (sideways / 3 - upward * one) / by_z
        half = np.stack([self.width, self.height], axis=1) / 2
        corner = half.prod(axis=1)
        inertia = corner**2 * (total - y * upward - z * sideways) / 3
        signs = np.column_stack([np.ones(4), CORNERS])
        omega = corner[:, None] * (CORNERS.prod(axis=1) - np.stack([one, y, z], axis=1) @ signs.T)
        off = np.stack([sideways, upward], axis=1) / total[:, None]
        moments = np.stack([by_y, by_z], axis=1) / total[:, None] - off**2
        mixed = -off.prod(axis=1)
        own = moments[:, 0] * moments[:, 1] - mixed**2
        arms = (CORNERS - off[:, None]) / (half * (total * own)[:, None])[:, None]
        rates = np.stack([
            arms[..., 0] * moments[:, 1:] - arms[..., 1] * (mixed * half[:, 1] / half[:, 0])[:, None],
            arms[..., 1] * moments[:, :1] - arms[..., 0] * (mixed * half[:, 0] / half[:, 1])[:, None],
            2 * omega / inertia[:, None],
        ], axis=2)  # fmt: skip
        shear, turning, flow = self._flexibility(rates)
        plane = np.stack([one * corner, y * half[:, 1], z * half[:, 0]], axis=1)
        return Membrane(plane, inertia, shear, np.stack([turning[:, 1], -turning[:, 0]], axis=1), flow)

    def _flexibility(self, rates: Array) -> tuple[Array, Array, Array]:
        """Flexibility (n, 4, 4), torque of the flows of Vy, Vz about the middle (n, 2) and flow of R along the walls,
        from stress rates (n, 4, 3)."""
        rates = np.moveaxis(rates, 0, 2)  # from here on sections last: every step is one pass over all of them
        length, thickness = self.lengths.T, self.thickness.T
        n, metal, soft = rates.shape[2], length * thickness, length / thickness
        flow = np.zeros((4, 3, 4, n))  # wall on the way round, power of the place on it, load T Vy Vz R
        before, torque, turn = np.zeros((3, n)), np.zeros((3, n)), np.zeros((3, n))
        around, area = soft.sum(axis=0), self.width * self.height
        for i, (wall, a, b) in enumerate(ROUND):
            first, last = metal[wall] * rates[a], metal[wall] * rates[b]
            flow[i, 0, 1:], flow[i, 1, 1:], flow[i, 2, 1:] = before, -first, (first - last) / 2
            mean = before - first / 3 - last / 6
            torque += mean * (area / 2)
            turn += mean * soft[wall]
            before = before - (first + last) / 2
        close = -np.concatenate([turn[:2] / around, torque[2:] / (2 * area)])
        flow[:, 0, 1:] += close
        flow[:, 0, 0] = 1 / (2 * area)
        shear = _work(flow, soft[[wall for wall, _, _ in ROUND]])
        racking = np.zeros((4, 3, n))
        for i, (wall, _, _) in enumerate(ROUND):
            c0, c1, c2 = flow[i, :, 3]
            backward = wall in (0, 2)  # the way round goes down the minus web and leftward along the top
            racking[wall] = [-(c0 + c1 + c2), c1 + 2 * c2, -c2] if backward else [c0, c1, c2]
        turning = torque[:2] + 2 * area * close[:2]
        return np.moveaxis(shear, 2, 0), turning.T, np.moveaxis(racking, 2, 0)

    def frame(self, youngs_modulus: float, poisson: float) -> WallFrame:
        """Stiffness of the walls as a rigid frame against racking, slope-deflection with clear spans."""
        t = self.thickness if self.bare is None else self.bare
        flange, web = t[:, 2:].mean(axis=1), t[:, :2].mean(axis=1)
        clear = np.stack([self.height - flange] * 2 + [self.width - web] * 2, axis=1)
        k = youngs_modulus * self._across**3 / 12 / (1 - poisson**2) / clear
        stiff, load = np.zeros((4, 4, len(t))), np.zeros((4, len(t)))
        for (a, b), chord, own in zip(ENDS, CHORDS, k.T, strict=True):
            stiff[a, b] = stiff[b, a] = 2 * own
            for corner in (a, b):
                stiff[corner, corner] += 4 * own
                load[corner] += 6 * chord * own
        ends = solved(stiff, load).T[:, ENDS] - CHORDS[:, None]  # turn of the walls' ends against their chord
        moment = k[:, :, None] * (2 * ends + 2 * ends.sum(axis=2, keepdims=True))
        return WallFrame((ends * moment).sum(axis=(1, 2)), ends.mean(axis=2), moment)


def _work(flow: Array, soft: Array) -> Array:
    """(4, 4, n) integral of q q^T/t for flows (walls, 3 powers, 4, n), from soft (walls, n), length over thickness."""
    strain = np.tensordot(QUADRATIC, flow, (1, 1)) * soft[:, None]  # (3 powers, walls, 4, n)
    out = np.zeros((4, 4, flow.shape[3]))
    for i in range(4):
        for j in range(i, 4):
            out[i, j] = out[j, i] = (flow[:, :, i] * strain[:, :, j].swapaxes(0, 1)).sum(axis=(0, 1))
    return out
