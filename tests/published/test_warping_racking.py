"""Box rails that rack: closed forms of beams on elastic foundation, and a rail solved in solid elements.

Closed forms: M. Hetenyi, Beams on Elastic Foundation; R. N. Wright, S. R. Abdel-Samad, A. R. Robinson, BEF analogy
for analysis of box girders, 1968 (a box that distorts is a beam on elastic foundation).  Status: both from memory,
texts not seen; the forms re-derived.  With beta = (KD/(E I))^(1/4), the member's movement g, bending stiffness E I/4,
foundation KD.  The solids are our own study (20-node bricks, error about 1 %); no published source."""

from math import cos, exp, inf, sin

import numpy as np
import pytest

from ladderfe.elements.foundation import Foundation
from ladderfe.elements.racking_beam import RackingBeams

E, NU = 205_000.0, 0.3
CLOSED = 1e-9


def rail(chains, lengths, *, bare=False):
    """Rail 150 x 75 x 3: mid-lines 72 x 147; `bare` leaves out the walls' shear and their twist as plates."""
    p = chains.box_members(lengths, 72.0, 147.0, (3.0,) * 4, E=E, nu=NU)
    if not bare:
        return p
    f = p.foundation
    stripped = Foundation(f.KD, f.EI, 0 * f.shear, 0 * f.plate)
    return RackingBeams(p.beams, stripped, 0 * p.coupling, p.plane, p.pole, p.size)


def beta_of(p):
    return (p.foundation.KD[0] / p.foundation.EI[0]) ** 0.25


@pytest.mark.parametrize("parts", [1, 10])
def test_long_rail_under_a_racking_load_and_a_bimoment(chains, parts):
    """g = Q beta/(2 KD) under Q, f = Bf beta³/(4 KD) under Bf; warping f = -g'/2 and B = E I f' along it: B = Q/beta
    exp(-bx)(cos bx - sin bx)/4 x 2.  Far ends 20 decay lengths away: exp(-40)."""
    p = rail(chains, [6500.0 / parts] * (2 * parts), bare=True)
    b, bed = beta_of(p), p.foundation.KD[0]
    Q, Bf = 1.0e5, 4.0e7
    racked = chains.Chain(p).hold(0, "all").load(parts, g=Q).solve()
    assert racked.at(parts, "g") == pytest.approx(Q * b / (2 * bed), rel=CLOSED)
    assert racked.at(parts, "f") == pytest.approx(0, abs=1e-9 * Q * b**2 / bed)
    for x in (50.0, 300.0, 600.0):
        here = racked.rows(parts, [x])[0]
        assert here[9] == pytest.approx(Q * b**2 / (2 * bed) * exp(-b * x) * sin(b * x), rel=CLOSED)
        assert here[6] == pytest.approx(Q / (2 * b) * exp(-b * x) * (cos(b * x) - sin(b * x)), rel=CLOSED)
    warped = chains.Chain(p).hold(0, "all").load(parts, f=Bf).solve()
    assert warped.at(parts, "f") == pytest.approx(Bf * b**3 / (4 * bed), rel=CLOSED)
    assert warped.at(parts, "g") == pytest.approx(0, abs=1e-9 * Bf * b**2 / bed)


@pytest.mark.parametrize("a", [0.0, 40.0, 150.0, 400.0, 1000.0])
def test_near_a_free_end(chains, a):
    """At a distance a from a free end times F = 1 + exp(-2ba)[(cos ba - sin ba)² + 2 cos² ba], 4 at the end itself
    (Hetenyi, semi- infinite beam)."""
    lengths = [a, 7000.0] if a else [7000.0]
    p = rail(chains, lengths, bare=True)
    b, bed = beta_of(p), p.foundation.KD[0]
    found = chains.Chain(p).hold(-1, "all").load(len(lengths) - 1, g=1.0e5).solve().at(len(lengths) - 1, "g")
    F = 1 + exp(-2 * b * a) * ((cos(b * a) - sin(b * a)) ** 2 + 2 * cos(b * a) ** 2)
    assert found == pytest.approx(1e5 * b / (2 * bed) * F, rel=CLOSED)


