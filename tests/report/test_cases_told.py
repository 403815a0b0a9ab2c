"""What is said of cases that tip, of sums of them, and of forces at mounts: shares and factors by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest

from ladderfe.cases import pull_name
from ladderfe.chassis import CaseSpec
from ladderfe.checks import check
from ladderfe.checks.ground import tipped
from ladderfe.report.cases_data import is_couple
from ladderfe.report.cases_text import cases_text, tipped_words
from ladderfe.report.data import findings_json
from ladderfe.solve import solve_chassis


def flat(lines):
    return " ".join(" ".join(lines).split())


def test_a_sum_of_cases_tells_which_of_them_were_taken_in_part(made):
    """Whatever adds up a case that tips, at first or second hand, has as much of it as that case has."""
    turn = CaseSpec(name="turn", kind="cornering", acceleration=3.0)
    stop = CaseSpec(name="stop", kind="braking", acceleration=0.5)
    one = CaseSpec(name="one", kind="combination", of=(("turn", 1.0), ("stop", 0.5)))
    two = CaseSpec(name="two", kind="combination", of=(("one", 2.0), ("static", 1.0)))
    none = CaseSpec(name="none", kind="combination", of=(("stop", 1.0), ("static", 1.0)))
    found = check(made.worked_chassis(made.STATIC, turn, stop, one, two, none), assumptions=False)
    told = flat(cases_text(found))
    for name in ("one", "two"):
        assert f"{name}: adds up turn as taken there, which is less than stated." in told
    assert "none: adds up" not in told
    table = json.loads(findings_json(found, "x"))["load-cases"]
    rows = {row[0]: dict(zip(table["columns"], row, strict=True)) for row in table["rows"]}
    for name in ("one", "two"):
        assert rows[name]["share taken"] == rows["turn"]["share taken"] < 1
        assert rows[name]["how it tips"] == "adds up turn as taken there"
    assert (rows["none"]["share taken"], rows["none"]["how it tips"]) == (1.0, "")


@pytest.mark.parametrize("kind", ["against a mount", "amplified", "plain"])
def test_what_is_stated_of_a_case_that_tips(made, kind):
    """Forces that balance each other, or that are halved so that the factor on all of it brings them back, have no one
    number to be told: parts are told in %.  The share is that of moments about the axle that stays down, by hand."""
    if kind == "against a mount":
        case = CaseSpec(name="case", kind="winch", at=("ball",), force=500_000.0, up=20.0, against="winch")
    else:
        down = (("ball", (0.0, 0.0, -80_000.0)),)
        case = CaseSpec(name="case", kind="static" if kind == "plain" else "amplified", factor=2.0, forces=down)
        case = replace(case, factor=1.0) if kind == "plain" else case
    chassis = made.worked_chassis(made.STATIC, case)
    solution = solve_chassis(chassis)
    (found,) = tipped(solution)
    front, rear = (a.load * 9806.65 for a in chassis.axles)
    base = chassis.axles[1].station - chassis.axles[0].station
    if kind == "against a mount":
        lift = 500_000.0 * (np.sin(np.radians(20.0)) * (3900.0 - 100.0))
        assert found.share == pytest.approx(rear * base / lift, rel=1e-5)
    else:
        times = 2.0 if kind == "amplified" else 1.0
        assert found.share == pytest.approx(times * front * base / (80_000.0 * (3900.0 - made.REAR)), rel=1e-5)
    words = tipped_words(found)
    if kind == "plain":
        assert words.endswith(f"taken at {80 * found.share:.3g} kN of the stated 80 kN")
    else:
        assert words.endswith(f"taken at {100 * found.share:.0f} % of what is stated")


def test_forces_of_cases_that_are_taken_times_a_factor(made):
    """A jack's factor stands on all of the case, an amplified case's on its weight alone."""
    force = (("ball", (0.0, 0.0, -1000.0)),)
    jack = CaseSpec(name="jack", kind="jack", at=(made.PADS[0],), factor=1.1, wheels=("front left",), forces=force)
    twice = CaseSpec(name="twice", kind="amplified", factor=2.0, forces=force)
    s = solve_chassis(made.worked_chassis(jack, twice))
    weight = sum(a.load for a in made.AXLES) * 9806.65
    about = {c.name: c.about for c in s.cases}
    up = s.ground[:, 2].sum(axis=0)
    jacked = s.support_forces[s.supports.index(pull_name(made.PADS[0], "z"))]
    assert up[1] + jacked[1] == pytest.approx(1.1 * (weight + 1000.0), rel=1e-9)
    assert about["jack"].endswith("all times 1.1; forces at mounts times 1.1 too")
    assert up[2] == pytest.approx(2.0 * weight + 1000.0, rel=1e-9)
    assert about["twice"].endswith("times 2; forces at mounts as stated")


def test_couples_and_forces_are_told_apart(made):
    """Rows whose places have no force part at all are couples, N mm, and no others: a table in N has none of them."""
    front = made.axle("front", made.FRONT, kind="independent", torsion_bar="middle", spring_base=600.0)
    brake = CaseSpec(name="brake", kind="braking", acceleration=0.5)
    body = replace(made.chassis().body, stiffening=2.0)
    s = solve_chassis(made.worked_chassis(made.STATIC, brake, axles=(front, made.AXLES[1]), body=body))
    names = dict(zip(s.supports[4:], s.system.seats[4:], strict=False))
    turning = {n for n, seat in names.items() if not any(any(wrench[:3]) for _, wrench in seat.places)} | {"body"}
    assert {n for n in s.supports if is_couple(n)} == turning
    assert any(" yaw " in n for n in turning)
    assert any(" arm couple " in n for n in turning)


def test_a_mount_whose_name_has_such_a_word_has_forces_in_newtons(made):
    """Names of mounts are the user's own; rows of axles are called by axle, way and side."""
    names = ("front roll bar pad, along z", "left roll hoop", "the wind-up winch, along x", "yaw roll left, along y")
    assert not any(is_couple(n) for n in names)
    assert is_couple("rear wind-up left")
