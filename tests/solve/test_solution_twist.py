"""An open rail under an eccentric line load, and joints of the file: closed forms through the whole frame.

Torsion here is St-Venant's alone; warping restrained at the ends would hold the rail back.
"""

import numpy as np
import pytest

from ladderfe.sections import properties
from ladderfe.solve import solve_chassis

EXACT = 1e-9
KG = 9.80665
E, G = 205_000.0, 205_000.0 / 2.6
L = 3000.0
DEPTH, WIDTH, WALL = 150.0, 60.0, 4.0


def forked(made, outward, opens="-y"):
    """Two channel rails of 3000 mm between massive crossmembers at both ends, on springs there: each rail is simply
    supported in the vertical plane (the left joints are free about y, so that nothing holds the slope); forks."""
    joint = {"joint_left": made.free("ry")}
    ends = tuple(made.cross(n, x, made.box(500, 500, 30), **joint) for n, x in (("front", 0.0), ("rear", L)))
    return made.chassis(
        rails=made.rails(made.channel(DEPTH, WIDTH, WALL, opens), path=((0, 400, 0), (L, 400, 0))),
        crossmembers=ends, material=made.WEIGHTLESS,
        axles=(made.axle("front", 0.0), made.axle("rear", L)),
        body=made.Body(start=0, end=L, split=L / 2, y=outward),
        mounts=(made.mount("mid left", "left rail", L / 2, -400), made.mount("mid right", "right rail", L / 2, 400)),
    )  # fmt: skip


def movement(s, mount):
    n = s.mesh.places[mount].node
    return s.movements[s.frame.start[n] : s.frame.start[n] + 6, s.case("static")]


def end_movement(s, name):
    n = int(s.mesh.ends[s.mesh.part(name).first, 0])
    return s.movements[s.frame.start[n] : s.frame.start[n] + 6, s.case("static")]


Q = 750 * KG * 2 / (2 * L)  # N/mm on each rail: 2 x 750 kg sprung


def shear_centre():
    """y of the right rail's shear centre from the middle of its outline: e = 3 b^2/(6 b + h) outside the web's line.
    Source: thin channel, any text on strength of materials (from memory)."""
    b, h = WIDTH - WALL / 2, DEPTH - WALL
    return WIDTH / 2 - WALL / 2 + 3 * b**2 / (6 * b + h)


@pytest.mark.parametrize("outward", [0.0, 100.0, -40.0])
def test_an_eccentric_line_load_twists_a_channel_rail(made, outward):
    """St-Venant torsion between forks: the middle turns by m L^2/(8 G J), J = sum b t^3/3, m = q x distance of the load
    from the shear centre; T at the ends m L/2.  Open inward, the shear centre lies outside the rail's outline."""
    s = solve_chassis(forked(made, outward))
    J = ((DEPTH - WALL) + 2 * (WIDTH - WALL / 2)) * WALL**3 / 3
    m = -Q * (
        outward - shear_centre()
    )  # about +x on the right rail: down at the right of the centre turns it clockwise
    turned = movement(s, "mid right")[3] - end_movement(s, "right rail")[3]
    assert turned == pytest.approx(
        m * L**2 / (8 * G * J), rel=1e-6
    )  # thin-wall e and J agree with the section's to 1e-7
    left = movement(s, "mid left")[3] - end_movement(s, "left rail")[3]
    assert left == pytest.approx(-turned, rel=EXACT)
    first = s.mesh.part("right rail").first
    torque = s.resultants(np.array([first]), np.array([0.0]))[0, 3, s.case("static")]
    assert torque == pytest.approx(m * L / 2, rel=1e-6)


def test_vertical_bending_does_not_feel_where_the_load_acts(made):
    """My along the rail is q x (L - x)/2 whatever the offset; the shear centre at the middle goes down by
    5 q L^4/(384 E I) + q L^2/(8 G A_s)."""
    seen = []
    for outward in (0.0, 150.0):
        s = solve_chassis(forked(made, outward))
        c, part = s.case("static"), s.mesh.part("right rail")
        x = np.linspace(0, L / 2, 7)
        r = s.resultants(np.full(7, part.first), x)[:, :, c]
        assert -r[:, 4] == pytest.approx(Q * x * (L - x) / 2, abs=EXACT * Q * L**2)
        seen.append(r[:, 4])
        second = (WIDTH * DEPTH**3 - (WIDTH - WALL) * (DEPTH - 2 * WALL) ** 3) / 12
        area = 1 / properties(s.mesh.sections[int(s.mesh.section_of[part.first])]).shear[1, 1]
        middle, end = movement(s, "mid right"), end_movement(s, "right rail")
        sunk = (middle[2] + shear_centre() * middle[3]) - (end[2] + shear_centre() * end[3])
        bent = 5 * Q * L**4 / (384 * E * second) + Q * L**2 / (8 * G * area)
        assert sunk == pytest.approx(-bent, rel=1e-6)  # by the thin-wall place of the shear centre
    assert seen[0] == pytest.approx(seen[1], abs=EXACT * Q * L**2)


