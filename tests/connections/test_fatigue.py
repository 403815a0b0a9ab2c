"""Damage ratios against EN 1993-1-9's curve (from memory), sums by hand, and what a ratio may not depend on."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.connections import CATEGORIES, Cycle, category, damage, damage_ratio, stress_ranges, worst_ratio
from ladderfe.errors import ModelError

CASES = ["static", "bounce", "twist left", "twist right"]
MIX = (
    Cycle(first="static", second="bounce", share=0.9),
    Cycle(first="twist left", second="twist right", share=0.1),
)


@pytest.mark.parametrize(("name", "span", "life"), [
    ("butt, backing strip", 100.0, 715822.0), ("butt, one side", 50.0, 746496.0),
])  # fmt: skip
def test_life_above_the_knee(name, span, life):
    """N = 2e6 (71/100)^3 and 2e6 (36/50)^3: EN 1993-1-9 7.1; constants of the curve seen at third hand, categories from
    memory, worked by the authors; six digits."""
    assert 1 / damage([span], [1.0], category(name)) == pytest.approx(life, rel=1e-6)


@pytest.mark.parametrize(("good", "poor", "ratio"), [
    ("butt, backing strip", "butt, one side", 7.67127486), ("transverse attachment", "butt, one side", 10.9739369),
    ("butt, both sides", "lap, lapped plate", 8.0),
])  # fmt: skip
def test_cost_of_a_poor_detail(good, poor, ratio):
    """Same range: (71/36)^3, (80/36)^3, (90/45)^3; categories from memory, worked by the authors; nine digits."""
    one, two = (damage([60.0], [1.0], category(name)) for name in (poor, good))
    assert damage_ratio(one, two).ratio == pytest.approx(ratio, rel=1e-8)


def test_thresholds_are_not_credited():
    """Category 56: 2e4 at 120, 2e5 at 70, 3e6 at 30 and 1e7 at 20 MPa give 0.4156 by the standard's whole curve (knee
    at 5e6, slope 5, cut-off at 1e8; worked by the authors), and the straight line more: low ranges count in full."""
    span, count = np.array([120.0, 70, 30, 20]), np.array([2e4, 2e5, 3e6, 1e7])
    detail = category("cover plate end")
    knee = 56 * (2 / 5) ** (1 / 3)
    cut_off = knee * (5 / 100) ** (1 / 5)
    life = np.where(span >= knee, 2e6 * (56 / span) ** 3, 5e6 * (knee / span) ** 5)
    credited = (count / life)[span >= cut_off].sum()
    assert credited == pytest.approx(0.415622203, rel=2e-3)  # 0.737 and 0.549 are rounded
    straight = (count * span**3).sum() / 56**3 / 2e6
    assert damage(span, count, detail) == pytest.approx(straight, rel=1e-12)
    assert straight > 1.5 * credited


def test_ranges_of_named_cases():
    stress = np.array([[10.0, -5], [30, -45], [-60, 20], [50, 20]])
    span, shares = stress_ranges(CASES, stress, MIX)
    assert span.tolist() == [[20, 40], [110, 0]]
    assert shares.tolist() == [0.9, 0.1]


def test_ratio_at_one_place_by_hand():
    """0.9 x 20^3 + 0.1 x 110^3 = 140 300 on category 125; repaired 0.9 x 15^3 + 0.1 x 80^3 = 54 237.5 on 56."""
    before = damage([20.0, 110.0], [0.9, 0.1], category("cut edge"))
    after = damage([15.0, 80.0], [0.9, 0.1], category("cover plate end"))
    found = damage_ratio(after, before)
    assert found.ratio == pytest.approx(54237.5 / 140300 * (125 / 56) ** 3, rel=1e-12)
    assert [found.low, found.high] == pytest.approx([found.ratio / 8, found.ratio * 8], rel=1e-12)


def test_worst_places_of_two_states_may_differ():
    span_before, span_after = np.array([[100.0, 60, 80]]), np.array([[50.0, 60, 70, 75]])
    before, after = (damage(s, [1.0], category("plain")) for s in (span_before, span_after))
    found, here, there = worst_ratio(after, before)
    assert (here, there) == (3, 0)
    assert found.ratio == pytest.approx(0.75**3)


@given(
    scale=st.floats(0.1, 10),
    span=st.lists(st.floats(1, 300), min_size=2, max_size=2),
    share=st.floats(0.05, 0.95),
)
def test_ratio_knows_neither_units_nor_counts(scale, span, share):
    """Scaling all stresses or all counts of both states leaves the ratio; doubling one state's stress makes it 8."""
    shares = np.array([share, 1 - share])
    good, poor = category("plain"), category("butt, one side")
    before, after = damage(span, shares, good), damage(span[::-1], shares, poor)
    ratio = damage_ratio(after, before).ratio
    scaled = [damage(scale * np.array(s), 7 * shares, d) for s, d in ((span[::-1], poor), (span, good))]
    assert damage_ratio(*scaled).ratio == pytest.approx(ratio)
    doubled = damage(2 * np.array(span[::-1]), shares, poor)
    assert damage_ratio(doubled, before).ratio == pytest.approx(8 * ratio)


