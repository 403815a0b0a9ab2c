"""Jack, lift and stands: reactions by levers, by a rigid frame on springs, and for four stands by the flexibility of a
frame whose every force follows from statics."""

from dataclasses import replace
from math import inf, pi

import numpy as np
import pytest

from ladderfe.errors import ModelError
from ladderfe.sections import properties
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics, rounding only
G = 9806.65  # mm/s2
KNM_DEG = 1e6 * 180 / pi  # N mm/rad
CORNERS = ((300.0, -400.0), (300.0, 400.0), (3700.0, -400.0), (3700.0, 400.0))
STANDS = ("front left stand", "front right stand", "rear left stand", "rear right stand")


# --- jack ---------------------------------------------------------------------------------------------------------


def jacked(statics, made, at="left front pad"):
    """Unequal axles on springs that hold, a mass off the middle; jacked up, all results times 1.1."""
    axles = (
        made.axle("front", 700.0, 0.9, rate=25.0, pull=inf, spring_base=800.0),
        made.axle("rear", 3300.0, 1.1, rate=45.0, pull=inf, spring_base=860.0),
    )
    jack = made.CaseSpec(name="jack", kind="jack", at=(at,), factor=1.1)
    c = statics.fitted(made, made.chassis(axles=axles, joint_model="springs"), cases=(made.STATIC, jack))
    mounts = (*c.mounts, made.mount("a", "middle", 1900, 80, -20), made.mount("b", "left rail", 1000, -300, 400))
    sacks = made.mass("sacks", 0.1, (2200, 60, 630), ("a", "b"), aboard=False)
    return replace(c, mounts=mounts, masses=(sacks,))


def lever(x, y):
    """(3,) of a unit upward force: sum, moments about y turned round and about x."""
    return np.array([1.0, x, y])


@pytest.mark.parametrize(("at", "wheel"), [("left front pad", 0), ("right rear pad", 3)])
def test_jack_under_a_rigid_frame(statics, made, at, wheel):
    """Just clear, the jacked axle still lies level on its other wheel, which alone carries it.  Unknown: three
    movements of the rigid frame, the jack, that wheel; equations: three of the frame, two of that axle.  Steel 1e9
    times stiffer: below 1e-6 is left."""
    c = statics.rigid(jacked(statics, made, at))
    s = solve_chassis(c)
    body, k = statics.masses(c, s), wheel // 2
    rates = np.repeat([a.rate for a in c.axles], 2)
    place = [lever(a.station, y * a.spring_base / 2) for a in c.axles for y in (-1, 1)]
    start = s.support_forces[:4, 0]  # as weighed, level: equal springs of each axle by symmetry
    assert start == pytest.approx(np.repeat([(a.load - a.unsprung) * G / 2 for a in c.axles], 2), rel=EXACT)
    pad = statics.mount(c, at)
    a, other = c.axles[k], (-1 if wheel % 2 else 1)
    m, rhs = np.zeros((5, 5)), np.zeros(5)
    for i, (r, p, p0) in enumerate(zip(rates, place, start, strict=True)):
        spring = np.r_[-r * p, 0, 0]  # force per unit heave and tilts, beside p0
        m[:3] += np.outer(p, spring)
        rhs[:3] -= p0 * p
        if i // 2 == k:
            y = p[2]
            m[3] += spring
            m[4] += y * spring
            rhs[3] -= p0
            rhs[4] -= y * p0
    m[:3, 3] = lever(*pad[:2])
    rhs[:3] += body.total * G * lever(*body.centre[:2])
    m[3, 4], m[4, 4] = -1.0, -other * a.track / 2
    rhs[3] -= a.unsprung * G
    jack, held = np.linalg.solve(m, rhs)[3:]
    j = s.case("jack")
    assert s.support_forces[s.supports.index(f"{at}, along z"), j] == pytest.approx(1.1 * jack, rel=1e-6)
    z = s.ground[:, 2, j]
    assert z[wheel] == pytest.approx(0, abs=1e-6 * held)
    assert z[2 * k + 1 - wheel % 2] == pytest.approx(1.1 * held, rel=1e-6)


