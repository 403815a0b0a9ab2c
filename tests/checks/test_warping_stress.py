"""Stress of warping and racking per unit bimoment, warping torque and racking force: integrated over the walls.

Everything here follows from equilibrium (any text on thin-walled beams; no single source): stress of a bimoment has no
resultant but the bimoment; its rate of growth along the member, B' = Tw of open walls and B' = 2 R of racking ones, is
balanced by the walls' shear flow, dq/ds = -t s'.  Sectorial coordinates and flows are integrated afresh, wall by wall.
"""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.checks.coefficients import LAST, MY, MZ, VY, VZ, B, N, T, coefficients
from ladderfe.sections import Angle, Box, Channel, TopHat, Tube, properties

EXACT = 1e-9  # straight walls: linear stress, parabolic flow
OPEN = {
    "channel": Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y"),
    "unlike flanges": Channel(depth=150.0, width=65.0, web=4.0, top=3.0, bottom=6.0, opens="-y"),
    "lips": Channel(depth=120.0, width=60.0, web=3.0, top=3.0, bottom=4.0, opens="-z", lip=18.0),
    "hat": TopHat(depth=50.0, width=120.0, wall=3.0, brim=20.0, opens="-z"),
    "hat on its side": TopHat(depth=60.0, width=140.0, wall=2.5, brim=25.0, opens="+y"),
}
BOXES = {
    "equal": Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0),
    "unlike": Box(depth=150.0, width=75.0, top=3.0, bottom=5.0, minus=2.0, plus=4.0),
    "square": Box(depth=80.0, width=80.0, top=4.0, bottom=4.0, minus=2.0, plus=2.0),
}


def cross(a, b):
    """Of vectors in the section's plane, positive from y to z."""
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


class Walls:
    """The mid-lines of a section's walls with stress per unit resultant at their start, middle and end."""

    def __init__(self, shape):
        self.section = shape.section()
        self.q = properties(self.section)
        self.table = coefficients(shape, self.section)
        self.walls = self.section.walls
        self.ends = np.array([(w.start, w.end) for w in self.walls])  # (w, 2, yz)
        self.length = np.linalg.norm(self.ends[:, 1] - self.ends[:, 0], axis=1)
        self.t = np.array([w.thickness for w in self.walls])
        self.along = (self.ends[:, 1] - self.ends[:, 0]) / self.length[:, None]
        self.places = self.ends[:, :1] + np.array([0, 0.5, 1])[:, None] * (self.ends[:, 1:] - self.ends[:, :1])

    def rows(self, table, side=None):
        """(w, 3) of a table (p,): start, middle, end of each wall; `side` 0, 1: on its one and its other face."""
        out = []
        for i in range(len(self.walls)):
            own = np.flatnonzero(self.q.points.index == i)
            both = table[own].reshape(-1, 3)[:, [0, 2, 1]]
            out.append(both.mean(axis=0) if side is None else both[side])
        return np.array(out)

    def integral(self, value):
        """Of value (w, 3) over the metal: Simpson, exact for a linear stress by a linear place."""
        return float((value @ [1, 4, 1] / 6) @ (self.length * self.t))

    def sectorial(self):
        """(w, 3) about the shear centre, mean zero, walking on from wall to wall."""
        known = {tuple(np.round(self.ends[0, 0], 6)): 0.0}
        out, left = np.zeros((len(self.walls), 3)), list(range(len(self.walls)))
        centre = np.array([self.q.ys, self.q.zs])
        while left:
            for i in list(left):
                a, b = (tuple(np.round(p, 6)) for p in self.ends[i])
                sweep = cross(self.ends[i, 0] - centre, self.ends[i, 1] - self.ends[i, 0])
                if a in known:
                    known[b] = known[a] + sweep
                elif b in known:
                    known[a] = known[b] - sweep
                else:
                    continue
                out[i] = np.linspace(known[a], known[b], 3)
                left.remove(i)
        return out - self.integral(out) / (self.length @ self.t)


@pytest.fixture(scope="module")
def walls():
    return {name: Walls(shape) for name, shape in (OPEN | BOXES).items()}


# ---------------------------------------------------------------- direct stress


