"""Force in a plate of a section, N_plate = int s dA over its area, and how it grows along the member: what its welds
bring in.

In a stretch where the section stays the same dN/dx = c_My Vz - c_Mz Vy + c_B B', c the force per unit moment, since
Vz = dMy/dx, Vy = -dMz/dx and B' = Tw of walls that warp, 2 R of a box that racks (R holds the walls' own twist as
plates too, so that 2 R is up to 3 % above B').  Under shear alone that is V Q/I (D. J. Jourawski's formula, any text on
strength of materials).  Torque brings nothing to dN/dx: the flow round the cell goes in through one weld and out
through the other (`weld_lines` has each weld's own).  Where stress is not even across the plate it carries a couple
beside its force, C = int s (t - t0) dA about its middle t0, which ends where it ends.  Loads along the member between
its nodes (braking, a pull against inertia) are left out of dN/dx: there take the differences of N itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.coefficients import normal_coefficients, racking_walls
from ladderfe.checks.least_walls import carried_over
from ladderfe.errors import ModelError
from ladderfe.mesh import RACKING, Mesh
from ladderfe.sections import Section, Shape, cell_of, flow_of, properties
from ladderfe.solve import Responses

__all__ = ["PlateRun", "couple_coefficients", "force_coefficients", "growth_of", "plate_run"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
N, VY, VZ, T, MY, MZ, B, LAST = range(8)


@dataclass(frozen=True, slots=True, eq=False)
class PlateRun:
    """A plate along a part, n places from front to rear (both ends and places inside of every member, so that inner
    nodes come twice).

    station (n,) mm along the part; member, x (n,): where that is; force (n, c) N, tension positive; growth (n, c) dN/dx
    in N/mm, positive where the welds pull the plate toward +x'.  couple (n, c) N mm about the plate's middle, in its
    own plane, positive where it pulls at the edge toward +y, of an upright plate toward +z; None: not asked for.
    """

    walls: tuple[str, ...]
    station: Array
    member: IntArray
    x: Array
    force: Array
    growth: Array
    couple: Array | None = None

    @property
    def places(self) -> tuple[Array, Array]:
        """Stations that rise (k,) and the force there (k, c), at inner nodes the mean of both sides."""
        station, which = np.unique(np.round(self.station, 6), return_inverse=True)
        force = np.zeros((len(station), self.force.shape[1]))
        np.add.at(force, which, self.force)
        return station, force / np.bincount(which)[:, None]

    @property
    def jumps(self) -> tuple[Array, Array]:
        """Stations of inner nodes (k,), and by how much (k, c) the force differs behind them: what couples and axial
        forces bring in at one place, for which the mean in `places` stands."""
        k = np.flatnonzero(np.diff(self.member) != 0)
        return self.station[k], self.force[k + 1] - self.force[k]


def force_coefficients(shape: Shape, section: Section, names: Iterable[str]) -> Array:
    """(8,) force in the named walls of a section per unit resultant N Vy Vz T My Mz B Tw (or R); N, 1/mm, 1/mm2.

    From the true plates.  Raises ModelError for a name that no wall has.
    """
    own, along = _walls(section, names)
    sigma = _stress(shape, section, own, np.zeros(len(own)))[2]
    area = np.array([section.walls[k].area for k in own])
    if cell := cell_of(shape):
        box = racking_walls([cell])[0]
        walls = [section.walls[k] for k in own]
        size = np.array([w.true_length**2 - w.thickness**2 for w in walls]) / 12
        sigma[:, B] += size * along[:, 0] * along[:, 1] / box.inertia
    out: Array = area @ sigma
    return out


def couple_coefficients(shape: Shape, section: Section, names: Iterable[str]) -> Array:
    """(8,) couple that the stress in the named walls has about their middle, per unit resultant as the force has them;
    mm and pure numbers.  Positive as `PlateRun.couple`.

    From the true plates, stress running evenly from end to end of each.  Raises ModelError as `force_coefficients`.
    """
    own, along = _walls(section, names)
    half = np.array([section.walls[k].true_length for k in own]) / 2
    (y, z, first), (y1, z1, last) = (_stress(shape, section, own, way * half) for way in (-1, 1))
    area = np.array([section.walls[k].area for k in own])
    way = along[int(half.argmax())]
    way = way * np.sign(way.sum())
    middle = ((y + y1) * way[0] + (z + z1) * way[1]) / 2
    middle = middle - area @ middle / area.sum()
    even, step = (first + last) / 2, (last - first) * (along @ way * half)[:, None] / 6
    out: Array = area @ (even * middle[:, None] + step)
    return out


def _walls(section: Section, names: Iterable[str]) -> tuple[list[int], Array]:
    """Numbers of the named walls that are metal, and (k, 2) their directions."""
    metal = flow_of(section).lines.metal
    chosen = {section.walls.index(w) for name in names for w in section.named(name)}
    own = sorted(k for k in chosen if metal[k] > 0)
    walls = [section.walls[k] for k in own]
    return own, np.array([np.subtract(w.end, w.start) / w.length for w in walls])


def _stress(shape: Shape, section: Section, own: list[int], off: Array) -> tuple[Array, Array, Array]:
    """y, z (k,) mm of the points `off` mm from the middles of the true plates, and (k, 8) normal stress there per unit
    resultant."""
    q, flow = properties(section), flow_of(section)
    walls = [section.walls[k] for k in own]
    along = np.array([np.subtract(w.end, w.start) / w.length for w in walls])
    shift = np.array([(w.grow_end - w.grow_start) / 2 for w in walls]) + off
    lean = np.array([w.lean for w in walls])
    y, z = (np.array([np.add(w.start, w.end) / 2 for w in walls]) + shift[:, None] * along).T
    y, z = y - lean * along[:, 1], z + lean * along[:, 0]
    share = 0.5 + shift / np.array([w.length for w in walls])
    omega = flow.omega[own, 0] + share * (flow.omega[own, 1] - flow.omega[own, 0])
    modulus = np.array([w.modulus for w in walls])
    sigma = normal_coefficients(replace(q, points=replace(q.points, y=y, z=z, modulus=modulus, omega=omega)))
    if cell := cell_of(shape):
        box = racking_walls([cell])[0]
        one, two = y - cell.pole[0], z - cell.pole[1]
        sigma[:, B] = (one * two - box.plane[0] - box.plane[1] * one - box.plane[2] * two) / box.inertia
    return y, z, sigma


def growth_of(force: Array, *, racks: bool) -> Array:
    """(8,) dN/dx per unit resultant from the force per unit resultant; racks: B' is 2 R, else Tw."""
    out = np.zeros(8)
    out[VZ], out[VY] = force[MY], -force[MZ]
    out[LAST] = force[B] * (2 if racks else 1)
    return out


