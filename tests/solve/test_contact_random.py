"""1000 random patterns of wheels, stands, springs, stops and heights against a solve that tries every set.

The reference solves each set of closed links by itself, with at least three supports down, and keeps those whose
forces and openings have the right signs (tests/contacts.py).  Whether any forces can balance the loads is also asked
of scipy's linear programming (HiGHS).  Agreement to 1e-9 of the greatest force or opening: both sides solve
dense systems of condition up to 1e6 in double precision.
"""

from math import inf

import numpy as np
import pytest
from scipy.optimize import linprog

from ladderfe.solve.contact import bearable, stand
from ladderfe.solve.tipping import best_corner

CASES = 8
SAME = 1e-9


def balanced(problem, resultant):
    """Whether some forces >= lowest balance the loads, by linear programming."""
    scale = 1 / np.abs(problem.lever).max(axis=0)
    bounds = [(None if low == -inf else low, None) for low in problem.lowest]
    size = np.abs(scale * resultant).max()
    answer = linprog(
        np.zeros(len(bounds)),
        A_eq=(problem.lever * scale).T,
        b_eq=-scale * resultant / size,
        bounds=[(None if a is None else a / size, None) for a, _ in bounds],
        method="highs",
    )
    return answer.status == 0


def compare(contacts, problem, g, resultant, set_up):
    """Every case against the reference; returns how many stand and the different sets met."""
    got = stand(problem, g, resultant, set_up)
    sets, standing = set(), 0
    for k in range(g.shape[1]):
        wanted = contacts.every_set(problem, g[:, k], resultant[:, k], set_up[:, k])
        assert balanced(problem, resultant[:, k]) == bool(wanted)
        assert len(wanted) <= 1  # one set and no other
        if not wanted:
            assert got.tipping[k].over
            assert np.isnan(got.forces[:, k]).all()
            continue
        standing += 1
        assert got.tipping[k] is None
        closed, forces, opening = wanted[0]
        np.testing.assert_array_equal(got.down[:, k], closed)
        np.testing.assert_allclose(got.forces[:, k], forces, rtol=0, atol=SAME * np.abs(forces).max())
        np.testing.assert_allclose(got.opening[:, k], opening, rtol=0, atol=SAME * max(1.0, np.abs(opening).max()))
        obey_contact(problem, got, k, g, resultant, set_up)
        sets.add(closed.tobytes())
    return standing, sets


def obey_contact(problem, got, k, g, resultant, set_up):
    """None pulls more than it may, none is entered, idle ones carry nothing; equilibrium and movements close."""
    p, w = got.forces[:, k], got.opening[:, k]
    opens = np.isfinite(problem.lowest)
    assert np.all(p[opens] >= problem.lowest[opens] - 1e-12 * np.abs(p).max())
    assert np.all(w >= -1e-12 * max(1.0, np.abs(w).max()))
    assert np.all(p[~got.down[:, k]] == problem.lowest[~got.down[:, k]])
    assert np.all(w[got.down[:, k]] == 0)
    scale = 1 / np.abs(problem.lever).max(axis=0)
    lack = scale * (resultant[:, k] + problem.lever.T @ p)
    assert np.abs(lack).max() < 1e-12 * np.abs(p).sum()
    moved = problem.soft @ p + problem.lever @ got.motion[:, k] + g[:, k] - set_up[:, k]
    terms = np.abs(problem.soft) @ np.abs(p) + np.abs(problem.lever) @ np.abs(got.motion[:, k]) + np.abs(set_up[:, k])
    assert np.all(np.abs(moved - w) < 1e-12 * terms.max())


def frame_flexibility(rng, n):
    """A random frame: any positive definite matrix will do, from 0.2 mm/kN to 5 mm/kN."""
    a = rng.normal(size=(n, n))
    return a @ a.T / n * 10 ** rng.uniform(-3.7, -2.3)


@pytest.mark.parametrize("seed", range(70))
def test_bare_frames_on_stands(contacts, seed):
    """560 patterns: 3 to 7 stands, rigid or soft, some pull a little; heights up to 40 mm apart, load anywhere."""
    rng = np.random.default_rng(seed)
    s = int(rng.integers(3, 8))
    places = np.stack([rng.uniform(0, 3000, s), rng.choice([-1, 1], s) * rng.uniform(300, 600, s)], axis=1)
    problem = contacts.bare(
        places,
        flexibility=frame_flexibility(rng, s),
        soft=rng.choice([0.0, 1e-3]),
        lowest=np.where(rng.random(s) < 0.2, -rng.uniform(0, 800, s), 0.0),
    )
    n = s + 3
    resultant = np.stack(
        [
            contacts.weight_at(rng.uniform(500, 12000), rng.uniform(300, 2700), rng.uniform(-350, 350))
            for _ in range(CASES)
        ],
        axis=1,
    )
    set_up = np.zeros((n, CASES))
    set_up[:s] = rng.uniform(-1, 1, (s, CASES)) * 10 ** rng.uniform(-1, 1.6, CASES)
    g = rng.normal(size=(n, CASES))
    compare(contacts, problem, g, resultant, set_up)


