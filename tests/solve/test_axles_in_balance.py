"""Every axle as a free body: what ground, weight and its own inertia do to it is what it does to the frame, in six
directions and every kind of case; and where each of its links takes hold, by hand."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import Damper, Links
from ladderfe.checks.twist_lifts import raise_wheels
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics, rounding only
G = 9806.65  # mm/s2
EYES = Links(kind="eyes", station=250.0, spacing=740.0, height=-70.0, side_height=-110.0)
ARMS = Links(kind="arms", station=1500.0, spacing=700.0, height=-80.0, side_height=-95.0)
BAR = replace(ARMS, side_station=640.0, side_y=350.0)
PIVOTS = Links(kind="pivots", station=2900.0, spacing=760.0, height=-130.0, side_height=-480.0)
SPRUNG = Damper(station=620.0, spacing=900.0, height=110.0, force=2000.0)
VARIETIES = {
    "seats alone": ({}, {}),
    "eyes": ({"links": EYES, "seats": ((250.0, 0.5), (1150.0, 0.5)), "damper": SPRUNG}, {}),
    "arms": ({"links": ARMS, "damper": SPRUNG}, {"links": replace(EYES, station=3300.0)}),
    "arms and track bar": ({"links": BAR, "anti_roll": 6e6}, {"anti_roll": 4e6}),
    "independent": ({"links": BAR}, {"kind": "independent", "links": PIVOTS,
                                     "damper": replace(SPRUNG, station=3350.0, spacing=680.0)}),
    "independent on seats": ({"kind": "independent", "anti_roll": 5e6, "motion_ratio": 0.6},
                             {"kind": "independent", "seats": ((3000.0, 0.25), (3400.0, 0.75)), "damper": SPRUNG}),
    "torsion bars": ({"kind": "independent", "torsion_bar": "middle", "motion_ratio": 0.8,
                      "links": replace(PIVOTS, station=760.0, spacing=700.0)}, {}),
}  # fmt: skip


def vehicle(statics, made, variety):
    """Nothing alike left and right: wheels weighed one by one, a mass off the centre line, a rail that spreads and
    rises, springs inside and outside the rails."""
    front, rear = VARIETIES[variety]
    path = ((0, 360, 40), (900, 400, 0), (2500, 410, 0), (3000, 410, 120), (4000, 380, 120))
    c = made.chassis(
        rails=(made.rail("left", path=path), made.rail("right", path=tuple((x, y + 15, z) for x, y, z in path))),
        crossmembers=(*(replace(x, height_left=h, height_right=h) for x, h in
                        zip(made.LADDER, (40.0, -10.0, 120.0), strict=True)),),
        axles=(
            made.axle("front", 700.0, wheel_loads=(0.47, 0.43), spring_base=760.0, pull=np.inf, **front),
            made.axle("rear", 3300.0, wheel_loads=(0.44, 0.46), track=1400.0, spring_base=840.0, pull=np.inf,
                      tyre_radius=340.0, **rear),
        ),
        body=made.Body(start=50, end=3950, split=1900, y=30.0),
    )  # fmt: skip
    load = made.mass("sacks", 0.09, (2200, 90, 330), ("left front pad", "right rear pad"), aboard=False)
    c = statics.fitted(made, c, masses=(load,))
    return replace(c, cases=statics.every_kind())


@pytest.fixture(scope="module", params=VARIETIES)
def solved(request, statics, made):
    c = vehicle(statics, made, request.param)
    return request.param, c, solve_chassis(c)


def to_frame(statics, s, axle):
    """(6, c) of all rows of an axle about the datum."""
    rows = [n for n in s.supports if n.startswith(f"{axle} ") and "hold" not in n]
    lever = np.stack([statics.entry(s, n) for n in rows], axis=1)
    return lever @ s.support_forces[[s.supports.index(n) for n in rows]]


GIVEN = {"bounce", "limit twist", "one wheel bump", "pothole", "kerb strike", "recovery", "rear overhang whip"}


def on_axle(statics, c, s, k, spec, g=1.0):
    """(6,) of ground, weight and inertia on axle k in a case."""
    j = s.case(spec.name)
    a = c.axles[k]
    given = spec.kind in GIVEN and (spec.against == "inertia" or spec.kind != "recovery")
    plan = np.zeros(2) if given else s.field[:2, j]
    mass, centre = statics.unsprung(c)[k]
    out = statics.wrench(centre, mass * np.array([*plan, -G * g]))
    hub = spec.kind == "pothole" or spec.against == "dug in"
    return out + statics.wrench(statics.feet(c, hub=hub)[2 * k : 2 * k + 2], s.ground[2 * k : 2 * k + 2, :, j]), a


def test_every_axle_is_in_balance(statics, solved):
    """Six equations for each axle and case, over the vehicle's weight and weight x wheelbase."""
    _, c, s = solved
    weight = statics.vehicle(c, s).total * G
    size = np.r_[[weight] * 3, [weight * 2600] * 3]
    times = {"amplified": 2.0, "jack": 1.1, "lift": 1.1}
    for k, name in enumerate(("front", "rear")):
        passed = to_frame(statics, s, name)
        for spec in c.cases:
            if spec.kind == "combination":
                continue
            wanted, _ = on_axle(statics, c, s, k, spec, times.get(spec.name, 1.0))
            off = (passed[:, s.case(spec.name)] - wanted) / size
            assert off == pytest.approx(np.zeros(6), abs=EXACT), (name, spec.name)


