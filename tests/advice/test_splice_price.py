"""The price of a place and of ways to cut there, against closed forms of the evenly loaded beam."""

import numpy as np
import pytest

from ladderfe.advice import splice
from ladderfe.advice.splice_cuts import steel_for
from ladderfe.errors import ModelError


def test_the_middle_of_the_rail_against_the_best_window(even_splice, even):
    """At 2000 mm M = 600 000 q, within 300 mm no more; the best window is that at 280 mm, where M = 39 200 q, and
    168 200 q at 580 mm, within reach.  Damage goes with the cube: (600/39.2)^3 = 3586, band 8 either way (2^3)."""
    p = even_splice.prices[0]
    assert p.place.around == pytest.approx(even.use(600_000), rel=1e-6)
    assert p.place.around / p.best.around == pytest.approx(600_000 / 168_200, rel=1e-6)
    assert p.range_ratio == pytest.approx([600_000 / 39_200], rel=1e-6)
    assert float(p.fatigue.worst.ratio) == pytest.approx((600 / 39.2) ** 3, rel=1e-6)
    assert float(p.fatigue.worst.low) == pytest.approx((600 / 39.2) ** 3 / 8, rel=1e-6)
    assert float(p.fatigue.worst.high) == pytest.approx((600 / 39.2) ** 3 * 8, rel=1e-6)


def test_what_is_not_kept_there(even_splice):
    """The crossmember reaches to 1930 mm: 70 mm off, 150 asked, and room for 70 of 300 mm of plates."""
    p = even_splice.prices[0]
    told = [(b.rule.name, b.found, b.rule.limit) for b in p.broken]
    assert told == [
        ("distance to crossmember middle", pytest.approx(70), 150),
        ("room for plates on the front side, up to crossmember middle,", pytest.approx(70), 300),
    ]
    assert p.other == (1700, 2300)


def test_the_best_place_costs_nothing(even_splice):
    p = even_splice.prices[1]
    assert p.place.station == p.best.station == 280
    assert p.range_ratio == pytest.approx([1.0])
    assert float(p.fatigue.worst.ratio) == pytest.approx(1.0)
    assert [b.rule.name for b in p.broken] == ["room for plates on the front side, up to crossmember front,"]


def test_cuts_at_the_middle(even_splice, even):
    """No shear at 2000 mm.  Square: s = M 75/I, over 0.9 fu/1.25 = 259.2 MPa (S235; the other condition, fu/(0.8 1.25)
    = 360, is milder).  45 degrees in side view: flanges square at 2000 +- 75 mm, where M is 75^2/2 q less, the stepped
    cut alike; in plan: webs square at 2000 +- 37.5 mm.  Damage by s^3."""
    cuts = {u.cut.name: u for u in even_splice.prices[0].cuts}
    s = 2 * even.stress(600_000)
    assert cuts["square"].across == pytest.approx(s, rel=1e-6)
    assert cuts["square"].equivalent == pytest.approx(s, rel=1e-6)
    assert cuts["square"].full == pytest.approx(s / 259.2, rel=1e-6)
    side = 1 - 75**2 / 2 / 600_000
    for name in ("45 degrees in side view", "stepped by 150 mm"):
        assert cuts[name].full == pytest.approx(side * s / 259.2, rel=1e-6)
        assert cuts[name].damage == pytest.approx(side**3, rel=1e-6)
        assert (cuts[name].start, cuts[name].end) == pytest.approx((1925, 2075))
    plan = 1 - 37.5**2 / 2 / 600_000
    assert cuts["45 degrees in plan"].full == pytest.approx(plan * s / 259.2, rel=1e-6)
    assert all(np.isinf(u.one_side) for u in cuts.values()), "2 mm walls: nothing of an open root counts"


def test_lengths_of_welds(even_splice):
    """Two webs and two flanges: 2 (150 + 75) less the corners counted once, between 2 (146 + 71) and 2 (150 + 75) mm;
    webs longer by 1/sin 45 in side view, flanges in plan; two seams of 150 mm in a stepped box."""
    cuts = {u.cut.name: u.length for u in even_splice.prices[0].cuts}
    assert 2 * (146 + 71) <= cuts["square"] <= 2 * (150 + 75)
    webs = (cuts["45 degrees in side view"] - cuts["square"]) / (2**0.5 - 1)
    flanges = (cuts["45 degrees in plan"] - cuts["square"]) / (2**0.5 - 1)
    assert webs + flanges == pytest.approx(cuts["square"])
    assert 2 * 146 <= webs <= 2 * 150
    assert cuts["stepped by 150 mm"] == pytest.approx(cuts["square"] + 300)


@pytest.mark.parametrize(("fy", "name"), [(None, "S235"), (200.0, "S235"), (235.0, "S235"), (350.0, "S275"),
                                          (900.0, "S460")])  # fmt: skip
def test_welds_are_judged_by_the_next_weaker_steel(fy, name):
    assert steel_for(fy)[0].name == name


def test_a_place_off_the_rail_is_refused(even):
    with pytest.raises(ModelError, match="the left rail runs from 0 to 4000 mm"):
        splice(even.chassis, even.findings, at=[("left", 4100.0)])
