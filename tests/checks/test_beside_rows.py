"""The hand calculation beside the frame: same numbers where both models agree, causes where they differ."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec, read_chassis
from ladderfe.checks.beside import _contraflexure, beside, hand_of
from ladderfe.checks.beside_models import Curve
from ladderfe.report.beside_text import beside_text
from ladderfe.solve import solve_chassis

KG = 9.80665


@pytest.fixture(scope="module")
def rows(plain_findings):
    _, found = beside(plain_findings.chassis, plain_findings.solution)
    return {r.what.strip(): r for r in found}


def test_the_test_frame_agrees_with_its_hand_calculation_row_by_row(rows):
    """A straight symmetric weightless frame on springs under its rails is the beam on paper."""
    for r in rows.values():
        assert r.left == pytest.approx(r.hand, rel=1e-5), r.what  # curves are cut every 5 to 10 mm
        assert r.right == pytest.approx(r.hand, rel=1e-5), r.what


@pytest.mark.parametrize(
    ("what", "unit", "value", "rel"),
    [
        ("front reaction", "N", 1063.4 * KG, 1e-4),
        ("rear reaction", "N", 1383.5 * KG, 1e-4),
        ("greatest shear", "N", 824.9 * KG, 1e-4),
        ("greatest sagging moment", "N mm", 277.05 * KG * 1000, 2e-5),
        ("at station", "mm", 2077.0, 1e-4),
        ("hogging moment, front axle", "N mm", 155.0 * KG * 1000, 4e-4),
        ("hogging moment, rear axle", "N mm", 234.6 * KG * 1000, 3e-4),
        ("contraflexure, front", "mm", 1036.6, 3e-4),
        ("contraflexure, rear", "mm", 2990.2, 1e-4),
        ("average web shear", "MPa", 13.5, 2e-3),
        ("flange stress", "MPa", 76.0, 1e-3),
        ("utilisation, shear", "share", 0.135, 2e-3),
        ("utilisation, bending", "share", 0.46, 5e-3),
    ],
)
def test_values_asked_for_of_the_test_frame(rows, what, unit, value, rel):
    """Rounded numbers as asked for; rel is half their last digit, for the contraflexures the step of the table that
    they came from (0.26 mm)."""
    assert rows[what].unit == unit
    assert rows[what].hand == pytest.approx(value, rel=rel)


def test_contraflexures_are_the_roots_of_the_quadratics(rows):
    """Ahead of the middle w x^2/2 = R (x - 778), the same from the rear with 840 mm; w of each half by statics from the
    axle loads that the file states to 1 g.  By hand 1e-6 mm; the frame's crossmembers weigh 1e-5 mm."""
    lever = np.array([[2079.0, 2079.0], [2079.0 * 1039.5, 2079.0 * 3118.5]])
    front, rear = 1223.449 - 160, 1553.534 - 170
    a, b = np.linalg.solve(lever, [front + rear, front * 778 + rear * 3318])
    r, s = front / a, rear / b
    roots = (r - (r * r - 2 * r * 778) ** 0.5, 4158 - s + (s * s - 2 * s * 840) ** 0.5)
    for what, root in zip(("contraflexure, front", "contraflexure, rear"), roots, strict=True):
        assert rows[what].hand == pytest.approx(root, abs=1e-6)
        assert (rows[what].left, rows[what].right) == pytest.approx((root, root), abs=1e-5)


def test_contraflexures_are_shown_to_a_tenth_of_a_millimetre(plain_findings):
    shown = beside_text(beside(plain_findings.chassis, plain_findings.solution)[1], plain_findings)
    for what, station in (("front", "1036.7"), ("rear", "2990.3")):
        (line,) = (line for line in shown.splitlines() if line.startswith(f"contraflexure, {what}"))
        assert line.split()[2:5] == [station] * 3


def test_causes_where_nothing_differs(rows):
    assert rows["greatest shear"].cause == "agrees within 1 %"
    assert rows["at station"].cause == "agrees within 1 mm"
    assert rows["front reaction"].cause == "the same weight, shared by two springs"


def test_reactions_agree_whatever_the_frame(demo_findings):
    """Statics knows no stiffness: left and right at 2 x static have the mean that the paper has."""
    _, found = beside(demo_findings.chassis, demo_findings.solution)
    for what in ("front reaction", "rear reaction"):
        r = next(r for r in found if r.what == what)
        assert (r.left + r.right) / 2 == pytest.approx(r.hand, rel=1e-9)