def test_a_combination_is_the_sum_of_its_cases(solved):
    """Ground, fields and forces: braking + 0.5 left turn + 1.2 bounce."""
    _, _, s = solved
    parts = [(s.case("braking"), 1.0), (s.case("left turn"), 0.5), (s.case("bounce"), 1.2)]
    k = s.case("both")
    for values in (s.ground, s.field, s.support_forces, s.movements, s.end_forces):
        added = sum(f * values[..., j] for j, f in parts)
        assert values[..., k] == pytest.approx(added, rel=EXACT, abs=EXACT * np.abs(added).max())


def test_a_case_counts_as_often_as_it_is_named(statics, made):
    twice = made.CaseSpec(name="twice over", kind="combination", of=(("bump", 1.0), ("static", -1.0), ("bump", 1.5)))
    bump = made.CaseSpec(name="bump", kind="one wheel bump", wheels=("front left",))
    s = solve_chassis(statics.fitted(made, cases=(made.STATIC, bump, twice)))
    added = 2.5 * s.support_forces[:, s.case("bump")] - s.support_forces[:, s.case("static")]
    assert s.support_forces[:, s.case("twice over")] == pytest.approx(added, rel=EXACT, abs=1e-6)


def test_forces_come_in_where_the_links_are(statics, solved):
    """A unit force of every link about the datum: its own place, with the lever of each bracket."""
    variety, c, s = solved
    for a in c.axles:
        for side, sign in (("left", -1), ("right", 1)):
            for what, place, force in where(a, c, side, sign):
                name = f"{a.name} {what}" if what == "side" else f"{a.name} {what} {side}"
                if name in s.supports:
                    got = statics.entry(s, name)
                    assert got == pytest.approx(statics.wrench(place, force), rel=EXACT, abs=1e-6), (variety, name)


def where(a, c, side, sign):
    """Link, place and unit force by hand."""
    n = a.links
    if n is None:
        rail = c.rails[0 if side == "left" else 1]
        level = np.interp(a.seats[0][0], *np.array([(p.station, p.height) for p in c.rails[0].path]).T)
        n = Links(kind="eyes", station=a.seats[0][0], spacing=a.spring_base, height=level, side_height=level)
        assert rail.side == side
    yield "fore-aft", (n.station, sign * n.spacing / 2, n.height), (1, 0, 0)
    if n.side_station is None:
        x = n.station if n.kind == "pivots" else a.station
        yield "side", (x, 0, n.side_height), (0, 1, 0)
        yield "side", (x, 0, n.side_height), (0, 1, 0)
    else:
        yield "side", (n.side_station, n.side_y, n.side_height), (0, 1, 0)


def test_side_forces_of_both_sides(statics, solved):
    """Where there is no track bar both sides' places take a unit each at the roll centre's height."""
    _, c, s = solved
    for a in c.axles:
        n = a.links
        if n is not None and n.side_station is not None:
            assert f"{a.name} side" in s.supports
            continue
        for side, sign in (("left", -1), ("right", 1)):
            ((_, place, force),) = [w for w in where(a, c, side, sign) if w[0] == "side"][:1]
            got = statics.entry(s, f"{a.name} side {side}")
            assert got == pytest.approx(statics.wrench(place, force), rel=EXACT, abs=1e-6)


