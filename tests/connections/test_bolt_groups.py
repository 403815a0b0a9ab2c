"""Bolt groups against a handbook's bracket, closed forms, springs, and balance of whatever acts."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ladderfe.connections import Applied, bolt_forces, bolt_group
from ladderfe.errors import ModelError

VECTOR = st.lists(st.floats(-1, 1), min_size=3, max_size=3).map(np.array)
PLACE = st.floats(-150, 150).map(lambda v: round(v, 2))
BOLTS = st.lists(st.tuples(PLACE, PLACE), min_size=3, max_size=7, unique=True)


def balance(group, shear, pull, about=(0.0, 0.0, 0.0)):
    """Sum of forces and of moments about a point of what the fasteners carry, added up anew."""
    f = np.column_stack([shear, pull])
    r = np.column_stack([group.places, np.zeros(len(pull))]) - about
    return f.sum(axis=0), np.cross(r, f).sum(axis=0)


def test_handbook_bar_on_a_channel():
    """Four bolts at 150 x 120 mm, 16 kN at 425 mm: 4 kN direct, 17.7 kN by the moment, 21.0 and 14.8 kN in all.

    Source: J. E. Shigley, Mechanical Engineering Design, example of a cantilevered bar on four M16 bolts (8-7 in
    several metric editions), values from memory, three digits.
    """
    group = bolt_group([(75, 60), (75, -60), (-75, -60), (-75, 60)])
    found = bolt_forces(group, Applied.of([0, -16e3, 0], [425.0, 0, 0]))
    assert found.shear_size / 1e3 == pytest.approx([21.0, 21.0, 14.8, 14.8], rel=4e-3)
    assert np.hypot(*(found.shear - [0, -4e3]).T) / 1e3 == pytest.approx([17.7] * 4, rel=4e-3)
    assert np.abs(found.pull).max() < 1e-9


def test_bracket_pulled_off_a_wall():
    """Rows at v = 40 and 120 mm from the lower edge, two bolts each, 10 kN down at 100 mm off the wall (closed form).

    About the centroid: +-M/(4 x 40).
    """
    group = bolt_group([(-30, 40), (30, 40), (-30, 120), (30, 120)])
    load = Applied.of([0, -1e4, 0], [0, 80.0, 100.0])
    about_centroid = bolt_forces(group, load)
    assert about_centroid.pull == pytest.approx(np.array([-1, -1, 1, 1]) * 1e6 / 160, rel=1e-12)
    assert about_centroid.shear == pytest.approx(np.full((4, 2), [0, -2500.0]), abs=1e-9)


@settings(max_examples=80)
@given(places=BOLTS, force=VECTOR, at=VECTOR, moment=VECTOR, uneven=st.booleans())
def test_fasteners_balance_what_is_applied(places, force, at, moment, uneven):
    force, at, moment = 1e4 * force, 200 * at, 1e6 * moment
    area = np.arange(1.0, len(places) + 1) if uneven else 1.0
    group = bolt_group(places, area)
    own = np.linalg.eigvalsh(group.spread)
    assume(own[0] > 1e-4 * own[1])
    found = bolt_forces(group, Applied.of(force, at, moment))
    summed, turned = balance(group, found.shear, found.pull)
    size = np.abs(found.shear).sum() + np.abs(found.pull).sum() + 1
    assert summed == pytest.approx(force, abs=1e-9 * size)
    assert turned == pytest.approx(moment + np.cross(at, force), abs=1e-9 * size * 300)


@settings(max_examples=40)
@given(places=BOLTS, force=VECTOR, moment=VECTOR)
def test_springs_under_a_rigid_part(places, force, moment):
    """The same from six equations of a rigid part on alike springs at the fasteners: an independent solution."""
    force, moment = 1e4 * force, 1e6 * moment
    group = bolt_group(places)
    own = np.linalg.eigvalsh(group.spread)
    assume(own[0] > 1e-4 * own[1])
    r = np.column_stack([places, np.zeros(len(places))])
    rows = [np.hstack([np.eye(3), np.array([[0, p[2], -p[1]], [-p[2], 0, p[0]], [p[1], -p[0], 0]])]) for p in r]
    rigid = np.linalg.solve(sum(m.T @ m for m in rows), np.concatenate([force, moment]))
    expected = np.array([m @ rigid for m in rows])
    found = bolt_forces(group, Applied.of(force, [0, 0, 0], moment))
    size = np.abs(expected).max() + 1
    assert found.shear == pytest.approx(expected[:, :2], abs=1e-7 * size)
    assert found.pull == pytest.approx(expected[:, 2], abs=1e-7 * size)


def test_areas_share_the_direct_force():
    found = bolt_forces(bolt_group([(0, 0), (100, 0)], [1.0, 3.0]), Applied.of([0, 400.0, 800.0], [75.0, 0, 0]))
    assert found.shear[:, 1] == pytest.approx([100, 300])
    assert found.pull == pytest.approx([200, 600])


def test_many_cases_at_once():
    group = bolt_group([(-30, 40), (30, 40), (-30, 120), (30, 120)])
    force = np.arange(18.0).reshape(2, 3, 3) * [1, -1, 0.001]
    load = Applied.of(force, [0, 80.0, 100.0])
    one = Applied.of(force[1, 1], [0, 80.0, 100.0])
    assert bolt_forces(group, load).shear.shape == (2, 3, 4, 2)
    assert bolt_forces(group, load).pull[1, 1] == pytest.approx(bolt_forces(group, one).pull)


LINE = bolt_group([(0, 0), (100, 0)])


@pytest.mark.parametrize(("call", "said"), [
    (lambda: bolt_forces(bolt_group([(5, 5)]), Applied.of([0, 0, 0], [0, 0, 0], [0, 0, 1e4])),
     "bolt group: its 1 fasteners hold no moment for turning in its plane."),
    (lambda: bolt_forces(LINE, Applied.of([0, 0, 0], [0, 0, 0], [1e4, 0, 0])), "hold no moment for bending out of it."),
    (lambda: bolt_group([(0, 0), (1, 1)], [1, 2, 3]), "3 areas for 2 fasteners."),
    (lambda: bolt_group([(0, 0, 0)]), "a place has the shape (1, 3)."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)


def test_bolts_in_line_hold_bending_along_the_line():
    found = bolt_forces(LINE, Applied.of([0, 0, 0], [0, 0, 0], [0, -1e4, 0]))
    assert found.pull == pytest.approx([-100, 100])