@pytest.mark.parametrize("name", OPEN)
def test_direct_stress_of_a_bimoment_has_only_that_bimoment(walls, name):
    """int s dA = 0, int s y dA = 0, int s z dA = 0, int s w dA = 1 with w walked round afresh; s = B w/Iw everywhere.
    Over mid-lines, as Iw is; both faces alike (warping through the thickness is left out)."""
    own = walls[name]
    s, w = own.rows(own.table.normal[:, B]), own.sectorial()
    y, z = own.places.transpose(2, 0, 1)
    size = np.abs(s).max() * (own.length @ own.t)
    for place, reach in ((np.ones_like(y), 1.0), (y, 100.0), (z, 100.0)):
        assert own.integral(s * place) == pytest.approx(0, abs=EXACT * size * reach)
    assert own.integral(s * w) == pytest.approx(1, rel=EXACT)
    assert s == pytest.approx(w / own.integral(w**2), abs=EXACT * np.abs(s).max())
    for side in (0, 1):
        assert own.rows(own.table.normal[:, B], side) == pytest.approx(s, rel=EXACT, abs=1e-12 * np.abs(s).max())


def bilinear(own, values):
    """Coefficients of 1, y, z, y z that give `values` at the points on the true faces; the fit is exact."""
    y, z = own.q.points.y, own.q.points.z
    basis = np.stack([np.ones_like(y), y, z, y * z], axis=1)
    c, *_ = np.linalg.lstsq(basis, values, rcond=None)
    assert basis @ c == pytest.approx(values, abs=EXACT * np.abs(values).max())
    return c


@pytest.mark.parametrize("name", BOXES)
def test_direct_stress_of_racking_has_only_its_bimoment(walls, name):
    """Bilinear in y and z over the whole section; over the mid-lines no force and no moment, and int s y z dA = 1 about
    any place, B's work on u = f y z."""
    own = walls[name]
    c = bilinear(own, own.table.normal[:, B])
    y, z = own.places.transpose(2, 0, 1)
    s = c[0] + c[1] * y + c[2] * z + c[3] * y * z
    size = np.abs(s).max() * (own.length @ own.t)
    for place, reach in ((np.ones_like(y), 1.0), (y, 75.0), (z, 75.0)):
        assert own.integral(s * place) == pytest.approx(0, abs=EXACT * size * reach)
    assert own.integral(s * (y - 7.0) * (z + 4.0)) == pytest.approx(1, rel=EXACT)


@pytest.mark.parametrize("name", OPEN | BOXES)
def test_direct_stress_of_the_plain_resultants(walls, name):
    """N, My and Mz of every section by int s dA, int s z dA, -int s y dA; of the true plates, so 3 % of mid-lines for
    sharp corners and the walls' own thickness."""
    own = walls[name]
    y, z = own.places.transpose(2, 0, 1)
    for column, wanted in ((N, (1, 0, 0)), (MY, (0, 1, 0)), (MZ, (0, 0, 1))):
        at = own.table.normal[:, column]
        c = np.linalg.lstsq(np.stack([np.ones(len(at)), own.q.points.y, own.q.points.z], axis=1), at, rcond=None)[0]
        s = c[0] + c[1] * (own.q.yc + 0) + c[2] * own.q.zc  # at the centroid: N/A alone
        assert s * own.q.A == pytest.approx(wanted[0], abs=1e-9)
        s = c[0] + c[1] * y + c[2] * z
        found = own.integral(s * (z - own.q.zc)), -own.integral(s * (y - own.q.yc))
        assert found == pytest.approx(wanted[1:], abs=0.04)


# ---------------------------------------------------------------- shear of open walls


def torque_of(own, flow, centre):
    """Of flows (w, 3) along the walls about a centre: each straight wall's mean flow times its lever."""
    lever = cross(own.ends[:, 0] - centre, own.along)
    return float((flow @ [1, 4, 1] / 6 * own.length) @ lever)


def force_of(own, flow):
    return (flow @ [1, 4, 1] / 6 * own.length) @ own.along


