"""Frames on axles against hand calculations: springs in series, limit couple, balance of a beam axle, stops, straps."""

from math import inf, pi

import numpy as np
import pytest

from ladderfe.cases.axle_links import raised, weighed_link_forces
from ladderfe.cases.suspension import Stand, Suspension
from ladderfe.solve.contact import level_set_up, stand, weighed_set_up
from ladderfe.solve.lift_path import lift_path
from ladderfe.solve.on_wheels import frame_forces, link_movements

EXACT = 1e-9  # closed forms, rounding only
DEGREE = 180 / pi
TRACK, BASE, RATE = 1480.0, 1000.0, 40.0
FRAME = 2000e3 * DEGREE  # 2000 N m/deg in N mm/rad
WHEELS = ("front left wheel", "front right wheel", "rear left wheel", "rear right wheel")
SPRINGS = ("front left spring", "front right spring", "rear left spring", "rear right spring")


def kg(newtons, contacts):
    return newtons / contacts.G * 1000


def two_axles(contacts, *, front=9000.0, rear=11000.0, unsprung=1600.0, twist=FRAME, each=None, **axle):
    """Beam axles of 9 and 11 kN with 1.6 kN below the springs each, leaf-like springs that can pull."""
    each = {"pull": inf} if each is None else each
    make = [
        contacts.axle(
            name, x, load=kg(load, contacts), unsprung=kg(unsprung, contacts), track=TRACK, base=BASE, rate=RATE, **axle
        )
        for name, x, load in (("front", 0.0, front), ("rear", 2400.0, rear))
    ]
    return contacts.vehicle([Suspension(axle=a, **each) for a in make], twist=twist)


def level(v):
    return level_set_up(v.problem, v.g, v.loads)


def standing(v, *heights, loads=None):
    """Cases with wheels raised by {name: mm}, from level ground."""
    set_up = np.stack([level(v) + raised(v.system, h) for h in heights], axis=1)
    q = np.repeat(v.loads[:, None], len(heights), axis=1) if loads is None else loads
    return stand(v.problem, np.repeat(v.g[:, None], set_up.shape[1], axis=1), q, set_up)


def couple(v, forces, axle, arm=BASE, of="spring"):
    """N mm that an axle's springs (or wheels) put in, left up."""
    left, right = v.pick(forces, f"{axle} left {of}", f"{axle} right {of}")
    return (left - right) * arm / 2


def test_springs_and_frame_in_series(contacts):
    """k = 40 N/mm at 1.0 m is 349 N m/deg per axle; with a frame of 2000 N m/deg 161 N m/deg; one wheel raised by
    0.40 m at a track of 1.48 m is 15.5 degrees: 2.5 kN m.  1/K = 1/K_front + 1/K_rear + 1/K_frame, K = k s^2/2: closed
    form; the numbers: own arithmetic, rounded as printed."""
    v = two_axles(contacts)
    axle = RATE * BASE**2 / 2
    K = 1 / (2 / axle + 1 / FRAME)
    assert axle / DEGREE / 1000 == pytest.approx(349, abs=0.5)
    assert pytest.approx(161, abs=0.5) == K / DEGREE / 1000
    assert pytest.approx(15.5, abs=0.05) == 400 / TRACK * DEGREE
    got = standing(v, {}, {"front left wheel": 400.0})
    change = got.forces[:, 1] - got.forces[:, 0]
    torque = couple(v, change, "front")
    assert torque == pytest.approx(K * 400 / TRACK, rel=EXACT)
    assert torque == pytest.approx(2.5e6, rel=0.01)
    assert couple(v, change, "rear") == pytest.approx(-torque, rel=EXACT)
    assert couple(v, change, "front", TRACK, "wheel") == pytest.approx(torque, rel=EXACT)
    assert got.down[:, 1].all()


