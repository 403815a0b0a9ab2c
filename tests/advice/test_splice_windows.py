"""Windows of a frame whose moments and distances are known by hand: ends, ranking, best places, the staggered pair."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.advice import splice
from ladderfe.advice.splice_windows import best_pair
from ladderfe.checks import check

#: By hand: H = 150 mm; crossmembers 60 mm wide at 100, 1900 and 3900 mm, seats at 700 and 3300 mm, ends of the rails;
#: 100 + 30 + 150, 700 - 150, ...
WINDOWS = [(280, 550), (850, 1720), (2080, 3150), (3450, 3720)]


@pytest.mark.parametrize("side", ["left", "right"])
def test_windows_lie_between_the_distances_to_keep(even_splice, side):
    own = sorted((w.start, w.end) for w in even_splice.of(side))
    assert np.array(own) == pytest.approx(np.array(WINDOWS, float), abs=1e-9)


def test_windows_rank_by_the_greatest_use_within_reach(even_splice, even):
    """Joints at 280 and 1000 mm: the greatest moment within 300 mm is that at 580 and at 1300 mm.  No place of the
    first window has 300 mm on both sides (130 to 700 mm), so all its places count; in the second those from 1000 to
    1570 mm have.  I = (75 150^3 - 71 146^3)/12; section properties are exact for it."""
    own = even_splice.of("left")
    assert [w.best.station for w in own] == [280, 3720, 1000, 3000]
    expected = [even.use(even.moment(x)) for x in (580, 580, 1300, 1300)]
    assert [w.best.around for w in own] == pytest.approx(expected, rel=1e-6)
    assert [w.best.roomy for w in own] == [False, False, True, True]
    assert own[0].best.room == pytest.approx((150, 420))
    assert own[0].best.beside == ("crossmember front", "front spring seat")
    assert own[2].best.governing.along == pytest.approx(1300)
    assert own[2].best.governing.case == "twice"


def test_the_middle_of_a_long_window_is_told_too(even_splice, even):
    """1285 mm: M is greatest at 1585 mm."""
    w = even_splice.of("left")[2]
    assert w.middle.station == 1285
    assert w.middle.around == pytest.approx(even.use(even.moment(1585)), rel=1e-6)


def test_use_and_range_at_the_joint_itself(even_splice, even):
    """At 1000 mm: bending alone; flanges reach it over their width, webs feel nothing of it at mid-depth.  Range of the
    bounce from 1/2 to 2 times static: 1.5 times the static stress."""
    p = even_splice.of("left")[2].best
    flanges, webs, corners = p.groups
    assert flanges == pytest.approx(even.use(even.moment(1000)), rel=1e-6)
    assert corners == pytest.approx(flanges, rel=1e-9)
    assert webs < 2e-5, "of webs shear alone is left, over limits of 1e6 MPa"
    assert p.worst == pytest.approx([1.5 * even.stress(even.moment(1000))], rel=1e-6)
    shear = even.stress(1.0) * (75 * 150**3 - 71 * 146**3) / 12 / 75  # q
    assert p.shear_range[0] == pytest.approx(1.5 * shear * 1000 / (2 * 150 * 2), rel=0.02)
    # the standing walls carry V over 2 H t; flanges take up to t/H of it


def test_envelope_at_every_section_is_that_of_the_greater_case(even_splice, even):
    s = even_splice.rails[0].sections
    expected = [even.use(even.moment(x)) for x in s.station.tolist()]
    assert s.greatest == pytest.approx(expected, rel=1e-5, abs=2e-4)  # shear over its own limit stays below 2e-4
    assert np.diff(s.station).max() <= 10 + 1e-9
    assert np.diff(s.station).min() >= 0


def test_the_best_pair_is_staggered(even_splice):
    """Places with full room first: 1000 and 3000 mm are the best of each rail, and not opposite."""
    left, right = even_splice.pair
    assert (left.side, right.side) == ("left", "right")
    assert (left.station, right.station) == (1000, 3000)


def test_where_both_rails_have_one_window_the_second_joint_moves_away(made, even):
    """Mounts leave 850 to 1720 mm: one joint at 1000, the other 2 H = 300 mm further on, where M at 1600 mm counts."""
    names = [
        (f"{side} {x}", f"{side} rail", x, y)
        for side, y in (("left", -400.0), ("right", 400.0))
        for x in (415, 2200, 2500, 2800, 3010, 3585)
    ]
    mounts = tuple(made.mount(*n) for n in names)
    c = replace(even.chassis, mounts=mounts)
    s = splice(c, check(c, assumptions=False))
    assert [(w.start, w.end) for w in s.windows] == [(850, 1720)] * 2
    left, right = s.pair
    assert (left.station, right.station) == (1000, 1300)
    assert right.around == pytest.approx(even.use(even.moment(1600)), rel=1e-6)
    assert best_pair(s.rails[0], s.rails[1], s.of("left")) is None, "no window on the other rail"


def test_windows_too_short_for_two_staggered_joints_have_no_pair(made, even):
    mounts = tuple(
        made.mount(f"{side} {x}", f"{side} rail", x, y)
        for side, y in (("left", -400.0), ("right", 400.0)) for x in (415, 1250, 1560, 2200, 2500, 2800, 3010, 3585)
    )  # fmt: skip
    c = replace(even.chassis, mounts=mounts)
    s = splice(c, check(c, assumptions=False))
    assert [(w.start, w.end) for w in s.windows] == [(850, 1100)] * 2
    assert s.pair is None


def test_a_frame_in_the_mirror_has_the_same_windows(made, even, even_splice):
    """What is left is right; the plain ladder is its own mirror."""
    for a, b in zip(even_splice.of("left"), even_splice.of("right"), strict=True):
        assert (a.start, a.end, a.best.station) == pytest.approx((b.start, b.end, b.best.station))
        assert a.best.around == pytest.approx(b.best.around, rel=1e-9)


def test_marks_of_thirty_centimetres_forbid_nothing(even_splice):
    """Seats at 700 and 3300 mm: 400 to 1000 mm is marked, half of it free."""
    view = even_splice.rails[0]
    assert [(z.start, z.end) for z in view.marks] == [(400, 1000), (3000, 3600)]
    assert even_splice.of("left")[2].best.marked == ("front spring seat",)
    assert even_splice.of("left")[0].best.marked == ()
