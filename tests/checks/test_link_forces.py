"""What reaches the frame at links: names of the places, and sums by statics."""

from dataclasses import replace

import pytest

from ladderfe.chassis import Damper, Links
from ladderfe.checks.link_forces import link_forces
from ladderfe.solve import solve_chassis

G = 9.80665
SPRUNG = 1.5e3 * G  # 0.75 t on each axle


def leaf(made, name, station, **more):
    """A beam axle on leaf springs with eyes 400 mm ahead and behind."""
    return made.axle(name, station, seats=((station - 400, 0.5), (station + 400, 0.5)), **more)


def solved(made, axles, *cases):
    c = made.worked_chassis(made.STATIC, *cases, axles=axles)
    return c, solve_chassis(c)


@pytest.fixture(scope="module")
def braked(made):
    axles = leaf(made, "front", made.FRONT + 200), leaf(made, "rear", made.REAR)
    return solved(made, axles, made.CaseSpec(name="braking", kind="braking", acceleration=1.1))


def of(found, case, **wanted):
    return [f for f in found if f.case == case and all(getattr(f, k) == v for k, v in wanted.items())]


def test_fore_aft_forces_slow_down_the_sprung_mass(braked):
    """Newton: m a of all that hangs on the links, at the four fixed eyes, rearward."""
    c, s = braked
    own = of(link_forces(c, s), s.case("braking"), way="fore-aft")
    assert {(f.axle, f.side, f.place) for f in own} == {
        (a, side, "fixed eye") for a in ("front", "rear") for side in ("left", "right")
    }
    assert sum(f.size for f in own) == pytest.approx(1.1 * SPRUNG, rel=1e-9)


def test_wind_up_turns_what_the_eyes_do_not_lie_on_the_ground(braked):
    """C = X_ground (z_ground - z_eye) + m a (z_wheel - z_eye) of each axle, by hand; eyes at the rail's axis, 0 mm."""
    c, s = braked
    k = s.case("braking")
    for i, axle in enumerate(c.axles):
        ground = s.ground[2 * i : 2 * i + 2, 0, k].sum()
        own = axle.unsprung * 1000 * 1.1 * G
        by_hand = ground * c.ground - own * (c.ground + axle.tyre_radius)
        found = of(link_forces(c, s), k, axle=axle.name, way="wind-up couple")
        assert [f.couple for f in found] == [True, True]
        assert sum(f.size for f in found) == pytest.approx(by_hand, rel=1e-9)


def test_static_cases_bring_nothing(braked):
    c, s = braked
    assert all(f.size == 0 for f in of(link_forces(c, s), s.case("static")))


def test_there_are_none_without_forces_through_links(made):
    c = made.chassis()
    assert link_forces(c, solve_chassis(c)) == []


ARMS = Links(
    kind="arms", station=1500.0, spacing=700.0, height=-60.0, side_height=-100.0, side_station=600.0, side_y=-350.0
)
PIVOTS = Links(kind="pivots", station=850.0, spacing=600.0, height=-80.0, side_height=-40.0)


def test_arms_push_their_pivots_up_by_the_couple_over_their_length(made):
    """The pivot's part of the couple: C/(x_axle - x_pivot) upward, at arms 600 mm long behind the axle."""
    axles = replace(leaf(made, "front", 900.0), links=ARMS), leaf(made, "rear", made.REAR)
    c, s = solved(made, axles, made.CaseSpec(name="braking", kind="braking", acceleration=0.8))
    k = s.case("braking")
    own = of(link_forces(c, s), k, axle="front", place="arm pivot")
    assert {(f.side, f.way) for f in own} == {(x, w) for x in ("left", "right") for w in ("fore-aft", "up")}
    axle = c.axles[0]
    ground, inertia = s.ground[:2, 0, k].sum(), axle.unsprung * 1000 * 0.8 * G
    couple = ground * (c.ground + 60) - inertia * (c.ground + axle.tyre_radius + 60)
    assert sum(f.size for f in own if f.way == "up") == pytest.approx(couple / (900 - 1500), rel=1e-9)
    (bar,) = of(link_forces(c, s), k, axle="front", way="sideways")
    assert (bar.side, bar.place) == ("", "track bar")


def test_pivots_of_independent_wheels_and_dampers_have_names(made):
    damper = Damper(station=700.0, spacing=900.0, height=150.0, force=2000.0)
    front = made.axle("front", made.FRONT, kind="independent", links=PIVOTS, damper=damper)
    bounce = made.CaseSpec(name="bounce", kind="bounce", axle="front", factor=2.5)
    turn = made.CaseSpec(name="turn", kind="cornering", side="left", acceleration=0.4)
    c, s = solved(made, (front, leaf(made, "rear", made.REAR)), bounce, turn)
    found = link_forces(c, s)
    sideways = of(found, s.case("turn"), axle="front", way="sideways")
    assert {f.place for f in sideways} == {"arm pivots"}
    assert sum(f.size for f in of(found, s.case("turn"), way="sideways")) == pytest.approx(-0.4 * SPRUNG, rel=1e-9)
    up = of(found, s.case("bounce"), place="damper bracket")
    assert [(f.side, f.way, f.size) for f in up] == [("left", "up", 2000.0), ("right", "up", 2000.0)]


def test_couples_of_independent_wheels_are_told_about_all_three_axes(made):
    """Statics of one wheel: Y at the ground and m b at the wheel's centre, about its pivots at (850, 300, -80) and the
    height -40 of the side force; by hand, M_x = y Z - z Y, M_z = x Y - y X."""
    front = made.axle("front", made.FRONT, kind="independent", links=PIVOTS)
    turn = made.CaseSpec(name="turn", kind="cornering", side="left", acceleration=0.4)
    c, s = solved(made, (front, leaf(made, "rear", made.REAR)), turn)
    k, axle = s.case("turn"), c.axles[0]
    found = [f for f in of(link_forces(c, s), k, axle="front") if f.couple]
    assert {(f.side, f.about) for f in found} == {(side, w) for side in ("left", "right") for w in "xyz"}
    for i, side in enumerate(("left", "right")):
        inertia = axle.unsprung / 2 * 1000 * 0.4 * G
        x_ground, y_ground = s.ground[i, 0, k], s.ground[i, 1, k]
        roll = y_ground * (-40 - c.ground) + inertia * (-40 - c.ground - axle.tyre_radius)
        out = (axle.track - 600) / 2 * (1 if i else -1)
        yaw = (made.FRONT - 850) * (y_ground + inertia) - out * x_ground
        size = {f.about: f.size for f in found if f.side == side}
        assert size["x"] == pytest.approx(roll, rel=1e-9)
        assert size["z"] == pytest.approx(yaw, rel=1e-9)
