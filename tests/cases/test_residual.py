"""The residual: two equations, two unknowns, solved here again by Cramer's rule from the lever alone.

Statics, derived here; no other source is needed.  Numbers in t and mm unless said otherwise.
"""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.cases import carried_masses, springs, sprung_loads
from ladderfe.errors import ModelError

ROUNDING = 1e-12  # a 2 x 2 or 4 x 4 system of well scaled numbers
XF, XR = 700.0, 3300.0


def rear_share(x):
    return (x - XF) / (XR - XF)


def cramer(a, b, c, d, p, q):
    """Solution of a u + b v = p, c u + d v = q."""
    det = a * d - b * c
    return (p * d - q * b) / det, (a * q - c * p) / det


def uniform(start, end):
    """(front, rear) axle load per unit of a uniform load on one rail."""
    size, rear = end - start, rear_share((start + end) / 2)
    return size * (1 - rear), size * rear


def left_to_bring(chassis, own=0.0, own_x=0.0):
    """(front, rear) sprung load that neither the masses aboard nor the frame bring."""
    front, rear = (a.load - a.unsprung for a in chassis.axles)
    known = [(own, own_x), *((m.mass, m.centre[0]) for m in chassis.masses if m.aboard)]
    for size, x in known:
        front, rear = front - size * (1 - rear_share(x)), rear - size * rear_share(x)
    return front, rear


def sizes(carried):
    return {(line.name, line.side): (line.at_start, line.at_end) for line in carried.lines}


def test_the_test_frames_line_loads_come_back(made):
    """1063.449 and 1383.534 kg on the springs of a body of 4158 mm give 512 and 665 kg/m back, halved on two rails.
    Statics of the beam with overhangs; the loads are those chosen for the test frame in models/."""
    c = made.chassis(
        rails=made.rails(path=((0, 400, 0), (4158, 400, 0))), body=made.Body(start=0, end=4158, split=2079),
        axles=(made.axle("front", 778, 1.223449, unsprung=0.16), made.axle("rear", 3318, 1.553534, unsprung=0.17)),
    )  # fmt: skip
    found = sizes(carried_masses(c, 0.0, (0, 0, 0)))
    for side in ("left", "right"):
        # loads are stated to 1 g, the line loads follow to 1e-6
        assert found["body, front part", side] == pytest.approx((256e-6, 256e-6), rel=2e-6)
        assert found["body, rear part", side] == pytest.approx((332.5e-6, 332.5e-6), rel=2e-6)


def test_two_halves_by_cramers_rule(made):
    """Body from 300 to 3800 split at 1700; frame 80 kg at 2100, an engine aboard, a load that was not aboard."""
    mounts = (made.mount("a", "left rail", 800, -400), made.mount("b", "right rail", 800, 400))
    c = made.chassis(
        body=made.Body(start=300, end=3800, split=1700),
        mounts=mounts,
        masses=(
            made.mass("engine", 0.2, (600, 0, 200), ("a", "b")),
            made.mass("sacks", 0.3, (3500, 0, 300), ("a", "b"), aboard=False),
        ),
    )
    p, q = left_to_bring(c, 0.08, 2100)
    (a, b), (d, e) = uniform(300, 1700), uniform(1700, 3800)
    front, rear = cramer(a, d, b, e, p, q)
    found = carried_masses(c, 0.08, (2100, 0, 0))
    for side in ("left", "right"):
        assert sizes(found)["body, front part", side] == pytest.approx((front / 2, front / 2), rel=ROUNDING)
        assert sizes(found)["body, rear part", side] == pytest.approx((rear / 2, rear / 2), rel=ROUNDING)
    assert found.masses == c.masses
    total = sum(line.mass for line in found.lines)
    assert total == pytest.approx(1.5 - 0.08 - 0.2, rel=ROUNDING), "2 x (900 - 150) kg less frame and engine"


def test_linear_load_by_cramers_rule(made):
    """q from q0 to q1 over 4000 mm: size (q0 + q1) L/2, first moment about its start (q0 + 2 q1) L^2/6."""
    c = made.chassis(body=made.Body(start=0, end=4000, split=2000, distribution="linear"))
    length, (p, q) = 4000.0, left_to_bring(c, 0.08, 2100)
    size, first = p + q, p * XF + q * XR
    q0, q1 = cramer(length / 2, length / 2, length**2 / 6, length**2 / 3, size, first)
    lines = carried_masses(c, 0.08, (2100, 0, 0)).lines
    assert [(line.name, line.side) for line in lines] == [("body", "left"), ("body", "right")]
    for line in lines:
        assert (line.at_start, line.at_end) == pytest.approx((q0 / 2, q1 / 2), rel=ROUNDING)


