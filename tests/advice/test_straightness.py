"""Is it straight: the adjustment and the modes against closed forms, general libraries and known deformations."""

from __future__ import annotations

from dataclasses import replace
from math import cos, degrees, hypot, radians, sin, sqrt
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.advice.adjustment import CRITICAL, adjusted, misfits
from ladderfe.advice.alignment_modes import MODES, alignment_modes, moved
from ladderfe.advice.observations import fitted_plane, observed
from ladderfe.advice.point_moves import point_moves
from ladderfe.advice.straightness import Errors, straightness, what_moved
from ladderfe.advice.tolerances import TOLERANCES, chosen
from ladderfe.advice.what_to_measure import pairs_of, to_measure
from ladderfe.chassis import read_chassis
from ladderfe.condition.alignment_types import Alignment, AlignmentReading, RailPoint
from ladderfe.condition.rail_points import place_of

MODELS = Path(__file__).resolve().parents[2] / "models"
DEMO = read_chassis(MODELS / "short-4x4.toml")
PLAIN = read_chassis(MODELS / "test-frame.toml")
#: mm; of twist mm a metre outboard.
KNOWN = np.array([6.0, 9.0, -4.0, 5.0, -7.0, 2.0, 3.0])
TOLERANCE = TOLERANCES["body-over-frame"]


def with_modes(chassis, sizes):
    """The points to measure and where they lie after a deformation by the modes."""
    points = sorted({p for r in to_measure(chassis) for p in (r.first, r.second) if p})
    as_read = [AlignmentReading(kind="height", first=p, value=0.0) for p in points]
    o = observed(chassis, as_read, 1, 1)
    return o.points, o.built + np.einsum("m,mni->ni", np.asarray(sizes, float), moved(chassis, o.built, o.outward))


def measured(chassis, points, places, noise=0.0, seed=0, offsets=False):
    """All rows of the table to fill in, as a tape and a level would read them at these places."""
    at, rng, out = dict(zip(points, places, strict=True)), np.random.default_rng(seed), []
    for r in to_measure(chassis):
        a = at[r.first]
        value = float(np.linalg.norm(at[r.second] - a)) if r.second else 520.0 + a[2]
        value += noise * rng.standard_normal()
        out.append(AlignmentReading(kind=r.kind, first=r.first, second=r.second, value=value, line=len(out) + 2))
    if offsets:
        out += [AlignmentReading(kind="offset", first=p, value=abs(at[p][1])) for p in points]
    return out


def modes_of(chassis, readings):
    return alignment_modes(chassis, observed(chassis, readings, 1.0, 1.0))


def sizes(modes):
    """In the units of KNOWN."""
    return np.array([radians(m.size) * 1000 if m.name == "twist" else m.size for m in modes.modes])


def turned(places, roll, pitch, yaw, shift):
    """Rigid motion: rotation about x, then y, then z, and a shift."""
    cr, sr, cp, sp, cy, sy = cos(roll), sin(roll), cos(pitch), sin(pitch), cos(yaw), sin(yaw)
    about_x = np.array([[1, 0, 0], [0, cr, -sr], [0, sr, cr]])
    about_y = np.array([[cp, 0, sp], [0, 1, 0], [-sp, 0, cp]])
    about_z = np.array([[cy, -sy, 0], [sy, cy, 0], [0, 0, 1]])
    return places @ (about_z @ about_y @ about_x).T + shift


@pytest.mark.parametrize("offsets", [False, True])
@pytest.mark.parametrize("chassis", [DEMO, PLAIN], ids=["demo", "plain"])
def test_modes_are_recovered_without_noise(chassis, offsets):
    """The deformation that was put in; rounding of 4 m in double precision is 1e-12 mm."""
    found = modes_of(chassis, measured(chassis, *with_modes(chassis, KNOWN), offsets=offsets))
    assert sizes(found) == pytest.approx(KNOWN, abs=1e-9)
    assert found["twist"].size == pytest.approx(degrees(9.0 / 1000), abs=1e-10)


