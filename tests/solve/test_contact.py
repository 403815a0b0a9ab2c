"""Supports that only push, by hand: stands under a bare frame, tipping, limits of pull, a real frame."""

from math import inf, pi

import numpy as np
import pytest

from ladderfe.errors import MechanismError, ModelError
from ladderfe.solve.complementarity import complementary
from ladderfe.solve.contact import Base, level_set_up, stand, weighed_set_up
from ladderfe.solve.lift_path import lift_path
from ladderfe.solve.support_problem import SupportProblem
from ladderfe.solve.supports import Footing, factorised

EXACT = 1e-9  # closed forms, rounding only
K = 2e6 * 180 / pi  # frame, 2 kN m/deg in N mm/rad
B = 800.0  # mm between left and right stand
FOUR = ((0, -B / 2), (0, B / 2), (2000, -B / 2), (2000, B / 2))  # front left, front right, rear left, rear right


def twisting(contacts, **more):
    """A frame on four rigid stands that can only twist: held at three, F lifts the fourth by w, F b = K w/b."""
    flexibility = np.zeros((4, 4))
    flexibility[3, 3] = B**2 / K
    return contacts.bare(FOUR, flexibility=flexibility, **more)


def one(problem, resultant, set_up=(), g=None):
    n = len(problem.names)
    heights = np.zeros(n)
    heights[: len(set_up)] = set_up
    return stand(problem, (np.zeros(n) if g is None else g)[:, None], resultant[:, None], heights[:, None])


def above(problem, weights):
    """Resultant and movements of weights that stand right above the first supports: level, each carries its own."""
    push = np.zeros(len(problem.names))
    push[: len(weights)] = weights
    return -problem.lever.T @ push, -problem.soft @ push


UNEVEN = np.array([1, 1.04, 1.04, 1.08])  # the centre of gravity is a little off the diagonal


@pytest.mark.parametrize(
    ("corner", "low"), [(2500.0, 14.0), (250.0, 1.4)], ids=["laden, 2.5 kN", "bare frame, 0.25 kN"]
)
def test_a_stand_that_is_low(contacts, corner, low):
    """A stand low by d takes K d/b^2 off itself and its diagonal and puts it on the others: K = 2 kN m/deg, b = 0.8 m:
    14 mm take 2.5 kN, 1.4 mm 0.25 kN, so a bare frame then stands on three.  Own arithmetic, no source."""
    assert K * low / B**2 == pytest.approx(corner, rel=0.005)  # 2507 N and 251 N
    p = twisting(contacts)
    load, g = above(p, corner * UNEVEN)
    got = one(p, load, (-0.5 * low,), g)
    moved = K * 0.5 * low / B**2
    assert got.forces[:4, 0] == pytest.approx(corner * UNEVEN + moved * np.array([-1, 1, 1, -1]), rel=EXACT)
    got = one(p, load, (-low,), g)
    assert not got.down[0, 0]
    assert got.down[1:4, 0].all()
    assert got.forces[:4, 0] == pytest.approx(corner * np.array([0, 2.04, 2.04, 0.08]), rel=EXACT, abs=1e-9)  # statics
    assert got.opening[0, 0] == pytest.approx(low - corner * B**2 / K, rel=1e-7)  # small difference of the two


def test_height_at_which_the_low_stand_comes_free(contacts):
    """d = R b^2/K, on the way down; below it nothing changes any more."""
    p, n = twisting(contacts), 7
    load, g = above(p, 250.0 * UNEVEN)
    path = lift_path(p, g, load, np.zeros(n), -np.eye(n)[0], 10.0)
    assert [(c.support, c.lifts) for c in path.changes] == [("stand 1", True)]
    assert path.changes[0].height == pytest.approx(250 * B**2 / K, rel=EXACT)
    assert path.forces[:, 1] == pytest.approx(path.forces[:, 2], rel=EXACT, abs=1e-9)


