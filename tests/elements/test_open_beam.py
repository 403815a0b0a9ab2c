"""Warping torsion in members of open section: closed forms, limits, invariants, and a change of section."""

from math import cosh, exp, sinh, sqrt, tanh

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm

from ladderfe.elements import beam
from ladderfe.elements.hyperbolic import antisymmetric_shape, end_factors, product, ratio
from ladderfe.elements.open_beam import PLAIN, deformation, influence, natural_stiffness, stiffness
from ladderfe.solve.frame import rigid_arm

E, G = 210_000.0, 81_000.0
GJ, EIW = G * 1800.0, E * 2.734375e8  # channel of mid-lines 100 and 50, 3 mm
EXACT = 1e-9  # closed form at the nodes: rounding only
QUICK = settings(max_examples=30, deadline=None)
SPREAD = [1e-6, 1e-3, 0.1, 0.9, 1.1, 2.0, 30.0, 1e3, 1e6]  # k L


def member(chains, lengths, kl=None, total=None, **more):
    """Open members whose k times `total` is kl: GJ follows for short ones, EIw for long ones, so that nothing else in
    the matrix is dwarfed."""
    more = {"gj": GJ, "eiw": EIW} | more
    if kl is not None:
        total = total or sum(lengths)
        if kl < 1:
            more["gj"] = more["eiw"] * (kl / total) ** 2
        else:
            more["eiw"] = more["gj"] * (total / kl) ** 2
    return chains.open_members(lengths, **more)


@st.composite
def section(draw):
    def size(low, high):
        return draw(st.floats(low, high))

    iy, iz, ay, az = size(2e10, 1e12), size(2e10, 1e12), size(1e7, 1e8), size(1e7, 1e8)
    cross, mixed = size(-0.8, 0.8) * sqrt(iy * iz), size(-0.8, 0.8) / sqrt(ay * az)
    shear, sigma = np.array([[1 / ay, mixed], [mixed, 1 / az]]), 10 ** size(-14, -9)
    coupling = np.linalg.cholesky(shear) @ [size(-0.6, 0.6), size(-0.6, 0.6)] * sqrt(sigma)  # admissible: 0.72 < 1
    return {
        "ea": size(4e7, 6e8), "bending": [[iz, cross], [cross, iy]], "shear": shear,
        "centroid": (size(-40, 40), size(-40, 40)), "shear_centre": (size(-60, 60), size(-60, 60)),
        "warp_shear": sigma, "coupling": coupling, "origin": (size(-500, 500), size(-40, 40), size(-40, 40)),
    }  # fmt: skip


# ---------------------------------------------------------------- closed forms


@pytest.mark.parametrize(("kl", "parts"), [*((k, n) for k in SPREAD for n in (1, 2)), (1e-6, 50), (2.0, 50), (1e6, 50)])
def test_cantilever_with_tip_torque(chains, kl, parts):
    """theta = (T/GJ)(L - tanh(kl)/k), B at the root -T tanh(kl)/k (built in: B = T tanh/k in size), free end free to
    warp. Source: Vlasov's mixed torsion, standard closed form, from memory; for small kl the beam-like limits T L³/(3
    EIw) (1 - 2/5 (kl)²) and T L, as the closed form itself cancels there.  1e-8 for 50 parts: rounding of a node
    chain."""
    L, T = 1000.0, 2.0e5
    p = member(chains, [L / parts] * parts, kl)
    a = chains.Chain(p).hold(0, "all").load(-1, rx=T).solve()
    gj, eiw, k = p.beams.GJ[0], p.EIw[0], kl / L
    if kl < 1e-2:
        twist, root = T * L**3 / (3 * eiw) * (1 - 0.4 * kl**2), T * L * (1 - kl**2 / 3)
    else:
        twist, root = T / gj * (L - tanh(kl) / k), T * tanh(kl) / k
    assert a.at(-1, "rx") == pytest.approx(twist, rel=1e-8 if parts == 50 else EXACT)
    assert a.section(0, 0.0, "B") == pytest.approx(-root, rel=1e-8 if parts == 50 else EXACT)
    assert a.section(parts - 1, L / parts, "B") == pytest.approx(0, abs=1e-8 * root)
    assert a.section(0, 0.0, "T") == pytest.approx(T, rel=EXACT)


