"""Suspension types and the links made of them: rows, assumptions, refusals.  The mechanics are tested with the solver,
tests/solve/test_contact_on_wheels.py."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from ladderfe.cases.axle_links import raised, suspended, weighed_link_forces
from ladderfe.cases.from_axle import suspension_of
from ladderfe.cases.suspension import Stand, Suspension
from ladderfe.chassis import Axle, chassis_from_text
from ladderfe.errors import ModelError

G = 9806.65


def axle(**more):
    return Axle(
        **{
            "name": "front", "station": 700.0, "load": 0.9, "unsprung": 0.15, "track": 1480.0, "spring_base": 900.0,
            "rate": 30.0, "seats": ((300.0, 0.45), (1100.0, 0.55)), **more,
        }
    )  # fmt: skip


def parts(system, name):
    link = system.links[system.index(name)]
    return dict(link.rows), dict(link.bodies)


def test_links_of_a_beam_axle():
    """d of every link: module docstring of cases/suspension.py with y = -+740 and -+450 mm."""
    s = Suspension(axle=axle(), anti_roll=9e6, bump_gap=60.0, droop=70.0, tyre_rate=200.0, pull=500.0)
    system = suspended([s], held=("hold along x",))
    assert parts(system, "front left wheel") == ({}, {0: 1, 1: -740})
    assert parts(system, "front right wheel") == ({}, {0: 1, 1: 740})
    assert parts(system, "front left spring") == ({0: 1}, {0: -1, 1: 450})
    assert parts(system, "front right bump stop") == ({1: 1}, {0: -1, 1: -450})
    assert parts(system, "front right droop strap") == ({1: -1}, {0: 1, 1: 450})
    assert parts(system, "front anti-roll bar") == ({0: -1, 1: 1}, {1: -900})
    assert parts(system, "hold along x") == ({2: 1}, {})
    by_name = {link.name: link for link in system.links}
    assert by_name["front left wheel"].flexibility == 1 / 200
    assert by_name["front left spring"].lowest == -500
    assert by_name["front anti-roll bar"].flexibility == 900**2 / 9e6
    assert by_name["front anti-roll bar"].lowest == by_name["hold along x"].lowest == -inf
    assert (by_name["front left bump stop"].engages, by_name["front left bump stop"].gap) == (True, 60)
    assert system.bodies == ("front axle", "front axle")
    assert system.weight == (0.15 * G, 0.0)


def test_links_of_independent_wheels():
    """The seat row is carried out to the wheel, 290 mm outboard of the spring; the spring works at the motion ratio."""
    s = Suspension(axle=axle(kind="independent"), motion_ratio=0.7, anti_roll=9e6, bump_gap=40.0)
    system = suspended([s])
    assert parts(system, "front left wheel") == ({}, {0: 1})
    assert parts(system, "front right spring") == ({1: 0.7}, {1: -0.7})
    assert parts(system, "front left bump stop") == ({0: 1}, {0: -1})
    assert parts(system, "front anti-roll bar") == ({0: -1, 1: 1}, {0: 1, 1: -1})
    assert dict(system.seats[1].places) == {
        "front axle, right spring, seat 1": (0, 0, 0.45, pytest.approx(0.45 * 290), 0, 0),
        "front axle, right spring, seat 2": (0, 0, 0.55, pytest.approx(0.55 * 290), 0, 0),
    }
    assert system.bodies == ("front left wheel", "front right wheel")
    assert system.weight == (0.075 * G, 0.075 * G)


@pytest.mark.parametrize("kind", ["beam", "independent"])
def test_moved_bodily_nothing_strains(kind):
    """Frame and axle raised and rolled together: no link between them opens (frame row = its rigid motion)."""
    s = Suspension(
        axle=axle(kind=kind), motion_ratio=1.0 if kind == "beam" else 0.6, anti_roll=1e7, bump_gap=1.0, droop=1.0
    )
    system = suspended([s])
    rows, bodies = system.coupling
    up, roll = 3.0, 0.02
    half = 450 if kind == "beam" else 740
    seats = np.array([up - half * roll, up + half * roll])
    opening = rows @ seats + bodies @ (np.array([up, roll]) if kind == "beam" else seats)
    wheel = np.array([link.kind == "wheel" for link in system.links])
    assert opening[~wheel] == pytest.approx(np.zeros(7), abs=1e-12)
    assert opening[wheel] == pytest.approx([up - 740 * roll, up + 740 * roll])


def test_stands_holds_and_hanging_wheels():
    system = suspended(
        [Suspension(axle=axle())],
        stands=[Stand(name="stand 1", place="left rail, 400")],
        held=("a", "b"),
        hanging=("front left wheel",),
    )
    assert [link.name for link in system.links] == [
        "front left spring",
        "front right wheel",
        "front right spring",
        "stand 1",
        "a",
        "b",
    ]
    assert system.seats[2].places == (("left rail, 400", (0, 0, 1, 0, 0, 0)),)
    assert parts(system, "stand 1") == ({2: 1}, {})
    assert raised(system, {"stand 1": -3, "front right wheel": 40}).tolist() == [0, 40, 0, -3, 0, 0]
    with pytest.raises(ModelError, match="there is no front left wheel"):
        raised(system, {"front left wheel": 10})
    with pytest.raises(ModelError, match="there is no middle wheel"):
        suspended([Suspension(axle=axle())], hanging=("middle wheel",))


def test_assumptions_are_listed():
    """What was not given, with low and high; a spring with two eyes is a leaf and holds on, a coil is loose."""
    leaf = Suspension(axle=axle(), bump_gap=60.0)
    got = {a.key: (a.low, a.used, a.high) for a in leaf.assumed()}
    assert got == {
        "axles.front.pull": (0, inf, inf),
        "axles.front.tyre_rate": (150, inf, inf),
        "axles.front.bump_rate": (300, 1000, 2000),
    }
    assert leaf.taken("tyre_rate") == inf
    coil = Suspension(axle=axle(seats=((700.0, 1.0),)))
    assert coil.taken("pull") == 0
    assert Suspension(axle=axle(), pull=100.0, tyre_rate=200.0).assumed() == ()


def test_roll_stiffness():
    """k s^2/2 + bar; independent m^2 k t^2/2."""
    assert Suspension(axle=axle(), anti_roll=1e6).roll_stiffness == 30 * 900**2 / 2 + 1e6
    assert Suspension(axle=axle(kind="independent"), motion_ratio=0.5).roll_stiffness == 0.25 * 30 * 1480**2 / 2


def test_weighed_link_forces():
    """Left 400, right 500, unsprung 150 kg: springs 375 -+ 50 x 1480/900 kg; not known if a wheel was not weighed."""
    s = Suspension(axle=axle(wheel_loads=(0.4, 0.5)), anti_roll=1e6)
    system = suspended([s], held=("x",))
    forces = weighed_link_forces(system, [s])
    assert forces == pytest.approx(np.array([0.4, 0.375 - 0.05 * 1480 / 900, 0.5, 0.375 + 0.05 * 1480 / 900, 0, 0]) * G)
    plain = Suspension(axle=axle())
    assert weighed_link_forces(suspended([plain]), [plain]) is None


@pytest.mark.parametrize(
    ("field", "value", "words"),
    [
        ("motion_ratio", 0.8, "motion ratio 0.8 on a beam axle"),
        ("bump_rate", 0.0, "bump_rate 0 is not a finite number above 0"),
        ("bump_rate", inf, "bump_rate inf is not a finite number above 0"),
        ("droop", -1.0, "droop -1 is less than 0"),
        ("anti_roll", inf, "anti_roll inf is out of range"),
        ("tyre_rate", 0.0, "tyre rate 0 N/mm is not above 0"),
    ],
)
def test_refusals(field, value, words):
    with pytest.raises(ModelError) as caught:
        Suspension(axle=axle(), **{field: value})
    assert (caught.value.where, caught.value.problem) == ("front axle", words)


@pytest.mark.parametrize("kind", ["beam", "independent"])
def test_what_is_taken_is_what_the_reader_lists(kind):
    """One table: an axle of a chassis file and one that knows nothing stand on the same springs."""
    c = chassis_from_text(
        'wheelbase = 2300\n[rails]\n'
        'path = [{ station = 0, half_spacing = 380 }, { station = 3600, half_spacing = 380 }]\n'
        'sections = [{ shape = "box", depth = 120, width = 65, wall = 2.5 }]\n'
        '[[crossmembers]]\nstation = 100\nshape = "tube"\ndiameter = 60\nwall = 3\n'
        '[[crossmembers]]\nstation = 3500\nshape = "tube"\ndiameter = 60\nwall = 3\n'
        "[[axles]]\nload = 800\ntrack = 1450\nbump_gap = 60\ndroop = 80\n"
        f'[[axles]]\nstation = 2900\nload = 750\ntrack = 1450\nspring = "leaf"\nsuspension = "{kind}"\nbump_gap = 50\n'
    )
    listed = {a.key: a for a in c.assumptions}
    for a in c.axles:
        unknown = replace(a, bump_rate=None, strap_rate=None, pull=None, tyre_rate=None)
        known, plain = suspension_of(a), suspension_of(unknown)
        assert known.assumed() == ()
        assert len(plain.assumed()) >= 3
        assert all(listed[own.key] == own for own in plain.assumed())
        for name in ("bump_rate", "strap_rate", "pull", "tyre_rate"):
            if getattr(a, name) is not None:
                assert known.taken(name) == plain.taken(name)
