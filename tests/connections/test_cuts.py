"""Angled cuts: closed forms, the general turn of a plane stress, and butt welds by the directional method."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.connections import weld_steel
from ladderfe.connections.cuts import butt_use, cut_length, cut_stress
from ladderfe.errors import ModelError


@pytest.mark.parametrize(("angle", "length", "across", "along", "equivalent"), [
    (90.0, 140.0, 100.0, 0.0, 100.0), (60.0, 161.6581, 75.0, 43.30127, 106.0660), (45.0, 197.9899, 50.0, 50.0, 100.0),
    (30.0, 280.0, 25.0, 43.30127, 79.05694), (0.0, None, 0.0, 0.0, 0.0),
])  # fmt: skip
def test_a_plate_that_is_only_pulled(angle, length, across, along, equivalent):
    """L/sin a, s sin^2 a, s sin a cos a and sqrt(s1^2 + 3 t^2) at 100 MPa and 140 mm, by hand to seven digits."""
    s = cut_stress(100.0, 0.0, angle)
    assert float(s.across) == pytest.approx(across, rel=1e-6, abs=1e-12)
    assert float(s.along) == pytest.approx(along, rel=1e-6, abs=1e-12)
    assert float(s.equivalent) == pytest.approx(equivalent, rel=1e-6, abs=1e-12)
    if length is not None:
        assert float(cut_length(140.0, angle)) == pytest.approx(length, rel=1e-6)


@given(st.floats(-300, 300), st.floats(-200, 200), st.floats(0, 90))
def test_against_the_tensor_turned(s, tau, angle):
    """Traction of the plane stress [[s, tau], [tau, 0]] on a line at that angle to the plate: n S n and t S n."""
    a = np.deg2rad(angle)
    stress = np.array([[s, tau], [tau, 0.0]])
    along, normal = np.array([np.cos(a), np.sin(a)]), np.array([np.sin(a), -np.cos(a)])
    found = cut_stress(s, tau, angle)
    assert float(found.across) == pytest.approx(normal @ stress @ normal, abs=1e-9)
    assert float(found.along) == pytest.approx(along @ stress @ normal, abs=1e-9)


@given(st.floats(46, 89.9))
def test_no_cut_steeper_than_45_degrees_takes_anything_off_the_equivalent_stress(angle):
    assert float(cut_stress(100.0, 0.0, angle).equivalent) > 100.0
    assert float(cut_stress(100.0, 0.0, 90 - angle).equivalent) < 100.0


def test_a_seam_along_the_plate_feels_shear_alone():
    s = cut_stress(150.0, 40.0, 0.0)
    assert float(s.across) == 0.0
    assert float(s.along) == pytest.approx(-40.0)


def test_use_of_butt_welds():
    """S235: 0.9 360/1.25 = 259.2 MPa across, 360/(0.8 1.25) = 360 MPa together (from memory).  100 MPa square:
    0.3858; 45 degrees: 100/360 = 0.2778 by the equivalent stress.  A throat of 1 mm in 3 mm: three times as much."""
    steel = weld_steel("S235")
    square, angled = cut_stress(100.0, 0.0, 90.0), cut_stress(100.0, 0.0, 45.0)
    assert float(butt_use(square, 3.0, 3.0, steel)) == pytest.approx(100 / 259.2)
    assert float(butt_use(angled, 3.0, 3.0, steel)) == pytest.approx(100 / 360)
    assert float(butt_use(square, 3.0, 1.0, steel)) == pytest.approx(300 / 259.2)
    assert np.isinf(butt_use(square, 2.0, 0.0, steel))
    assert float(butt_use(cut_stress(0.0, 0.0, 90.0), 2.0, 0.0, steel)) == 0.0


@pytest.mark.parametrize("bad", [-1.0, 91.0, float("nan")])
def test_angles_beyond_a_square_cut_are_refused(bad):
    with pytest.raises(ModelError, match="its angle"):
        cut_stress(1.0, 0.0, bad)