def test_wind_up_is_a_couple(statics, solved):
    """Eyes and pivots of single wheels take a pure couple; of arms the pivot alone is in it: 1/lever upward there, and
    the spring above the axle gives way to the other half."""
    _, c, s = solved
    for a in c.axles:
        for side, sign in (("left", -1), ("right", 1)):
            got = statics.entry(s, f"{a.name} wind-up {side}")
            if a.links is not None and a.links.kind == "arms":
                n = a.links
                up = (0, 0, 1 / (a.station - n.station))
                wanted = statics.wrench((n.station, sign * n.spacing / 2, n.height), up)
            else:
                wanted = np.array([0, 0, 0, 0, 1.0, 0])
            assert got == pytest.approx(wanted, rel=EXACT, abs=1e-9)


def test_stops_dampers_and_yaw_by_hand(statics, solved):
    """A stop pushes above the spring, a damper at its bracket; of independent wheels each brings the couple of its
    distance to the wheel, at their pivots: one vertical force at the wheel's y.  Yaw is a pure couple about z."""
    _, c, s = solved
    for a in c.axles:
        single = a.kind == "independent"
        for side, sign in (("left", -1), ("right", 1)):
            y = a.track / 2 if single else a.spring_base / 2
            got = statics.entry(s, f"{a.name} stop {side}")
            assert got == pytest.approx(statics.wrench((a.station, sign * y, 0), (0, 0, 1)), rel=EXACT, abs=1e-9)
            if a.damper:
                y = a.track / 2 if single else a.damper.spacing / 2
                got = statics.entry(s, f"{a.name} damper {side}")
                at = (a.damper.station, sign * y, 0)
                assert got == pytest.approx(statics.wrench(at, (0, 0, 1)), rel=EXACT, abs=1e-9)
            if single:
                assert statics.entry(s, f"{a.name} yaw {side}") == pytest.approx([0, 0, 0, 0, 0, 1], abs=1e-9)
    assert sum(s.mesh.places[a.stop_name("left")].arm[1] != 0 for a in c.axles) > 0


def test_springs_come_in_where_their_axle_says(statics, solved):
    """One vertical force at the spring of a beam axle, at the wheel of an independent one."""
    _, c, s = solved
    for k, place in enumerate(statics.spring_places(c)):
        assert statics.entry(s, s.supports[k]) == pytest.approx(statics.wrench(place, (0, 0, 1)), rel=EXACT, abs=1e-9)


def test_a_torsion_bar_brings_its_couple_to_the_anchor(statics, made):
    """The couple of a wheel's arm, force x (track - spring base)/2, on the crossmember; the seat takes the force."""
    front = made.axle("front", 700.0, kind="independent", torsion_bar="middle", spring_base=600.0)
    c = made.chassis(axles=(front, made.AXLES[1]), cases=(made.STATIC,), material=made.WEIGHTLESS)
    s = solve_chassis(c)
    (seat, anchor) = s.system.seats[0].places
    assert seat == (front.seat_name("left", 0), (0, 0, 1, 0, 0, 0))
    assert anchor == (front.anchor_name("left"), (0, 0, 0, -(1480 - 600) / 2, 0, 0))
    for y, sign in ((-300.0, -1), (300.0, 1)):
        assert _jump(s, "middle", y)[0] == pytest.approx(-sign * s.support_forces[0, 0] * 440, rel=EXACT)


def _jump(s, name, y):
    """(c,) by how much My of a crossmember, about the forward y', falls at y: the couple about it from outside."""
    members = np.array(s.mesh.part(name).members)
    after = next(m for m in members if abs(s.mesh.along[m, 0] - y) < 1e-6)
    r = s.resultants(np.array([after - 1, after]), np.array([s.mesh.lengths[after - 1], 0.0]))
    return r[0, 4] - r[1, 4]


TRACK, BASE, RATIO, ROLL = 1480.0, 600.0, 0.8, 12e6


@pytest.fixture(scope="module")
def barred(made):
    """A weightless straight frame on torsion bars anchored behind the axle, with an anti-roll bar and stops."""
    front = made.axle(
        "front", 700.0, kind="independent", torsion_bar="middle", spring_base=BASE, motion_ratio=RATIO, anti_roll=ROLL,
        bump_gap=15.0, droop=15.0, pull=np.inf,
    )  # fmt: skip
    limit = made.CaseSpec(name="limit", kind="limit twist", wheels=("front left",), factor=1.0)
    low, high = (
        made.CaseSpec(name=f"{h:g} mm", kind="raised", wheels=("front left",), height=h) for h in (20.0, 250.0)
    )
    c = made.chassis(axles=(front, made.AXLES[1]), cases=(made.STATIC, limit, low, high), material=made.WEIGHTLESS)
    return c, solve_chassis(c)


