"""How one frame answers to one or many sets of masses, springs and cases: all load vectors in one solve."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache, partial

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import (
    Carried,
    LoadCase,
    Spring,
    Suspended,
    Suspension,
    axle_entries,
    pull_entries,
    suspended,
)
from ladderfe.cases.suspension import Seat, Stand
from ladderfe.chassis import Chassis, Mount
from ladderfe.elements import PLACES, LineLoads, alike
from ladderfe.elements.arrays import sum_by
from ladderfe.mesh import Mesh, Place
from ladderfe.solve.band import Factor
from ladderfe.solve.body_forces import hung_masses, line_masses, own_mass
from ladderfe.solve.equilibrium import Equilibrium, equilibrium
from ladderfe.solve.frame import Frame
from ladderfe.solve.supports import HOLDS, Footing, support_rows

__all__ = ["Balance", "Hanging", "Responses", "respond"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@lru_cache(maxsize=256)
def _held(
    suspensions: tuple[Suspension, ...], stands: tuple[str, ...], entries: tuple[Seat, ...], stiffening: float
) -> Suspended:
    return suspended(
        suspensions,
        held=[f"hold {words}, {axle} left" for axle, _, words in HOLDS],
        stands=[Stand(name=s, place=s) for s in stands],
        entries=entries,
        stiffening=stiffening,
    )


@dataclass(frozen=True, kw_only=True, eq=False)
class Hanging:
    """What hangs on the frame of a chassis, how it stands and which cases it meets; `places` are the mesh's named
    places for it.  stiffer: the chassis's frame has so many times the stiffness of the one that answers, all of it
    alike (steel with another modulus)."""

    chassis: Chassis
    carried: Carried
    cases: tuple[LoadCase, ...]
    springs: tuple[Spring, ...]
    suspensions: tuple[Suspension, ...]
    mounts: tuple[Mount, ...]
    places: Mapping[str, Place]
    stiffer: float = 1.0

    def suspended(self) -> Suspended:
        """The links between frame, axles and ground, with the rows for all that cases apply and the in-plane holds."""
        return self._suspended

    @cached_property
    def _suspended(self) -> Suspended:
        stands = tuple(dict.fromkeys(name for c in self.cases for name in c.stands))
        in_links = any(c.in_plan or c.stop_factors or c.dampers for c in self.cases)
        entries = (*(axle_entries(self.chassis) if in_links else ()), *pull_entries(self.cases))
        return _held(self.suspensions, stands, entries, self.chassis.body.stiffening)

    def carries_the_same(self, other: Hanging) -> bool:
        """True where the same masses hang at the same places."""
        return (
            self.carried == other.carried
            and self.mounts == other.mounts
            and all(self.places[m.name] == other.places[m.name] for m in self.mounts)
        )


#: Finds the equilibrium of all cases of a hanging on a footing.
Balance = Callable[[Footing, Hanging], Equilibrium]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Responses:
    """Answers of a frame to c cases.

    movements (unknowns, c) mm and rad; end_movements (m, 16, c) of the member ends without the frame's rigid motion,
    times `Hanging.stiffer`, and end_forces (m, 16, c) on them, member axes; units: line loads per unit of u body
    fields, fields (u, c): how much of each the cases have.
    """

    mesh: Mesh
    frame: Frame
    cases: tuple[LoadCase, ...]
    movements: Array
    end_movements: Array
    end_forces: Array
    units: LineLoads
    fields: Array

    @property
    def lines(self) -> LineLoads:
        """The line loads of all cases."""
        return replace(self.units, force=self.units.force @ self.fields)

    def resultants(self, member: IntArray, x: Array) -> Array:
        """(rows, 9, c) N, Vy, Vz, T, My, Mz, B, Tw or R, racking g at x from end 1 of members; see `Members`."""
        return self.frame.kernels.resultants(self.end_movements, self.end_forces, self.units, member, x, self.fields)


@dataclass(frozen=True, slots=True, eq=False)
class _Loads:
    """Loads per unit body field of s different sets of masses: own mass and lines as pieces with their owner (-1: all),
    end loads of what was aboard (m, 16, s, 6), and vectors (unknowns, s, 12): aboard, then not aboard.  `of`: which set
    every hanging carries."""

    of: tuple[int, ...]
    pieces: LineLoads
    owner: IntArray
    end_loads: Array
    vectors: Array


def respond(
    mesh: Mesh, factor: Factor, hangings: Sequence[Hanging], *, told: bool = True, balance: Balance | None = None
) -> tuple[Responses, tuple[Footing, ...], tuple[Equilibrium, ...]]:
    """Answers to all cases of all hangings, one after the other, with each hanging's footing and equilibrium.  told:
    False where it does not matter how those tip over that do; balance: finds the equilibrium in its own way."""
    loads = _loads(mesh, factor.frame, hangings)
    footings = _footings(factor, hangings, loads)
    usual = partial(_usual, told=told)
    found = tuple((balance or usual)(f, h) for f, h in zip(footings, hangings, strict=True))
    pairs = list(zip(footings, found, strict=True))
    straining = _side_by_side([f.straining(e.load, e.force) for f, e in pairs])
    stiffer = np.repeat([h.stiffer for h in hangings], [len(h.cases) for h in hangings])
    rigid = _side_by_side([f.motions @ e.rigid for f, e in pairs])
    own = zip(loads.of, found, strict=True)
    ends = _side_by_side([loads.end_loads[:, :, k] @ e.load[:6] for k, e in own])
    moved = factor.frame.member_movements(straining)  # rigid motions strain nothing and would only cost digits
    units, fields = _case_lines(loads, found)
    answers = Responses(
        mesh=mesh,
        frame=factor.frame,
        cases=tuple(c for h in hangings for c in h.cases),
        movements=straining / stiffer + rigid,
        end_movements=moved,
        end_forces=factor.frame.end_forces(moved, ends),
        units=units,
        fields=fields,
    )
    return answers, footings, found


def _usual(footing: Footing, h: Hanging, told: bool) -> Equilibrium:
    footing = footing if h.stiffer == 1 else footing.stiffer(h.stiffer)
    return equilibrium(footing, h.chassis, h.cases, h.suspended(), h.suspensions, told=told)


def _side_by_side(cases: Sequence[Array]) -> Array:
    """(..., c) the cases (..., k) of all hangings; those of a single one are not copied."""
    return cases[0] if len(cases) == 1 else np.concatenate(cases, axis=-1)


def _loads(mesh: Mesh, frame: Frame, hangings: Sequence[Hanging]) -> _Loads:
    sets: list[Hanging] = []
    of = tuple(_set_of(h, sets) for h in hangings)
    s, m = len(sets), len(mesh.ends)
    set_of_line = np.repeat(np.arange(s), [len(h.carried.lines) for h in sets])
    lines, which = line_masses(mesh, [line for h in sets for line in h.carried.lines], set_of_line)
    owner = set_of_line[which]
    own = own_mass(mesh)
    pieces = LineLoads.join([own, lines])
    end_loads = _end_loads(frame, pieces, np.concatenate([np.full(m, -1), owner]), s)
    spread = frame.gather(end_loads.reshape(m, 2 * PLACES, 6 * s)).reshape(-1, s, 6)
    hung = np.stack([_hung(frame, h) for h in sets], axis=1)
    hung[:, :, :6] += spread
    return _Loads(of, pieces, np.concatenate([np.full(m, -1), owner]), end_loads, hung)


def _end_loads(frame: Frame, pieces: LineLoads, owner: IntArray, sets: int) -> Array:
    """(m, 16, sets, 6) end loads of pieces by the set that owns them (-1: all)."""
    if sets == 1:
        return frame.kernels.equivalent_loads(pieces)[:, :, None]
    each, out = frame.kernels.each_equivalent(pieces), np.zeros((sets, len(frame.ends), 2 * PLACES, 6))
    own = owner >= 0
    np.add.at(out, (owner[own], pieces.member[own]), each[own])
    out += sum_by(len(frame.ends), pieces.member[~own], each[~own])
    return out.transpose(1, 2, 0, 3)


def _set_of(hanging: Hanging, sets: list[Hanging]) -> int:
    """Number of the set of masses that a hanging carries at its mounts; one not met before is added to `sets`."""
    for k, known in enumerate(sets):
        if known.carries_the_same(hanging):
            return k
    sets.append(hanging)
    return len(sets) - 1


def _hung(frame: Frame, h: Hanging) -> Array:
    """(unknowns, 12) nodal loads of the listed masses: those aboard when weighed, then the others."""
    aboard = [m for m in h.carried.masses if m.aboard]
    later = [m for m in h.carried.masses if not m.aboard]
    return np.concatenate([hung_masses(frame, h.places, x, h.mounts) for x in (aboard, later)], axis=1)


def _footings(factor: Factor, hangings: Sequence[Hanging], loads: _Loads) -> tuple[Footing, ...]:
    """One solve for all load vectors and all rows; a row that many hangings share is solved for once."""
    of_loads = loads.vectors.transpose(1, 0, 2)
    alike: dict[tuple[int, tuple[Seat, ...]], int] = {}
    of_rows = [alike.setdefault((id(h.places), h.suspended().seats), len(alike)) for h in hangings]
    of_key = dict(zip(reversed(of_rows), reversed(hangings), strict=True))
    rows = [support_rows(factor.frame, of_key[k].places, of_key[k].suspended().seats) for k in range(len(alike))]
    every, which = _different(rows)
    solved = factor.solve(np.concatenate([*of_loads, every], axis=1))
    first = 12 * len(of_loads)
    return tuple(
        Footing(factor, rows[r], of_loads[k], (solved[:, 12 * k : 12 * k + 12], solved[:, first:][:, which[r]]))
        for k, r in zip(loads.of, of_rows, strict=True)
    )


def _different(rows: Sequence[Array]) -> tuple[Array, Sequence[IntArray | slice]]:
    """(unknowns, n) the columns of several arrays (unknowns, r), each once, and which of them every array has."""
    if len(rows) == 1:
        return rows[0], [slice(None)]
    numbers: dict[bytes, int] = {}
    which = [np.array([numbers.setdefault(row.tobytes(), len(numbers)) for row in r.T]) for r in rows]
    return np.frombuffer(b"".join(numbers)).reshape(len(numbers), -1).T, which


def _case_lines(loads: _Loads, found: Sequence[Equilibrium]) -> tuple[LineLoads, Array]:
    """The line loads per unit body field of every set of masses (sets x 6 units), those on one stretch added up, and
    each case's fields."""
    p, sets = loads.pieces, loads.vectors.shape[1]
    fields = np.zeros((sets, 6, sum(e.load.shape[1] for e in found)))
    first = 0
    for own, e in zip(loads.of, found, strict=True):
        fields[own, :, first : first + e.load.shape[1]] = e.load[:6]
        first += e.load.shape[1]
    if sets == 1:
        return p, fields[0]
    one, place = alike(p)
    force = np.zeros((sets, len(one), 3, 3, 6))
    lines = np.flatnonzero(loads.owner >= 0)
    np.add.at(force, (loads.owner[lines], place[lines]), p.force[lines])
    shared = np.flatnonzero(loads.owner < 0)
    force[:, place[shared]] += p.force[shared]
    units = force.transpose(1, 2, 3, 0, 4).reshape(len(one), 3, 3, 6 * sets)
    return LineLoads(p.member[one], p.start[one], p.end[one], p.point[one], units), fields.reshape(6 * sets, -1)
