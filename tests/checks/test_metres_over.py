"""How many metres of rail stand above a limit: against the beam on two supports by hand, and a plain count."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ladderfe.advice.governing import only_cases
from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.checks.found import check_found
from ladderfe.checks.metres_over import LEVELS, rails_over
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import tables
from ladderfe.condition import as_found, readings_from_text

PLAIN = Path(__file__).resolve().parents[2] / "models" / "test-frame.toml"
#: kg/m on both rails to the middle and from there on; stations of the springs and what they carry, kg (as the file
#: says at its head).
FRONT, REAR, MIDDLE, LENGTH = 512e-3, 665e-3, 2079.0, 4158.0
SPRINGS = ((778.0, 1063.449), (3318.0, 1383.534))
#: Of a box of 150 x 75 x 2 mm, mm3.
MODULUS = (75 * 150**3 - 71 * 146**3) / 12 / 75


def moment(x):
    """N mm in one rail at twice its weight, sagging positive, on paper."""
    line = FRONT * x**2 / 2 + (REAR - FRONT) * np.maximum(x - MIDDLE, 0) ** 2 / 2
    return 9.80665 * (sum(r * np.maximum(x - at, 0) for at, r in SPRINGS) - line)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
def test_lengths_are_those_between_the_roots_of_the_moment_on_paper(share):
    """|M|/W against a limit; the lengths by counting hundredths of a mm, good to 0.1 mm.  Within 2 mm: moments are
    parabolas between sections 10 mm apart, w 10^2/8 = 0.4 N m off at most, where they rise by 0.3 N m a mm or more."""
    x = (np.arange(LENGTH * 100) + 0.5) / 100
    size = np.abs(moment(x)) / MODULUS
    limit = share * size.max()
    chassis = only_cases(read_chassis(PLAIN), ("amplified",))
    never = replace(chassis.criteria, bending=limit, shear=1e6, von_mises=1e6)
    left, right = rails_over(check(replace(chassis, criteria=never), assumptions=False), (1.0,))
    expected = float((size > limit).sum()) / 100
    assert left.length == pytest.approx(LENGTH)
    assert left.over[0] == pytest.approx(expected, abs=2)
    assert right.over[0] == pytest.approx(expected, abs=2)


def test_a_rusted_rail_by_counting(made):
    """Every 2 mm of both rails looked at on its own, all walls and cases: as many as there are above, times 2 mm.
    Within 6 mm: every end of such a length is known to one step, and there are few."""
    chassis = made.chassis()
    rows = "side,station,wall,reading\nleft,2000,bottom,1.1\nright,1000,outer,1.4\n"
    found = check_found(as_found(chassis, readings_from_text(rows, "r.csv", chassis)), assumptions=False)
    most = found.utilisations[0].ratio
    c = found.chassis.criteria
    nearer = replace(c, bending=c.bending * most / 1.5, shear=c.shear * most / 1.5, von_mises=c.von_mises * most / 1.5)
    f = replace(found, chassis=replace(found.chassis, criteria=nearer))
    for own in rails_over(f):
        part = next(p for p in f.solution.mesh.parts if p.kind == "rail" and p.side == own.side)
        use = used(f, part, np.arange(1.0, own.length, 2.0))
        for level, length in zip(LEVELS, own.over, strict=True):
            assert 0 < length < own.length
            assert length == pytest.approx(2.0 * (use > level).sum(), abs=6)


def used(f, part, stations):
    """The greatest utilisation of sections, each by itself."""
    along = f.solution.mesh.along
    member = np.array([next(m for m in part.members if along[m, 0] <= s <= along[m, 1]) for s in stations])
    a, b = along[member].T
    x = (stations - a) / (b - a) * f.solution.mesh.lengths[member]
    s = stresses(f.solution, Rows(member, x, stations, x < 0, f.solution.resultants(member, x)))
    each = [np.abs(t[:, :, 1:]).max(axis=(1, 2)) / limit for _, t, _, limit in tables(s, f.chassis.criteria)]
    return np.max(each, axis=0)
