"""Cases with given forces, balanced by inertia: fields from Newton and Euler on masses summed here (mass, centre and
tensor of inertia of members, line masses at their height and listed masses), forces from what the case states."""

from dataclasses import replace
from math import sqrt

import numpy as np
import pytest

from ladderfe.chassis import Damper, Links
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics and rigid body dynamics, rounding only
G = 9806.65  # mm/s2


@pytest.fixture(scope="module", params=["beam axles", "independent front"])
def solved(request, statics, made):
    """Uneven wheels, a mass off the centre line and high, one that came after weighing; nothing is symmetric."""
    path = ((0, 360, 40), (900, 400, 0), (2500, 410, 0), (3000, 410, 120), (4000, 380, 120))
    kind = "independent" if request.param.startswith("ind") else "beam"
    links = Links(kind="pivots", station=700.0, spacing=760.0, height=-120.0, side_height=-480.0)
    c = made.chassis(
        rails=made.rails(path=path),
        crossmembers=tuple(replace(x, height_left=h, height_right=h) for x, h in
                           zip(made.LADDER, (40.0, -10.0, 120.0), strict=True)),
        axles=(
            made.axle("front", 700.0, wheel_loads=(0.47, 0.43), spring_base=780.0, kind=kind, pull=np.inf,
                      links=links if kind == "independent" else None,
                      damper=Damper(station=640.0, spacing=860.0, height=150.0, force=1500.0)),
            made.axle("rear", 3300.0, wheel_loads=(0.44, 0.46), track=1400.0, spring_base=840.0, pull=np.inf),
        ),
        mounts=(made.mount("a", "middle", 1900, 80, -20), made.mount("b", "left rail", 1000, -300, 400)),
        body=made.Body(start=50, end=3950, split=1900, y=30.0),
    )  # fmt: skip
    later = made.mass("sacks", 0.09, (2200, 190, 630), ("a", "b"), aboard=False)
    engine = made.mass("engine", 0.18, (800, -30, 200), ("a", "b"))
    c = statics.fitted(made, c, masses=(engine, later))
    nose = made.CaseSpec(name="nose alone", kind="nose weight", at=("ball",), mass=0.08)
    c = replace(c, cases=(*statics.every_kind(), _up(made), nose))
    return c, solve_chassis(c)


def _up(made):
    return made.CaseSpec(name="up", kind="recovery", at=("ball",), force=3e4, angle=-20.0, up=35.0, against="inertia")


def standing(statics, c, s, name="static"):
    """Static springs (4,) and wheels (4,) N: those of the case static, which tests of standing cases look at."""
    k = s.case(name)
    return s.support_forces[:4, k], s.ground[:, 2, k]


def up(statics, c, forces):
    """(6,) of vertical forces at the four springs."""
    return statics.wrench(statics.spring_places(c), np.outer(forces, [0, 0, 1]))


def same_field(statics, s, name, body, loads):
    """Fields of what was aboard and of what came later, about the datum."""
    k = s.case(name)
    wanted = statics.newton_euler(body, loads)
    size = np.abs(wanted).max()
    for found in (s.field[:, k], s.later_field[:, k]):
        assert found[:3] == pytest.approx(wanted[:3], abs=EXACT * size)
        assert found[3:] == pytest.approx(wanted[3:], abs=EXACT * max(np.abs(wanted[3:]).max(), size / 1e4))


def test_bounce(statics, solved):
    """Springs of both axles, or the front one, push 2.5 times what they carry standing; dampers are part of that."""
    c, s = solved
    springs, _ = standing(statics, c, s)
    body = statics.masses(c, s)
    for name, factors in (("bounce", [2.5, 2.5, 2.5, 2.5]), ("front bounce", [2.5, 2.5, 1, 1])):
        same_field(statics, s, name, body, up(statics, c, factors * springs))
        k = s.case(name)
        assert s.support_forces[:2, k] == pytest.approx(2.5 * springs[:2] - 1500.0, rel=EXACT)
        assert s.support_forces[s.supports.index("front damper left"), k] == 1500.0


