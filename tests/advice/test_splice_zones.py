"""Zones without joints, one cause after the other, by sums of distances."""

from dataclasses import replace

import pytest

from ladderfe.advice.splice_zones import forbidden, free_stretches, marked, merged
from ladderfe.chassis import Diaphragm
from ladderfe.condition import as_found, readings_from_text


def zones(chassis, kind, found=None, side=1):
    return [(z.start, z.end) for z in forbidden(chassis, chassis.rails[side], found) if z.kind == kind]


def test_one_depth_counts_where_it_is_more_than_150(made):
    """A rail 200 mm deep: 1900 - 30 - 200; one 100 mm deep: 1900 - 30 - 150."""
    deep, low = (made.chassis(rails=made.rails(made.box(d, 75, 2))) for d in (200, 100))
    assert (1670, 2130) in zones(deep, "crossmember")
    assert (1720, 2080) in zones(low, "crossmember")


def test_slanted_crossmembers_count_where_they_meet_each_rail(made):
    c = made.chassis(crossmembers=(made.cross("slant", 1000.0, right=1200.0),))
    assert zones(c, "crossmember", side=0) == [(820, 1180)]
    assert zones(c, "crossmember", side=1) == [(1020, 1380)]


def test_plates_of_joints_count_with_their_member(made):
    """A doubler that reaches 40 mm beyond the crossmember, gussets with legs of 90 mm in plan."""
    doubled = replace(made.sprung(), doubler=3.0, margin=40.0)
    gusset = replace(made.sprung(), kind="gusseted in plan", gusset=90.0)
    c = made.chassis(crossmembers=(made.cross("x", 1900.0, joint_left=doubled, joint_right=gusset),))
    assert zones(c, "crossmember", side=0) == [(1680, 2120)]
    assert zones(c, "crossmember", side=1) == [(1630, 2170)]


def test_mounts_outriggers_and_plates_inside(made):
    c = made.chassis(
        mounts=(made.mount("bracket", "right rail", 1500.0, 400.0), made.mount("tank", "middle", 1900.0, 0.0)),
        outriggers=(made.outrigger("arm", "right", 2500.0, 250.0),),
        diaphragms=(Diaphragm(name="plate", side="right", station=1200.0, thickness=3.0),),
    )
    assert zones(c, "mount") == [(1350, 1650)], "what hangs on a crossmember is not on the rail"
    assert zones(c, "outrigger") == [(2320, 2680)]
    assert zones(c, "weld") == [(1050, 1350)]
    assert zones(c, "mount", side=0) == zones(c, "outrigger", side=0) == []
    assert {z.kind for z in marked(c, c.rails[1])} == {"hanger", "mount", "outrigger"}


def test_bends_of_two_degrees_and_more(made):
    """0.6 degrees at 1000 (10 in 1000), 8.5 degrees at 2000 (160 in 1000, less 10 in 1000), back at 3000 mm."""
    path = ((0, 400, 0), (1000, 400, 0), (2000, 400, 10), (3000, 400, 170), (4000, 400, 170))
    c = made.chassis(rails=made.rails(path=path))
    assert zones(c, "bend") == [(1850, 2150), (2850, 3150)]
    names = [z.what for z in forbidden(c, c.rails[1]) if z.kind == "bend"]
    assert names == ["bend of the rail by 8.5 degrees", "bend of the rail by 9.1 degrees"]


def test_steps_count_and_tapers_that_go_on_do_not(made):
    spans = (
        made.Span(start=0, end=1500, shape=made.box(150, 75, 2)),
        made.Span(start=1500, end=2500, shape=made.box(180, 75, 2)),
        made.Span(start=2500, end=4000, shape=made.box(180, 75, 2), shape_end=made.box(100, 75, 2)),
    )
    c = made.chassis(rails=made.rails(spans=spans))
    assert zones(c, "step") == [(1320, 1680)], "by the deeper of both sides"


def test_walls_that_lost_metal_are_no_steps_but_holes_are_zones(made):
    """Readings cut the spans of the state as found; only what was built is asked for steps.  A hole from 1500 to 1560
    with a rim of 15 mm, and a place that rings dull: 50 mm more each."""
    c = made.chassis()
    text = "side,station,wall,reading,to,rim\nright,900,top,1.5,,\nright,1500,bottom,hole,1560,15\n"
    found = as_found(c, readings_from_text(text + "right,2500,outer,suspect,,\n", "r.csv", c))
    assert zones(c, "step", found) == []
    assert zones(c, "hole", found) == [(1435, 1625)]
    assert zones(c, "suspect", found) == [(2450, 2550)]
    assert zones(c, "hole", found, side=0) == []


def test_walls_of_which_less_is_left_than_a_weld_may_join_are_zones(made):
    """A piece must not be butt-welded to less than 0.8 of a wall as built, 2 mm here: 1.55 is too thin as far as the
    reading speaks, 250 mm each way and 50 mm more, 1.65 is not."""
    c = made.chassis()
    text = "side,station,wall,reading,to,rim\nright,1200,bottom,1.55,,\nright,2700,bottom,1.65,,\n"
    found = as_found(c, readings_from_text(text, "r.csv", c))
    assert zones(c, "thin", found) == [(900, 1500)]
    assert zones(c, "thin", found, side=0) == []
    assert all(b <= 900 or a >= 1500 for a, b in free_stretches(c.rails[1], forbidden(c, c.rails[1], found), 20.0))


def test_zones_merge_and_leave_the_rest(made):
    c = made.chassis()
    own = forbidden(c, c.rails[0])
    assert merged(own)[0] == (-150, 280), "front end and front crossmember overlap"
    free = free_stretches(c.rails[0], own, 20.0)
    assert sum(b - a for a, b in free) + sum(
        min(b, 4000) - max(a, 0) for a, b in merged(own)
    ) == pytest.approx(4000)  # fmt: skip
    assert free_stretches(c.rails[0], own, 300.0) == [(850, 1720), (2080, 3150)]
