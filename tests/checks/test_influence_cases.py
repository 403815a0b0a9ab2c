"""Assumptions that change some cases only are asked for with these alone: against the whole chassis solved again."""

from dataclasses import replace

import pytest

from ladderfe.chassis import chassis_from_text, with_assumption
from ladderfe.checks.influence import greatest_ratio, rank_assumptions
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import look_again, look_at
from ladderfe.checks.stress import stresses
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.solve import solve_chassis

#: Sums, and a sum of a sum, that are far above all other cases.
SUMS = """
[[cases]]
kind = "usual"

[[cases]]
name = "braking in a bend"
kind = "combination"
of = [{ case = "braking", times = 3.0 }, { case = "cornering right", times = 2.0 }]

[[cases]]
name = "worse"
kind = "combination"
of = [{ case = "braking in a bend", times = 1.5 }, { case = "static" }]
"""
SAME = 1e-9  # the frame is the same, support rows are not: rounding


def test_sums_follow_the_cases_that_they_add_up(demo_file):
    chassis = chassis_from_text(demo_file.read_text(encoding="utf-8") + SUMS, "demo")
    solution = solve_chassis(chassis)
    rows = look_at(solution)
    ranked = rank_assumptions(chassis, solution, rows, stresses(solution, rows), TAPER_STEPS)
    found = {i.assumption.key: i for i in ranked}
    for key in ("cases.braking.acceleration", "cases.cornering.acceleration", "cases.bounce.factor"):
        for value, got in zip((found[key].assumption.low, found[key].assumption.high),
                              (found[key].at_low, found[key].at_high), strict=True):  # fmt: skip
            moved = with_assumption(chassis, key, value)
            s = solve_chassis(moved)
            whole = greatest_ratio(peaks(s, look_again(rows, s)), moved.criteria, slice(0, len(s.cases)))
            assert got == pytest.approx(whole, rel=SAME)
    assert found["cases.braking.acceleration"].reach > 0.01  # the sums govern
    assert found["cases.bounce.factor"].reach == pytest.approx(0.0, abs=SAME)


@pytest.mark.parametrize(("key", "shared"), [
    ("joints.level", True), ("material.youngs_modulus", True), ("sections.radius", False),
])  # fmt: skip
def test_frames_with_the_same_sections_share_what_follows_from_them(demo_file, key, shared):
    """And nothing else: the answers are those of the chassis solved alone, to the last digit."""
    chassis = chassis_from_text(demo_file.read_text(encoding="utf-8"), "demo")
    like = solve_chassis(chassis)
    value = next(v for a in chassis.assumptions for v in (a.low, a.high) if a.key == key and v != a.used)
    moved = with_assumption(chassis, key, value)
    found, alone = solve_chassis(moved, like=like), solve_chassis(moved)
    assert (found.mesh.sections is like.mesh.sections) == shared
    assert found.mesh.material == moved.material
    assert (found.mesh.material is like.mesh.material) == (key != "material.youngs_modulus")
    assert (found.movements == alone.movements).all()
    assert (peaks(found, look_at(found)) == peaks(alone, look_at(alone))).all()
    assert not (found.movements == like.movements).all()


#: A case that depends on how stiff the frame is beside its springs, and a joint that no steel makes stiffer.
TWIST = '\n[[cases]]\nname = "twist"\nkind = "cross-axle"\nheight = 400\nwheels = ["front left", "rear right"]\n'
BOLTED = 'name = "kick-up"\njoint = { kind = "bolted", rx = 20, ry = 20, rz = 20 }'


@pytest.mark.parametrize("stated", [False, True], ids=["estimated joints", "a joint with a stated stiffness"])
def test_another_modulus_hangs_on_the_same_frame(demo_file, stated):
    """Against the frame made of that steel, solved by itself, also where not all of the frame is softer alike."""
    text = demo_file.read_text(encoding="utf-8") + TWIST
    chassis = chassis_from_text(text.replace('name = "kick-up"', BOLTED) if stated else text, "demo")
    chassis = replace(chassis, assumptions=tuple(a for a in chassis.assumptions if a.key == "material.youngs_modulus"))
    solution = solve_chassis(chassis)
    rows = look_at(solution)
    (found,) = rank_assumptions(chassis, solution, rows, stresses(solution, rows), TAPER_STEPS)
    for value, got in ((found.assumption.low, found.at_low), (found.assumption.high, found.at_high)):
        s = solve_chassis(with_assumption(chassis, found.assumption.key, value))
        seen = peaks(s, look_at(s) if stated else look_again(rows, s))
        assert got == pytest.approx(greatest_ratio(seen, chassis.criteria, slice(0, len(s.cases))), rel=SAME)
        assert got != pytest.approx(found.used, rel=1e-3)


#: A wheel clears the ground on a jack, a strap holds its axle; twist of the frame on its springs.
OFF_LEVEL = """
[[cases]]
name = "static"
kind = "static"

[[cases]]
name = "jack"
kind = "jack"
at = ["rear jack pad right"]

[[cases]]
name = "cross-axle"
kind = "cross-axle"
height = 400.0

[[cases]]
name = "worse"
kind = "combination"
of = [{ case = "%s", times = 9.0 }]
"""


@pytest.mark.parametrize(("governs", "key", "least"), [
    ("jack", "axles.rear.strap_rate", 1e-3), ("jack", "axles.rear.pull", 1e-3), ("static", "axles.rear.strap_rate", 0),
    ("cross-axle", "material.youngs_modulus", 1e-4),
])  # fmt: skip
def test_straps_pulling_springs_and_stiffer_steel_against_the_whole_chassis(demo_file, governs, key, least):
    """Springs that pull and straps are asked for with cases off level alone, another modulus on the same frame."""
    chassis = chassis_from_text(demo_file.read_text(encoding="utf-8") + OFF_LEVEL % governs, "demo")
    solution = solve_chassis(chassis)
    rows = look_at(solution)
    assert dict(zip((c.name for c in solution.cases), solution.off_level, strict=True))["jack"]
    alone = replace(chassis, assumptions=tuple(a for a in chassis.assumptions if a.key == key))
    (found,) = rank_assumptions(alone, solution, rows, stresses(solution, rows), TAPER_STEPS)
    for value, got in ((found.assumption.low, found.at_low), (found.assumption.high, found.at_high)):
        moved = with_assumption(chassis, key, value)
        s = solve_chassis(moved)
        whole = greatest_ratio(peaks(s, look_again(rows, s)), moved.criteria, slice(0, len(s.cases)))
        assert got == pytest.approx(whole, rel=SAME)
    assert found.reach >= least * found.used
