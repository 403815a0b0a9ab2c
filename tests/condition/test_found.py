"""Chassis as found: walls as read, holes, tapers, sides; what is left is what a person would have described."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from ladderfe.chassis import read_chassis, with_assumption
from ladderfe.checks import check
from ladderfe.condition import Options, as_found, readings_from_text, with_wall
from ladderfe.errors import ModelError
from ladderfe.mesh import build_mesh
from ladderfe.solve import solve_chassis

ALIKE = 1e-9


@pytest.fixture
def found_of(read, stepped):
    def of(text, chassis=None, cuts=(), **options):
        frame = chassis or stepped
        return as_found(frame, read(text, frame), Options(**options), cuts=cuts)

    return of


@pytest.fixture
def plain(made):
    """Boxes of 150 x 75 x 2 mm from end to end."""
    return made.chassis()


def spans(chassis, side):
    return chassis.rails[0 if side == "left" else 1].spans


def span_at(chassis, side, station):
    return next(s for s in spans(chassis, side) if s.start <= station < s.end)


def test_walls_are_as_thick_as_read_by_mean_and_by_smallest_reading(found_of, plain):
    found = found_of("left,1000,bottom,1.6\nleft,1000,bottom,1.8\nleft,1000,inner,1.5", plain)
    span = span_at(found.chassis, "left", 1000)
    assert (span.start, span.end) == (750, 1250)
    assert span.shape == replace(
        plain.rails[0].spans[0].shape, bottom=span.shape.bottom, plus=1.5
    )  # the left rail's inner wall
    assert span.shape.bottom == pytest.approx(1.7)
    assert span.least == replace(span.shape, bottom=1.6)
    for s in spans(found.chassis, "right"):
        assert (s.shape, s.least) == (plain.rails[1].spans[0].shape, None)
    assert [(s.start, s.end) for s in spans(found.chassis, "left")] == [(0, 750), (750, 1250), (1250, 4000)]


def test_the_bound_is_what_strength_is_judged_by_where_that_is_asked_for(found_of, plain):
    text = "left,1000,bottom,1.8\nleft,1000,bottom,1.7\nleft,1000,bottom,1.9"
    found = found_of(text, plain, strength="mean less k s")
    span = span_at(found.chassis, "left", 1000)
    assert span.shape.bottom == pytest.approx(1.8)
    assert span.least.bottom == pytest.approx(1.8 - 3.3718 * 0.1, rel=1e-4)


def test_states_overlap_wall_by_wall(found_of, plain):
    found = found_of("left,1000,bottom,1.6\nleft,1200,top,1.5\nleft,1400,bottom,hole,1420,0", plain)
    bits = [(s.start, s.end, {w.wall: (w.mean, w.basis) for w in s.walls}) for s in found.stretches_of("left")]
    assert [b[:2] for b in bits] == [
        (0, 750), (750, 950), (950, 1250), (1250, 1400), (1400, 1420), (1420, 1450), (1450, 4000)
    ]  # fmt: skip
    assert bits[1][2]["bottom"] == (1.6, "read")
    assert bits[1][2]["top"] == (2.0, "assumed")
    assert bits[2][2]["bottom"] == (1.6, "read")
    assert bits[2][2]["top"] == (1.5, "read")
    assert bits[3][2]["bottom"] == (2.0, "assumed")
    assert bits[4][2]["bottom"] == (0.0, "hole")
    assert bits[4][2]["top"] == (1.5, "read")


def test_a_hole_takes_its_wall_from_rim_to_rim_and_is_never_averaged(found_of, plain):
    """A sound reading whose reach covers the hole does not fill it."""
    found = found_of("left,1000,bottom,1.9\nleft,1040,bottom,hole,1060,15\nright,1040,bottom,hole,1060", plain)
    for side, a, b in (("left", 1025, 1075), ("right", 1030, 1070)):
        (gone,) = [s for s in found.stretches_of(side) if s.wall("bottom").basis == "hole"]
        assert (gone.start, gone.end) == (a, b)
    assert found.holes[1].rim_given is False
    span = span_at(found.chassis, "left", 1050)
    assert (type(span.shape).__name__, span.shape.opens, span.least) == ("Channel", "-z", None)
    for station in (1024, 1076):
        assert span_at(found.chassis, "left", station).shape.bottom == 1.9


def test_walls_that_nobody_read_may_be_assumed_to_have_lost_a_share(found_of, plain):
    found = found_of("left,1000,bottom,1.6", plain, unread_loss=0.1)
    span = span_at(found.chassis, "left", 1000)
    assert (span.shape.bottom, span.shape.top) == (1.6, pytest.approx(1.8))
    assert {w.basis for s in found.stretches for w in s.walls} == {"read", "assumed"}
    right = span_at(found.chassis, "right", 1000).shape
    assert [right.top, right.bottom, right.minus, right.plus] == pytest.approx([1.8] * 4)
    assert spans(found.built, "right") == plain.rails[1].spans


def test_an_empty_row_beside_one_that_was_read_or_is_gone_is_no_place_without_a_reading(found_of, plain):
    rows = "left,1000,bottom,1.6\nleft,1000,bottom,\nleft,1500,top,hole,1530\nleft,1510,top,\nright,1000,bottom,"
    assert [(u.side, u.station, u.wall) for u in found_of(rows, plain).unread] == [("right", 1000, "bottom")]


def test_tapered_spans_are_cut_where_they_are(found_of, stepped):
    """The taper from 150 to 100 mm over 1500 mm, cut at 2900 and 3300 mm: depths 136.667 and 123.333 mm."""
    found = found_of("right,3100,bottom,1.5", reach=200)
    span = span_at(found.chassis, "right", 3100)
    assert (span.shape.depth, span.shape_end.depth) == pytest.approx((150 - 50 * 400 / 1500, 150 - 50 * 800 / 1500))
    assert (span.shape.bottom, span.shape_end.bottom) == (1.5, 1.5)
    built = span_at(found.built, "right", 3100)
    assert built.shape == replace(span.shape, bottom=2)
    assert built.shape_end == replace(span.shape_end, bottom=2)
    assert spans(found.built, "right")[-1].shape_end == stepped.rails[1].spans[-1].shape_end


@pytest.mark.parametrize("thicker", ["rear", "front"])
def test_a_reading_on_a_wall_whose_thickness_tapers_counts_alike_either_way_round(found_of, made, thicker):
    """3 to 5 mm over 1000 to 1400 mm: 4 mm were read in the middle, nothing is lost there, and no end is thicker than
    that or than it was built."""
    thin, thick = made.box(150, 75, 3), made.box(150, 75, 5)
    first, last = (thin, thick) if thicker == "rear" else (thick, thin)
    spans = (
        made.Span(start=0, end=1000, shape=first),
        made.Span(start=1000, end=1400, shape=first, shape_end=last),
        made.Span(start=1400, end=4000, shape=last),
    )
    frame = made.chassis(rails=made.rails(spans=spans))
    found = found_of("left,1200,bottom,4", frame, reach=150)
    read = span_at(found.chassis, "left", 1200)
    built = span_at(found.built, "left", 1200)
    ends = [built.shape.bottom, built.shape_end.bottom]
    assert sorted(ends) == pytest.approx([3.25, 4.75])
    assert [read.shape.bottom, read.shape_end.bottom] == pytest.approx([min(t, 4) for t in ends])
    (state,) = [s.wall("bottom") for s in found.stretches if s.wall("bottom").place == 0]
    assert (state.nominal, state.mean, state.least) == pytest.approx((4.75, 4, 4))


def test_rust_on_a_wall_whose_thickness_tapers_is_rust_at_its_thin_end_too(found_of, made):
    """3 to 5 mm over 1000 to 1400 mm: of 4 mm in the middle 3.2 are left, a fifth is lost; at 1050 mm, built 3.25, that
    leaves 2.6, and at 1350 mm no more than was read, though 0.8 of 4.75 are 3.8."""
    thin, thick = made.box(150, 75, 3), made.box(150, 75, 5)
    spans = (
        made.Span(start=0, end=1000, shape=thin),
        made.Span(start=1000, end=1400, shape=thin, shape_end=thick),
        made.Span(start=1400, end=4000, shape=thick),
    )
    frame = made.chassis(rails=made.rails(spans=spans))
    read = span_at(found_of("left,1200,bottom,3.2", frame, reach=150).chassis, "left", 1200)
    assert [read.shape.bottom, read.shape_end.bottom] == pytest.approx([2.6, 3.2])


def test_as_built_and_as_found_have_the_same_stations_and_members(found_of):
    text = "left,1180,bottom,1.9\nleft,1200,outer,hole,1280\nright,2300,web,3.1\nright,3100,top,1.5\nright,3100,top,1.7"
    found = found_of(text)
    a, b = build_mesh(found.built), build_mesh(found.chassis)
    assert np.array_equal(a.along, b.along)
    assert np.array_equal(a.nodes, b.nodes)
    assert np.array_equal(a.ends, b.ends)
    assert np.array_equal(a.tapered, b.tapered)
    for side in ("left", "right"):
        cut = [(s.start, s.end) for s in spans(found.built, side)]
        assert cut == [(s.start, s.end) for s in spans(found.chassis, side)]
        assert cut == [(s.start, s.end) for s in found.stretches_of(side)]


def test_cuts_do_not_make_members_that_are_next_to_nothing(found_of, plain):
    """A reach that ends 0.6 mm from a crossmember ends at it."""
    found = found_of("left,1649.4,bottom,1.6", plain)
    assert [s.end for s in spans(found.chassis, "left")] == [1399.4, 1900, 4000]
    assert min(build_mesh(found.chassis).lengths) > 1


@pytest.mark.parametrize("stations", [(3998.5, 4000), (4000, 3998.1), (0, "1.5 mm"), (1498.4, 1499.8), (1501.9, 1500)])
def test_readings_next_to_an_end_of_their_wall_are_not_lost(found_of, stepped, stations):
    """Rails are not cut within a millimetre of a step or an end: what lies between goes with its neighbour."""
    found = found_of(f"left,{stations[0]},bottom,1.9\nleft,{stations[1]},bottom,1.1", stepped)
    (place,) = found.places
    assert sorted(place.values) == [1.1, 1.9]
    own = [w for s in found.stretches for w in s.walls if w.place == 0]
    assert {(w.mean, w.least) for w in own} == {(1.5, 1.1)}


def test_cutting_alone_changes_nothing(found_of, plain):
    """The plain rails have no taper, so that their members are the same beams however they are cut."""
    found = found_of("left,1000,bottom,2\nright,2500,inner,2", plain, cuts=(1234, 3210))
    whole, cut = solve_chassis(plain), solve_chassis(found.chassis)
    for name in ("left rail at 700 mm", "right rail at 3300 mm"):
        one, other = (movement(s, name) for s in (whole, cut))
        assert np.abs(other - one).max() < ALIKE * np.abs(one).max()
    assert {s.end for s in spans(found.chassis, "left")} >= {1234, 3210}


def movement(solution, name):
    """(6, c) of a node by its name."""
    first = int(solution.frame.start[solution.mesh.node_names.index(name)])
    return solution.movements[first : first + 6]


def moved_like(a, b):
    scale = np.abs(a.solution.movements).max()
    assert b.solution.movements.shape == a.solution.movements.shape
    assert np.abs(b.solution.movements - a.solution.movements).max() < ALIKE * scale
    for name in ("normal", "shear", "von_mises"):
        one, other = getattr(a.stresses, name), getattr(b.stresses, name)
        assert np.abs(one).max() > 1
        assert other.shape == one.shape
        assert np.abs(other - one).max() < ALIKE * np.abs(one).max()


@pytest.mark.parametrize(
    ("wall", "opens", "parts"), [("inner", "-y", ((200, 1800), (2000, 3800))), ("outer", "+y", ((0, 4000),))]
)
def test_a_box_without_a_wall_is_the_channel_that_a_person_would_describe(found_of, made, wall, opens, parts):
    """The inner wall stays where the crossmembers at 100, 1900 and 3900 mm land on it."""
    box = made.box(150, 75, 2, top=2.5, bottom=3, minus=1.5, plus=1.8)
    web = 1.8 if wall == "inner" else 1.5  # on the right rail inner is minus
    channel = made.Channel(depth=150, width=75, web=web, top=2.5, bottom=3, opens=opens)
    text = "\n".join(f"{side},{a},{wall},hole,{b},0" for side in ("left", "right") for a, b in parts)
    found = found_of(text, made.chassis(rails=made.rails(box)))
    edges = sorted({0, 4000} | {v for ab in parts for v in ab})
    spans = tuple(made.Span(start=a, end=b, shape=channel if (a, b) in parts else box) for a, b in pairwise(edges))
    described = made.chassis(rails=made.rails(spans=spans))
    moved_like(check(described, assumptions=False), check(found.chassis, assumptions=False))


def test_a_mirrored_chassis_is_found_mirrored(found_of, plain, made):
    """Heights and turns out of the plan, in which the frame is held at its left front seat."""
    rows = "{0},1000,bottom,1.6\n{0},1300,outer,hole,1340\n{0},2500,inner,1.5\n{1},2000,top,1.8"
    one, other = (
        solve_chassis(found_of(rows.format(*s), plain).chassis) for s in (("left", "right"), ("right", "left"))
    )
    swap, sign = {"left": "right", "right": "left"}, np.array([1, -1, 1])[:, None]
    apart = 0.0
    for name in (n for n in one.mesh.node_names if " rail at " in n):
        side, rest = name.split(" ", 1)
        a, b = movement(one, name)[2:5], sign * movement(other, f"{swap[side]} {rest}")[2:5]
        assert np.abs(a - b).max() < ALIKE * np.abs(a).max()
        apart = max(apart, np.abs(a - movement(other, name)[2:5]).max() if name in other.mesh.node_names else 0.0)
    assert apart > 0.01  # the two sides differ


def test_with_wall_is_another_state_on_the_same_stations(found_of, plain):
    found = found_of("left,1000,bottom,1.6\nleft,1300,bottom,hole,1340", plain, cuts=(2000, 2200))
    other = with_wall(found, "left", 2000, 2200, {"bottom": 1.2, "top": 0.0})
    span = span_at(other, "left", 2100)
    assert (type(span.shape).__name__, span.shape.opens) == ("Channel", "+z")
    assert span.shape.web == 1.2
    assert [(s.start, s.end) for s in spans(other, "left")] == [(s.start, s.end) for s in spans(found.chassis, "left")]
    for s, t in zip(spans(other, "left"), spans(found.chassis, "left"), strict=True):
        assert (s == t) == (s.start != 2000)
    assert spans(other, "right") == spans(found.chassis, "right")
    mended = with_wall(found, "left", 1290, 1350, {"bottom": 3.0})
    assert span_at(mended, "left", 1300).shape == replace(plain.rails[0].spans[0].shape, bottom=3.0)
    with pytest.raises(ModelError) as caught:
        with_wall(found, "left", 2050, 2200, {"bottom": 1.2})
    assert str(caught.value) == (
        "left rail: it is not cut at 2050 mm. Take one of its cuts, such as 2000, 2200, 1350, "
        "or give further cuts to as_found."
    )
    with pytest.raises(ModelError, match="it has no wall called 'web'"):
        with_wall(found, "left", 2000, 2200, {"web": 1.2})
    with pytest.raises(ModelError, match="nothing lies between 2200 and 2000 mm"):
        with_wall(found, "left", 2200, 2000, {"top": 1.2})


def test_what_falls_apart_is_told_with_its_place(found_of, plain):
    with pytest.raises(ModelError) as caught:
        found_of("left,1000,top,hole,1100,0\nleft,1000,bottom,hole,1100,0", plain)
    assert str(caught.value) == (
        "left rail from 1000 to 1100 mm: box: without its top and bottom nothing is left that holds together and has a "
        "shape here. Describe what was put in its place, or leave the wall its least thickness."
    )


def test_assumptions_are_moved_on_the_frame_as_found(demo_file):
    """What is assumed of the file is moved while the walls stay as found."""
    chassis = read_chassis(demo_file)
    readings = readings_from_text("side,station,wall,reading\nleft,1200,bottom,1.4", "r.csv", chassis)
    found = as_found(chassis, readings)
    key = found.chassis.assumptions[0]
    moved = with_assumption(found.chassis, key.key, key.low)
    assert moved.rails == found.chassis.rails
    assert moved.rails != with_assumption(chassis, key.key, key.low).rails
    assert with_assumption(moved, key.key, key.used) == found.chassis
    assert with_assumption(found.built, key.key, key.used) == found.built
