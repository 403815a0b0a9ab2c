"""What cases apply in several states of one frame at once: in balance in each state, by masses and levers, and as each
case says of each state alone."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.cases import axle_entries
from ladderfe.solve import hanging_of, solve_chassis
from ladderfe.solve.applied import WHEELS, Rows, applied, applied_in_states

G, LENGTH = 9806.65, 4000.0  # mm/s2, mm
EXACT = 1e-12  # of weight or the greatest force: a few sums and products of the same numbers
#: Masses (t) that states carry more than the plain one, and where (mm).
MORE = ((0.0, (0.0, 0.0, 0.0)), (0.25, (1200.0, -300.0, 250.0)), (0.6, (3500.0, 200.0, 900.0)))


@pytest.fixture(scope="module", params=["beam", "independent"])
def vehicle(request, statics, made):
    """A chassis, its cases, rows and the inertia (v, 6, 6) of its states."""
    c = statics.fitted(made, cases=statics.every_kind())
    c = replace(c, axles=tuple(replace(a, kind=request.param) for a in c.axles))
    s = solve_chassis(c)
    hanging = hanging_of(c, s.mesh)
    system = hanging.suspended()
    assert {e.name for e in axle_entries(c)} <= {e.name for e in system.seats}
    f = s.footing
    plain = f.motions.T @ (f.loads[:, :6] + f.loads[:, 6:])
    rows = Rows((*(e.name for e in system.seats), *system.held), f.lever)
    return c, hanging.cases, rows, np.array([plain + point_mass(*more) for more in MORE])


def point_mass(mass, place):
    """(6, 6) resultant about the datum of a mass per unit field: the fields along x, y, z and turning about them."""
    x, y, z = place
    arm = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])  # arm @ f = place x f
    to = np.concatenate([np.eye(3), arm])
    return mass * to @ to.T


def test_forces_in_plan_balance_inertia_and_pulls_in_every_state(statics, vehicle):
    """Of all masses, axles included; forces along x and y and moment about z at the datum.  A wheel that is off the
    ground holds nothing."""
    c, cases, rows, inertia = vehicle
    off = [("rear left",) if k % 3 == 1 else () for k in range(len(cases))]
    found = applied_in_states(c, cases, rows, inertia, off)
    at = np.array([[a.station, sign * a.track / 2] for a in c.axles for sign in (-1, 1)])
    in_plan = [k for k, case in enumerate(cases) if case.in_plan and case.on_ground]
    assert {len(off[k]) for k in in_plan} == {0, 1}
    for v, own in enumerate(inertia):
        for k in in_plan:
            field, ground = found.field[:, v, k], found.ground[:, :2, v, k]
            both = own @ field
            for a in c.axles:
                both += point_mass(a.unsprung, (a.station, 0.0, c.ground + a.tyre_radius)) @ field
            pulls = sum((statics.wrench(statics.mount(c, p), f) for p, f in cases[k].pulls), np.zeros(6))
            wanted = -(both + pulls)[[0, 1, 5]]
            turn = at[:, 0] @ ground[:, 1] - at[:, 1] @ ground[:, 0]
            scale = np.array([1.0, 1.0, LENGTH]) * own[0, 0] * G  # the weight, and at the length of the frame
            assert np.array([*ground.sum(axis=0), turn]) / scale == pytest.approx(wanted / scale, rel=0, abs=EXACT)
            assert not ground[[WHEELS.index(w) for w in off[k]]].any()


def test_every_state_and_case_alone_says_the_same(vehicle):
    c, cases, rows, inertia = vehicle
    off = [("front right",) if k % 2 else () for k in range(len(cases))]
    found = applied_in_states(c, cases, rows, inertia, off)
    for v, own in enumerate(inertia):
        for k, case in enumerate(cases):
            alone = applied(c, case, rows, own, off[k])
            for name in ("field", "force", "axle", "ground"):
                here, there = getattr(found, name)[..., v, k], getattr(alone, name)
                assert here == pytest.approx(there, rel=0, abs=EXACT * max(1.0, np.abs(there).max()))
    assert np.abs(np.diff(found.ground, axis=2)).max(axis=(0, 1, 3)).min() > 100  # N: states do differ
