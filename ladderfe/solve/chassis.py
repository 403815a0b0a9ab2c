"""The whole way from a chassis to its solution."""

from __future__ import annotations

import numpy as np

from ladderfe.cases import carried_masses, load_cases, springs
from ladderfe.chassis import Chassis
from ladderfe.mesh import Mesh, build_mesh, frame_mass
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve.analyse import Solution, analyse

__all__ = ["same_frame", "solve_chassis"]


def solve_chassis(
    chassis: Chassis, *, refine: int = 1, taper_steps: int = TAPER_STEPS, like: Solution | None = None
) -> Solution:
    """Mesh a chassis, find its residual loads and solve all its cases.

    `like`: a solution whose factorised frame is used again if the frame is the same and only loads differ.
    Raises ModelError where the loads contradict each other and MechanismError where the frame is not held together.
    """
    mesh = build_mesh(chassis, refine=refine, taper_steps=taper_steps)
    own = frame_mass(mesh)
    carried = carried_masses(chassis, own.mass, own.centre)
    factor = like.footing.factor if like is not None and same_frame(mesh, like.mesh) else None
    return analyse(mesh, carried, load_cases(chassis), springs(chassis), chassis.mounts, factor=factor)


def same_frame(a: Mesh, b: Mesh) -> bool:
    """True where two meshes have the same members, joints and material, whatever hangs on them."""
    return (
        a.sections == b.sections
        and a.joints == b.joints
        and a.material == b.material
        and all(np.array_equal(getattr(a, n), getattr(b, n)) for n in ("nodes", "ends", "arms", "section_of"))
    )
