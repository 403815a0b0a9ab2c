"""Cases on four wheels: load transfer, ground forces, tipping over and pulls, from masses and levers, by hand."""

from dataclasses import replace
from math import cos, pi, sin

import numpy as np
import pytest

from ladderfe.chassis import Links
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics, rounding only
G = 9806.65  # mm/s2
M, H, L, TRACK = 1.8, 700.0, 2600.0, 1480.0  # t and mm: the plain vehicle, its centre half-way and in the middle
TIPS = 1 - 1e-6  # a case that tips is taken so near to it


@pytest.fixture(scope="module")
def plain(statics, made):
    """The plain vehicle: 0.9 t on each axle, 1480 mm track."""
    c = made.CaseSpec
    more = (
        *(c(name=f"turn {a}", kind="cornering", side="right", acceleration=a) for a in (0.3, 1.05, 1.0571428, 2.0)),
        *(c(name=f"drive {x}", kind="drive-off", acceleration=0.5, axle=x) for x in ("front", "rear", "both")),
        c(name="hard braking", kind="braking", acceleration=3.0),
        c(name="straight winch", kind="winch", at=("winch",), force=9e3),
        c(name="winch tips", kind="winch", at=("winch",), force=42e3, angle=60.0, up=40.0),
        c(name="winch left", kind="winch", at=("winch",), force=6e3, angle=-30.0),
    )
    chassis = statics.fitted(made, cases=(*statics.every_kind(), *more))
    return chassis, solve_chassis(chassis)


def axles(s, name):
    """(2,) N under both axles."""
    z = s.ground[:, 2, s.case(name)]
    return np.array([z[0] + z[1], z[2] + z[3]])


def test_centre_of_gravity_is_the_stated_one(statics, plain):
    """Members, line masses at their height and axles together: 700 mm above the ground, half-way."""
    c, s = plain
    body = statics.vehicle(c, s)
    assert body.total == pytest.approx(M, rel=EXACT)
    assert body.centre == pytest.approx([2000, 0, -550 + H], rel=EXACT, abs=1e-9)
    assert s.ground[:, 2, s.case("static")] == pytest.approx([M * G / 4] * 4, rel=EXACT)


def test_braking_transfers_m_a_h_over_l(plain):
    """0.8 g: 0.8 x 17.65 kN x 700/2600 from the rear to the front axle; grip in proportion to loads."""
    _, s = plain
    moved = 0.8 * M * G * H / L
    assert axles(s, "braking") == pytest.approx([M * G / 2 + moved, M * G / 2 - moved], rel=EXACT)
    x = s.ground[:, 0, s.case("braking")]
    assert x.sum() == pytest.approx(0.8 * M * G, rel=EXACT)
    assert x == pytest.approx(0.8 * s.ground[:, 2, s.case("braking")], rel=EXACT)
    assert s.share[s.case("braking")] == 1


def test_braking_harder_than_g_b_over_h_tips_over_the_front_wheels(plain):
    """b/h = 1300/700 = 1.857 g: the rear axle comes off; taken there, all of it on the front wheels."""
    _, s = plain
    k = s.case("hard braking")
    assert s.share[k] * 3.0 == pytest.approx(1300 / H * TIPS, rel=EXACT)
    assert s.tips[k].startswith("tips over about the line through front left wheel and front right wheel")
    assert axles(s, "hard braking") == pytest.approx([M * G, M * G * 5e-7], rel=2e-6)
    assert s.ground[:2, 0, k].sum() == pytest.approx(s.share[k] * 3 * M * G, rel=EXACT)
    assert s.ground[2:, 0, k] == pytest.approx([0, 0], abs=1e-6)


@pytest.mark.parametrize(("axle", "front"), [("front", 1.0), ("rear", 0.0), ("both", None)])
def test_drive_off(plain, axle, front):
    """0.5 g forward: transfer to the rear; the driven wheels push, both in proportion to their loads."""
    _, s = plain
    k = s.case(f"drive {axle}")
    moved = 0.5 * M * G * H / L
    assert axles(s, f"drive {axle}") == pytest.approx([M * G / 2 - moved, M * G / 2 + moved], rel=EXACT)
    share = axles(s, f"drive {axle}")[0] / (M * G) if front is None else front
    wanted = -0.5 * M * G / 2 * np.array([share, share, 1 - share, 1 - share])
    assert s.ground[:, 0, k] == pytest.approx(wanted, rel=EXACT, abs=1e-6)