def test_bounce_of_both_axles_alike_is_more_weight(statics, solved):
    """2.5 times all springs: straight up by 1.5 g, no turning."""
    _, s = solved
    k = s.case("bounce")
    assert s.field[:, k] == pytest.approx([0, 0, -2.5 * G, 0, 0, 0], abs=EXACT * G)


def couple(c, statics, s, springs):
    """N mm that takes a wheel of the lighter axle off the ground."""
    loads = [springs[2 * k : 2 * k + 2].sum() + a.unsprung * G for k, a in enumerate(c.axles)]
    return min(w * a.track / 2 for w, a in zip(loads, c.axles, strict=True))


def test_limit_twist_and_bump(statics, solved):
    """The couple about x at each axle, opposite; over the spring base (an independent axle: over the track) at the
    springs.  The couple alone has no resultant, so the frame is at rest without weight; with 1 g a bump leaves it as
    standing."""
    c, s = solved
    springs, _ = standing(statics, c, s)
    T = couple(c, statics, s, springs)
    arms = np.repeat([a.spring_base if a.kind == "beam" else a.track for a in c.axles], 2)
    twist = T / arms * [1, -1, -1, 1]
    k = s.case("limit twist")
    assert s.support_forces[:4, k] == pytest.approx(twist, rel=EXACT)
    assert s.field[:, k] == pytest.approx(np.zeros(6), abs=EXACT * G)
    k = s.case("bump")  # rear right up pushes as front left up does
    assert s.support_forces[:4, k] == pytest.approx(springs + 1.3 * twist, rel=EXACT)
    assert s.field[:, k] == pytest.approx([0, 0, -G, 0, 0, 0], abs=EXACT * G)
    moved = s.ground[:, 2, k] - s.ground[:, 2, s.case("static")]
    tracks = np.repeat([a.track for a in c.axles], 2)
    assert moved == pytest.approx(1.3 * T / tracks * [1, -1, -1, 1], rel=EXACT)  # the other axle's the other way round


def test_pothole(statics, solved):
    """4.5 times the wheel's load rearward and, at the edge of a step of 150 mm on a wheel of 370 mm, upward as the line
    from edge to hub leans: 220 over sqrt(370^2 - 220^2); through the wheel's centre, all of it on the sprung masses."""
    c, s = solved
    springs, wheels = standing(statics, c, s)
    lean = 220 / sqrt(370**2 - 220**2)
    push = 4.5 * wheels[0] * np.array([1, 0, lean])
    hub = statics.feet(c, hub=True)[0]
    same_field(statics, s, "pothole", statics.masses(c, s), up(statics, c, springs) + statics.wrench(hub, push))
    k = s.case("pothole")
    assert s.ground[0, :, k] == pytest.approx([push[0], 0, push[2] + wheels[0]], rel=EXACT, abs=1e-9)
    assert s.ground[1:, 2, k] == pytest.approx(wheels[1:], rel=EXACT)


@pytest.mark.parametrize(("name", "side", "axles"), [("kerb", "right", (0, 1)), ("one kerb", "left", (1,))])
def test_kerb_strike(statics, solved, name, side, axles):
    """The wheels that hit carry all of their axles' load and 1.4 times load x track/2h inward, h the height of the
    laden vehicle's centre of gravity, sacks included; at the ground, all of it on the sprung masses."""
    c, s = solved
    springs, wheels = standing(statics, c, s)
    feet, near = statics.feet(c), 0 if side == "left" else 1
    loads = up(statics, c, springs)
    height = statics.vehicle(c, s).centre[2] - c.ground
    assert height > c.centre_height + 10
    ground = np.zeros((4, 3))
    ground[:, 2] = wheels
    for k in axles:
        i, j = 2 * k + near, 2 * k + 1 - near
        load, across = wheels[i] + wheels[j], (1 if side == "left" else -1)
        push = 1.4 * load * c.axles[k].track / 2 / height * across
        ground[i], ground[j] = (0, push, load), (0, 0, 0)
        loads = loads + statics.wrench(feet[i], (0, push, wheels[j])) + statics.wrench(feet[j], (0, 0, -wheels[j]))
    same_field(statics, s, name, statics.masses(c, s), loads)
    assert s.ground[:, :, s.case(name)] == pytest.approx(ground, rel=EXACT, abs=1e-9)


