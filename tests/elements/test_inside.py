"""Movement inside members under line loads: closed forms, and the strains that belong to the resultants there."""

from dataclasses import replace
from math import cosh, sinh, sqrt

import numpy as np
import pytest

from ladderfe.elements import LineLoads, Members, OpenBeams, RackingBeams, inside
from ladderfe.elements.foundation import end_stiffness

LENGTH = 900.0
E, NU = 205_000.0, 0.3
GJ, EIW = 79_000.0 * 3000, 205_000.0 * 4e8
NONE = np.zeros(0, dtype=np.int64)
FIRST = np.array([0])
EXACT = 1e-9


def members(chains, kind: str, *, parts=1) -> Members:
    """One member, or that many one behind the other, of a kind with everything that couples in it."""
    lengths = [LENGTH / parts] * parts
    every = np.arange(parts)
    if kind == "open":
        p = chains.open_members(
            lengths, gj=GJ, eiw=EIW, warp_shear=3e-10, coupling=(2e-8, -1e-8), origin=(900.0, 25.0, -15.0),
            shear=[[3e-8, 1e-8], [1e-8, 2e-8]], bending=[[2e11, 3e10], [3e10, 5e11]], centroid=(8, -5),
            shear_centre=(-22, 4),
        )  # fmt: skip
        return Members(p.beams, every, p, NONE, RackingBeams.none())
    if kind == "racking":
        r = chains.box_members(lengths, 72, 147, (3, 2.5, 2, 3.5), E=E, nu=NU, at=(4.0, -7.0))
        return Members(r.beams, NONE, OpenBeams.none(), every, r)
    beams = chains.plain(
        lengths, gj=GJ, shear=[[3e-8, 1e-8], [1e-8, 2e-8]], bending=[[2e11, 3e10], [3e10, 5e11]], centroid=(8, -5),
        shear_centre=(-22, 4),
    )  # fmt: skip
    return Members.of(beams)


def loads(chains) -> LineLoads:
    """Two line loads beside the reference line that begin and end inside, one of them a quadratic."""
    return LineLoads.join([
        chains.one_line(120, 700, (30, -12), [(0.5, 1, -3), (0.002, -0.004, 0.01), (0, 1e-6, -3e-5)]),
        chains.one_line(0, LENGTH, (-18, 40), (0, 0.2, -1.5)),
    ])


def held(kernels, lines, x):
    x = np.asarray(x, float)
    return inside(kernels, np.zeros((1, 16, lines.cases)), lines, np.zeros(len(x), dtype=np.int64), x)[:, :, 0]


# ------------------------------------------------------------------------------------------------ closed forms


def test_a_plain_member_built_in_under_a_uniform_load(chains):
    """w = q x^2 (L - x)^2/(24 EI) + q x (L - x)/(2 GA): any text on strength of materials; the shear's part is q times
    the flexibility, integrated twice."""
    ei, flexible, q = 5e11, 4e-8, 2.0
    beams = chains.plain([LENGTH], bending=[[2e11, 0], [0, ei]], shear=[[0, 0], [0, flexible]])
    x = np.array([0.0, 1.0, 200.0, 450.0, 777.0, LENGTH])
    found = held(Members.of(beams), chains.one_line(0, LENGTH, (0, 0), (0, 0, q)), x)[:, 2]
    y = x * (LENGTH - x)
    assert found == pytest.approx(q * y**2 / (24 * ei) + q * y / 2 * flexible, rel=EXACT, abs=1e-15)


