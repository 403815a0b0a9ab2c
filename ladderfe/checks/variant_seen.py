"""Rows and stresses of some members of many states of one frame, as `look_at` and `stresses` find them in each."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import cast

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Material
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.variant_rows import Stacked, looked_at, varying_stack
from ladderfe.checks.variant_tables import stacked_table
from ladderfe.checks.variants import Variants
from ladderfe.mesh import Mesh, Part
from ladderfe.mesh.varied import Varied
from ladderfe.sections import Section

__all__ = ["Seen", "seen"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """Some members of one state: rows and stresses with the numbers that members and sections have in the frame's mesh;
    mesh: what of it `demands` asks for."""

    mesh: Mesh
    rows: Rows
    stresses: Stresses


@dataclass(frozen=True, slots=True, eq=False)
class _OfState:
    """Parts, material and sections of a state's mesh; sections that were not asked for are those as laid out."""

    of: Mesh
    sections: tuple[Section, ...]
    least_sections: tuple[Section, ...]

    @property
    def parts(self) -> tuple[Part, ...]:
        return self.of.parts

    @property
    def material(self) -> Material:
        return self.of.material

    def part_of(self) -> IntArray:
        """As `Mesh.part_of`."""
        return self.of.part_of()


def seen(of: Variants, thickness: Array, least: Array, wanted: Bools) -> dict[int, Seen]:
    """Members `wanted` (v, m) of states (v, k), by state; least: thicknesses by which strength is judged.

    States that need the plain way are left out.  Raises LadderFEError where some state's sections do not go with the
    rest's.
    """
    answers = of.plan.solve(thickness)
    table = stacked_table(answers.states.sections, of.plan.least_states(thickness, least))
    state, member = np.nonzero(wanted & ~np.isin(np.arange(len(wanted)), list(answers.failed))[:, None])
    moving = np.isin(member, of.plan.varied.members)
    number = np.searchsorted(of.plan.varied.members, member[moving])
    parts = []
    if moving.any():
        pairs = (state[moving], number)
        parts.append(_looked(varying_stack(answers, pairs, table), state[moving], member[moving]))
    if not moving.all():
        rest = state[~moving], member[~moving]
        parts.append(_looked(of.fixed.stack(answers, rest, table), *rest))
    return {v: _of_state(of.plan.varied, parts, (v, thickness[v], least[v])) for v in np.unique(state).tolist()}


def _looked(stack: Stacked, state: IntArray, member: IntArray) -> tuple[IntArray, Rows, Stresses]:
    """State (r,) of every row; rows and stresses with the mesh's numbers of members."""
    rows, stress = looked_at(stack)
    return state[rows.member], replace(rows, member=member[rows.member]), stress


def _of_state(
    varied: Varied, parts: list[tuple[IntArray, Rows, Stresses]], state: tuple[int, Array, Array]
) -> Seen:  # fmt: skip
    v, thickness, least = state
    own = [np.flatnonzero(part[0] == v) for part in parts]

    def join(which: int, name: str) -> Array:
        return np.concatenate([getattr(part[which], name)[at] for part, at in zip(parts, own, strict=True)])

    names = ("member", "x", "along", "turning", "resultants")
    rows = Rows(*(join(1, n) for n in names))  # type: ignore[arg-type]
    section = varied.mesh.section_of[rows.member]
    stress = replace(
        parts[0][2],
        section=section,
        normal=join(2, "normal"),
        shear=join(2, "shear"),
        von_mises=join(2, "von_mises"),
        mean=join(2, "mean"),
        across=join(2, "across"),
    )
    used = np.unique(section).tolist()
    mesh = varied.mesh
    stiff = _sections(varied, used, thickness, judged=False)
    alike = mesh.least_sections is mesh.sections and np.array_equal(thickness, least)
    judged = stiff if alike else _sections(varied, used, least, judged=True)
    return Seen(cast(Mesh, _OfState(mesh, stiff, judged)), rows, stress)


def _sections(varied: Varied, used: list[int], thickness: Array, *, judged: bool) -> tuple[Section, ...]:
    """The mesh's sections with those `used` as they are in a state."""
    mesh = varied.mesh
    shapes, out = (
        (mesh.least_shapes, list(mesh.least_sections)) if judged else (mesh.shapes, list(mesh.sections))
    )  # fmt: skip
    for k in used:
        if k in varied.by_section:
            walls = {n: float(thickness[i]) for n, i in varied.by_section[k].items()}
            out[k] = replace(shapes[k], **walls).section(out[k].side_names)  # type: ignore[arg-type]
    return tuple(out)
