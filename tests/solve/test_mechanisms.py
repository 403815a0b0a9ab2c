"""Frames that can move without straining are named in words: which part, which end, which motion.  Whole messages."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.errors import MechanismError
from ladderfe.solve.band import Factor

MECHANISM = "nothing holds it, so the frame is a mechanism"
ADVICE = "Connect the part to the rest of the frame, or give the joint a stiffness in that direction."


@pytest.fixture
def ladder(frames):
    """A ladder of three crossmembers with names, held at three corners without redundancy."""
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5, Asy=400.0, Asz=600.0)
    built = frames.ladder([0.0, 1200.0, 2500.0], 400.0, bar, bar, arm=35.0)
    m = built.model
    for side, nodes in (("left", built.left), ("right", built.right)):
        for node, place in zip(nodes, ("0", "1200", "2500"), strict=True):
            m.names[node] = f"{side} rail, station {place}"
    for k, member in enumerate(built.cross):
        m.members[member] = (*m.members[member][:5], f"crossmember {k + 1}")
    m.hold(built.left[0], "ux uy uz")
    m.hold(built.right[0], "uz")
    m.hold(built.left[2], "uy uz")
    return built


def message(model):
    with pytest.raises(MechanismError) as caught:
        model.solve()
    return str(caught.value)


def test_the_frame_itself_is_no_mechanism(ladder):
    ladder.model.solve()


def test_crossmember_free_to_spin(ladder):
    """Both ends released about y, the crossmember's own axis; the frame holds, the bar turns on its pins."""
    for end in (0, 1):
        ladder.model.soften(ladder.cross[1], end, "ry")
    assert message(ladder.model) == (f"crossmember 2, first end: free to rotate about y: {MECHANISM}. {ADVICE}")


def test_crossmember_free_to_slide(ladder):
    """Both ends released along y."""
    for end in (0, 1):
        ladder.model.soften(ladder.cross[2], end, "uy")
    assert message(ladder.model) == (f"crossmember 3, first end: free to move sideways (y): {MECHANISM}. {ADVICE}")


def test_crossmember_end_that_hangs_free(ladder):
    """One end released along z and about x and y: the other end carries it as a cantilever; with that end's rotation
    about x released too it swings."""
    m, bar = ladder.model, ladder.cross[1]
    for motion in ("uz", "rx", "ry"):
        m.soften(bar, 1, motion)
    m.solve()
    m.soften(bar, 0, "rx")
    assert message(m) == f"crossmember 2, second end: free to rotate about x: {MECHANISM}. {ADVICE}"


def test_ends_named_by_their_sides(ladder):
    """The same swinging crossmember in a frame that calls its ends left and right."""
    for end, motion in ((1, "uz"), (1, "rx"), (1, "ry"), (0, "rx")):
        ladder.model.soften(ladder.cross[1], end, motion)
    frame = replace(ladder.model.frame(), end_names=("left", "right"))
    with pytest.raises(MechanismError) as caught:
        Factor(frame, np.array(ladder.model.held))
    assert caught.value.where == "crossmember 2, right end"


def test_rail_cut_by_a_release(frames):
    """A hinge in a cantilever rail: the released joint is named, not the rear end that swings with it."""
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5)
    m = frames.Model()
    places = [m.node(x, 0, 0, name=f"station {x}") for x in (0, 1000, 2000)]
    m.member(places[0], places[1], bar, name="rail ahead")
    m.member(places[1], places[2], bar, name="rail behind")
    m.hold(places[0])
    m.soften(1, 0, "ry")
    assert message(m) == f"rail behind, first end: free to rotate about y: {MECHANISM}. {ADVICE}"


def test_part_joined_to_nothing(frames, ladder):
    """A bracket whose nodes no member joins to the rails."""
    m = ladder.model
    bracket = [m.node(600, 550, 0, name="spare wheel bracket"), m.node(600, 700, 0)]
    m.member(*bracket, frames.Bar(E=205e3, A=200.0, Iy=1e5, Iz=1e5, J=1e4), name="bracket")
    assert message(m) == (
        "spare wheel bracket: not connected to the rest of the frame. Join it by a crossmember or remove it."
    )


def test_node_without_members(ladder):
    ladder.model.node(600, 550, 0, name="exhaust hanger")
    assert message(ladder.model) == (
        "exhaust hanger: not connected to the rest of the frame. Join it by a crossmember or remove it."
    )


def test_frame_that_nothing_holds(ladder):
    ladder.model.held.clear()
    assert message(ladder.model) == "frame: nothing holds it, so it floats. Give it supports."


@pytest.mark.parametrize(
    ("held", "motion"),
    [
        ("uy uz rx ry rz", "move along x"),
        ("ux uz rx ry rz", "move sideways (y)"),
        ("ux uy rx ry rz", "move up and down (z)"),
        ("ux uy uz ry rz", "rotate about x"),
        ("ux uy uz rx rz", "rotate about y"),
        ("ux uy uz rx ry", "rotate about z"),
    ],
)
def test_cantilever_with_one_motion_left(frames, held, motion):
    """Held at its front end in five motions: the sixth is named at the first place that has it."""
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5)
    m = frames.Model()
    a, b = m.node(0, 0, 0, name="front end"), m.node(1000, 0, 0, name="rear end")
    m.chain(a, b, bar, 3)
    m.hold(a, held)
    assert message(m) == f"front end: free to {motion}: {MECHANISM}. {ADVICE}"


def test_frame_without_names_is_numbered(frames):
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5)
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(1000, 0, 0)
    m.member(a, b, bar)
    for end, motion in ((0, "ry"), (1, "ry"), (1, "uz")):
        m.soften(0, end, motion)
    frame = m.frame()
    with pytest.raises(MechanismError) as caught:
        Factor(replace(frame, node_names=(), member_names=()), np.arange(12))
    assert caught.value.where == "member 1, first end"
    assert caught.value.problem == f"free to rotate about y: {MECHANISM}"
    assert caught.value.hint + "." == ADVICE


@pytest.mark.parametrize("ratio", [1e-6, 1e6])
def test_very_unlike_members_are_no_mechanism(frames, ratio):
    """A bracket a million times softer or stiffer than the rail it stands on still solves: F L³/(3EI) by hand.  Ten
    times shorter and a million times stiffer is 1e9 stiffer at the joint: nine of sixteen digits go, hence 1e-5."""
    bar = frames.Bar(E=205e3, G=79e3, A=1500.0, Iy=2e6, Iz=1e6, J=8e5)
    odd = frames.Bar(E=205e3 * ratio, G=79e3 * ratio, A=1500.0, Iy=2e6, Iz=1e6, J=8e5)
    m = frames.Model()
    root, end, tip = m.node(0, 0, 0), m.node(1000, 0, 0), m.node(1000, 100, 0)
    m.member(root, end, bar)
    m.member(end, tip, odd)
    m.hold(root)
    m.load(tip, (0, 0, 100.0))
    u = m.solve().move(tip)
    by_hand = 100e9 / (3 * 205e3 * 2e6) + 100 * 100 * 1000 * 100 / (79e3 * 8e5) + 100e6 / (3 * 205e3 * ratio * 2e6)
    assert u[2] == pytest.approx(by_hand, rel=1e-5)
