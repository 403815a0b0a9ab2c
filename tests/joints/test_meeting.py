"""How rails hold crossmembers: positive, the same at both sides of the vehicle, turning axes, kinds."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.joints import JointGeometry, from_shapes, meeting
from ladderfe.sections import Box

wall = st.floats(1.0, 6.0)


def joint(**changes):
    """Crossmember 80 x 60 x 3 on a box rail 150 x 75 x 3."""
    return JointGeometry(rail="box", rail_depth=150.0, rail_width=75.0, top=3.0, bottom=3.0, web=3.0, far=3.0,
                         crossmember="box", depth=80.0, width=60.0, wall=3.0).changed(**changes)


@given(
    rail=st.sampled_from(["box", "channel"]), web=wall, far=wall, top=wall, bottom=wall, height=st.floats(-40, 40),
    kind=st.sampled_from(["box", "channel rearward", "channel downward", "tube", "flat"]), through=st.booleans(),
    doubler=st.sampled_from([0, 3]), level=st.sampled_from([-1.0, -0.3, 0.0, 1.0]), depth=st.floats(50, 150),
)
def test_energy_is_never_negative(rail, web, far, top, bottom, height, kind, doubler, through, level, depth):
    """Symmetric, no negative eigenvalue (1e-9 of the largest for rounding), none on g where the rail does not rack."""
    it = joint(rail=rail, web=web, far=far, top=top, bottom=bottom, height=height, crossmember=kind, doubler=doubler,
               margin=20.0, through=through and rail == "box", depth=depth)
    met = meeting(it, level)
    S = met.stiffness
    assert S.shape == (len(met.directions) + 1,) * 2
    assert pytest.approx(S, rel=1e-9) == S.T
    scale = np.sqrt(np.maximum(np.diag(S), 1e-300))
    assert np.linalg.eigvalsh(S / scale / scale[:, None]).min() > -1e-9
    assert list(met.directions) == sorted(met.directions)
    assert met.webs == ("section" if rail == "channel" else "both" if through else "met")
    if rail == "channel":
        assert not S[-1].any()
    assert met.warping >= 0


def test_a_low_crossmember_turns_about_its_lower_edge():
    """Held at the bottom flange, its end turns about a place below its middle: a moment about x (positive: the top
    goes to -y) moves the middle to -y, whatever side it comes from."""
    met = meeting(joint(height=-33.0))
    at = [met.directions.index(d) for d in (1, 3)]
    moved = np.linalg.inv(met.stiffness[np.ix_(at, at)])[:, 1]
    assert -45 < moved[0] / moved[1] < -30  # its lower edge is 40 mm below


def test_rigid_is_as_on_a_rigid_section():
    met = meeting(joint(), inf)
    assert (met.webs, met.directions, met.stiffness.tolist(), met.held) == ("section", (), [[0.0]], 0.0)


def test_both_sides_of_the_vehicle():
    """A rail with unlike webs and the same in the mirror, met from the other side."""
    rail = Box(depth=150.0, width=75.0, top=3.0, bottom=4.0, minus=2.0, plus=5.0)
    cross = Box(depth=80.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
    left, right = from_shapes(rail, cross, 1, -20.0), from_shapes(rail.mirrored(), cross.mirrored(), -1, -20.0)
    assert pytest.approx(meeting(left).stiffness, rel=1e-12) == meeting(right).stiffness