@pytest.mark.parametrize("x", [0.0, 120.0, 500.0, 999.0])
def test_along_the_cantilever(chains, x):
    """theta(x) = (T/GJ)(x - [sinh kl - sinh k(L-x)]/(k cosh kl)), theta' = (T/GJ)(1 - cosh k(L-x)/cosh kl), B = -(T/k)
    sinh k(L-x)/cosh kl, Tw = T cosh k(L-x)/cosh kl.  Closed form (integration of GJ theta' - EIw theta''' = T)."""
    L, T, k = 1000.0, 2.0e5, sqrt(GJ / EIW)
    a = chains.Chain(member(chains, [L])).hold(0, "all").load(-1, rx=T).solve()
    u = a.inside(0, x)
    assert u[3] == pytest.approx(
        T / GJ * (x - (sinh(k * L) - sinh(k * (L - x))) / (k * cosh(k * L))), rel=EXACT, abs=1e-15
    )
    assert u[6] == pytest.approx(T / GJ * (1 - cosh(k * (L - x)) / cosh(k * L)), rel=EXACT, abs=1e-18)
    assert a.section(0, x, "B") == pytest.approx(-T / k * sinh(k * (L - x)) / cosh(k * L), rel=EXACT)
    assert a.section(0, x, "Tw") == pytest.approx(T * cosh(k * (L - x)) / cosh(k * L), rel=EXACT)


def test_two_flanges_bend_against_each_other(chains):
    """A doubly symmetric I of thin flanges with no St-Venant stiffness: each flange is a cantilever in its plane
    under P = T/h, tip movement P L³/(3 E If) + 1.2 P L/(G Af), twist = 2 movement/h.  With EIw = E If h²/2 and sigma
    = 2.4/(G Af h²) the member is that, shear from warping included; by hand."""
    L, T, h, b, t = 400.0, 1.0e6, 120.0, 60.0, 4.0
    flange, area, P = b**3 * t / 12, b * t, T / h
    p = chains.open_members([L], gj=1e-3, eiw=E * flange * h**2 / 2, warp_shear=2.4 / (G * area * h**2))
    a = chains.Chain(p).hold(0, "all").load(-1, rx=T).solve()
    tip = P * L**3 / (3 * E * flange) + 1.2 * P * L / (G * area)
    assert a.at(-1, "rx") == pytest.approx(2 * tip / h, rel=EXACT)
    assert a.at(-1, "f") == pytest.approx(2 / h * P * L**2 / (2 * E * flange), rel=EXACT)  # the flange's own turn
    assert a.section(0, 0.0, "B") == pytest.approx(-P * L * h, rel=EXACT)  # two flange moments P L, lever h/2 each


def test_a_load_through_the_shear_centre_does_not_twist(chains):
    """Channel, shear centre 30 mm off the line: through it no twist, through the web (y = 11) the cantilever's closed
    form with T = F (11 - 30)."""
    L, F, k = 1000.0, 1000.0, sqrt(GJ / EIW)
    for y, torque in ((30.0, 0.0), (11.0, -19.0 * F)):
        p = member(chains, [L / 2] * 2, shear_centre=(30.0, 0.0), centroid=(-8.0, 0.0))
        a = chains.Chain(p).hold(0, "all").load(-1, uz=F, rx=F * y).solve()
        assert a.at(-1, "rx") == pytest.approx(torque / GJ * (L - tanh(k * L) / k), rel=EXACT, abs=1e-13)
        assert a.at(-1, "uz") + 30 * a.at(-1, "rx") == pytest.approx(F * L**3 / (3 * 5e11), rel=EXACT)


# ---------------------------------------------------------------- limits and other ways to the same matrix