@pytest.mark.parametrize("at", ["left front pad", "right front pad", "left rear pad", "right rear pad"])
def test_jack_of_a_frame_that_twists(statics, made, at):
    """The wheel next to the jack carries nothing; jack and three wheels balance the vehicle, all times 1.1."""
    c = jacked(statics, made, at)
    s = solve_chassis(c)
    k, z = s.case("jack"), s.ground[:, 2, s.case("jack")]
    wheel = {"left front": 0, "right front": 1, "left rear": 2, "right rear": 3}[at.removesuffix(" pad")]
    assert z[wheel] == pytest.approx(0, abs=1e-9 * z.max())
    assert (np.delete(z, wheel) > 100).all()
    assert s.lifted[k] == (f"{statics.WHEELS[wheel]} wheel",)
    jack = s.support_forces[s.supports.index(f"{at}, along z"), k]
    body = statics.vehicle(c, s)
    places = np.vstack([statics.feet(c), statics.mount(c, at), body.centre])
    up = np.r_[z, jack, -1.1 * body.total * G]
    assert statics.wrench(places, np.outer(up, [0, 0, 1])) == pytest.approx(np.zeros(6), abs=EXACT * 1.8e4 * 4000)
    assert s.support_forces[:4, k].sum() + jack == pytest.approx(1.1 * statics.masses(c, s).total * G, rel=EXACT)


def test_a_wheel_clears_when_its_strap_has_taken_the_axle_up(statics, made):
    """Loose coils and droop straps: the axle hangs on the strap of the jacked side before its wheel clears."""
    axles = tuple(made.axle(n, x, pull=0.0, droop=60.0, strap_rate=500.0) for n, x in statics.ENDS)
    c = statics.fitted(made, made.chassis(axles=axles))
    c = replace(c, cases=(made.STATIC, made.CaseSpec(name="jack", kind="jack", at=("left front pad",))))
    s = solve_chassis(c)
    k = s.case("jack")
    assert s.ground[0, 2, k] == pytest.approx(0, abs=1e-6)
    other = s.ground[1, 2, k]
    left, right = s.support_forces[:2, k]
    assert left + right + 0.15 * G == pytest.approx(other, rel=EXACT)
    assert (right - left) * 400 == pytest.approx(other * 740, rel=EXACT)  # about the axle's middle
    assert left < -0.15 * G


LOOSE = "front left wheel: its spring comes loose and leaves it down. Give `droop` of the front axle, its travel down"
ACROSS = "rear right wheel before the vehicle tips over. Name the wheel nearest"


@pytest.mark.parametrize(
    ("spring", "wheel", "words"),
    [
        ({"pull": 0.0}, "front left", LOOSE),
        ({"pull": 300.0}, "front left", LOOSE),
        ({"pull": 0.0}, "rear right", ACROSS),
        ({"pull": 0.0, "droop": 60.0, "strap_rate": 500.0}, "rear right", ACROSS),
        ({"pull": inf}, "rear right", ACROSS),
    ],
)
def test_why_a_jack_does_not_clear_its_wheel(statics, made, spring, wheel, words):
    """A coil that only pushes, or pulls less than half of the axle's 0.15 t, leaves its wheel down whatever the
    jack does, by equilibrium of the axle.  A wheel across the vehicle from the jack is pressed down by its spring."""
    axles = tuple(made.axle(n, x, **spring) for n, x in statics.ENDS)
    jack = made.CaseSpec(name="flat tyre", kind="jack", at=("left front pad",), wheels=(wheel,))
    c = statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, jack))
    with pytest.raises(ModelError) as caught:
        solve_chassis(c)
    assert str(caught.value).startswith(f"case flat tyre: the jack at left front pad does not clear the {words}")


# --- lift and stands -----------------------------------------------------------------------------------------------


def test_a_lift_turns_the_sign_of_unsprung_weight(statics, made):
    """Pads at two stations: by the lever rule, with axles that now hang: springs pull down by half an axle each."""
    lift = made.CaseSpec(name="lift", kind="two-post lift", at=statics.PADS, factor=1.1)
    c = statics.fitted(made, cases=(made.STATIC, lift))
    s = solve_chassis(c)
    k = s.case("lift")
    assert s.support_forces[:4, k] == pytest.approx([-1.1 * 0.15 * G / 2] * 4, rel=EXACT)
    assert s.support_forces[:4, s.case("static")] == pytest.approx([0.75 * G / 2] * 4, rel=EXACT)
    pads = [s.support_forces[s.supports.index(p), k] for p in statics.PADS]
    assert pads == pytest.approx([1.1 * 1.8 * G / 4] * 4, rel=EXACT)  # half-way between the pads
    assert s.ground[:, :, k] == pytest.approx(np.zeros((4, 3)), abs=0)
    assert s.lifted[k] == tuple(f"{w} wheel" for w in statics.WHEELS)


