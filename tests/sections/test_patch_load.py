"""Concentrated force on webs: the formulas worked by hand, their regions, and what holds whatever the web.

Sources: EN 1993-1-5:2006 section 6, EN 1993-1-3:2006 6.1.7.2, both from memory (source texts not seen): these tests
guard the arithmetic, not the memory.
"""

from dataclasses import replace
from math import sqrt

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from ladderfe.sections.patch_load import SeatedWeb, crippling, patch_resistance

WEB = SeatedWeb(height=140, thickness=5, flange_thickness=5, flange_sides=(55.0, 0.0))
THIN = SeatedWeb(height=146, thickness=1.5, flange_thickness=2, flange_sides=(35.0, 0.0), flange_held=True)


def test_stocky_web_by_hand():
    """m1 = (5 + 55)/5, l_y = 50 + 10 (1 + sqrt 12) = 94.64 mm; F_cr = 0.9 x 6 x 210000 x 125/140 = 1012.5 kN,
    lambda = sqrt(94.64 x 5 x 235/1012500) = 0.331: chi_F = 1."""
    length = 50 + 10 * (1 + sqrt(12))
    assert patch_resistance(WEB, 50.0) == pytest.approx(235 * 5 * length, rel=1e-12)
    assert WEB.resistance(50.0) == patch_resistance(WEB, 50.0)


def test_slender_web_by_hand():
    """m1 = (1.5 + 30)/1.5 = 21 (15 x 2 mm count of 35), l_y = 50 + 4 (1 + sqrt 21);
    F_cr = 0.9 x 6 x 210000 x 1.5^3/146; F = 235 x 1.5 l_y x 0.5/lambda."""
    length = 50 + 4 * (1 + sqrt(21))
    slender = sqrt(length * 1.5 * 235 / (0.9 * 6 * 210e3 * 1.5**3 / 146))
    assert slender > 0.5
    assert patch_resistance(THIN, 50.0) == pytest.approx(235 * 1.5 * length * 0.5 / slender, rel=1e-12)


def test_near_an_end_less_is_left():
    """Type c: k_F = 2 + 6 (50 + 0)/146 = 4.05; l_e = min(k E t^2/(2 fy h), 50) = 27.9 mm."""
    k = 2 + 6 * 50 / 146
    short = k * 210e3 * 1.5**2 / (2 * 235 * 146)
    assert short < 50
    length = min(short + 2 * sqrt(21 / 2 + (short / 2) ** 2), short + 2 * sqrt(21))
    slender = sqrt(length * 1.5 * 235 / (0.9 * k * 210e3 * 1.5**3 / 146))
    found = patch_resistance(replace(THIN, to_end=0.0), 50.0)
    assert found == pytest.approx(235 * 1.5 * length * min(1, 0.5 / slender), rel=1e-12)
    assert found < patch_resistance(THIN, 50.0)


def test_crippling_by_hand():
    """k = 235/228, r = t = 3 mm, h/t = 50, s/t = 20; inside 14.7 - 50/49.5 and 1.14; at an end 9.04 - 50/60 and 1.2
    where the flange is held, 5.92 - 50/132 where it is not."""
    web = SeatedWeb(height=150, thickness=3, flange_thickness=3, radius=3.0)
    k = 235 / 228
    inside = (1.22 - 0.22 * k) * (14.7 - 50 / 49.5) * 1.14 * 9 * 235
    assert crippling(web, 60.0) == pytest.approx(inside, rel=1e-12)
    for held, depth in ((True, 9.04 - 50 / 60), (False, 5.92 - 50 / 132)):
        end = (1.33 - 0.33 * k) * depth * 1.2 * 9 * 235
        assert crippling(replace(web, to_end=225.0, flange_held=held), 60.0) == pytest.approx(end, rel=1e-12)
    assert web.rule == "crippling"
    assert web.resistance(60.0) == crippling(web, 60.0)


def test_both_rules_are_of_one_size_for_a_pressed_rail():
    """150 x 5 mm web: a bend of r = t costs a quarter or so of what a sharp edge stands (no source)."""
    assert 0.5 < crippling(replace(WEB, radius=5.0), 50.0) / patch_resistance(WEB, 50.0) < 1.0


webs = st.builds(
    SeatedWeb, height=st.floats(60, 250), thickness=st.floats(1, 8), flange_thickness=st.floats(1, 8),
    flange_sides=st.tuples(st.floats(0, 80), st.floats(0, 80)), flange_held=st.booleans(),
    radius=st.one_of(st.none(), st.floats(0, 20)), to_end=st.one_of(st.just(float("inf")), st.floats(0, 500)),
    yield_stress=st.floats(200, 500),
)  # fmt: skip


@example(web=SeatedWeb(height=60, thickness=2, flange_thickness=2, radius=0.0), bearing=119.0, more=1.0625)
@given(web=webs, bearing=st.floats(10, 120), more=st.floats(1.01, 2))
def test_more_web_more_bearing_more_resistance(web, bearing, more):
    assert web.resistance(bearing) > 0 or (web.radius or 0) > 6 * web.thickness  # beyond what the formula is made for
    # The crippling rule changes its formula at a bearing of 60 thicknesses, where it steps down from 1.42 to 1.41.
    over_the_step = web.radius is not None and bearing <= 60 * web.thickness < bearing * more
    less = 1 - 1.41 / 1.42 if over_the_step else 0.0
    assert web.resistance(bearing * more) >= web.resistance(bearing) * (1 - less - 1e-9)
    assert crippling(replace(web, radius=(web.radius or 0) + 5), bearing) <= crippling(web, bearing)
    assert patch_resistance(web, bearing) <= patch_resistance(replace(web, to_end=float("inf")), bearing) * (1 + 1e-9)


@given(web=webs, bearing=st.floats(10, 120), more=st.floats(1.01, 2))
def test_thicker_webs_stand_more(web, bearing, more):
    assert replace(web, thickness=web.thickness * more).resistance(bearing) >= web.resistance(bearing) * (1 - 1e-9)


def test_it_scales():
    """Twice all lengths: four times the force."""
    for web in (WEB, THIN, replace(THIN, to_end=100.0), replace(WEB, radius=6.0)):
        big = replace(web, height=2 * web.height, thickness=2 * web.thickness, radius=web.radius and 2 * web.radius,
                      flange_thickness=2 * web.flange_thickness, to_end=2 * web.to_end,
                      flange_sides=(2 * web.flange_sides[0], 0.0))  # fmt: skip
        assert big.resistance(100.0) == pytest.approx(4 * web.resistance(50.0), rel=1e-12)
