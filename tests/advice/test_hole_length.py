"""Holes of many lengths beside what ends their wall: as long as told, and what they open told of the right section."""

from __future__ import annotations

import pytest

from ladderfe.advice.hole_length import HolePlace, hole_curve
from ladderfe.condition import Options, Readings
from ladderfe.report.hole_text import hole_text


@pytest.fixture
def place(made):
    """Channels that open inward to 1200 mm, boxes behind: the inner wall begins at 1200 mm."""

    def of(side, wall, station, rear=4000.0):
        web = {"depth": 150, "width": 75, "web": 2.5, "top": 2.5, "bottom": 2.5, "opens": "-y"}
        spans = [
            made.Span(start=0, end=1200, shape=made.Channel(**web)),
            made.Span(start=1200, end=rear, shape=made.box(150, 75, 2.5)),
        ]
        spans += [made.Span(start=rear, end=4000, shape=made.Channel(**web))] if rear < 4000 else []
        frame = made.chassis(rails=made.rails(spans=tuple(spans)))
        return HolePlace(
            chassis=frame, readings=Readings(source=""), options=Options(), side=side, wall=wall, station=station
        )

    return of


@pytest.mark.parametrize(
    ("side", "wall", "station", "ends"),
    [
        ("right", "inner", 1250.0, {20: (1240, 1260), 100: (1200, 1300), 300: (1200, 1500)}),
        ("left", "inner", 1200.0, {20: (1200, 1220), 300: (1200, 1500)}),
        ("left", "bottom", 1200.0, {20: (1190, 1210), 300: (1050, 1350)}),
        ("left", "bottom", 50.0, {100: (0, 100), 300: (0, 300)}),
        ("left", "bottom", 4000.0, {40: (3960, 4000), 300: (3700, 4000)}),
    ],
)
def test_a_hole_is_as_long_as_told_and_ends_with_its_wall(place, side, wall, station, ends):
    p = place(side, wall, station)
    for length, (start, end) in ends.items():
        hole = p.hole(float(length))
        assert (hole.start, hole.end) == (start, end)
        stretches = p.found(float(length)).stretches_of(side)
        gone = sum(s.length for s in stretches if any((w.wall, w.basis) == (wall, "hole") for w in s.walls))
        assert gone == pytest.approx(length)


def test_no_length_is_asked_for_that_the_wall_does_not_have(place):
    curve = hole_curve(place("left", "inner", 1300.0, rear=1360.0), lengths=(20.0, 100.0, 200.0), case="static")
    assert [s.length for s in curve.states] == [0, 20, 100]
    curve = hole_curve(place("left", "inner", 1300.0, rear=1360.0), lengths=(200.0, 300.0), case="static")
    assert [s.length for s in curve.states] == [0, 160]


def test_a_hole_behind_a_step_opens_the_section_there(place):
    """At the station where channels become boxes it is the box that is opened."""
    curve = hole_curve(place("left", "inner", 1200.0), lengths=(20.0,), case="static")
    assert [s.opened for s in curve.states] == [False, True]
    assert curve.states[1].J < 0.01 < 1 == curve.states[0].J
    words = " ".join(" ".join(hole_text(curve)).split())
    assert "The inner wall runs from 1200 to 4000 mm: holes too long to lie about 1200 mm begin or end" in words
