"""The page as data: every formula, worked with its own numbers, gives the result beside it."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.hand import Beam, PointLoad, solve_beam
from ladderfe.hand.calculation import hand_calculation
from ladderfe.hand.given import HandAxle, HandGiven, ListedMass
from ladderfe.hand.line_loads import Spread
from ladderfe.hand.rail import Permissible, RailSpan
from ladderfe.hand.steps import Step
from ladderfe.sections import Box, Channel

BOX = Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=2)
END = Box(depth=80, width=75, top=2, bottom=1.5, minus=1.8, plus=2)
OPEN = Channel(depth=150, width=65, web=4, top=5, bottom=5, opens="+y")


def axles(front=1223.4, rear=1558.5, unsprung=(160.0, 175.0)):
    return (
        HandAxle(name="front axle", station=778.0, load=front / 1000, unsprung=unsprung[0] / 1000),
        HandAxle(name="rear axle", station=3318.0, load=rear / 1000, unsprung=unsprung[1] / 1000),
    )


def page(**changed):
    values = {
        "title": "test rail", "start": 0.0, "end": 4158.0, "axles": axles(), "spread": Spread(start=0.0, end=4158.0),
        "spans": (RailSpan(start=0.0, end=4158.0, shape=BOX),),
    }
    return hand_calculation(HandGiven(**(values | changed)))


STATIONS = (-120.0, 300.0, 778.0, 2079.0, 3318.0, 4000.0, 4250.0)  # ahead of the rail, over axles, behind it


@st.composite
def pages(draw):
    masses = tuple(
        ListedMass(name=f"mass {i}", station=draw(st.sampled_from(STATIONS)),
                   mass=draw(st.integers(5, 120)) / 1000, aboard=draw(st.booleans()))
        for i in range(draw(st.integers(0, 4)))
    )
    along = (2600.0, 4100.0) if draw(st.booleans()) else None
    centre = draw(st.sampled_from([3350.0, 3500.0, 3200.0])) if along else 2500.0
    masses += (ListedMass(name="sacks", station=centre, mass=0.1, aboard=draw(st.booleans()), spread=along),)
    spread = Spread(start=draw(st.sampled_from([0.0, 150.0])), end=4100.0,
                    distribution=draw(st.sampled_from(["two halves", "linear"])))
    middle = RailSpan(start=900.0, end=3000.0, shape=draw(st.sampled_from([BOX, OPEN])))
    spans = (RailSpan(start=0.0, end=900.0, shape=BOX), middle,
             RailSpan(start=3000.0, end=4158.0, shape=BOX, shape_end=draw(st.sampled_from([None, END]))))
    weights = axles(draw(st.integers(1100, 1400)), draw(st.integers(1100, 1500)))
    return page(axles=weights, spread=spread, masses=masses, spans=spans, stations=(2500.0,))


def worked(step: Step) -> float:
    """The formula worked by Python itself, with the full value of every symbol."""
    text = step.numbers(lambda q: f"({q.value!r})").replace("^", "**")
    return float(eval(text, {"__builtins__": {}}))


@settings(max_examples=25, deadline=None)
@given(pages())
def test_every_formula_gives_its_result(calc):
    """Symbols, numbers and result of a step cannot disagree (1e-9: the formula and the solver round differently)."""
    for step in calc.steps:
        if not step.formula:
            continue
        scale = max([abs(q.value) for q in step.quantities if q.unit in ("kN", "kN m")], default=1.0) * 10
        expected = 0.0 if step.equation else step.result.value
        room = 1e-8 * scale if step.equation else 1e-9 * max(scale, abs(expected))
        assert worked(step) == pytest.approx(expected, abs=room), step.title


@settings(max_examples=25, deadline=None)
@given(pages())
def test_steps_agree_with_the_beam(calc):
    """Results of the steps are those of the beam, in the units of the page."""
    found = {step.title: step.result for step in calc.steps}
    front, rear = calc.result.support_moments
    assert found["Moment over the front axle"].value == pytest.approx(front / 1e6, rel=1e-12)
    assert found["Moment over the rear axle"].value == pytest.approx(rear / 1e6, rel=1e-12)
    behind = sum(m.mass * 9.80665 * max(0.0, m.station - 4158.0) / 1000 for m in calc.given.masses)  # kN m
    title = f"Moment at the rear end, which must {'balance what hangs behind it' if behind else 'vanish'}"
    assert found[title].value == pytest.approx(-behind, abs=1e-9)
    places = [f"{side} the {name} axle" for name in ("front", "rear") for side in ("ahead of", "behind")]
    shears = [found[f"Shear just {place}"].value for place in places]
    expected = [v / 1000 for x in (778.0, 3318.0) for v in calc.result.shear_beside(x)]
    assert shears == pytest.approx(expected, rel=1e-12)
    assert sum(step.title.startswith("Contraflexure") for step in calc.steps) == len(calc.result.contraflexure)


def test_all_sprung_weight_once_on_one_rail():
    """The reactions are what the springs of an axle carry together: not half of it, and not twice."""
    calc = page()
    assert calc.result.reactions == pytest.approx([(1223.4 - 160) * 9.80665, (1558.5 - 175) * 9.80665], rel=1e-9)
    step = next(s for s in calc.steps if s.title == "All of it on one rail")
    assert step.result.value == pytest.approx((1063.4 + 1383.5) * 9.80665 / 1000, rel=1e-9)
    assert "already is a factor of 2" in step.remark
    assert "no other factor" in step.remark


def test_masses_not_aboard_come_on_top():
    """400 kg at 3700 mm: by moments 382 mm behind the rear axle, 60.2 kg off the front and 460.2 kg on the rear."""
    calc = page(masses=(ListedMass(name="load", station=3700.0, mass=0.4, aboard=False),))
    gain = [r / 9.80665 - w for r, w in zip(calc.result.reactions, (1063.4, 1383.5), strict=True)]
    assert gain == pytest.approx([-400 * 382 / 2540, 400 * 2922 / 2540], rel=1e-9)
    assert calc.notes == page().notes


WINCH = ListedMass(name="winch", station=-120.0, mass=0.05, aboard=False)
WHEEL = ListedMass(name="spare wheel", station=4248.0, mass=0.03, aboard=False)


@pytest.mark.parametrize("aboard", [True, False])
def test_what_hangs_beyond_the_rail_is_carried_at_its_end(aboard):
    """The same as a beam that reaches out to the masses: reactions, V and M all along the rail (1e-9: rounding)."""
    masses = tuple(ListedMass(name=m.name, station=m.station, mass=m.mass, aboard=aboard) for m in (WINCH, WHEEL))
    calc = page(masses=masses)
    points = tuple(PointLoad(m.station, m.mass * 9806.65) for m in masses)
    longer = Beam(start=-120.0, end=4248.0, supports=(778.0, 3318.0), line_loads=calc.line_loads, point_loads=points)
    whole = solve_beam(longer)
    assert calc.result.reactions == pytest.approx(whole.reactions, rel=1e-9)
    for x in (0.0, 1.0, 400.0, 778.0, 2000.0, 3318.0, 4000.0, 4157.0):
        assert calc.result.moment(x) == pytest.approx(whole.moment(x), rel=1e-9, abs=1.0)
        assert calc.result.shear_beside(x)[1] == pytest.approx(whole.shear_beside(x)[1], rel=1e-9, abs=1e-6)
    if aboard:
        assert calc.result.reactions == pytest.approx(page().result.reactions, rel=1e-9)


def test_what_hangs_beyond_the_rail_is_told_on_the_page():
    """50 kg 120 mm ahead bring 0.490 kN and 0.059 kN m, 30 kg 90 mm behind 0.294 kN and 0.026 kN m, both hogging."""
    calc = page(masses=(WINCH, WHEEL))
    steps = {s.title: s for s in calc.steps}
    ahead, behind = steps["winch, at -120 mm"], steps["spare wheel, at 4248 mm"]
    assert ahead.result.value == pytest.approx(0.490, abs=5e-4)
    assert ahead.remark == (
        "120 mm ahead of the rail: the front end carries this force and the couple of 0.059 kN m that it brings")
    assert behind.remark == (
        "90 mm behind the rail: the rear end carries this force and the couple of 0.026 kN m that it brings")
    assert calc.rows[0].moment / 1e6 == pytest.approx(-0.0588, abs=1e-4)
    assert calc.rows[-1].moment / 1e6 == pytest.approx(-0.0265, abs=1e-4)
    assert all(0.0 <= x <= 4158.0 for x, _ in calc.places)


def test_a_lifted_axle_is_named():
    calc = page(masses=(ListedMass(name="load", station=4158.0, mass=4.0, aboard=False),))
    assert calc.notes[-1] == "The front axle would have to pull down: the masses that were not aboard lift it."


def test_listed_masses_leave_the_weights_alone():
    masses = tuple(ListedMass(name="engine", station=s, mass=0.09) for s in (700.0, 1100.0))
    assert page(masses=masses).result.reactions == pytest.approx(page().result.reactions, rel=1e-12)
    assert page(masses=masses).line_loads[0].q_start < page().line_loads[0].q_start


def test_rows_tell_where_and_governing_rows_are_among_them():
    calc = page(spans=(RailSpan(start=0.0, end=3000.0, shape=BOX), RailSpan(start=3000.0, end=4158.0, shape=END)),
                stations=(1000.0,))
    words = dict(calc.places)
    assert words[778.0] == "front axle"
    assert words[1000.0] == "as asked"
    assert words[3000.0] == "section changes"
    assert calc.governing_bending in calc.rows
    assert calc.governing_shear in calc.rows
    assert (calc.governing_bending.station, calc.governing_bending.section.depth) == (3318.0, 80)
    assert calc.utilisation == calc.governing_bending.bending_utilisation
    assert [row.station for row in calc.rows] == sorted(row.station for row in calc.rows)
    assert max(row.utilisation for row in calc.rows) == calc.utilisation


def test_permissible_stresses_are_the_given_ones():
    calc = page(permissible=Permissible(bending=100.0, shear=50.0, source="stated by hand"))
    assert calc.governing_bending.bending_utilisation == pytest.approx(calc.governing_bending.bending / 100, rel=1e-12)
    assert calc.governing_shear.shear_utilisation == pytest.approx(calc.governing_shear.average_shear / 50, rel=1e-12)
    assert any(step.remark == "Permissible: stated by hand" for step in calc.steps)


@pytest.mark.parametrize(
    ("build", "message"),
    [
        (lambda: HandAxle(name="rear axle", station=0.0, load=0.15, unsprung=0.175),
         "rear axle: its unsprung mass of 175 kg leaves nothing of the 150 kg weighed. "
         "Give the axle load in full, and the wheels, brakes and axle as its unsprung mass."),
        (lambda: page(stations=(5000.0,)),
         "stations: 5000 mm is off the rail from 0 to 4158 mm. Give stations on the rail, in mm behind the datum."),
    ],
    ids=["unsprung", "station"],
)
def test_what_cannot_be(build, message):
    with pytest.raises(ModelError) as error:
        build()
    assert str(error.value) == message


@pytest.mark.parametrize("centre", [3350.0, 3500.0, 3150.0], ids=["even", "heavier behind", "heavier in front"])
def test_a_mass_that_lies_along_the_rail_hangs_over_the_axle_as_it_lies(centre):
    """Moment over the rear axle of what lies behind it: of the body's rear half w a^2/2 and of the mass summed up in
    thin slices of a trapezium whose sum and first moment are those stated; at one station it would be nothing there.
    Slices of 0.1 mm: 1e-6."""
    start, end, size = 2600.0, 4100.0, 600.0 * 9.80665
    sacks = ListedMass(name="sacks", station=centre, mass=0.6, aboard=False, spread=(start, end))
    bare, laden = page(), page(masses=(sacks,))
    x = np.arange(start, end, 0.1) + 0.05
    lever = np.array([[1.0, 1.0], [(2 * start + end) / 3, (start + 2 * end) / 3]]) * (end - start) / 2
    first, last = np.linalg.solve(lever, [size, size * centre])
    q = first + (last - first) * (x - start) / (end - start)
    behind = x > 3318.0
    added = -float((q * (x - 3318.0))[behind].sum() * 0.1)
    moments = [float(c.result.moment(3318.0)) for c in (bare, laden)]
    assert moments[1] - moments[0] == pytest.approx(added, rel=1e-6)
    assert laden.result.reactions[1] - bare.result.reactions[1] == pytest.approx(size * (centre - 778) / 2540, rel=1e-9)
    words = dict(laden.places)
    assert (words[2600.0], words[4100.0]) == ("begins: sacks", "ends: sacks")
