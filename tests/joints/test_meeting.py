"""How rails hold crossmembers: positive, the same at both sides of the vehicle, turning axes, kinds."""

from __future__ import annotations

from math import inf

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.joints import JointGeometry, estimate, from_shapes, meeting, racking, warping_link
from ladderfe.joints.kinds import BANDS, band
from ladderfe.joints.local import THROUGH_TWIST, in_plan, on_both_webs, on_one_web, twisting, twisting_through
from ladderfe.joints.web import web_stiffness
from ladderfe.sections import Box, properties

wall = st.floats(1.0, 6.0)


def joint(**changes):
    """Crossmember 80 x 60 x 3 on a box rail 150 x 75 x 3."""
    return JointGeometry(rail="box", rail_depth=150.0, rail_width=75.0, top=3.0, bottom=3.0, web=3.0, far=3.0,
                         crossmember="box", depth=80.0, width=60.0, wall=3.0).changed(**changes)


def whole(met):
    """The stiffness with the rail's warping as the last unknown."""
    n = len(met.stiffness)
    out = np.zeros((n + 1, n + 1))
    out[:n, :n], out[n, n] = met.stiffness, met.held
    if 5 in met.directions:
        out[n, met.directions.index(5)] = out[met.directions.index(5), n] = met.plan
    return out


@st.composite
def joints(draw):
    """Joints of all kinds."""
    wall = st.floats(1.0, 6.0)
    rail, kind = draw(st.sampled_from(["box", "channel"])), draw(st.sampled_from(
        ["butted", "butted", "through", "wrapped", "gusseted upright", "gusseted in plan"]))
    return joint(
        rail=rail, web=draw(wall), far=draw(wall), top=draw(wall), bottom=draw(wall), height=draw(st.floats(-40, 40)),
        crossmember=draw(st.sampled_from(["box", "tube", "channel rearward", "channel downward", "flat"])),
        depth=draw(st.floats(50, 150)), doubler=draw(st.sampled_from([0.0, 3.0])), margin=20.0, gusset=30.0, kind=kind,
        through=kind == "through" and rail == "box",
    )


@given(it=joints(), level=st.sampled_from([-1.0, -0.3, 0.0, 1.0]))
def test_energy_is_never_negative(it, level):
    """Symmetric, no negative eigenvalue (1e-9 for rounding, scaled), none on g and f where the rail does not rack."""
    met = meeting(it, level)
    S = whole(met)
    assert len(S) == len(met.directions) + 2
    assert pytest.approx(S, rel=1e-9) == S.T
    scale = np.sqrt(np.maximum(np.diag(S), 1e-300))
    assert np.linalg.eigvalsh(S / scale / scale[:, None]).min() > -1e-9
    assert list(met.directions) == sorted(met.directions)
    holds_both = it.through or it.kind == "wrapped"
    if it.rail == "channel":  # upright gussets may fill the rail's depth where the crossmember alone does not
        assert met.webs in ("flanges", "section")
        assert met.webs == "flanges" or not it.flanges_meet
    else:
        assert met.webs == ("both" if holds_both else "met")
    if it.rail == "channel":
        assert not S[-2:].any()
    assert met.warping >= 0
    assert not met.stiffness.flags.writeable


@given(it=joints())
def test_upside_down(it):
    """The mirror in z turns over rx, ry, g and f; uy and rz stay.  1e-9 for rounding."""
    met = meeting(it)
    turned = meeting(it.changed(height=-it.height, top=it.bottom, bottom=it.top))
    sign = np.array([{1: 1, 3: -1, 4: -1, 5: 1}[d] for d in met.directions] + [-1, -1])
    expected = whole(met) * np.outer(sign, sign)
    size = np.sqrt(np.diag(expected))
    assert turned.directions == met.directions
    assert np.all(abs(whole(turned) - expected) <= 1e-9 * np.outer(size, size))


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


def test_racking_past_a_rigid_end():
    """With the crossmember following its web racking still bends the web against the rigid end, but costs less than the
    rail's own walls over the crossmember's width and as much again beside it."""
    S = meeting(joint()).stiffness
    assert 0 < S[-1, -1] < racking(joint()).k_D * 2 * 60


