"""Stress in a frame that was repaired while it stood loaded: old metal keeps what it carried when the plate came on.

    old metal = stress in the section as found, under its own forces at the stage (when the plate is welded on)
                + stress of the repaired section under (case - stage)
    new metal (plates, pieces let in) = the second part alone

Both solutions of the second part are of the REPAIRED frame: the case on it less the stage's case on it.  With contact
(wheels that lift, stops) that is not quite what follows on the stage of the frame as found, whose supports may be down
elsewhere; the repaired frame's own two states keep to one frame and each in balance.  Without a stage the frame is
taken as unloaded when the plate is welded on, so that all metal carries the whole case.  The two bracket what a
workshop does: it takes off part of the load.

What heat, shrinkage and force from clamps leave in the metal is not in it.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis.faults import some
from ladderfe.checks.coefficients import racking_walls
from ladderfe.checks.other_points import coefficients_at
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Places, Stresses, von_mises_squared
from ladderfe.errors import ModelError
from ladderfe.mesh import Mesh
from ladderfe.sections import Plated, cell_of, properties, wall_thickness
from ladderfe.sections.thinned import same_wall
from ladderfe.solve import Solution

__all__ = ["look_there", "new_walls", "staged_stresses"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
NewMetal = Mapping[int, Collection[str]]
#: What a wall must have gained to count as another piece of metal, mm.
GAINED = 1e-6
#: So many cases are named where one is not known.
CASES = 20
#: Places on a member that are one, as a share of its length.
SAME = 1e-6


def staged_stresses(
    found: tuple[Solution, Rows], stage: str | None, repaired: tuple[Solution, Rows, Stresses], new: NewMetal,
    *, alike: bool = True,
) -> Stresses:  # fmt: skip
    """Stresses of the repaired frame in all its cases, welded together in a stage of the frame as found.

    Parameters
    ----------
    found
        Solution of the frame as found and its rows, at the same places as those of `repaired` (`look_there`).
    stage
        Name of the case in which the frame stood when it was welded, solved on both frames; None: unloaded.
    repaired
        Solution, rows and stresses of the repaired frame, member by member that of `found`.
    new
        For each member the names of walls that are new metal (`new_walls` finds them); members left out have none.
    alike
        Whether the two frames are divided alike; otherwise the rows are those of `rows_there`.

    Returns
    -------
    Stresses at the points of the repaired sections.  Stress across box walls adds up as if both parts bent the wall
    to the same side (they do where the racking angle has one sign).

    Raises ModelError where the frames or rows do not match, the stage is no case of both, or a wall that is not new has
    no metal as found.
    """
    solution, rows, own = repaired
    if stage is None:
        return own
    k_found, k = (_case(s, stage) for s in (found[0], solution))
    if alike:
        _check_alike(found, solution.mesh, rows)
    sign = np.sign(rows.resultants[:, 8])[:, None]
    across = own.across * sign
    normal, shear, mean, across = (v - v[..., k, None] for v in (own.normal, own.shear, own.mean, across))
    was = _as_found(found, rows, solution.mesh, own, new, k_found)
    parts = zip((normal, shear, mean, across), was, strict=True)
    normal, shear, mean, across = (part + before[..., None] for part, before in parts)
    across = np.abs(across)
    worst = np.sqrt(von_mises_squared(normal, shear, across, solution.mesh.material.poissons_ratio))
    return replace(own, normal=normal, shear=shear, mean=mean, across=across, von_mises=worst)


def look_there(rows: Rows, mesh: Mesh, found: Solution) -> Rows:
    """The rows of a repaired frame's mesh on the frame as found, at the same shares of its members: a crossmember may
    be a wall's thickness longer on one of them."""
    x = rows.x * found.mesh.lengths[rows.member] / mesh.lengths[rows.member]
    return replace(rows, x=x, resultants=found.resultants(rows.member, x))


def new_walls(found: Mesh, repaired: Mesh, there: IntArray | None = None) -> dict[int, frozenset[str]]:
    """For each member of the repaired mesh the walls that are new metal: plates, walls that were gone, and walls that
    are thicker than found (pieces let in).  A piece as thin as what it replaces is not told from it: name it yourself.
    there: `members_there` where the two are not divided alike; members that were not there are new altogether.
    """
    out: dict[int, frozenset[str]] = {}
    for m in range(len(repaired.lengths)):
        j = int(repaired.section_of[m])
        if there is not None and there[m] < 0:
            out[m] = frozenset(w.name for w in repaired.sections[j].walls)
            continue
        i = int(found.section_of[m if there is None else there[m]])
        before, after = found.sections[i], repaired.sections[j]
        if before == after:
            continue
        _, met, _ = coefficients_at((found.shapes[i], before), (found.shapes[i], before), (repaired.shapes[j], after))
        points = properties(after).points
        gone = {name for name, there in zip(points.wall, met.tolist(), strict=True) if not there}
        plates = {name for name in points.wall if " plate" in name or name == "boxing plate"}
        plates = plates if isinstance(repaired.shapes[j], Plated) else set()
        grown = _grown(found, repaired, (i, j))
        if names := frozenset(gone | plates | grown):
            out[m] = names
    return out


def _grown(found: Mesh, repaired: Mesh, at: tuple[int, int]) -> set[str]:
    """Walls thicker than those of the section as found that lie nearest to them."""
    sides = repaired.sections[at[1]].side_names
    old, new = found.shapes[at[0]], repaired.shapes[at[1]]
    was, plain = wall_thickness(old), wall_thickness(new)
    named = dict(zip(plain, wall_thickness(new, sides), strict=True))
    out = set()
    for name, t in plain.items():
        other = same_wall(new, old, name) if name in {w.name for w in new.section().walls} else name
        if other in was and t > was[other] + GAINED:
            out.add(named[name])
    return out


