"""The free end of boxing: an open rail that warps pushes the box out of its shape there.

By beam theory: the flanges of a twisted channel bend to opposite sides (a bimoment), which the box takes over at its
end; a box without an end plate gives way by racking, so that its walls bend.  That is no matter of how finely the rail
is divided, and it goes where a plate keeps the end's shape.
"""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import Diaphragm
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.solve import solve_chassis

START = 2000.0
PLAN = f'[[plates]]\nkind = "boxing"\nrail = "both"\nfrom = {START:g}\nto = 2700\nthickness = 3\n'


@pytest.fixture
def states(plans, tmp_path):
    plans.frame(tmp_path, plans.CHANNEL, plans.TWIST)
    return plans.planned(tmp_path, PLAN)


def at_the_end(chassis, refine=1):
    """Right at the free end of the left rail's boxing, in twist: of the box the greatest von Mises stress and stress
    across its walls; of the channel in front of it the bimoment and the greatest normal stress."""
    s = solve_chassis(chassis, refine=refine)
    case = [c.name for c in s.cases].index("twist")
    part = next(p for p in s.mesh.parts if p.kind == "rail" and p.side == "left")
    rows = look_at(s)
    found = stresses(s, rows)
    own = (rows.member >= part.first) & (rows.member < part.last) & (np.abs(rows.along - START) < 1e-6)
    middle = s.mesh.along[rows.member].mean(axis=1)
    box, channel = own & (middle > START), own & (middle < START)
    return (
        found.von_mises[box][:, :, case].max(),
        found.across[box][:, :, case].max(),
        np.abs(rows.resultants[channel, 6, case]).max(),
        np.abs(found.normal[channel][:, :, case]).max(),
    )


def test_it_does_not_hang_on_the_mesh(states):
    """Members are exact but for loads along them and what couples racking to bending: twice and four times as many move
    the stress by less than a hundredth."""
    one, two, four = (at_the_end(states.chassis, k) for k in (1, 2, 4))
    assert two == pytest.approx(one, rel=0.01)
    assert four == pytest.approx(two, rel=0.005)
    assert one[1] > 0.5 * one[0]  # most of it is walls that bend


def test_an_end_plate_keeps_the_shape_and_loads_the_open_flanges(states):
    """Held in shape the box gives way less, so that the channel's warping is held harder."""
    free = at_the_end(states.chassis)
    plates = tuple(Diaphragm(name=f"end {s}", side=s, station=START, thickness=4.0) for s in ("left", "right"))
    held = at_the_end(replace(states.chassis, diaphragms=plates))
    assert held[1] < 0.1 * free[1]
    assert held[0] < free[0]
    assert held[2] > 1.1 * free[2]
    assert held[3] > free[3]


def test_the_page_remarks_on_free_ends_only(states, plans, tmp_path):
    (words,) = (w for w in remarks(states) if "no crossmember holds it" in w and "left" in w)
    assert "at 2000 mm" in words
    assert "2700" not in words.split("no crossmember")[0].split(": at")[1]
    whole = plans.planned(tmp_path, PLAN.replace("2000", "1400"))
    assert not any("no crossmember holds it" in w for w in remarks(whole))