def test_a_load_through_the_shear_centre_does_not_twist(made):
    s = solve_chassis(forked(made, shear_centre()))
    first = s.mesh.part("right rail").first
    torque = s.resultants(np.array([first]), np.array([0.0]))[0, 3, s.case("static")]
    assert abs(torque) < 1e-5 * Q * L * WIDTH


def test_channels_that_open_outward_have_their_shear_centre_inside(made):
    s = solve_chassis(forked(made, 0.0, opens="+y"))
    turned = movement(s, "mid right")[3] - end_movement(s, "right rail")[3]
    other = solve_chassis(forked(made, 0.0))
    expected = movement(other, "mid right")[3] - end_movement(other, "right rail")[3]
    assert turned == pytest.approx(-expected, rel=1e-6)


# --- joints of the file -------------------------------------------------------------------------------------------

P = 200 * KG  # N, hung on the middle of a crossmember
SPAN = 800.0  # mm, from rail middle to rail middle, as it passes below them


def hung(made, joint):
    """200 kg on the middle of a slender crossmember below rails 400 x 300 x 20, which two massive ones beside it keep
    from rolling."""
    massive = tuple(made.cross(f"at {x}", x, made.box(500, 400, 30)) for x in (1750, 2050))
    return made.chassis(
        rails=made.rails(made.box(400, 300, 20)), material=made.WEIGHTLESS,
        crossmembers=(*massive, made.cross("beam", 1900, made.CROSS, height=-240, joint_left=joint, joint_right=joint)),
        mounts=(made.mount("hook", "beam", 1900, 0.0, -240),),
        masses=(made.mass("weight", 0.2, (1900, 0, -240), ("hook",), aboard=False),),
        axles=(made.axle("front", 700.0, unsprung=0.15), made.axle("rear", 3300.0)),
    )  # fmt: skip


def end_moments(s):
    """Moments that the weight brings to both ends and the middle of the crossmember, sagging positive."""
    part = s.mesh.part("beam")
    at = np.array([0.0, s.mesh.lengths[part.first], s.mesh.lengths[part.last - 1]])
    r = s.resultants(np.array([part.first, part.first, part.last - 1]), at)[:, 4]
    return -(r[:, s.case("static")] - r[:, 0])


def second_moment():
    return (60 * 80**3 - 56 * 76**3) / 12


@pytest.mark.parametrize("rate", [0.0, 2e7, 2e8])
def test_sprung_ends_carry_their_part_of_the_fixed_end_moment(made, rate):
    """Central load between rotational springs: end moment (P L/8)/(1 + 2 E I/(k L)), nothing where released, P L/4 less
    that in the middle.  Closed form of the sprung beam, derived here; rails roll by some 2e-4 of the joints' angle."""
    joint = made.free("rx") if rate == 0 else made.sprung(rx=rate)
    left, middle, right = end_moments(solve_chassis(hung(made, joint)))
    end = P * SPAN / 8 / (1 + 2 * E * second_moment() / (rate * SPAN)) if rate else 0.0
    assert -left == pytest.approx(end, rel=1e-3, abs=EXACT * P * SPAN)
    assert right == pytest.approx(left, rel=EXACT, abs=EXACT * P * SPAN)
    assert middle == pytest.approx(P * SPAN / 4 + left, rel=EXACT)


def test_a_very_stiff_joint_is_a_rigid_one(made):
    soft, rigid = (end_moments(solve_chassis(hung(made, made.sprung(rx=k)))) for k in (1e15, float("inf")))
    assert soft == pytest.approx(rigid, rel=1e-5)  # 1e15 N mm/rad against some 1e10 of the crossmember


def test_joints_are_sprung_about_the_vehicles_axes_whatever_the_member(made):
    """A joint free about y lets a crossmember twist freely: no torque, while the frame holds."""
    joint = made.free("ry")
    c = made.chassis(
        crossmembers=(*made.LADDER[::2], made.cross("beam", 1900, joint_left=joint)),
        mounts=(made.mount("tray", "left rail", 1300, -520),),
        masses=(made.mass("box", 0.1, (1300, -520, 0), ("tray",), aboard=False),),
    )
    s = solve_chassis(c)
    m = s.mesh.part("beam").first
    torque = s.resultants(np.array([m, s.mesh.part("rear").first]), np.zeros(2))[:, 3, s.case("static")]
    assert abs(torque[0]) < EXACT * abs(torque[1])
