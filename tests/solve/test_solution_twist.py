"""An open rail under an eccentric line load, and joints of the file: closed forms through the whole frame.

Torsion is St-Venant's and warping's together (V. Z. Vlasov's mixed torsion), its ends free to warp: crossmembers meet
the webs in the middle, where nothing warps along the rail, and turn about y with them.
"""

from math import cosh, sqrt

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


def thin_channel():
    """J = sum b t^3/3 and Iw = t h^2 b^3 (3 b + 2 h)/(12 (6 b + h)) of the mid-lines: thin channel, any text on thin
    walls (from memory)."""
    b, h = WIDTH - WALL / 2, DEPTH - WALL
    return (h + 2 * b) * WALL**3 / 3, WALL * h**2 * b**3 * (3 * b + 2 * h) / (12 * (6 * b + h))


def twist_and_bimoment(torque, shear=0.0, coupling=0.0):
    """Twist and bimoment in the middle of a beam in forks, free to warp there, under a torque per length: integrating
    GJ theta' + B' = m (L/2 - x) with B'' = k^2 B - rho (m + GJ c q) and B = 0 at the ends gives

        B = rho (m + GJ c q)/k^2 (1 - 1/cosh(kL/2)),   theta = (m L^2/8 - B)/GJ,   k^2 = rho GJ/E Iw.

    Vlasov's theory with rho = 1 and c = 0.  With the shear strain of warping, theta' = f + `shear` B' + `coupling` Vz,
    rho = 1/(1 + GJ shear): our own derivation."""
    J, Iw = thin_channel()
    rho = 1 / (1 + G * J * shear)
    k = sqrt(rho * G * J / (E * Iw))
    bimoment = rho * (torque + G * J * coupling * Q) / k**2 * (1 - 1 / cosh(k * L / 2))
    return (torque * L**2 / 8 - bimoment) / (G * J), bimoment


def of_warping(s):
    """Twist by a unit warping torque and shear strain by it, 1/(N mm2) and 1/(N mm), of the rail's section (checked in
    tests/sections)."""
    q = properties(s.mesh.sections[int(s.mesh.section_of[s.mesh.part("right rail").first])])
    return q.warp_shear / G, q.warp_coupling[1] / G


@pytest.mark.parametrize("outward", [0.0, 100.0, -40.0])
def test_an_eccentric_line_load_twists_a_channel_rail(made, outward):
    """Mixed torsion between forks, m = q x distance of the load from the shear centre; T at the ends m L/2.  Open
    inward, the shear centre lies outside the rail's outline.  St-Venant's torsion alone, m L^2/(8 GJ), would be half as
    much again and more; the shear strain of warping is worth less than 1 % on 3 m."""
    s = solve_chassis(forked(made, outward))
    m = -Q * (outward - shear_centre())  # about +x on the right rail: down at the right of the centre turns clockwise
    expected, bimoment = twist_and_bimoment(m, *of_warping(s))
    turned = movement(s, "mid right")[3] - end_movement(s, "right rail")[3]
    assert turned == pytest.approx(expected, rel=1e-6)  # thin-wall e, J and Iw agree with the section's to 1e-7
    assert turned == pytest.approx(twist_and_bimoment(m)[0], rel=1e-2)
    assert abs(m * L**2 / (8 * G * thin_channel()[0])) > 1.5 * abs(turned)
    left = movement(s, "mid left")[3] - end_movement(s, "left rail")[3]
    assert left == pytest.approx(-turned, rel=EXACT)
    own, c = s.mesh.part("right rail"), s.case("static")
    middle = next(i for i in own.members if s.mesh.along[i, 0] == L / 2)
    r = s.resultants(np.array([own.first, middle]), np.zeros(2))[:, :, c]
    assert r[0, 3] == pytest.approx(m * L / 2, rel=1e-6)
    assert r[:, 6] == pytest.approx([0, bimoment], rel=1e-6, abs=1e-6 * abs(bimoment))


def test_vertical_bending_does_not_feel_where_the_load_acts(made):
    """My along the rail is q x (L - x)/2 whatever the offset; the shear centre at the middle goes down by
    5 q L^4/(384 E I) + q L^2/(8 G A_s), less what the warping torque shears the walls upright: c B, its share (our own
    derivation; some 1e-3)."""
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
        _, bimoment = twist_and_bimoment(-Q * (outward - shear_centre()), *of_warping(s))
        with_warping = -bent + of_warping(s)[1] * bimoment
        assert sunk == pytest.approx(with_warping, rel=1e-6)  # by the thin-wall place of the shear centre
        assert sunk == pytest.approx(-bent, rel=5e-3)
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
    """200 kg on the middle of a slender crossmember below rails 400 x 300 x 80, which two massive ones beside it keep
    from rolling and whose flanges hardly bend across."""
    massive = tuple(made.cross(f"at {x}", x, made.box(500, 400, 30)) for x in (1750, 2050))
    return made.chassis(
        rails=made.rails(made.box(400, 300, 80)), material=made.WEIGHTLESS,
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