def test_kerb_force_is_that_which_tips(statics, made):
    """Equal tracks, factor 1, both axles: m g t/2h in all."""
    case = made.CaseSpec(name="kerb", kind="kerb strike", side="left")
    c = statics.fitted(made, cases=(made.STATIC, case))
    s = solve_chassis(c)
    assert s.ground[:, 1, s.case("kerb")].sum() == pytest.approx(1.8 * G * 1480 / (2 * 700), rel=EXACT)


def test_recovery_against_inertia(statics, solved):
    """One point 15 degrees right and forward, and 35 degrees up to the rear: pull and springs on the free body."""
    c, s = solved
    springs, _ = standing(statics, c, s)
    body = statics.masses(c, s)
    for name, place, way in (
        ("recovery", "left eye", 2e4 * np.array([-np.cos(np.pi / 12), np.sin(np.pi / 12), 0])),
        ("up", "ball", 3e4 * np.array([np.cos(np.radians(20)) * np.cos(np.radians(35)),
                                       -np.sin(np.radians(20)) * np.cos(np.radians(35)), np.sin(np.radians(35))])),
    ):  # fmt: skip
        loads = up(statics, c, springs) + statics.wrench(statics.mount(c, place), way)
        same_field(statics, s, name, body, loads)


def test_bridle_on_the_frame(statics, solved):
    """Two legs that meet 700 mm ahead, pulled 10 degrees to the right and 8 up: each leg along the line from its eye to
    where they meet, and both together the pull."""
    c, s = solved
    springs, _ = standing(statics, c, s)
    k = s.case("bridle")
    legs = np.array([[s.support_forces[s.supports.index(f"{n}, along {w}"), k] for w in "xyz"]
                     for n in ("left eye", "right eye")])  # fmt: skip
    a, b = np.radians([10, 8])
    whole = 2e4 * np.array([-np.cos(a) * np.cos(b), np.sin(a) * np.cos(b), np.sin(b)])
    assert legs.sum(axis=0) == pytest.approx(whole, rel=EXACT)
    eyes = [statics.mount(c, n) for n in ("left eye", "right eye")]
    ahead = np.array([whole[0], 0, whole[2]]) / np.hypot(whole[0], whole[2])
    apex = (eyes[0] + eyes[1]) / 2 + 700 * ahead
    for leg, eye in zip(legs, eyes, strict=True):
        assert np.cross(leg, apex - eye) == pytest.approx(np.zeros(3), abs=1e-9 * 2e4 * 700)
    loads = up(statics, c, springs) + sum(statics.wrench(e, f) for e, f in zip(eyes, legs, strict=True))
    same_field(statics, s, "bridle", statics.masses(c, s), loads)


