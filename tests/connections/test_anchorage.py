"""Welds of a lapped plate: V Q/I by another room, closed forms of its ends, and balance at every cut."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.connections import PlateEnd, anchorage, anchorage_length, cover_plate_end_length
from ladderfe.errors import ModelError
from ladderfe.sections import Box, lapped_plate, properties, weld_lines

WHOLE = PlateEnd(zone=0.0, across=1.0)
HALVES = (0.5, 0.5)


def test_flow_is_v_q_over_i():
    """Box 100 x 60 x 3 with a plate of 50 x 4 mm below: 6 kN of shear ask 15.0235676 N/mm of each of two welds.

    Source: q = V Q/I with I and Q by parallel axes (worked by the authors on the outline, no source); M = V x.
    """
    Q, I, V = 8549.46619, 1707210.91, 6000.0
    x = np.array([200.0, 500.0, 900.0])
    found = anchorage(x, V * x * Q / I, HALVES, (WHOLE, WHOLE))
    assert found.flow == pytest.approx(np.full((2, 2, 2), 15.0235676), rel=1e-8)
    assert found.end_force == pytest.approx(V * np.array([200, 900]) * Q / I)
    assert found.end_weld == pytest.approx(found.end_force)


def test_flow_of_the_room_of_sections():
    """The same box: N = int s dA of the plate under My = V x, against `weld_lines`, sign and all, both per unit Vz.

    2e-3: the flow of mid-lines, which closes on itself under the plate, is not quite V Q/I shared evenly.
    """
    box = Box(depth=100.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0).section()
    section = lapped_plate(box, "bottom", width=50.0, thickness=4.0, throat=3.0)
    q = properties(section)
    x = np.array([0.0, 400.0])
    found = anchorage(x, x / q.Iyy * (-52.0 - q.zc) * 200, HALVES, (WHOLE, WHOLE))
    assert found.flow[0, 0, 0] == pytest.approx(-15.0235676 / 6000, rel=1e-7)
    assert found.flow[0, 0] == pytest.approx([w.flow[1] for w in weld_lines(section, ["bottom plate"])], rel=2e-3)


def test_pointed_ends_of_a_plate_under_even_force():
    """30 kN all along, tapers of 150 and 200 mm: 100 and 75 N/mm in each of two welds (closed form)."""
    found = anchorage([0.0, 1000.0], [30e3, 30e3], HALVES, (PlateEnd(zone=150), PlateEnd(zone=200)))
    assert found.station.tolist() == [0, 150, 800, 1000]
    assert found.carried == pytest.approx([0, 30e3, 30e3, 0])
    assert found.flow[:, 0, 0] == pytest.approx([100, 0, -75])
    assert found.greatest == pytest.approx([100, 100])
    assert found.end_weld == pytest.approx([0, 0])


def test_weld_across_the_end_takes_its_share():
    """A third of 30 kN by the end weld: 10 kN, and 20 kN over 100 mm (closed form)."""
    found = anchorage([0.0, 1000.0], [30e3, 30e3], HALVES, (PlateEnd(zone=100, across=1 / 3), WHOLE))
    assert found.end_weld == pytest.approx([10e3, 30e3])
    assert found.flow[0, :, 0] == pytest.approx([100, 100])


def test_length_for_a_strength_uses_the_weld_fully():
    """The zone that anchorage_length gives has just the weld's strength as its flow; an end weld shortens it."""
    each = 3 * 0.7 * 207.8
    zone = float(anchorage_length(-40e3, 2 * each))
    found = anchorage([0.0, 900.0], [-40e3, -40e3], HALVES, (PlateEnd(zone=zone), PlateEnd(zone=zone)))
    assert found.greatest == pytest.approx([each, each])
    assert zone == pytest.approx(40e3 / (2 * each))
    assert anchorage_length(-40e3, 2 * each, 10e3) == pytest.approx(0.75 * zone)
    assert anchorage_length([5e3, 40e3], 2 * each, 10e3)[0] == 0


