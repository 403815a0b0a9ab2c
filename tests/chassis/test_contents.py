"""What people know of what they carry: persons, litres, loads along the rails, rubber; worked out by hand.

75 kg a seat is common practice without a source, densities of fuels are values from memory.
"""

from __future__ import annotations

from math import ceil

import pytest

from ladderfe.chassis import chassis_from_text, with_assumption
from ladderfe.errors import InputError

ON = 'on = ["engine mount"]'


@pytest.fixture
def read(minimal):
    """The small file with other lines instead of the engine's mass, its mounts, or after its mount's station."""

    def reader(mass="mass = 180", on=ON, mount="", more=""):
        text = minimal.replace("mass = 180", mass).replace(ON, on)
        return chassis_from_text(text.replace("station = 700", f"station = 700\n{mount}", 1) + more)

    return reader


def faults(read, **changes):
    with pytest.raises(InputError) as caught:
        read(**changes)
    return [(p.key, p.rule) for p in caught.value.problems]


def test_people(read):
    c = read("people = 4")
    (crew,) = c.masses
    assert (crew.mass, crew.people) == (pytest.approx(0.300), 4)
    (person,) = [a for a in c.assumptions if a.key == "masses.person"]
    assert (person.low, person.used, person.high, person.unit) == (60, 75, 100, "kg")
    assert with_assumption(c, "masses.person", 100.0).masses[0].mass == pytest.approx(0.400)


@pytest.mark.parametrize(
    ("tank", "kg", "litres"),
    [
        ('litres = 70\nfluid = "petrol"', 70 * 0.745, 70),
        ('litres = 80\nfill = 0.25\nfluid = "diesel"', 20 * 0.835, 20),
        ('litres = 60\nfluid = "water"\nempty = 5.5', 65.5, 60),
        ('litres = 60\nfill = 0\nfluid = "petrol"\nempty = "11 lb"', 11 * 0.45359237, 0),
    ],
)
def test_tanks(read, tank, kg, litres):
    (mass,) = read(tank).masses
    assert mass.mass == pytest.approx(kg / 1000)
    assert mass.litres == pytest.approx(litres)


def test_the_density_of_fuel_is_assumed_and_that_of_water_is_not(read):
    fuel = read('litres = 100\nfluid = "diesel"')
    (a,) = [a for a in fuel.assumptions if a.key == "masses.diesel"]
    assert (a.low, a.used, a.high, a.unit) == (0.82, 0.835, 0.845, "kg/l")
    assert with_assumption(fuel, "masses.diesel", 0.82).masses[0].mass == pytest.approx(0.082)
    assert not [a for a in read('litres = 9\nfluid = "water"').assumptions if a.key.startswith("masses.water")]


@pytest.mark.parametrize(("start", "end"), [(1000, 2190), (1000, 1080), (400, 2000.5)])
def test_a_spread_mass_hangs_in_the_middle_of_equal_stretches(read, start, end):
    c = read(on=f"spread = {{ from = {start}, to = {end} }}")
    (mass,) = c.masses
    n = ceil((end - start) / 100)
    cell = (end - start) / n
    assert cell <= 100
    places = [m for m in c.mounts if m.spread]
    assert mass.mounts == tuple(m.name for m in places)
    assert places[0].name == "engine left 1"
    assert places[-1].name == f"engine right {n}"
    for side, y in (("left rail", -380), ("right rail", 380)):
        own = [m for m in places if m.part == side]
        assert [m.station for m in own] == pytest.approx([start + (k + 0.5) * cell for k in range(n)])
        assert {(m.y, m.height, m.rates) for m in own} == {(y, 0, None)}
    assert mass.centre == pytest.approx(((start + end) / 2, 0, 0))
    assert mass.spread == (start, end)
    assert not [a for a in c.assumptions if a.key.startswith("masses.")]


def test_a_spread_mass_may_have_its_own_centre_and_lie_beside_the_rails_middle(read):
    c = read(on="at = { y = 60, height = 500 }\nspread = { from = 1000, to = 1500, offset = 20 }")
    assert c.masses[0].centre == pytest.approx((1250, 60, 500))
    assert {m.y for m in c.mounts if m.spread} == {-400, 400}


def test_rates_of_mounts(read):
    def rates(mount):
        return {m.rates for m in read(mount=mount).mounts}

    assert rates("") == {None}
    assert rates("rate = 300") == {(300, 300, 300)}
    assert rates("rate = 300\nrate_along = 90") == {(90, 90, 300)}
    assert rates("rate = 300\nrate_sideways = 120") == {(120, 120, 300)}
    (own,) = rates('rate = "1000 lbf/in"\nrate_along = 1\nrate_sideways = 2')
    assert own == pytest.approx((1, 2, 1000 * 4.4482216 / 25.4))


def test_rates_in_the_level_plane_are_assumed_where_none_is_given(read):
    c = read(mount="rate = 300")
    (a,) = [a for a in c.assumptions if a.key == "mounts.rate_along"]
    assert (a.low, a.used, a.high) == (0.2, 1, 2)
    assert {m.rates for m in with_assumption(c, a.key, 0.2).mounts} == {(60, 60, 300)}
    stated = read(mount="rate = 300\nrate_sideways = 90")
    assert not [a for a in stated.assumptions if a.key.startswith("mounts.")]