def test_slope_of_throats_in_shear():
    """m = 5: twice the stress is 32 times the damage, and the band is 32 either way (EN 1993-1-9 7.1, from memory)."""
    detail = category("weld throat")
    one, two = (damage([s], [1.0], detail) for s in (40.0, 80.0))
    found = damage_ratio(two, one, slope=detail.slope)
    assert [found.low, found.ratio, found.high] == pytest.approx([1, 32, 1024])


def test_categories_carry_source_and_status():
    """Values of EN 1993-1-9 as the authors remember them, a second list written down beside the first."""
    values = {
        "plain": 160, "dressed edge": 140, "cut edge": 125, "hole": 90, "butt, ground": 112,
        "butt, both sides": 90, "butt, high bead": 80, "butt, backing strip": 71, "butt, poor strip": 50,
        "butt, one side": 36, "long seam": 100, "stitched seam": 80, "attachment to 50 mm": 80,
        "attachment to 80 mm": 71, "attachment to 100 mm": 63, "attachment over 100 mm": 56,
        "transverse attachment": 80, "cover plate end": 56, "thick cover plate end": 50, "lap, main plate": 63,
        "lap, lapped plate": 45, "lap, root": 36, "weld throat": 80,
    }  # fmt: skip
    assert {name: c.stress_range for name, c in CATEGORIES.items()} == values
    assert all("from memory" in c.status and "EN 1993-1-9" in c.source for c in CATEGORIES.values())
    assert {name for name, c in CATEGORIES.items() if c.slope != 3} == {"weld throat"}


@pytest.mark.parametrize(("call", "said"), [
    (lambda: category("plain", pitted=True),
     "fatigue category plain: it stands for clean metal and none holds where the wall is pitted"),
    (lambda: category("stiched seam"), 'fatigue category: "stiched seam" is not known. Did you mean "stitched seam"?'),
    (lambda: Cycle(first="a", second="a", share=1.0), 'cycle: it goes from "a" to itself.'),
    (lambda: Cycle(first="a", second="b", share=0.0), "the share of a and b is 0."),
    (lambda: stress_ranges(CASES, np.zeros((3, 2)), MIX), "stresses of the shape (3, 2) for 4 cases."),
    (lambda: stress_ranges(CASES, np.zeros(4), MIX[:1]), "the shares of its cycles add up to 0.9."),
    (lambda: stress_ranges(CASES, np.zeros(4), ()), "the shares of its cycles add up to 0."),
    (lambda: stress_ranges(CASES, np.zeros(4), (Cycle(first="static", second="bounse", share=1.0),)),
     'cycle: "bounse" is not known. Did you mean "bounce"?'),
    (lambda: damage([1.0, 2.0], [1.0], category("plain")), "1 shares for ranges of the shape (2,)."),
    (lambda: damage_ratio([1.0, 2.0], [1.0, 0.0]), "the original has no stress range at a place"),
    (lambda: worst_ratio([], [1.0]), "damages of the shapes (0,) and (1,)."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