def test_limit_couple_and_the_height_of_lift(contacts):
    """The lighter axle's 9 kN, unsprung included, over half the track: 6.66 kN m, at T t/K of height; more height
    brings no more couple.  Without the 1.6 kN unsprung it would be 5.48 kN m, which is wrong."""
    v = two_axles(contacts)
    K = 1 / (2 / (RATE * BASE**2 / 2) + 1 / FRAME)
    path = lift_path(v.problem, v.g, v.loads, level(v), raised(v.system, {WHEELS[0]: 1.0}), 1500.0)
    assert [(c.support, c.lifts) for c in path.changes] == [("front right wheel", True)]
    limit = 9000 * TRACK / 2
    assert limit == pytest.approx(6.66e6)
    assert path.changes[0].height == pytest.approx(limit / K * TRACK, rel=EXACT)
    for j in (1, 2):
        torque = couple(v, path.forces[:, j] - path.forces[:, 0], "front")
        assert torque == pytest.approx(limit, rel=EXACT)
        assert torque != pytest.approx((9000 - 1600) * TRACK / 2, rel=0.1)  # 5.48e6
    assert path.height[-1] == 1500
    assert path.opening[v.at("front right wheel"), 2] == pytest.approx((1500 - limit / K * TRACK), rel=EXACT)


def test_superposition_ends_where_a_wheel_lifts(contacts):
    """Two wheels raised singly and together: sums agree while all are down and do not after a lift."""
    v = two_axles(contacts)
    for low, holds in ((200.0, True), (700.0, False)):
        a, b = {"front left wheel": low}, {"rear right wheel": low}
        p = standing(v, {}, a, b, {**a, **b}).forces
        lack = np.abs((p[:, 1] - p[:, 0]) + (p[:, 2] - p[:, 0]) - (p[:, 3] - p[:, 0])).max()
        assert lack < 1e-6 if holds else lack > 1000


def test_a_beam_axle_is_a_lever(contacts):
    """A wheel load change dR makes a spring force change dR track/base; each axle and the frame are in balance."""
    v = two_axles(contacts, each={"pull": inf, "tyre_rate": 200.0})
    got = standing(v, {}, {"front left wheel": 90.0}, {"rear right wheel": 400.0}, {"rear left wheel": 1400.0})
    assert not got.down[:, 3].all()
    for k in (1, 2, 3):
        change = got.forces[:, k] - got.forces[:, 0]
        for axle in ("front", "rear"):
            wheels = v.pick(change, f"{axle} left wheel", f"{axle} right wheel")
            springs = v.pick(change, f"{axle} left spring", f"{axle} right spring")
            assert wheels.sum() == pytest.approx(0, abs=1e-8)
            assert springs == pytest.approx(wheels * TRACK / BASE, rel=EXACT)
    for axle, load in (("front", 9000.0), ("rear", 11000.0)):
        p = {k: v.pick(got.forces, f"{axle} left {k}", f"{axle} right {k}") for k in ("wheel", "spring")}
        assert p["wheel"].sum(axis=0) == pytest.approx(load, rel=EXACT)
        assert p["spring"].sum(axis=0) == pytest.approx(load - 1600, rel=EXACT)
    on_frame = v.problem.lever[:, :6].T @ got.forces + v.resultant[:, None]
    assert on_frame == pytest.approx(np.zeros((6, 4)), abs=1e-6)


def test_an_axles_own_weight_never_reaches_the_frame(contacts):
    """Another 400 N below the springs on each axle: the same forces on the frame while the axle lies on its wheels,
    though the limit couple grows."""
    light, heavy = two_axles(contacts), two_axles(contacts, front=9400.0, rear=11400.0, unsprung=2000.0)
    rows = []
    for v in (light, heavy):
        got = standing(v, {}, {"front left wheel": 300.0}, {"rear right wheel": 1500.0})
        assert got.down[:, :2].all()
        rows.append(frame_forces(v.system, got.forces))
    assert rows[0][:, :2] == pytest.approx(rows[1][:, :2], rel=EXACT, abs=1e-8)
    assert rows[0].sum(axis=0) == pytest.approx(rows[1].sum(axis=0), rel=EXACT)
    assert np.abs(rows[1][:, 2] - rows[0][:, 2]).max() == pytest.approx(400 * TRACK / 2 / BASE, rel=EXACT)


