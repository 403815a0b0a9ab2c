"""Joints as they are used: the estimate is made once and holds however often it is asked for."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import Joint
from ladderfe.mesh import build_mesh, joined, joint_uses


def with_joints(made, joint, shape=None):
    """The plain ladder with this joint at every end."""
    rungs = (made.cross(n, x, shape or made.CROSS) for n, x in (("front", 100.0), ("middle", 1900.0), ("rear", 3900.0)))
    return made.chassis(crossmembers=tuple(replace(c, joint_left=joint, joint_right=joint) for c in rungs))


@pytest.mark.parametrize("level", [-1.0, 0.0, 1.0, np.inf])
@pytest.mark.parametrize(
    "joint",
    [Joint(), Joint(kind="through"), Joint(kind="bolted"), Joint(doubler=3.0, margin=30.0), Joint(kind="wrapped"),
     Joint(kind="gusseted upright", gusset=40.0), Joint(kind="gusseted in plan", gusset=60.0)],
    ids=["butted", "through", "bolted", "doubled", "wrapped", "upright gussets", "gussets in plan"],
)
def test_asked_for_twice_it_is_the_same(made, joint, level):
    """A mesh states the joints again; a crossmember through both webs must not turn into one on the near web."""
    once = joined(with_joints(made, joint), level)
    assert joined(once) == once
    assert build_mesh(once).joints == build_mesh(replace(with_joints(made, joint), joint_level=level)).joints


def test_uses_name_part_and_rail_with_the_estimate_beside(made):
    c = with_joints(made, Joint())
    uses = joint_uses(c)
    assert [(u.part, u.rail) for u in uses[:3]] == [
        ("front", "left rail"), ("front", "right rail"), ("middle", "left rail"),
    ]  # fmt: skip
    assert len(uses) == 6
    for u in uses:
        assert u.joint.stiffness == pytest.approx(tuple(u.estimate.stiffness))
        assert (u.estimate.low <= u.estimate.stiffness).all()
    low = joint_uses(replace(c, joint_level=-1.0))[2]
    assert low.joint.stiffness == pytest.approx(tuple(low.estimate.low))


def test_what_the_file_says_of_a_joint_reaches_its_estimate(made):
    """About x, the middle of the range: gussets between the crossmember alone and one as large as they reach; an end
    that embraces the rail stiffer than one on its web."""
    def about_x(joint):
        return joint_uses(with_joints(made, joint))[0].joint.stiffness[3]

    plain = about_x(Joint())
    assert about_x(Joint(kind="gusseted upright", gusset=1e-6)) == pytest.approx(plain, rel=1e-6)
    assert about_x(Joint(kind="gusseted upright", gusset=30.0)) > 1.2 * plain
    assert about_x(Joint(kind="gusseted in plan", gusset=60.0)) > 1.05 * plain
    assert about_x(Joint(kind="wrapped")) > 5 * plain


def test_what_the_user_gave_has_no_estimate_and_no_level(made):
    given = made.sprung(rx=2e7)
    for u in joint_uses(replace(with_joints(made, given), joint_level=-1.0)):
        assert (u.joint, u.estimate) == (given, None)


def test_where_there_is_no_estimate_it_is_rigid_and_says_so(made):
    """Above the rail there is no web to meet."""
    high = replace(made.cross("high", 1900.0, height=200.0), joint_left=Joint(), joint_right=Joint())
    u = joint_uses(made.chassis(crossmembers=(*made.LADDER, high)))[-1]
    assert u.estimate is None
    assert u.joint.stiffness == (np.inf,) * 6
    assert u.joint.warnings[0].startswith("taken as rigid: ")