def test_pads_off_the_middle_by_the_lever(statics, made):
    """Unequal axles and pads that are not alike: front and rear pairs by the lever rule of the whole vehicle."""
    lift = made.CaseSpec(name="lift", kind="two-post lift", at=statics.PADS)
    axles = (made.axle("front", 700.0, 0.8, pull=inf), made.axle("rear", 3300.0, 1.1, unsprung=0.2, pull=inf))
    c = statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, lift))
    s = solve_chassis(c)
    pads = np.array([s.support_forces[s.supports.index(p), s.case("lift")] for p in statics.PADS])
    x = (0.8 * 700 + 1.1 * 3300) / 1.9
    wanted = 1.9 * G * np.array([2900 - x, x - 1100]) / 1800
    assert [pads[:2].sum(), pads[2:].sum()] == pytest.approx(wanted, rel=EXACT)


def test_three_stands_by_statics(statics, made):
    """Three reactions from three equations, whatever bends."""
    at = ("left front pad", "right front pad", "rear stand")
    case = made.CaseSpec(name="stands", kind="stands", at=at)
    c = statics.fitted(made, cases=(made.STATIC, case))
    c = replace(c, mounts=(*c.mounts, made.mount("rear stand", "rear", 3900, 120, -60),
                           made.mount("a", "left rail", 1000, -300, 400)),
                masses=(made.mass("sacks", 0.1, (1000, -300, 630), ("a",), aboard=False),))  # fmt: skip
    s = solve_chassis(c)
    body = statics.vehicle(c, s)
    place = np.stack([lever(*statics.mount(c, n)[:2]) for n in at], axis=1)
    wanted = np.linalg.solve(place, body.total * G * lever(*body.centre[:2]))
    got = [s.support_forces[s.supports.index(n), s.case("stands")] for n in at]
    assert got == pytest.approx(wanted, rel=EXACT)