@pytest.mark.parametrize(
    ("pull", "expected"), [(0.0, 3.7e6), (1000.0, 4.7e6), (inf, 6.66e6)], ids=["loose coil", "1 kN", "leaf"]
)
def test_a_spring_pulls_only_what_it_can(contacts, pull, expected):
    """Wheels raised far.  Springs of 7.4 kN in all, at 1.0 m: with one loose the axle's couple is 7.4/2 = 3.7 kN m and
    no wheel lifts; if it pulls 1 kN, (8.4 + 1)/2 = 4.7 kN m; only if it pulls 2.96 kN the wheel lifts at 6.66 kN m."""
    v = two_axles(contacts, each={"pull": pull})
    got = standing(v, {"front left wheel": 1800.0})
    p = got.forces[:, 0]
    assert couple(v, p, "front") == pytest.approx(expected, rel=EXACT)
    assert couple(v, p, "front", TRACK, "wheel") == pytest.approx(expected, rel=EXACT)
    assert bool(got.down[v.at("front right wheel"), 0]) is (pull < inf)
    assert bool(got.down[v.at("front right spring"), 0]) is (pull == inf)
    if pull < inf:
        assert p[v.at("front right spring")] == -pull


def test_bump_stop_bends_the_curve(contacts):
    """More and more weight over the front axle: 80 N/mm for both springs, after 60 mm 80 + 2 x 1000 N/mm."""
    v = two_axles(contacts, each={"pull": inf, "bump_gap": 60.0, "bump_rate": 1000.0})
    extra = np.linspace(0, 12000, 25)
    loads = v.loads[:, None] - np.outer(np.r_[contacts.up_row(0, 0), np.zeros(4)], extra)
    got = standing(v, *[{}] * len(extra), loads=loads)
    drop = got.motion[2, 0] - got.motion[2]  # the axle lies on rigid tyres
    by_hand = np.where(extra < 80 * 60, extra / 80, 60 + (extra - 80 * 60) / (80 + 2000))
    assert drop == pytest.approx(by_hand, rel=EXACT, abs=1e-9)
    stops = v.pick(got.forces, "front left bump stop", "front right bump stop")
    assert stops == pytest.approx(np.tile(np.maximum(0, 1000 * (by_hand - 60)), (2, 1)), rel=EXACT, abs=1e-6)
    assert (v.pick(got.forces, "rear left bump stop", "rear right bump stop") == 0).all()


def test_stops_push_the_couple_toward_the_limit(contacts):
    """The same height with and without stops that take hold early: more couple, and a wheel lifts."""
    with_stops = two_axles(contacts, each={"pull": inf, "bump_gap": 20.0})
    height = {"front left wheel": 900.0}
    torques = [
        couple(v, standing(v, height).forces[:, 0], "front", TRACK, "wheel") for v in (two_axles(contacts), with_stops)
    ]
    assert torques[0] < 0.85 * torques[1]
    assert torques[1] == pytest.approx(6.66e6, rel=EXACT)


