"""Stress in a box rail 150 x 75 x 2 mm by hand.

Source: outer less inner rectangle, M/Z and V Q/(I t) (any text on strength of materials); the permissible 165 N/mm2 in
bending and 100 N/mm2 average web shear for mild steel are common practice, no source.  Printed to three digits.
"""

import pytest

from ladderfe.hand.rail import Permissible
from ladderfe.hand.section import hand_section
from ladderfe.sections import Box

KGF = 9.80665  # N
SECTION = hand_section(Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=2))


def test_section():
    assert SECTION.inertia == pytest.approx(2.6803e6, rel=2e-5)  # five digits printed
    assert SECTION.Z_least == pytest.approx(35.74e3, rel=2e-4)
    assert SECTION.web_area == pytest.approx(600.0, rel=1e-12)
    assert SECTION.inertia == pytest.approx((75 * 150**3 - 71 * 146**3) / 12, rel=1e-12)


def test_web_shear_of_825_kgf():
    average, peak = SECTION.average_shear(825 * KGF), SECTION.peak_shear(825 * KGF)
    assert average == pytest.approx(13.5, rel=2e-3)  # half a unit of the last digit is 4e-3
    assert average == pytest.approx(825 * KGF / 600, rel=1e-12)
    assert peak == pytest.approx(16.4, rel=2e-3)
    assert 100 * average / Permissible().shear == pytest.approx(13.5, abs=0.05)


def test_flange_stress_of_277_kgf_m():
    top, bottom = SECTION.bending(277 * 1000 * KGF)
    assert bottom == pytest.approx(76.0, rel=1e-3)
    assert top == -bottom
    assert 100 * bottom / Permissible().bending == pytest.approx(46.0, abs=0.5)