def _case(solution: Solution, name: str) -> int:
    names = [c.name for c in solution.cases]
    if name not in names:
        raise ModelError("stage", f"no case is called {name!r}", f"Take one of {some(names, CASES)}")
    return names.index(name)


def _check_alike(found: tuple[Solution, Rows], mesh: Mesh, rows: Rows) -> None:
    other, its = found[0].mesh, found[1]
    rails = [m for p in mesh.parts if p.kind == "rail" for m in p.members]
    alike = len(other.lengths) == len(mesh.lengths)
    if not alike or np.abs(other.along[rails] - mesh.along[rails]).max(initial=0) > 0.1:
        raise ModelError("stage", "the members of the frame as found are not those of the repaired one",
                         "Cut the spans of both at the same stations")
    alike = len(its.member) == len(rows.member) and bool((its.member == rows.member).all())
    share = rows.x / mesh.lengths[rows.member]
    if not alike or np.abs(its.x / other.lengths[its.member] - share).max(initial=0) > SAME:
        raise ModelError("stage", "the rows of the frame as found lie elsewhere", "Take look_there of the others")


def _as_found(
    found: tuple[Solution, Rows], rows: Rows, mesh: Mesh, own: Stresses, new: NewMetal, k: int
) -> tuple[Array, Array, Array, Array]:
    """Normal, shear (r, p), mean shear (r, w) and stress across (r, p), signed with the racking angle, of the section
    as found in the stage, 0 in new metal."""
    before, its = found[0].mesh, found[1]
    at, then = Places.of(mesh, rows.member, rows.x), Places.of(before, its.member, its.x)
    if len(at.tapered) != len(then.tapered) or bool((at.tapered != then.tapered).any()):
        raise ModelError("stage", "tapers of the two frames are not divided alike", "Taper where nothing is put in")
    pairs = _Pairs(before, mesh, own)
    number = pairs.of(then.section, at.section)
    ends = np.stack([pairs.of(a, b) for a, b in zip(then.ends, at.ends, strict=True)])
    shares = Places(number, at.tapered, ends, at.share)
    normal, shear, mean, across, met, met_walls = pairs.tables()
    old, old_walls = _old(own, mesh, rows, at.section, new)
    lost = (old & own.table.real[at.section] & ~met[number]).nonzero()
    if len(lost[0]):
        r, p = int(lost[0][0]), int(lost[1][0])
        name = own.table.walls[at.section[r]][p]
        raise ModelError(mesh.member_name(int(rows.member[r])), f"its wall {name} was not there as found",
                         "Count it as new metal")
    force, steel = its.resultants[:, :, k], before.material
    plate = steel.youngs_modulus / (1 - steel.poissons_ratio**2)
    by = [np.einsum("rpj,rj->rp", shares.of_table(t), force[:, :8]) for t in (normal, shear, mean)]
    bent = plate * shares.of_table(across) * force[:, 8, None]
    return by[0] * old, by[1] * old, by[2] * (old_walls & met_walls[number]), bent * old


def _old(
    own: Stresses, mesh: Mesh, rows: Rows, section: IntArray, new: NewMetal
) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:  # fmt: skip
    """(r, p) and (r, w): True on walls that are no new metal."""
    shapes = own.table.real.shape[1], own.table.mean.shape[1]
    points, walls = (np.ones((len(rows.member), n), dtype=bool) for n in shapes)
    for m, names in new.items():
        here = rows.member == m
        if not here.any():
            continue
        k = int(mesh.section_of[m])
        for mask, known in ((points, own.table.walls[k]), (walls, own.table.mean_walls[k])):
            mask[np.ix_(here, [i for i, name in enumerate(known) if name in names])] = False
    return points, walls


class _Pairs:
    """Sections as found beside repaired ones, each pair that occurs worked out once."""

    def __init__(self, before: Mesh, after: Mesh, own: Stresses) -> None:
        self.before, self.after = before, after
        self.wide = own.table.real.shape[1], own.table.mean.shape[1]
        self.known: dict[tuple[int, int], int] = {}

    def of(self, found: IntArray, repaired: IntArray) -> IntArray:
        """(r,) numbers of the pairs."""
        pairs = zip(found.tolist(), repaired.tolist(), strict=True)
        return np.array([self.known.setdefault(pair, len(self.known)) for pair in pairs], dtype=np.int64)

    def tables(self) -> tuple[Array, Array, Array, Array, NDArray[np.bool_], NDArray[np.bool_]]:
        """Of all pairs: normal, shear (k, p, 8), mean (k, w, 8), across (k, p), and where both have metal."""
        n, (p, w) = len(self.known), self.wide
        normal, shear, mean, across = np.zeros((n, p, 8)), np.zeros((n, p, 8)), np.zeros((n, w, 8)), np.zeros((n, p))
        met, walls = np.zeros((n, p), dtype=bool), np.zeros((n, w), dtype=bool)
        b, a = self.before, self.after
        used = [shapes[i] for i in dict.fromkeys(i for i, _ in self.known) for shapes in (b.least_shapes, b.shapes)]
        racking_walls([cell for shape in used if (cell := cell_of(shape))])  # all at once, kept for each
        for (i, j), k in self.known.items():
            least, stiff = (b.least_shapes[i], b.least_sections[i]), (b.shapes[i], b.sections[i])
            c, there, on_walls = coefficients_at(least, stiff, (a.least_shapes[j], a.least_sections[j]))
            own, many = len(c.walls), len(c.mean_walls)
            normal[k, :own], shear[k, :own], across[k, :own], met[k, :own] = c.normal, c.shear, c.across, there
            mean[k, :many], walls[k, :many] = c.mean, on_walls
        return normal, shear, mean, across, met, walls
