"""Places of readings: how far they reach, what their readings count as, the lower bound, what is doubtful."""

from __future__ import annotations

from statistics import fmean, stdev

import pytest

from ladderfe.condition import Options, k_factor, read_places
from ladderfe.errors import ModelError

#: EN 1990 Annex D, table D1, 5 % characteristic value, "V_X unknown" (values from memory of the authors).
PUBLISHED = {3: 3.37, 4: 2.63, 5: 2.33, 6: 2.18, 8: 2.00, 10: 1.92, 20: 1.76, 30: 1.73}


@pytest.mark.parametrize("n", PUBLISHED)
def test_the_lower_bound_has_the_published_factor(n):
    """The table is up to 0.012 below its own formula (n = 20: 1.729 sqrt(1 + 1/20) = 1.772)."""
    assert PUBLISHED[n] - 0.005 <= k_factor(n) <= PUBLISHED[n] + 0.0125


@pytest.mark.parametrize(("n", "t"), [(3, 2.920), (4, 2.353), (6, 2.015), (8, 1.895), (10, 1.833), (20, 1.729)])
def test_the_lower_bound_is_that_of_students_distribution(n, t):
    """Upper 5 % points of t with n - 1 degrees of freedom, as in any table of Student's distribution."""
    assert k_factor(n) == pytest.approx(t * (1 + 1 / n) ** 0.5, abs=0.0006)  # three decimals


@pytest.fixture
def places(stepped, read):
    def of(text, **options):
        return read_places(stepped, read(text), Options(**options))

    return of


def reaches(places):
    return [(p.start, p.end) for p in places]


def test_a_place_reaches_half_way_and_no_further_than_its_reach(places):
    text = "left,300,bottom,2\nleft,500,bottom,2.1\nleft,1100,bottom,2.2\nleft,600,top,2.2"
    assert reaches(places(text)) == [(50, 400), (400, 750), (850, 1350), (350, 850)]
    assert reaches(places(text, reach=1000)) == [(0, 400), (400, 800), (800, 1500), (0, 1500)]
    assert reaches(places(text, reach=40)) == [(260, 340), (460, 540), (1060, 1140), (560, 640)]


def test_a_step_of_the_section_ends_the_reach(places):
    """Bottom walls of 2.5, 3 and 2 mm; the taper's own wall runs on to the rear end."""
    text = "right,1480,bottom,2\nright,1520,bottom,2.6\nright,2400,bottom,2.5\nright,3900,bottom,1.8"
    assert reaches(places(text)) == [(1230, 1500), (1500, 1770), (2150, 2500), (3650, 4000)]
    assert [p.nominal for p in places(text)] == [2.5, 3, 3, 2]


def test_a_wall_runs_on_where_spans_meet_without_a_step(made, read):
    spans = (
        made.Span(start=0, end=1000, shape=made.box(100, 75, 2), shape_end=made.box(150, 75, 2)),
        made.Span(start=1000, end=4000, shape=made.box(150, 75, 2)),
    )
    frame = made.chassis(rails=made.rails(spans=spans))
    found = read_places(frame, read("left,900,top,1.8\nleft,1100,top,1.7", frame))
    assert reaches(found) == [(650, 1000), (1000, 1350)]
    found = read_places(frame, read("left,950,top,1.8", frame))
    assert reaches(found) == [(700, 1200)]


def test_readings_within_a_millimetre_are_one_place(places):
    (place,) = places("left,600.6,bottom,2.3,,,second\nleft,600,bottom,2.1\nleft,600.2,bottom,2.2,,,third")
    assert (place.values, place.station, place.lines) == ((2.3, 2.1, 2.2), 600.3, (2, 3, 4))
    assert place.notes == ("second", "third")
    assert place.mean == pytest.approx(2.2)
    assert (place.least, place.used) == (2.1, 2.1)


