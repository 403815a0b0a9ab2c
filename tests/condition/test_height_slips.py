"""Slips among heights: planes laid through points by hand, one or more readings spoilt, whatever the floor's tilt."""

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.condition.alignment_file import alignment_from_text
from ladderfe.condition.height_slips import GROSS, height_slips
from ladderfe.condition.rail_points import place_of, point_named
from ladderfe.errors import InputError

#: Six pairs along a frame that rises to the rear.
BUILT = np.array([[x, y, z] for x, z in ((0, 0), (720, 36), (1000, 82), (1900, 90), (3270, 152), (4100, 190))
                  for y in (-350.0, 350.0)])  # fmt: skip
NOISE = np.random.default_rng(4).normal(0, 1, len(BUILT))
TILTS = [(0.0, 0.0), (0.05, 0.0), (-0.08, 0.04)]


def heights(fore=0.0, across=0.0):
    return BUILT[:, 2] + 400 + fore * BUILT[:, 0] + across * BUILT[:, 1] + NOISE


@pytest.mark.parametrize("tilt", TILTS)
@pytest.mark.parametrize("factor", [10, 0.1, 0.001, 100])
@pytest.mark.parametrize("spoilt", [0, 1, 2, 7, 11])
def test_the_height_with_the_comma_lost_and_no_other(tilt, factor, spoilt):
    """Leverage must not hide it: first and last points too."""
    value = heights(*tilt)
    true = value[spoilt]
    value[spoilt] *= factor
    (found, fits), *rest = height_slips(BUILT, value)
    assert (found, rest) == (spoilt, [])
    assert fits == pytest.approx(true, abs=6)  # 1 mm of noise, carried to an end


@pytest.mark.parametrize("tilt", TILTS)
def test_several_at_once(tilt):
    value = heights(*tilt)
    value[[2, 5, 10]] = value[2] * 10, value[5] / 1000, value[10] + 2 * GROSS
    assert [k for k, _ in height_slips(BUILT, value)] == [2, 5, 10]


@pytest.mark.parametrize("tilt", TILTS)
@pytest.mark.parametrize("bent", [(11, 60.0), (0, -120.0), (6, 250.0)])
def test_a_bent_frame_is_no_slip(tilt, bent):
    """Nor one that is twisted by so much at one end."""
    value = heights(*tilt)
    value[bent[0]] += bent[1]
    assert height_slips(BUILT, value) == []
    assert height_slips(BUILT, heights(*tilt) + 1e-5 * BUILT[:, 0] * BUILT[:, 1]) == []


def test_where_too_few_tell_the_floors_tilt():
    """Four points, or one rail alone, are held against their median, with a metre to spare; two against nothing."""
    four, rail = BUILT[[0, 1, 10, 11]], BUILT[::2]
    for places in (four, rail):
        value = places[:, 2] + 400 + 0.05 * places[:, 0]
        assert height_slips(places, value) == []
        value[1] = 4360
        assert [k for k, _ in height_slips(places, value)] == [1]
    assert height_slips(BUILT[:2], np.array([400.0, 4000.0])) == []


def test_it_is_told_by_its_line(demo_file):
    """Before anything is fitted; good readings are not named."""
    chassis = read_chassis(demo_file)
    places = [f"{side} {s}" for s in (0, 800, 1700, 2600, 3900) for side in ("left", "right")]
    rows = [f"height;{p};;{380 + place_of(chassis, point_named(p, chassis))[2]:.0f}" for p in places]
    alignment_from_text("\n".join(["kind;from;to;reading", *rows]), "m.csv", chassis)
    good = float(rows[3].rpartition(";")[2])
    rows[3] = f"height;right 800;;{good * 10:.0f}"
    with pytest.raises(InputError) as told:
        alignment_from_text("\n".join(["kind;from;to;reading", *rows]), "m.csv", chassis)
    (problem,) = told.value.problems
    assert (problem.line, problem.key) == (5, "reading")
    assert f"is {9 * good:.0f} mm over the {good:.0f} mm that the other heights make" in str(problem)
    assert f"Is it {good:g} mm, the comma lost or metres written?" in str(problem)