def test_hanging_from_straps_on_stands(contacts):
    """Frame raised on four stands until the wheels clear: the axle hangs at e below standing, its weight 1.6 kN and the
    springs' push shared by hand: strap (e - 80) x 1000 + 40 e = 0.8 kN + spring load; stands carry the axles too."""
    stands = tuple(Stand(name=f"stand {i}", place="anywhere", rate=1e4) for i in range(4))
    at = ((300, -400), (300, 400), (2100, -400), (2100, 400))
    axles = [
        contacts.axle(n, x, load=kg(load, contacts), unsprung=kg(1600, contacts), track=TRACK, base=BASE, rate=RATE)
        for n, x, load in (("front", 0.0, 9000.0), ("rear", 2400.0, 11000.0))
    ]
    each = [Suspension(axle=a, pull=inf, droop=80.0, strap_rate=1000.0) for a in axles]
    v = contacts.vehicle(each, stands=stands, stand_at=at)
    wheeled = contacts.vehicle(each)
    on_wheels = level(wheeled)
    ride = standing(wheeled, {}).motion[:, 0]
    heights = {s.name: float(contacts.up_row(*p) @ ride[:6]) + 300 for s, p in zip(stands, at, strict=True)}
    set_up = raised(v.system, heights)
    for i, name in enumerate(wheeled.problem.names):
        set_up[v.at(name)] += on_wheels[i]
    got = stand(v.problem, np.zeros((len(set_up), 1)), v.loads[:, None], set_up[:, None])
    p = got.forces[:, 0]
    assert (v.pick(p, *WHEELS) == 0).all()
    for axle, sprung in (("front", 7400.0), ("rear", 9400.0)):
        e = (800 + sprung / 2 + 1000 * 80) / (1000 + 40)
        assert p[v.at(f"{axle} left droop strap")] == pytest.approx(1000 * (e - 80), rel=1e-6)
        assert p[v.at(f"{axle} right spring")] == pytest.approx(sprung / 2 - 40 * e, rel=1e-6)
    assert v.pick(p, *(s.name for s in stands)).sum() == pytest.approx(20000, rel=EXACT)


def test_an_axle_that_nothing_holds_up(contacts):
    """Loose coils, no strap and no ground under the rear wheels: the axle drops, in words."""
    axles = [contacts.axle(n, x, load=1000, unsprung=150) for n, x in (("front", 0.0), ("rear", 2400.0))]
    stands = tuple(Stand(name=f"stand {i}", place="anywhere", rate=1e4) for i in range(2))
    v = contacts.vehicle(
        [Suspension(axle=a) for a in axles], stands=stands, stand_at=((2400, -400), (2400, 400)), hanging=WHEELS[2:]
    )
    n = len(v.problem.names)
    got = stand(v.problem, np.zeros((n, 1)), v.loads[:, None], np.zeros((n, 1)))
    assert got.tipping[0].words == "rear axle drops: nothing can hold it up"


@pytest.mark.parametrize(
    ("y", "pull", "words"),
    [
        (760, inf, "tips over about the line through front right wheel and rear right wheel: "
                   "front left wheel and rear left wheel come up"),
        (560, 0.0, "tips over about the line through front right spring and rear right spring: "
                   "front left spring and rear left spring come up"),
    ],
    ids=["off its wheels", "off its loose springs"],
)  # fmt: skip
def test_a_load_too_far_out(contacts, y, pull, words):
    """Springs at +-500 and wheels at +-740 mm."""
    v = two_axles(contacts, each={"pull": pull}, unsprung=1.0)
    v = v.loaded(contacts.weight_at(20000, 1300, y))
    n = len(v.problem.names)
    got = stand(v.problem, np.zeros((n, 1)), v.loads[:, None], np.zeros((n, 1)))
    assert got.tipping[0].words == words


def test_anti_roll_bar_adds_to_the_axle(contacts):
    """K = k s^2/2 + bar, in series with the other axle and the frame; the bar carries its share of the couple."""
    v = two_axles(contacts, each={"pull": inf, "anti_roll": 1.5e7})
    axle = RATE * BASE**2 / 2 + 1.5e7
    K = 1 / (2 / axle + 1 / FRAME)
    got = standing(v, {}, {"front left wheel": 250.0})
    change = got.forces[:, 1] - got.forces[:, 0]
    assert couple(v, change, "front", TRACK, "wheel") == pytest.approx(K * 250 / TRACK, rel=EXACT)
    bar = -change[v.at("front anti-roll bar")] * BASE  # it pushes the frame's left side up
    assert bar == pytest.approx(K * 250 / TRACK * 1.5e7 / axle, rel=EXACT)