def random_vehicle(contacts, rng):
    """Beam or independent axles, springs that pull nothing, a little or all, tyres, bars, stops and straps at times."""
    from ladderfe.cases.suspension import Suspension

    stops = int(rng.integers(0, 3))  # 0 none, 1 bump stops at the front, 2 straps at the rear
    axles = []
    for i, name in enumerate(("front", "rear")):
        kind = str(rng.choice(["beam", "independent"], p=[0.7, 0.3]))
        body = contacts.axle(
            name, 2400.0 * i, load=rng.uniform(500, 1500), unsprung=rng.uniform(60, 200), track=rng.uniform(1300, 1600),
            base=rng.uniform(700, 1100), rate=rng.uniform(20, 90), kind=kind,
        )  # fmt: skip
        axles.append(
            Suspension(
                axle=body,
                motion_ratio=1.0 if kind == "beam" else rng.uniform(0.5, 1.0),
                anti_roll=rng.choice([0.0, 1e7]),
                pull=rng.choice([0.0, 500.0, inf]),
                tyre_rate=rng.choice([150.0, inf]),
                bump_gap=60.0 if stops == 1 and i == 0 else inf,
                droop=50.0 if stops == 2 and i == 1 else inf,
            )
        )
    return contacts.vehicle(axles, twist=10 ** rng.uniform(7.5, 8.5))


@pytest.mark.parametrize("seed", range(55))
def test_vehicles_on_their_wheels(contacts, seed):
    """440 patterns: one to four wheels raised or lowered by up to 0.6 m, load off the middle."""
    from ladderfe.solve.contact import level_set_up

    rng = np.random.default_rng(1000 + seed)
    v = random_vehicle(contacts, rng)
    n = len(v.problem.names)
    standing = level_set_up(v.problem, v.g, v.loads)
    weight = -v.resultant[2]
    off = [
        contacts.weight_at(weight, x, y)
        for x, y in zip(rng.uniform(0, 2400, CASES), rng.uniform(-700, 700, CASES), strict=True)
    ]
    resultant = np.stack([v.loaded(o).loads for o in off], axis=1)
    set_up = np.repeat(standing[:, None], CASES, axis=1)
    wheels = [i for i, name in enumerate(v.problem.names) if name.endswith("wheel")]
    set_up[wheels] += rng.uniform(-1, 1, (4, CASES)) * 10 ** rng.uniform(1, 2.8, CASES) * (rng.random((4, CASES)) < 0.6)
    compare(contacts, v.problem, np.zeros((n, CASES)), resultant, set_up)


def test_the_random_patterns_show_something(contacts):
    """Many different sets, and both kinds of end, among the patterns above (counted on a few of them)."""
    standing, sets, cases = 0, set(), 0
    for seed in range(10):
        rng = np.random.default_rng(seed)
        s = 5
        places = np.stack([rng.uniform(0, 3000, s), rng.choice([-1, 1], s) * rng.uniform(300, 600, s)], axis=1)
        problem = contacts.bare(places, flexibility=frame_flexibility(rng, s))
        resultant = np.stack(
            [contacts.weight_at(5000, rng.uniform(300, 2700), rng.uniform(-350, 350)) for _ in range(CASES)], axis=1
        )
        set_up = np.zeros((s + 3, CASES))
        set_up[:s] = rng.uniform(-20, 20, (s, CASES))
        more, seen = compare(contacts, problem, np.zeros_like(set_up), resultant, set_up)
        standing, sets, cases = standing + more, sets | seen, cases + CASES
    assert len(sets) > 5
    assert 0 < standing < cases


def test_what_is_borne_is_the_best_corner(contacts):
    """The share of pushes that tip it over against scipy's linear programme (HiGHS, its tolerance 1e-7), one by one."""
    rng = np.random.default_rng(11)
    tipped = 0
    for _ in range(40):
        problem = random_vehicle(contacts, rng).problem
        n, m = problem.lever.shape
        weight, more = np.zeros((m, CASES)), np.zeros((m, CASES))
        weight[2] = -rng.uniform(1e4, 3e4, CASES)
        weight[3:5] = weight[2] * rng.uniform(-300, 300, (2, CASES))
        more[3:5] = rng.uniform(-1, 1, (2, CASES)) * 5e7
        moved = np.zeros((n, CASES))
        share = bearable(problem, (moved, weight), (moved, weight + more), np.zeros((n, CASES)))
        for k in range(CASES):
            corner = best_corner(problem, weight[:, k], more[:, k])
            if corner is None:
                assert np.isnan(share[k])
            else:
                assert share[k] == pytest.approx(corner[-1], rel=1e-6)
                tipped += corner[-1] < 1
    assert tipped > 50
