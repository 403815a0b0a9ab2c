"""Box walls bend across the rail as it racks: their stress on the walls' faces, and in the von Mises stress."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks.coefficients import coefficients
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import stresses
from ladderfe.mesh import build_mesh
from ladderfe.solve import frame_of

E, NU = 205_000.0, 0.3
PLATE = E / (1 - NU**2)


def test_a_square_box_by_slope_deflection(made):
    """Equal walls of clear span L: every corner turns g/2, walls' ends g/2 against their chord, so M = 6 D (g/2)/L with
    D = E t³/12(1 - nu²), and 6 M/t² = 1.5 E t g/((1 - nu²) L); none in the middle (slope-deflection, any text)."""
    shape = made.box(80, 80, 3)
    c = coefficients(shape, shape.section())
    middle = np.array(["middle" in label for label in c.labels])
    assert c.across[~middle] == pytest.approx(1.5 * 3 / (80 - 3 - 3), rel=1e-9)
    assert c.across[middle] == pytest.approx(0, abs=1e-12)


def test_walls_carry_the_energy_of_racking(made):
    """int m²/(2 D) ds over the walls by their end moments = KD g²/2 (the frame's own work), four unlike walls; the
    moment runs evenly along a wall, so the integral is L (a² - a b + b²)/(6 D) with ends a, -b."""
    from ladderfe.elements import BoxWalls

    t = np.array([[1.5, 3.0, 2.0, 4.0]])
    walls = BoxWalls(np.array([57.75]), np.array([117.0]), t)
    frame = walls.frame(E, NU)
    clear = np.array([117 - 3, 117 - 3, 57.75 - 2.25, 57.75 - 2.25])
    D = E * t[0] ** 3 / 12 / (1 - NU**2)
    a, b = frame.moment[0].T
    assert (clear * (a * a - a * b + b * b) / (6 * D)).sum() == pytest.approx(frame.KD[0] / 2, rel=1e-9)


@pytest.mark.parametrize("normal", [-80.0, 0.0, 60.0])
def test_von_mises_takes_the_worse_face(made, normal):
    """Faces at +-s across and +-nu s along with an axial stress n: the larger of both by the formula for two principal
    stresses, written out."""
    c = made.chassis()
    mesh = build_mesh(replace(c, joint_level=0.0))
    member = int(mesh.part("left rail").first)
    r = np.zeros((1, 9, 1))
    section = mesh.sections[int(mesh.section_of[member])]
    q = coefficients(mesh.shapes[int(mesh.section_of[member])], section)
    r[0, 0, 0], r[0, 8, 0] = normal / q.normal[0, 0], 1e-3

    class Solved:
        pass

    solved = Solved()
    solved.mesh, solved.frame = mesh, frame_of(mesh)
    rows = Rows(np.array([member]), np.zeros(1), np.zeros(1), np.zeros(1, dtype=bool), r)
    found = stresses(solved, rows)
    s = PLATE * q.across * 1e-3
    assert found.across[0, : len(s), 0] == pytest.approx(s, rel=1e-9)
    faces = [np.sqrt((normal + w * NU * s) ** 2 - (normal + w * NU * s) * w * s + s**2) for w in (1, -1)]
    assert found.von_mises[0, : len(s), 0] == pytest.approx(np.maximum(*faces), rel=1e-9)
    assert found.von_mises[0, : len(s), 0].max() > abs(normal)