def test_both_webs_hold_a_beam_between_them():
    """Racking held: the end turns against its own web's spring and a beam that ends on the far web's spring:
    k = k1 + a - b^2/(a + k2), a = (4 + p) EI/L/(1 + p), b = (2 - p) EI/L/(1 + p), p = 12 EI/(GA L^2).  Source:
    J. S. Przemieniecki, Theory of Matrix Structural Analysis (1968), from memory.  Exact to rounding."""
    it = joint(through=True, kind="through", far=5.0)
    p = properties(Box(depth=80.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0).section())
    length, bending, shear = 75.0 - 4.0, 205e3 * p.Iyy, 205e3 / 2.6 / p.shear[1, 1]
    phi = 12 * bending / (shear * length**2)
    a, b = (4 + phi) * bending / length / (1 + phi), (2 - phi) * bending / length / (1 + phi)
    near, far = (web_stiffness(j, racking(j).web)[1, 1] for j in (it, it.changed(web=5.0, far=3.0)))
    K = on_both_webs(it)
    assert K[1, 1] == pytest.approx(near + a - b**2 / (a + far), rel=1e-12)
    assert K[0, 1] == pytest.approx(0, abs=1e-9 * K[1, 1])  # in the middle of the web push and turn do not mix


def test_through_both_webs_with_a_rigid_crossmember():
    """A crossmember that does not bend turns by g against both webs: energy on g alone that of both webs turned and
    racked together.  A wall of 29 mm stands for rigid: 2 %."""
    it = joint(through=True, kind="through", wall=29.0)
    one = web_stiffness(it, racking(it).web)
    K = on_both_webs(it)
    assert K[2, 2] - K[1, 2] ** 2 / K[1, 1] == pytest.approx(2 * (one[1, 1] + 2 * one[1, 2] + one[2, 2]), rel=0.02)


def test_an_end_that_embraces_the_rail():
    """A box rail is held in shape, a channel rail by its flanges, whose warping an open crossmember then shares."""
    met = meeting(joint(kind="wrapped"))
    rack = racking(joint())
    assert (met.webs, met.directions) == ("both", ())
    assert met.stiffness[0, 0] == pytest.approx(10 * rack.foundation(), rel=1e-12)
    assert met.held == pytest.approx(10 * rack.warping(), rel=1e-12)
    low, high = (meeting(joint(kind="wrapped"), level).stiffness[0, 0] for level in (-1.0, 1.0))
    assert (low, high) == pytest.approx((met.stiffness[0, 0] / 10, met.stiffness[0, 0] * 10), rel=1e-12)
    assert any("embrace the rail" in w for w in met.warnings)
    on_flanges = meeting(joint(kind="wrapped", rail="channel", crossmember="channel downward"))
    assert (on_flanges.directions, on_flanges.warping, on_flanges.link) == ((5,), inf, -1)
    # the line between the webs turns by half the racking angle, which the rail resists with its own walls too
    assert estimate(joint(kind="wrapped")).stiffness[3] == pytest.approx(4 * 11 * rack.foundation(), rel=1e-12)
    with pytest.raises(ModelError, match="through or wrapped, not both"):
        joint(kind="wrapped", through=True)


@pytest.mark.parametrize(("kind", "size"), [("gusseted upright", "depth"), ("gusseted in plan", "width")])
def test_gussets_from_none_to_all_of_them(kind, size):
    """Low: as without, at the low end of its range; high: a crossmember larger by both legs; between: by half."""
    it = joint(kind=kind, gusset=20.0)
    for level, larger in ((-1.0, 0.0), (0.0, 20.0), (1.0, 40.0)):
        as_large = joint(**{size: {"depth": 80.0, "width": 60.0}[size] + larger})
        assert pytest.approx(meeting(as_large, level).stiffness, rel=1e-12) == meeting(it, level).stiffness
    found, bare = estimate(it), estimate(joint())
    assert found.low == pytest.approx(bare.low, rel=1e-12)
    assert np.all(found.stiffness[3:] > bare.stiffness[3:])
    assert np.all(found.low <= found.stiffness)
    assert np.all(found.stiffness <= found.high)
    assert kind in meeting(it).kind
    assert kind in found.kind
    assert meeting(it).warnings[0] == found.warnings[0]
    assert "no data on gussets" in found.warnings[0]


