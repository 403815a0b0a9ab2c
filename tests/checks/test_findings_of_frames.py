"""Findings of whole frames: stress from resultants, the greatest utilisations in order, turning points, limits."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from ladderfe.checks import along_part, check
from ladderfe.checks.along import crossings
from ladderfe.checks.by_wall import first_greatest
from ladderfe.checks.rows import look_at, turning_points
from ladderfe.checks.utilisation import CRITERIA
from ladderfe.solve import solve_chassis

KG = 9.80665
EXACT = 1e-9


def row_at(f, part, along, *, after=False):
    """Index of the row at a place of a part; of the two at a joint the one before or after it."""
    owner = f.solution.mesh.part(part)
    own = [k for k in np.nonzero(np.abs(f.rows.along - along) < 0.02)[0] if f.rows.member[k] in owner.members]
    return int(own[-1 if after else 0])


def point(f, row, label):
    return f.stresses.table.labels[int(f.stresses.section[row])].index(label)


def test_the_worked_example_comes_out_of_the_frame(plain_findings):
    """At 2 x static each rail carries what the paper's one rail does: 277.05 kgf m at 2077 mm are 76.0 N/mm2, 824.9 kgf
    ahead of the rear axle are 13.5 N/mm2 over webs of 600 mm2: 46 and 13.5 % of 165 and 100 N/mm2."""
    f = plain_findings
    c = f.solution.case("amplified")
    second = (75 * 150**3 - 71 * 146**3) / 12
    turning = f.rows.along[f.rows.turning & (np.abs(f.rows.along - 2077) < 5)]
    row = row_at(f, "left rail", float(turning[0]))
    stress = f.stresses.normal[row, point(f, row, "bottom, outer edge"), c]
    assert stress == pytest.approx(277.05 * KG * 1000 * 75 / second, rel=2e-5)  # the moment is printed to 5 digits
    assert stress == pytest.approx(76.0, rel=1e-3)
    assert stress / 165 == pytest.approx(0.46, abs=0.005)
    row = row_at(f, "left rail", 3318.0)
    walls = f.stresses.table.mean_walls[int(f.stresses.section[row])]
    mean = abs(f.stresses.mean[row, walls.index("outer"), c])
    assert mean == pytest.approx(824.9 * KG / 600, rel=1e-4)
    assert mean == pytest.approx(13.5, rel=2e-3)
    assert mean / 100 == pytest.approx(0.135, abs=0.001)


def test_von_mises_is_made_of_normal_and_shear(demo_findings):
    """And of the stress across walls that bend, +-s on their faces with 0.3 s along (see test_wall_bending.py)."""
    s = demo_findings.stresses
    faces = [(s.normal + w * 0.3 * s.across, w * s.across) for w in (1, -1)]
    worse = np.maximum(*(a**2 - a * b + b**2 for a, b in faces))
    assert s.von_mises == pytest.approx(np.sqrt(worse + 3 * s.shear**2), rel=EXACT)


def racking_inertia(depth, width, wall):
    """int (y z)^2 dA of a box of equal walls, its mid-lines b by h: b^2 h^2 t (b + h)/24, by hand."""
    b, h = width - wall, depth - wall
    return b**2 * h**2 * wall * (b + h) / 24


def test_stresses_belong_to_their_resultants(demo_findings):
    """At some hundred places of prismatic members: N/A + bending + warping at one corner: by the section's own numbers,
    B omega/Iw of open members; B y z/I of rails, which are boxes of equal walls."""
    from ladderfe.sections import properties

    f, largest = demo_findings, {"open": 0.0, "racking": 0.0}
    mesh = f.solution.mesh
    for row in [k for k in range(len(f.rows.member)) if not mesh.tapered[f.rows.member[k]]]:
        section, shape = (own[int(f.stresses.section[row])] for own in (mesh.sections, mesh.shapes))
        q = properties(section)
        n, _, _, _, my, mz, b, _, _ = f.rows.resultants[row, :, 2]
        y, z = q.points.y[0] - q.yc, q.points.z[0] - q.zc
        det = q.Iyy * q.Izz - q.Iyz**2
        by_hand = n / q.A + ((my * q.Izz + mz * q.Iyz) * z - (my * q.Iyz + mz * q.Iyy) * y) / det
        if q.Iw:
            warping = b * q.points.omega[0] / q.Iw
            largest["open"] = max(largest["open"], abs(warping))
        elif f.rows.member[row] in [*mesh.part("left rail").members, *mesh.part("right rail").members]:
            warping = b * q.points.y[0] * q.points.z[0] / racking_inertia(shape.depth, shape.width, shape.top)
            largest["racking"] = max(largest["racking"], abs(warping))
        else:
            assert b == 0
            warping = 0.0
        assert f.stresses.normal[row, 0, 2] == pytest.approx(by_hand + warping, rel=1e-9, abs=1e-9)
    assert min(largest.values()) > 1e-3, "warping and racking are there, N/mm2"


@pytest.mark.parametrize("level", [np.inf, 0.0], ids=["plain", "racking"])
def test_stress_in_a_taper_is_that_of_the_true_shape(made, level):
    """A rail that shrinks from 150 to 80 mm: at every node within, M/Z with the depth that it has there, and B y z/I
    where the rail racks, whichever step is looked at from; in the middle of steps too."""
    spans = (
        made.Span(start=0, end=1400, shape=made.RAIL),
        made.Span(start=1400, end=2800, shape=made.RAIL, shape_end=made.box(80, 75, 2)),
        made.Span(start=2800, end=4000, shape=made.box(80, 75, 2)),
    )
    f = check(made.chassis(rails=made.rails(spans=spans), joint_level=level))
    c = f.solution.case("static")
    seen = racked = 0
    for row in np.nonzero(f.solution.mesh.tapered[f.rows.member])[0]:
        depth = 150 - 70 * (f.rows.along[row] - 1400) / 1400
        second = (75 * depth**3 - 71 * (depth - 4) ** 3) / 12
        _, _, _, _, my, mz, bimoment, _, _ = f.rows.resultants[row, :, c]
        wide = (depth * 75**3 - (depth - 4) * 71**3) / 12
        p = point(f, row, "bottom, outer edge")
        y = 37.5 if f.rows.member[row] >= f.solution.mesh.part("right rail").first else -37.5
        by_hand = -my * depth / 2 / second - mz * y / wide - bimoment * y * depth / 2 / racking_inertia(depth, 75, 2)
        found = f.stresses.normal[row, p, c]
        # a parabola through ends and middle of each of four steps or more: third order, below 1e-3 here
        assert found == pytest.approx(by_hand, rel=1e-3, abs=1e-3)
        seen += 1
        racked += abs(bimoment * y * depth / 2 / racking_inertia(depth, 75, 2)) > 0.01
    assert seen >= 24
    assert bool(racked) == (level == 0.0)


def test_every_case_part_wall_and_criterion_is_there_once_governing_first(demo_findings):
    f = demo_findings
    keys = [(u.case, u.part, u.wall, u.criterion) for u in f.utilisations]
    assert len(set(keys)) == len(keys)
    assert {u.criterion for u in f.utilisations} == set(CRITERIA)
    assert {u.part for u in f.utilisations} == {p.name for p in f.solution.mesh.parts}
    assert {u.case for u in f.utilisations} == {c.name for c in f.solution.cases[1:]}
    ratios = [u.ratio for u in f.utilisations]
    assert all(a >= b * (1 - 1e-8) for a, b in pairwise(ratios))


@pytest.mark.parametrize(
    ("criterion", "limit"), [("bending", "bending"), ("web shear", "shear"), ("von Mises", "von_mises")]
)
def test_the_greatest_of_each_criterion_is_the_greatest_there_is(demo_findings, criterion, limit):
    f = demo_findings
    table = {"bending": f.stresses.normal, "web shear": f.stresses.mean, "von Mises": f.stresses.von_mises}[criterion]
    top = next(u for u in f.utilisations if u.criterion == criterion)
    assert abs(top.stress) == pytest.approx(np.abs(table[:, :, 1:]).max(), rel=EXACT)
    assert top.limit == getattr(f.chassis.criteria, limit)
    assert top.ratio == pytest.approx(abs(top.stress) / top.limit, rel=EXACT)


def test_an_entry_tells_the_place_where_its_stress_is(demo_findings):
    """Read back from the arrays by part, place, point and case."""
    f = demo_findings
    for u in [u for u in f.utilisations if u.criterion == "von Mises"][::9]:
        rows = [
            k for k in np.nonzero(np.abs(f.rows.along - u.along) < 1e-6)[0]
            if f.rows.member[k] in f.solution.mesh.part(u.part).members
        ]  # fmt: skip
        c = f.solution.case(u.case)
        values = [f.stresses.von_mises[k, point(f, k, u.point), c] for k in rows if u.point in labels(f, k)]
        assert any(v == pytest.approx(u.stress, rel=EXACT) for v in values), u
        assert u.point.startswith(u.wall)


def labels(f, row):
    return f.stresses.table.labels[int(f.stresses.section[row])]


def test_the_governing_ten_name_every_wall_and_corner_once(demo_findings):
    """Once in every 500 mm of it: further off another case may govern it."""
    ten = demo_findings.governing()
    assert len(ten) == 10
    for wall in {(u.part, u.wall) for u in ten}:
        along = sorted(u.along for u in ten if (u.part, u.wall) == wall)
        assert all(b - a > 500 for a, b in pairwise(along))
    corners = [(u.part, round(u.along), u.criterion, frozenset(u.point.replace(" edge", "").split(", "))) for u in ten]
    assert len(set(corners)) == 10
    assert ten[0] == demo_findings.utilisations[0]


def test_what_is_only_rounding_does_not_govern(plain_findings):
    """Crossmembers of the symmetric weightless frame carry nothing; they are not in the table."""
    assert {u.part for u in plain_findings.governing(100)} == {"left rail", "right rail"}


def test_among_equals_the_first_is_taken():
    """The last bits differ from machine to machine; they must not choose."""
    assert first_greatest(np.array([1.0, 3.0, 3.0 * (1 + 1e-12), 2.0])) == 1
    assert first_greatest(np.array([1.0, 3.0, 3.0 * (1 + 1e-6)])) == 2
    assert first_greatest(np.zeros(3)) == 0


def test_alike_rails_are_told_left_first(plain_findings):
    top = plain_findings.utilisations[:2]
    assert [u.part for u in top] == ["left rail"] * 2
    assert top[0].point == "bottom, outer edge"


# --- turning points -----------------------------------------------------------------------------------------------


def linear(made):
    """A body load that varies linearly, on springs under straight rails; shear is a quadratic."""
    return made.chassis(
        material=made.WEIGHTLESS,
        axles=(made.axle("front", made.FRONT, 0.9), made.axle("rear", made.REAR, 1.1)),
        body=made.Body(start=0, end=made.LENGTH, split=2000, distribution="linear"),
        cases=(made.STATIC,),
    )


def test_a_turning_point_inside_a_member_is_found_exactly(made):
    """V(x) = F - q0 x - (q1 - q0) x^2/(2 L) = 0 between the axles, by the quadratic formula."""
    s = solve_chassis(linear(made))
    force, length = 750 * KG / 2, made.LENGTH
    # sum and moment of the line load of one rail: 0.75 and 0.95 t at 700 and 3300 mm
    size, first = 1.7 / 2, (0.75 * 700 + 0.95 * 3300) / 2
    q0, q1 = np.linalg.solve([[length / 2, length / 2], [length**2 / 6, length**2 / 3]], [size, first]) * 9806.65
    a, b, c = (q1 - q0) / (2 * length), q0, -force
    root = (-b + np.sqrt(b * b - 4 * a * c)) / (2 * a)
    rows = look_at(s)
    found = rows.along[rows.turning & (rows.member < s.mesh.part("left rail").last)]
    assert np.abs(found - root).min() < 0.01  # places are told to 0.01 mm
    along = along_part(s, "left rail")
    moment = force * (root - 700) - q0 * root**2 / 2 - (q1 - q0) * root**3 / (6 * length)
    assert along.moment(1).max() == pytest.approx(moment, rel=1e-8)
    assert along.station[np.argmax(along.moment(1))] == pytest.approx(root, abs=0.01)


def test_members_without_a_turn_have_no_extra_rows(made):
    """Weightless crossmembers of a symmetric frame, and overhangs where shear keeps its sign."""
    s = solve_chassis(linear(made))
    members, _ = turning_points(s)
    for m in members:
        a, b = s.mesh.along[m]
        assert a >= made.FRONT, "on the overhangs the shear keeps its sign"
        assert b <= made.REAR


def test_rows_are_in_order_with_ends_and_middles(demo_findings):
    rows, mesh = demo_findings.rows, demo_findings.solution.mesh
    for m in range(len(mesh.lengths)):
        x = rows.x[rows.member == m]
        assert (np.diff(x) > 0).all()
        assert {0.0, mesh.lengths[m] / 2, mesh.lengths[m]} <= set(x.tolist())


def test_no_stress_between_rows_is_greater_than_at_them(demo_findings):
    """Sampled at 41 places of every member: bending stress at the rows is not exceeded by more than 1e-3.  Normal force
    varies a little along slopes, so that turning points of the moments are not quite those of the stress."""
    f = demo_findings
    mesh = f.solution.mesh
    m = np.repeat(np.arange(len(mesh.lengths)), 41)
    x = np.tile(np.linspace(0, 1, 41), len(mesh.lengths)) * mesh.lengths[m]
    r = f.solution.resultants(m, x)
    stress = np.abs(f.stresses.table.normal[mesh.section_of[m]] @ r[:, :8])
    for part in mesh.parts:
        here = (m >= part.first) & (m < part.last)
        own = np.isin(f.rows.member, list(part.members))
        assert stress[here].max() <= np.abs(f.stresses.normal[own]).max() * (1 + 1e-3), part.name


@pytest.mark.parametrize(
    ("values", "found"),
    [
        ([1, 0.5, -0.5, -1], [1.5]),
        ([1, 0, -1], [1.0]),
        ([1, 0, 1], []),
        ([0, 1, 2], []),
        ([0, -1, 1, 0], [1.5]),
        ([1, 1e-9, -1], [1.0]),
        ([], []),
    ],
)
def test_crossings(values, found):
    """By straight lines; a touched zero and the ends are none."""
    assert crossings(np.arange(len(values), dtype=float), np.array(values, float)) == pytest.approx(found, abs=1e-6)


# --- limits -------------------------------------------------------------------------------------------------------


def test_lower_limits_raise_the_utilisation_in_proportion(made):
    c = made.chassis()
    half = replace(c, criteria=replace(c.criteria, von_mises=c.criteria.von_mises / 2))
    a, b = (next(u for u in check(k).utilisations if u.criterion == "von Mises") for k in (c, half))
    assert b.ratio == pytest.approx(2 * a.ratio, rel=EXACT)


def test_over_a_limit_is_told(made):
    c = made.chassis()
    f = check(replace(c, criteria=replace(c.criteria, bending=1.0)))
    assert f.exceeded
    assert f.proven
    assert not check(c).exceeded


@pytest.fixture(scope="module")
def twisted_channels(made):
    """Channel rails, a mass on a bracket beside the left one."""
    c = made.chassis(
        rails=made.rails(made.channel(120, 50, 4, "-y")),
        mounts=(made.mount("tray", "left rail", 1300, -600),),
        masses=(made.mass("box", 0.1, (1300, -600, 0), ("tray",)),),
    )
    return check(c)


def test_warping_of_open_rails_is_in_what_is_checked(twisted_channels):
    """What governs the loaded rail in bending is N/A + bending + B omega/Iw, and the last is no small part of it."""
    from ladderfe.sections import properties

    f = twisted_channels
    top = next(u for u in f.utilisations if (u.part, u.criterion) == ("left rail", "bending"))
    case, found = f.solution.case(top.case), []
    for row in {row_at(f, "left rail", top.along), row_at(f, "left rail", top.along, after=True)}:
        q, p = properties(f.solution.mesh.sections[int(f.stresses.section[row])]), point(f, row, top.point)
        n, _, _, _, my, mz, b, _, _ = f.rows.resultants[row, :, case]
        bent = n / q.A + my * (q.points.z[p] - q.zc) / q.Iyy - mz * (q.points.y[p] - q.yc) / q.Izz
        found.append((bent + b * q.points.omega[p] / q.Iw, bent))
    whole, bent = min(found, key=lambda pair: abs(pair[0] - top.stress))
    assert top.stress == pytest.approx(whole, rel=EXACT)
    assert abs(whole - bent) > 0.2 * abs(whole)


def test_torsion_of_open_rails_is_in_what_is_checked(twisted_channels):
    """St-Venant's torque, T less that of warping, puts (T - Tw) t/J of either sign on both faces of a wall (any text on
    strength of materials)."""
    from ladderfe.sections import properties

    f, most = twisted_channels, 0.0
    case = f.solution.case("static")
    own = np.isin(f.rows.member, list(f.solution.mesh.part("left rail").members))
    for row in np.nonzero(own)[0][::3].tolist():
        torque, warping = f.rows.resultants[row, [3, 7], case]
        faces = [k for k, label in enumerate(labels(f, row)) if label.startswith("web, middle")]
        assert len(faces) == 2
        rail = properties(f.solution.mesh.sections[int(f.stresses.section[row])])
        apart = np.ptp(f.stresses.shear[row, faces, case])
        assert apart == pytest.approx(2 * abs(torque - warping) * 4 / rail.J, rel=1e-9)
        most = max(most, apart)
    assert most > 1.0


# --- assumptions --------------------------------------------------------------------------------------------------


def test_assumptions_are_ranked_by_what_they_move(plain_findings):
    reach = [round(i.reach, 9) for i in plain_findings.influences]  # below that it is rounding
    assert reach == sorted(reach, reverse=True)
    assert [i.assumption.key for i in plain_findings.influences] != [a.key for a in plain_findings.chassis.assumptions]
    assert {i.assumption.key for i in plain_findings.influences} == {
        a.key for a in plain_findings.chassis.assumptions
    }  # fmt: skip
    assert all(i.used == pytest.approx(plain_findings.utilisations[0].ratio) for i in plain_findings.influences)


def test_moved_assumptions_are_what_a_full_check_of_them_says(plain_findings):
    """The shared factorisation of the ranking against a plain check of each moved chassis.  Trials are looked at in the
    sections of the chassis as it is, so that a moved turning point may be missed by some 1e-3 of the greatest."""
    from ladderfe.chassis import with_assumption

    for i in plain_findings.influences:
        for value, ratio in ((i.assumption.low, i.at_low), (i.assumption.high, i.at_high)):
            if value != i.assumption.used and i.assumption.key != "material.youngs_modulus":
                moved = with_assumption(plain_findings.chassis, i.assumption.key, value)
                expected = check(moved, assumptions=False).utilisations[0].ratio
                assert ratio == pytest.approx(expected, rel=3e-3), i.assumption.key