@pytest.mark.parametrize("name", MODES)
def test_one_mode_alone_leaves_the_others_zero(name):
    wanted = np.where(np.array(MODES) == name, 5.0, 0.0)
    found = modes_of(DEMO, measured(DEMO, *with_modes(DEMO, wanted)))
    assert sizes(found) == pytest.approx(wanted, abs=1e-9)
    assert [m.name for m in found.modes if m.size > 1e-3] == [name]


@pytest.mark.parametrize("seed", range(5))
def test_modes_are_recovered_through_noise(seed):
    """Within four standard deviations (chance exceeds them once in 16 000), with noise of the standard deviation that
    is stated."""
    found = modes_of(DEMO, measured(DEMO, *with_modes(DEMO, KNOWN), noise=1.0, seed=seed))
    sigma = np.array([radians(m.sigma) * 1000 if m.name == "twist" else m.sigma for m in found.modes])
    assert np.all(np.abs(sizes(found) - KNOWN) < 4 * sigma)
    assert 0.6 < found.scatter < 1.4  # chi-square with 42 degrees of freedom: 0.6 and 1.4 are 3.5 deviations off


def test_standard_deviations_are_those_of_many_rounds():
    """Against 300 rounds with seeded noise: a standard deviation of 300 has one of 4 % itself, so 16 % is four."""
    points, places = with_modes(DEMO, KNOWN)
    rounds = [modes_of(DEMO, measured(DEMO, points, places, noise=0.5, seed=k)) for k in range(300)]
    spread = np.std([[m.size for m in r.modes] for r in rounds], axis=0, ddof=1)
    stated = [m.sigma / 2 for m in modes_of(DEMO, measured(DEMO, points, places)).modes]  # stated for 1 mm
    assert spread == pytest.approx(stated, rel=0.16)


@settings(max_examples=25, deadline=None)
@given(*(st.floats(-0.03, 0.03) for _ in range(2)), st.floats(-3, 3), st.floats(-500, 500))
def test_the_floor_changes_nothing(roll, pitch, yaw, shift):
    """Rigid motion, floors out of level by up to 5 cm a metre: readings are of the same frame."""
    points, places = with_modes(DEMO, KNOWN)
    found = modes_of(DEMO, measured(DEMO, points, turned(places, roll, pitch, yaw, [shift, -shift, shift])))
    assert sizes(found) == pytest.approx(KNOWN, abs=1e-7)


def test_a_mirrored_frame_has_mirrored_modes():
    """Left for right: bow, twist and diamond change their sign, sides change places, sag and spread stay."""
    points, places = with_modes(DEMO, KNOWN)
    at = dict(zip(points, places, strict=True))
    other = {"left": "right", "right": "left"}
    there = [at[replace(p, side=other[p.side])] * [1, -1, 1] for p in points]
    found = sizes(modes_of(DEMO, measured(DEMO, points, np.array(there))))
    assert found == pytest.approx([6, -9, 4, -5, 2, -7, 3], abs=1e-9)


@pytest.mark.parametrize("d", [1.0, 10.0, 60.0])
def test_diagonals_of_a_skewed_rectangle(d):
    """One rail ahead by d: diagonals sqrt((L +- d)^2 + w^2) by Pythagoras; for small d they differ by 2 d L over the
    diagonal."""
    length, width = 3000.0, 800.0
    wide = [replace(p, half_spacing=width / 2, height=0.0) for p in PLAIN.rails[0].path]
    ends = replace(wide[0], station=0.0), replace(wide[0], station=length)
    rails = tuple(
        replace(r, path=ends, spans=(replace(r.spans[0], start=0.0, end=length, shape_end=None),)) for r in PLAIN.rails
    )
    frame = replace(PLAIN, rails=rails, crossmembers=())
    lf, rf, lr, rr = (RailPoint(s, x) for x in (0.0, length) for s in ("left", "right"))
    one, other = hypot(length + d, width), hypot(length - d, width)
    pairs = [(lf, rr, one), (rf, lr, other), (lf, lr, length), (rf, rr, length), (lf, rf, hypot(d, width)),
             (lr, rr, hypot(d, width))]  # fmt: skip
    rows = tuple(AlignmentReading(kind="distance", first=a, second=b, value=v) for a, b, v in pairs)
    found = straightness(frame, Alignment(source="", readings=rows), TOLERANCE, Errors())
    assert found.diagonals[0].difference == pytest.approx(one - other, abs=1e-9)
    assert one - other == pytest.approx(2 * d * length / hypot(length, width), rel=d**2 / length**2)
    assert found.modes["diamond"].size == pytest.approx(d, abs=1e-8)
    assert found.diagonals[0].exceeded == (one - other > 6)
    back = straightness(frame, Alignment(source="", readings=tuple(
        replace(r, first=r.second, second=r.first) for r in rows)), TOLERANCE, Errors())  # fmt: skip
    assert back.diagonals[0].difference == pytest.approx(one - other, abs=1e-9)  # from the other end of the tape