@given(it=joints(), level=st.floats(-1, 1))
def test_levels_along_the_logarithm(it, level):
    """The webs' energy by their own band, springs about y and z by theirs."""
    assume(not it.kind.startswith("gusseted") and it.crossmember != "tube")
    low, high = band(it, webs=True)
    factor = (high if level > 0 else low) ** abs(level)
    middle, met = meeting(it).stiffness, meeting(it, level).stiffness
    for i, d in enumerate(meeting(it).directions):
        assert met[i, i] == pytest.approx(middle[i, i] * factor[3 if d == 1 else d], rel=1e-9)
    assert met[-1, -1] == pytest.approx(middle[-1, -1] * factor[3], rel=1e-9)


def test_the_range_is_the_webs_own():
    """On box rails the band of the webs alone, on channel rails that of the spring."""
    assert band(joint(), webs=True)[0][3] == BANDS["box", "butted"][4][0] != band(joint())[0][3]
    channel = joint(rail="channel")
    assert band(channel, webs=True)[0][3] == band(channel)[0][3]


def test_a_doubler_that_covers_nothing_does_nothing():
    bare = joint(margin=0.0)
    assert pytest.approx(on_one_web(bare), rel=1e-12) == on_one_web(bare.changed(doubler=3.0))
    assert in_plan(bare) == pytest.approx(in_plan(bare.changed(doubler=3.0)), rel=1e-12)
    more = [on_one_web(joint(doubler=3.0, margin=m))[1, 1] for m in (0.0, 10.0, 20.0, 32.0, 60.0)]
    assert np.all(np.diff(more[:4]) > 0)
    assert more[4] == more[3]  # nothing more to cover


def test_unlike_halves_of_the_web_share_the_turn_about_z():
    """Both halves driven by the turn of their flange, rz - f z at z = +-h/2: the energy's parts from two springs, and
    the spring about z of a rail free to warp from both in series."""
    alone, both, held = in_plan(joint(height=-33.0))
    z = 147.0 / 2
    upper, lower = (alone + both / z) / 2, (alone - both / z) / 2
    assert held == pytest.approx((upper + lower) * z**2, rel=1e-12)
    assert lower > 3 * upper > 0  # it lies on the lower flange
    assert alone - both**2 / held == pytest.approx(4 / (1 / upper + 1 / lower), rel=1e-9)


def test_warping_of_open_crossmembers():
    """Its spring on bare web with the sign of the rail's twist rate, tied where flanges meet, free in closed ones."""
    it = joint(rail="channel", crossmember="channel downward")
    known = warping_link(it)
    assert (meeting(it).warping, meeting(it).link) == (pytest.approx(known.stiffness), known.link)
    assert meeting(it, 1.0).warping == pytest.approx(known.high, rel=1e-12)
    assert meeting(it, -1.0).warping == pytest.approx(known.low, rel=1e-12)
    assert meeting(it, inf).warping == inf
    assert meeting(it.changed(depth=144.0)).warping == inf
    assert (meeting(joint()).warping, meeting(joint()).link) == (0.0, 0)


def test_twist_spring_of_a_wide_crossmember():
    """The couple enters over its width, so that the web where the rail's node is turns less than at one place: the
    wider, the stiffer by more than its area."""
    slim, wide = twisting(joint()), twisting(joint(width=90.0))
    assert wide > 1.5 * 1.2 * slim
    assert twisting(joint(crossmember="channel rearward")) == inf


def test_twist_between_both_webs():
    """Each web a spring c G t (depth width), one in series with the crossmember's own twist G J/b between them: driven
    by the webs' turns ry + f y at y = -b/2 and b/2 the end turns where the energy is least.  J after Bredt,
    4 A^2/(sum of l/t).  Exact to rounding."""
    shear, apart = 205e3 / 2.6, 71.0
    J = 4 * (77.0 * 57.0) ** 2 / (2 * (77.0 + 57.0) / 3.0)
    near, far = (shear * web * 80.0 * 60.0 / THROUGH_TWIST for web in (3.0, 5.0))
    far = 1 / (1 / far + apart / (shear * J))
    turn = (near * -apart / 2 + far * apart / 2) / (near + far)  # of the end, for f = 1
    energy = near * (turn + apart / 2) ** 2 + far * (turn - apart / 2) ** 2
    spring, held = twisting_through(joint(through=True, kind="through", far=5.0))
    assert (spring, held) == (pytest.approx(near + far, rel=1e-9), pytest.approx(energy, rel=1e-9))
    assert meeting(joint(through=True, kind="through", far=5.0)).held == pytest.approx(energy, rel=1e-9)
