"""A round tube as a polygon of walls with the area, second moment and torsion constant of the true ring."""

from __future__ import annotations

from math import cos, pi, sin, sqrt, tan

from ladderfe.sections.walls import Wall

__all__ = ["ring_walls"]

CHORDS = 20  # five to each quarter, the middle one at its crown


def ring_walls(diameter: float, wall: float, quarters: tuple[str, str, str, str]) -> list[Wall]:
    """Walls of a ring, counter-clockwise from -45 degrees; `quarters` names those about +y, +z, -y and -z.

    Apothem a, plate length l and thickness t of the n chords follow from three demands (Bredt for the polygon):
    area n t l = A, torsion constant n s a^2 t = A k^2 with s = 2 a tan(pi/n), and polar second moment
    A (a^2 + l^2/12 + t^2/12) = A k^2, where k^2 = (ro^2 + ri^2)/2 is the true ring's.  Solved for a by Newton's method
    from the thin ring's value; stress points lie on the true outer circle.
    """
    outer, inner = diameter / 2, diameter / 2 - wall
    area, k2 = pi * (outer**2 - inner**2), (outer**2 + inner**2) / 2
    turn = tan(pi / CHORDS)
    a2 = k2
    for _ in range(20):
        l2 = 4 * turn**2 * a2**3 / k2**2
        t2 = (area / CHORDS) ** 2 / l2
        change = (a2 + l2 / 12 + t2 / 12 - k2) / (1 + l2 / (4 * a2) - t2 / (4 * a2))
        a2 -= change
        if abs(change) < 1e-15 * k2:
            break
    apothem, length = sqrt(a2), 2 * turn * sqrt(a2**3) / k2
    thickness = area / CHORDS / length
    grow = length / 2 - apothem * turn
    bulge = apothem + thickness / 2 - outer  # outside lies to the right of a counter-clockwise walk
    radius = apothem / cos(pi / CHORDS)
    angles = [(i / CHORDS - 1 / 8) * 2 * pi for i in range(CHORDS)]
    places = [(radius * cos(angle), radius * sin(angle)) for angle in angles]
    return [Wall(quarters[i * 4 // CHORDS], places[i], places[(i + 1) % CHORDS], thickness, grow, grow, bulge=bulge)
            for i in range(CHORDS)]
