"""Usual joints in many states of the rail's walls against `meeting` one by one: the same formulas, to rounding."""

import numpy as np
import pytest

from ladderfe.joints import JointGeometry, meeting
from ladderfe.joints.many import Joints, Rails, kind_of, meetings, usual

BOX = JointGeometry(
    rail="box", rail_depth=150.0, rail_width=75.0, top=3.0, bottom=2.8, web=2.5, far=2.6, crossmember="box",
    depth=80.0, width=60.0, wall=2.0,
)  # fmt: skip
CHANNEL = BOX.changed(rail="channel", far=0.0, web=4.0, top=4.0, bottom=4.5)
JOINTS = {
    "box": BOX, "above the middle": BOX.changed(height=12.0), "tube": BOX.changed(crossmember="tube", width=80.0),
    "flush": BOX.changed(height=36.0), "open": BOX.changed(crossmember="channel rearward"),
    "lying": BOX.changed(crossmember="channel downward"), "flat": BOX.changed(crossmember="flat"),
    "channel": CHANNEL, "open on channel": CHANNEL.changed(crossmember="channel forward"),
    "low open on channel": CHANNEL.changed(crossmember="channel rearward", height=-36.0),
    "fills the channel": CHANNEL.changed(depth=148.0),
    "open, fills": CHANNEL.changed(depth=148.0, crossmember="channel upward"),
}  # fmt: skip


@pytest.mark.parametrize("joint", JOINTS.values(), ids=JOINTS)
def test_meetings_are_those_of_each_state(joint):
    rng = np.random.default_rng(3)
    walls = {n: getattr(joint, n) * rng.uniform(0.6, 1.1, 5) for n in ("top", "bottom", "web", "far")}
    rails = Rails(Joints.of([joint], 5), **walls)
    assert usual(joint, 0.0)
    assert rails.possible().all()
    found = meetings(rails)
    for k in range(5):
        one = meeting(joint.changed(**{n: float(t[k]) for n, t in walls.items()}))
        assert (found.webs, found.directions, found.link) == (one.webs, one.directions, one.link)
        assert found.stiffness[k] == pytest.approx(one.stiffness, rel=1e-12, abs=1e-12 * np.abs(one.stiffness).max())
        scale = np.abs(one.stiffness).max()
        assert (found.plan[k], found.held[k]) == pytest.approx((one.plan, one.held), rel=1e-12, abs=1e-9 * scale)
        assert found.warping[k] == pytest.approx(one.warping, rel=1e-12)


@pytest.mark.parametrize("first", ["box", "above the middle", "channel", "fills the channel"])
def test_joints_of_one_kind_are_those_of_each(first):
    """Joints that differ in all their sizes."""
    rng = np.random.default_rng(4)
    sizes = ("rail_depth", "rail_width", "depth", "width", "wall", "height", "youngs_modulus")
    joint = JOINTS[first]
    joints = [joint.changed(**{n: getattr(joint, n) * (1 + k / 40) for n in sizes}) for k in range(3)]
    assert len({kind_of(j) for j in joints}) == 1
    walls = {n: np.array([getattr(j, n) for j in joints])[:, None] * rng.uniform(0.8, 1.02, (3, 4))
             for n in ("top", "bottom", "web", "far")}  # fmt: skip
    found = meetings(Rails(Joints.of(joints, 4), **{n: t.ravel() for n, t in walls.items()}))
    for k, joint in enumerate(joints):
        alone = meetings(Rails(Joints.of([joint], 4), **{n: t[k] for n, t in walls.items()}))
        own = found.take(slice(4 * k, 4 * k + 4))
        assert (own.webs, own.directions, own.link) == (alone.webs, alone.directions, alone.link)
        for name in ("stiffness", "plan", "held", "warping"):
            scale = np.abs(alone.stiffness).max()
            assert getattr(own, name) == pytest.approx(getattr(alone, name), rel=1e-12, abs=1e-12 * scale)


def test_a_joint_of_two_kinds_is_left_alone():
    """Between flanges in some states, just short of them in others."""
    joints = Joints.of([CHANNEL.changed(depth=142.0)], 2)
    assert meetings(Rails(joints, *(np.array(t) for t in ([3.0, 4.5], [3.0, 4.5], [4.0, 4.0], [0.0, 0.0])))) is None


def test_tubes_whose_square_reaches_a_flange_in_some_states_are_left_alone():
    """Side sqrt(pi)/2 x 80 = 70.90 mm, 36.9 mm low in a rail 150 mm deep: 75 - 36.9 - 35.45 = 2.65 mm above the rail's
    face, within a bottom of 3 mm and clear of one of 2 mm; the springs in twist of the two differ by 1.6."""
    tube = BOX.changed(crossmember="tube", depth=80.0, width=80.0, height=-36.9, bottom=3.0)
    walls = [[3.0, 3.0], [3.0, 2.0], [2.5, 2.5], [2.6, 2.6]]
    assert meetings(Rails(Joints.of([tube], 2), *(np.array(t) for t in walls))) is None
    found = meetings(Rails(Joints.of([tube], 1), *(np.array(t[:1]) for t in walls)))
    assert found.stiffness[0] == pytest.approx(meeting(tube.changed(far=2.6)).stiffness, rel=1e-12, abs=1e-3)


@pytest.mark.parametrize(
    "changes", [{"through": True, "kind": "through"}, {"kind": "wrapped"}, {"doubler": 2.0, "margin": 20.0}]
)
def test_unusual_joints_are_told(changes):
    assert not usual(BOX.changed(**changes), 0.0)
    assert not usual(BOX, 0.5)