@pytest.mark.parametrize("kl", [0.05, 0.5, 1.5, 5.0])
@pytest.mark.parametrize("sigma", [0.0, 2e-10])
def test_torsion_against_the_transfer_matrix(chains, kl, sigma):
    """The four end forces of theta and f by the matrix exponential of theta' = f + sigma Tw, f' = -B/EIw, T' = 0,
    B' = Tw, T = GJ theta' + Tw (scipy.linalg.expm).  1e-9: the exponential's inverse loses (kl)^-3."""
    L = 700.0
    p = member(chains, [L], kl, warp_shear=sigma)
    gj, eiw = p.beams.GJ[0], p.EIw[0]
    soft = 1 / (1 + gj * sigma)  # Tw = (T - GJ f) soft
    rates = np.array([
        [0, 1 - sigma * gj * soft, sigma * soft, 0],
        [0, 0, 0, -1 / eiw],
        [0, 0, 0, 0],
        [0, -gj * soft, soft, 0],
    ])  # theta f T B  # fmt: skip
    m = expm(rates * L)
    one, two = -np.linalg.solve(m[:2, 2:], m[:2, :2]), np.linalg.inv(m[:2, 2:])
    start = np.hstack([one, two])  # T, B at end 1 from theta1 f1 theta2 f2
    end = m[2:, :2] @ np.eye(2, 4) + m[2:, 2:] @ start
    expected = np.stack([-start[0], start[1], end[0], -end[1]])
    found = stiffness(p)[0][np.ix_([3, 6, 10, 13], [3, 6, 10, 13])]
    size = np.sqrt(np.diag(found))
    assert found / np.outer(size, size) == pytest.approx(expected / np.outer(size, size), abs=1e-9)


@pytest.mark.parametrize("kl", [0.2, 1.5, 4.0])
def test_shear_of_warping_and_of_bending_together(chains, kl):
    """Upright bending and torsion of one member whose V and Tw share a shear flexibility: eight end forces by the
    matrix exponential of uz' = phi + S V + s Tw, phi' = M/EI, theta' = f + sigma Tw + s V, f' = -B/EIw, M' = -V, B' =
    Tw, T = GJ theta' + Tw; 1e-9 as above."""
    L, S, sigma, s = 500.0, 2e-8, 3e-11, -4e-10
    p = member(chains, [L], kl, shear=[[1e-9, 0], [0, S]], warp_shear=sigma, coupling=(0, s))
    gj, eiw, ei = p.beams.GJ[0], p.EIw[0], p.beams.bending[0, 1, 1]
    soft = 1 / (1 + gj * sigma)
    tw = np.array([0, 0, 0, -gj, -gj * s, 0, 1, 0]) * soft  # of uz phi theta f V M T B
    rates = np.zeros((8, 8))
    rates[0, [1, 4]], rates[1, 5], rates[2, [3, 4]], rates[3, 7] = [1, S], 1 / ei, [1, s], -1 / eiw
    rates[0] += s * tw
    rates[2] += sigma * tw
    rates[5, 4], rates[7] = -1, tw
    m = expm(rates * L)
    soft_ends = np.linalg.inv(m[:4, 4:])
    start = np.hstack([-soft_ends @ m[:4, :4], soft_ends])
    end = m[4:, :4] @ np.eye(4, 8) + m[4:, 4:] @ start
    sign = np.array([1, 1, 1, -1])[:, None]  # B at end 2 works against f
    expected = np.vstack([-sign * start, sign * end])
    own = [2, 4, 3, 6, 9, 11, 10, 13]
    turn = np.array([1, -1, 1, 1] * 2)  # phi = -ry
    found = stiffness(p)[0][np.ix_(own, own)] * np.outer(turn, turn)
    size = np.sqrt(np.diag(found))
    assert found / np.outer(size, size) == pytest.approx(expected / np.outer(size, size), abs=1e-9)


def test_without_st_venant_stiffness_it_is_a_bent_beam(chains):
    """kl = 1e-6: the torsion block is that of a beam, EIw for EI, up to (kl)²; standard 4 x 4 matrix."""
    L = 800.0
    p = member(chains, [L], 1e-6)
    k = stiffness(p)[0][np.ix_([3, 6, 10, 13], [3, 6, 10, 13])]
    cubic = EIW / L**3 * np.array([
        [12, 6 * L, -12, 6 * L], [6 * L, 4 * L**2, -6 * L, 2 * L**2],
        [-12, -6 * L, 12, -6 * L], [6 * L, 2 * L**2, -6 * L, 4 * L**2],
    ])  # fmt: skip
    assert k == pytest.approx(cubic, rel=1e-11)


