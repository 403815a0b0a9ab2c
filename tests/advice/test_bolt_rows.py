"""Bolts in one row through lapping plates bear at most 1.5 fu d t/gamma_M2 (EN 1993-1-8, 3.6.1(10), from memory)."""

import numpy as np
import pytest

from ladderfe.advice.bolt_uses import _one_row, bolt_uses
from ladderfe.chassis import BoltPattern
from ladderfe.checks.bolt_demands import BoltDemand
from ladderfe.checks.bolt_places import Distances
from ladderfe.connections import weld_steel


@pytest.mark.parametrize(("places", "one"), [
    ([(0.0, 0.0)], True),
    ([(0.0, 0.0), (60.0, 0.0)], True),
    ([(0.0, 10.0), (30.0, 30.0), (60.0, 50.0)], True),
    ([(0.0, 0.0), (60.0, 0.0), (60.0, 40.0)], False),
    ([(0.0, 0.0), (60.0, 0.0), (0.0, 40.0), (60.0, 40.0)], False),
])  # fmt: skip
def test_one_row_is_all_holes_on_a_line(places, one):
    assert _one_row(np.array(places)) is one


@pytest.mark.parametrize(("end", "edge"), [(float("inf"), 1.7), (1.7, float("inf")), (2.4, 1.3)])
def test_bearing_goes_by_the_edge_that_a_force_drives_to(end, edge):
    """A bolt pulled down to the free edge of an angle's wall: by hand k1 alpha_b fu d t/1.25 with alpha_b = e/(3 d0)
    and k1 = 2.5 where nothing is beside it (EN 1993-1-8 Table 3.4, from memory), of both directions the lesser."""
    d0, t, fu = 13.0, 4.0, 360.0
    places = ((1000.0, 0.0), (1400.0, 90.0), (1800.0, 0.0))
    pattern = BoltPattern(name="one", member="third", side="left", places=places, diameter=12.0, grade="8.8", hole=d0,
                          head=19.0)  # fmt: skip
    n, shear = len(pattern.places), np.zeros((2, 3, 2))
    shear[1, :, 1] = -1000.0
    own = Distances(np.full(n, end * d0), np.full(n, edge * d0), np.full(n, np.inf))
    demand = BoltDemand(pattern=pattern, part="third", rail="left rail", wall="outer", thickness=t, distances=own,
                        cases=("", "static"), force=np.zeros((2, 3)), moment=np.zeros((2, 3)), shear=shear,
                        pull=np.zeros((2, n)))  # fmt: skip
    told = next(u for u in bolt_uses(demand, weld_steel("S235")).uses if u.what == "bearing on the rail's wall")
    ways = [min(a / 3, 1.0) * min(2.8 * b - 1.7, 2.5) for a, b in ((end, edge), (edge, end))]
    assert told.resistance == pytest.approx(min(ways) * fu * 12 * t / 1.25, rel=1e-9)