def test_twist_of_four_heights():
    """Turn between two stations: ((right rear - left rear) - (right front - left front)) / track of the points."""
    frame = DEMO
    front, rear = sorted(a.station for a in frame.axles)
    points = [RailPoint(s, x) for x in (front, rear) for s in ("left", "right")]
    at = observed(frame, [AlignmentReading(kind="height", first=p, value=0.0) for p in points], 1, 1)
    up = dict(zip(at.points, at.built[:, 2], strict=True))
    wide = {p: abs(y) for p, y in zip(at.points, at.built[:, 1], strict=True)}
    off = {points[0]: 3.0, points[1]: -1.0, points[2]: -2.0, points[3]: 4.0}
    rows = [AlignmentReading(kind="height", first=p, value=500 + up[p] + off[p]) for p in points]
    turn = (off[points[3]] - off[points[2]]) / (2 * wide[points[3]])
    turn -= (off[points[1]] - off[points[0]]) / (2 * wide[points[1]])
    found = modes_of(frame, rows)
    assert radians(found["twist"].size) == pytest.approx(turn, rel=1e-4)  # the floor's tilt enters squared
    assert not found["sag"].known
    assert not found["diamond"].known
    assert np.isnan(found["bow"].size)


def test_sag_and_bow_are_of_the_middle_against_the_ends():
    """By hand: rails of 3900 mm whose middle hangs 8 mm below the line of their ends and lies 5 mm left of it."""
    readings = []
    for x, share in ((0.0, 0.0), (975.0, 0.75), (1950.0, 1.0), (3900.0, 0.0)):
        for side in ("left", "right"):
            p = RailPoint(side, x)
            _, y, z = place_of(DEMO, p)
            readings.append(AlignmentReading(kind="height", first=p, value=300 + z - 8 * share))
            readings.append(AlignmentReading(kind="offset", first=p, value=abs(y - 5 * share)))
    found = modes_of(DEMO, readings)
    assert (found["sag"].size, found["bow"].size) == pytest.approx((8.0, -5.0), abs=1e-9)


def test_heights_on_the_best_plane_against_lstsq():
    """numpy.linalg.lstsq of a level floor, where normals are upright to first order."""
    rng = np.random.default_rng(4)
    at = np.column_stack([rng.uniform(0, 4000, 12), rng.uniform(-400, 400, 12), np.zeros(12)])
    heights = 500 + 0.003 * at[:, 0] - 0.002 * at[:, 1] + rng.normal(0, 2, 12)
    plan = np.column_stack([np.ones(12), at[:, :2]])
    assert fitted_plane(at, heights) == pytest.approx(plan @ np.linalg.lstsq(plan, heights, rcond=None)[0], abs=1e-8)
    assert fitted_plane(at[:3], heights[:3]) is None
    assert fitted_plane(at * [1, 0, 1], heights) is None


