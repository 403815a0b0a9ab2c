"""Line loads on members of open section, and resultants inside them: torque, bimoment and its two parts."""

from math import cosh, sinh, sqrt, tanh

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import LineLoads
from ladderfe.elements.open_beam import OpenBeams, influence
from ladderfe.elements.open_loads import equivalent_loads
from ladderfe.elements.open_resultants import resultants

GJ, EIW, L = 81_000.0 * 1800, 210_000.0 * 2.734375e8, 1000.0
EXACT = 1e-9
K = sqrt(GJ / EIW)
M = 40.0  # N mm per mm
QUICK = settings(max_examples=15, deadline=None)


def scaled(chains, lengths, kl, **more):
    total = sum(lengths)
    more = {"gj": GJ, "eiw": GJ * (total / kl) ** 2} | more
    return chains.open_members(lengths, **more)


def run(chains, parts, supports, kl=None, **more):
    """A member in `parts` equal parts under the torque M per mm: fz = 1 at 40 mm beside the shear centre."""
    lengths = [L / parts] * parts
    p = chains.open_members(lengths, gj=GJ, eiw=EIW, **more) if kl is None else scaled(chains, lengths, kl, **more)
    line = chains.cut(chains.one_line(0, L, (M, 0), (0, 0, 1)), np.linspace(0, L, parts + 1))
    c = chains.Chain(p, line)
    for node, what in supports:
        c.hold(node, what)
    return c.solve()


# ---------------------------------------------------------------- closed forms of distributed torque


@pytest.mark.parametrize("parts", [1, 2, 50])
def test_cantilever_under_distributed_torque(chains, parts):
    """theta(L) = (m/GJ)[L²/2 + 1/k² - (1 + kl sinh kl)/(k² cosh kl)], B(0) = -(m/k²)[(1 + kl sinh kl)/cosh kl - 1]:
    closed form, integrating GJ theta' + dB/dx = m (L - x), theta'(0) = 0, B(L) = 0."""
    a = run(chains, parts, [(0, "all")])
    kl = K * L
    bracket = (1 + kl * sinh(kl)) / cosh(kl)
    assert a.at(-1, "rx") == pytest.approx(M / GJ * (L**2 / 2 + (1 - bracket) / K**2), rel=EXACT)
    assert a.section(0, 0.0, "B") == pytest.approx(-M / K**2 * (bracket - 1), rel=EXACT)
    assert a.section(0, 0.0, "T") == pytest.approx(M * L, rel=EXACT)
    assert a.section(0, 0.0, "Tw") == pytest.approx(M * L, rel=EXACT)  # theta' = 0 at the root


