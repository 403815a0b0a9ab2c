"""Bolts, rivets and the wall round them: published resistances, formulas of EN 1993-1-8 from memory, trade's rules."""

from math import inf, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.connections import (
    HoleInWall,
    RailHole,
    bearing,
    bolt,
    hole_rules,
    pull_out,
    rivet,
    shear_and_pull_use,
    spacing_rules,
    tear_out,
)
from ladderfe.connections.bolts import BOLT_CLASSES, stress_area
from ladderfe.errors import ModelError


@pytest.mark.parametrize(("d", "area"), [
    (5, 14.2), (6, 20.1), (8, 36.6), (10, 58.0), (12, 84.3), (14, 115), (16, 157), (18, 192), (20, 245), (22, 303),
    (24, 353),
])  # fmt: skip
def test_stress_areas(d, area):
    """Table of ISO 898-1, coarse threads, values from memory; three digits are printed."""
    assert stress_area(d) == pytest.approx(area, abs=0.55 if d > 13 else 0.055)


def test_stress_area_of_a_fine_thread():
    """M10 x 1.25: 61.2 mm2, ISO 898-1, value from memory."""
    assert stress_area(10, 1.25) == pytest.approx(61.2, rel=2e-3)


@pytest.mark.parametrize(("d", "strength", "shear", "pull"), [
    (12, "8.8", 32.4, 48.6), (16, "8.8", 60.3, 90.4), (20, "8.8", 94.1, 141), (24, "8.8", 136, 203),
    (20, "4.6", 47.0, 70.6), (16, "4.6", 30.1, 45.2), (20, "10.9", 98.0, 176),
])  # fmt: skip
def test_resistances_of_bolts(d, strength, shear, pull):
    """kN with gamma_M2 1.25, thread in the shear plane: tables of the steel industry's "Blue Book" (SCI P363), values
    from memory, three digits."""
    made = bolt(d, strength)
    assert [made.shear / 1250, made.pull / 1250] == pytest.approx([shear, pull], rel=5e-3)


def test_shank_in_shear_and_countersunk_head():
    """0.6 fub pi d^2/4 and 0.63 fub As: EN 1993-1-8 Table 3.4, from memory."""
    made = bolt(12, "10.9", thread_in_shear=False, countersunk=True)
    assert made.shear == pytest.approx(0.6 * 1000 * pi * 36)
    assert made.pull == pytest.approx(0.7 * bolt(12, "10.9").pull)


def test_classes_keep_their_names():
    """First figure fub/100, second fyb/fub x 10 (ISO 898-1): the table against its own names."""
    for name, made in BOLT_CLASSES.items():
        first, second = name.split(".")
        assert made.fub == 100 * int(first)
        assert made.fyb == pytest.approx(made.fub * int(second) / 10)
    assert {n for n, c in BOLT_CLASSES.items() if c.alpha_v == 0.6} == {"4.6", "5.6", "8.8"}


def test_rivet():
    """0.6 x 400 on 13 mm: 31.86 kN before gamma_M2, in shear as in pull (EN 1993-1-8 Table 3.4, from memory)."""
    made = rivet(13.0)
    assert made.shear == made.pull == pytest.approx(0.6 * 400 * pi / 4 * 169, rel=1e-12)


def test_shear_with_pull():
    """Pull alone to 1, shear alone to 1, shear 1 - 1/1.4 beside a full pull: EN 1993-1-8 Table 3.4, from memory."""
    m12 = bolt(12, "8.8")
    v, t = m12.shear / 1.25, m12.pull / 1.25
    use = shear_and_pull_use([v, 0, v * (1 - 1 / 1.4), v / 2, v], [0, t, t, t / 2, -t], m12)
    assert use == pytest.approx([1, 1, 1, 0.5 + 0.5 / 1.4, 1])
    assert shear_and_pull_use(0.1 * v, t, m12) == pytest.approx(1.0)
    assert shear_and_pull_use(v, 0.0, m12, gamma_M2=1.0) == pytest.approx(0.8)


@pytest.mark.parametrize(("distances", "k1_alpha"), [
    ({}, 2.5),
    ({"end": 39.0}, 2.5),
    ({"end": 26.0}, 2.5 * 2 / 3),
    ({"pitch": 39.0}, 2.5 * 0.75),
    ({"edge": 15.6}, 2.8 * 1.2 - 1.7),
    ({"gauge": 31.2}, 1.4 * 2.4 - 1.7),
    ({"end": 26.0, "edge": 15.6, "pitch": 39.0}, 2 / 3 * (2.8 * 1.2 - 1.7)),
    ({"edge": 7.0}, 0.0),
])  # fmt: skip
def test_bearing(distances, k1_alpha):
    """M12 in a 13 mm hole, wall 3 mm, fu 360: k1 alpha_b fu d t/gamma_M2, EN 1993-1-8 Table 3.4, from memory."""
    wall = HoleInWall(hole=13.0, thickness=3.0, fu=360.0, **distances)
    assert bearing(bolt(12, "8.8"), wall) == pytest.approx(max(k1_alpha, 0) * 360 * 12 * 3 / 1.25, abs=1e-9)


