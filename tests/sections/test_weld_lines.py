"""Shear flow in the lines that join plates, against V Q/I, Bredt's cells and the compatibility of a cell, by hand."""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import numpy as np
import pytest

from ladderfe.errors import ModelError
from ladderfe.sections import Box, Channel, Wall, boxing_plate, flow_of, joining_flow, lapped_plate, weld_lines

BOX = Box(depth=100.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0).section()
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y").section()
ROUNDING = 1e-9


def around(corners, thickness, count=4000):
    """Flow at the corners of a closed cell per unit Vz, the flow's free constant from a cell that does not open: by
    summing t z ds along each wall in small steps (symmetric about y, so that Q/I holds without Iyz)."""
    q, slip, length, inertia, at = 0.0, 0.0, 0.0, 0.0, [0.0]
    for i, t in enumerate(thickness):
        start, end = np.array(corners[i]), np.array(corners[(i + 1) % len(corners)])
        ds = np.hypot(*(end - start)) / count
        z = start[1] + (end[1] - start[1]) * (np.arange(count) + 0.5) / count
        grown = np.cumsum(t * z * ds)
        inertia += (t * z**2 * ds).sum()
        slip += ((q - grown + t * z * ds / 2) * ds / t).sum()
        length += count * ds / t
        q -= grown[-1]
        at.append(q)
    return (np.array(at[:-1]) - slip / length) / inertia


def test_boxed_channel():
    """Channel closed by a plate between its flanges' edges: two weld lines along the plate's edges.

    Under Vz the redundant flow by hand, the same in both by symmetry but of opposite sign (what one brings in the other
    takes out); together V Q/I of the plate, which is 0.  Under torque Bredt's T/(2 Am) runs through both.  1e-6: the
    sum in small steps.
    """
    section = boxing_plate(CHANNEL, "top", "bottom", 3.0)
    upper, lower = sorted(weld_lines(section, ["boxing plate"]), key=lambda line: -line.z)
    assert (upper.name, lower.name) == ("boxing plate, top edge", "boxing plate, bottom edge")
    assert (upper.y, upper.z, lower.z) == pytest.approx((31.0, 73.0, -73.0))
    corners = [(31.0, -73.0), (31.0, 73.0), (-30.5, 73.0), (-30.5, -73.0)]  # counter-clockwise from below
    by_hand = around(corners, (3.0, 4.0, 4.0, 4.0))
    assert lower.flow[1] == pytest.approx(by_hand[0], rel=1e-6)
    assert upper.flow[1] == pytest.approx(-by_hand[1], rel=1e-6)
    assert by_hand[0] == pytest.approx(by_hand[1], rel=1e-6)
    assert joining_flow(section, ["boxing plate"], (0.0, 1.0)) == pytest.approx(0, abs=1e-12)
    bredt = 1 / (2 * 61.5 * 146)
    assert (lower.flow[2], upper.flow[2]) == pytest.approx((bredt, -bredt), rel=ROUNDING)


def test_boxing_plate_carries_side_load():
    """Under Vy both welds pull alike, each V Q/(2 I) of the mid-lines; V Q/I of the true plates is 3 % less, the plate
    being 142 mm where its mid-line is 146."""
    section = boxing_plate(CHANNEL, "top", "bottom", 3.0)
    lines = flow_of(section).lines
    one, other = (line.flow[0] for line in weld_lines(section, ["boxing plate"]))
    half = lines.metal[-1] * lines.arms[-1, 0, 0] / lines.moments[0, 0] / 2
    assert (one, other) == pytest.approx((half, half), rel=ROUNDING)
    assert one + other == pytest.approx(joining_flow(section, ["boxing plate"], (1.0, 0.0)), rel=0.035)


def test_doubler_under_torque():
    """Doubler 60 x 4 on a box's web: Bredt's two cells by hand (the thin one has the welds' throats in its sides, 3.5
    mm long); each weld carries the flow that the doubler takes off the web."""
    section = lapped_plate(BOX, "plus", width=60.0, thickness=4.0, throat=2.0)
    thin, wide = 60 * 3.5, 57 * 97
    shared = 60 / 3  # web under the doubler, length over thickness
    cells = np.array([[2 * (57 + 97) / 3, -shared], [-shared, 60 / 4 + shared + 2 * 3.5 / 2]])
    flows = np.linalg.solve(cells, [2 * wide, 2 * thin])  # per unit G theta'
    J = 2 * (wide * flows[0] + thin * flows[1])
    assert flow_of(section).J == pytest.approx(J, rel=ROUNDING)
    lines = weld_lines(section, ["plus plate"])
    assert {line.name for line in lines} == {"plus weld 1", "plus weld 2"}
    assert sorted(line.flow[2] for line in lines) == pytest.approx([-flows[1] / J, flows[1] / J], rel=ROUNDING)


def test_cover_plate_under_upright_load():
    """Cover 40 x 4 in the middle under a channel opening up: both welds alike, each V Q/(2 I) of the mid-lines."""
    section = lapped_plate(Channel(depth=60.0, width=80.0, web=3.0, top=3.0, bottom=3.0, opens="+z").section(), "web",
                           width=40.0, thickness=4.0, throat=3.0)
    lines = flow_of(section).lines
    plate = section.walls.index(section.named("web plate")[0])
    statics = lines.metal[plate] * lines.arms[plate, :, 1].mean()
    for line in weld_lines(section, ["web plate"]):
        assert line.flow[1] == pytest.approx(statics / lines.moments[1, 1] / 2, rel=ROUNDING)


def test_plate_of_several_walls_joined_on_one_edge():
    """An added angle welded along its heel only: one line, which brings all of its tension."""
    heel, knee = (28.5, 0.0), (58.5, 0.0)
    web = BOX.named("plus")[0]
    added = (Wall("ledge", heel, knee, 5.0), Wall("ledge", knee, (58.5, 20.0), 5.0))
    section = BOX.swapped(web, web.split(0.5))
    section = type(section)((*section.walls, *added))
    (line,) = weld_lines(section, ["ledge"])
    assert line.name == "ledge, plus edge"
    assert (line.y, line.z) == pytest.approx(heel, abs=1e-9)
    assert line.flow[:2] == pytest.approx(
        [joining_flow(section, ["ledge"], load) for load in ((1.0, 0.0), (0.0, 1.0))], rel=0.02)


def test_no_wall_of_that_name():
    with pytest.raises(ModelError, match="no wall is called 'patch'"):
        weld_lines(BOX, ["patch"])
