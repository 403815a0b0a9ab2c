"""Shear strain of warping, and the sectorial coordinate at any place.  Tolerance 1e-9: exact for straight walls."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.sections import Box, Channel, Section, TopHat, Tube, Wall, flow_of, lapped_plate, properties, sectorial

ROUNDING = 1e-9
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y").section()
UNEQUAL = Channel(depth=150.0, width=65.0, web=4.0, top=3.0, bottom=5.0, opens="-y", radius=9.0).section()
HAT = TopHat(depth=50.0, width=120.0, wall=3.0, brim=20.0, opens="-z").section()
BOX = Box(depth=120.0, width=80.0, top=3.0, bottom=2.0, minus=3.0, plus=2.5).section()
SLIT = BOX.gap("plus", 0.4, 4.0)
LAPPED = lapped_plate(CHANNEL, "web", width=100.0, thickness=3.0, throat=2.0)
OPEN = (CHANNEL, UNEQUAL, HAT, SLIT, LAPPED)


def moved(section, y, z, mirror=1):
    """The section shifted, and mirrored before by `mirror` = -1."""
    def place(p):
        return mirror * p[0] + y, p[1] + z

    return Section(tuple(replace(w, start=place(w.start), end=place(w.end), bulge=mirror * w.bulge,
                                 lean=mirror * w.lean) for w in section.walls))


def flexibility(p):
    """(3, 3) shear strain energy's matrix of Vy, Vz, Tw."""
    return np.block([[p.shear, p.warp_coupling[:, None]], [p.warp_coupling, np.array(p.warp_shear)]])


@pytest.mark.parametrize("section", OPEN)
def test_shear_and_warping_strain_make_one_flexibility(section):
    """It is the energy of the flows (Gauss' rule, exact to degree five), positive definite, the same wherever the
    section lies; mirroring turns the sign of Vy and Tw, not that of Vz."""
    p, flow = properties(section), flow_of(section)
    places, weights = np.polynomial.legendre.leggauss(3)
    energy = np.zeros((3, 3))
    for place, weight in zip((places + 1) / 2, weights / 2, strict=True):
        q = np.stack([flow.at(i, place)[[0, 1, 3]] for i in range(len(flow.lines.length))])
        energy += weight * np.einsum("w,wi,wj->ij", flow.lines.length / flow.lines.thickness, q, q)
    soft, size = flexibility(p), np.sqrt(np.diag(energy))
    assert soft / np.outer(size, size) == pytest.approx(energy / np.outer(size, size), abs=ROUNDING)
    assert np.linalg.eigvalsh(soft / np.outer(size, size)).min() > 1e-3
    assert flexibility(properties(moved(section, 300.0, -200.0))) / np.outer(size, size) == pytest.approx(
        energy / np.outer(size, size), abs=1e-7)
    turned = flexibility(properties(moved(section, 0.0, 0.0, mirror=-1)))
    sign = np.array([-1, 1, -1])
    assert turned / np.outer(size, size) == pytest.approx(
        np.outer(sign, sign) * energy / np.outer(size, size), abs=1e-7)


def test_closed_form_of_an_i_section():
    """Equal flanges of breadth b and thickness t, h apart: under Tw each flange carries Tw/h like a rectangle, so sigma
    = 2 x 6/5/(b t h^2); no coupling.  Source: shear of a rectangular section, common theory."""
    b, h, t = 60.0, 100.0, 4.0
    top, bottom = h / 2, -h / 2
    walls = [Wall("web", (0.0, bottom), (0.0, top), 3.0)]
    walls += [Wall("flange", (0.0, z), (side * b / 2, z), t) for z in (bottom, top) for side in (-1, 1)]
    p = properties(Section(tuple(walls)))
    assert p.warp_shear == pytest.approx(2 * 1.2 / (b * t * h**2), rel=ROUNDING)
    assert abs(p.warp_coupling).max() < ROUNDING * p.warp_shear * h


@pytest.mark.parametrize("section", [BOX, Tube(diameter=60.0, wall=3.0).section()])
def test_no_warping_no_strain_of_it(section):
    p = properties(section)
    assert (p.Iw, p.warp_shear, *p.warp_coupling) == (0, 0, 0, 0)