def test_bearing_of_a_single_lap_and_of_a_weak_bolt():
    wall = HoleInWall(hole=13.0, thickness=3.0, fu=360.0)
    assert bearing(bolt(12, "8.8"), wall, single_lap=True) == pytest.approx(1.5 * 360 * 12 * 3 / 1.25)
    strong = HoleInWall(hole=13.0, thickness=3.0, fu=510.0)
    assert bearing(bolt(12, "4.6"), strong) == pytest.approx(2.5 * 400 * 12 * 3 / 1.25)


@given(t=st.floats(0.3, 6), end=st.floats(10, 60))
def test_tear_out_is_shear_of_two_planes(t, end):
    """Two planes of clear length e1 - d0/2, thickness as measured, at 0.6 fu (AISC 360 J3.10, from memory)."""
    wall = HoleInWall(hole=13.0, thickness=t, fu=360.0, end=end)
    assert tear_out(wall) == pytest.approx(2 * (end - 6.5) * t * 0.6 * 360 / 1.25)
    assert tear_out(HoleInWall(hole=13.0, thickness=t, fu=360.0)) == inf


def test_pull_out():
    """Head M12 dm 19.4 in 2 mm at 360: 0.6 pi dm t fu/gamma_M2 (EN 1993-1-8 Table 3.4, from memory)."""
    assert pull_out(2.0, 360.0, 19.4) == pytest.approx(0.6 * pi * 19.4 * 2 * 360 / 1.25)


@pytest.mark.parametrize(("distances", "names"), [
    ({"end": 15.6, "edge": 15.6, "pitch": 28.6, "gauge": 31.2}, []),
    ({"end": 15.5}, ["end distance"]),
    ({"edge": 15.5}, ["edge distance"]),
    ({"pitch": 28.5}, ["pitch"]),
    ({"gauge": 31.1}, ["gauge"]),
    ({"end": 52.1, "edge": 51.9, "pitch": 42.1, "gauge": 41.9, "thinner": 3.0}, ["end distance", "pitch"]),
    ({"pitch": 201.0, "thinner": 20.0}, ["pitch"]),
    ({}, []),
])  # fmt: skip
def test_spacing(distances, names):
    """1.2, 1.2, 2.2, 2.4 d0; at most 4 t + 40 and min(14 t, 200): EN 1993-1-8 Table 3.3, from memory."""
    assert [b.rule.name for b in spacing_rules(13.0, **distances)] == names


@pytest.mark.parametrize(("hole", "said"), [
    (RailHole(diameter=13, to_flange=38, to_hole=25, to_reinforcement=13, in_row=3), ""),
    (RailHole(diameter=13, to_flange=37.9), "metal between hole and inside of flange is 37.9 mm, at least 38 mm"),
    (RailHole(diameter=16, to_hole=24.9), "metal between holes is 24.9 mm, at least 25 mm"),
    (RailHole(diameter=17, to_hole=25.4), "metal between holes is 25.4 mm, at least 25.5 mm"),
    (RailHole(diameter=19.1), "diameter of the hole is 19.1 mm, at most 19 mm"),
    (RailHole(diameter=13, to_reinforcement=12), "edge of reinforcement is 12 mm, at least 13 mm"),
    (RailHole(diameter=13, in_row=4), "holes in a vertical row is 4, at most 3"),
    (RailHole(diameter=13, in_flange=True, to_flange=0), "number of holes in a flange is 1, at most 0"),
])  # fmt: skip
def test_holes_in_rails(hole, said):
    """A layout book for body builders of 2022, heavy trucks (excerpt read): values copied from it."""
    found = hole_rules(hole)
    assert len(found) == bool(said)
    assert all(said in str(b) and "layout book for body builders, 2022; excerpt read" in str(b) for b in found)


@pytest.mark.parametrize(("call", "said"), [
    (lambda: bolt(12, "8.9"), 'bolt class: "8.9" is not known. Did you mean "8.8"?'),
    (lambda: bolt(13, "8.8"), "bolt: no coarse pitch is known for 13 mm."),
    (lambda: bolt(12, "8.8", pitch=20), "a pitch of 20 mm on 12 mm is no thread."),
    (lambda: HoleInWall(hole=13, thickness=0, fu=360), "hole in a wall: its thickness is 0."),
    (lambda: HoleInWall(hole=13, thickness=2, fu=360, end=6.5), "its end distance 6.5 mm leaves no metal beside"),
    (lambda: HoleInWall(hole=13, thickness=2, fu=360, pitch=13), "its pitch 13 mm runs into the next hole."),
    (lambda: shear_and_pull_use(-1.0, 0.0, bolt(12, "8.8")), "the shear is -1. Give a number at least 0."),
    (lambda: rivet(0.0), "rivet: the hole is 0."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