@st.composite
def plates(draw):
    """Stations, forces of either sign, shares of one to three welds, ends that fit."""
    steps = draw(st.lists(st.floats(20, 300), min_size=2, max_size=7))
    x = 100.0 + np.cumsum([0.0, *steps])
    force = np.array([draw(st.floats(-5e4, 5e4)) for _ in x])
    raw = np.array(draw(st.lists(st.floats(0.1, 1), min_size=1, max_size=3)))
    length = x[-1] - x[0]
    ends = tuple(PlateEnd(zone=draw(st.floats(0.05, 0.5)) * length * 0.999, across=draw(st.floats(0, 1))) for _ in "ab")
    return x, force, raw / raw.sum(), ends


@given(made=plates())
def test_free_body_is_in_balance_at_every_cut(made):
    """End weld and edge welds up to a cut add up to the plate's force there; all welds together to nothing.

    The flow is linear between stations, so the mean of both ends is exact.
    """
    x, force, shares, ends = made
    found = anchorage(x, force, shares, ends)
    step = np.diff(found.station)
    gained = (found.flow.mean(axis=1) * step[:, None]).sum(axis=1)
    size = 1e-9 * (np.abs(force).max() + 1)
    assert found.end_weld[0] + np.append(0, np.cumsum(gained)) == pytest.approx(found.carried, abs=size)
    assert found.end_weld[0] + gained.sum() - found.end_weld[1] == pytest.approx(0, abs=size)
    inner = (found.station >= x[0] + ends[0].zone - 1e-9) & (found.station <= x[-1] - ends[1].zone + 1e-9)
    assert found.carried[inner] == pytest.approx(found.theory[inner], abs=1e-8 * (np.abs(force).max() + 1))
    assert (np.abs(found.carried) <= np.abs(found.theory) + size).all()
    assert found.end_weld == pytest.approx(found.end_force * [e.across for e in ends], abs=size)


@given(made=plates())
def test_flow_is_the_slope_of_what_is_carried(made):
    """Differences of r N on a grid of its own against the flow: r by hand, quadratic in x, so middles are exact."""
    x, force, shares, ends = made
    found = anchorage(x, force, shares, ends)
    s, h = (found.station[:-1] + found.station[1:]) / 2, 1e-3

    def carried(at):
        away = zip(ends, (at - x[0], x[-1] - at), strict=True)
        r = [e.across + (1 - e.across) * np.minimum(d / e.zone, 1) for e, d in away]
        return np.minimum(*r) * np.interp(at, x, force)

    wide = np.diff(found.station) > 1
    slope = (carried(s + h) - carried(s - h)) / (2 * h)
    expected = slope[:, None] * shares
    assert found.flow.mean(axis=1)[wide] == pytest.approx(expected[wide], abs=1e-6 * (1 + np.abs(force).max()))


def test_ends_of_cover_plates():
    """1, 1.5 and 2 widths: AISC 360 F13.3, value from memory."""
    assert [cover_plate_end_length(60.0, 4.0, leg) for leg in (3.0, 2.9, 0.0)] == [60.0, 90.0, 120.0]


@pytest.mark.parametrize(("call", "said"), [
    (lambda: PlateEnd(zone=0.0), "end of the plate: 1 of its force has no length to come in over."),
    (lambda: PlateEnd(zone=5.0, across=1.5), "the end weld's share is 1.5. Give a number at least 0 and at most 1."),
    (lambda: anchorage([0, 100], [1, 1], HALVES, (PlateEnd(zone=60), PlateEnd(zone=60))),
     "plate: zones of 60 and 60 mm at its ends do not fit its length 100 mm."),
    (lambda: anchorage([0, 100], [1, 1], (0.5, 0.4), (WHOLE, WHOLE)), "the shares of its edge welds add up to 0.9."),
    (lambda: anchorage([0, 100, 100], [1, 1, 2], HALVES, (WHOLE, WHOLE)), "3 stations do not rise from end to end"),
    (lambda: anchorage([0, 100], [1, 1, 2], HALVES, (WHOLE, WHOLE)), "2 stations do not rise from end to end with 3"),
    (lambda: anchorage_length(1e3, 0.0), "the welds' strength is 0."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