@pytest.mark.parametrize("a", [0.0, 150.0, inf])
def test_the_walls_shear_and_twist_change_little(chains, a):
    """With the walls' own shear and their twist as plates: within 6 % of the closed forms, softer but for the very
    end."""
    lengths = [7000.0] * 2 if a == inf else [a, 7000.0] if a else [7000.0]
    at = len(lengths) - 1
    g = [
        chains.Chain(rail(chains, lengths, bare=bare)).hold(-1, "all").load(at, g=1e5).solve().at(at, "g")
        for bare in (True, False)
    ]
    assert 0.99 < g[1] / g[0] < 1.06


@pytest.mark.parametrize(("half", "solid"), [(150.0, 4.90e7), (400.0, 3.80e7), (1000.0, 3.07e7)])
def test_joint_of_a_crossmember_on_one_web_against_solids(chains, half, solid):
    """Rail 150x75x3 held in shape at +-half, crossmember 80x60x3 on one web: turn of the crossmember's end about x
    under its moment, less the rail's St-Venant twist.  The web's own local stiffness on (psi, g), psi = rx_c - (rx -
    g/2), is taken as given, one and the same for all lengths: [4.944e7 8.24e6; 8.24e6 1.453e6] N mm; all the rest is
    the kernel's.  4 % of the solids (3.0, 1.1 and -0.7 % softer): the local stiffness was fitted to such joints
    within 3 %.  A spring alone would be 60 % off."""
    p = rail(chains, [half] * 2)
    soft = np.zeros((2, 2))
    for i, what in enumerate(("rx", "g")):
        a = chains.Chain(p).hold(0, "all").hold(-1, "all").load(1, **{what: 1.0}).solve()
        soft[:, i] = a.at(1, "rx"), a.at(1, "g")
    k = np.zeros((3, 3))  # psi, rx, g
    k[np.ix_([0, 2], [0, 2])] += [[4.944e7, 8.24e6], [8.24e6, 1.453e6]]
    k[1:, 1:] += np.linalg.inv(soft)
    turn = np.array([1.0, 1.0, -0.5])
    flexibility = turn @ np.linalg.solve(k, turn) - half / (2 * p.beams.GJ[0])
    assert 1 / flexibility == pytest.approx(solid, rel=0.04)


def test_worked_example_with_the_closed_form(chains):
    """The same joint on a long rail by 2 KD/beta: 3.10e7 N mm/rad (study's worked example, three digits)."""
    p = rail(chains, [7000.0] * 2, bare=True)
    soft = chains.Chain(p).hold(0, "all").hold(-1, "all").load(1, g=1.0).solve().at(1, "g")
    local, turn = np.array([[4.944e7, 8.24e6], [8.24e6, 1.453e6]]), np.array([[1, 0.5], [0, 1]])
    k = turn.T @ local @ turn + np.diag([0, 1 / soft])
    assert 1 / np.linalg.inv(k)[0, 0] == pytest.approx(3.10e7, rel=2e-3)


def test_vertical_force_on_one_web(chains):
    """F on the web at y1 = b/2 in the middle of a long rail: F, torque F y1 and F y1/2 on racking, so g = F y1
    beta/(4 KD) and warping stress E f' y z at the flange edges next to F: (B/I) b h/4 = F y1/(4 beta) b h/(4 I) by
    the closed forms above; 1e-5 for the load's own breadth."""
    p = rail(chains, [6500.0] * 2, bare=True)
    b, bed, F, y1 = beta_of(p), p.foundation.KD[0], 5000.0, 36.0
    line = chains.one_line(6500.0 - 2**-10, 6500.0, (y1, 0.0), (0, 0, F * 2**10))  # as good as a force: 1e-3 mm
    a = chains.Chain(p, line).hold(0, "all").hold(-1, "all").solve()
    assert a.at(1, "g") == pytest.approx(F * y1 * b / (4 * bed), rel=1e-5)
    stress = a.section(1, 0.0, "B") / (p.foundation.EI[0] / E) * 72 * 147 / 4
    assert stress == pytest.approx(F * y1 / (4 * b) * 72 * 147 / 4 * E / p.foundation.EI[0], rel=1e-5)
    assert a.section(1, 0.0, "T") == pytest.approx(-F * y1 / 2, rel=1e-5)