@pytest.mark.parametrize("name", OPEN)
def test_flow_of_the_warping_torque(walls, name):
    """Flow per unit Tw in the middle of the walls: no force, torque 1 about the shear centre, none at free edges, what
    comes into a corner goes out, and dq/ds = -t w/Iw (the parabola through its three values, by its ends' slopes)."""
    own = walls[name]
    flow = own.rows(own.table.shear[:, LAST]) * own.t[:, None]  # the faces' own parts cancel in the mean of both
    size = np.abs(flow).max() * own.length.sum()
    assert force_of(own, flow) == pytest.approx([0, 0], abs=EXACT * size)
    assert torque_of(own, flow, np.array([own.q.ys, own.q.zs])) == pytest.approx(1, rel=EXACT)
    a, m, b = flow.T
    slope = np.stack([-3 * a + 4 * m - b, a - 4 * m + 3 * b], axis=1) / own.length[:, None]
    rate = own.t[:, None] * own.sectorial()[:, [0, 2]]
    rate /= own.integral(own.sectorial() ** 2)
    assert slope == pytest.approx(-rate, abs=EXACT * np.abs(rate).max())
    corners: dict[tuple[float, float], float] = {}
    for i, (p, q) in enumerate(own.ends):
        for place, sign, value in ((p, -1, a[i]), (q, 1, b[i])):
            key = (round(float(place[0]), 6), round(float(place[1]), 6))
            corners[key] = corners.get(key, 0.0) + sign * value
    assert list(corners.values()) == pytest.approx([0] * len(corners), abs=EXACT * np.abs(flow).max())


@pytest.mark.parametrize("name", OPEN)
def test_torque_of_the_faces(walls, name):
    """The rest of T, St-Venant's, is shear that runs against itself on the walls' two faces, none in the middle: t/J
    per unit, torque of all walls sum (tau_face L t²/3) = 1 (half by the shear along the walls, half where it turns at
    their ends; membrane of a narrow strip). T itself counts as St-Venant's, Tw takes off what it takes over."""
    own = walls[name]
    plus, minus = (own.rows(own.table.shear[:, T], side) for side in (0, 1))
    assert plus + minus == pytest.approx(0, abs=EXACT * np.abs(plus).max())
    faces = np.abs(plus[:, 1])
    assert (faces * own.length * own.t**2).sum() / 3 == pytest.approx(1, rel=EXACT)
    assert faces == pytest.approx(own.t * faces.max() / own.t.max(), rel=EXACT)
    right = []  # a positive torque runs along a wall's left face backward: it turns with the wall's own circulation
    for i in range(len(own.walls)):
        at = np.flatnonzero(own.q.points.index == i)
        off = cross(own.along[i], np.stack([own.q.points.y[at], own.q.points.z[at]], axis=1) - own.ends[i, 0])
        right += (own.table.shear[at, T] * off < 0).tolist()
    assert all(right)
    half = own.table.shear[:, T] + own.table.shear[:, LAST]  # T = Tw = 1: all by warping, no faces
    assert own.rows(half, 0) == pytest.approx(own.rows(half, 1), abs=EXACT * faces.max())


def test_a_unit_torque_of_either_kind_is_a_unit_torque(walls):
    """T = 1 with Tw = 0.3: 0.3 by the flow and 0.7 by the faces, about any place."""
    own = walls["unlike flanges"]
    tau = own.table.shear[:, T] + 0.3 * own.table.shear[:, LAST]
    flow = own.rows(tau) * own.t[:, None]
    faces = np.abs(own.rows(tau, 0) - own.rows(tau, 1))[:, 1] / 2
    strips = (faces * own.length * own.t**2).sum() / 3
    assert torque_of(own, flow, np.zeros(2)) + strips == pytest.approx(1, rel=EXACT)
    assert strips == pytest.approx(0.7, rel=EXACT)


@pytest.mark.parametrize("shape", [Angle(depth=60, width=40, wall=4, corner="-y-z"), Tube(diameter=60, wall=3)])
def test_sections_without_warping_have_none(shape):
    """Angles' walls meet in one point, tubes are round: no bimoment, no warping torque."""
    table = coefficients(shape, shape.section())
    assert not table.normal[:, [B, LAST]].any()
    assert not table.shear[:, [B, LAST]].any()


# ---------------------------------------------------------------- shear of racking


def racking_flow(own, c):
    """(w, 201) flow of R = 1 walked round the box: q' = -2 t s of the bimoment's stress s, 4000 steps by the trapezium,
    closed by the constant that leaves no torque; along each wall from its start to its end."""
    centre = own.ends.reshape(-1, 2).mean(axis=0)
    order = np.argsort([np.arctan2(*(p.mean(axis=0) - centre)[::-1]) for p in own.ends])
    flows, before, area, torque = {}, 0.0, 0.0, 0.0
    for i in order:
        a, b = own.ends[i]
        ahead = cross(a - centre, b - centre) > 0
        p = np.linspace(a if ahead else b, b if ahead else a, 1001)
        s = c[0] + c[1] * p[:, 0] + c[2] * p[:, 1] + c[3] * p.prod(axis=1)
        step = own.length[i] / 1000
        q = before - 2 * own.t[i] * np.concatenate([[0], np.cumsum((s[1:] + s[:-1]) / 2) * step])
        lever = abs(cross(a - centre, b - a)) / own.length[i]
        torque += lever * (q[:-1] + q[1:]).sum() / 2 * step
        area += lever * own.length[i]
        flows[i], before = (q, ahead), q[-1]
    assert before == pytest.approx(0, abs=1e-9 * max(np.abs(q).max() for q, _ in flows.values()))
    return {i: (q - torque / area) if ahead else -(q - torque / area)[::-1] for i, (q, ahead) in flows.items()}