class Cross:
    """Two rails on stands at their ends and one crossmember between them: stands that carry +-X on the diagonals bend
    both rails as cantilevers of the crossmember and twist it by X times their distance, nothing else, so that all
    follows from statics and the work of that state.  Section data from `properties`, which tests of sections prove."""

    AT, WIDTH = 1500.0, 800 - 75.0  # the crossmember: station, length between the rails' webs
    SIGNS = np.array([1, -1, -1, 1])

    def __init__(self, made, loads=(0.9, 0.9), young=205e3, **more):
        axles = tuple(
            made.axle(n, x, load, unsprung=0.5 * load, spring_base=800.0, pull=inf)
            for n, x, load in zip(("front", "rear"), (700.0, 3300.0), loads, strict=True)
        )
        rail, cross = made.box(150, 75, 3), made.Tube(diameter=120.0, wall=4.0)
        mounts = [made.mount(n, f"{n.split()[1]} rail", *at) for n, at in zip(STANDS, CORNERS, strict=True)]
        self.chassis = made.chassis(
            rails=made.rails(rail), crossmembers=(made.cross("middle", self.AT, cross),),
            material=replace(made.WEIGHTLESS, youngs_modulus=young), axles=axles, joint_model="springs",
            mounts=(*mounts, made.mount("tray", "left rail", 1000, -400), made.mount("hook", "right rail", 2500, 400)),
            body=made.Body(start=200.0, end=3800.0, split=2000.0), **more,
        )  # fmt: skip
        steel = young / 2 / 1.3
        r, c = properties(rail.section()), properties(cross.section())
        self.bending, self.shear = 1 / (young * r.Iyy), r.shear[1, 1] / steel
        self.torsion = self.WIDTH / steel / c.J
        self.weights = [self._on_rail(side) for side in ("left", "right")]

    def _on_rail(self, side):
        """Points (station, upward N) of what hangs on a rail; the body's halves as Gauss points, by own statics."""
        front, rear = self.chassis.axles
        sprung = np.array([front.load - front.unsprung, rear.load - rear.unsprung])
        part = np.linalg.solve([[2200 / 2600, 400 / 2600], [400 / 2600, 2200 / 2600]], sprung) / 2  # centres 1100, 2900
        out = [(a.station, -a.unsprung * G / 2) for a in (front, rear)]
        gauss, weight = np.polynomial.legendre.leggauss(2)
        for m, middle in zip(part, (1100.0, 2900.0), strict=True):
            pieces = np.linspace(middle - 900, middle + 900, 151)  # so that shear and moment are followed closely
            out += [(p + 6 * g, -m * G * w / 300) for p in (pieces[1:] + pieces[:-1]) / 2
                    for g, w in zip(gauss, weight, strict=True)]  # fmt: skip
        return out + [(m.centre[0], -m.mass * G) for m in self.chassis.masses if (m.centre[1] < 0) == (side == "left")]

    def inside(self, forces, x):
        """Shear and moment of a rail at x, from the end that is free of the crossmember."""
        p, f = np.array(forces).T
        ahead = p[None] < x[:, None]
        v_front, m_front = ahead @ f, (ahead * (x[:, None] - p)) @ f
        v_rear, m_rear = -(~ahead @ f), (~ahead * (p - x[:, None])) @ f
        front = x < self.AT
        return np.where(front, v_front, v_rear), np.where(front, m_front, m_rear)

    def work(self, one, other):
        """Of two states, each the forces on both rails; rails between the stands, torsion of the crossmember."""
        knots = sorted({300.0, self.AT, 3700.0, *(p for forces in (*one, *other) for p, _ in forces if 300 < p < 3700)})
        gauss, weight = np.polynomial.legendre.leggauss(3)
        a, b = np.array(knots[:-1])[:, None], np.array(knots[1:])[:, None]
        x, w = ((a + b) / 2 + (b - a) / 2 * gauss).ravel(), ((b - a) / 2 * weight).ravel()
        out = 0.0
        for p, q in zip(one, other, strict=True):
            (v, m), (v2, m2) = self.inside(p, x), self.inside(q, x)
            out += w @ (m * m2) * self.bending + w @ (v * v2) * self.shear
        torque = [sum(f * (p - self.AT) for p, f in state[0]) for state in (one, other)]
        return out + torque[0] * torque[1] * self.torsion

    def with_stands(self, forces, loads=None):
        """The state of stand forces (4,), with what hangs on the rails."""
        own = loads or [[], []]
        return [
            own[k] + [(CORNERS[i][0], f) for i, f in enumerate(forces) if (CORNERS[i][1] > 0) == bool(k)]
            for k in (0, 1)
        ]

    def flexibility(self):
        """mm/N of +-1 N on the diagonals against what they move, all four together: b^2/K."""
        twist = self.with_stands(self.SIGNS)
        return self.work(twist, twist)

    def stands(self, heights):
        """(4,) N of stands at these heights (mm), all of them pushing."""
        every = [(x, y, f) for y, forces in zip((-400, 400), self.weights, strict=True) for x, f in forces]
        load = sum(-f * lever(x, y) for x, y, f in every)
        some = np.linalg.lstsq(np.stack([lever(*c) for c in CORNERS], axis=1), load, rcond=None)[0]
        twist, base = self.with_stands(self.SIGNS), self.with_stands(some, self.weights)
        return some + self.SIGNS * (self.SIGNS @ heights - self.work(twist, base)) / self.flexibility()

    def solved(self, made, *lows):
        """(4,) N of the solver for every set of heights."""
        cases = [made.CaseSpec(name=f"{k}", kind="stands", at=STANDS, heights=tuple(zip(STANDS, h, strict=True)))
                 for k, h in enumerate(lows)]  # fmt: skip
        s = solve_chassis(replace(self.chassis, cases=(made.STATIC, *cases)))
        at = [s.supports.index(n) for n in STANDS]
        return [s.support_forces[at, s.case(c.name)] for c in cases]


def test_four_stands_by_the_work_of_two_states(made):
    """Statically indeterminate: rails, crossmember and loads that are alike nowhere, level and with stands 3 mm low and
    1 mm high; all four push.  The body as 600 points: exact in sums and moments, 1e-7 in the work."""
    masses = (made.mass("tank", 0.2, (1000, -400, 0), ("tray",), aboard=False),
              made.mass("spare", 0.1, (2500, 400, 0), ("hook",), aboard=False))  # fmt: skip
    frame = Cross(made, (0.8, 1.0), masses=masses)
    heights = (np.zeros(4), np.array([-3.0, 0, 0, 0]), np.array([0, 0, 1.0, -3.0]))
    for h, got in zip(heights, frame.solved(made, *heights), strict=True):
        wanted = frame.stands(h)
        assert wanted.min() > 100
        assert got == pytest.approx(wanted, rel=1e-6)
    assert np.ptp(frame.stands(heights[0])) > 500


def test_level_stands_share_by_the_lever_where_all_is_alike(made):
    """Same loads on both rails: half of each end's load by the lever rule, whatever bends."""
    (got,) = Cross(made, (0.8, 1.0)).solved(made, np.zeros(4))
    rear = (0.8 * (700 - 300) + 1.0 * (3300 - 300)) * G / 3400
    assert got == pytest.approx(np.repeat([1.8 * G - rear, rear], 2) / 2, rel=EXACT)