@pytest.mark.parametrize("a", [0.3, 1.05])
def test_cornering_below_tip_over(plain, a):
    """Turning right loads the left wheels: m a h/t in all; each axle holds its mass sideways, its load unchanged."""
    _, s = plain
    k = s.case(f"turn {a}")
    z = s.ground[:, 2, k]
    assert s.share[k] == 1
    assert (z[0] + z[2] - z[1] - z[3]) / 2 == pytest.approx(a * M * G * H / TRACK, rel=EXACT)
    assert axles(s, f"turn {a}") == pytest.approx([M * G / 2] * 2, rel=EXACT)
    y = s.ground[:, 1, k]
    assert [y[0] + y[1], y[2] + y[3]] == pytest.approx([a * M * G / 2] * 2, rel=EXACT)


@pytest.mark.parametrize(("a", "borne"), [(1.0571428, 1.0), (2.0, TRACK / 2 / H * TIPS / 2.0)])
def test_cornering_stops_at_tip_over(plain, a, borne):
    """t/2h = 740/700 = 1.05714 g: just below it stands, above it is taken at that."""
    _, s = plain
    k = s.case(f"turn {a}")
    assert s.share[k] == pytest.approx(borne, rel=EXACT)
    z = s.ground[:, 2, k]
    assert z[[1, 3]].sum() == pytest.approx(M * G * (1 - s.share[k] * a * 2 * H / TRACK) / 2, rel=1e-3)
    assert s.ground[:, 1, k].sum() == pytest.approx(s.share[k] * a * M * G, rel=EXACT)


def bears(statics, c, body, beside):
    """Greatest share of loads (6,) with which a rigid vehicle stands: about each edge between neighbouring wheels the
    moment of weight and share x loads keeps its sense."""
    a, b, d, e = statics.feet(c)[[0, 1, 3, 2]]
    shares = [1.0]
    for p, q in ((a, b), (b, d), (d, e), (e, a)):
        def about(w, p=p, q=q):
            return (w[3:] - np.cross(p, w[:3])) @ (q - p)
        now, more = about(body.weight()), about(beside)
        if more * now < 0:
            shares.append(-now / more)
    return min(shares)  # fmt: skip


def odd(statics, made, front=1480.0, rear=1480.0, **case):
    """Unequal axles and sides, a high load that came later; tracks as given; one case."""
    axles = (
        made.axle("front", 700.0, 0.9, wheel_loads=(0.47, 0.43), track=front, pull=np.inf),
        made.axle("rear", 3300.0, 1.1, wheel_loads=(0.54, 0.56), track=rear, pull=np.inf),
    )
    c = statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, made.CaseSpec(name="case", **case)))
    mounts = (*c.mounts, made.mount("a", "middle", 1900, 80, -20), made.mount("b", "left rail", 1000, -300, 400))
    return replace(c, mounts=mounts, masses=(made.mass("sacks", 0.2, (2200, 60, 630), ("a", "b"), aboard=False),))


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("tracks", [(1480.0, 1480.0), (1560.0, 1380.0)])
def test_cornering_tips_about_the_line_through_the_outer_wheels(statics, made, side, tracks):
    """a h = g x distance from the centre of gravity to that line across the vehicle, sacks off the middle included."""
    c = odd(statics, made, *tracks, kind="cornering", side=side, acceleration=4.0)
    s = solve_chassis(c)
    body, outer = statics.vehicle(c, s), 1 if side == "left" else -1
    x, y, z = body.centre
    at = (tracks[0] + (tracks[1] - tracks[0]) * (x - 700) / 2600) / 2
    assert s.share[s.case("case")] * 4.0 == pytest.approx((at - outer * y) / (z + 550) * TIPS, rel=EXACT)
    assert statics.left_over(c, s, "case") == pytest.approx(np.zeros(6), abs=EXACT)