def test_an_open_member_built_in_under_a_uniform_torque(chains):
    """Twist (m/GJ) {x (L - x)/2 - L/(2 k) [cosh(kL/2) - cosh(k(L/2 - x))]/sinh(kL/2)}: satisfies Vlasov's E Iw
    theta'''' - GJ theta'' = m and theta = theta' = 0 at both ends.  The reference line, 22 mm from the shear centre,
    moves by the twist times that."""
    p = chains.open_members([LENGTH], gj=GJ, eiw=EIW, shear_centre=(-22, 0))
    k, m = sqrt(GJ / EIW), 40.0
    x = np.array([1.0, 100.0, 450.0, 800.0])
    line = chains.one_line(0, LENGTH, (m - 22, 0), (0, 0, 1))
    found = held(Members(p.beams, FIRST, p, NONE, RackingBeams.none()), line, x)
    bend = (cosh(k * LENGTH / 2) - np.cosh(k * (LENGTH / 2 - x))) / sinh(k * LENGTH / 2)
    twist = m / GJ * (x * (LENGTH - x) / 2 - LENGTH / (2 * k) * bend)
    assert found[:, 3] == pytest.approx(twist, rel=1e-8)
    assert found[:, 2] == pytest.approx((x * (LENGTH - x)) ** 2 / (24 * 5e11) + 22 * twist, rel=1e-8)


