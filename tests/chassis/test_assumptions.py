"""Values that a file leaves out: listed with a range, and moved without reading the file again."""

from __future__ import annotations

from dataclasses import replace
from math import inf

import pytest

from ladderfe.chassis import chassis_from_text, with_assumption
from ladderfe.errors import LadderFEError, ModelError


@pytest.fixture(scope="module")
def small(minimal):
    return chassis_from_text(minimal)


#: What the small file leaves out, and what each assumption moves; masses in t, stresses in N/mm2, rest in mm.
MOVED = {
    "sections.radius": (4.0, lambda c: c.rails[0].spans[0].shape.radius),
    "joints.rx": (12.0, lambda c: c.crossmembers[0].joint_left.stiffness[3] / 1e6),
    "rails.spacing_to": (-30.0, lambda c: 380 - c.rails[1].path[0].half_spacing),
    "axles.left_share": (0.52, lambda c: c.axles[0].wheel_loads[0] / c.axles[0].load),
    "axles.front.unsprung": (140.0, lambda c: c.axles[0].unsprung * 1000),
    "axles.rear.unsprung": (200.0, lambda c: c.axles[1].unsprung * 1000),
    "axles.front.spring_base": (900.0, lambda c: c.axles[0].spring_base),
    "axles.rear.spring_base": (950.0, lambda c: c.axles[1].spring_base),
    "axles.front.rate": (35.0, lambda c: c.axles[0].rate),
    "axles.rear.rate": (55.0, lambda c: c.axles[1].rate),
    "axles.front.eyes": (1000.0, lambda c: c.axles[0].seats[1][0] - c.axles[0].seats[0][0]),
    "axles.rear.eyes": (1100.0, lambda c: c.axles[1].seats[1][0] - c.axles[1].seats[0][0]),
    "body.from": (200.0, lambda c: c.body.start),
    "body.to": (3400.0, lambda c: c.body.end),
    "body.split": (2000.0, lambda c: c.body.split),
    "body.offset": (100.0, lambda c: c.body.y),
    "material.youngs_modulus": (210_000.0, lambda c: c.material.youngs_modulus),
    "criteria.bending": (150.0, lambda c: c.criteria.bending),
    "criteria.shear": (90.0, lambda c: c.criteria.shear),
    "material.yield_stress": (260.0, lambda c: c.criteria.von_mises * 1.5),
    "cases.amplified.factor": (3.0, lambda c: c.cases[1].factor),
    "cases.bounce.factor": (2.0, lambda c: c.cases[3].factor),
    "masses.engine.y": (50.0, lambda c: c.masses[0].centre[1]),
}


def test_all_that_is_left_out_is_listed(small):
    assert {a.key for a in small.assumptions} == set(MOVED)


def test_each_has_a_range_and_a_source(small):
    for a in small.assumptions:
        assert a.low <= a.used <= a.high
        assert a.low < a.high
        assert a.meaning
        assert a.source


@pytest.mark.parametrize("key", MOVED)
def test_moving_one_moves_what_it_stands_for(small, key):
    value, look = MOVED[key]
    moved = with_assumption(small, key, value)
    assert look(moved) == pytest.approx(value, rel=1e-12)  # a conversion or two
    assert {a.key: a.used for a in moved.assumptions}[key] == value
    assert {a.key for a in moved.assumptions} == set(MOVED)


def test_moving_to_the_value_in_use_changes_nothing(small):
    for a in small.assumptions:
        assert with_assumption(small, a.key, a.used) == small


def test_moves_add_up(small):
    both = with_assumption(with_assumption(small, "body.offset", 50), "axles.front.unsprung", 150)
    assert (both.body.y, both.axles[0].unsprung) == (50, 0.15)


def test_a_value_that_is_given_is_no_assumption(minimal):
    given = chassis_from_text(minimal + 'unsprung = 150\nrate = 50\nspring = "coil"\nspring_base = 800\n')
    assert not any(a.key.startswith("axles.rear") for a in given.assumptions)
    with pytest.raises(ModelError) as caught:
        with_assumption(given, "axles.rear.unsprung", 160)
    assert caught.value.where == 'assumption "axles.rear.unsprung"'


def test_an_unknown_one_is_refused(small):
    with pytest.raises(ModelError) as caught:
        with_assumption(small, "axles.front.unspring", 160)
    assert str(caught.value) == (
        'assumption "axles.front.unspring": is not one that this chassis was read with. '
        'Did you mean "axles.front.unsprung"? Otherwise see the list of assumptions.'
    )
    with pytest.raises(ModelError):
        with_assumption(replace(small, source=None), "body.offset", 10)


def test_a_value_that_cannot_be_is_refused(small):
    with pytest.raises(LadderFEError, match="must be more than the axle's own unsprung mass, 900 kg"):
        with_assumption(small, "axles.front.unsprung", 900)


def test_joints_are_rigid_until_moved(small):
    joint = next(a for a in small.assumptions if a.key == "joints.rx")
    assert (joint.used, joint.high) == (inf, inf)
