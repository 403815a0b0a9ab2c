"""Values that a file leaves out: listed with a range, and moved without reading the file again."""

from __future__ import annotations

from dataclasses import replace
from math import inf
from pathlib import Path

import pytest

from ladderfe.chassis import chassis_from_text, read_chassis, with_assumption
from ladderfe.chassis.assemble import assemble
from ladderfe.chassis.assumed import Assumed
from ladderfe.chassis.faults import Faults
from ladderfe.errors import InputError, LadderFEError, ModelError

MODELS = Path(__file__).parents[2] / "models"


@pytest.fixture(scope="module")
def small(minimal):
    return chassis_from_text(minimal)


#: What the small file leaves out, and what each assumption moves; masses in t, stresses in N/mm2, rest in mm.
MOVED = {
    "sections.radius": (4.0, lambda c: c.rails[0].spans[0].shape.radius),
    "joints.level": (-1.0, lambda c: c.joint_level),
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
    "axles.front.pull": (3.0, lambda c: c.axles[0].pull / 1e3),  # kN
    "axles.rear.pull": (inf, lambda c: c.axles[1].pull),
    "axles.front.tyre_rate": (200.0, lambda c: c.axles[0].tyre_rate),
    "axles.rear.tyre_rate": (250.0, lambda c: c.axles[1].tyre_rate),
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
    "cases.one wheel bump.factor": (1.5, lambda c: c.cases[5].factor),
    "cases.cross-axle.height": (300.0, lambda c: c.cases[7].height),
    "cases.cornering.acceleration": (0.8, lambda c: c.cases[9].acceleration),
    "cases.braking.acceleration": (0.9, lambda c: c.cases[10].acceleration),
    "cases.drive-off.acceleration": (0.7, lambda c: c.cases[11].acceleration),
    "height_above_ground": (480.0, lambda c: -c.ground),
    "centre_of_gravity": (780.0, lambda c: c.centre_height),
    "axles.front.tyre_radius": (320.0, lambda c: c.axles[0].tyre_radius),
    "axles.rear.tyre_radius": (330.0, lambda c: c.axles[1].tyre_radius),
    "axles.front.arms.station": (1200.0, lambda c: c.axles[0].links.station),
    "axles.rear.arms.station": (2100.0, lambda c: c.axles[1].links.station),
    "axles.front.arms.height": (-170.0, lambda c: c.axles[0].links.side_height),
    "axles.rear.arms.height": (-150.0, lambda c: c.axles[1].links.height),
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
    rest = 'pull = "loose"\ntyre_rate = "rigid"\ntyre_radius = 350\narms = { station = 2200, height = -90 }\n'
    given = chassis_from_text(minimal + 'unsprung = 150\nrate = 50\nspring = "coil"\nspring_base = 800\n' + rest)
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


def of(chassis, key):
    """Low, used and high value and unit of an assumption."""
    a = next(a for a in chassis.assumptions if a.key == key)
    return a.low, a.used, a.high, a.unit


def test_joints_that_no_file_describes_are_estimated(small, minimal):
    """A level is assumed only where some joint is left to the estimate."""
    level = next(a for a in small.assumptions if a.key == "joints.level")
    assert (level.low, level.used, level.high) == (-1, 0, 1)
    assert "-1 low end, 0 middle, 1 high end" in level.meaning
    stated = minimal.replace("wall = 3", 'wall = 3\njoint = "rigid"').replace(
        "wall = 2\n", "wall = 2\njoint = { rx = 9 }\n"
    )
    for text, level in ((stated, 0), (minimal + '[joints]\nestimate = "high"\n', 1)):
        chassis = chassis_from_text(text)
        assert "joints.level" not in {a.key for a in chassis.assumptions}
        assert chassis.joint_level == level
    one_left = stated.replace("joint = { rx = 9 }", "joint_left = { rx = 9 }")
    assert of(chassis_from_text(one_left), "joints.level") == (-1, 0, 1, "level")


def test_what_is_taken_of_springs(small, minimal):
    """Coils are loose on their seats, leaves held at both ends; stops and straps have rates only where there are any.
    Rates of stops and tyres are values from memory, straps and pulls common practice without a source."""
    assert of(small, "axles.rear.pull") == (0, 0, inf, "kN")
    leaf = chassis_from_text(minimal + 'spring = "leaf"\nbump_gap = 60\ndroop = 90\nsuspension = "independent"\n')
    assert of(leaf, "axles.rear.pull") == (0, inf, inf, "kN")
    assert of(leaf, "axles.rear.tyre_rate") == (150, inf, inf, "N/mm")
    assert of(leaf, "axles.rear.bump_rate") == (300, 1000, 2000, "N/mm")
    assert of(leaf, "axles.rear.strap_rate") == (500, 1000, 5000, "N/mm")
    assert of(leaf, "axles.rear.motion_ratio") == (0.5, 1, 1, "")
    for key in ("bump_rate", "strap_rate", "motion_ratio"):
        value = {"bump_rate": 800.0, "strap_rate": 700.0, "motion_ratio": 0.7}[key]
        moved = with_assumption(leaf, f"axles.rear.{key}", value)
        assert getattr(moved.axles[1], key) == value
        assert getattr(moved.axles[0], key) == getattr(leaf.axles[0], key)


def test_the_factor_of_a_bump(minimal):
    bump = chassis_from_text(minimal + '[[cases]]\nname = "kerb stone"\nkind = "one wheel bump"\n')
    assert of(bump, "cases.one wheel bump.factor") == (1.3, 1.3, 1.8, "")
    assert with_assumption(bump, "cases.one wheel bump.factor", 1.8).cases[0].factor == 1.8


@pytest.mark.parametrize("file", sorted(MODELS.glob("*.toml")), ids=lambda f: f.stem)
def test_reading_only_what_is_touched_equals_reading_all_again(file):
    """Every assumption at its low and high value, on the file as it is and on one with another assumption moved."""
    plain = read_chassis(file)
    first = plain.assumptions[0]
    for base, before in ((plain, {}), (with_assumption(plain, first.key, first.high), {first.key: first.high})):
        for a in base.assumptions:
            for value in (a.low, a.high):
                touched = _outcome(with_assumption, base, a.key, value)
                again = _outcome(_read_again, plain, {**before, a.key: value})
                assert touched == again, a.key


def _outcome(read, *given):
    try:
        return read(*given)
    except InputError as error:
        return str(error)


def _read_again(chassis, moved):
    source = chassis.source
    return assemble(Faults(source.name, source.raw, source.lines), source.tables, Assumed(moved), None)