def test_a_racking_member_under_a_load_as_its_end_stiffness_tells_it(chains):
    """A uniform load q on one web of a square box, whose torque does not rack it, ends held: by Betti's theorem what it
    does to racking in the middle is q b/4 (b the width) times the area under the racking that a unit on racking in the
    middle brings, here by the trapezium rule over 300 cells: 1e-4."""
    p = chains.box_members([LENGTH], 120, 120, (3, 3, 3, 3), E=E, nu=NU)
    q, n = 2.0, 300
    kernels = Members(p.beams, NONE, OpenBeams.none(), FIRST, p)
    found = held(kernels, chains.one_line(0, LENGTH, (60, 0), (0, 0, q)), [LENGTH / 2])[0, 6]
    step = np.full(n, LENGTH / n)
    k = np.zeros((2 * n + 2, 2 * n + 2))
    cell = end_stiffness(p.foundation, step[:1])[0]
    for i in range(n):
        k[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += cell
    unit = np.zeros(2 * n - 2)
    unit[n - 2] = 1
    racking = np.linalg.solve(k[2:-2, 2:-2], unit)[::2]
    assert found == pytest.approx(q * 60 / 2 * racking.sum() * step[0], rel=1e-4)


# ------------------------------------------------------------------------------------------- what must be true


@pytest.mark.parametrize("kind", ["plain", "open", "racking"])
@pytest.mark.parametrize("cut", [1, 2, 3])
def test_like_a_node_there(chains, kind, cut):
    """The same member in four parts, both ends held: the nodes between move as the places in the whole member do."""
    whole, parts = members(chains, kind), members(chains, kind, parts=4)
    lines = loads(chains)
    own = chains.cut(lines, np.linspace(0, LENGTH, 5))
    k, inner = parts.stiffness(), np.zeros((4, 16))
    np.add.at(inner, own.member, parts.each_equivalent(own)[:, :, 0])
    big, load = np.zeros((40, 40)), np.zeros(40)
    for i in range(4):
        big[8 * i : 8 * i + 16, 8 * i : 8 * i + 16] += k[i]
        load[8 * i : 8 * i + 16] += inner[i]
    free = [d for d in range(8, 32) if big[d, d]]
    scale = 1 / np.sqrt(np.diag(big)[free])
    u = np.zeros(40)
    u[free] = scale * np.linalg.solve(big[np.ix_(free, free)] * np.outer(scale, scale), scale * load[free])
    found = held(whole, lines, [cut * LENGTH / 4])[0]
    expected = u[8 * cut : 8 * cut + 8]
    size = np.array([1, 1, 1, 1e-2, 1e-2, 1e-2, 1e-2, 1e-4]) * np.abs(u).max()
    assert found / size == pytest.approx(expected / size, rel=1e-8, abs=1e-9)


@pytest.mark.parametrize("kind", ["plain", "open", "racking"])
def test_strains_are_those_of_the_resultants(chains, kind):
    """Ends moved at random under line loads: N = EA du/dx at the centroid, moments are the bending stiffness times the
    slope of (rz, -ry); of open members T - Tw = GJ dtheta/dx; B = EI df/dx of racking ones.  By differences over 2 mm:
    the third derivative, and rounding, leave 1e-5."""
    kernels, lines = members(chains, kind), loads(chains)
    rng = np.random.default_rng(5)
    size = np.array([0.3, 3, 3, 0.01, 0.01, 0.01, 1e-5, 1e-7 if kind == "racking" else 0])
    size[6] = 0.01 if kind == "racking" else size[6]
    ends = rng.normal(size=(1, 16, 1)) * np.tile(size, 2)[:, None]
    inner = np.zeros((1, 16, 1))
    np.add.at(inner, lines.member, kernels.each_equivalent(lines))
    forces = kernels.stiffness() @ ends - inner
    x, h = np.array([60.0, 300.0, 555.0, 810.0]), 1.0
    at = np.zeros(4, dtype=np.int64)
    r = kernels.resultants(ends, forces, lines, at, x)[:, :, 0]
    slope = (inside(kernels, ends, lines, at, x + h) - inside(kernels, ends, lines, at, x - h))[:, :, 0] / (2 * h)
    b = kernels.beams
    if kind == "racking":  # the six unknowns of the beam follow racking where the box is not symmetric: in own terms
        from ladderfe.elements.racking_beam import to_own

        slope = slope @ to_own(kernels.racking)[0].T
    if kind == "open":
        from ladderfe.elements.open_beam import to_own as own_warping

        slope[:, :7] = slope[:, :7] @ own_warping(kernels.open)[0].T
    yc, zc = b.centroid[0]
    stretch = slope[:, 0] + zc * slope[:, 4] - yc * slope[:, 5]
    curved = np.stack([slope[:, 5], -slope[:, 4]], axis=1) @ b.bending[0]
    close = {"rel": 1e-5, "abs": 1e-5}
    assert b.EA[0] * stretch == pytest.approx(r[:, 0], **close)
    assert curved[:, 0] == pytest.approx(r[:, 5], rel=1e-5, abs=1e-5 * np.abs(r[:, 4:6]).max())
    assert curved[:, 1] == pytest.approx(-r[:, 4], rel=1e-5, abs=1e-5 * np.abs(r[:, 4:6]).max())
    if kind == "open":
        assert GJ * slope[:, 3] == pytest.approx(r[:, 3] - r[:, 7], rel=1e-5)
        assert -EIW * slope[:, 6] == pytest.approx(r[:, 6], rel=1e-5, abs=1e-5 * np.abs(r[:, 6]).max())
    if kind == "racking":
        assert kernels.racking.foundation.EI[0] * slope[:, 7] == pytest.approx(
            r[:, 6], rel=1e-5, abs=1e-5 * np.abs(r[:, 6]).max()
        )


def test_members_of_all_kinds_side_by_side(chains):
    """Each answers as by itself, whatever stands beside it; ends move as told."""
    kinds = ("racking", "plain", "open")
    single = [members(chains, kind) for kind in kinds]
    together = Members(
        replace(single[0].beams, **{
            name: np.concatenate([getattr(s.beams, name) for s in single])
            for name in ("length", "EA", "GJ", "bending", "shear", "centroid", "shear_centre")
        }),
        np.array([2]), single[2].open, np.array([0]), single[0].racking,
    )  # fmt: skip
    lines = loads(chains)
    every = LineLoads.join([replace(lines, member=lines.member + m) for m in range(3)])
    ends = np.random.default_rng(2).normal(size=(3, 16, 1)) * 1e-3
    x = np.array([0.0, 333.0, LENGTH])
    for m, own in enumerate(single):
        alone = inside(own, ends[m : m + 1], lines, np.zeros(3, dtype=np.int64), x)
        found = inside(together, ends, every, np.full(3, m), x)
        assert found == pytest.approx(alone, rel=1e-12, abs=1e-15)
        known = {"racking": 8, "plain": 6, "open": 7}[kinds[m]]
        assert found[0, :known] == pytest.approx(ends[m, :known], rel=1e-9, abs=1e-12)
        assert found[2, :known] == pytest.approx(ends[m, 8 : 8 + known], rel=1e-9, abs=1e-12)
        assert not found[:, known:].any()
