"""Box members whose section racks: chain of plain linear wall elements, limits, invariants, closed forms, loads
inside."""

from math import cos, exp, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import LineLoads, beam, equivalent_loads
from ladderfe.elements.foundation import Foundation
from ladderfe.elements.racking_beam import (
    PLAIN,
    RackingBeams,
    deformation,
    ends_to_own,
    influence,
    natural_stiffness,
    stiffness,
)
from ladderfe.elements.racking_loads import equivalent_loads as racking_loads
from ladderfe.elements.racking_resultants import resultants
from ladderfe.solve.frame import rigid_arm

E, NU = 205_000.0, 0.3
G = E / 2 / (1 + NU)
WIDTH, HEIGHT = 72.0, 147.0
EQUAL, FOUR = (3.0, 3.0, 3.0, 3.0), (3.0, 2.0, 4.0, 1.5)
QUICK = settings(max_examples=15, deadline=None)
walls = st.tuples(*[st.floats(1.0, 6.0)] * 4)


def box(chains, lengths, t=EQUAL, **more):
    return chains.box_members(lengths, WIDTH, HEIGHT, t, E=E, nu=NU, **more)


def unit(length):
    """What a unit movement of each unknown brings in mm, so that entries can be compared."""
    return np.r_[np.ones(3), np.full(3, length), length, length * 150.0]


# ---------------------------------------------------------------- another way to the same member: linear wall elements


@pytest.mark.parametrize("t", [EQUAL, FOUR], ids=["equal", "four thicknesses"])
def test_chain_of_linear_elements_converges_to_the_member_with_order_two(chains, t):
    """A member of 700 mm against 14, 28, 56 cells, all 256 entries (scaled): the distance falls fourfold with every
    halving (3.8 to 4.2); extrapolated it vanishes to 1e-4 of itself at 14 cells."""
    L = 700.0
    p = chains.with_plain_shear(box(chains, [L], t, plates=False), t, G)
    exact = stiffness(p)[0]
    size = np.sqrt(np.diag(exact))
    seen = []
    for cells in (14, 28, 56):
        k = chains.wall_cell(p, t, L / cells, E, G)
        whole = np.zeros((8 * (cells + 1),) * 2)
        for i in range(cells):
            whole[8 * i : 8 * i + 16, 8 * i : 8 * i + 16] += k
        seen.append(chains.condensed(whole, np.r_[0:8, 8 * cells : 8 * cells + 8]))
    apart = [np.abs((k - exact) / np.outer(size, size)).max() for k in seen]
    assert 3.8 < apart[0] / apart[1] < 4.2
    assert 3.8 < apart[1] / apart[2] < 4.2
    limit = seen[2] + (seen[2] - seen[1]) / 3
    assert np.abs((limit - exact) / np.outer(size, size)).max() < 3e-3 * apart[2]


# ---------------------------------------------------------------- limits


@pytest.mark.parametrize("length", [5.0, 120.0, 900.0, 8000.0])
@pytest.mark.parametrize("t", [EQUAL, FOUR], ids=["equal", "four thicknesses"])
def test_free_of_racking_it_is_the_plain_member(chains, length, t):
    """Racking and warping unloaded, or racking held and warping unloaded: the twelve-unknown matrix of `beam`,
    Bredt's J and the walls' shear included.  For unequal walls in the unknowns whose racking does no work with V and
    M.  1e-11 of the diagonal (condensing short members)."""
    p = box(chains, [length], t)
    inverse = np.linalg.inv(ends_to_own(p)[0])
    k = inverse.T @ stiffness(p)[0] @ inverse
    plain = beam.stiffness(p.beams)[0]
    size = np.sqrt(np.diag(plain))
    free = chains.condensed(k, PLAIN)
    assert np.abs((free - plain) / np.outer(size, size)).max() < 1e-11
    held = np.delete(np.delete(k, [6, 14], axis=0), [6, 14], axis=1)
    assert np.abs((chains.condensed(held, np.r_[0:6, 7:13]) - plain) / np.outer(size, size)).max() < 1e-11


def test_equal_walls_need_no_other_unknowns(chains):
    """For equal walls the middle is centroid and shear centre and nothing but torsion meets racking: the same holds
    for the unknowns as they are."""
    p = box(chains, [600.0])
    plain = beam.stiffness(p.beams)[0]
    size = np.sqrt(np.diag(plain))
    assert np.abs((chains.condensed(stiffness(p)[0], PLAIN) - plain) / np.outer(size, size)).max() < 1e-12