@pytest.mark.parametrize("outward", [0.0, 80.0])
def test_wheel_loads_share_between_left_and_right(made, outward):
    """Straight rails: with y = +-(400 + outward) everywhere the difference of the rails obeys the same two equations
    as their sum, with the roll moment over y on the right-hand side."""
    heavy_left, heavy_right = (0.47, 0.43), (0.42, 0.48)
    c = made.chassis(
        axles=(
            made.axle("front", XF, wheel_loads=heavy_left, track=1500.0),
            made.axle("rear", XR, wheel_loads=heavy_right, track=1400.0),
        ),
        body=made.Body(start=0, end=4000, split=2000, y=outward),
        mounts=(made.mount("tray", "left rail", 900, -400),),
        masses=(made.mass("battery", 0.02, (900, -500, 0), ("tray",)),),
    )
    own, own_x, own_y = 0.08, 2100.0, 4.0
    roll = [(r - le) * t / 2 for (le, r), t in zip((heavy_left, heavy_right), (1500.0, 1400.0), strict=True)]
    for size, x, y in ((0.02, 900.0, -500.0), (own, own_x, own_y)):
        roll[0] -= size * (1 - rear_share(x)) * y
        roll[1] -= size * rear_share(x) * y
    (a, b), (d, e) = uniform(0, 2000), uniform(2000, 4000)
    total = cramer(a, d, b, e, *left_to_bring(c, own, own_x))
    more = cramer(a, d, b, e, *(m / (400 + outward) for m in roll))
    found = sizes(carried_masses(c, own, (own_x, own_y, 0)))
    for k, name in enumerate(("body, front part", "body, rear part")):
        assert found[name, "left"][0] == pytest.approx((total[k] - more[k]) / 2, rel=ROUNDING)
        assert found[name, "right"][0] == pytest.approx((total[k] + more[k]) / 2, rel=ROUNDING)


def test_masses_off_the_centre_do_not_change_rails_that_were_not_weighed_apart(made):
    """Without wheel loads both rails carry the same residual; the listed masses act at their own y."""
    c = made.chassis(
        mounts=(made.mount("tray", "left rail", 900, -400),),
        masses=(made.mass("battery", 0.02, (900, -500, 0), ("tray",)),),
    )
    found = sizes(carried_masses(c, 0.08, (2100, 30, 0)))
    assert found["body, front part", "left"] == found["body, front part", "right"]


def test_springs_carry_what_the_wheels_weighed(made):
    """Half the sprung load and the roll moment over the spring base: 750 kg, (480 - 420) x 1500/2 over 1000 mm."""
    a = made.axle("front", XF, wheel_loads=(0.42, 0.48), track=1500.0, spring_base=1000.0)
    four = springs(made.chassis(axles=(a, made.axle("rear", XR))))
    assert [s.name for s in four] == [
        "front left spring", "front right spring", "rear left spring", "rear right spring",
    ]  # fmt: skip
    more = 60 * 1500 / 2 / 1000
    assert four[0].weighed == pytest.approx((375 - more) * 9.80665, rel=ROUNDING)
    assert four[1].weighed == pytest.approx((375 + more) * 9.80665, rel=ROUNDING)
    assert four[2].weighed is None
    assert sprung_loads(made.chassis()) == pytest.approx((0.75, 0.75))


def test_wheels_of_one_axle_only_are_refused(made):
    """The roll of the other axle would be a guess that the file does not list."""
    c = made.chassis(axles=(made.axle("front", XF, wheel_loads=(0.45, 0.45)), made.axle("rear", XR)))
    with pytest.raises(ModelError) as caught:
        carried_masses(c, 0.08, (2100, 0, 0))
    assert str(caught.value) == (
        "rear axle: its two sides were not weighed, those of the front axle were. "
        "Give wheel_loads for both axles or for neither."
    )


