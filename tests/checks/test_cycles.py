"""Cycles between cases: which are chosen, and the ranges they bring."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec
from ladderfe.checks import check
from ladderfe.checks.cycles import usual_cycles


def cycles(made, *cases):
    f = check(made.chassis(cases=cases), assumptions=False)
    return usual_cycles(f.chassis, f.solution, 0.2), f


def case(name, kind, **more):
    return CaseSpec(name=name, kind=kind, **more)


def test_bounce_alone(made):
    c, f = cycles(made, made.STATIC, case("heavy", "amplified", factor=2.5))
    assert c.names == ("bounce, 1/2.5 to 2.5 times static",)
    stress = np.zeros((3, len(f.solution.cases)))
    stress[:, f.solution.case("static")] = [10.0, -20.0, 0.0]
    assert c.ranges(stress)[0] == pytest.approx([21.0, 42.0, 0.0])  # 2.5 - 0.4 = 2.1 times
    assert c.shares.tolist() == [1.0]
    assert c.notes[0].startswith("Twist: no two cases")


def test_without_a_factor_two_is_assumed(made):
    c, _ = cycles(made, made.STATIC)
    assert c.notes[0].startswith("ASSUMED: bounce goes to 2 times the static load")


@pytest.mark.parametrize(("kind", "more"), [
    ("one wheel bump", {"factor": 1.3}), ("cross-axle", {"height": 150.0}),
])  # fmt: skip
def test_twist_goes_from_one_side_to_the_other(made, kind, more):
    """A rear wheel raised on the one side twists as the front wheel on the other: the third case is the first again."""

    def wheels(front):
        rear = {"left": "right", "right": "left"}[front]
        return (f"front {front}",) if kind == "one wheel bump" else (f"front {front}", f"rear {rear}")

    own = [
        case(n, kind, wheels=w, **more)
        for n, w in (("a", wheels("left")), ("same", ("rear right",)), ("b", wheels("right")))
    ]
    c, f = cycles(made, made.STATIC, *own)
    assert c.names[1] == "twist, a to b"
    assert c.shares == pytest.approx([0.8, 0.2])
    stress = np.zeros(len(f.solution.cases))
    stress[f.solution.case("a")], stress[f.solution.case("b")] = 30.0, -50.0
    assert c.ranges(stress) == pytest.approx([0.0, 80.0])


def test_the_couple_alone_goes_both_ways(made):
    c, f = cycles(made, made.STATIC, case("couple", "limit twist", wheels=("front left",)))
    stress = np.zeros(len(f.solution.cases))
    stress[f.solution.case("couple")] = 30.0
    assert c.ranges(stress)[1] == pytest.approx(60.0)


def test_the_couple_with_forces_at_mounts(made):
    """With signs changed a constant pull would turn too, 2 |C + F| for the 2 |C| of a couple to and fro under it: the
    couple alone goes before it, and where there is none that is told."""
    hook = made.mount("hook", "rear", 3900.0, 0.0)
    alone = case("couple", "limit twist", wheels=("front left",))
    pulled = case("pulled", "limit twist", wheels=("front left",), forces=(("hook", (0.0, 0.0, 500.0)),))

    def twist(*cases):
        f = check(made.chassis(cases=(made.STATIC, *cases), mounts=(hook,)), assumptions=False)
        c = usual_cycles(f.chassis, f.solution)
        return c.names[1], any("forces at mounts of pulled turn round" in n for n in c.notes)

    assert twist(pulled, alone) == ("twist, couple to couple, the other way", False)
    assert twist(pulled) == ("twist, pulled to pulled, the other way", True)


def test_without_a_static_case_what_was_weighed_bounces(made):
    f = check(made.chassis(cases=(made.TWICE,)), assumptions=False)
    c = usual_cycles(f.chassis, f.solution)
    assert {s.case for s in c.states} == {0}
    scaled = replace(made.STATIC, factor=1.5)
    f = check(made.chassis(cases=(scaled,)), assumptions=False)
    assert {s.case for s in usual_cycles(f.chassis, f.solution).states} == {0}, "not the static case times a factor"


def test_bounce_goes_about_the_static_case_that_has_no_forces_of_its_own(made):
    """Wherever it stands in the file; one with forces is taken where it is the only one, and named."""
    hook = made.mount("hook", "rear", 3900.0, 0.0)
    pulled = case("pulled", "static", forces=(("hook", (0.0, 0.0, 500.0)),))

    def bounce(*cases):
        f = check(made.chassis(cases=cases, mounts=(hook,)), assumptions=False)
        return usual_cycles(f.chassis, f.solution).names[0]

    assert bounce(pulled, made.STATIC) == "bounce, 1/2 to 2 times static"
    assert bounce(pulled) == "bounce, 1/2 to 2 times pulled"