def test_even_load_rocks_between_two(contacts):
    """Exactly even corners: low and opposite stand unload together; it stands on the other two and rocks, and forces
    are still certain."""
    p = twisting(contacts)
    load, g = above(p, [250.0] * 4)
    got = one(p, load, (-20.0,), g)
    assert got.forces[:4, 0] == pytest.approx([0, 500, 500, 0], abs=1e-9)
    assert got.tipping[0].words == "rocks: it stands on stand 2 and stand 3 alone"
    assert not got.tipping[0].over
    got.refuse_tipping(("stands",))


TIPS = [
    ((1000, 500), "tips over about the line through stand 2 and stand 4: stand 1 and stand 3 come up"),
    ((-100, 0), "tips over about the line through stand 1 and stand 2: stand 3 and stand 4 come up"),
    ((2800, 560), "tips over about stand 4: stand 1, stand 2 and stand 3 come up"),
    ((1000, B / 2), "tips over: it balances on stand 2 and stand 4 alone"),
]


@pytest.mark.parametrize(("place", "words"), TIPS)
def test_tipping_is_told_in_words(contacts, place, words):
    """Load outside the four stands, or exactly over the line of two.  Between hull and corner by the nearest point."""
    got = one(twisting(contacts), contacts.weight_at(1000.0, *place))
    assert got.tipping[0].words == words
    assert np.isnan(got.forces).all()
    with pytest.raises(ModelError, match=r"^case stands: tips over.*\. Move a support or a load") as caught:
        got.refuse_tipping(("stands",))
    assert caught.value.problem == words


@pytest.mark.parametrize(("side", "up"), [(-1, ("stand 2", "stand 4")), (1, ("stand 1", "stand 3"))])
def test_on_the_edge_the_other_side_comes_up(contacts, side, up):
    """Exactly over the line of two stands: the motion left free raises the others, whichever side they are on."""
    tip = one(twisting(contacts), contacts.weight_at(1000.0, 900, side * B / 2)).tipping[0]
    assert (tip.lift, tip.over) == (up, True)


def test_tipping_motion_proves_it(contacts):
    """Farkas: on that motion no pushing support is entered and the load does work."""
    load = contacts.weight_at(1000.0, 1700, 460)
    p = twisting(contacts)
    motion = one(p, load).tipping[0].motion
    opening = p.lever @ motion
    assert np.all(opening[:4] > -1e-9)
    assert opening[4:] == pytest.approx(0, abs=1e-9)
    assert load @ motion > 0


def test_lifted_bodily(contacts):
    """A hoist that takes more than the weight: no stand holds it down."""
    got = one(twisting(contacts), -contacts.weight_at(1000.0, 900, 50))
    assert got.tipping[0].words.startswith("tips over: nothing holds it down, ")
    assert got.tipping[0].stay == ()


def test_two_supports_are_too_few(contacts):
    with pytest.raises(MechanismError) as caught:
        one(contacts.bare(FOUR[:2]), contacts.weight_at(1000.0))
    assert str(caught.value) == (
        "supports: nothing holds the frame: free to rotate about y, so it tips over. "
        "Give it a support that acts in that direction; it takes three to stand on."
    )


def test_no_hold_sideways(contacts):
    p = twisting(contacts)
    keep = [0, 1, 2, 3, 4, 5]
    loose = SupportProblem(
        names=p.names[:6], soft=p.soft[np.ix_(keep, keep)], lever=p.lever[keep], lowest=p.lowest[keep]
    )
    with pytest.raises(MechanismError, match="free to rotate about z"):
        one(loose, contacts.weight_at(1000.0))


def test_rigid_supports_on_one_place(contacts):
    """Two rigid stands at one place share in no certain way; with a rate they do."""
    places = (*FOUR[:3], FOUR[2])
    with pytest.raises(ModelError, match="rigid supports share a load in no certain way: stand 3, stand 4"):
        one(contacts.bare(places), contacts.weight_at(1000.0, 800))
    got = one(contacts.bare(places, soft=1e-4), contacts.weight_at(1000.0, 800, -50))
    assert got.forces[2, 0] == pytest.approx(got.forces[3, 0], rel=EXACT)


