"""What pictures and sentences say of single cases: arrows in balance, twist beyond any road, open box ends."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec, Diaphragm
from ladderfe.checks import check
from ladderfe.checks.balance import carried_points
from ladderfe.checks.ground import MOST_TWIST, twisted
from ladderfe.report.cases_text import cases_text
from ladderfe.report.frame_pulls import applied
from ladderfe.report.governing_text import _open_end
from ladderfe.report.summary_text import summary_text
from ladderfe.solve import solve_chassis

G = 9806.65


@pytest.mark.parametrize(
    "case", ["braking", "cornering left", "winch, straight", "two-post lift", "jack at front jack pad left"]
)
def test_arrows_springs_and_inertia_add_up_to_nothing(demo_findings, case):
    """Forces alone, from the masses and fields: pulls, links, stands and jacks are arrows, springs are told apart."""
    f, s = demo_findings, demo_findings.solution
    k = s.case(case)
    mass, place, _ = carried_points(f.chassis, s)
    inertia = sum(m * (s.field[:3, k] + np.cross(s.field[3:, k], r)) for m, r in zip(mass, place, strict=True))
    arrows = sum(load.vectors[0] for load in applied(f, k))
    springs = np.array([0.0, 0.0, s.support_forces[:4, k].sum()])
    small = 1e-3 * np.abs([load.vectors for load in applied(f, k)]).max()  # arrows below that are left out
    assert arrows + springs + inertia == pytest.approx(np.zeros(3), abs=4 * small)
    assert all(load.applied and load.label.endswith(" kN") for load in applied(f, k))


def test_labels_of_arrows_name_mounts_and_links(demo_findings):
    labels = [load.label for load in applied(demo_findings, demo_findings.solution.case("winch, straight"))]
    assert any(w.startswith("winch plate left 18.00 kN") for w in labels)
    assert any(w.startswith("front left link") for w in labels)
    assert not any("along" in w or "wind-up" in w for w in labels)


@pytest.fixture(scope="module")
def bumped(made):
    bump = CaseSpec(name="bump", kind="one wheel bump", factor=1.3, wheels=("front left",))
    return check(made.chassis(cases=(CaseSpec(name="static", kind="static"), bump)), assumptions=False)


def test_twist_between_the_axles_is_the_couple_over_the_stiffness(made):
    """A limit twist turns the frame at the springs by T over what a unit of it turns: half the factor, half the angle;
    and the rails' own movement at the seats says the same."""
    cases = tuple(CaseSpec(name=str(f), kind="limit twist", factor=f, wheels=("front left",)) for f in (1.0, 0.5))
    s = solve_chassis(made.chassis(cases=cases))
    one, half = twisted(s)[1:]
    assert one == pytest.approx(2 * half, rel=1e-9)
    seats = [s.mesh.places[n] for spring in s.springs for n, _ in spring.seats]
    u = [s.movements[s.frame.start[p.node] : s.frame.start[p.node] + 6, 1] for p in seats]
    up = [m[2] + m[3] * p.arm[1] - m[4] * p.arm[0] for m, p in zip(u, seats, strict=True)]
    base = s.suspensions[0].axle.spring_base
    by_hand = abs(np.degrees((up[1] - up[0]) / base - (up[3] - up[2]) / base))
    assert one == pytest.approx(by_hand, rel=1e-3)  # seats hang on racking walls, which the hand leaves out


def test_twist_beyond_any_road_is_told(bumped):
    assert "More twist between" not in " ".join(cases_text(bumped))
    far = replace(bumped.solution, movements=bumped.solution.movements * 1e3)
    assert twisted(far).max() > MOST_TWIST
    told = " ".join(" ".join(cases_text(replace(bumped, solution=far))).split())
    assert f"More twist between the axles than a road can ask ({MOST_TWIST:g} degrees" in told
    assert "goes with bump (" in told


def test_what_governs_beside_the_limit_couple_stands_at_the_head(bumped):
    told = " ".join(summary_text(bumped))
    assert bumped.utilisations[0].case == "bump"
    u = next(u for u in bumped.utilisations if u.case == "static")
    assert "beside its cases static governs" in " ".join(told.split())
    assert f"{100 * u.ratio:.1f} %" in told


def test_open_box_ends_are_told_where_they_govern(bumped):
    u, length = bumped.utilisations[0], bumped.chassis.rails[0].end
    at_end = replace(u, part="left rail", kind="rail", along=length)
    assert "[[diaphragms]]" in _open_end(bumped, at_end)
    assert not _open_end(bumped, replace(at_end, along=length / 2))
    assert not _open_end(bumped, replace(at_end, part="front"))
    plate = Diaphragm(name="end", side="left", station=length, thickness=3.0)
    closed = replace(bumped, chassis=replace(bumped.chassis, diaphragms=(plate,)))
    assert not _open_end(closed, at_end)