@pytest.mark.parametrize("name", BOXES)
def test_shear_of_the_racking_force(walls, name):
    """Flow per unit R along the mid-lines: no force, no torque, and dq/ds = -t s' with s' that of B' = 2 R; all against
    a walk round the box in small steps (second order, and q is a parabola: 1e-6)."""
    own = walls[name]
    flow = own.rows(own.table.shear[:, LAST]) * own.t[:, None]
    walked = racking_flow(own, bilinear(own, own.table.normal[:, B]))
    exact = np.array([walked[i][[0, 500, 1000]] for i in range(len(own.walls))])
    assert flow == pytest.approx(exact, abs=1e-6 * np.abs(exact).max())
    size = np.abs(flow).max() * own.length.sum()
    assert force_of(own, flow) == pytest.approx([0, 0], abs=EXACT * size)
    assert torque_of(own, flow, np.zeros(2)) == pytest.approx(0, abs=EXACT * size * 75)


def test_equal_box_by_hand(walls):
    """Equal walls b x h: s = B y z/Iw with Iw = b²h³2t/48 + h²b³2t/48. R works on a unit of racking, by which webs go
    up b/4 and flanges aside h/4; webs and flanges turn it against each other with equal torque, so int q ds is 1/b of a
    web and 1/h of a flange."""
    own = walls["equal"]
    b, h, t = 72.0, 147.0, 3.0
    Iw = b**2 * h**3 * 2 * t / 48 + h**2 * b**3 * 2 * t / 48
    corner = dict(zip(own.table.labels, own.table.normal[:, B], strict=True))
    assert abs(corner["top, plus edge"]) == pytest.approx(37.5 * 75 / Iw, rel=EXACT)
    flow = own.rows(own.table.shear[:, LAST]) * own.t[:, None]
    whole = np.abs(flow @ [1, 4, 1] / 6 * own.length)
    upright = np.abs(own.along[:, 1]) > 0.5
    assert whole == pytest.approx(np.where(upright, 1 / b, 1 / h), rel=EXACT)


@pytest.mark.parametrize("name", BOXES)
def test_racking_works_on_the_walls_movement(walls, name):
    """R's flow does its work on a unit of racking, webs up by y/2 and flanges aside by z/2 from the middle: int q (ds .
    movement) = 1, which is what makes it R.  (From B' = 2 R and u = f y z by virtual work; independent of the walk.)"""
    own = walls[name]
    middle = own.ends.reshape(-1, 2)
    middle = (middle.min(axis=0) + middle.max(axis=0)) / 2
    flow = own.rows(own.table.shear[:, LAST]) * own.t[:, None]
    whole = flow @ [1, 4, 1] / 6 * own.length
    mid = own.ends.mean(axis=1) - middle
    movement = np.stack([mid[:, 1] / 2, mid[:, 0] / 2], axis=1)  # of the wall's line along itself
    assert whole @ (own.along * movement).sum(axis=1) == pytest.approx(1, rel=EXACT)


def test_shear_force_and_torque_go_with_mid_line_flows(walls):
    """Vy, Vz (through the shear centre) and Bredt's T of boxes and open walls: unit force, no torque; unit torque."""
    for name, own in walls.items():
        centre = np.array([own.q.ys, own.q.zs])
        for column, force in ((VY, (1, 0)), (VZ, (0, 1))):
            flow = own.rows(own.table.shear[:, column]) * own.t[:, None]
            assert force_of(own, flow) == pytest.approx(force, abs=1e-8), name
            assert torque_of(own, flow, centre) == pytest.approx(0, abs=1e-6), name
        if name in BOXES:
            flow = own.rows(own.table.shear[:, T]) * own.t[:, None]
            assert torque_of(own, flow, centre) == pytest.approx(1, rel=EXACT), name