@pytest.mark.parametrize("parts", [1, 2, 50])
def test_built_in_at_both_ends_under_distributed_torque(chains, parts):
    """B at the ends -(m/k²)(kl/2 coth(kl/2) - 1), at the middle (m/k²)(1 - kl/2/sinh(kl/2)); middle twist (m
    L²/GJ)(1/8 - tanh(kl/4)/(2 kl)).  Closed form: B'' = k² B - m, symmetric, with theta' = 0 at the ends."""
    a, kl = run(chains, parts, [(0, "all"), (-1, "all")]), K * L
    end, middle = kl / 2 / tanh(kl / 2) - 1, 1 - kl / 2 / sinh(kl / 2)
    member, x = divmod(L / 2, L / parts) if parts % 2 else (parts // 2, 0.0)
    assert a.section(0, 0.0, "B") == pytest.approx(-M / K**2 * end, rel=EXACT)
    assert a.section(int(member), x, "B") == pytest.approx(M / K**2 * middle, rel=EXACT)
    if parts > 1:
        twist = M * L**2 / GJ * (1 / 8 - tanh(kl / 4) / (2 * kl))
        assert a.at(parts // 2, "rx") == pytest.approx(twist, rel=EXACT)


@pytest.mark.parametrize("parts", [1, 50])
@pytest.mark.parametrize("kl", [1e-6, 0.3, 30.0, 1e6])
def test_forks_at_both_ends_under_distributed_torque(chains, parts, kl):
    """Twist held, warping free: B(x) = (m/k²)(1 - cosh k(L/2 - x)/cosh(kl/2)), m x (L - x)/2 for small kl; exact."""
    a = run(chains, parts, [(0, "ux uy uz rx rz"), (-1, "uy uz rx")], kl)
    k, x = kl / L, 0.3 * L
    exact = M * x * (L - x) / 2
    if kl > 1e-3:
        fade = np.exp(k * (L / 2 - x) - kl / 2) * (1 + np.exp(-2 * k * (L / 2 - x))) / (1 + np.exp(-kl))
        exact = M / k**2 * (1 - fade)
    found = a.rows([int(0.3 * parts)], [x - int(0.3 * parts) * L / parts])[0, 6]
    assert found == pytest.approx(exact, rel=1e-8 if parts > 1 else EXACT)  # 1e-8: rounding of a node chain


@pytest.mark.parametrize("parts", [1, 3])
def test_a_pull_at_the_flange_tip_is_a_bimoment(chains, parts):
    """n per mm along a wall line with w = 1500 mm2: bimoment -w n per length.  Cantilever, closed form: B = -w n (L -
    x) + what the torque T = 0 = GJ theta' + Tw adds; B'' = k² B, B(L) = 0 and at the root theta' = 0, Tw = 0 = B' -
    mu."""
    n, w = 3.0, 1500.0
    mu = -w * n
    lengths = [L / parts] * parts
    lines = chains.cut(chains.one_line(0, L, (0, 0), (n, 0, 0)), np.linspace(0, L, parts + 1))
    c = chains.Chain(chains.open_members(lengths, gj=GJ, eiw=EIW), lines, np.full(len(lines), w)).hold(0, "all")
    a = c.solve()
    for x in (0.0, 250.0, 900.0):
        member = min(int(x / (L / parts)), parts - 1)
        b = -mu / K * sinh(K * (L - x)) / cosh(K * L)
        assert a.section(member, x - member * L / parts, "B") == pytest.approx(b, rel=EXACT)
    # f = (1/EIw) times the integral of -B; GJ f = -Tw = -(B' - mu)
    assert a.at(-1, "f") == pytest.approx(mu / GJ * (1 - 1 / cosh(K * L)), rel=EXACT)


# ---------------------------------------------------------------- any load, any section


@st.composite
def loaded(draw):
    def size(low, high):
        return draw(st.floats(low, high))

    return {
        "kl": 10 ** size(-5, 5), "start": size(0, 0.9), "length": size(0.02, 1.0),
        "point": (size(-60, 60), size(-60, 60)),
        "omega": size(-3000, 3000), "cut": size(0.1, 0.9), "sigma": size(0, 1e-9),
        "force": np.array(draw(st.lists(st.floats(-2, 2), min_size=9, max_size=9))).reshape(3, 3)
        * np.array([1, 1 / L, 1 / L**2])[:, None],
    }  # fmt: skip


def sizes(rows):
    """Largest force, moment and bimoment of resultants, each for its own kind (a force over L counts as a moment)."""
    force = np.abs(rows[:, :3]).max() + 1e-6
    moment = max(np.abs(rows[:, [3, 4, 5, 7]]).max(), force * 10)
    return np.array([force] * 3 + [moment] * 3 + [max(np.abs(rows[:, 6]).max(), 1e-3 * moment)] + [moment])


def of(chains, data, lengths=(L,)) -> tuple[OpenBeams, LineLoads]:
    p = scaled(
        chains, list(lengths), data["kl"], warp_shear=data["sigma"], centroid=(5.0, -3.0), shear_centre=(-30.0, 7.0),
        coupling=(sqrt(data["sigma"] * 3e-8) * 0.5, -sqrt(data["sigma"] * 5e-8) * 0.4),
        bending=[[2e11, 3e10], [3e10, 5e11]], shear=[[3e-8, 1e-8], [1e-8, 5e-8]],
    )  # fmt: skip
    start = data["start"] * L
    return p, chains.one_line(start, min(start + data["length"] * L, L), data["point"], data["force"])


@QUICK
@given(data=loaded())
def test_end_loads_are_the_integral_of_the_influence(chains, data):
    """Betti: end loads = int influence^T (force, moment, -w fx) dx, by 60 Gauss points in every stretch between the
    load's ends and steps of the decay length: 1e-9 of the largest end load of its kind."""
    p, load = of(chains, data)
    out = equivalent_loads(p, load, np.array([data["omega"]]))[0, :, 0]
    y, z = data["point"]
    start, end, k = load.start[0], load.end[0], p.decay[0]
    steps = np.array([s for n in (2, 8, 32) for s in (n / k, L - n / k) if start < s < end])
    cuts = np.unique(np.r_[start, steps, end])
    at, weight = np.polynomial.legendre.leggauss(60)
    x = (cuts[:-1, None] + np.diff(cuts)[:, None] * (at + 1) / 2).ravel()
    weight = (np.diff(cuts)[:, None] * weight / 2).ravel()
    s = x - start
    fx, fy, fz = (data["force"][0] + s[:, None] * (data["force"][1] + s[:, None] * data["force"][2])).T
    wrench = np.stack([fx, fy, fz, y * fz - z * fy, z * fx, -y * fx, -data["omega"] * fx], axis=1)
    inside = influence(p.take(np.zeros(len(x), dtype=int)), x)
    expected = np.einsum("x,xij,xi->j", weight, inside, wrench)
    reach = np.abs(wrench).sum(axis=0) @ np.array([1, 1, 1, 0, 0, 0, 0]) * L / len(x) + 1e-9
    length = min(L, 1 / k)
    scale = reach * np.r_[1, 1, 1, L, L, L, L * length, 1, 1, 1, L, L, L, L * length]
    scale[[6, 13]] += abs(data["omega"]) * reach
    assert out / scale == pytest.approx(expected / scale, abs=1e-9)


@QUICK
@given(data=loaded())
def test_one_member_or_two_under_the_same_loads(chains, data):
    """Clamped to clamped and clamped to free, loaded anywhere: resultants of two members = those of one.  1e-8 of the
    largest force, moment and bimoment, the rounding of a chain with one part up to ten times shorter."""
    whole, load = of(chains, data)
    at = data["cut"] * L
    parts, _ = of(chains, data, (at, L - at))
    omega = np.array([data["omega"]])
    x = np.r_[np.linspace(0, at, 4), np.linspace(at, L, 4)]
    split = chains.cut(load, [0, at, L])
    for held in ([0, -1], [0]):
        one, two = chains.Chain(whole, load, omega), chains.Chain(parts, split, np.tile(omega, len(split)))
        for node in held:
            one.hold(node, "all")
            two.hold(node, "all")
        a = one.solve().rows(0, x)
        b = two.solve().rows(np.repeat([0, 1], 4), x - np.repeat([0, at], 4))
        assert np.abs((a - b) / sizes(a)).max() < 1e-8


@QUICK
@given(data=loaded())
def test_forces_inside_balance_the_loads_and_belong_together(chains, data):
    """T falls by the torque of the loads passed; Tw = dB/dx - mu; the end values are the end forces.  Differences
    over a thousandth of the shorter of member and decay length: 1e-4 of the greatest value, at places clear of load
    ends."""
    p, load = of(chains, data)
    omega = np.array([data["omega"]])
    a = chains.Chain(p, load, omega).hold(0, "all").load(-1, rx=2e4, uz=50.0).solve()
    h = 1e-3 * min(L, L / data["kl"])
    start, end = load.start[0], load.end[0]
    for x in (0.35 * L, start + 0.5 * (end - start)):
        if min(abs(x - start), abs(x - end)) < 2 * h:
            continue
        before, here, after = a.rows(0, [x - h, x, x + h])
        s = x - start
        fx = (data["force"] @ np.eye(3)[0] @ [1, s, s * s]) if start < x < end else 0.0
        slope = (after[6] - before[6]) / (2 * h) + data["omega"] * fx
        reach = np.abs(a.rows(0, np.linspace(0, L, 9))[:, 7]).max() + 1.0
        assert here[7] == pytest.approx(slope, abs=1e-4 * reach)
    first, last = a.rows(0, [0.0, L])
    assert first[6] == pytest.approx(a.ends[0, 6, 0], rel=1e-9, abs=1e-6)
    assert last[[3, 6]] == pytest.approx([2e4 + 30.0 * 50.0, 0.0], rel=1e-9, abs=1e-4)


def test_fifty_members_are_one(chains):
    """Chain of fifty under loads inside, fork and clamp: same resultants and end movement to 1e-9 of the greatest (as
    the kernel is exact, only the chain's rounding is left)."""
    line = LineLoads.join(
        [
            chains.one_line(130, 777, (20, -30), [(0.4, 1, -2), (0, 0.002, 0.001), (0, 0, 3e-6)]),
            chains.one_line(0, 1000, (-40, 50), (0, 0, 1)),
        ]
    )
    seen = []
    for parts in (1, 2, 50):
        places = np.linspace(0, L, parts + 1)
        data = {
            "shear_centre": (-30.0, 7.0),
            "centroid": (5.0, 0.0),
            "warp_shear": 1e-10,
            "coupling": (0.0, 7e-10),
            "shear": [[3e-8, 0], [0, 5e-8]],
            "origin": (40.0, -7.0, -30.0),
        }
        split = chains.cut(line, places)
        omega = np.where(split.point[:, 0] > 0, 900.0, 0.0)
        c = chains.Chain(chains.open_members([L / parts] * parts, gj=GJ, eiw=EIW, **data), split, omega)
        a = c.hold(0, "all").hold(-1, "uy uz rx").solve()
        x = np.array([0.0, 200.0, 500.0, 780.0, 1000.0])
        m = np.minimum((x / (L / parts)).astype(int), parts - 1)
        seen.append((a.rows(m, x - m * L / parts), a.u[-1]))
    size = sizes(seen[0][0])
    for rows, tip in seen[1:]:
        assert np.abs((rows - seen[0][0]) / size).max() < 1e-9
        assert tip == pytest.approx(seen[0][1], rel=1e-9, abs=1e-12)


def test_loads_of_many_members_find_their_own(chains):
    """Rows and loads in any order, several cases, loads with and without w: each row sees its own member's loads
    only."""
    rng = np.random.default_rng(5)
    p = chains.open_members([L] * 3, gj=GJ, eiw=EIW, shear_centre=(-30.0, 7.0))
    member, start, end = np.array([2, 0, 2, 2]), np.array([0.0, 100, 300, 20]), np.array([400.0, 900, 1000, 30])
    force = rng.normal(size=(4, 3, 3, 2)) * np.array([1, 1e-3, 1e-6])[:, None, None]
    loads = LineLoads(member, start, end, rng.normal(size=(4, 2)) * 20, force)
    omega, ends = rng.normal(size=4) * 500, rng.normal(size=(3, 14, 2)) * 1e4
    rows, x = np.array([1, 2, 0, 2, 0]), np.array([5.0, 350, 550, 1000, 0])
    together = resultants(p, ends, loads, rows, x, omega)
    carried = equivalent_loads(p, loads, omega)
    for m in range(3):
        own = np.flatnonzero(member == m)
        alone = LineLoads(0 * own, start[own], end[own], loads.point[own], force[own])
        one = p.take(np.array([m]))
        assert carried[m] == pytest.approx(equivalent_loads(one, alone, omega[own])[0], rel=1e-12)
        here = np.flatnonzero(rows == m)
        single = resultants(one, ends[[m]], alone, 0 * here, x[here], omega[own])
        assert together[here] == pytest.approx(single, rel=1e-11)
    assert not equivalent_loads(p, LineLoads.none(2)).any()