def twisting(made, corner):
    """A frame of 2 kN m/deg with `corner` N on the front stands and 8 % more on the rear ones."""
    front, rear = np.linalg.solve([[3000 / 3400, 400 / 3400], [400 / 3400, 3000 / 3400]], [2.0, 2.16]) * corner / G
    soft = Cross(made, (front, rear)).flexibility()
    return Cross(made, (front, rear), 205e3 * soft / (800**2 / (2 * KNM_DEG)))


@pytest.mark.parametrize(("corner", "low"), [(2500.0, 14.0), (250.0, 1.4)], ids=["laden", "bare frame"])
def test_a_stand_that_is_low(made, corner, low):
    """K = 2 kN m/deg and stands 0.8 m apart: a stand low by d moves K d/b^2.  14 mm take 2.5 kN off a corner, 1.4 mm
    the 0.25 kN of a bare frame: it then sits on three.  Own arithmetic, no source."""
    frame = twisting(made, corner)
    assert 800**2 / frame.flexibility() == pytest.approx(2 * KNM_DEG, rel=EXACT)
    moved = 2 * KNM_DEG * low / 2 / 800**2
    assert 2 * moved == pytest.approx(corner, rel=0.005)  # 2507 N, 251 N
    half, full = frame.solved(made, np.array([-low / 2, 0, 0, 0]), np.array([-low, 0, 0, 0]))
    assert half == pytest.approx(corner * np.array([1, 1, 1.08, 1.08]) - moved * frame.SIGNS, rel=1e-8)
    assert full == pytest.approx(corner * np.array([0, 2, 2.08, 0.08]), rel=EXACT, abs=1e-9)


FRONT, LEFT = ("left front pad", "right front pad", "left eye"), ("left front pad", "left rear pad", "left eye")


@pytest.mark.parametrize(
    ("at", "pull", "words"),
    [
        (FRONT, inf, "on left front pad, right front pad and left eye the vehicle tips over about the line through "
         "left front pad and right front pad: left eye comes up. Choose mounts in `at` that have the centre of "),
        (LEFT, inf, "left front pad, left rear pad and left eye cannot hold the vehicle: it takes three stands that "
         "are not in one line. Name more mounts in `at`, on both sides, "),
        (None, 0.0, "front axle and rear axle drop: nothing can hold them up. Give `droop` of that axle, "),
    ],
    ids=["all ahead", "one line", "loose coils"],
)  # fmt: skip
def test_stands_that_do_not_hold_it_are_told_by_case(statics, made, at, pull, words):
    """The centre of gravity is at x = 2000, the pads at 1100 and 2900, the eye at 60; axles hang on what springs pull.
    Levers alone tell what happens; one sentence names the case, another what to do."""
    stands = made.CaseSpec(name="on stands", kind="stands", at=at or statics.PADS)
    axles = tuple(made.axle(n, x, pull=pull) for n, x in statics.ENDS)
    c = statics.fitted(made, made.chassis(axles=axles), cases=(made.STATIC, stands))
    with pytest.raises(ModelError) as caught:
        solve_chassis(c)
    assert str(caught.value).startswith(f"case on stands: {words}")
    assert str(caught.value).endswith("or leave the case out.")


@pytest.mark.parametrize("kind", ["static", "bounce", "amplified", "rear overhang whip"])
def test_weight_that_tips_the_vehicle_names_a_case_that_stands_on_it(statics, made, kind):
    """2.5 t at x = 4600 against 1.8 t at 2000, rear wheels at 3300: the moments about these are 3.25 and 2.34 t m."""
    sacks = made.mass("sacks", 2.5, (4600, 0, 300), ("ball", "winch"), aboard=False)
    first = made.CaseSpec(name="first", kind=kind, factor=2.0)
    c = statics.fitted(made, masses=(sacks,), cases=(first,))
    words = (
        "case first: by its weight alone the vehicle tips over about the line through rear left wheel and rear right "
        "wheel: front left wheel and front right wheel come up. Move or lighten what [[masses]] lists "
    )
    with pytest.raises(ModelError) as caught:
        solve_chassis(c)
    assert str(caught.value).startswith(words)
    less = replace(c, masses=(replace(sacks, mass=1.75),))  # 2.275 t m
    assert solve_chassis(less).share[1] == 1