@pytest.mark.parametrize("size", [0.5, 0.6, 0.9, 1.2, 1.5])
def test_a_line_load_of_just_nothing_is_none(made, size):
    """What was weighed lies where a body over the front half alone has it, at 1000 mm: the lever leaves the rear part
    nothing, and rounding of the sums some 1e-20 t/mm to either side of it."""
    share = rear_share(1000.0)
    c = made.chassis(
        axles=(made.axle("front", XF, 0.15 + size * (1 - share)), made.axle("rear", XR, 0.15 + size * share)),
        body=made.Body(start=0, end=4000, split=2000),
    )
    found = sizes(carried_masses(c, 0.0, (2000, 0, 0)))
    assert abs(found["body, rear part", "left"][0]) < 1e-15
    assert found["body, front part", "left"][0] == pytest.approx(size / 4000, rel=ROUNDING)


def light(made, **body):
    """An engine of 400 kg and a winch of 90 kg ahead of a front axle that was weighed with 350 kg only."""
    mounts = (made.mount("a", "left rail", 400, -400), made.mount("b", "right rail", 400, 400))
    return made.chassis(
        axles=(made.axle("front", XF, 0.35), made.axle("rear", XR, 1.2)),
        mounts=mounts,
        masses=(
            made.mass("winch", 0.09, (-100, 0, 0), ("a", "b")), made.mass("engine", 0.4, (500, 0, 200), ("a", "b")),
            made.mass("tank", 0.06, (3500, 0, 0), ("a", "b")),
            made.mass("roof tent", 0.07, (900, 0, 0), ("a", "b"), aboard=False),
        ),
        body=made.Body(start=0, end=4000, split=2000, **body),
    )  # fmt: skip


@pytest.mark.parametrize("distribution", ["two halves", "linear"])
def test_a_negative_line_load_names_the_light_end_and_what_is_listed_there(made, distribution):
    """The size is the one of Cramer's rule again; what was not aboard and what lies behind are not blamed."""
    c = light(made, distribution=distribution)
    p, q = left_to_bring(c, 0.08, 2000)
    (a, b), (d, e) = uniform(0, 2000), uniform(2000, 4000)
    front = cramer(a, d, b, e, p, q)[0]
    if distribution == "linear":
        front = cramer(2000, 2000, 4000**2 / 6, 4000**2 / 3, p + q, p * XF + q * XR)[0]
    size = f"{front / 2 * 1e6:.0f}"
    weighed = " and ".join(f"{a.name} {1000 * a.load:g} kg" for a in c.axles)
    assert front < 0
    with pytest.raises(ModelError) as caught:
        carried_masses(c, 0.08, (2000, 0, 0))
    assert str(caught.value) == (
        f"body line load, left rail: comes out negative ({size} kg/m) at the front: that end was weighed too light for "
        "the masses listed there (engine 400 kg, winch 90 kg), its unsprung mass and the frame itself (80 kg in all), "
        f"or the other end too heavy. Check the weighed loads of both axles ({weighed}), which masses were "
        "aboard, their places and the unsprung mass."
    )


def test_a_light_rear_end_is_named_as_such(made):
    c = made.chassis(axles=(made.axle("front", XF, 1.6), made.axle("rear", XR, 0.2)))
    with pytest.raises(ModelError) as caught:
        carried_masses(c, 0.08, (2000, 0, 0))
    assert caught.value.where == "body line load, left rail"
    assert "at the rear: that end was weighed too light for the masses listed there (none listed there)" in str(
        caught.value
    )


def test_a_light_side_is_named(made):
    """Wheels that differ by more than the body can explain: the right rail's line load turns negative."""
    axles = tuple(
        made.axle(n, x, wheel_loads=(0.75, 0.15), spring_base=700.0) for n, x in (("front", XF), ("rear", XR))
    )
    with pytest.raises(ModelError, match=r"^body line load, right rail: comes out negative"):
        carried_masses(made.chassis(axles=axles), 0.08, (2000, 0, 0))


def test_shifting_the_weight_shifts_the_line_loads(made):
    """Superposition: 50 kg more at the rear axle adds the line loads that 50 kg at that station ask for."""
    c = made.chassis()
    heavier = replace(c, axles=(c.axles[0], replace(c.axles[1], load=0.95)))
    before, after = (sizes(carried_masses(k, 0.08, (2000, 0, 0))) for k in (c, heavier))
    (a, b), (d, e) = uniform(0, 2000), uniform(2000, 4000)
    front, rear = cramer(a, d, b, e, 0.0, 0.05)
    grown = np.array([after[k][0] - before[k][0] for k in before])
    assert grown == pytest.approx(np.array([front, front, rear, rear]) / 2, rel=1e-9)  # a difference of like numbers