@pytest.mark.parametrize("kl", [1e3, 1e6])
def test_without_warping_stiffness_it_is_the_plain_member(chains, kl):
    """Warping unknowns condensed away leave the twelve-unknown matrix, but for a boundary layer of 2/(kl) when they are
    held; free of load the twist stiffness is exactly GJ/L."""
    p = member(chains, [900.0], kl)
    free = chains.condensed(stiffness(p)[0], PLAIN)
    whole = beam.stiffness(p.beams)[0]
    assert free == pytest.approx(whole, rel=1e-9, abs=1e-12 * np.abs(whole).max())
    held = stiffness(p)[0][3, 3]
    assert held == pytest.approx(GJ / 900 / (1 - 2 / kl), rel=1e-9)


def test_the_functions_meet_where_they_change_over():
    """Series and fractions against the plain expressions on both sides of half = 1, and the limits of large half."""
    half, eta = np.array([0.99, 0.999999, 1.0, 1.000001, 1.01, 3.0]), np.linspace(-1, 1, 6)
    c = half / np.tanh(half)
    assert end_factors(half)[0] == pytest.approx(c, rel=1e-14)
    assert end_factors(half)[1] == pytest.approx(half**2 / (c - 1), rel=1e-14)
    s, ds = antisymmetric_shape(half, eta)
    below = half * np.cosh(half) - np.sinh(half)
    assert s == pytest.approx((np.sinh(half * eta) - eta * np.sinh(half)) / below, abs=1e-14)
    assert ds == pytest.approx((half * np.cosh(half * eta) - np.sinh(half)) / below, abs=1e-14)
    assert ratio(half, eta) == pytest.approx(np.sinh(half * eta) / np.sinh(half), rel=1e-14)
    far = np.array([1e8])
    assert end_factors(far)[0] == 1e8
    assert product(far, np.array([1.0]), np.array([2.0]), np.array([4.0]), (True, False))[0] == 0.0
    assert product(np.array([2.0]), np.array([1.0]), np.array([1.5]), np.array([3.0]), (False, True))[
        0
    ] == pytest.approx(cosh(2) * sinh(3) / sinh(6), rel=1e-14)
    assert product(np.array([300.0]), np.array([1.0]), np.array([1.9]), np.array([3.0]), (True, True))[
        0
    ] == pytest.approx(exp(-30) / 2, rel=1e-12)


# ---------------------------------------------------------------- invariants


@QUICK
@given(data=section(), length=st.floats(30, 3000), power=st.floats(-6, 6))
def test_rigid_motions_and_no_others_are_free(chains, data, length, power):
    """Symmetric; rigid motion (with f = 0) strains nothing; the eight natural stiffnesses are positive: six free
    motions of fourteen unknowns.  Rounding of lengths up to 3000 mm."""
    p = member(chains, [length], 10**power, **data)
    k, b = stiffness(p)[0], deformation(p)[0]
    size = np.sqrt(np.diag(k))
    assert np.abs((k - k.T) / np.outer(size, size)).max() < 1e-13
    motion = np.zeros((14, 6))
    motion[:6], motion[7:13] = np.eye(6), rigid_arm(np.array([length, 0, 0]))
    assert np.abs(b @ motion).max() < 1e-12
    d = natural_stiffness(p)[0]
    assert np.linalg.eigvalsh(d / np.sqrt(np.outer(np.diag(d), np.diag(d))))[0] > 0
    assert np.linalg.matrix_rank(b / np.abs(b).max(axis=1)[:, None]) == 8


@QUICK
@given(data=section(), length=st.floats(30, 3000), power=st.floats(-6, 6))
def test_uniform_twist_costs_st_venant_only(chains, data, length, power):
    """theta = x/L, f = 1/L at both ends, no bending: T = GJ/L and no bimoment.  Rounding, beside the end forces that
    single entries of the matrix would give."""
    p = member(chains, [length], 10**power, **(data | {"origin": (0, 0, 0)}))
    ys, zs = data["shear_centre"]
    u = np.zeros(14)
    u[6] = u[13] = 1 / length
    u[10], u[8], u[9] = 1, zs, -ys  # the shear centre stays
    k = stiffness(p)[0]
    force = k @ u
    size = np.sqrt(np.diag(k) * (u @ np.diag(np.diag(k)) @ u))
    gj = p.beams.GJ[0]
    expected = np.zeros(14)
    expected[[3, 10]] = -gj / length, gj / length
    assert force / size == pytest.approx(expected / size, abs=1e-12)


