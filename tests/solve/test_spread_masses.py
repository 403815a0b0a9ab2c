"""A mass spread along the rails acts as the even line load that it stands for.  Statics of both rails together."""

from itertools import pairwise
from math import inf

import numpy as np
import pytest

from ladderfe.chassis import chassis_from_text
from ladderfe.mesh import build_mesh
from ladderfe.solve import solve_chassis

KG = 9.80665  # N
LENGTH, FRONT, REAR = 4158.0, 778.0, 3318.0
SPREAD = """
[[masses]]
name = "cargo"
mass = {kg}
at = {{ height = {height} }}
spread = {{ from = {start}, to = {end} }}
aboard = {aboard}
"""


@pytest.fixture(scope="module")
def with_cargo(plain_file):
    """The test frame with a cargo spread along its rails."""

    def make(start, end, kg=300, *, aboard, height=0):
        more = SPREAD.format(start=start, end=end, kg=kg, aboard=aboard, height=height)
        return chassis_from_text(plain_file.read_text() + more)

    return make


def both_rails(solution, station):
    """(V, M) of both rails together at a station, N and N mm, case static."""
    out = np.zeros(2)
    for name in ("left rail", "right rail"):
        k = next(m for m in solution.mesh.part(name).members if solution.mesh.along[m, 1] > station)
        r = solution.resultants(np.array([k]), np.array([station - solution.mesh.along[k, 0]]))
        out += -r[0, [2, 4], solution.case("static")]
    return out


def test_what_lies_along_the_rails_anyway_may_be_listed_so(plain_findings, with_cargo):
    """300 of the kg that lie evenly along all of both rails, listed: between its places nothing changes."""
    s = solve_chassis(with_cargo(0, LENGTH, aboard="true"))
    cells = np.linspace(0, LENGTH, 43)[1:-1]  # 42 stretches of 99 mm, 42 places a rail
    for x in cells:
        assert both_rails(s, x) == pytest.approx(both_rails(plain_findings.solution, x), rel=1e-8, abs=1e-3)


def test_what_is_added_later_bends_the_rails_as_an_even_load(plain_findings, with_cargo):
    """500 kg over 1200 mm between the axles: reactions by the lever, and from its front end on V falls and M bends by
    an even load's w x and w x^2/2, at the ends of its 100 mm stretches."""
    start, end, weight = 1700.0, 2900.0, 500 * KG
    s = solve_chassis(with_cargo(start, end, 500, aboard="false"))
    rear = weight * ((start + end) / 2 - FRONT) / (REAR - FRONT)
    for x in np.arange(start, end + 1, 100):
        v, m = both_rails(s, x) - both_rails(plain_findings.solution, x)
        part = weight * (x - start) / (end - start)
        assert v == pytest.approx(weight - rear - part, rel=1e-8, abs=1e-3)
        assert m == pytest.approx((weight - rear) * (x - FRONT) - part * (x - start) / 2, rel=1e-8)


def test_its_height_does_nothing_while_it_only_weighs(with_cargo):
    low, high = (solve_chassis(with_cargo(1700, 2900, aboard="false", height=h)) for h in (0, 900))
    c = low.case("static")
    assert high.movements[:, c] == pytest.approx(low.movements[:, c], abs=1e-9)


@pytest.mark.parametrize("shift", [0.0, 0.5, 4.0, 6.0, 50.0])
def test_no_member_is_shorter_for_it(with_cargo, plain_findings, shift):
    """A place within 5 mm of a node that is there anyway hangs on that one by an arm, at its true place."""
    bare = sorted({float(x) for x in plain_findings.solution.mesh.nodes[:, 0]})
    start = bare[1] + shift - 50
    mesh = build_mesh(with_cargo(start, start + 100, aboard="true"))
    bare_shortest = min((b - a for a, b in pairwise(bare) if b - a > 1), default=inf)
    rails = np.concatenate([mesh.lengths[list(mesh.part(f"{s} rail").members)] for s in ("left", "right")])
    assert rails.min() >= min(5.0, bare_shortest)
    place = mesh.places["cargo left 1"]
    assert mesh.nodes[place.node, 0] + place.arm[0] == pytest.approx(start + 50, abs=1e-9)
    assert abs(place.arm[0]) <= (shift if shift <= 5 else 1e-9)