PAIR = '\n[[mounts]]\nname = "tail mount"\non = "rear"\n'
BESIDE = "has no meaning without litres"


@pytest.mark.parametrize(
    ("changes", "found"),
    [
        ({"mass": ""}, [("mass", "is missing")]),
        ({"mass": "mass = 9\npeople = 2"}, [("people", "is given beside mass")]),
        ({"mass": 'people = 2\nlitres = 9\nfluid = "water"'}, [("litres", "is given beside people")]),
        ({"mass": "people = 2.5"}, [("people", "must be a whole number")]),
        ({"mass": "people = 75"}, [("people", "must be at most 60")]),
        ({"mass": "litres = 70"}, [("fluid", "is missing")]),
        ({"mass": 'litres = 70\nfluid = "petrol"\nfill = 75'}, [("fill", "must be at most 1")]),
        ({"mass": 'litres = 70\nfluid = "petrol"\nfill = 0'}, [("fill", "leaves nothing that weighs")]),
        ({"mass": "mass = 60\nfill = 0.5\nempty = 4"}, [("fill", BESIDE), ("empty", BESIDE)]),
        ({"mass": "liters = 60\nfill = 0.5"}, [("liters", "is not a known key")]),
        ({"mass": "passengers = 2"}, [("passengers", "is not a known key")]),
        ({"on": ""}, [("on", "is missing")]),
        ({"on": f"{ON}\nspread = {{ from = 1, to = 99 }}"}, [("spread", "is given beside on")]),
        ({"on": "spread = { from = 900, to = 100 }"}, [("spread, to", "must lie behind from, which is 900 mm")]),
        ({"on": "spread = { from = 900 }"}, [("spread, to", "is missing")]),
        (
            {"on": "spread = { from = -900, to = 9000 }"},
            [(f"spread, {k}", "lies off the rails, which reach from 0 to 3600 mm") for k in ("from", "to")],
        ),
        (
            {"on": "spread = { from = 100, to = 900 }", "mount": PAIR.replace("tail mount", "engine right 3")},
            [("name", 'names the places that carry it, and one of them is called "engine right 3" as a mount is')],
        ),
        (
            {"on": 'on = ["engine mount", "tail mount"]', "mount": f"rate = 200\n{PAIR}"},
            [("on", 'names mounts with a rate and others without: "tail mount"')],
        ),
    ],
)
def test_what_does_not_go_together_is_told_where_it_stands(read, changes, found):
    assert faults(read, **changes) == [(f'mass "engine", {key}', rule) for key, rule in found]


def test_a_rate_that_cannot_be_read_is_told_once(read):
    both = {"on": 'on = ["engine mount", "tail mount"]', "mount": f'rate = "soft"\nrate_along = 3\n{PAIR}rate = 3'}
    assert [key for key, _ in faults(read, **both)] == ['mount "engine mount", rate']
    (one,) = faults(read, mount="rate_along = 30")
    assert one == ('mount "engine mount", rate_along', "has no meaning without rate")


def test_all_of_it_at_once(read):
    """Faults of one mass do not hide each other, nor those of its mounts."""
    found = faults(read, mass="people = 2.5\nmass = 9\nfill = 3", on="spread = { from = 1 }", mount="rate_along = -3")
    assert [key for key, _ in found] == [
        'mount "engine mount", rate_along', *(f'mass "engine", {k}' for k in ("people", "people", "fill", "spread, to"))
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("before", "over", "after"),
    [
        ("mass = 180", "people = 2", "people = 2"),
        ("people = 2", "mass = 180", "mass = 180"),
        ('litres = 70\nfluid = "petrol"\nempty = 9', "mass = 50", "mass = 50"),
        ('litres = 70\nfluid = "petrol"', "fill = 0.5", 'litres = 70\nfill = 0.5\nfluid = "petrol"'),
        ("mass = 180", 'litres = 9\nfluid = "water"', 'litres = 9\nfluid = "water"'),
    ],
)
def test_an_overlay_may_tell_a_mass_otherwise(tmp_path, minimal, before, over, after):
    from ladderfe.chassis import read_chassis

    (tmp_path / "frame.toml").write_text(minimal.replace("mass = 180", before))
    (tmp_path / "other.toml").write_text(f'base = "frame.toml"\n[[masses]]\nname = "engine"\n{over}\n')
    assert read_chassis(tmp_path / "other.toml") == chassis_from_text(minimal.replace("mass = 180", after))


def test_an_overlay_may_spread_what_hung_on_mounts(tmp_path, minimal):
    from ladderfe.chassis import read_chassis

    spread = "spread = { from = 900, to = 1500 }"
    (tmp_path / "frame.toml").write_text(minimal)
    (tmp_path / "other.toml").write_text(f'base = "frame.toml"\n[[masses]]\nname = "engine"\n{spread}\n')
    assert read_chassis(tmp_path / "other.toml") == chassis_from_text(minimal.replace(ON, spread))
