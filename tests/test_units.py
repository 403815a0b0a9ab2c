"""Quantities as people write them.

Factors: inch 25.4 mm and pound 0.45359237 kg exactly (international yard and pound agreement, 1959), standard gravity
9.80665 m/s2 (3rd General Conference on Weights and Measures, 1901); values from memory.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.units import (
    ACCELERATION,
    ANGLE,
    DENSITY,
    FORCE,
    KINDS,
    LENGTH,
    MASS,
    RATE,
    STRESS,
    STRETCHING,
    TURNING,
    UnitError,
    kgf_from_newtons,
    kilograms,
    kilonewton_metres,
    kilonewtons,
    parse,
    tonnes,
)


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        (LENGTH, "59 in", 59 * 25.4),
        (LENGTH, "1/8 in", 25.4 / 8),
        (LENGTH, "2 1/4 in", 2.25 * 25.4),
        (LENGTH, "2-1/4 in", 2.25 * 25.4),
        (LENGTH, "1½ in", 1.5 * 25.4),
        (LENGTH, "4 ft 11 in", 59 * 25.4),
        (LENGTH, "4' 11\"", 59 * 25.4),
        (LENGTH, "59″", 59 * 25.4),
        (LENGTH, "-3 in", -3 * 25.4),
        (LENGTH, "−3 in", -3 * 25.4),  # a minus sign, not a hyphen
        (LENGTH, "1.5e3 mm", 1500),
        (LENGTH, "120mm", 120),
        (LENGTH, "12 cm", 120),
        (LENGTH, "2.36 M", 2360),
        (LENGTH, "59 in.", 59 * 25.4),
        (MASS, "2 t", 2000),
        (MASS, "850 lb", 850 * 0.45359237),
        (MASS, "9.80665 kN", 1000),  # weight at standard gravity
        (FORCE, "1 kgf", 9.80665e-3),
        (FORCE, "1 lbf", 0.45359237 * 9.80665e-3),
        (RATE, "30 lbf/in", 30 * 0.45359237 * 9.80665 / 25.4),
        (RATE, "28 kN/m", 28),
        (STRESS, "36 ksi", 36000 * 0.45359237 * 9.80665 / 25.4**2),
        (STRESS, "235 N/mm²", 235),
        (STRESS, "235 MPa", 235),
        (ACCELERATION, "0.8 g", 0.8),
        (ACCELERATION, "9.80665 m/s2", 1),
        (ACCELERATION, "981 cm/s²", 9.81 / 9.80665),
        (ANGLE, "30 deg", 30),
        (ANGLE, "-0.5 rad", -90 / 3.141592653589793),
        (STRESS, "205 GPa", 205_000),
        (DENSITY, "7.85 t/m3", 7850),
        (TURNING, "350 N·m/deg", 0.35 * 57.29577951308232),
        (TURNING, "20 kN m/rad", 20),
        (STRETCHING, "5000 N/mm", 5),
    ],
)
def test_units_are_read(kind, text, value):
    assert parse(kind, text) == pytest.approx(value, rel=1e-12)  # a few roundings


@pytest.mark.parametrize(
    ("kind", "text", "rule", "hint"),
    [
        (
            LENGTH,
            "150",
            "has no unit although it is in quotes",
            'Write 150 without quotes for mm, or a unit as in "150 mm"',
        ),
        (
            LENGTH,
            "14 gauge",
            "a gauge number is not a thickness: gauge tables differ by country and metal",
            'Measure the wall and write it in mm or inches, such as 2.0 or "0.080 in"',
        ),
        (
            LENGTH,
            "59 kg",
            'must be a length, and "kg" is a unit of mass',
            'Write mm, or another unit in quotes such as "59 in"',
        ),
        (
            LENGTH,
            "59 inchs",
            'does not know the unit "inchs"',
            'Did you mean "inches"? Write mm, or a unit as in "59 in"',
        ),
        (
            LENGTH,
            "2,5 mm",
            "must be a length in mm, or a number and its unit in quotes",
            "Write 2.5 mm with a point, not a comma",
        ),
        (
            LENGTH,
            "2,540 mm",
            "must be a length in mm, or a number and its unit in quotes",
            "Write 2540 mm without commas between the thousands",
        ),
        (LENGTH, "3 in 4 ft", "must be a length in one unit", 'Write one number and one unit, such as "59 in"'),
        (LENGTH, "1e999 mm", "must be a finite number", "Write the measured value"),
        (
            MASS,
            "2 tons",
            '"tons" means different masses in different countries',
            'Write kg, t (1000 kg) or lb, such as "2 t"',
        ),
        (
            RATE,
            "soft",
            "must be a spring rate in N/mm, or a number and its unit in quotes",
            'Write a number, or one with its unit as in "170 lbf/in"',
        ),
    ],
)
def test_what_cannot_be_read_is_told(kind, text, rule, hint):
    with pytest.raises(UnitError) as caught:
        parse(kind, text)
    assert (caught.value.rule, caught.value.hint) == (rule, hint)
    assert str(caught.value) == f"{rule}. {hint}."


@pytest.mark.parametrize("text", ["14 ga", "14 SWG", "gauge 14", "14 g", "16 gage"])
def test_every_kind_of_gauge_is_refused(text):
    with pytest.raises(UnitError, match="gauge number"):
        parse(LENGTH, text)


@given(st.sampled_from(KINDS), st.text(max_size=40))
def test_any_text_is_read_or_refused(kind, text):
    try:
        value = parse(kind, text)
    except UnitError as refused:
        value = 0.0 if refused.rule and refused.hint else float("nan")
    assert abs(value) < float("inf")


@given(st.sampled_from(KINDS), st.floats(min_value=1e-3, max_value=1e6), st.data())
def test_units_only_scale(kind, number, data):
    unit = data.draw(st.sampled_from(sorted(kind.factors)))
    assert parse(kind, f"{number!r} {unit}") == pytest.approx(number * kind.factors[unit], rel=1e-14)


def test_numbers_going_out():
    assert (tonnes(850), kilograms(0.85)) == pytest.approx((0.85, 850))
    assert (kilonewtons(12_500), kilonewton_metres(2.5e6)) == pytest.approx((12.5, 2.5))
    assert kgf_from_newtons(980.665) == pytest.approx(100)