def test_a_support_that_pulls_a_little(contacts):
    """Load 100 mm in front of the front stands: the rear ones pull 50 N each, which they may to 60 N, but not to 40."""
    lowest = np.array([0, 0, -60.0, -60.0])
    p = twisting(contacts, lowest=lowest)
    load, g = above(p, [1050, 1050, -50, -50])
    assert load == pytest.approx(contacts.weight_at(2000.0, -100))
    assert one(p, load, g=g).forces[:4, 0] == pytest.approx([1050, 1050, -50, -50], rel=EXACT)
    assert one(twisting(contacts, lowest=lowest * 2 / 3), load, g=g).tipping[0].over


def test_pull_that_is_used_up(contacts):
    """A stand low by 14 mm that can pull 1 kN on a 250 N corner: it holds on, for K d/b^2 = 2507 N, up to -1 kN."""
    p = twisting(contacts, lowest=np.array([-1000.0, 0, 0, -inf]))
    load, g = above(p, 250 * UNEVEN)
    got = one(p, load, (-14.0,), g)
    assert got.forces[0, 0] == -1000.0
    assert not got.down[0, 0]
    assert got.opening[0, 0] == pytest.approx(14 - 1250 * B**2 / K, rel=1e-8)
    assert got.forces[:4, 0] == pytest.approx([-1000, 260 + 1250, 260 + 1250, 270 - 1250], rel=EXACT)


def test_stop_that_takes_hold_after_a_gap(contacts):
    """Three stands; the third is a spring of 20 N/mm with a block of 500 N/mm 5 mm under it: shares by hand."""
    three = (*FOUR[:2], (2000, 0))
    flexible = np.diag([0.0, 0, 1 / 20, 1 / 500])
    p = contacts.bare((*three, three[2]), flexibility=flexible, engages=np.array([False] * 3 + [True] + [False] * 3))
    for push, by_hand in ((80.0, 0.0), (100.0, 0.0), (230.0, 500 * 130 / 520)):
        load, _ = above(p, [300, 300, push])
        got = one(p, load, (0, 0, 0, -5.0))
        assert got.forces[:4, 0] == pytest.approx([300, 300, push - by_hand, by_hand], rel=EXACT, abs=1e-9)


def test_set_up_brings_the_forces_out_that_were_weighed(contacts):
    """Any forces in balance with the load: stands set up for them carry them."""
    p = twisting(contacts, soft=1e-3)
    forces = np.array([200.0, 300, 290, 210, 0, 0, 0])
    load = -p.lever.T @ forces
    g = np.linspace(-1, 1, 7)
    d0 = weighed_set_up(p, g, forces)
    got = stand(p, g[:, None], load[:, None], d0[:, None])
    assert got.forces[:, 0] == pytest.approx(forces, rel=EXACT, abs=1e-9)
    assert got.motion[:, 0] == pytest.approx(np.zeros(6), abs=1e-9)
    assert level_set_up(p, g, load) == pytest.approx(np.zeros(7))


def test_cases_side_by_side_equal_cases_alone(contacts):
    rng = np.random.default_rng(4)
    a = rng.normal(size=(6, 6))
    p = contacts.bare(rng.uniform(-600, 600, (6, 2)), flexibility=1e-3 * a @ a.T)
    set_up = np.concatenate([rng.uniform(-20, 20, (6, 16)), np.zeros((3, 16))])
    loads = np.stack([contacts.weight_at(2000, *rng.uniform(-150, 150, 2)) for _ in range(16)], axis=1)
    together = stand(p, 0 * set_up, loads, set_up)
    assert len({d.tobytes() for d in together.down.T}) > 2
    for k in range(16):
        alone = one(p, loads[:, k], set_up[:, k])
        np.testing.assert_array_equal(alone.down[:, 0], together.down[:, k])
        np.testing.assert_allclose(alone.forces[:, 0], together.forces[:, k], rtol=1e-11, atol=1e-8)