def test_pooled_readings_are_one_place_over_their_length(places):
    text = "left,500,bottom,2\nleft,560,bottom,2.2\nleft,600,bottom,2.1\nleft,640,bottom,1.9\nleft,1000,bottom,2"
    assert [len(p.values) for p in places(text)] == [1, 1, 1, 1, 1]
    first, second, third = places(text, pool=100)
    assert (first.values, first.station) == ((2.0, 2.2, 2.1), 550)
    assert reaches((first, second, third)) == [(250, 620), (620, 820), (820, 1250)]
    assert second.values == (1.9,)


def test_pooling_does_not_cross_a_step(places):
    assert [p.nominal for p in places("left,1490,bottom,2\nleft,1510,bottom,2.6", pool=100)] == [2.5, 3]


def test_the_bound_is_told_from_three_readings_on(places):
    values = [2.2, 2.0, 2.3]
    text = "\n".join(f"left,600,bottom,{v}" for v in values)
    (place,) = places(text)
    assert place.bound == pytest.approx(fmean(values) - 3.3718 * stdev(values), rel=1e-4)  # t 2.91999, n 3
    assert place.used == place.least == 2.0
    (place,) = places(text, strength="mean less k s")
    assert place.used == place.bound < 2.0
    (two,) = places(text[:-20], strength="mean less k s")
    assert (two.bound, two.used) == (None, 2.0)
    assert two.doubts == ("fewer than 3 readings have no lower bound: the smallest is used",)


def test_a_bound_is_never_above_the_smallest_reading(places):
    text = "\n".join(["left,600,bottom,1.6", *["left,600,bottom,2.3"] * 19])
    (place,) = places(text, strength="mean less k s")
    assert place.bound > place.least == place.used == 1.6


def test_a_bound_below_any_wall_is_the_thinnest_wall(places):
    (place,) = places("left,600,bottom,2.4\nleft,600,bottom,1.1\nleft,600,bottom,2.3", strength="mean less k s")
    assert place.bound < 0
    assert place.used == 0.3
    assert place.doubts[-1].startswith("they scatter so much that mean - k s is -0.")


def test_readings_above_the_wall_as_built_count_as_that(places):
    (place,) = places("left,600,bottom,2.6\nleft,600,bottom,3\nleft,600,bottom,2.3")
    assert place.mean == pytest.approx((2.5 + 2.5 + 2.3) / 3)
    assert place.values == (2.6, 3.0, 2.3)
    assert place.doubts == ("3 mm is more than the 2.5 mm as built and counts as 2.5 mm (line 3)",)


def test_double_echoes_and_walls_too_thin_to_read_are_doubtful(places):
    a, b, c = places("left,400,top,1.2\nleft,600,top,2.4\nleft,800,top,1.2")
    assert (a.doubts, c.doubts) == ((), ())
    assert b.doubts == ("2.4 mm is about twice what was read beside it: a double echo? (line 3)",)
    (own,) = places("left,400,top,1.1\nleft,400,top,2.2\nleft,400,top,1.1")
    assert own.doubts == ("2.2 mm is about twice what was read beside it: a double echo? (line 3)",)
    (thin,) = places("left,400,top,0.8")
    assert thin.doubts == ("0.8 mm: usual probes do not read less than 1 mm (line 2)",)
    assert places("left,400,top,2.0\nleft,600,top,2.4")[1].doubts == ()


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({"reach": 0.0}, "readings: the reach of a place is 0.0 mm. Give 2 mm or more."),
        ({"reach": 0.5}, "readings: the reach of a place is 0.5 mm. Give 2 mm or more."),
        ({"pool": -1.0}, "readings: readings are pooled over -1.0 mm. Give 0 mm for no pooling, or more."),
        ({"unread_loss": 1.0},
         "readings: unread walls are assumed to have lost 1.0 of them. Give a share from 0 to less than 1."),
    ],
)  # fmt: skip
def test_options_that_cannot_be(options, message):
    with pytest.raises(ModelError) as caught:
        Options(**options)
    assert str(caught.value) == message
