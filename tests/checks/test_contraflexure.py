"""Contraflexure of the frame's rails against the closed-form beam, where the frame is that beam."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import CaseSpec
from ladderfe.checks import check
from ladderfe.checks.along_rails import along_rails
from ladderfe.checks.contraflexure import contraflexure
from ladderfe.checks.cycles import usual_cycles
from ladderfe.checks.one_rail import reduced_loads
from ladderfe.hand import solve_beam

#: The root is bracketed to 2^-24 of 10 mm.
MM = 1e-5


def stations(findings):
    """(rail, case) -> stations."""
    cycles = usual_cycles(findings.chassis, findings.solution)
    return {
        (c.side, c.case): c.stations
        for s in along_rails(findings, cycles) for c in contraflexure(findings.solution, s.rows, s.side)
    }  # fmt: skip


def test_an_even_load_on_overhangs(made):
    """Supports 700 mm from both ends of 4000 mm: x^2/2 - 2000 x + 1 400 000 = 0, 2000 +- sqrt(1 200 000) mm.  All
    times two they stay."""
    found = stations(check(made.chassis(material=made.WEIGHTLESS), assumptions=False))
    half = 1_200_000**0.5
    for side in ("left", "right"):
        for case in ("static", "twice"):
            assert found[side, case] == pytest.approx((2000 - half, 2000 + half), abs=MM)


@pytest.mark.parametrize("split", [1400.0, 2000.0, 2700.0])
@pytest.mark.parametrize("spot", [None, 300.0, 1900.0, 3800.0])
def test_uneven_loads_and_a_mass_against_the_closed_form(made, split, spot):
    """Two even loads that meet at `split` and a mass hung on both rails: the beam on paper has the same stations,
    found there by its own roots of piecewise polynomials."""
    masses, mounts = (), ()
    if spot is not None:
        mounts = (made.mount("a", "left rail", spot, -400.0), made.mount("b", "right rail", spot, 400.0))
        masses = (made.mass("m", 0.3, (spot, 0, 0), ("a", "b")),)
    body = replace(made.chassis().body, split=split)
    f = check(made.chassis(material=made.WEIGHTLESS, body=body, masses=masses, mounts=mounts), assumptions=False)
    closed = solve_beam(reduced_loads(f.chassis, f.solution)).contraflexure
    assert len(closed) >= 2
    found = stations(f)
    for side in ("left", "right"):
        assert found[side, "static"] == pytest.approx(closed, abs=MM)


def test_where_a_couple_makes_the_moment_jump_its_station_is_told(made):
    """9000 N rearward on each rail 300 mm below it at 2000 mm: the moment jumps by 2.7 kN m there, from one sign to the
    other."""
    mounts = (
        made.mount("a", "left rail", 2000.0, -400.0, -300.0),
        made.mount("b", "right rail", 2000.0, 400.0, -300.0),
    )
    pull = CaseSpec(name="pull", kind="static", forces=(("a", (9000.0, 0, 0)), ("b", (9000.0, 0, 0))))
    f = check(made.chassis(material=made.WEIGHTLESS, mounts=mounts, cases=(pull,)), assumptions=False)
    for s in along_rails(f, usual_cycles(f.chassis, f.solution)):
        one, two = -s.rows.resultants[s.at(2000.0), 4, 1]
        assert abs(two - one) == pytest.approx(2.7e6, rel=1e-9)
        assert one * two < 0
        assert 2000.0 in contraflexure(f.solution, s.rows, s.side)[0].stations


def test_every_station_has_no_moment_there(demo_findings):
    """The demo frame, bent and warping, all cases: the moment solved for at each station is nothing beside the
    greatest; at sections that were looked at it is nothing or jumps through nothing."""
    f = demo_findings
    for s in along_rails(f, usual_cycles(f.chassis, f.solution)):
        for k, c in enumerate(contraflexure(f.solution, s.rows, s.side), start=1):
            for x in c.stations:
                own = np.flatnonzero(np.abs(s.station - x) < 1e-6)
                if len(own):
                    m = s.rows.resultants[own, 4, k]
                    assert m.min() < 0 < m.max() or np.abs(m).min() <= 1e-6 * c.greatest
                    continue
                at = s.station.searchsorted(x)
                member, share = s.rows.member[at], (x - s.station[at - 1]) / (s.station[at] - s.station[at - 1])
                place = s.rows.x[at - 1] + share * (s.rows.x[at] - s.rows.x[at - 1])
                here = f.solution.resultants(np.array([member]), np.array([place]))[0, 4, k]
                assert abs(here) <= 1e-6 * c.greatest
