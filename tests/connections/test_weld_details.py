"""Sizes of welds, stitches, long laps and butt welds: rules and values of EN 1993-1-8 from memory, and statics."""

import pytest

from ladderfe.connections import (
    butt_throat,
    fillet_size_rules,
    full_run,
    long_lap_factor,
    stitch_factor,
    stitch_rules,
    stitch_warnings,
    stitched_run,
    throat_stress,
)
from ladderfe.errors import ModelError


def names(found):
    return [b.rule.name for b in found]


def test_sizes_that_keep_the_rules():
    assert fillet_size_rules(3.0, 30.0, 4.0, lap=25.0) == ()


@pytest.mark.parametrize(("sizes", "broken"), [
    ((2.9, 60.0, 5.0), ["throat"]),
    ((3.0, 29.0, 5.0), ["length of the weld"]),
    ((6.0, 35.0, 5.0), ["length of the weld"]),  # 6 a = 36
    ((3.0, 60.0, 3.9), ["plate thickness"]),
    ((2.1, 60.0, 3.0), ["plate thickness", "throat"]),
    ((3.0, 60.0, 4.0, 24.0), ["lap of the plates"]),
    ((3.0, 60.0, 8.0, 39.0), ["lap of the plates"]),  # 5 t = 40
])  # fmt: skip
def test_sizes_that_break_a_rule(sizes, broken):
    """a >= 3, L >= max(30, 6 a), t >= 4: EN 1993-1-8 4.5, 4.1, from memory; lap 5 t and 25 mm: trade, from memory."""
    assert names(fillet_size_rules(*sizes)) == broken


def test_a_broken_rule_tells_value_limit_source_and_status():
    said = str(fillet_size_rules(2.1, 60.0, 5.0)[0])
    assert said == "throat is 2.1 mm, at least 3 mm (EN 1993-1-8 4.5.2; value from memory, text not seen)"


def test_stitched_weld_of_a_lapped_plate():
    """q = 15.0236 N/mm in each of two welds, throat 3 mm: 5.00786 MPa, and 12.0189 with runs of 50 at 120 mm.

    A box of 100 x 60 x 3 mm with a plate of 50 x 4 mm under 6 kN, q = V Q/I/2 (worked by the authors, no source).
    """
    q = 15.0235676
    assert throat_stress([q, 0.0, 0.0], 3.0).tau_along == pytest.approx(5.00785588, rel=1e-8)
    in_runs = throat_stress([q * stitch_factor(50.0, 120.0), 0.0, 0.0], 3.0)
    assert in_runs.tau_along == pytest.approx(12.0188541, rel=1e-8)


def test_runs_have_no_full_throat_at_their_ends():
    """Twice the throat off (EN 1993-1-8 4.5.1, from memory): 40 - 2 x 3 = 34 mm.  A throat of 4 mm that 128 mm^2 of run
    ask for, 4 (40 - 2 x 4), takes 8 mm off where 3 mm are planned; no throat gives more than 40^2/8 = 200 mm^2."""
    assert full_run(40.0, 3.0) == 34.0
    assert stitched_run(40.0, 3.0, 50.0) == 34.0
    assert stitched_run(40.0, 3.0, 128.0) == pytest.approx(32.0, rel=1e-12)
    assert stitched_run(40.0, 3.0, 500.0) == 20.0


def test_stitch_rules():
    """Gap at most 12 t, b/4, 200 mm, end runs 3/4 b: EN 1993-1-8 4.3.2.2, from memory.

    Runs of 75 at 100 mm on 100 mm width keep them, at t = 3 (36 mm) too; at t = 2 the gap of 25 mm is over 24 mm.
    """
    assert stitch_rules(75.0, 100.0, 3.0, 100.0) == ()
    assert names(stitch_rules(75.0, 100.0, 2.0, 100.0)) == ["gap between runs"]
    assert names(stitch_rules(74.0, 99.0, 3.0, 100.0)) == ["length of the end runs"]
    assert names(stitch_rules(75.0, 100.5, 3.0, 100.0)) == ["gap between runs"]
    assert names(stitch_rules(800.0, 1001.0, 30.0, 1000.0)) == ["gap between runs"]


def test_where_stitches_are_out_of_place():
    assert len(stitch_warnings()) == 3
    assert stitch_warnings(wet=False, repair=False, fatigue=False) == ()
    assert "1993-1-8" in stitch_warnings(repair=False, fatigue=False)[0]


def test_long_laps():
    """1.2 - 0.2 L/(150 a), EN 1993-1-8 4.11 from memory: 1 up to 150 a, 0.8 at 300 a."""
    assert long_lap_factor([100.0, 450.0, 900.0], 3.0) == pytest.approx([1.0, 1.0, 0.8], rel=1e-12)
    assert long_lap_factor(1e5, 3.0) == 0


def test_butt_welds():
    """Full penetration: the weaker part.  From one side on an open root 2 mm less; a trial's penetration if given."""
    for made in ("both sides", "backing strip", "root run"):
        assert butt_throat([3.0, 4.0], made).tolist() == [3.0, 4.0]
    assert butt_throat([3.0, 1.5], "one side") == pytest.approx([1.0, 0.0])
    assert butt_throat(3.0, "one side", 2.5) == 2.5
    assert butt_throat(3.0, "one side", 9.0) == 3.0


@pytest.mark.parametrize(("call", "said"), [
    (lambda: stitch_factor(60.0, 50.0), "weld: the run of 60 mm is longer than the pitch of 50 mm."),
    (lambda: full_run(6.0, 3.0), "weld: a run of 6 mm has nowhere its full throat of 3 mm."),
    (lambda: butt_throat(3.0, "one-side"), 'butt weld: "one-side" is not known. Did you mean "one side"?'),
    (lambda: butt_throat(3.0, "one side", -1.0), "the penetration is -1. Give a number at least 0."),
    (lambda: fillet_size_rules(3.0, 0.0, 3.0), "the length is 0."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
