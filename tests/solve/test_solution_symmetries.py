"""Mirrored, moved, multiplied and superposed chassis; and the balance of a bouncing frame."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec, read_chassis
from ladderfe.solve import solve_chassis

EXACT = 1e-9
KG = 9.80665
SIDES = {"left": "right", "right": "left"}


def other_side(name):
    """The name of the mirror image of a rail, mount or outrigger."""
    for a, b in SIDES.items():
        if a in name.split():
            return " ".join(b if w == a else w for w in name.split())
    return name


def mirrored(c):
    """The chassis as seen in a mirror: y turned round everywhere."""
    left, right = c.rails

    def turn(r, side):
        spans = [
            replace(s, shape=s.shape.mirrored(), shape_end=s.shape_end and s.shape_end.mirrored()) for s in r.spans
        ]
        return replace(r, side=side, spans=tuple(spans))

    def flip(p):
        return p[0], -p[1], p[2]

    return replace(
        c,
        rails=(turn(right, "left"), turn(left, "right")),
        crossmembers=tuple(
            replace(
                m, station_left=m.station_right, station_right=m.station_left, height_left=m.height_right,
                height_right=m.height_left, via=tuple((-y, z) for y, z in reversed(m.via)),
                joint_left=m.joint_right, joint_right=m.joint_left,
            ) for m in c.crossmembers
        ),
        outriggers=tuple(replace(o, name=other_side(o.name), side=SIDES[o.side]) for o in c.outriggers),
        mounts=tuple(replace(m, name=other_side(m.name), part=other_side(m.part), y=-m.y) for m in c.mounts),
        masses=tuple(
            replace(m, centre=flip(m.centre), mounts=tuple(other_side(n) for n in m.mounts)) for m in c.masses
        ),
        axles=tuple(replace(a, wheel_loads=a.wheel_loads and a.wheel_loads[::-1]) for a in c.axles),
    )  # fmt: skip


def along(s, name):
    """(k, 8, c) resultants at the ends of all members of a part."""
    members = np.array(s.mesh.part(name).members)
    both = [s.resultants(members, x) for x in (np.zeros(len(members)), s.mesh.lengths[members])]
    return np.concatenate(both)


@pytest.fixture(scope="module")
def demo(demo_file):
    """The demo chassis with its two axles weighed wheel by wheel, under vertical cases (the others:
    tests/solve/test_statics_*)."""
    c = read_chassis(demo_file)
    c = replace(c, cases=tuple(s for s in c.cases if s.kind in ("static", "amplified", "bounce")))
    heavier = [(0.51, 0.49), (0.5, 0.5)]
    axles = tuple(replace(a, wheel_loads=(p * a.load, q * a.load)) for a, (p, q) in zip(c.axles, heavier, strict=True))
    return replace(c, axles=axles)


@pytest.fixture(scope="module")
def solved(demo):
    return solve_chassis(demo)


def test_a_mirrored_chassis_gives_mirrored_results(demo, solved):
    """N, Vz and My of the other rail alike, Vy, T, Mz, bimoment, racking force and angle turned round; spring
    forces change sides."""
    image = solve_chassis(mirrored(demo))
    sign = np.array([1, -1, 1, -1, 1, -1.0, -1, -1, -1])[None, :, None]
    for one, other in (("left rail", "right rail"), ("right rail", "left rail")):
        a, b = along(solved, one), sign * along(image, other)
        for block in (slice(0, 3), slice(3, 6), slice(6, 7), slice(7, 8), slice(8, 9)):
            assert np.abs(a[:, block]).max() > 0
            assert b[:, block] == pytest.approx(a[:, block], abs=EXACT * np.abs(a[:, block]).max())
    for k, name in enumerate(solved.supports[:4]):
        there = image.supports.index(other_side(name))
        assert image.support_forces[there] == pytest.approx(solved.support_forces[k], rel=EXACT)


def test_moving_the_datum_changes_no_stress(demo, solved):
    """All stations 730 mm and all heights 410 mm more, bounce with its inertia about the datum included."""
    dx, dz = 730.0, 410.0

    def rail(r):
        path = tuple(replace(p, station=p.station + dx, height=p.height + dz) for p in r.path)
        return replace(r, path=path, spans=tuple(replace(s, start=s.start + dx, end=s.end + dx) for s in r.spans))

    moved = replace(
        demo,
        ground=demo.ground + dz,
        rails=tuple(rail(r) for r in demo.rails),
        crossmembers=tuple(
            replace(
                m, station_left=m.station_left + dx, station_right=m.station_right + dx, height_left=m.height_left + dz,
                height_right=m.height_right + dz, via=tuple((y, z + dz) for y, z in m.via),
            ) for m in demo.crossmembers
        ),
        outriggers=tuple(replace(o, station=o.station + dx, height=o.height + dz) for o in demo.outriggers),
        mounts=tuple(replace(m, station=m.station + dx, height=m.height + dz) for m in demo.mounts),
        masses=tuple(replace(m, centre=(m.centre[0] + dx, m.centre[1], m.centre[2] + dz)) for m in demo.masses),
        axles=tuple(
            replace(
                a, station=a.station + dx, seats=tuple((x + dx, q) for x, q in a.seats),
                links=replace(a.links, station=a.links.station + dx, height=a.links.height + dz),
            ) for a in demo.axles
        ),
        diaphragms=tuple(replace(d, station=d.station + dx) for d in demo.diaphragms),
        body=replace(demo.body, start=demo.body.start + dx, end=demo.body.end + dx, split=demo.body.split + dx),
    )  # fmt: skip
    other = solve_chassis(moved)
    for name in ("left rail", "gearbox"):
        a, b = along(solved, name), along(other, name)
        assert b == pytest.approx(a, abs=1e-8 * np.abs(a).max())  # one digit more is lost in the larger numbers


def test_amplified_is_the_factor_times_static(demo):
    """Loads, spring forces, movements and resultants, wheel loads included."""
    s = solve_chassis(
        replace(demo, cases=(CaseSpec(name="a", kind="static"), CaseSpec(name="b", kind="amplified", factor=2.5)))
    )
    for values in (s.support_forces[:4], s.movements, s.end_forces.reshape(-1, 3)):
        scale = np.abs(values[:, 1]).max()
        assert values[:, 2] == pytest.approx(2.5 * values[:, 1], abs=1e-12 * scale)


def test_masses_added_together_do_what_they_do_one_by_one(made):
    """Superposition: the answer to two added masses less that to none is the sum of the answers to each."""
    mounts = (
        made.mount("a", "left rail", 1300, -520),
        made.mount("b", "right rail", 2600, 430),
        made.mount("c", "middle", 1900, 90),
    )
    one = made.mass("box", 0.1, (1300, -520, 60), ("a",), aboard=False)
    two = made.mass("bag", 0.2, (2300, 250, 300), ("b", "c"), aboard=False)
    found = [solve_chassis(made.chassis(mounts=mounts, masses=m)) for m in ((), (one,), (two,), (one, two))]
    for values in ([s.movements[:, 1] for s in found], [s.support_forces[:, 1] for s in found]):
        none, first, second, both = values
        assert both - none == pytest.approx(first + second - 2 * none, abs=1e-9 * np.abs(both).max())


def test_steel_and_springs_twice_as_stiff_move_half_as_far(made):
    c = made.chassis()
    stiffer = replace(
        c,
        material=replace(c.material, youngs_modulus=410_000.0),
        axles=tuple(replace(a, rate=2 * a.rate) for a in c.axles),
    )
    a, b = solve_chassis(c), solve_chassis(stiffer)
    assert b.movements == pytest.approx(a.movements / 2, abs=EXACT * np.abs(a.movements).max())
    assert b.support_forces == pytest.approx(a.support_forces, abs=EXACT * np.abs(a.support_forces).max())


def test_refining_changes_nothing_where_nothing_tapers(made):
    a, b = solve_chassis(made.chassis()), solve_chassis(made.chassis(), refine=3)
    assert b.support_forces == pytest.approx(a.support_forces, abs=EXACT * a.support_forces.max())
    first, third = along(a, "left rail"), along(b, "left rail")
    n = len(a.mesh.part("left rail").members)
    assert third[: 3 * n : 3] == pytest.approx(first[:n], abs=EXACT * np.abs(first).max())


# --- bounce -------------------------------------------------------------------------------------------------------


def bounced(made, axle, **changes):
    cases = (made.STATIC, CaseSpec(name="hop", kind="bounce", factor=2.5, axle=axle))
    return solve_chassis(made.chassis(cases=cases, **changes))


@pytest.mark.parametrize(("axle", "factors"), [("front", (2.5, 1)), ("rear", (1, 2.5)), ("both", (2.5, 2.5))])
def test_spring_forces_of_a_bounce_are_exact(demo, axle, factors):
    """The static force of every spring, the load added after weighing included, times the factor of its axle."""
    cases = (CaseSpec(name="static", kind="static"), CaseSpec(name="hop", kind="bounce", factor=2.5, axle=axle))
    s = solve_chassis(replace(demo, cases=cases))
    static, hop = s.support_forces[:, 1], s.support_forces[:, 2]
    assert hop[:4] == pytest.approx(np.repeat(factors, 2) * static[:4], rel=1e-12)
    assert np.abs(hop[4:]).max() < EXACT * hop.max()


def test_the_centre_of_mass_is_thrown_up_by_the_extra_force(made):
    """a = 1.5 x static force of the front springs / sprung mass; turned by the moment about the centre over the moment
    of inertia M L^2/12 of an even load (weightless frame, both axles loaded alike and set symmetrically)."""
    s = bounced(made, "front", material=made.WEIGHTLESS)
    mass, length = 1.5, made.LENGTH
    extra = 1.5 * 750 * KG
    up, turn = extra / mass, extra * (length / 2 - made.FRONT) / (mass * length**2 / 12)
    field = s.field[:, 2]
    at_centre = field[2] - field[4] * length / 2
    assert at_centre == pytest.approx(-(9806.65 + up), rel=EXACT)
    # x rearward, z up: a push ahead of the centre lifts the front; inertia pulls it down by `turn` per mm ahead of it
    at_front = field[2] - field[4] * made.FRONT
    assert at_front - at_centre == pytest.approx(-turn * (length / 2 - made.FRONT), rel=EXACT)
    height = {line.height for line in s.carried.lines}.pop()  # it turns about the centre, not about the rails
    assert field[0] + field[4] * height == pytest.approx(0, abs=EXACT * up)
    assert field[[1, 3, 5]] == pytest.approx(np.zeros(3), abs=EXACT * up)


def test_moments_of_a_bouncing_rail_by_hand(made):
    """Each rail is a free beam with given forces F1, F2 and inertia that grows linearly toward the front: the load per
    length is w(x) = F/L + 12 K (x - L/2)/L^3 with K its moment about the middle; M(x) by integrating twice."""
    s = bounced(made, "front", material=made.WEIGHTLESS)
    length, forces = made.LENGTH, np.array([2.5, 1.0]) * 375 * KG
    axles = np.array([made.FRONT, made.REAR])
    slope = 12 * float(forces @ (axles - length / 2)) / length**3
    start = forces.sum() / length - slope * length / 2
    x = np.linspace(0, length, 33)
    moment = -start * x**2 / 2 - slope * x**3 / 6 + np.maximum(x[:, None] - axles, 0) @ forces
    part = s.mesh.part("right rail")
    members = [next(m for m in part.members if s.mesh.along[m, 1] >= v) for v in x]
    at = x - s.mesh.along[members, 0]
    found = -s.resultants(np.array(members), at)[:, 4, 2]
    assert found == pytest.approx(moment, abs=EXACT * np.abs(moment).max())


def test_a_bounce_is_in_equilibrium_with_its_inertia(demo):
    """Forces and moments about the datum of springs, line loads, masses and frame, summed from the masses' places."""
    from ladderfe.checks.balance import carried_points

    s = solve_chassis(demo)
    mass, place, aboard = carried_points(demo, s)
    for c in range(len(s.cases)):
        total = np.zeros(6)
        for m, r, on in zip(mass, place, aboard, strict=True):
            field = (s.field if on else s.later_field)[:, c]
            f = m * (field[:3] + np.cross(field[3:], r))
            total += [*f, *np.cross(r, f)]
        for k, spring in enumerate(s.springs):
            for name, share in spring.seats:
                r = s.mesh.nodes[s.mesh.places[name].node] + s.mesh.places[name].arm
                f = np.array([0, 0, share * s.support_forces[k, c]])
                total += [*f, *np.cross(r, f)]
        assert np.abs(total[:3]).max() < EXACT * mass.sum() * 9806.65
        assert np.abs(total[3:]).max() < EXACT * mass.sum() * 9806.65 * 2360
