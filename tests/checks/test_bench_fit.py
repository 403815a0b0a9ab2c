"""A twist test on the bare frame, simulated, and the factor on the joints that it gives."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from ladderfe.chassis import BenchPoint, BenchTest, Joint
from ladderfe.checks.bench import fit_joints, scaled_joints, simulate
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.errors import ModelError
from ladderfe.mesh import build_mesh, joined
from ladderfe.solve import frame_of
from ladderfe.solve.frame import WARPING

EXACT = 1e-9
FORCE = 1200.0  # N


def butted(made, **more):
    """The plain ladder with estimated joints, the springs' places at the rails' middles."""
    rungs = tuple(replace(c, joint_left=Joint(), joint_right=Joint()) for c in made.LADDER)
    return made.chassis(**({"crossmembers": rungs} | more))


def bench(made, readings=(0.0,), gauges=None, force=FORCE, held=None):
    """Held at the rear axle and at the front left, pushed up at the front right; gauge at the push unless told."""
    held = held or (("left", made.REAR), ("right", made.REAR), ("left", made.FRONT))
    gauges = gauges or (("right", made.FRONT),)
    return BenchTest(
        name="lever",
        held=tuple(BenchPoint(side, x) for side, x in held),
        loads=(BenchPoint("right", made.FRONT, force),),
        gauges=tuple(BenchPoint(side, x, r) for (side, x), r in zip(gauges, readings, strict=True)),
    )


@pytest.mark.parametrize("level", [-1.0, 0.0, inf])
def test_three_points_held_give_the_torsional_stiffness(made, level):
    """Held at three of the four places, F up at the fourth makes F down at its neighbour and a couple F b at both ends:
    lift w, angle w/b, K = F b^2/w.  The rear being held level, that is the definition of torsional stiffness."""
    c = joined(butted(made), level)
    (lift,) = simulate(c, bench(made))
    assert FORCE * (2 * made.HALF) ** 2 / lift == pytest.approx(twist_frame(c).stiffness, rel=EXACT)


def test_movements_are_in_proportion_and_against_what_is_held(made):
    test = bench(made, (0.0,) * 4, (("right", 700), ("left", 700), ("right", 3300), ("left", 2000)))
    twice = replace(test, loads=bench(made, force=2 * FORCE).loads)
    one, two = simulate(butted(made), test), simulate(butted(made), twice)
    assert two == pytest.approx(2 * one, rel=EXACT, abs=1e-12)
    assert one[1:3] == pytest.approx([0, 0], abs=1e-9)
    assert one[0] > 0


@pytest.mark.parametrize("factor", [0.3, 0.9, 2.5])
def test_a_factor_put_in_comes_out(made, factor):
    """Readings made with joints times `factor`: found again to 1e-4, and nothing is left over."""
    gauges = (("right", 700), ("right", 1500), ("left", 2000), ("right", 100))
    readings = simulate(butted(made), bench(made, (0.0,) * 4, gauges), factor)
    fit = fit_joints(butted(made), bench(made, readings, gauges))
    assert fit.factor == pytest.approx(factor, rel=1e-4)
    assert fit.left_over == pytest.approx(0, abs=1e-4 * np.abs(readings).max())
    assert not fit.bounded
    assert not fit.flat
    assert fit.fitted == pytest.approx(fit.read, abs=1e-4 * np.abs(readings).max())
    assert abs(fit.rigid[0]) < abs(fit.estimated[0])


def test_the_fit_is_the_least_sum_of_squares(made):
    """Readings that no factor gives: a little more and a little less of it are both worse."""
    gauges = (("right", 700), ("right", 1500))
    own = simulate(butted(made), bench(made, (0.0, 0.0), gauges))
    test = bench(made, tuple(own * [1.1, 0.9]), gauges)
    fit = fit_joints(butted(made), test)

    def misfit(factor):
        return float(np.sum((simulate(butted(made), test, factor) - fit.read) ** 2))

    assert misfit(fit.factor) < min(misfit(fit.factor * 1.01), misfit(fit.factor / 1.01))
    assert fit.left_over == pytest.approx(np.sqrt(misfit(fit.factor) / 2), rel=1e-6)


@pytest.mark.parametrize("rail", ["box", "channel", "tube"])
def test_a_factor_of_one_is_the_estimate(made, rail):
    """On rails that rack, that warp and that are plain: the movement is that of the torsional stiffness with the joints
    as estimated, whatever way they act in, and stiffer joints give less."""
    shape = {"box": made.RAIL, "channel": made.channel(150, 65, 4, "-y"), "tube": made.Tube(diameter=120, wall=3)}[rail]
    c = butted(made, rails=made.rails(shape))
    moved = [float(simulate(c, bench(made), factor)[0]) for factor in (0.1, 1.0, 10.0)]
    fit = fit_joints(c, bench(made, (moved[1],)))
    if rail != "channel":  # weights beside the shear centres twist open rails besides
        assert FORCE * (2 * made.HALF) ** 2 / moved[1] == pytest.approx(twist_frame(c).stiffness, rel=EXACT)
    assert fit.factor == pytest.approx(1.0, rel=1e-4)
    assert fit.flat == (rail == "tube")  # nothing is estimated for rails that are neither boxes nor channels
    assert moved == (pytest.approx([moved[0]] * 3, rel=EXACT) if fit.flat else sorted(set(moved), reverse=True))


def test_given_joints_are_not_scaled(made):
    """Some given, some estimated: only the latter follow the factor, in all by which the walls hold them."""
    given = made.sprung(rx=5e7)
    c = butted(made)
    c = replace(c, crossmembers=(replace(c.crossmembers[0], joint_left=given, joint_right=given), *c.crossmembers[1:]))
    mesh = build_mesh(c)
    for one, other in zip(mesh.joints, scaled_joints(mesh, 2.0).joints, strict=True):
        if one.given:
            assert other is one
        else:
            assert other.stiffness == pytest.approx([2 * k for k in one.stiffness], rel=EXACT)
            assert other.meeting.stiffness == pytest.approx(2 * one.meeting.stiffness, rel=EXACT)
            assert other.meeting.directions == one.meeting.directions
    assert [j.given for j in mesh.joints] == [True, True] + [False] * 4


@pytest.mark.parametrize("model", ["walls", "springs"])
def test_the_warping_of_open_crossmembers_is_scaled_too(made, model):
    """In both models of joints: as freedoms of the frame, which the solver works with."""
    open_rung = {"shape": made.channel(80, 40, 3, "-y"), "joint_left": Joint(), "joint_right": Joint()}
    rungs = tuple(made.cross(c.name, c.station_left, **open_rung) for c in made.LADDER)
    mesh = build_mesh(made.chassis(crossmembers=rungs, joint_model=model))

    def warping(m):
        return [s.stiffness for s in frame_of(m).soft if s.direction == WARPING]

    assert len(warping(mesh)) == 6
    assert min(warping(mesh)) > 0
    assert warping(scaled_joints(mesh, 3.0)) == pytest.approx([3 * k for k in warping(mesh)], rel=EXACT)


def test_where_all_joints_are_given_there_is_nothing_to_fit(made):
    """Rigid joints on rails that stay plain: nothing follows the factor, and rigid joints are what is there already."""
    tubes = made.rails(made.Tube(diameter=120, wall=3))
    fit = fit_joints(made.chassis(rails=tubes), bench(made, (3.0,)))
    assert fit.flat
    assert fit.factor == 1.0
    assert fit.fitted == pytest.approx(fit.rigid, rel=EXACT)


def test_given_joints_on_boxes_leave_the_racking(made):
    """There is nothing to fit either, but what is shown beside it as rigid does not rack and moves less."""
    fit = fit_joints(made.chassis(), bench(made, (3.0,)))
    assert fit.flat
    assert fit.fitted == pytest.approx(fit.estimated, rel=EXACT)
    assert 0 < fit.rigid[0] < 0.9 * fit.fitted[0]


def test_readings_that_joints_cannot_explain(made):
    """Softer than with joints a hundred times softer: the factor sits at its end, and it is said."""
    fit = fit_joints(butted(made), bench(made, (1e4,)))
    assert fit.bounded
    assert fit.factor == pytest.approx(0.01, rel=1e-2)


def test_a_chassis_that_asks_for_rigid_joints_is_fitted_from_the_middle(made):
    (reading,) = simulate(butted(made), bench(made), 0.7)
    fit = fit_joints(butted(made, joint_level=inf), bench(made, (reading,)))
    assert fit.factor == pytest.approx(0.7, rel=1e-4)


@pytest.mark.parametrize(
    "held",
    [(("left", 700), ("left", 2000), ("left", 3300)), (("left", 700), ("left", 700), ("right", 3300)),
     (("left", 700), ("right", 3300))],
    ids=["in line", "twice the same", "two"],
)  # fmt: skip
def test_points_that_do_not_hold_the_frame(made, held):
    with pytest.raises(ModelError, match="bench test lever: is not held at three points that form a triangle"):
        simulate(butted(made), bench(made, held=held))


def test_the_fitted_stiffness_counts_from_where_the_factor_does(made):
    """A chassis that asks for rigid joints: its fitted torsional stiffness is that of the factor on those in the
    middle, whose bench test F b^2/w tells it too."""
    from ladderfe.checks.twist import check_twist

    (reading,) = simulate(butted(made), bench(made), 0.7)
    t = check_twist(butted(made, joint_level=inf, bench_tests=(bench(made, (reading,)),)))
    assert t.fitted == pytest.approx((FORCE * (2 * made.HALF) ** 2 / reading,), rel=1e-4)


def test_the_demos_lever_test(demo_twist):
    """An invented reading: softer joints than the estimate's middle by a tenth, left over by the dial's division."""
    (fit,) = demo_twist.bench
    assert 0.8 < fit.factor < 1.0
    assert fit.left_over < 0.05
    (fitted,) = demo_twist.fitted
    assert demo_twist.twisted["low"].stiffness < fitted < demo_twist.stiffness
