"""Shorter ways of a solution beside the longer ones: ends of members, loads of all kernels at once, places at once."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.solve import solve_chassis
from ladderfe.solve.at_places import at_places

#: Forces of end 1 and of end 2 balance the line loads between to the rounding of stiffness times movement: up to 1e-10
#: of the greatest in members as short as these.
BALANCE = 1e-9


@pytest.fixture(scope="module")
def solution():
    """The demo: boxes that rack, open members and plain ones."""
    found = solve_chassis(read_chassis(Path(__file__).parents[2] / "models" / "short-4x4.toml"))
    k = found.frame.kernels
    assert min(len(k.racking_at), len(k.open_at), len(k.plain_at)) > 0
    return found


def test_resultants_at_ends_beside_those_next_to_them(solution):
    """At an end they come from the forces there; one rounding step inside from the nearer end's or end 1's forces and
    the line loads on the way."""
    length = solution.mesh.lengths
    member = np.arange(len(length))
    for at, beside in ((0 * length, np.nextafter(0, length)), (length, np.nextafter(length, 0))):
        end, inside = solution.resultants(member, at), solution.resultants(member, beside)
        for kinds in ((0, 1, 2), (3, 4, 5), (6,), (7,), (8,)):
            size = np.abs(inside[:, kinds]).max()
            assert size > 0
            assert end[:, kinds] == pytest.approx(inside[:, kinds], abs=BALANCE * size)


def test_forces_at_ends_alone(solution):
    """`at_ends` says the same, but for the warping torque of open walls, which line loads inside change."""
    kernels, length = solution.frame.kernels, solution.mesh.lengths
    found = kernels.at_ends(solution.end_movements, solution.end_forces)
    member, told = np.arange(len(length)), np.ones((len(length), 9), dtype=bool)
    told[kernels.open_at, 7] = False
    for end, x in enumerate((0 * length, length)):
        wanted = solution.resultants(member, x)
        size = np.abs(wanted).max(axis=(0, 2))[:, None]
        assert (np.abs(found[:, end] - wanted) <= BALANCE * size)[told].all()
        assert np.abs(wanted[kernels.open_at, 6]).max() > 1e-3 * size[6]
    none = kernels.pieces(member[:0], length[:0])
    assert none.at_ends(solution.end_movements[:0], solution.end_forces[:0]).shape == (0, *found.shape[1:])


def test_rows_in_any_order(solution):
    """Ends and places inside, mixed and more than once, as one by one."""
    rng = np.random.default_rng(7)
    member = rng.integers(0, len(solution.mesh.lengths), 60)
    x = rng.choice([0.0, 0.3, 0.5, 0.8, 1.0], 60) * solution.mesh.lengths[member]
    together = solution.resultants(member, x)
    size = np.abs(together).max(axis=(0, 2))[:, None]
    for k in range(60):
        one = solution.resultants(member[k : k + 1], x[k : k + 1])[0]
        assert (np.abs(together[k] - one) <= 1e-12 * size).all()


def test_equivalent_loads_are_the_sum_of_each(solution):
    """All at once, those on one stretch as one; rounding only."""
    loads, kernels = solution.units, solution.frame.kernels
    wanted = np.zeros((len(kernels), 16, loads.cases))
    np.add.at(wanted, loads.member, kernels.each_equivalent(loads))
    assert kernels.equivalent_loads(loads) == pytest.approx(wanted, rel=1e-11, abs=1e-12 * np.abs(wanted).max())
    none = replace(loads, **{n: getattr(loads, n)[:0] for n in ("member", "start", "end", "point", "force")})
    assert not kernels.equivalent_loads(none).any()


def test_places_at_once_beside_their_rows(solution):
    """What a force does to the unknowns is how the place moves along it: `Frame.row`, one place and way at a time."""
    frame, places = solution.frame, list(solution.mesh.places.values())
    assert {len(p.follow) for p in places} >= {2}
    wrench = np.random.default_rng(3).standard_normal((len(places), 6, 2))
    unknowns, loads = at_places(frame, places, wrench)
    got, wanted = np.zeros((2, frame.unknowns, 2))
    np.add.at(got, unknowns, loads)
    for place, own in zip(places, wrench, strict=True):
        follow = np.array(place.follow).T if place.follow else None
        for case in range(2):
            at, row = frame.row(place.node, np.array(place.arm), own[:, case], follow)
            wanted[at, case] += row
    assert got == pytest.approx(wanted, rel=1e-12, abs=1e-9)
