"""The whole way from a chassis to its solution."""

from __future__ import annotations

from ladderfe.cases import carried_masses, load_cases, springs
from ladderfe.chassis import Chassis
from ladderfe.mesh import build_mesh, frame_mass
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve.analyse import Solution, analyse

__all__ = ["solve_chassis"]


def solve_chassis(chassis: Chassis, *, refine: int = 1, taper_steps: int = TAPER_STEPS) -> Solution:
    """Mesh a chassis, find its residual loads and solve all its cases.

    Raises ModelError where the loads contradict each other and MechanismError where the frame is not held together.
    """
    mesh = build_mesh(chassis, refine=refine, taper_steps=taper_steps)
    own = frame_mass(mesh)
    carried = carried_masses(chassis, own.mass, own.centre)
    return analyse(mesh, carried, load_cases(chassis), springs(chassis), chassis.mounts)
