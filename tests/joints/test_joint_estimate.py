"""Properties of the joint estimate that need no data: positive, ordered, scaling, mirrors, bounds, warnings, faults."""

from __future__ import annotations

from math import inf, nan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.joints import JointGeometry, estimate, from_shapes, warping_link
from ladderfe.sections import Angle, Box, Channel, Flat, TopHat, Tube, thinned

RAIL = Box(depth=150.0, width=75.0, top=3.0, bottom=4.0, minus=2.0, plus=5.0)
CROSSMEMBER = Box(depth=80.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
CHANNEL = Channel(depth=150.0, width=60.0, web=4.0, top=4.0, bottom=4.0, opens="+y")


@st.composite
def joints(draw):
    """Joints of all kinds, not only those in the data."""
    rail = draw(st.sampled_from(["box", "channel"]))
    depth = draw(st.floats(70, 220))
    wall = st.floats(1.0, 6.0)
    return JointGeometry(
        rail=rail, rail_depth=depth, rail_width=draw(st.floats(40, 100)), top=draw(wall), bottom=draw(wall),
        web=draw(wall), far=draw(wall),
        crossmember=draw(st.sampled_from(["box", "tube", "channel rearward", "channel downward", "flat"])),
        depth=draw(st.floats(0.3, 1.0)) * depth, width=draw(st.floats(20, 110)), wall=draw(wall),
        height=draw(st.floats(-0.35, 0.35)) * depth, to_end=draw(st.sampled_from([inf, 0.0, 60.0, 400.0])),
        through=draw(st.booleans()) and rail == "box", doubler=draw(st.sampled_from([0.0, 2.0, 4.0])),
        margin=draw(st.floats(0, 50)),
    )


@given(joint=joints())
def test_positive_and_ordered(joint):
    e = estimate(joint)
    assert np.all(e.stiffness > 0)
    assert np.all(e.low > 0)
    assert np.all(e.low <= e.stiffness)
    assert np.all(e.stiffness <= e.high)
    assert np.all(np.isinf(e.stiffness[[0, 2]]))
    assert e.source == "own studies in solids, no published source"
    assert not e.stiffness.flags.writeable


@given(joint=joints(), factor=st.floats(1.02, 2.0))
def test_a_thicker_web_is_stiffer(joint, factor):
    """About x and z; 1e-9 for rounding.  Crossmembers on bare web: a doubler's effect is a ratio, one through both webs
    is as good as rigid by its flanges, and a strip of no height takes its length from the web's thickness."""
    assume(min(joint.gaps()) > joint.web)
    joint = joint.changed(doubler=0.0, through=False)
    stiffer = estimate(joint.changed(web=joint.web * factor)).stiffness
    assert np.all(stiffer[[3, 5]] >= estimate(joint).stiffness[[3, 5]] * (1 - 1e-9))


@given(joint=joints(), factor=st.floats(0.2, 5.0))
def test_scales_with_the_modulus(joint, factor):
    ours, other = estimate(joint), estimate(joint.changed(youngs_modulus=joint.youngs_modulus * factor))
    assert other.stiffness == pytest.approx(ours.stiffness * factor, rel=1e-9)
    assert other.high == pytest.approx(ours.high * factor, rel=1e-9)
    assert other.warnings == ours.warnings


@given(joint=joints(), factor=st.floats(0.1, 10.0))
def test_scales_with_the_size(joint, factor):
    """Linear elastic: springs along go with the length, springs about with its cube.  In other units of length, the
    same joint.  A gap of 0 may round to either side: left out."""
    assume(all(abs(joint.rail_depth / 2 - wall - sign * joint.height - joint.depth / 2) > 1e-6
               for sign, wall in ((1, joint.top), (-1, joint.bottom))))
    lengths = ("rail_depth", "rail_width", "top", "bottom", "web", "far", "depth", "width", "wall", "height", "to_end",
               "doubler", "margin")
    scaled = estimate(joint.changed(**{name: getattr(joint, name) * factor for name in lengths}))
    assert scaled.stiffness[:3] == pytest.approx(estimate(joint).stiffness[:3] * factor, rel=1e-7)
    assert scaled.stiffness[3:] == pytest.approx(estimate(joint).stiffness[3:] * factor**3, rel=1e-7)


@given(joint=joints())
def test_upside_down_and_front_to_back(joint):
    """Mirrored in the level plane or across the vehicle: the same springs."""
    turned = {"channel downward": "channel upward"}.get(joint.crossmember, joint.crossmember)
    flipped = joint.changed(top=joint.bottom, bottom=joint.top, height=-joint.height, crossmember=turned)
    assert estimate(flipped).stiffness == pytest.approx(estimate(joint).stiffness, rel=1e-7)
    if joint.crossmember == "channel rearward":
        ahead = estimate(joint.changed(crossmember="channel forward"))
        assert ahead.stiffness == pytest.approx(estimate(joint).stiffness, rel=1e-12)


@given(joint=joints())
def test_a_free_end_never_stiffens(joint):
    joint = joint.changed(doubler=0.0)  # its effect is a ratio
    long, near = estimate(joint.changed(to_end=inf)).stiffness, estimate(joint.changed(to_end=50.0)).stiffness
    assert np.all(near <= long * (1 + 1e-9))


@given(diameter=st.floats(30, 100))
def test_a_tube_lies_between_the_squares_inside_and_around_it(diameter):
    """A rigid patch within another is softer: bounds on the springs of a plate."""
    tube = from_shapes(RAIL, Tube(diameter=diameter, wall=3.0), 1)
    inside, around = (estimate(tube.changed(crossmember="box", depth=side, width=side)).stiffness[[1, 3, 5]]
                      for side in (diameter / 2**0.5, diameter))
    ours = estimate(tube)
    assert np.all(inside <= ours.stiffness[[1, 3, 5]])
    assert np.all(ours.stiffness[[1, 3, 5]] <= around)
    assert ours.high[3] / ours.low[3] > 1.4  # wider than a box crossmember's 1.1/0.9
    assert any("square box" in w for w in ours.warnings)


def test_flanges_that_meet_are_rigid_about_x():
    """A crossmember that fills a channel rail; the solids show no flexibility above their error."""
    box = Box(depth=142.0, width=50.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
    e = estimate(from_shapes(CHANNEL, box, 1))
    assert e.kind == "channel rail, flanges meeting"
    assert np.all(np.isinf(e.stiffness[[1, 3, 4]]))


def test_a_doubler_of_nothing_changes_nothing():
    """Towards no thickness and towards no margin the spring is that of the bare web."""
    bare = from_shapes(RAIL, CROSSMEMBER, 1)
    for doubler, margin in ((1e-9, 30.0), (3.0, 1e-15)):
        plated = estimate(bare.changed(doubler=doubler, margin=margin)).stiffness
        assert plated[[1, 3, 5]] == pytest.approx(estimate(bare).stiffness[[1, 3, 5]], rel=1e-6)


def test_the_met_wall_carries_the_joint():
    """A crossmember from the right (+y) meets the wall on the plus side, one from the left the minus side's."""
    right, left = (from_shapes(RAIL, CROSSMEMBER, side) for side in (1, -1))
    assert (right.web, right.far, left.web, left.far) == (5.0, 2.0, 2.0, 5.0)
    assert estimate(right).stiffness[3] > 3 * estimate(left).stiffness[3]
    mirrored = from_shapes(RAIL.mirrored(), CROSSMEMBER.mirrored(), -1)
    assert estimate(mirrored).stiffness == pytest.approx(estimate(right).stiffness, rel=1e-12)


@pytest.mark.parametrize(
    ("shape", "kind", "depth", "width", "wall", "note"),
    [
        (CROSSMEMBER, "box", 80, 60, 3, ""),
        (Tube(diameter=60, wall=3), "tube", 60, 60, 3, ""),
        (Flat(depth=80, thickness=8), "flat", 80, 8, 8, ""),
        (Channel(depth=80, width=40, web=4, top=3, bottom=3, opens="-y"), "channel rearward", 80, 40, 3, ""),
        (Channel(depth=80, width=40, web=4, top=3, bottom=3, opens="+y"), "channel forward", 80, 40, 3, ""),
        (Channel(depth=60, width=80, web=4, top=3, bottom=3, opens="-z"), "channel downward", 60, 80, 4, ""),
        (Channel(depth=60, width=80, web=4, top=3, bottom=3, opens="+z", lip=10), "channel upward", 60, 80, 4, "lip"),
        (TopHat(depth=60, width=100, wall=2, brim=15, opens="-z"), "channel downward", 60, 70, 2, "top-hat"),
        (TopHat(depth=90, width=50, wall=2, brim=15, opens="-y"), "channel rearward", 60, 50, 2, "top-hat"),
        (Angle(depth=50, width=40, wall=4, corner="-y+z"), "channel downward", 50, 40, 4, "angle"),
        (Angle(depth=50, width=40, wall=4, corner="+y-z"), "channel upward", 50, 40, 4, "angle"),
    ],
)
def test_crossmembers_by_their_shape(shape, kind, depth, width, wall, note):
    joint = from_shapes(RAIL, shape, 1)
    assert (joint.crossmember, joint.depth, joint.width, joint.wall) == (kind, depth, width, wall)
    assert bool(note) == bool(joint.notes)
    assert note in " ".join(joint.notes)
    e = estimate(joint)
    assert set(joint.notes) <= set(e.warnings)
    if note:
        assert e.high[3] / e.low[3] >= 4  # a note doubles and halves


def test_channel_rails_by_their_shape():
    open_to_it = from_shapes(CHANNEL, CROSSMEMBER, 1)
    assert (open_to_it.rail, open_to_it.web, open_to_it.notes) == ("channel", 4.0, ())
    assert "back of a channel" in from_shapes(CHANNEL, CROSSMEMBER, -1).notes[0]


def test_rails_that_lost_walls_stand_as_the_box_with_a_note():
    """Open above or below: the upright that is met, the lying wall that is left on both sides; angles by their legs."""
    worn = Box(depth=150, width=75, top=2.0, bottom=2.5, minus=3.0, plus=3.5)
    for wall, left, word in (("bottom", 2.0, "below"), ("top", 2.5, "above")):
        rail = thinned(worn, {wall: 0})
        for direction, web, far in ((1, 3.5, 3.0), (-1, 3.0, 3.5)):
            joint = from_shapes(rail, CROSSMEMBER, direction)
            assert (joint.rail, joint.web, joint.far, joint.top, joint.bottom) == ("box", web, far, left, left)
            assert f"open {word}" in joint.notes[0]
            e = estimate(joint)
            assert e.high[3] / e.low[3] >= 4  # a note doubles and halves
    corner = from_shapes(thinned(worn, {"bottom": 0, "plus": 0}), CROSSMEMBER, -1)
    assert (corner.rail, corner.web, corner.top) == ("box", 3.0, 2.0)
    assert "two walls" in corner.notes[0]


@pytest.mark.parametrize("rail", [Tube(diameter=100, wall=3), Flat(depth=100, thickness=6),
                                  TopHat(depth=60, width=120, wall=3, brim=20, opens="-z"),
                                  Angle(depth=150, width=75, wall=3, corner="-y+z")])
def test_rails_without_estimate(rail):
    with pytest.raises(ModelError, match=r"no estimate for a rail.*State the joint's stiffness"):
        from_shapes(rail, CROSSMEMBER, 1)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"kind": "bolted"}, "no data on 'bolted' joints"),
        ({"crossmember": "flat"}, "flat crossmembers"),
        ({"height": 20.0}, "off the middle"),
        ({"height": 60.0}, "past the rail's edge"),
        ({"to_end": 60.0}, "nearer than one rail depth"),
        ({"web": 1.0}, "outside the data: rail depth over web is 150.00, data 20 to 107"),
        ({"depth": 40.0}, "crossmember depth over rail depth"),
        ({"doubler": 3.0, "margin": 30.0}, "welded at its rim"),
        ({"doubler": 9.0, "margin": 30.0}, "much unlike the web"),
        ({"through": True, "to_end": 160.0}, "not together in the data: through both webs, near a free end"),
    ],
)
def test_warned_outside_the_data(changes, words):
    plain = from_shapes(Box(depth=150, width=75, top=3, bottom=3, minus=3, plus=3), CROSSMEMBER, 1)
    assert estimate(plain).warnings == ()
    assert any(words in w for w in estimate(plain.changed(**changes)).warnings)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"web": 0.0}, "web is 0.0"),
        ({"depth": nan}, "depth is nan"),
        ({"rail": "round"}, "rail is round.*box or channel"),
        ({"crossmember": "zed"}, "crossmember is zed"),
        ({"far": 80.0}, "leave room"),
        ({"height": 130.0}, "height is 130.0.*meets the web"),
        ({"rail": "channel", "through": True}, "no far web"),
        ({"to_end": -1.0}, "to_end is -1.0"),
        ({"margin": -1.0}, "margin is -1.0"),
    ],
)
def test_impossible_joints_are_refused(changes, words):
    with pytest.raises(ModelError, match=words):
        from_shapes(RAIL, CROSSMEMBER, 1).changed(**changes)


def test_no_warping_spring_for_closed_crossmembers():
    with pytest.raises(ModelError, match="no warping spring"):
        warping_link(from_shapes(RAIL, CROSSMEMBER, 1))
