"""Ratios of damage of two states: sums by hand, pitted metal, worst place against worst place."""

import numpy as np
import pytest

from ladderfe.advice import FatigueState, fatigue_ratio
from ladderfe.advice.fatigue_ratio import pitted_at
from ladderfe.condition import as_found, readings_from_text
from ladderfe.connections import category
from ladderfe.errors import ModelError

SHARES = np.array([0.9, 0.1])


def state(name, ranges, detail="butt, both sides", pitted=None, places=None):
    ranges = np.array(ranges, float)
    n = ranges.shape[1]
    return FatigueState(
        name=name,
        places=tuple(places or (f"place {k}" for k in range(n))),
        ranges=ranges,
        shares=SHARES,
        details=category(detail) if isinstance(detail, str) else tuple(map(category, detail)),
        pitted=np.zeros(n, bool) if pitted is None else np.array(pitted),
    )


def test_same_place_and_worst_places_by_hand():
    """0.9 20^3 + 0.1 110^3 = 140 300 and 0.9 40^3 = 57 600 before; 0.9 10^3 + 0.1 55^3 and 0.9 60^3 = 194 400 after:
    1/8 and 3.375 place by place, 194 400/140 300 worst over worst, at another place."""
    r = fatigue_ratio(state("before", [[20, 40], [110, 0]]), state("after", [[10, 60], [55, 0]]))
    assert r.same.ratio == pytest.approx([1 / 8, 3.375])
    assert r.same.low == pytest.approx([1 / 64, 3.375 / 8])
    assert float(r.worst.ratio) == pytest.approx(194_400 / 140_300)
    assert r.worst_places == ("place 0", "place 1")
    assert r.pitted == r.notes == ()


def test_a_poorer_detail_counts_with_the_cube_of_the_categories():
    """The same ranges on 90 and on 36: (90/36)^3 = 15.625 (categories from memory)."""
    r = fatigue_ratio(state("a", [[30], [0]]), state("b", [[30], [0]], "butt, one side"))
    assert float(r.worst.ratio) == pytest.approx(15.625)


def test_the_steeper_slope_makes_the_band():
    """Slope 5 of a throat in shear: 2^5 either way."""
    r = fatigue_ratio(state("a", [[30], [0]]), state("b", [[30], [0]], ["weld throat"]))
    assert float(r.worst.high / r.worst.ratio) == pytest.approx(32)


def test_no_category_on_pitted_metal():
    before, after = state("before", [[20, 40], [0, 0]]), state("after", [[20, 90], [0, 0]], pitted=[False, True])
    r = fatigue_ratio(before, after)
    assert r.same.ratio[0] == pytest.approx(1.0)
    assert np.isnan(r.same.ratio[1])
    assert np.isnan(r.same.high[1])
    assert float(r.worst.ratio) == pytest.approx(1 / 8), "20 of the sound place after against 40 before"
    assert r.pitted == ("place 1",)
    assert "No category holds on pitted metal" in r.notes[0]
    only = fatigue_ratio(before, state("after", [[20, 90], [0, 0]], pitted=[True, True]))
    assert only.worst is None
    assert len(only.notes) == 2


def test_places_that_differ_have_no_ratio_place_by_place():
    r = fatigue_ratio(state("a", [[30], [0]], places=["left"]), state("b", [[60], [0]], places=["right"]))
    assert r.same is None
    assert float(r.worst.ratio) == pytest.approx(8.0)


def test_a_place_without_range_before_has_no_ratio():
    r = fatigue_ratio(state("a", [[0, 10], [0, 0]]), state("b", [[30, 10], [0, 0]]))
    assert np.isnan(r.same.ratio[0])
    assert float(r.worst.ratio) == pytest.approx(27.0)
    assert fatigue_ratio(state("a", [[0], [0]]), state("b", [[30], [0]])).worst is None


def test_pitted_below_eight_tenths_of_as_built_unless_stated(made):
    """Walls of 2 mm: 1.59 is pitted, 1.61 is not; readings reach 250 mm; a dull place reaches 50 mm, a hole is gone."""
    c = made.chassis()
    rows = "side,station,wall,reading,to,rim\nleft,1000,top,1.59,,\nleft,2000,top,1.61,,\nleft,3000,outer,suspect,,\n"
    found = as_found(c, readings_from_text(rows + "left,3500,bottom,hole,3520,5\n", "r.csv", c))
    at = [700.0, 760.0, 1000.0, 2000.0, 2940.0, 2960.0, 3510.0]
    assert pitted_at(found, "left", at).tolist() == [False, True, True, False, False, True, True]
    assert not pitted_at(found, "right", at).any()
    assert pitted_at(found, "left", at, stated=False).tolist() == [False] * 7
    assert pitted_at(None, "left", at, stated=True).all()
    assert not pitted_at(None, "left", at).any()


def test_what_does_not_fit_together_is_refused():
    with pytest.raises(ModelError, match="2 details at 1 places"):
        state("a", [[30], [0]], ["butt, both sides", "butt, one side"])
    with pytest.raises(ModelError, match="Give one of each"):
        state("a", [[30]])