def test_signs_on_an_i_section():
    """u = -omega theta': twist theta moves the top flange (z = h/2) by -theta h/2 along y, so its points move by u = y
    h/2 theta' along the member as in any bending; Tw pulls the top flange toward -y."""
    b, h = 60.0, 100.0
    walls = [Wall("web", (0.0, -h / 2), (0.0, h / 2), 3.0)]
    walls += [Wall(f"{name} {side}", (0.0, z), (side * b / 2, z), 4.0)
              for name, z in (("bottom", -h / 2), ("top", h / 2)) for side in (-1, 1)]
    p = properties(Section(tuple(walls)))
    for i in range(len(p.points.y)):
        z = 0.0 if p.points.wall[i] == "web" else h / 2 * np.sign(p.points.z[i])
        assert p.points.omega[i] == pytest.approx(-p.points.y[i] * z, abs=1.6 * h / 2)  # at the web's face
        if "middle" in p.points.label[i] and p.points.wall[i] != "web":
            along = np.sign(p.points.y[i])  # walls run outward
            assert p.points.tau_warp[i] * along * np.sign(z) < 0


@pytest.mark.parametrize("section", OPEN)
def test_points_stress_gives_the_bimoment_back(section):
    """s = omega/Iw at the stress points, linear along each wall: B = int s omega dA = 1, and no N, My, Mz."""
    p, lines = properties(section), flow_of(section).lines
    first = {int(i): n for n, i in reversed(list(enumerate(p.points.index)))}
    found = np.zeros(4)
    for i, wall in enumerate(section.walls):
        omega = flow_of(section).omega[i]
        if i in first and not wall.bulge:
            assert p.points.omega[first[i]:first[i] + 2] == pytest.approx(omega, abs=1e-7)
        for share, weight in ((0.0, 1 / 6), (0.5, 4 / 6), (1.0, 1 / 6)):  # Simpson, exact for squares
            y, z = lines.ends[i, 0] + share * (lines.ends[i, 1] - lines.ends[i, 0])
            s = omega[0] + share * (omega[1] - omega[0])
            found += weight * lines.metal[i] * s / p.Iw * np.array([s, 1, y, z])
    assert found == pytest.approx([1, 0, 0, 0], abs=1e-8)


@pytest.mark.parametrize("section", [*OPEN, BOX])
def test_sectorial_coordinate_at_any_place(section):
    """The mid-lines' own values on them, linear between; the same a little off them; as many as places."""
    flow = flow_of(section)
    solid = np.flatnonzero(flow.lines.metal)
    for share in (0.0, 0.3, 1.0):
        place = flow.lines.ends[solid, 0] + share * (flow.lines.ends[solid, 1] - flow.lines.ends[solid, 0])
        normal = np.stack([-flow.lines.along[solid, 1], flow.lines.along[solid, 0]], axis=1)
        wanted = flow.omega[solid, 0] + share * (flow.omega[solid, 1] - flow.omega[solid, 0])
        assert sectorial(section, place) == pytest.approx(wanted, abs=1e-6)
        if share == 0.3:
            assert sectorial(section, place + 0.5 * normal) == pytest.approx(wanted, abs=1e-6)


def test_sectorial_coordinate_of_a_thin_channel():
    """e h/2 at the corner of the web and (b - e) h/2 of the other sign at the tip, beyond the tip the tip's; e =
    18.75.  Closed form, from memory.  Walking up the web, left of the shear centre, omega grows with the turn."""
    walls = (Wall("top", (50.0, 50.0), (0.0, 50.0), 3.0), Wall("web", (0.0, 50.0), (0.0, -50.0), 3.0),
             Wall("bottom", (0.0, -50.0), (50.0, -50.0), 3.0))
    places = [(50.0, 50.0), (90.0, 51.5), (0.0, 50.0), (-1.5, 0.0), (0.0, -25.0), (0.0, -50.0), (50.0, -50.0)]
    expected = [-1562.5, -1562.5, 937.5, 0.0, -468.75, -937.5, 1562.5]
    assert sectorial(Section(walls), places) == pytest.approx(expected, abs=1e-6)
    assert sectorial(Section(walls), places[0]).shape == (1,)
