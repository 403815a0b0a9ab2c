"""Stress along a rail with steps and tapers, against brute-force search."""

import numpy as np
import pytest

from ladderfe.errors import ModelError
from ladderfe.hand import Beam, LineLoad, PointLoad, solve_beam
from ladderfe.hand.rail import Permissible, RailSpan, governing_rows, stress_rows
from ladderfe.hand.section import hand_section
from ladderfe.sections import Box, Section, Wall, between

DEEP = Box(depth=150, width=75, top=2, bottom=2.5, minus=2, plus=2)
SHALLOW = Box(depth=60, width=75, top=3, bottom=2, minus=2, plus=2)
LIMITS = Permissible()
RESULT = solve_beam(Beam(
    start=0.0, end=4200.0, supports=(800.0, 3300.0),
    line_loads=(LineLoad(0.0, 2100.0, 5.0, 5.0), LineLoad(2100.0, 4200.0, 4.0, 8.0)),
    point_loads=(PointLoad(500.0, 3000.0),),
))
TAPERED = (
    RailSpan(start=0.0, end=1200.0, shape=SHALLOW, shape_end=DEEP),
    RailSpan(start=1200.0, end=2600.0, shape=DEEP),
    RailSpan(start=2600.0, end=4200.0, shape=DEEP, shape_end=SHALLOW),
)


def brute(spans, x):
    """|M|/Z and |V|/A_web over the limits, sampled station by station from the shapes themselves."""
    bending, shear = [], []
    for station in x:
        span = next(s for s in spans if s.start <= station <= s.end)
        along = (station - span.start) / (span.end - span.start)
        s = hand_section(between(span.shape, span.shape_end or span.shape, along))
        bending.append(abs(RESULT.moment(station)) / s.Z_least / LIMITS.bending)
        shear.append(max(map(abs, RESULT.shear_beside(station))) / s.web_area / LIMITS.shear)
    return max(bending), max(shear)


def test_governing_in_a_taper():
    """Greatest of a dense sampling (2 mm): not above the search's result, and within the sampling error below it."""
    bending, shear = governing_rows(RESULT, TAPERED, LIMITS)
    sampled = brute(TAPERED, np.concatenate([np.arange(0, 4201, 2.0), [800.0, 3300.0]]))
    assert bending.bending_utilisation == pytest.approx(sampled[0], rel=1e-5)
    assert bending.bending_utilisation >= sampled[0] * (1 - 1e-9)
    assert shear.shear_utilisation == pytest.approx(sampled[1], rel=1e-5)
    assert shear.shear_utilisation >= sampled[1] * (1 - 1e-9)


def test_governing_strictly_inside_a_taper():
    """A cantilevered overhang tapering faster than its moment falls governs away from its ends: sampled at 0.5 mm."""
    spans = (RailSpan(start=0.0, end=3300.0, shape=DEEP), RailSpan(start=3300.0, end=4200.0, shape=DEEP, shape_end=Box(
        depth=12, width=20, top=1, bottom=1, minus=1, plus=1)))
    bending, _ = governing_rows(RESULT, spans, LIMITS)
    x = np.arange(3300, 4200.1, 0.5)
    ratios = [brute(spans, [s])[0] for s in x]
    assert 3350 < bending.station < 4150
    assert bending.station == pytest.approx(x[int(np.argmax(ratios))], abs=1.0)
    assert bending.bending_utilisation == pytest.approx(max(ratios), rel=1e-6)


def test_step_in_the_section_is_seen_from_both_sides():
    spans = (RailSpan(start=0.0, end=2600.0, shape=DEEP), RailSpan(start=2600.0, end=4200.0, shape=SHALLOW))
    ahead, behind = stress_rows(RESULT, spans, LIMITS, (2600.0,))
    assert (ahead.beside, behind.beside) == ("ahead", "behind")
    assert (ahead.section.depth, behind.section.depth) == (150, 60)
    assert ahead.moment == behind.moment
    bending, _ = governing_rows(RESULT, spans, LIMITS)
    assert (bending.station, bending.section.depth) == (3300.0, 60)


def test_rows_at_a_support_an_end_and_between():
    spans = (RailSpan(start=0.0, end=4200.0, shape=DEEP),)
    rows = stress_rows(RESULT, spans, LIMITS, (0.0, 800.0, 1500.0, 4200.0))
    assert [(r.station, r.beside) for r in rows] == [
        (0.0, ""), (800.0, "ahead"), (800.0, "behind"), (1500.0, ""), (4200.0, ""),
    ]
    assert rows[2].shear - rows[1].shear == pytest.approx(RESULT.reactions[0], rel=1e-12)
    assert rows[3].utilisation == max(rows[3].bending_utilisation, rows[3].shear_utilisation)


@pytest.mark.parametrize(
    ("spans", "message"),
    [
        ((RailSpan(start=0.0, end=2000.0, shape=DEEP), RailSpan(start=2100.0, end=4200.0, shape=DEEP)),
         "rail: its spans (0 to 2000, 2100 to 4200 mm) do not join end to end over 0 to 4200 mm. "
         "Give each span the end of the one before as its start."),
        ((), "rail: its spans (none mm) do not join end to end over 0 to 4200 mm. "
         "Give each span the end of the one before as its start."),
    ],
    ids=["gap", "none"],
)
def test_spans_with_a_gap(spans, message):
    with pytest.raises(ModelError) as error:
        governing_rows(RESULT, spans, LIMITS)
    assert str(error.value) == message


def test_a_walled_section_does_not_taper():
    plate = Section((Wall("web", (0.0, -40.0), (0.0, 40.0), 3.0),))
    span = RailSpan(start=0.0, end=4200.0, shape=plate, shape_end=DEEP)
    with pytest.raises(ModelError, match="a section given wall by wall cannot taper"):
        span.section(100.0)


def test_permissible_stress_of_nothing():
    with pytest.raises(ModelError, match="bending 0 and shear 100 N/mm2"):
        Permissible(bending=0.0)
