"""The whole way from a chassis to its solution."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ladderfe.cases import carried_masses, load_cases, springs, suspensions
from ladderfe.chassis import Chassis
from ladderfe.mesh import Mesh, build_mesh, frame_mass
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve.analyse import Solution, analyse
from ladderfe.solve.on_axles import as_weighed
from ladderfe.solve.respond import Hanging, Responses, respond

__all__ = ["hanging_of", "same_frame", "solve_chassis", "vary"]

#: What a mesh has of sections; what follows from them is kept by identity (`sections.kept.lately`).
SECTIONS: tuple[str, ...] = ("sections", "shapes", "least_sections", "least_shapes")


def solve_chassis(
    chassis: Chassis, *, refine: int = 1, taper_steps: int = TAPER_STEPS, like: Solution | None = None
) -> Solution:
    """Mesh a chassis, find its residual loads and solve all its cases.

    `like`: a solution whose factorised frame is used again if the frame is the same and only loads differ, and what is
    kept of its sections if these are the same.
    Raises ModelError where the loads contradict each other and MechanismError where the frame is not held together.
    """
    mesh = build_mesh(chassis, refine=refine, taper_steps=taper_steps)
    mesh = mesh if like is None else _sharing(mesh, like.mesh)
    factor = like.footing.factor if like is not None and same_frame(mesh, like.mesh) else None
    return analyse(mesh, hanging_of(chassis, mesh), factor=factor)


def hanging_of(chassis: Chassis, mesh: Mesh) -> Hanging:
    """What hangs on the frame of a mesh, the condition on the scales first among its cases."""
    own = frame_mass(mesh)
    return Hanging(
        chassis=chassis,
        carried=carried_masses(chassis, own.mass, own.centre, own.product),
        cases=(as_weighed(), *load_cases(chassis)),
        springs=springs(chassis),
        suspensions=suspensions(chassis),
        mounts=chassis.mounts,
        places=mesh.places,
    )


def vary(like: Solution, hangings: Sequence[Hanging]) -> tuple[Responses, list[slice]]:
    """Answers of the frame of `like` to other hangings, all in one solve, and which cases belong to which."""
    answers, _, _ = respond(like.mesh, like.footing.factor, hangings, told=False)
    last = np.cumsum([len(h.cases) for h in hangings])
    return answers, [slice(int(b) - len(h.cases), int(b)) for b, h in zip(last, hangings, strict=True)]


def _sharing(mesh: Mesh, like: Mesh) -> Mesh:
    """The same mesh with the sections and the steel of another one where they are equal."""
    same: list[tuple[str, ...]] = [("material",)] if mesh.material == like.material else []
    differs = (mesh.least_sections is mesh.sections) != (like.least_sections is like.sections)
    if not differs and all(getattr(mesh, n) == getattr(like, n) for n in SECTIONS):
        same.append(SECTIONS)
    return replace(mesh, **{n: getattr(like, n) for names in same for n in names})


def same_frame(a: Mesh, b: Mesh) -> bool:
    """True where two meshes have the same members, joints, diaphragms and material, whatever hangs on them."""
    return (
        a.sections == b.sections
        and (a.least_sections is a.sections, b.least_sections is b.sections) in ((True, True), (False, False))
        and (a.least_sections is a.sections or a.least_sections == b.least_sections)
        and a.joints == b.joints
        and a.plates == b.plates
        and a.material == b.material
        and all(np.array_equal(getattr(a, n), getattr(b, n)) for n in ("nodes", "ends", "arms", "section_of", "kind"))
    )