def plate_run(
    solution: Responses, part: str, walls: Iterable[str], reach: tuple[float, float] = (-np.inf, np.inf), *,
    steps: int = 4,
) -> PlateRun:  # fmt: skip
    """Force in a plate along a part in all cases, and its growth.

    walls: names of the plate's walls, such as "outer plate"; where a member's section has none of them it is left out.
    reach: only members between these two stations, mm.  steps: intervals in each member.  The walls that strength goes
    by count, as in the stresses.  Raises ModelError where no member has such a wall.
    """
    mesh, names = solution.mesh, tuple(walls)
    own = [m for m in mesh.part(part).members if _has(mesh, m, names)
           and reach[0] - 0.1 <= min(mesh.along[m]) and max(mesh.along[m]) <= reach[1] + 0.1]  # fmt: skip
    if not own:
        raise ModelError(part, f"no wall there is called {' or '.join(names)}", "Name the plate as the section does")
    member = np.repeat(np.array(own, dtype=np.int64), steps + 1)
    share = np.tile(np.linspace(0, 1, steps + 1), len(own))
    x, (a, b) = share * mesh.lengths[member], mesh.along[member].T
    known = {k: _coefficients(mesh, k, names) for k in {int(mesh.section_of[m]) for m in own}}
    force, couple = (np.array([known[int(mesh.section_of[m])][i] for m in member.tolist()]) for i in (0, 1))
    racks = mesh.kind[member] == RACKING
    growth = np.array([growth_of(c, racks=bool(r)) for c, r in zip(force, racks, strict=True)])
    r = solution.resultants(member, x)[:, :8]
    return PlateRun(names, a + (b - a) * share, member, x,
                    *(np.einsum("rj,rjc->rc", c, r) for c in (force, growth, couple)))  # fmt: skip


def _has(mesh: Mesh, member: int, names: tuple[str, ...]) -> bool:
    return any(w.name in names for w in mesh.least_sections[mesh.section_of[member]].walls)


def _coefficients(mesh: Mesh, k: int, names: tuple[str, ...]) -> tuple[Array, Array]:
    """Force and couple (8,) of the section of that number, per unit resultant of the one that stiffness goes by."""
    shape, section = mesh.least_shapes[k], mesh.least_sections[k]
    present = [name for name in names if any(w.name == name for w in section.walls)]
    one, two = (of(shape, section, present) for of in (force_coefficients, couple_coefficients))
    if section != mesh.sections[k]:
        over = carried_over(properties(section), properties(mesh.sections[k]))
        one, two = one @ over, two @ over
    return one, two
