"""Fillet welds against EN 1993-1-8 values from memory of the authors, statics on a tilted throat, and BS 449."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.connections import (
    STEELS,
    WeldSteel,
    directional_throat,
    directional_use,
    fillet_shear_strength,
    leg_for,
    needed_throat,
    permissible_stress,
    throat_stress,
    wall_shear,
    weld_steel,
)
from ladderfe.errors import ModelError

FORCE = st.lists(st.floats(-500, 500), min_size=3, max_size=3).filter(lambda q: max(map(abs, q)) > 1e-3)
THROAT = st.floats(0.5, 12)


@pytest.mark.parametrize(("grade", "strength"), [("S235", 207.8), ("S275", 233.7), ("S355", 251.5)])
def test_strength_by_grade(grade, strength):
    """f_vw,d, gamma_M2 1.25: EN 1993-1-8 4.5.3.3, value from memory of the authors, printed to four digits."""
    assert fillet_shear_strength(weld_steel(grade)) == pytest.approx(strength, rel=5e-4)


def test_strength_of_a_steel_of_ones_own():
    """S355 with the 510 MPa of the first issue: 261.7 MPa, EN 1993-1-1 Table 3.1, value from memory of the authors."""
    steel = WeldSteel(name="S355, 510", fu=510.0, beta_w=0.9, source="EN 1993-1-1, first issue", status="from memory")
    assert fillet_shear_strength(steel) == pytest.approx(261.7, rel=5e-4)


def test_tee_pulled_square():
    """Two fillets a = 4, l = 100 mm, F = 120 kN, S275: 106.066, 212.132 against 404.706 MPa, 0.524163 and 0.641966.

    Source: EN 1993-1-8 4.5.3.2, formula from memory, worked by the authors; the methods differ by sqrt 1.5.  Seven
    digits are printed.
    """
    q = [0.0, 0.0, 120e3 / 200]
    steel = weld_steel("S275")
    stress, use = throat_stress(q, 4.0), directional_use(q, 4.0, steel)
    assert [abs(stress.sigma_perp), abs(stress.tau_perp)] == pytest.approx([106.066017] * 2, rel=1e-7)
    assert stress.equivalent == pytest.approx(212.132034, rel=1e-7)
    assert stress.equivalent / use.equivalent == pytest.approx(404.705882, rel=1e-7)
    assert use.use == pytest.approx(0.524163457, rel=1e-7)
    assert needed_throat(q, fillet_shear_strength(steel)) / 4.0 == pytest.approx(0.641966506, rel=1e-7)


@given(q=FORCE, a=THROAT)
def test_stresses_are_the_traction_on_the_tilted_throat(q, a):
    """Statics in space: the throat from the root toward (1, 1), cut between plate (y < 0) and wall (z < 0)."""
    force = np.array([q[0], q[1], q[2]])  # x along, y across out of the plate, z off the wall
    toward_wall = np.array([0.0, 1.0, -1.0]) / np.sqrt(2)
    traction = force / a  # the plate's part acts on the wall's part; outward there is -toward_wall
    sigma = traction @ -toward_wall
    rest = traction + sigma * toward_wall
    found = throat_stress(q, a)
    assert found.sigma_perp == pytest.approx(sigma, abs=1e-9)
    assert found.tau_along == pytest.approx(rest[0], abs=1e-9)
    assert found.tau_perp == pytest.approx(rest @ [0.0, 1.0, 1.0] / np.sqrt(2), abs=1e-9)


def test_second_condition_governs_a_throat_that_is_only_opened():
    """Force square to the throat: sigma_perp = q/a and no shear, so 0.9 fu/gamma_M2 against fu/(beta_w gamma_M2)."""
    use = directional_use([0.0, -100.0, 100.0], 2.0, weld_steel("S235"))
    assert use.perpendicular == pytest.approx(100 * np.sqrt(2) / 2 / (0.9 * 360 / 1.25), rel=1e-12)
    assert use.use == use.perpendicular > use.equivalent


@given(q=FORCE, grade=st.sampled_from(sorted(STEELS)))
def test_either_side_is_the_worse_sign_of_across(q, grade):
    steel = weld_steel(grade)
    flipped = [q[0], -q[1], q[2]]
    both = directional_use(q, 3.0, steel, either_side=True)
    one, two = directional_use(q, 3.0, steel), directional_use(flipped, 3.0, steel)
    assert both.equivalent == pytest.approx(max(one.equivalent, two.equivalent))
    assert both.perpendicular == pytest.approx(max(one.perpendicular, two.perpendicular))


@given(q=FORCE, a=THROAT)
def test_needed_throats_are_just_used(q, a):
    steel = weld_steel("S355")
    assert directional_use(q, directional_throat(q, steel), steel).use == pytest.approx(1.0)
    assert directional_use(q, 2 * a, steel).use == pytest.approx(directional_use(q, a, steel).use / 2)


@given(q=FORCE)
def test_simplified_method_is_never_below_the_first_condition(q):
    """|q| sqrt3 >= sqrt(sigma^2 + 3 tau^2) whatever the direction: why the standard allows it."""
    steel = weld_steel("S235")
    use = needed_throat(q, fillet_shear_strength(steel)) / 3.0
    assert use >= directional_use(q, 3.0, steel).equivalent * (1 - 1e-12)


def test_permissible_stress_of_mild_steel():
    """0.483 kN/mm on a leg of 6 mm at 115 MPa: BS 449-2:1969 clause 53, value from memory, throat 0.7 of the leg.

    1.1 %: 0.7 is 1/sqrt2 rounded down by 1.0 %.
    """
    stress = permissible_stress("mild steel")
    assert "from memory" in stress.status
    assert 6.0 / 2**0.5 * stress.stress == pytest.approx(483.0, rel=0.011)
    assert "no source" in permissible_stress("unknown steel").status


def test_many_line_forces_at_once():
    q = np.arange(24.0).reshape(2, 4, 3)
    assert needed_throat(q, [100.0, 200.0, 100.0, 200.0])[1, 3] == pytest.approx(np.linalg.norm(q[1, 3]) / 200)
    assert directional_throat(q, weld_steel("S235")).shape == (2, 4)


def test_leg_beside_the_thinner_plate():
    """Throat 2.1 on 3 mm just fits (2.97); 2.2 does not."""
    found = leg_for([2.1, 2.2], 3.0)
    assert found.leg == pytest.approx([2.1 * 2**0.5, 2.2 * 2**0.5], rel=1e-12)
    assert found.fits.tolist() == [True, False]


def test_wall_beside_the_weld_comes_first_in_thin_metal():
    """3 mm at 235 MPa carries 407 N/mm; a leg of 3 mm at 207.8 MPa on 0.7 of it 436 N/mm (statics)."""
    assert wall_shear(3.0, 235.0) == pytest.approx(407.03, rel=1e-5)
    assert wall_shear(3.0, 235.0) < 3.0 / 2**0.5 * fillet_shear_strength(weld_steel("S235"))


@pytest.mark.parametrize(("call", "said"), [
    (lambda: weld_steel("S257"), 'weld steel: "S257" is not known. Did you mean "S275"?'),
    (lambda: permissible_stress("mild"), "Known: mild steel, unknown steel."),
    (lambda: throat_stress([1.0, 2.0], 3.0), "the line force has the shape (2,). Give 3 numbers on the last axis."),
    (lambda: throat_stress([1.0, np.nan, 0.0], 3.0), "the line force is nan. Give a number that is finite."),
    (lambda: throat_stress([1.0, 2.0, 3.0], [2.0, -3.0]), "the throat is -3. Give a number above 0."),
    (lambda: needed_throat([1.0, 2.0, 3.0], 0.0), "the strength is 0."),
    (lambda: fillet_shear_strength(STEELS["S235"], 0.0), "gamma_M2 is 0."),
    (lambda: WeldSteel(name="own", fu=-1.0, beta_w=0.9, source="", status=""), "steel own: fu is -1."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
