"""Slot and plug welds: areas and lengths by geometry, strengths of EN 1993-1-8 and AISC 360 from memory, and statics of
groups in three dimensions against closed forms of bolt groups."""

from math import pi, sqrt

import numpy as np
import pytest

from ladderfe.connections import (
    plug_strength,
    slot_area,
    slot_fillet_strength,
    slot_forces,
    slot_girth,
    slot_rules,
)
from ladderfe.errors import ModelError


def test_a_round_hole_and_a_slot_by_geometry():
    """A circle of 20 mm; a stadium of 40 x 10 mm is a rectangle of 30 x 10 mm and a circle of 10 mm."""
    assert slot_area(20, 20) == pytest.approx(pi * 100)
    assert slot_girth(20, 20) == pytest.approx(pi * 20)
    assert slot_area(40, 10) == pytest.approx(300 + pi * 25)
    assert slot_girth(40, 10) == pytest.approx(60 + pi * 10)


def test_strength_of_a_filled_hole_and_of_a_fillet_round_its_edge():
    """EN 1993-1-8 4.5.3.3 and 4.6 for S235, from memory: f_vw,d = 360/(sqrt3 0.8 1.25) = 207.846; a hole of 20 mm
    filled 65.3 kN; a fillet of throat 3 runs along a circle of 20 - 3/sqrt2 mm, never more than the hole's area."""
    f = 360 / (sqrt(3) * 0.8 * 1.25)
    assert plug_strength(20, 20, f) == pytest.approx(65296.8, rel=1e-5)
    assert slot_fillet_strength(20, 20, 3.0, f) == pytest.approx(pi * (20 - 3 / sqrt(2)) * 3 * f)
    assert slot_fillet_strength(20, 20, 9.0, f) == pytest.approx(plug_strength(20, 20, f))


#: Two rows of three slots in top and bottom, 140 mm apart, 60 mm from slot to slot, the first 40 mm off the cut.
AT = [(x, 0.0, z) for z in (70.0, -70.0) for x in (40.0, 100.0, 160.0)]
SIDEWAYS = [(0.0, 1.0, 0.0)] * 6


def test_bending_is_a_couple_of_both_rows():
    """M over the lever of 140 mm, a third in each slot; a pull is a sixth."""
    found = slot_forces(AT, SIDEWAYS, [(0, 0, 0, 0, 2.1e6, 0), (1.2e4, 0, 0, 0, 0, 0)])
    assert found.force[0, :, 0] == pytest.approx([-5000] * 3 + [5000] * 3)
    assert found.force[1, :, 0] == pytest.approx([-2000] * 6)
    assert np.abs(found.force[..., 1]).max() < 1e-9


def test_shear_off_the_middle_of_a_group_in_one_plane():
    """Of one row, the closed form of a line of bolts: V/n + V e x/sum x2, with V = 3 kN at the cut, 100 mm off the
    middle of three bolts 60 mm apart (any text on structural steel)."""
    found = slot_forces(AT[:3], SIDEWAYS[:3], [(0, 3000.0, 0, 0, 0, 0)])
    wanted = [1000 + 3000 * 100 * x / (2 * 60**2) for x in (60, 0, -60)]
    assert found.force[0, :, 1] == pytest.approx(-np.array(wanted))


def test_torque_goes_round_four_rows():
    """A row in each wall of a box 140 x 70 mm: stiff rotation, force r T/sum r2 with r the lever of each wall."""
    at = [*AT[::3], (40.0, 35.0, 0.0), (40.0, -35.0, 0.0)]
    way = [(0, 1, 0), (0, 1, 0), (0, 0, 1), (0, 0, 1)]
    found = slot_forces(at, way, [(0, 0, 0, 1e6, 0, 0)])
    total = 2 * 70**2 + 2 * 35**2
    assert found.size[0] == pytest.approx([1e6 * r / total for r in (70, 70, 35, 35)])


def test_every_load_is_balanced_where_the_slots_hold_it():
    rng = np.random.default_rng(3)
    at = [*AT, *((x, y, 0.0) for y in (35.0, -35.0) for x in (40.0, 100.0))]
    way = np.array([*SIDEWAYS, *[(0.0, 0.0, 1.0)] * 4])
    load = rng.normal(size=(5, 6)) * [1e4, 1e4, 1e4, 1e6, 1e6, 1e6]
    found = slot_forces(at, way, load)
    assert found.held.all()
    force = found.force[..., :1] * [1.0, 0, 0] + found.force[..., 1:] * way
    assert (force.sum(axis=1) + load[:, :3]) == pytest.approx(0, abs=1e-6)
    assert (np.cross(np.array(at), force).sum(axis=1) + load[:, 3:]) == pytest.approx(0, abs=1e-4)


def test_what_slots_cannot_hold_by_their_place_is_told():
    """Slots in top and bottom have nothing upright; in one wall nothing against bending up and turning either, but all
    of the force is theirs.  Without a slot all is left."""
    assert slot_forces(AT, SIDEWAYS, np.zeros((1, 6))).held.tolist() == [True, True, False, True, True, True]
    one = slot_forces(AT[:3], SIDEWAYS[:3], [(3000.0, 0, 0, 0, 0, 0)])
    assert one.held.tolist() == [True, True, False, False, False, True]
    assert one.force[0, :, 0] == pytest.approx([-1000] * 3)
    assert not slot_forces(np.zeros((0, 3)), np.zeros((0, 3)), np.zeros((1, 6))).held.any()


@pytest.mark.parametrize(("sizes", "filled", "broken"), [
    ((30, 11, 60, 3), True, []),
    ((30, 10.9, 60, 3), True, ["width of the slots"]),
    ((40, 12, 80, 3), False, []),
    ((40, 11.9, 80, 3), False, ["width of the slots"]),
    ((30, 11, 59, 3), True, ["distance of slots from middle to middle"]),
    ((80, 12, 201, 3), False, ["distance of slots from middle to middle"]),
    ((60, 16, 120, 6), True, []),
    ((61, 16, 122, 6), True, ["length of a filled slot"]),
    ((16, 16, 40, 6), True, []),
])  # fmt: skip
def test_rules_of_slots(sizes, filled, broken):
    """t + 8 filled, 4 t with a fillet, 2 lengths apart, at most 200 mm, 10 t long: from memory of EN 1993-1-8 4.3.3,
    4.3.5, AISC 360 J2.3b."""
    assert [b.rule.name for b in slot_rules(*sizes, filled=filled)] == broken


def test_a_slot_shorter_than_wide_is_told():
    with pytest.raises(ModelError, match="it is 8 mm long and 10 mm wide"):
        slot_area(8, 10)
