"""A wheel raised step by step: corners of the path against single solves, bisection and closed forms."""

from math import inf, pi

import numpy as np
import pytest

from ladderfe.cases.axle_links import raised
from ladderfe.cases.suspension import Suspension
from ladderfe.solve.contact import level_set_up, stand
from ladderfe.solve.lift_path import lift_path

WHEELS = ("front left wheel", "front right wheel", "rear left wheel", "rear right wheel")


def random_vehicle(contacts, seed):
    """Everything that can change on the way: loose coils, stops, straps, tyres, bars."""
    rng = np.random.default_rng(seed)
    axles = [
        Suspension(
            axle=contacts.axle(
                name, 2300.0 * i, load=rng.uniform(600, 1300), unsprung=rng.uniform(80, 200), rate=rng.uniform(20, 80)
            ),
            pull=rng.choice([0.0, 400.0, inf]), bump_gap=rng.choice([45.0, inf]), droop=rng.choice([60.0, inf]),
            tyre_rate=rng.choice([180.0, inf]), anti_roll=rng.choice([0.0, 8e6]),
        )
        for i, name in enumerate(("front", "rear"))
    ]  # fmt: skip
    return contacts.vehicle(axles, twist=10 ** rng.uniform(7.3, 8.5)), rng


def alone(v, set_up, raising, heights):
    """Single solves at heights."""
    d0 = set_up[:, None] + np.outer(raising, heights)
    k = len(heights)
    return stand(v.problem, np.repeat(v.g[:, None], k, axis=1), np.repeat(v.loads[:, None], k, axis=1), d0)


@pytest.mark.parametrize("seed", range(12))
def test_path_equals_single_solves(contacts, seed):
    """At 40 random heights: the piece's set and, interpolated, its forces.  1e-9 of the greatest force: rounding."""
    v, rng = random_vehicle(contacts, seed)
    set_up = level_set_up(v.problem, v.g, v.loads)
    raising = raised(v.system, {WHEELS[seed % 4]: 1.0, **({WHEELS[3 - seed % 4]: 1.0} if seed % 2 else {})})
    path = lift_path(v.problem, v.g, v.loads, set_up, raising, 1600.0)
    assert path.tipping is None
    assert path.height[0] == 0
    assert path.height[-1] == 1600
    assert len(path.height) > 2
    assert np.all(np.diff(path.height) > 0)
    heights = rng.uniform(0, 1600, 40)
    got = alone(v, set_up, raising, heights)
    piece = np.searchsorted(path.height, heights) - 1
    np.testing.assert_array_equal(got.down, path.down[:, piece])
    size = np.abs(got.forces).max()
    for k, h in enumerate(heights):
        np.testing.assert_allclose(path.forces_at(h), got.forces[:, k], rtol=0, atol=1e-9 * size)


@pytest.mark.parametrize("seed", range(0, 12, 3))
def test_every_corner_is_a_change(contacts, seed):
    """Just below and just above a corner the sets differ, and by the supports that are named."""
    v, _ = random_vehicle(contacts, seed)
    set_up, raising = level_set_up(v.problem, v.g, v.loads), raised(v.system, {WHEELS[0]: 1.0})
    path = lift_path(v.problem, v.g, v.loads, set_up, raising, 1600.0)
    inner = path.height[1:-1]
    below, above = alone(v, set_up, raising, inner - 1e-4), alone(v, set_up, raising, inner + 1e-4)
    for j, h in enumerate(inner):
        changed = {v.problem.names[i] for i in np.nonzero(below.down[:, j] != above.down[:, j])[0]}
        assert changed
        assert changed == {c.support for c in path.changes if c.height == h}
        assert all(c.lifts == below.down[v.at(c.support), j] for c in path.changes if c.height == h)