def _cut(s, station):
    """(c,) N mm about x that what lies ahead of a cut through both level rails brings: T + y Vz of the faces."""
    couple = 0.0
    for side, sign in (("left", -1), ("right", 1)):
        part = s.mesh.part(f"{side} rail")
        m = next(m for m in part.members if s.mesh.along[m, 0] <= station < s.mesh.along[m, 1])
        r = s.resultants(np.array([m]), np.array([station - s.mesh.along[m, 0]]))[0]
        couple = couple - (r[3] + sign * 400.0 * r[2])
    return couple


def test_an_anti_roll_bar_beside_torsion_bars_has_its_couple_on_the_rails(barred):
    """Of a couple T the wheels' springs bring T (base/track) to the rails at the axle and the rest to the anchor behind
    the cut; the bar, by its share of the roll stiffness, brings all of its part at the axle.  Statics of the front part
    of the frame, by hand."""
    c, s = barred
    limit = min(a.load * G * a.track / 2 for a in c.axles)
    springs = 30.0 * RATIO**2 * TRACK**2 / 2
    share = ROLL / (ROLL + springs)
    by_hand = -limit * (share + (1 - share) * BASE / TRACK)  # left side up
    assert _cut(s, 1000.0)[s.case("limit")] == pytest.approx(by_hand, rel=1e-6)


@pytest.mark.parametrize("height", [20.0, 250.0], ids=["stops open", "stops closed"])
def test_stops_beside_torsion_bars_have_their_couple_on_the_rails(barred, height):
    """The same with each link's own force, found on the way up: springs with their lever to the rail, bar, stops and
    straps with that to the wheel."""
    c, s = barred
    lift = next(x for x in raise_wheels(c, s, 300.0) if x.wheels == ("front left",))
    force = lift.at(height)
    couple = TRACK * force["front anti-roll bar"]
    for side, sign in (("left", -1), ("right", 1)):
        couple += sign * BASE / 2 * RATIO * force[f"front {side} spring"]
        couple += sign * TRACK / 2 * (force[f"front {side} bump stop"] - force[f"front {side} droop strap"])
    closed = force["front left bump stop"] > 0
    assert closed == (height > 100)
    assert _cut(s, 1000.0)[s.case(f"{height:g} mm")] == pytest.approx(couple, rel=1e-6)


@pytest.mark.parametrize("more", [{}, {"torsion_bar": "middle"}], ids=["coils", "torsion bars"])
def test_every_independent_wheel_is_in_balance_by_itself(statics, made, more):
    """Ground, weight and inertia of one wheel are what its own rows do to the frame: force up, side force, and the
    couple about x.  Nothing but arms and spring joins it to the frame."""
    front = made.axle("front", 700.0, kind="independent", spring_base=760.0, pull=np.inf, anti_roll=0.0,
                      links=replace(PIVOTS, station=700.0, side_height=-330.0), **more)  # fmt: skip
    turn = made.CaseSpec(name="turn", kind="cornering", side="right", acceleration=0.4)
    kerb = made.CaseSpec(name="kerb", kind="kerb strike", axle="front", side="left", factor=0.5)
    c = made.chassis(axles=(front, made.AXLES[1]), cases=(made.STATIC, turn, kerb), ground=-540.0)
    s = solve_chassis(c)
    for case in ("turn", "kerb"):
        j = s.case(case)
        for w, (side, sign) in enumerate((("left", -1), ("right", 1))):
            rows = [k for k, n in enumerate(s.supports) if n.startswith("front ") and f" {side}" in n]
            lever = np.stack([statics.entry(s, s.supports[k]) for k in rows], axis=1)
            passed = lever @ s.support_forces[rows, j]
            plan = s.field[1, j] if case == "turn" else 0.0
            own = front.unsprung / 2 * np.array([0.0, plan, -G])
            centre = (700.0, sign * 740.0, c.ground + front.tyre_radius)
            wanted = statics.wrench(centre, own)
            wanted = wanted + statics.wrench((700.0, sign * 740.0, c.ground), s.ground[w, :, j])
            assert passed[1:4] == pytest.approx(wanted[1:4], rel=1e-9, abs=1e-3), (case, side)