def test_the_demos_differences_have_their_causes(demo_findings):
    """Masses off the centre line, masses at their places, springs at their seats: each named where it is at work."""
    _, found = beside(demo_findings.chassis, demo_findings.solution)
    causes = {r.what.strip(): r.cause for r in found}
    assert "left side carries more: masses off the centre line" in causes["front reaction"]
    assert "springs sit at their seats, not at the axles" in causes["hogging moment, front axle"]
    assert "listed masses act where they are, not spread" in causes["greatest shear"]
    assert not any(r.cause == "" for r in found)


def test_leaf_springs_alone_explain_what_they_change(made):
    """The smaller moment over the axle comes from the seats and from nothing else."""
    leaves = tuple(
        made.axle(n, x, seats=((x - 450, 0.5), (x + 450, 0.5))) for n, x in (("front", 700.0), ("rear", 3300.0))
    )
    c = made.chassis(axles=leaves, material=made.WEIGHTLESS)
    _, found = beside(c, solve_chassis(c))
    cause = {r.what.strip(): r.cause for r in found}["hogging moment, rear axle"]
    assert cause.endswith("springs sit at their seats, not at the axles")
    assert cause.count(":") == 1


def test_an_added_mass_that_overhangs_the_rails_counts_in_the_models_beside(made):
    """A spare wheel 300 mm behind the rails' end, on the rear crossmember."""
    c = made.chassis(
        mounts=(made.mount("bracket", "rear", 3900, 0),),
        masses=(made.mass("spare", 0.08, (4300, 0, 0), ("bracket",), aboard=True),),
        material=made.WEIGHTLESS,
    )
    from ladderfe.checks.one_rail import reduced_loads
    from ladderfe.hand import solve_beam

    s = solve_chassis(c)
    reactions = solve_beam(reduced_loads(c, s)).reactions
    assert reactions == pytest.approx([s.axle_forces(n)[1] for n in ("front", "rear")], rel=1e-9)


def test_listed_masses_on_paper_at_their_own_stations(demo_file):
    """--listed: the same reactions, other moments."""
    c = read_chassis(demo_file)
    spread, listed = hand_of(c), hand_of(c, listed=True)
    assert listed.result.reactions[0] != pytest.approx(0)
    inside = replace(c, masses=tuple(m for m in c.masses if m.centre[0] <= c.rails[1].end))
    a, b = hand_of(inside), hand_of(inside, listed=True)
    assert b.result.reactions == pytest.approx(a.result.reactions, rel=1e-9)
    assert b.result.greatest_sagging.moment != pytest.approx(a.result.greatest_sagging.moment, rel=1e-2)
    assert len(listed.result.beam.point_loads) > len(spread.result.beam.point_loads)


def causes_of(chassis):
    _, found = beside(chassis, solve_chassis(chassis))
    return {r.what.strip(): r.cause for r in found}, {r.what.strip(): r for r in found}


def test_nothing_listed_is_no_cause(made):
    """A plain steel frame without listed masses: what differs is where its own weight lies, and that is said."""
    cause, rows = causes_of(made.chassis())
    assert not any("listed" in words for words in cause.values())
    assert cause["hogging moment, front axle"] == "+1 %: the frame's own weight lies where its metal is"
    assert cause["front reaction"] == "the same weight, shared by two springs"
    front = rows["hogging moment, front axle"]
    assert front.left == pytest.approx(front.hand, rel=0.03)


def test_the_frames_own_weight_in_place_is_the_frame(made):
    """Straight level rails on springs under them: nothing is left to be explained by mounts and crossmembers.  The beam
    has crossmembers as single loads, the frame hangs them on its rails: 1e-3."""
    from ladderfe.checks.beside_models import beams_between

    c = made.chassis()
    s = solve_chassis(c)
    seats = beams_between(c, s, hand_of(c))[-1]
    rows = {r.what.strip(): r for r in beside(c, s)[1]}
    a, b = made.FRONT, made.REAR
    assert seats.between(a, b).max() == pytest.approx(rows["greatest sagging moment"].left, rel=1e-3)
    assert abs(seats.shear).max() == pytest.approx(rows["greatest shear"].left, rel=1e-3)
    assert seats.reactions == pytest.approx([rows[f"{n} reaction"].left for n in ("front", "rear")], rel=1e-9)


