"""What a channel rail's own member brings since its warping has shear strain is taken out of the joint's spring."""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.elements import Beams, OpenBeams
from ladderfe.elements.open_beam import stiffness
from ladderfe.joints import JointGeometry
from ladderfe.joints.local import LEFT, on_one_web, without_rail
from ladderfe.sections import Channel, properties


def joint(**changes):
    rail = {"rail": "channel", "rail_depth": 150.0, "rail_width": 60.0, "top": 4.0, "bottom": 4.0, "web": 4.0}
    rest = {"far": 0.0, "crossmember": "box", "depth": 70.0, "width": 50.0, "wall": 3.0}
    return JointGeometry(**rail | rest | changes)


def turn(it, shear, half=2.0e4):
    """Turn about x in the middle of a rail clamped far away on both sides, per unit couple, by the exact members."""
    section = Channel(
        depth=it.rail_depth, width=it.rail_width, web=it.web, top=it.top, bottom=it.bottom, opens="-y"
    ).section()
    q, E, G = properties(section), it.youngs_modulus, it.shear_modulus
    one = np.ones(1)
    bending = np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]]])
    none = np.zeros((1, 2))
    beams = Beams(half * one, E * q.A * one, G * q.J * one, E * bending, q.shear[None] / G, none, none)
    rail = OpenBeams(beams, E * q.Iw * one, shear * q.warp_shear / G * one, np.zeros((1, 2)), np.zeros((1, 3)))
    own = stiffness(rail)[0, 7:, 7:]
    mirror = np.diag([-1.0, 1, 1, 1, -1, -1, -1])  # the half behind
    return float(np.linalg.inv(own + mirror @ own @ mirror)[3, 3])


@pytest.mark.parametrize("changes", [{}, {"rail_depth": 120.0, "rail_width": 50.0}, {"web": 3.0, "top": 3.0}])
def test_the_joint_leaves_out_what_the_rail_has(changes):
    """The exact members with and without shear strain of warping, 20 m of rail on either side: 1e-6.  Half of what that
    makes in the middle comes from the couple, half from the clamps far away, which hold the warping as well."""
    it = joint(**changes)
    K = on_one_web(it)
    before, after = (np.linalg.inv(m[:2, :2])[1, 1] for m in (K, without_rail(it, K)))
    assert after > LEFT * before * 1.01, "otherwise the bound is looked at, not the formula"
    assert before - after == pytest.approx((turn(it, 1.0) - turn(it, 0.0)) / 2, rel=1e-6)


def test_something_is_always_left_to_the_web():
    """A crossmember nearly as deep as the rail: the web's own flexibility is small, a fifth of it stays."""
    it = joint(depth=140.0)
    K = on_one_web(it)
    before, after = (np.linalg.inv(m[:2, :2])[1, 1] for m in (K, without_rail(it, K)))
    assert after >= LEFT * before * (1 - 1e-9)
    assert np.linalg.eigvalsh(without_rail(it, K)[:2, :2]).min() > 0