@pytest.mark.parametrize(
    ("place", "force"),
    [("ball", (-5e3, 3e4, 6e3)), ("ball", (0, 0, -4.5e4)), ("winch", (-3e4, 3e4, 0)), ("winch", (-4e3, 0, 3e4))],
)
def test_pulls_that_tip(statics, made, place, force):
    """Any force at a mount: greatest share from moments about the edges of the wheels' feet."""
    c = odd(statics, made, 1560.0, 1380.0, kind="static", forces=((place, tuple(map(float, force))),))
    s = solve_chassis(c)
    body, at = statics.vehicle(c, s), statics.mount(c, place)
    ground = np.array([-force[0], -force[1], 0])  # in plan; at the ground, where no edge has a lever to it
    load = statics.wrench(at, force) + np.r_[ground, np.cross([0, 0, c.ground], ground)]
    share = bears(statics, c, body, load)
    assert share < 1
    k = s.case("case")
    assert s.share[k] == pytest.approx(share * TIPS, rel=EXACT)
    got = statics.left_over(c, s, "case", outside=[(at, s.share[k] * np.array(force))])
    assert got == pytest.approx(np.zeros(6), abs=EXACT)


def test_nose_weight_by_the_lever(plain):
    """200 kg at the ball, 690 mm behind the rear axle: it takes (2600 + 690)/2600, the front gives 690/2600."""
    _, s = plain
    more = axles(s, "nose") - M * G / 2
    assert more == pytest.approx(0.2 * G * np.array([-690, 3290]) / 2600, rel=EXACT)


def test_drawbar_pull_and_push(plain):
    """9 kN rearward at the ball, 490 mm above the ground: held by all wheels, 9 x 490/2600 kN to the rear; a push is
    the same turned round."""
    _, s = plain
    moved = 9e3 * 490 / 2600
    for name, sense in (("drawbar", 1), ("drawbar push", -1)):
        assert axles(s, name) == pytest.approx(M * G / 2 + sense * moved * np.array([-1, 1]), rel=EXACT)
        x = s.ground[:, 0, s.case(name)]
        assert x == pytest.approx(-sense * 9e3 * s.ground[:, 2, s.case(name)] / (M * G), rel=EXACT)


def test_straight_winch(plain):
    """9 kN forward at 590 mm above the ground: to the front axle."""
    _, s = plain
    moved = 9e3 * 590 / 2600
    assert axles(s, "straight winch") == pytest.approx(M * G / 2 + moved * np.array([1, -1]), rel=EXACT)
    assert s.ground[:, 0, s.case("straight winch")].sum() == pytest.approx(9e3, rel=EXACT)


def test_a_winch_on_wheels_dug_in(statics, made):
    """Held at the wheels' centres, 370 and 340 mm above the ground, in proportion to loads: 9 kN forward at 590 mm.
    With r the rear axle's part: r W 2600 = W 1300 - F (590 - 370 + 30 r)."""
    axles = (made.axle("front", 700.0, tyre_radius=370.0), made.axle("rear", 3300.0, tyre_radius=340.0))
    dug = made.CaseSpec(name="dug", kind="winch", at=("winch",), force=9e3, against="dug in")
    s = solve_chassis(statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, dug)))
    rear = (M * G * 1300 - 9e3 * 220) / (M * G * 2600 + 9e3 * 30)
    assert axles_part(s, "dug") == pytest.approx([1 - rear, rear], rel=EXACT)
    x = s.ground[:, 0, s.case("dug")]
    assert [x[:2].sum(), x[2:].sum()] == pytest.approx([9e3 * (1 - rear), 9e3 * rear], rel=EXACT)


def axles_part(s, name):
    """(2,) of the weight on both axles."""
    return axles(s, name) / (M * G)


def test_winch_30_degrees_to_a_side(plain):
    """6 kN at the front, x = 40 mm: side force 3 kN, (3300 - 40)/2600 of it on the front axle, against it at the rear;
    roll moment 3 kN x 590 mm."""
    _, s = plain
    y = s.ground[:, 1, s.case("winch")]
    front = -3e3 * (3300 - 40) / 2600
    assert [y[:2].sum(), y[2:].sum()] == pytest.approx([front, -3e3 - front], rel=EXACT)
    assert s.ground[:, 0, s.case("winch")].sum() == pytest.approx(6e3 * cos(pi / 6), rel=EXACT)
    z = s.ground[:, 2, s.case("winch")]
    assert (z[1] + z[3] - z[0] - z[2]) / 2 * TRACK == pytest.approx(3e3 * 590, rel=EXACT)  # pulled to the right