@pytest.mark.parametrize("t", [EQUAL, FOUR], ids=["equal", "four thicknesses"])
@pytest.mark.parametrize("parts", [1, 10])
def test_uniform_twist_is_bredts(chains, t, parts):
    """Torque on a long free box: T L/(G J), J = 4 (b h)²/sum(l/t), warping f = half the racking strain, no racking.
    The walls' own twist as plates, left out of J as in plain members, would add 0.1 to 0.4 %: sum of l t³/3 over
    J."""
    L, T = 3000.0, 1.0e6
    p = box(chains, [L / parts] * parts, t)
    J = 4 * (WIDTH * HEIGHT) ** 2 / (HEIGHT / t[0] + HEIGHT / t[1] + WIDTH / t[2] + WIDTH / t[3])
    a = chains.Chain(p).hold(0, "ux uy uz rx ry rz").load(-1, rx=T).solve()
    assert a.at(-1, "rx") == pytest.approx(T * L / (G * J), rel=1e-9)
    assert a.section(parts // 2, 100.0, "g") == pytest.approx(0, abs=1e-9 * a.at(-1, "rx"))
    assert a.section(parts // 2, 100.0, "f") == pytest.approx(T * p.coupling[0, 0] / 2, rel=1e-9)
    plates = (np.array([HEIGHT, HEIGHT, WIDTH, WIDTH]) * np.array(t) ** 3).sum() / 3
    assert 5e-4 < plates / J < 4e-3


# ---------------------------------------------------------------- invariants


@QUICK
@given(t=walls, length=st.floats(5, 5000), at=st.tuples(st.floats(-40, 40), st.floats(-40, 40)))
def test_rigid_motions_and_no_others_are_free(chains, t, length, at):
    """Symmetric; rigid motion strains nothing; ten natural deformations with positive energy: six free motions of
    sixteen."""
    p = box(chains, [length], t, at=at)
    k, b = stiffness(p)[0], deformation(p)[0]
    size = np.sqrt(np.diag(k))
    assert np.abs((k - k.T) / np.outer(size, size)).max() < 1e-13
    motion = np.zeros((16, 6))
    motion[:6], motion[8:14] = np.eye(6), rigid_arm(np.array([length, 0, 0]))
    assert np.abs(b @ motion).max() < 1e-11
    d = natural_stiffness(p)[0]
    assert np.linalg.eigvalsh(d / np.sqrt(np.outer(np.diag(d), np.diag(d))))[0] > 0
    assert np.linalg.matrix_rank(b / np.abs(b).max(axis=1)[:, None]) == 10


@QUICK
@given(t=walls, length=st.floats(50, 4000), place=st.floats(0.05, 0.95))
def test_two_members_equal_one_and_the_inside_is_a_node(chains, t, length, place):
    """The middle node condensed away leaves the one member; where it goes is `influence`.  1e-8: the shorter part is
    up to 20 times shorter, hence 20³ stiffer."""
    one = stiffness(box(chains, [length], t))[0]
    first, second = stiffness(box(chains, [place * length, (1 - place) * length], t))
    both = np.zeros((24, 24))
    both[:16, :16] += first
    both[8:, 8:] += second
    size = np.sqrt(np.diag(one))
    assert np.abs((chains.condensed(both, np.r_[0:8, 16:24]) - one) / np.outer(size, size)).max() < 1e-8
    middle = np.arange(8, 16)
    scale = 1 / np.sqrt(np.diag(both)[middle])
    inner = both[np.ix_(middle, middle)] * np.outer(scale, scale)
    moved = -scale[:, None] * np.linalg.solve(inner, scale[:, None] * both[np.ix_(middle, np.r_[0:8, 16:24])])
    inside = influence(box(chains, [length], t), np.array([place * length]))[0]
    move = unit(length)
    assert np.abs((inside - moved) * move[:, None] / np.r_[move, move]).max() < 1e-8


def test_mirrored_walls_give_the_mirrored_member(chains):
    """y to -y changes the sign of uy, rx, rz, racking and warping."""
    sign = np.array([1, -1, 1, -1, 1, -1, -1, -1] * 2)
    a = stiffness(box(chains, [600.0], (3, 2, 4, 1.5), at=(5.0, -7.0)))[0]
    b = stiffness(box(chains, [600.0], (2, 3, 4, 1.5), at=(-5.0, -7.0)))[0]
    size = np.sqrt(np.diag(a))
    assert np.abs((b * np.outer(sign, sign) - a) / np.outer(size, size)).max() < 1e-13


def test_the_reference_line_is_a_way_of_counting(chains):
    """The same box and loads, its middle on the line or (12, -30) off it: same racking, warping, resultants and
    movement of the middle."""
    seen = []
    for y, z in ((0.0, 0.0), (12.0, -30.0)):
        line = chains.one_line(100, 420, (y + 36.0, z), (1, 0, -2))
        p = box(chains, [500.0, 300.0], FOUR, at=(y, z))
        a = chains.Chain(p, line).hold(0, "all").load(-1, g=2e4, uz=500.0, rx=y * 500.0).solve()
        middle = a.at(-1, "uz") + y * a.at(-1, "rx")
        seen.append(
            np.r_[middle, a.at(-1, "rx"), a.at(-1, "g"), a.at(-1, "f"), a.rows([0, 0, 1], [0.0, 260.0, 50.0]).ravel()]
        )
    assert seen[1] == pytest.approx(seen[0], rel=1e-8, abs=1e-7)


def test_taking_members_keeps_their_properties(chains):
    p = box(chains, [100.0, 200.0, 300.0], FOUR)
    index = np.array([2, 0, 2])
    assert len(p.take(index)) == 3
    assert np.array_equal(stiffness(p.take(index)), stiffness(p)[index])


# ---------------------------------------------------------------- loads inside


@st.composite
def loaded(draw):
    def size(low, high):
        return draw(st.floats(low, high))

    length = 10 ** size(1, 4.3)
    return {
        "length": length, "start": size(0, 0.9), "span": size(0.02, 1), "cut": size(0.1, 0.9), "t": draw(walls),
        "point": (size(-90, 90), size(-120, 120)),
        "force": np.array(draw(st.lists(st.floats(-2, 2), min_size=9, max_size=9))).reshape(3, 3)
        * np.array([1, 1 / length, 1 / length**2])[:, None],
    }  # fmt: skip


def of(chains, data):
    L = data["length"]
    start = data["start"] * L
    return chains.one_line(start, min(start + data["span"] * L, L), data["point"], data["force"])


def sizes(rows, length):
    """Largest value of each kind: forces; T, My, Mz, R; B; g; f (100 mm turns one into the next)."""
    force = np.abs(rows[:, :3]).max() + 1e-6
    moment = max(np.abs(rows[:, [3, 4, 5, 7]]).max(), 100 * force)
    g = max(np.abs(rows[:, 8]).max(), 1e-3 * moment / 5e4)
    f = max(np.abs(rows[:, 9]).max(), g / 1e3)
    return np.r_[[force] * 3, [moment] * 3, max(np.abs(rows[:, 6]).max(), 100 * moment), moment, g, f]


@QUICK
@given(data=loaded())
def test_end_loads_are_the_integral_of_the_influence(chains, data):
    """Betti: int influence^T (force, moment, work on g, work on f) dx by 80 Gauss points in every stretch between the
    load's ends and steps of the decay length: 1e-9 of the largest end load of its kind."""
    L, load = data["length"], of(chains, data)
    p = box(chains, [L], data["t"])
    out = racking_loads(p, load)[0, :, 0]
    y, z = data["point"]
    yw, zw = np.clip(y, -WIDTH / 2, WIDTH / 2), np.clip(z, -HEIGHT / 2, HEIGHT / 2)
    start, end, k = load.start[0], load.end[0], p.foundation.fastest[0]
    steps = np.array([s for n in (1, 4, 16) for s in (n / k, L - n / k, start + n / k, end - n / k) if start < s < end])
    cuts = np.unique(np.r_[start, steps, end])
    at, weight = np.polynomial.legendre.leggauss(80)
    x = (cuts[:-1, None] + np.diff(cuts)[:, None] * (at + 1) / 2).ravel()
    weight = (np.diff(cuts)[:, None] * weight / 2).ravel()
    s = x - start
    fx, fy, fz = (data["force"][0] + s[:, None] * (data["force"][1] + s[:, None] * data["force"][2])).T
    on_g = fz * (2 * yw - y) / 2 + fy * (2 * zw - z) / 2
    wrench = np.stack([fx, fy, fz, y * fz - z * fy, z * fx, -y * fx, on_g, fx * yw * zw], axis=1)
    inside = influence(p.take(np.zeros(len(x), dtype=int)), x)
    expected = np.einsum("x,xij,xi->j", weight, inside, wrench)
    reach = weight @ np.abs(wrench[:, :3]).sum(axis=1) + 1e-9
    short = min(L, 3 / k)
    scale = reach * np.tile(np.r_[1, 1, 1, L, L, L, 150, 150 * short], 2)
    assert out / scale == pytest.approx(expected / scale, abs=1e-9)


@QUICK
@given(data=loaded())
def test_one_member_or_two_under_the_same_loads(chains, data):
    """Clamped to clamped and clamped to free, loaded anywhere: resultants and racking of two members = those of one.
    1e-8 of the largest of each kind."""
    L, load = data["length"], of(chains, data)
    at = data["cut"] * L
    x = np.r_[np.linspace(0, at, 4), np.linspace(at, L, 4)]
    split = chains.cut(load, [0, at, L])
    for held in ([0, -1], [0]):
        one = chains.Chain(box(chains, [L], data["t"]), load)
        two = chains.Chain(box(chains, [at, L - at], data["t"]), split)
        for node in held:
            one.hold(node, "all")
            two.hold(node, "all")
        a = one.solve().rows(0, x)
        b = two.solve().rows(np.repeat([0, 1], 4), x - np.repeat([0, at], 4))
        assert np.abs((a - b) / sizes(a, L)).max() < 1e-8


@pytest.mark.parametrize("t", [EQUAL, FOUR], ids=["equal", "four thicknesses"])
def test_fifty_members_are_one(chains, t):
    """Chain of 2 and of 50 under loads inside: same resultants, racking, warping and end movement to 1e-9 of the
    greatest."""
    L = 1800.0
    line = LineLoads.join([
        chains.one_line(330, 1420, (36, -50), [(0.4, 1, -2), (0, 0.002, 0.001), (0, 0, 3e-6)]),
        chains.one_line(0, L, (-60, 80), (0, 0.5, 1)),
    ])  # fmt: skip
    seen = []
    for parts in (1, 2, 50):
        places = np.linspace(0, L, parts + 1)
        c = chains.Chain(box(chains, [L / parts] * parts, t, at=(3.0, -8.0)), chains.cut(line, places))
        a = c.hold(0, "all").hold(-1, "uy uz rx").load(-1, g=3e4).solve()
        x = np.array([0.0, 200.0, 900.0, 1500.0, L])
        m = np.minimum((x / (L / parts)).astype(int), parts - 1)
        seen.append((a.rows(m, x - m * L / parts), a.u[-1]))
    for rows, tip in seen[1:]:
        assert np.abs((rows - seen[0][0]) / sizes(seen[0][0], L)).max() < 1e-9
        assert tip == pytest.approx(seen[0][1], rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(("y", "on_g"), [(36.0, 18.0), (-36.0, -18.0), (0.0, 0.0), (60.0, 6.0)])
def test_what_an_upright_load_does_to_racking(chains, y, on_g):
    """fz on a web: fz y1/2 on g; on a bracket 24 mm beyond it that turns with the web: (y1 - 24)/2.  Same as those
    nodal loads spread: the long member's racking in its middle is q/KD, warping 0 (closed form for an even load)."""
    L, q = 20_000.0, 2.0
    p = box(chains, [L])
    a = chains.Chain(p, chains.one_line(0, L, (y, 0), (0, 0, q))).hold(0, "all").hold(-1, "all").solve()
    assert a.section(0, L / 2, "g") == pytest.approx(q * on_g / p.foundation.KD[0], rel=1e-8, abs=1e-14)
    sideways = (
        chains.Chain(p, chains.one_line(0, L, (0, y * HEIGHT / WIDTH), (0, q, 0)))
        .hold(0, "all")
        .hold(-1, "all")
        .solve()
    )
    expected = q * min(on_g, 18) * HEIGHT / WIDTH if abs(y) < 40 else q * (HEIGHT - 60 * HEIGHT / WIDTH) / 2
    assert sideways.section(0, L / 2, "g") == pytest.approx(expected / p.foundation.KD[0], rel=1e-8, abs=1e-14)


def test_arms_given_by_the_caller_replace_the_walls(chains):
    """Work per unit force on racking and warping: none at all leaves the plain member's end loads, for equal walls."""
    p = box(chains, [700.0])
    load = chains.one_line(100, 400, (36, 20), [(1, -2, 3), (0.01, 0, 0)])
    out = racking_loads(p, load, np.zeros((1, 3)))
    plain = equivalent_loads(p.beams, load)
    assert out[0, [0, 1, 2, 4, 5]] == pytest.approx(plain[0, [0, 1, 2, 4, 5]], rel=1e-9)
    twice = racking_loads(p, load, np.array([[720.0, 10.0, 18.0]])) - out
    assert twice[0] == pytest.approx(racking_loads(p, load)[0] - out[0], rel=1e-9, abs=1e-9 * np.abs(twice).max())


def test_loads_of_many_members_find_their_own(chains):
    """Rows and loads in any order, several cases: each row sees its own member's loads only."""
    rng = np.random.default_rng(5)
    p = box(chains, [900.0] * 3, FOUR)
    member, start, end = np.array([2, 0, 2, 2]), np.array([0.0, 100, 300, 20]), np.array([400.0, 900, 900, 30])
    force = rng.normal(size=(4, 3, 3, 2)) * np.array([1, 1e-3, 1e-6])[:, None, None]
    loads = LineLoads(member, start, end, rng.normal(size=(4, 2)) * 40, force)
    moves = rng.normal(size=(3, 16, 2)) / np.tile(unit(900.0), 2)[:, None]
    ends = stiffness(p) @ moves - racking_loads(p, loads)
    rows, x = np.array([1, 2, 0, 2, 0]), np.array([5.0, 350, 450, 900, 0])
    together = resultants(p, moves, ends, loads, rows, x)
    for m in range(3):
        own = np.flatnonzero(member == m)
        alone = LineLoads(0 * own, start[own], end[own], loads.point[own], force[own])
        one, here = p.take(np.array([m])), np.flatnonzero(rows == m)
        assert racking_loads(p, loads)[m] == pytest.approx(racking_loads(one, alone)[0], rel=1e-12, abs=1e-12)
        single = resultants(one, moves[[m]], ends[[m]], alone, 0 * here, x[here])
        assert together[here] == pytest.approx(single, rel=1e-10, abs=1e-10)
    assert not racking_loads(p, LineLoads.none(2)).any()


def test_inner_forces_belong_together(chains):
    """B' = 2 (R - P g'), R' = KD g - load, f' = B/EI, g' + 2 f = strain of R - P g', T and V: central differences at
    1 mm, 1e-5 of the greatest."""
    p = box(chains, [1500.0], FOUR)
    line = chains.one_line(200, 1300, (36, -30), [(0, 0.4, -2), (0, 0, 0.001)])
    a = chains.Chain(p, line).hold(0, "all").load(-1, g=2e4, rx=3e5).solve()
    f = p.foundation
    for x in (60.0, 500.0, 900.0, 1400.0):
        n, m = a.rows(0, [x - 1, x, x + 1]), a.rows(0, np.linspace(0, 1500, 9))
        slope, here, reach = (n[2] - n[0]) / 2, n[1], np.abs(m).max(axis=0)
        fy, fz = (0.4, -2 + 0.001 * (x - 200)) if 200 < x < 1300 else (0.0, 0.0)
        on_g = fz * (36 - p.plane[0, 2]) / 2 + fy * (-30 - p.plane[0, 1]) / 2
        assert slope[7] == pytest.approx(f.KD[0] * here[8] - on_g, abs=1e-5 * f.KD[0] * reach[8])
        assert slope[9] == pytest.approx(here[6] / f.EI[0], abs=1e-5 * reach[6] / f.EI[0])
        strain = f.shear[0] * (here[7] - f.plate[0] * slope[8]) + here[[1, 2, 3]] @ p.coupling[0, [1, 2, 0]]
        assert slope[8] == pytest.approx(strain - 2 * here[9], abs=1e-5 * reach[9])
        rate = here[7] - f.plate[0] * slope[8]
        assert slope[6] == pytest.approx(2 * rate, abs=1e-5 * reach[7])


def test_decay_is_that_of_a_beam_on_elastic_foundation(chains):
    """Long rail, Q on g in the middle, walls' shear and twist left out: g(x) = Q beta/(2 KD) exp(-bx)(cos bx + sin
    bx); M. Hetenyi, Beams on Elastic Foundation (from memory); far ends below 1e-20."""
    p = box(chains, [8000.0, 8000.0])
    f = p.foundation
    p = RackingBeams(p.beams, Foundation(f.KD, f.EI, 0 * f.shear, 0 * f.plate), 0 * p.coupling, p.plane, p.pole, p.size)
    beta = (f.KD[0] / f.EI[0]) ** 0.25
    a = chains.Chain(p).hold(0, "all").load(1, g=1.0e5).solve()
    for x in (0.0, 100.0, 324.0, 800.0):
        shape = exp(-beta * x) * (cos(beta * x) + sin(beta * x))
        assert a.section(1, x, "g") == pytest.approx(1e5 * beta / (2 * f.KD[0]) * shape, rel=1e-9)