@QUICK
@given(data=section(), length=st.floats(100, 3000), power=st.floats(-6, 6), place=st.floats(0.05, 0.95))
def test_two_members_equal_one_and_the_inside_is_a_node(chains, data, length, power, place):
    """The middle node condensed away leaves the one member; where it goes is `influence`.  1e-8 as for plain members:
    the shorter part is up to 20 times shorter, hence 20³ stiffer."""
    whole = member(chains, [length], 10**power, **(data | {"origin": (0, 0, 0)}))
    cut = member(chains, [place * length, (1 - place) * length], 10**power, **(data | {"origin": (0, 0, 0)}))
    one, (first, second) = stiffness(whole)[0], stiffness(cut)
    both = np.zeros((21, 21))
    both[:14, :14] += first
    both[7:, 7:] += second
    size = np.sqrt(np.diag(one))
    assert np.abs((chains.condensed(both, [*range(7), *range(14, 21)]) - one) / np.outer(size, size)).max() < 1e-8
    middle = np.arange(7, 14)
    scale = 1 / np.sqrt(np.diag(both)[middle])
    inner = both[np.ix_(middle, middle)] * np.outer(scale, scale)
    ends = np.hstack([both[7:14, :7], both[7:14, 14:]])
    moved = -scale[:, None] * np.linalg.solve(inner, scale[:, None] * ends)
    unit = np.r_[np.ones(3), np.full(3, length), length**2 / max(1.0, 10**power)]  # what a unit end movement brings
    inside = influence(whole, np.array([place * length]))[0]
    assert np.abs((inside - moved) * unit[:, None] / np.r_[unit, unit]).max() < 1e-8


def test_mirrored_section_gives_the_mirrored_member(chains):
    """y to -y: uy, rx, rz change sign; f, with w of the mirrored section, stays as a rate of twist changes and so
    does w: the sign of f follows rx."""
    data, turned = (
        {
            "bending": [[2e11, s * 7e10], [s * 7e10, 5e11]], "shear": [[3e-8, s * 1e-8], [s * 1e-8, 5e-8]],
            "warp_shear": 1e-10, "coupling": (5e-10, s * 8e-10),
            "centroid": (s * 9.0, 4.0), "shear_centre": (s * -21.0, 6.0), "origin": (s * 70.0, -6.0, s * -21.0),
        }
        for s in (1, -1)
    )  # fmt: skip
    sign = np.array([1, -1, 1, -1, 1, -1, -1] * 2)
    k = stiffness(member(chains, [600.0], **data))[0]
    assert stiffness(member(chains, [600.0], **turned))[0] * np.outer(sign, sign) == pytest.approx(
        k, rel=1e-12, abs=1e-3
    )


def test_taking_members_keeps_their_properties(chains):
    p = member(chains, [100.0, 200.0, 300.0], warp_shear=1e-10)
    index = np.array([2, 0, 2])
    assert len(p.take(index)) == 3
    assert np.array_equal(stiffness(p.take(index)), stiffness(p)[index])


def test_the_origin_is_a_way_of_counting(chains):
    """Clamped at one end, free at the other, loaded anywhere: the sectorial origin changes no movement and no force."""
    data = {"shear_centre": (-21.0, 6.0), "centroid": (9.0, 4.0)}
    seen = []
    for origin in ((0, 0, 0), (300.0, -6.0, -21.0)):
        p = member(chains, [300.0, 500.0], origin=origin, **data)
        a = chains.Chain(p).hold(0, "all").load(1, uz=700.0).load(-1, rx=3e4, uy=-100.0).solve()
        seen.append(np.r_[a.u[1, [1, 2, 3, 6]], a.u[2, [1, 2, 3, 6]], a.rows([0, 0, 1], [0.0, 150.0, 200.0]).ravel()])
    assert seen[0] == pytest.approx(seen[1], rel=1e-9, abs=1e-9)
