"""Line loads that cannot be: the message names the light end and what makes it light."""

import pytest

from ladderfe.errors import ModelError
from ladderfe.hand import PointLoad
from ladderfe.hand.line_loads import Spread, centre_of_gravity, line_loads_from_reactions

KG = 9.80665
HALVES = Spread(start=0.0, end=4000.0)
CHECK = (
    "Check the axle loads, the unsprung masses, where the body begins and ends, "
    "and which masses were aboard when weighed."
)


def refused(front, rear, spread=HALVES, known=()):
    with pytest.raises(ModelError) as error:
        line_loads_from_reactions((front * KG, rear * KG), (800.0, 3200.0), spread, known)
    return str(error.value)


def test_front_part_light_by_an_engine():
    """600 kg in front and 900 kg behind; an engine of 700 kg at 700 mm leaves the front part 45 kg too light.

    By hand: 1500 kg with their centre at 2240 mm; less 700 kg at 700 mm and 50 kg at 3900 mm leaves 750 kg at
    (3360 - 490 - 195) / 0.75 = 3566.7 mm, behind the middle of the rear half: (3000 - 3566.7) / 2000 x 750 = -212.5 kg
    on 2 m.
    """
    known = (PointLoad(3900.0, 50 * KG, "spare wheel"), PointLoad(700.0, 700 * KG, "engine"))
    assert refused(600, 900, known=known) == (
        "line loads: the front part is light: -106.2 kg/m would be left on it "
        "(the unlisted 750.0 kg have their centre at 3567 mm); taken from it by engine (700.0 kg at 700 mm). " + CHECK
    )


def test_rear_end_light_when_it_varies_linearly():
    """1000 kg in front, 400 kg behind: centre at 1485.7 mm, 514.3 mm ahead of the middle, in the middle third no more
    once a tank of 300 kg at 3500 mm is taken off: (2080 - 1050) / 1.1 = 936.4 mm."""
    spread = Spread(start=0.0, end=4000.0, distribution="linear")
    message = refused(1000, 400, spread, (PointLoad(3500.0, 300 * KG, "tank"),))
    assert message.startswith("line loads: the rear end is light: -163.7 kg/m would be left on it (the unlisted 1100")
    assert "at 936 mm); taken from it by tank (300.0 kg at 3500 mm). " in message


def test_light_without_any_listed_load():
    assert "the rear part is light" in refused(1500, 50)
    assert "; no listed load takes from it. " in refused(1500, 50)


def test_more_listed_than_weighed():
    assert refused(500, 500, known=(PointLoad(2000.0, 1200 * KG, "load"),)) == (
        "line loads: the listed loads (load (1200.0 kg at 2000 mm)) weigh more than the axles carry by 200.0 kg. "
        "Check the axle loads, the unsprung masses and which masses were aboard when weighed."
    )


def test_split_off_the_body():
    with pytest.raises(ModelError) as error:
        Spread(start=0.0, end=4000.0, split=4000.0)
    assert str(error.value) == (
        "line loads: a body from 0 to 4000 mm cannot be split at 4000 mm. "
        "Give start, split and end in this order, in mm."
    )


def test_no_weight_has_no_centre():
    with pytest.raises(ModelError, match=r"axle weights: together they are 0\. Give the weights"):
        centre_of_gravity((0.0, 0.0), (0.0, 2000.0))


def test_a_light_end_within_rounding_is_let_through():
    """A centre exactly over the middle of the rear half leaves nothing on the front half."""
    weights = (300.0 * (3200 - 3000) / 2400, 300.0 * (3000 - 800) / 2400)
    loads = line_loads_from_reactions(weights, (800.0, 3200.0), HALVES)
    assert loads[0].q_start == pytest.approx(0.0, abs=1e-12)