def test_a_winch_that_tips(statics, plain):
    c, s = plain
    pull = 42e3 * np.array([-cos(pi / 3) * cos(2 * pi / 9), sin(pi / 3) * cos(2 * pi / 9), sin(2 * pi / 9)])
    at = statics.mount(c, "winch")
    ground = np.r_[-pull[:2], 0]
    load = statics.wrench(at, pull) + np.r_[ground, np.cross([0, 0, -550], ground)]
    share = s.share[s.case("winch tips")]
    assert share == pytest.approx(bears(statics, c, statics.vehicle(c, s), load) * TIPS, rel=EXACT)
    assert share < 1


def test_the_whole_vehicle_is_in_balance(statics, plain):
    """Masses, ground and pulls of every standing case, summed here."""
    c, s = plain
    way = {"nose": ("ball", (0, 0, -0.2 * G)), "drawbar": ("ball", (9e3, 0, 0)), "drawbar push": ("ball", (-9e3, 0, 0)),
           "winch": ("winch", 6e3 * np.array([-cos(pi / 6), 0.5, 0])),
           "winch left": ("winch", 6e3 * np.array([-cos(pi / 6), -0.5, 0])), "straight winch": ("winch", (-9e3, 0, 0)),
           }  # fmt: skip
    standing = ("static", "raised", "cross-axle", "left turn", "right turn", "braking", "drive-off", "drive both")
    for name in (*standing, *way):
        outside = [(statics.mount(c, way[name][0]), way[name][1])] if name in way else []
        assert statics.left_over(c, s, name, outside=outside) == pytest.approx(np.zeros(6), abs=EXACT), name


def test_a_pull_between_two_mounts_leaves_the_ground_its_moment_only(statics, plain):
    """5 kN from winch to ball: no resultant; 100 mm of height between them tilts it by 5 kN x 100/2600."""
    _, s = plain
    moved = 5e3 * 100 / 2600  # the winch is the higher and pulls forward
    assert axles(s, "to the ball") == pytest.approx(M * G / 2 + moved * np.array([1, -1]), rel=EXACT)
    assert s.ground[:, :2, s.case("to the ball")] == pytest.approx(np.zeros((4, 2)), abs=1e-6)


def test_raised_wheels_move_load_but_not_its_sums(plain):
    """Equal axles: rear left and front right gain, the others lose as much; axle loads and sides as they were."""
    _, s = plain
    moved = s.ground[:, 2, s.case("raised")] - M * G / 4
    assert moved[2] > 100
    assert moved == pytest.approx(moved[2] * np.array([-1, 1, 1, -1]), rel=1e-8)


RATES, BARS, CENTRES = (25.0, 45.0), (4e6, 0.0), (-300.0, -420.0)


@pytest.mark.parametrize("kind", ["beam", "independent"])
def test_cornering_of_a_rigid_frame(statics, made, kind):
    """Roll stiffness of springs and bars share the couple of the sprung mass about the roll axis, roll centres and
    unsprung masses bring theirs directly: textbook load transfer, derived here from a rigid body on springs.

    dZ t = K phi + Y_sprung (z_s - ground) + m_u a (z_hub - ground),  phi = sum of sprung moments / sum of K.
    """
    both = [
        made.axle(n, x, load, rate=r, anti_roll=bar, pull=np.inf, track=t, spring_base=800.0, kind=kind,
                  links=Links(kind="pivots" if kind == "independent" else "eyes", station=x, spacing=700.0,
                              height=-60.0, side_height=z))
        for n, x, load, r, bar, t, z in zip(("front", "rear"), (700.0, 3300.0), (0.9, 1.1), RATES, BARS,
                                            (1500.0, 1440.0), CENTRES, strict=True)
    ]  # fmt: skip
    turn = made.CaseSpec(name="turn", kind="cornering", side="left", acceleration=0.5)
    c = statics.rigid(made.chassis(axles=tuple(both), cases=(made.STATIC, turn), joint_model="springs"))
    s = solve_chassis(c)
    body, a = statics.masses(c, s), 0.5 * G
    width = [x.track if kind == "independent" else x.spring_base for x in both]
    K = np.array([r * w**2 / 2 + bar for r, w, bar in zip(RATES, width, BARS, strict=True)])
    held = body.total * a * np.array([3300 - body.centre[0], body.centre[0] - 700]) / 2600  # sprung side force of axles
    phi = (body.total * a * body.centre[2] - held @ CENTRES) / K.sum()
    for k, x in enumerate(both):
        wanted = K[k] * phi + held[k] * (CENTRES[k] + 550) + x.unsprung * a * x.tyre_radius
        z = s.ground[2 * k : 2 * k + 2, 2, s.case("turn")]
        # 1e9 times stiffer than steel; what is left of its bending is below 1e-6
        assert (z[1] - z[0]) / 2 * x.track == pytest.approx(wanted, rel=1e-6)
        assert s.ground[2 * k : 2 * k + 2, 1, s.case("turn")].sum() == pytest.approx(
            -held[k] - x.unsprung * a, rel=EXACT
        )