@pytest.mark.parametrize(("place", "mount_at"), [(-120.0, 100.0), (4300.0, 3900.0)])
@pytest.mark.parametrize("aboard", [True, False])
def test_what_hangs_beyond_the_rails_is_in_the_paper_too(made, place, mount_at, aboard):
    """A winch ahead of the rails, a spare wheel behind them: the paper's reactions are the frame's, so the same weight
    is shared by two springs."""
    crossmember = "front" if place < 0 else "rear"
    c = made.chassis(
        mounts=(made.mount("plate", crossmember, mount_at, 0),),
        masses=(made.mass("thing", 0.08, (place, 0, 0), ("plate",), aboard=aboard),),
    )
    cause, rows = causes_of(c)
    for what in ("front reaction", "rear reaction"):
        assert rows[what].left == pytest.approx(rows[what].hand, rel=1e-9)
        assert cause[what] == "the same weight, shared by two springs"


def test_seats_that_are_not_about_the_axle_change_the_reaction_and_say_so(made):
    """Seats of the rear springs 300 mm ahead of the axle: by the lever rule the front carries less."""
    rear = made.axle("rear", made.REAR, seats=((made.REAR - 300, 1.0),))
    cause, rows = causes_of(made.chassis(axles=(made.AXLES[0], rear), material=made.WEIGHTLESS))
    front = rows["front reaction"]
    assert front.left < 0.9 * front.hand
    assert cause["front reaction"].endswith("springs sit at their seats, not at the axles")
    assert "shared by two springs" not in cause["front reaction"]


def test_a_rail_that_sags_where_the_paper_hogs_is_told(demo_findings):
    _, found = beside(demo_findings.chassis, demo_findings.solution)
    row = next(r for r in found if r.what == "hogging moment, front axle")
    assert row.hand > 0 > row.left
    assert row.cause.startswith("the frame sags there; ")


def test_rails_that_are_not_alike_are_the_reason_for_unlike_sides(made):
    """The left rail is a stiffer box; nothing is off the centre line and no wheel was weighed."""
    stiff = made.rail("left", made.box(150, 75, 4))
    cause, _ = causes_of(made.chassis(rails=(stiff, made.rail("right"))))
    unlike = [words for words in cause.values() if "side carries more" in words]
    assert unlike
    assert all("side carries more: rails not alike" in words for words in unlike)


def test_which_rail_the_hand_calculation_took_is_said(made):
    """The right rail's walls are thinner: its stress by hand is not that of the left, which has its own sections."""
    left, right = made.rails(made.box(100, 100, 4))[0], made.rails(made.box(100, 100, 3))[1]
    cause, rows = causes_of(made.chassis(rails=(left, right)))
    assert cause["flange stress"].startswith("by hand the right rail's sections, here each rail's own; follows")
    assert rows["flange stress"].left < 0.85 * rows["flange stress"].hand
    alike, _ = causes_of(made.chassis())
    assert alike["flange stress"].startswith("follows the moments above")


def test_one_contraflexure_alone_is_the_front_or_the_rear_one():
    """By which way the moment changes sign there; the other is none."""
    x = np.linspace(0.0, 4000.0, 401)
    flat = np.zeros_like(x)
    for turn, way in ((900.0, 1.0), (3100.0, -1.0)):
        curve = Curve(x, flat, way * (x - turn), (1.0, 1.0), (turn,))
        front, rear = _contraflexure(curve, 700.0, 3300.0)
        assert (front, rear) == pytest.approx((turn, np.nan) if way > 0 else (np.nan, turn), nan_ok=True)


FORCED = CaseSpec(name="pressed", kind="static", forces=(("left end", (0.0, 0.0, -5000.0)),))


@pytest.mark.parametrize("first", [None, FORCED], ids=["no static case", "only one with a force of its own"])
def test_the_frame_beside_the_paper_stands_laden_whatever_cases_there_are(made, first):
    """2 x the force of one spring is what the paper's axle carries, the mass that was not aboard included: statics, by
    symmetry each side has half.  No force of a case reaches the rows."""
    mounts = tuple(made.mount(f"{s} end", f"{s} rail", 3900.0, y * made.HALF) for s, y in (("left", -1), ("right", 1)))
    load = made.mass("load", 0.3, (3900.0, 0.0, 0.0), ("left end", "right end"), aboard=False)
    cases = (made.TWICE,) if first is None else (first, made.TWICE)
    chassis = made.chassis(mounts=mounts, masses=(load,), cases=cases)
    _, found = beside(chassis, solve_chassis(chassis))
    for k, axle in enumerate(chassis.axles):
        lever = (3900.0 - chassis.axles[1 - k].station) / (axle.station - chassis.axles[1 - k].station)
        weight = (axle.load - axle.unsprung + 0.3 * lever) * 1000 * KG
        assert found[k].hand == pytest.approx(weight, rel=1e-9)
        assert (found[k].left + found[k].right) / 2 == pytest.approx(weight, rel=1e-9)