def test_the_exchange_matrix_is_an_energy(contacts):
    """z^T M z = p^T S p >= 0 for any z, which is why the method ends: with stops among the links."""
    rng = np.random.default_rng(8)
    a = rng.normal(size=(5, 5))
    engages = np.array([False] * 4 + [True] + [False] * 3)
    p = contacts.bare((*FOUR, (900, 0)), flexibility=1e-3 * a @ a.T, soft=1e-3, engages=engages)
    base = Base(p)
    for _ in range(20):
        z = rng.normal(size=len(base.pairs))
        force = base.unit_forces @ z
        assert z @ base.exchange @ z == pytest.approx(force @ p.soft @ force, rel=1e-9)


def test_complementary_ties_go_by_the_slope():
    """y = b + z with b = 0: y stays for a slope up, z takes over for a slope down."""
    chosen, solvable = complementary(np.eye(1), np.zeros((1, 2)), np.array([[1.0, -1.0]]))
    assert chosen.tolist() == [[False, True]]
    assert solvable.all()


def test_complementary_off_the_diagonal():
    """A zero diagonal: y1 = -1 + z2, y2 = 1 - z1 (skew, energy zero): z2 = 1 and z1 = 1, both change.  No solution
    when y1 = -1 - z2."""
    m = np.array([[0.0, 1], [-1, 0]])
    chosen, solvable = complementary(m, np.array([[-1.0], [1.0]]))
    assert chosen[:, 0].tolist() == [True, True]
    assert solvable[0]
    assert not complementary(-m, np.array([[-1.0], [1.0]]))[1][0]


@pytest.fixture(scope="module")
def ladder(frames):
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5, Asy=400.0, Asz=600.0)
    return frames.ladder([0.0, 700.0, 1500.0, 2400.0], 400.0, bar, bar, arm=35.0, parts=2)


def test_a_real_frame_on_stands_equals_the_frame_on_those_left(frames, ladder):
    """A ladder under uneven loads on four stands, one low by 30 mm: the same forces and movements as the ladder held
    by direct factorisation on the three that are down.  1e-8: movements of 10 mm from different factorisations."""
    m = ladder.model
    m.loads.clear()
    m.held.clear()
    m.load(ladder.left[1], (0, 0, -900.0))
    m.load(ladder.right[2], (0, 0, -600.0))
    corners = [ladder.left[0], ladder.right[0], ladder.left[-1], ladder.right[-1]]
    frame = m.frame()
    loads = m.nodal_loads(frame.unknowns)
    unit = np.eye(frame.unknowns)
    holds = [6 * corners[0], 6 * corners[0] + 1, 6 * corners[2] + 1]
    rows = [6 * c + 2 for c in corners] + holds
    footing = Footing(factorised(frame), unit[:, rows], loads)
    p = SupportProblem(
        names=tuple("abcdefg"),
        soft=footing.flexibility,
        lever=footing.lever,
        lowest=np.r_[np.zeros(4), np.full(3, -inf)],
    )
    set_up = np.array([0, -30.0, 0, 0, 0, 0, 0])[:, None]
    got = stand(p, footing.rows.T @ footing.load_movements, footing.motions.T @ loads, set_up)
    assert got.down[:4, 0].tolist() == [True, False, True, True]
    u = footing.movements(np.ones((1, 1)), got.forces, got.motion)
    m.hold([corners[0], corners[2], corners[3]], "uz")
    m.held += holds
    direct = m.solve()
    assert u == pytest.approx(direct.u, rel=1e-8, abs=1e-7)
    up = [direct.reaction(c)[2] for c in corners]
    assert got.forces[:4, 0] == pytest.approx(up, rel=1e-9, abs=1e-6)
    assert got.opening[1, 0] == pytest.approx(direct.move(corners[1])[2] + 30, rel=1e-8)