def test_whip(statics, solved):
    """Rear springs as standing with 80 kg at the ball, 2.5 times that beside through the stops; the 80 kg move with the
    frame, and pull there with what their mass times field is."""
    c, s = solved
    springs, _ = standing(statics, c, s, "nose alone")
    ball = statics.mount(c, "ball")
    more = springs - standing(statics, c, s)[0]
    lever = (ball[0] - 700) / 2600  # of the rear axle
    assert [more[:2].sum(), more[2:].sum()] == pytest.approx(0.08 * G * np.array([1 - lever, lever]), rel=EXACT)
    body = statics.masses(c, s).plus(0.08, ball)
    loads = up(statics, c, springs * [1, 1, 3.5, 3.5])
    same_field(statics, s, "whip", body, loads)
    k = s.case("whip")
    field = s.field[:, k]
    hung = 0.08 * (field[:3] + np.cross(field[3:], ball))
    got = [s.support_forces[s.supports.index(f"ball, along {w}"), k] for w in "xyz"]
    assert got == pytest.approx(hung, rel=EXACT, abs=EXACT * np.abs(hung).max())
    assert hung[2] < -2 * 0.08 * G  # the overhang whips: more than twice its weight
    for side, spring in (("left", springs[2]), ("right", springs[3])):
        assert s.support_forces[s.supports.index(f"rear stop {side}"), k] == pytest.approx(2.5 * spring, rel=EXACT)
    assert s.support_forces[2:4, k] == pytest.approx(springs[2:], rel=EXACT)
    assert (s.share[k], s.tips[k]) == (1.0, "")


def test_whip_with_factor_1_stands(statics, made):
    """Nothing strikes: the frame and its wheels as standing with the nose weight, at 1 g."""
    whip = made.CaseSpec(name="whip", kind="rear overhang whip", at=("ball",), mass=0.3)
    nose = replace(whip, name="nose", kind="nose weight")
    s = solve_chassis(statics.fitted(made, cases=(made.STATIC, whip, nose)))
    k, j = s.case("whip"), s.case("nose")
    assert s.field[:, k] == pytest.approx([0, 0, -G, 0, 0, 0], abs=EXACT * G)
    assert s.support_forces[:, k] == pytest.approx(s.support_forces[:, j], rel=EXACT, abs=1e-6)
    assert s.ground[:, :, k] == pytest.approx(s.ground[:, :, j], rel=EXACT, abs=1e-6)


def test_a_nose_weight_that_tips_the_standing_vehicle_whips_as_far_as_it_is_borne(statics, made):
    """m g x 690 mm behind the rear axle against 0.9 t x 2600 mm: 3.391 t at most, of 5 t; the front axle is then off
    the ground and gives nothing, the rear one all."""
    whip = made.CaseSpec(name="whip", kind="rear overhang whip", factor=3.0, at=("ball",), mass=5.0)
    c = statics.fitted(made, cases=(made.STATIC, whip))
    s = solve_chassis(c)
    k, most = s.case("whip"), 0.9 * 2600 / 690
    assert s.share[k] * 5.0 == pytest.approx(most * (1 - 1e-6), rel=EXACT)
    assert s.tips[k].startswith("tips over about the line through rear left wheel and rear right wheel")
    rear = (0.75 + most * 3290 / 2600) * G  # sprung
    stops = sum(s.support_forces[s.supports.index(f"rear stop {side}"), k] for side in ("left", "right"))
    assert stops == pytest.approx(2.0 * rear, rel=2e-6)
    body = statics.masses(c, s).plus(s.share[k] * 5.0, statics.mount(c, "ball"))
    springs = s.support_forces[:4, k]
    same_field(statics, s, "whip", body, up(statics, c, springs * [1, 1, 3, 3]))


def test_limit_couples_of_9_kn(made):
    """9 kN on the lighter axle at 1.48 m: 6.66 kN m, 8.66 with 1.3; at springs 0.8 m apart +-8.3 and 10.8 kN.  Own
    arithmetic; the rule: Motor Vehicle Structures: Concepts and Fundamentals (2002), load cases (excerpt read)."""
    axles = (made.axle("front", made.FRONT, 9e3 / G), made.axle("rear", made.REAR, 11e3 / G))
    twist = made.CaseSpec(name="twist", kind="limit twist", wheels=("front left",))
    s = solve_chassis(made.chassis(axles=axles, cases=(made.STATIC, twist, replace(twist, name="more", factor=1.3))))
    for name, couple in (("twist", 6.66e6), ("more", 8.658e6)):
        got = s.support_forces[:4, s.case(name)]
        assert got == pytest.approx(couple / 800 * np.array([1, -1, -1, 1]), rel=EXACT)
