"""A plate lapped over a hole: by its width, and found again by the welds."""

import pytest

from ladderfe.condition.rails import rail_of, shape_at
from ladderfe.condition.repaired import plate_walls
from ladderfe.sections import properties

HOLE = "left,2000,bottom,hole,2150,15\nright,2000,bottom,hole,2150,15\n"
DOUBLER = '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "bottom"\nfrom = 1900\nto = 2250\nthickness = 2\n'


def inertia(states):
    shape = shape_at(rail_of(states.chassis, "left"), 2077.0)
    return properties(shape.section()).Iyy


@pytest.mark.parametrize("width", [20.0, 60.0, 71.0])
def test_narrow_plates_count_by_their_area(plans, tmp_path, width):
    """Box 150 x 75 x 2 without its bottom of 71 mm between the webs, and a strip of the plate's area in its place."""
    plans.frame(tmp_path)
    states = plans.planned(tmp_path, DOUBLER + f"width = {width}\n", readings=HOLE)
    parts = [(75 * 2.0, 74.0, 75 * 2**3 / 12), *[(148 * 2.0, -1.0, 2 * 148**3 / 12)] * 2,
             (width * 2.0, -74.0, 0.0)]  # fmt: skip
    area = sum(a for a, _, _ in parts)
    zc = sum(a * z for a, z, _ in parts) / area
    by_hand = sum(i + a * (z - zc) ** 2 for a, z, i in parts)
    assert inertia(states) == pytest.approx(by_hand, rel=5e-3)  # webs' corners, thinner strip nearer to the edge


@pytest.mark.parametrize(("kind", "wall", "width"), [("doubler", "bottom", 15), ("doubler", "top", 20),
                                                     ("cheek", "outer", 40)])  # fmt: skip
def test_narrow_plates_are_found_again(plans, tmp_path, kind, wall, width):
    """Narrower than a third of the flat: the wall under them is still the wall."""
    plans.frame(tmp_path)
    text = f'[[plates]]\nkind = "{kind}"\nrail = "left"\nwall = "{wall}"\nfrom = 1900\nto = 2250\nthickness = 2\n'
    states = plans.planned(tmp_path, text + f"width = {width}\n")
    (name,) = plate_walls(states, states.plan.plates[0], 2077.0)
    section = shape_at(rail_of(states.chassis, "left"), 2077.0).section(("outer", "inner"))
    assert name in [w.name for w in section.walls]