def test_the_network_against_scipy():
    """scipy.optimize.least_squares on the same readings, with the movements in plan that nothing fixes held by hand:
    the same residuals."""
    from scipy.optimize import least_squares

    points, places = with_modes(DEMO, KNOWN)
    o = observed(DEMO, measured(DEMO, points, places, noise=1.0, seed=3), 1.0, 1.0)
    a = adjusted(o)

    def miss(u):
        p = u.reshape(-1, 3)
        long = np.linalg.norm(p[o.second[o.distances]] - p[o.first[o.distances]], axis=1)
        held = [p[0, 0] - o.built[0, 0], p[0, 1] - o.built[0, 1], p[-1, 1] - o.built[-1, 1]]
        return np.concatenate([long - o.value[o.distances], p[o.first[o.heights], 2] - o.value[o.heights], held])

    start = o.built + np.array([0, 0, 520])
    other = least_squares(miss, start.ravel(), xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert other.fun[-3:] == pytest.approx(np.zeros(3), abs=1e-5)  # slopes by differences
    assert a.residual == pytest.approx(other.fun[:-3], abs=1e-5)
    assert a.spare == len(o.value) - (3 * len(points) - 3)
    assert a.redundancy.sum() == pytest.approx(a.spare, abs=1e-8)  # sum of redundancy numbers, a rule of the method
    assert a.fixed.all()


def test_residuals_do_not_know_what_was_built():
    """A frame that is far from its file fits itself: a deformation is no misfit."""
    points, places = with_modes(DEMO, KNOWN * 3)
    places = places + np.random.default_rng(1).normal(0, 15, places.shape)
    o = observed(DEMO, measured(DEMO, points, places), 1.0, 1.0)
    a = adjusted(o)
    assert np.abs(a.residual).max() < 1e-8
    assert misfits(a, o) == ()
    assert alignment_modes(DEMO, o).scatter > 3


@pytest.mark.parametrize("off", [10.0, -10.0])
@pytest.mark.parametrize("row", [3, 8, 10, 20, 30, 33, 36])
def test_a_slip_of_10_mm_is_named(row, off):
    readings = measured(DEMO, *with_modes(DEMO, KNOWN), noise=0.5, seed=row)
    readings[row] = replace(readings[row], value=readings[row].value + off)
    o = observed(DEMO, readings, 1.0, 1.0)
    (found,) = misfits(adjusted(o), o)
    assert found.reading == row
    assert found.off == pytest.approx(off, abs=3.0)  # noise of 0.5 mm over the root of a redundancy of a quarter: 3 x
    assert abs(found.normalised) > CRITICAL
    assert found.instead == ()


@pytest.mark.parametrize("seed", [2, 3, 4, 5])
@pytest.mark.parametrize("chassis", [DEMO, PLAIN], ids=["kicked up", "flat"])
def test_points_lie_where_they_were_put(chassis, seed):
    """scipy's Rotation.align_vectors lays the true places on those as built; dents of 10 mm that no mode knows."""
    from scipy.spatial.transform import Rotation

    points, places = with_modes(chassis, KNOWN)
    places = places + np.random.default_rng(seed).normal(0, 10, places.shape)
    built = with_modes(chassis, KNOWN * 0)[1]
    d, b = places - places.mean(axis=0), built - built.mean(axis=0)
    wanted = Rotation.align_vectors(b, d)[0].apply(d) - b
    floor = turned(places, 0.005, -0.004, 0.3, [0, 9, -5])
    read = Alignment(source="", readings=tuple(measured(chassis, points, floor)))
    found = straightness(chassis, read, TOLERANCE, Errors())
    assert [p.point for p in found.points] == list(points)
    assert np.array([p.move for p in found.points]) == pytest.approx(wanted, abs=1e-6)


def test_a_mirrored_frame_is_not_laid_on_itself():
    """A rotation cannot turn left into right: the rails end up apart as far as they are, one for the other."""
    points, places = with_modes(DEMO, KNOWN * 0)
    o = observed(DEMO, measured(DEMO, points, places), 1.0, 1.0)
    mirrored = replace(adjusted(o), places=o.built * [1, -1, 1])
    assert np.abs([p.move for p in point_moves(mirrored, o)]).max() > 100


def test_deviations_of_points_are_those_of_many_rounds():
    """Against 200 rounds: a standard deviation of 200 has one of 5 % itself, the greatest of 3 x 14 is within 20 %."""
    points, places = with_modes(DEMO, KNOWN)

    def found(noise, seed):
        o = observed(DEMO, measured(DEMO, points, places, noise=noise, seed=seed), 1.0, 1.0)
        return point_moves(adjusted(o), o)

    rounds = np.array([[p.move for p in found(1.0, k)] for k in range(200)])
    assert rounds.std(axis=0, ddof=1).max(axis=1) == pytest.approx([p.sigma for p in found(0, 0)], rel=0.2)


def test_points_without_a_height_or_not_fixed_say_so():
    readings = measured(DEMO, *with_modes(DEMO, KNOWN))
    some = [r for r in readings if r.kind == "distance" or r.first.station in (0, 3900)]
    found = straightness(DEMO, Alignment(source="", readings=tuple(some)), TOLERANCE, Errors()).points
    assert {p.point.station for p in found if not np.isnan(p.move[2])} == {0, 3900}
    loose = [r for r in some if RailPoint("left", 1520) not in (r.first, r.second)]
    loose.append(
        AlignmentReading(kind="distance", first=RailPoint("left", 0), second=RailPoint("left", 1520), value=1523.0)
    )
    found = straightness(DEMO, Alignment(source="", readings=tuple(loose)), TOLERANCE, Errors())
    assert len(found.points) == 13
    assert RailPoint("left", 1520) not in {p.point for p in found.points}
    few = [r for r in readings if r.first.side == "left" and (r.second is None or r.second.side == "left")]
    assert straightness(DEMO, Alignment(source="", readings=tuple(few)), TOLERANCE, Errors()).points == ()


def test_slips_are_named_one_by_one_and_left_out_of_the_modes():
    """Without noise: what was put in comes out to rounding, whatever the tape did twice.  The first estimate of a slip
    is linear and bears the other slip still: within half a millimetre."""
    readings = measured(DEMO, *with_modes(DEMO, KNOWN))
    for row, off in ((10, 12.0), (33, -25.0)):
        readings[row] = replace(readings[row], value=readings[row].value + off)
    found = straightness(DEMO, Alignment(source="", readings=tuple(readings)), TOLERANCE, Errors())
    assert {m.reading: m.off for m in found.misfits} == pytest.approx({10: 12.0, 33: -25.0}, abs=0.5)
    assert sizes(found.modes) == pytest.approx(KNOWN, abs=1e-9)
    assert found.modes.left[[10, 33]] == pytest.approx([12, -25], abs=1e-8)
    assert found.modes.scatter < 1e-6


def test_one_bay_cannot_tell_which_reading_is_wrong():
    """Six distances between four points have one spare: all normalised residuals are alike."""
    a, b = pairs_of(DEMO)[1:3]
    ends = {(p.side, p.station) for p in (a.left, a.right, b.left, b.right)}
    inside = [
        r for r in measured(DEMO, *with_modes(DEMO, KNOWN * 0))
        if {(p.side, p.station) for p in (r.first, r.second) if p} <= ends
    ]  # fmt: skip
    bay = [replace(r, value=r.value + 10 * (k == 2)) for k, r in enumerate(inside)]
    o = observed(DEMO, bay, 1.0, 1.0)
    found = adjusted(o)
    assert found.spare == 1
    (misfit,) = misfits(found, o)
    assert 2 in (misfit.reading, *misfit.instead)
    assert len(misfit.instead) >= 4


def test_repeated_readings_bear_each_other_out():
    readings = [r for r in measured(DEMO, *with_modes(DEMO, KNOWN)) if r.kind == "height"]
    o = observed(DEMO, [*readings, *(replace(r, value=r.value + 8 * (k == 4)) for k, r in enumerate(readings))], 1, 1)
    (misfit,) = misfits(adjusted(o), o)
    assert {misfit.reading, *misfit.instead} == {4, 4 + len(readings)}
    assert abs(misfit.normalised) == pytest.approx(8 / sqrt(2), abs=1e-9)


def test_what_moved_between_two_rounds():
    """Each round stands on a floor of its own; the difference is what was put in."""
    points, first = with_modes(DEMO, [4, 6, 0, 8, 0, 0, 0])
    _, second = with_modes(DEMO, [4, 1, -5, 8, 0, -3, 0])
    rounds = [
        straightness(DEMO, Alignment(source=name, readings=tuple(measured(DEMO, points, places))), TOLERANCE, Errors())
        for name, places in (("before.csv", first), ("after.csv", turned(second, 0.004, -0.003, 0, [0, 0, 40])))
    ]
    found = what_moved(DEMO, *rounds)
    change = [radians(m.size) * 1000 if m.name == "twist" else m.size for m in found.modes]
    assert change == pytest.approx([0, -5, -5, 0, 0, -3, 0], abs=1e-6)
    assert found.alone == 0
    both = np.hypot([m.sigma for m in rounds[0].modes.modes], [m.sigma for m in rounds[1].modes.modes])
    assert [m.sigma for m in found.modes] == pytest.approx(both)
    heights = [r for r in found.readings if r.before.kind == "height"]
    assert {r.sigma for r in heights} == {sqrt(2)}
    plan = np.array([[1, p.station, -400 if p.side == "left" else 400] for p in (r.after.first for r in heights)])
    assert np.array([r.change for r in heights]) @ plan[:, :2] == pytest.approx([0, 0], abs=0.1)


def test_the_floor_alone_moves_no_height():
    points, places = with_modes(DEMO, KNOWN)
    rounds = [
        straightness(DEMO, Alignment(source="", readings=tuple(measured(DEMO, points, p))), TOLERANCE, Errors())
        for p in (places, turned(places, 0.004, 0.002, 0, [0, 0, 9]))
    ]
    assert (
        np.abs([r.change for r in what_moved(DEMO, *rounds).readings]).max() < 0.03
    )  # damage of 6 mm x a tilt of 0.0045


def test_readings_of_a_straight_frame_have_no_difference():
    readings = measured(DEMO, *with_modes(DEMO, KNOWN * 0), offsets=True)
    found = straightness(DEMO, Alignment(source="", readings=tuple(readings)), TOLERANCE, Errors())
    assert np.abs([c.difference for c in found.compared]).max() < 1e-9
    assert not found.exceeded
    assert not any(m.seen for m in found.modes.modes)


def test_pairs_lie_where_the_file_has_something():
    at = {(p.left.station, p.what, p.rank) for p in pairs_of(DEMO)}
    assert (0, "front end", 0) in at
    assert (3900, "rear end", 0) in at
    assert (1520, 'crossmember "gearbox"', 2) in at
    assert {250, 1110, 2520, 3580} <= {x for x, _, rank in at if rank == 1}
    assert np.diff(sorted(x for x, _, _ in at)).min() >= 120


def test_expected_distances_are_straight_lines_in_space():
    """By Pythagoras with the path of the chassis file: half spacing 400 both; heights 63.75 (2520: from 0 at 2350 to
    150 at 2750) and 150 less 40 x 230 / 550 (3580)."""
    row = next(
        r for r in to_measure(DEMO) if r.first.name == "left 2520" and r.second and r.second.name == "right 3580"
    )
    rise = 150 - 40 * 230 / 550 - 63.75
    assert row.expected == pytest.approx(sqrt(1060**2 + 800**2 + rise**2), abs=1e-9)


def test_points_on_faces_lie_half_a_depth_or_width_off():
    rows = {face: to_measure(DEMO, face) for face in ("", "bottom", "outer")}
    at = {face: next(r.expected for r in own if r.kind == "height" and r.first.station == 1520)
          for face, own in rows.items()}  # fmt: skip
    assert at["bottom"] == pytest.approx(at[""] - 70)
    across = {f: next(r.expected for r in own if r.first.station == 1520) for f, own in rows.items()}
    assert across["outer"] == pytest.approx(across[""] + 70)


def test_own_figures_say_so():
    own = chosen("utility-truck", 2.0, None)
    assert (own.points, own.points_source) == (2.0, "as chosen (--points)")
    assert (own.diagonals, "TM 9-2320-289-34" in own.diagonals_source) == (5.0, True)