def test_height_of_lift_by_bisection(contacts):
    """The first wheel to lift: bisection on single solves, to 1e-9 of a metre."""
    v = contacts.vehicle(
        [
            Suspension(axle=contacts.axle(n, x, load=load), pull=inf)
            for n, x, load in (("front", 0.0, 800), ("rear", 2300.0, 1000))
        ],
        twist=2e8,
    )
    set_up, raising = level_set_up(v.problem, v.g, v.loads), raised(v.system, {"rear left wheel": 1.0})
    path = lift_path(v.problem, v.g, v.loads, set_up, raising, 3000.0)
    first = path.changes[0]
    assert first.support == "front left wheel"  # the diagonal of the raised wheel's neighbour, on the lighter axle
    low, high = 0.0, 3000.0
    while high - low > 1e-7:
        middle = (low + high) / 2
        if alone(v, set_up, raising, np.array([middle])).down[v.at(first.support), 0]:
            low = middle
        else:
            high = middle
    assert first.height == pytest.approx(high, abs=1e-6)


def test_two_wheels_of_even_axles_lift_together(contacts):
    """Equal axles: front right and rear left unload at one height, h = W t^2/(2 K); it then rocks on the other two
    and no force changes any more."""
    each = [Suspension(axle=contacts.axle(n, x, unsprung=150), pull=inf) for n, x in (("front", 0.0), ("rear", 2300.0))]
    v = contacts.vehicle(each, twist=1.2e8)
    set_up, raising = level_set_up(v.problem, v.g, v.loads), raised(v.system, {"front left wheel": 1.0})
    path = lift_path(v.problem, v.g, v.loads, set_up, raising, 2000.0)
    weight, track = 0.9 * contacts.G, 1480.0
    K = 1 / (2 / (40 * 1000.0**2 / 2) + 1 / 1.2e8)
    corner = path.height[1]
    assert corner == pytest.approx(weight * track**2 / (2 * K), rel=1e-9)
    loads = [path.forces[v.at(w), -1] for w in WHEELS]
    assert loads == pytest.approx([weight, 0, 0, weight], abs=1e-6)
    assert path.rocking[0] is None
    assert path.rocking[-1].words == "rocks: it stands on front left wheel and rear right wheel alone"
    assert path.tipping is None


def test_a_stand_that_is_raised_past_level(contacts):
    """Bare frame, K = 2 kN m/deg, fourth stand 20 mm low: the lighter one across, 2.5 kN, hangs free.  Raised by 60 mm:
    first that one touches, K d/b^2 = 2.5 kN below level, then the lighter of the others, 2.6 kN, lifts above level."""
    K, b = 2e6 * 180 / pi, 800.0
    flexibility = np.zeros((4, 4))
    flexibility[3, 3] = b**2 / K
    places = ((0, -b / 2), (0, b / 2), (2000, -b / 2), (2000, b / 2))
    p = contacts.bare(places, flexibility=flexibility)
    weights = np.r_[2500.0, 2600, 2650, 2700, 0, 0, 0]
    d0 = np.array([0, 0, 0, -20.0, 0, 0, 0])
    path = lift_path(p, -p.soft @ weights, -p.lever.T @ weights, d0, np.eye(7)[3], 60.0)
    assert [(c.support, c.lifts) for c in path.changes] == [("stand 1", False), ("stand 2", True)]
    touch, lift = (c.height for c in path.changes)
    assert touch == pytest.approx(20 - 2500 * b**2 / K, rel=1e-9)
    assert lift == pytest.approx(20 + 2600 * b**2 / K, rel=1e-9)


def test_a_path_that_tips_at_once(contacts):
    places = ((0, -400), (0, 400), (2000, -400), (2000, 400))
    p = contacts.bare(places, soft=1e-3)
    path = lift_path(p, np.zeros(7), contacts.weight_at(500.0, -300), np.zeros(7), np.eye(7)[0], 50.0)
    assert path.tipping.words.startswith("tips over about the line through stand 1 and stand 2")
    assert path.height.size == 0
