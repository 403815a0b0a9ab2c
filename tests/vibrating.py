"""Masses for the frames of tests/frames.py and tests/warped.py, and their modes.

Reached through the fixture `vibrating` (tests/conftest.py).  Any consistent units.
"""

from __future__ import annotations

import numpy as np

from ladderfe.elements.mass import SectionMass, member_mass, section_mass
from ladderfe.sections import properties
from ladderfe.solve.mass import FrameMass
from ladderfe.solve.modes import Vibrating, natural_modes


def even(frame, density: float, area: float, second, warping: float = 0.0) -> SectionMass:
    """All members alike; second: (2, 2) moments of area [[int yy, int yz], [int yz, int zz]]."""
    one = np.ones(len(frame.ends))
    return SectionMass(
        density * area * one, frame.beams.centroid, density * one[:, None, None] * np.asarray(second),
        density * warping * one,
    )  # fmt: skip


def of_shape(frame, shape, density: float, sides=("minus", "plus")) -> SectionMass:
    """All members of one shape; boxes that rack have the warping inertia of their walls."""
    q = properties(shape.section(sides))
    kernels = frame.kernels
    warping = q.Iw
    if len(kernels.racking):
        warping = float(kernels.racking.foundation.EI[0]) / 205_000.0
    return even(frame, density, q.metal, [[q.Izz, q.Iyz], [q.Iyz, q.Iyy]], warping)


def mass(frame, sections: SectionMass, points=()) -> FrameMass:
    """Mass of a frame; points: (mass, node, arm)."""
    rows = np.zeros((frame.unknowns, 3 * len(points)))
    for k, (_, node, arm) in enumerate(points):
        for way in range(3):
            unknown, coefficient = frame.row(node, np.array(arm, float), np.eye(6)[way])
            rows[unknown, 3 * k + way] = coefficient
    own = member_mass(frame.kernels, section_mass(frame.kernels, sections))
    return FrameMass(frame, own, np.array([float(p[0]) for p in points]), rows, tuple("point" for _ in points))


def modes(mass: FrameMass, held=(), count: int = 12, rows=None, rates=()):
    """The lowest modes with some unknowns held."""
    rows = np.zeros((mass.frame.unknowns, 0)) if rows is None else rows
    of = Vibrating(mass.frame, mass, rows, np.array(rates, float), np.unique(np.array(held, dtype=np.int64)))
    return natural_modes(of, count)


def frequencies(mass: FrameMass, held=(), count: int = 12) -> np.ndarray:
    """Hz."""
    return modes(mass, held, count).frequencies


__all__ = ["even", "frequencies", "mass", "modes", "of_shape"]