def test_a_body_on_loose_coils_rolls_off_them(statics, made):
    """Springs that cannot pull: the sprung mass tips about the outer springs before the wheels lift:
    m_s g s/2 = m_s a (h - roll centre), well below t/2h."""
    axles = tuple(
        made.axle(n, x, pull=0.0, spring_base=700.0,
                  links=Links(kind="eyes", station=x, spacing=700.0, height=0.0, side_height=-250.0))
        for n, x in statics.ENDS
    )  # fmt: skip
    turn = made.CaseSpec(name="turn", kind="cornering", side="left", acceleration=2.0)
    c = statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, turn))
    s = solve_chassis(c)
    body = statics.masses(c, s)
    tips = 350 / (body.centre[2] + 250)
    assert tips < TRACK / 2 / H
    assert s.share[s.case("turn")] * 2.0 == pytest.approx(tips * TIPS, rel=EXACT)


def test_side_forces_of_independent_wheels_go_by_their_loads(statics, made):
    """Turning left at 0.4 g, a rigid vehicle: the right wheels carry 1/2 + a h/(g t) of all, and that of the side force
    of each axle; each wheel's pivots pass on its own."""
    axles = tuple(made.axle(n, x, pull=np.inf, kind="independent") for n, x in statics.ENDS)
    turn = made.CaseSpec(name="turn", kind="cornering", side="left", acceleration=0.4)
    s = solve_chassis(made.chassis(axles=axles, cases=(made.STATIC, turn)))
    k, right = s.case("turn"), 0.5 + 0.4 * H / TRACK
    side = -0.4 * M * G / 2
    assert s.ground[:, 1, k] == pytest.approx([side * (1 - right), side * right] * 2, rel=EXACT)
    passed = [s.support_forces[s.supports.index(f"front side {x}"), k] for x in ("left", "right")]
    assert passed == pytest.approx(s.ground[:2, 1, k] + 0.15 * 0.4 * G / 2, rel=EXACT)


# --- side forces of single wheels ----------------------------------------------------------------------------------


def sided(statics, made, wheels, **case):
    """Odd loads on equal tracks, wheels of one kind on both axles; one case."""
    c = odd(statics, made, **case)
    return replace(c, axles=tuple(replace(a, kind=wheels) for a in c.axles))


SIDEWAYS = {
    "turn": {"kind": "cornering", "side": "left", "acceleration": 0.45},
    "winch": {"kind": "winch", "at": ("winch",), "force": 6e3, "angle": -70.0, "up": 10.0},
    "dug in": {"kind": "winch", "at": ("winch",), "force": 1e4, "angle": 60.0, "against": "dug in"},
}


@pytest.mark.parametrize("what", SIDEWAYS)
def test_independent_wheels_share_side_forces_as_a_rigid_vehicle_leans(statics, made, what):
    """Roll moment about the ground (or the wheels' centres) of all masses, sacks included, and of the pull, over the
    track: that part of the load comes over to the wheels of one side, and they hold that part more of both axles' side
    force.  Z_right - Z_left = 2 M/t, share = Z_right/Z."""
    case = SIDEWAYS[what]
    c = sided(statics, made, "independent", **case)
    s = solve_chassis(c)
    k, body = s.case("case"), statics.vehicle(c, s)
    assert (s.share[k], s.lifted[k]) == (1, ())
    pull = np.zeros(3)
    if what != "turn":
        a, b = np.radians([case["angle"], case.get("up", 0.0)])
        pull = case["force"] * np.array([-np.cos(a) * np.cos(b), np.sin(a) * np.cos(b), np.sin(b)])
    field = np.array([0, 0.45 * G if what == "turn" else 0, -G])  # turning left throws it to the right
    foot = c.ground + (370 if what == "dug in" else 0)
    places = np.vstack([body.place, statics.mount(c, "winch")]) - [0, 0, foot]
    whole = statics.wrench(places, np.vstack([np.outer(body.mass, field), pull]))
    share = 0.5 + whole[3] / -whole[2] / 1480 * -1
    y = s.ground[:, 1, k].reshape(2, 2)
    assert abs(share - 0.5) > 0.05
    assert y[:, 1] == pytest.approx(share * y.sum(axis=1), rel=EXACT)
    assert y.sum() == pytest.approx(-whole[1], rel=EXACT)


