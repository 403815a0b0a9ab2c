"""From axle weights to line loads and back.

Source: statics, derived (no publication).  Status: derived here and re-computed independently by a two-by-two solve and
a frame solver; printed to the digits given.
"""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from ladderfe.errors import ModelError
from ladderfe.hand import Beam, LineLoad, PointLoad, solve_beam
from ladderfe.hand.line_loads import Spread, centre_of_gravity, line_loads_from_reactions

KG = 9.80665  # N


def back(loads, supports, start, end, points=()):
    """Reactions of the beam that carries the loads."""
    beam = Beam(start=start, end=end, supports=supports, line_loads=tuple(loads), point_loads=points)
    return solve_beam(beam).reactions


def test_two_line_loads_from_axle_loads():
    loads = line_loads_from_reactions((6200.0, 4900.0), (700.0, 3300.0), Spread(start=0.0, end=4200.0))
    assert [q.q_start for q in loads] == pytest.approx([3.27777778, 2.00793651], rel=1e-6)
    assert back(loads, (700.0, 3300.0), 0.0, 4200.0) == pytest.approx((6200.0, 4900.0), rel=1e-12)  # exact


def test_known_masses_are_taken_off_first():
    known = (PointLoad(700.0, 2200.0, "engine"), PointLoad(1500.0, 900.0, "gearbox"))
    loads = line_loads_from_reactions((9000.0, 7000.0), (800.0, 3200.0), Spread(start=0.0, end=4000.0), known)
    assert [q.q_start for q in loads] == pytest.approx([2.9975, 3.4525], rel=1e-6)
    assert back(loads, (800.0, 3200.0), 0.0, 4000.0, known) == pytest.approx((9000.0, 7000.0), rel=1e-12)


def test_centre_of_gravity():
    weight, station = centre_of_gravity((1050.0, 850.0), (0.0, 2600.0))
    assert (weight, station) == pytest.approx((1900.0, 1163.15789), rel=1e-6)


class TestShortFrame:
    """Frame 4158 mm long, front axle at 778 mm, wheelbase 2540 mm, 512 and 665 kg/m on its halves.

    Tolerances are half a unit of the last printed digit.  The shears are printed on the convention V = dM/dx (upward
    forces ahead less downward ones), which is ours: no sign is turned.
    """

    supports = (778.0, 3318.0)
    spread = Spread(start=0.0, end=4158.0)
    loads = (LineLoad(0.0, 2079.0, 0.512 * KG, 0.512 * KG), LineLoad(2079.0, 4158.0, 0.665 * KG, 0.665 * KG))
    result = solve_beam(Beam(start=0.0, end=4158.0, supports=supports, line_loads=loads))

    def test_reactions(self):
        assert [r / KG for r in self.result.reactions] == pytest.approx([1063.4, 1383.5], abs=0.05)

    def test_shear_beside_the_rear_axle(self):
        ahead, behind = self.result.shear_beside(3318.0)
        assert ahead / KG == pytest.approx(-824.9, abs=0.05)
        assert behind / KG == pytest.approx(558.6, abs=0.05)
        assert self.result.greatest_shear == (3318.0, ahead)

    def test_moments(self):
        kgm = 1000 * KG
        assert self.result.greatest_sagging.moment / kgm == pytest.approx(277.05, abs=0.005)
        assert self.result.greatest_sagging.station == pytest.approx(2077.0, abs=0.5)
        front, rear = self.result.support_moments
        assert front / kgm == pytest.approx(-155.0, abs=0.05)
        assert rear / kgm == pytest.approx(-234.6, abs=0.05)
        assert self.result.greatest_hogging.station == 3318.0

    def test_contraflexure(self):
        """Printed as 1036.6 and 2990.2 mm.  The exact roots are 1036.74 and 2990.32 mm: the printed ones are the last
        of 20 001 equal samples (0.2079 mm apart) ahead of each change of sign, which is therefore the tolerance."""
        assert self.result.contraflexure == pytest.approx((1036.6, 2990.2), abs=0.2079 + 0.05)
        rear = (512 * 2079 * (1039.5 - 778) + 665 * 2079 * (3118.5 - 778)) / 2540  # kg mm/m over mm, moments in front
        r, s = ((512 + 665) * 2079 - rear) / 512, rear / 665  # mm: each reaction over its line load
        exact = (r - math.sqrt(r * r - 2 * r * 778), 4158 - s + math.sqrt(s * s - 2 * s * 840))
        assert self.result.contraflexure == pytest.approx(exact, abs=1e-6)  # mm, both are closed forms
        x = np.linspace(0, 4158, 20_001)
        printed = x[np.flatnonzero(np.diff(np.sign(self.result.moment(x[1:-1])))) + 1]
        assert printed == pytest.approx((1036.6, 2990.2), abs=0.05)

    def test_weights_give_the_line_loads_back(self):
        front, rear = line_loads_from_reactions((1063.4 * KG, 1383.5 * KG), self.supports, self.spread)
        assert front.q_start / KG * 1000 == pytest.approx(512.0, abs=0.1)  # weights to 0.05 kg on 2 m
        assert rear.q_start / KG * 1000 == pytest.approx(665.0, abs=0.1)
        again = line_loads_from_reactions(self.result.reactions, self.supports, self.spread)
        assert [q.q_start for q in again] == pytest.approx([0.512 * KG, 0.665 * KG], rel=1e-12)


@settings(max_examples=60, deadline=None)
@given(
    weights=st.tuples(st.floats(4000, 20000), st.floats(4000, 20000)),
    split=st.one_of(st.none(), st.floats(1900, 2300)),
    distribution=st.sampled_from(["two halves", "linear"]),
    engine=st.floats(0, 2000),
)
def test_any_weights_come_back(weights, split, distribution, engine):
    """An independent two-by-two solve (unit shapes integrated by scipy) says what is left at each end: where that is
    negative the light end is named, else the derived loads agree and show on the supports what was weighed."""
    supports, spread = (800.0, 3300.0), Spread(start=-50.0, end=4250.0, split=split, distribution=distribution)
    known = (PointLoad(600.0, engine, "engine"), LineLoad(-50.0, 4250.0, 0.3, 0.3, "frame"))
    if distribution == "linear":
        parts, shapes = ("front end", "rear end"), (lambda x: (4250 - x) / 4300, lambda x: (x + 50) / 4300)
    else:
        parts, shapes = ("front part", "rear part"), (lambda x: x < spread.middle, lambda x: x >= spread.middle)
    whole = [[quad(lambda x, f=f, k=k: f(x) * (x - 800) ** k, -50, 4250, points=[spread.middle])[0] for f in shapes]
             for k in (0, 1)]
    force = sum(weights) - engine - 0.3 * 4300
    first = weights[1] * 2500 - engine * (600 - 800) - 0.3 * 4300 * (2100 - 800)
    solved = np.linalg.solve(whole, [force, first])
    assume(min(np.abs(solved)) > 1e-6)
    if min(solved) < 0:
        with pytest.raises(ModelError, match=f"the {parts[int(np.argmin(solved))]} is light: -"):
            line_loads_from_reactions(weights, supports, spread, known)
        return
    loads = line_loads_from_reactions(weights, supports, spread, known)
    assert (loads[0].q_start, loads[-1].q_end) == pytest.approx(solved, rel=1e-7)  # accuracy of the quadrature
    assert back((*loads, known[1]), supports, -50.0, 4250.0, (known[0],)) == pytest.approx(weights, rel=1e-9)