def test_independent_wheels_with_a_motion_ratio(contacts):
    """Wheel force = m x spring force + half the unsprung weight, wheel rate m^2 k, roll stiffness m^2 k t^2/2."""
    m = 0.6
    v = two_axles(contacts, each={"pull": inf, "motion_ratio": m}, kind="independent")
    got = standing(v, {}, {"front left wheel": 150.0})
    for axle, load in (("front", 9000.0), ("rear", 11000.0)):
        p = v.pick(got.forces[:, 0], f"{axle} left wheel", f"{axle} left spring")
        assert p == pytest.approx([load / 2, (load - 1600) / 2 / m], rel=EXACT)
    K = 1 / (2 / (m**2 * RATE * TRACK**2 / 2) + 1 / FRAME)
    change = got.forces[:, 1] - got.forces[:, 0]
    assert couple(v, change, "front", TRACK, "wheel") == pytest.approx(K * 150 / TRACK, rel=EXACT)
    on_frame = v.problem.lever[:, :6].T @ change
    assert on_frame == pytest.approx(np.zeros(6), abs=1e-6)
    pressed = standing(v, {}, loads=(v.loads + np.r_[contacts.weight_at(1000.0), np.zeros(4)])[:, None])
    assert got.motion[2, 0] - pressed.motion[2, 0] == pytest.approx(1000 / (2 * m**2 * RATE), rel=EXACT)


def test_soft_tyres_are_springs_under_the_axle(contacts):
    """In roll a tyre of k_t at +-t/2 is in series with the axle's springs: 1/K += 1/(k_t t^2/2) per axle."""
    v = two_axles(contacts, each={"pull": inf, "tyre_rate": 180.0})
    axle = 1 / (1 / (RATE * BASE**2 / 2) + 1 / (180 * TRACK**2 / 2))
    K = 1 / (2 / axle + 1 / FRAME)
    change = np.diff(standing(v, {}, {"front left wheel": 100.0}).forces, axis=1)[:, 0]
    assert couple(v, change, "front") == pytest.approx(K * 100 / TRACK, rel=EXACT)


def test_weighed_wheel_loads_come_out_on_level_ground(contacts):
    """Beam and independent axles, unequal wheels: set up from what was weighed, the wheels carry just that, and stops
    and straps are their gaps away."""
    axles = [
        contacts.axle("front", 0.0, load=900, unsprung=160, wheel_loads=(430, 470)),
        contacts.axle("rear", 2400.0, load=1100, unsprung=120, wheel_loads=(570, 530), kind="independent", base=800.0),
    ]
    more = {"pull": 0.0, "bump_gap": 55.0, "droop": 70.0, "tyre_rate": 200.0}
    each = [Suspension(axle=axles[0], anti_roll=1e7, **more), Suspension(axle=axles[1], motion_ratio=0.7, **more)]
    v = contacts.vehicle(each, twist=FRAME)
    forces = weighed_link_forces(v.system, each)
    wheels = contacts.G / 1000 * np.array([430, 470, 570, 530])
    assert v.pick(forces, *WHEELS) == pytest.approx(wheels)
    rows = frame_forces(v.system, forces[:, None])[:, 0]
    n = len(forces)
    loads = -v.problem.lever.T @ forces  # the frame's load by statics
    assert loads[6:] == pytest.approx(
        -np.array(v.system.weight), rel=EXACT, abs=1e-6
    )  # axles are in balance by themselves
    g = link_movements(v.system, np.linspace(-1, 1, len(rows))[:, None])
    got = stand(v.problem, g, loads[:, None], weighed_set_up(v.problem, g[:, 0], forces)[:, None])
    assert got.forces[:, 0] == pytest.approx(forces, rel=EXACT, abs=1e-6)
    for name, gap in (("front left bump stop", 55), ("rear right droop strap", 70)):
        assert got.opening[v.at(name), 0] == pytest.approx(gap, rel=EXACT)
    assert n == len(v.system.links)