@pytest.mark.parametrize("what", SIDEWAYS)
def test_wheels_of_beam_axles_share_side_forces_by_their_loads(statics, made, what):
    """The axle passes on the sum: its wheels hold it by the loads that they have, all balances as before."""
    c = sided(statics, made, "beam", **SIDEWAYS[what])
    s = solve_chassis(c)
    k = s.case("case")
    y, z = (s.ground[:, i, k].reshape(2, 2) for i in (1, 2))
    assert (np.abs(y) > 100).all()
    assert y[:, 1] / y.sum(axis=1) == pytest.approx(z[:, 1] / z.sum(axis=1), rel=EXACT)


@pytest.mark.parametrize("wheels", ["beam", "independent"])
@pytest.mark.parametrize("angle", [-90.0, -80.0, 110.0])
def test_a_wheel_off_the_ground_holds_nothing(statics, made, wheels, angle):
    """A hard pull to the side at the front, with nearly all roll stiffness there: its inner wheel is off the ground.
    The other one holds all of the axle's force, fore-aft as well, and the couple of that about z goes to the side
    forces of both axles: vehicle and frame are in balance, summed here."""
    force = 1.05e4
    c = odd(statics, made, kind="winch", at=("winch",), force=force, angle=angle)
    both = tuple(replace(a, kind=wheels, anti_roll=bar) for a, bar in zip(c.axles, (4e9, 0.0), strict=True))
    c = statics.rigid(replace(c, axles=both, joint_model="springs"))
    s = solve_chassis(c)
    k = s.case("case")
    off = 0 if angle > 0 else 1
    assert (s.share[k], s.lifted[k]) == (1, (f"{statics.WHEELS[off]} wheel",))
    assert s.ground[off, :, k].tolist() == pytest.approx([0, 0, 0], abs=1e-9)
    assert abs(s.ground[1 - off, 1, k]) > 1000
    assert (abs(s.ground[1 - off, 0, k]) > 500) == (angle != -90)
    at = statics.mount(c, "winch")
    a = np.radians(angle)
    pull = force * np.array([-np.cos(a), np.sin(a), 0])
    assert statics.left_over(c, s, "case", outside=[(at, pull)]) == pytest.approx(np.zeros(6), abs=EXACT)
    body = statics.masses(c, s)
    rows = zip(s.supports, s.support_forces[:, k], strict=True)
    on_frame = body.weight() + sum(statics.entry(s, name) * f for name, f in rows)
    assert on_frame / (body.total * G) == pytest.approx(np.zeros(6), abs=EXACT * 2600)


def test_a_wheel_that_was_up_already_leaves_the_pull_to_the_others(statics, made):
    """Jacked up: the wheel that clears holds nothing of a pull rearward; vehicle in balance with jack and pull."""
    case = {"kind": "jack", "at": ("left front pad",), "forces": (("ball", (2e3, 300.0, 0.0)),)}
    c = odd(statics, made, **case)
    s = solve_chassis(c)
    k = s.case("case")
    assert "front left wheel" in s.lifted[k]
    assert s.ground[0, :, k] == pytest.approx([0, 0, 0], abs=1e-6)
    assert s.ground[:, 0, k].sum() == pytest.approx(-2e3, rel=EXACT)
    push = s.support_forces[s.supports.index("left front pad, along z"), k]
    outside = [(statics.mount(c, "ball"), (2e3, 300, 0)), (statics.mount(c, "left front pad"), (0, 0, push))]
    assert statics.left_over(c, s, "case", outside=outside) == pytest.approx(np.zeros(6), abs=EXACT)
