"""What single forces of a case do inside a rail: jumps of its resultants at the eye, pivot, track bar, damper, by hand.

Straight weightless rails whose one kink is the force: N falls by a rearward force, Vz by an upward one."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import Damper, Links
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics, rounding only
G = 9806.65  # mm/s2
ARMS = Links(kind="arms", station=1500.0, spacing=800.0, height=-80.0, side_height=-95.0)
EYES = Links(kind="eyes", station=250.0, spacing=800.0, height=-70.0, side_height=-110.0)


def braked(made, links, **more):
    """Braking at 0.8 g and a turn at 0.4 g; the front axle on these links."""
    front = made.axle("front", 700.0, pull=np.inf, links=links, **more)
    cases = (made.STATIC, made.CaseSpec(name="brake", kind="braking", acceleration=0.8),
             made.CaseSpec(name="turn", kind="cornering", acceleration=0.4),
             made.CaseSpec(name="bounce", kind="bounce", factor=2.0, axle="front"))  # fmt: skip
    c = made.chassis(material=made.WEIGHTLESS, axles=(front, made.AXLES[1]), cases=cases, joint_model="springs")
    return c, solve_chassis(c)


def jump(s, station, case, side="left"):
    """(6,) N Vy Vz T My Mz just in front of a station of a rail less those just behind it."""
    part = s.mesh.part(f"{side} rail")
    after = next(m for m in part.members if s.mesh.along[m, 0] == station)
    r = s.resultants(np.array([after - 1, after]), np.array([s.mesh.lengths[after - 1], 0.0]))
    return (r[0] - r[1])[:6, s.case(case)]


def axle_in(s, case, g=0.8):
    """Fore-aft force per side at the ground, what an axle adds by its own inertia there, and both together, N."""
    ground = s.ground[0, 0, s.case(case)]
    own = -0.15 * g * G / 2
    return ground, own, ground + own


def test_the_fixed_eye_takes_the_brake_force(made):
    """N falls by ground force less the axle's own inertia; eye 70 mm under the rail: a moment X x 70; wind-up between
    the eyes: C/900 up at the one, down at the other, C = X (ground - eye) + own (hub - eye)."""
    _, s = braked(made, EYES, seats=((250.0, 0.5), (1150.0, 0.5)))
    ground, own, force = axle_in(s, "brake")
    wind = ground * (-550 + 70) + own * (-180 + 70)
    spring = s.support_forces[0, s.case("brake")]
    front, rear = jump(s, 250.0, "brake"), jump(s, 1150.0, "brake")
    assert force > 3000
    # resultants act on the face that looks rearward: N(+) = N(-) - force rearward
    assert front[0] == pytest.approx(force, rel=EXACT)
    assert rear[0] == pytest.approx(0, abs=1e-6)
    assert front[4] == pytest.approx(force * -70, rel=EXACT)  # couple z x force about y
    assert front[2] == pytest.approx(spring / 2 + wind / 900, rel=EXACT)
    assert rear[2] == pytest.approx(spring / 2 - wind / 900, rel=EXACT)
    assert wind < 0  # braking turns the axle's top forward: front eye pulled down, rear eye pushed up


def test_anti_lift_of_an_arm(made):
    """Arms 800 mm long behind the axle, fixed to it: braking pushes their pivots up by C/800 each and takes as much off
    the springs above the axle; N falls at the pivot."""
    _, s = braked(made, ARMS)
    k = s.case("brake")
    ground, own, force = axle_in(s, "brake")
    wind = ground * (-550 + 80) + own * (-180 + 80)
    pivot = jump(s, 1500.0, "brake")
    assert pivot[0] == pytest.approx(force, rel=EXACT)
    assert pivot[2] == pytest.approx(wind / (700 - 1500), rel=EXACT)
    assert pivot[4] == pytest.approx(force * -80, rel=EXACT)
    wheels = s.ground[:2, 2, k].sum()
    assert s.support_forces[:2, k].sum() == pytest.approx(wheels - 0.15 * G - 2 * wind / (700 - 1500), rel=EXACT)
    assert jump(s, 700.0, "brake")[2] == pytest.approx(s.support_forces[0, k], rel=EXACT)
    assert pivot[2] > 2000  # the pivots are pushed up: the front dives less


def test_a_track_bar_takes_the_side_force_on_one_rail(made):
    """Y of both wheels at the bracket, 95 mm under the right rail and 50 mm inward of it; none on the left rail.  Half
    the yaw of a bar that is not above the axle at each eye, over their spacing."""
    links = replace(EYES, side_station=640.0, side_y=350.0, side_height=-95.0)
    _, s = braked(made, links, seats=((250.0, 0.5), (1150.0, 0.5)))
    across = s.ground[:2, 1, s.case("turn")].sum() + 0.15 * 0.4 * G  # turning left: the ground pushes to the left
    right, left = jump(s, 640.0, "turn", "right"), jump(s, 250.0, "turn")
    assert across < -2500
    assert right[1] == pytest.approx(across, rel=EXACT)
    assert right[3] == pytest.approx(across * 95, rel=EXACT)  # about x: -(z) Y
    yaw = (640 - 700) * across / 800  # fore-aft pair at the eyes
    assert left[0] == pytest.approx(-yaw, rel=EXACT)
    assert jump(s, 250.0, "turn", "right")[0] == pytest.approx(yaw, rel=EXACT)
    assert left[1] == pytest.approx(0, abs=1e-6)


def test_side_forces_on_both_eyes(made):
    """Without a bar each eye takes a quarter of the axle's side force at the roll centre's height."""
    _, s = braked(made, EYES, seats=((250.0, 0.5), (1150.0, 0.5)))
    across = s.ground[:2, 1, s.case("turn")].sum() + 0.15 * 0.4 * G
    for station in (250.0, 1150.0):
        for side in ("left", "right"):
            got = jump(s, station, "turn", side)
            assert got[1] == pytest.approx(across / 4, rel=EXACT)
            assert got[3] == pytest.approx(across / 4 * 110, rel=EXACT)


def test_a_damper_takes_its_part_off_the_spring(made):
    """1.2 kN each at 600 mm, the axle at 700: the springs bring the rest, and the eyes the couple of 100 mm."""
    damper = Damper(station=600.0, spacing=800.0, height=100.0, force=1200.0)
    _, s = braked(made, EYES, seats=((250.0, 0.5), (1150.0, 0.5)), damper=damper)
    assert jump(s, 600.0, "bounce")[2] == pytest.approx(1200, rel=EXACT)
    rest = 2 * 0.75 * G / 2 - 1200
    assert jump(s, 250.0, "bounce")[2] == pytest.approx(rest / 2 - 1200 * 100 / 900, rel=EXACT)
    assert jump(s, 1150.0, "bounce")[2] == pytest.approx(rest / 2 + 1200 * 100 / 900, rel=EXACT)


def test_a_damper_beside_an_arm(made):
    """An arm's pivot takes the damper's couple, 1200 x 100 over 800 mm, and the spring gives that back."""
    damper = Damper(station=600.0, spacing=800.0, height=100.0, force=1200.0)
    _, s = braked(made, ARMS, damper=damper)
    lift = -1200 * 100 / (700 - 1500)
    assert jump(s, 1500.0, "bounce")[2] == pytest.approx(lift, rel=EXACT)
    assert jump(s, 700.0, "bounce")[2] == pytest.approx(2 * 0.75 * G / 2 - 1200 - lift, rel=EXACT)


def test_pivots_of_an_independent_wheel(made):
    """Each pivot takes X and Y of its own wheel, the couple X (ground - pivot), and about z X x 370 mm that the wheel
    is farther out."""
    links = Links(kind="pivots", station=640.0, spacing=740.0, height=-120.0, side_height=-480.0)
    _, s = braked(made, links, kind="independent")
    ground, own, force = axle_in(s, "brake")
    got = jump(s, 640.0, "brake")
    assert got[0] == pytest.approx(force, rel=EXACT)
    wind = ground * (-550 + 120) + own * (-180 + 120)
    assert got[4] == pytest.approx(force * -120 + wind, rel=EXACT)
    assert got[5] == pytest.approx(-force * 30 + force * 370, rel=EXACT)  # pivot 30 mm inward of the rail: -y X; yaw
    across = jump(s, 640.0, "turn")
    assert across[1] == pytest.approx(s.ground[0, 1, s.case("turn")] + 0.15 * 0.4 * G / 2, rel=EXACT)


def test_a_pull_comes_in_at_its_mount(statics, made):
    """20 kN on the eye 10 mm above the left rail: N grows there by what points forward, Vy and the moments follow."""
    case = made.CaseSpec(name="pull", kind="recovery", at=("left eye",), force=2e4, angle=30.0, against="inertia")
    c = statics.fitted(made, made.chassis(material=made.WEIGHTLESS, joint_model="springs"), cases=(made.STATIC, case))
    s = solve_chassis(c)
    got = jump(s, 60.0, "pull")
    x, y = -2e4 * np.cos(np.pi / 6), 1e4
    assert got[:2] == pytest.approx([x, y], rel=EXACT)
    assert got[3:5] == pytest.approx([-10 * y, 10 * x], rel=EXACT)
