"""Warping of an open crossmember between open rails: free, on a spring, tied, against a model of its own.

The other model is written here from Vlasov's energy with cubic Hermite shapes (textbook finite elements, no single
source): EA u'² + EI v''² + EI w''² + GJ theta'² + EIw theta''² over many short elements, seven unknowns a node, and the
kinematics of thin walls written out by hand: a channel's web at yw with its shear centre at ys moves along by -(yw -
ys) z theta'.  Shear strain is left out of both.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import inf

import numpy as np
import pytest

from ladderfe.elements import LineLoads
from ladderfe.mesh import build_mesh
from ladderfe.sections import Channel, properties, sectorial
from ladderfe.solve.band import Factor
from ladderfe.solve.members import frame_of

E, NU = 205_000.0, 0.3
G = E / 2 / (1 + NU)
LENGTH, STATION, HALF, HEIGHT = 1600.0, 900.0, 400.0, 12.0
RAIL = Channel(depth=150.0, width=75.0, web=3.0, top=3.0, bottom=3.0, opens="-y")  # right rail, open inward
PARTS = 16  # Hermite elements a stretch: error (k h)^4/720 of torsion, below 1e-7
SPRING = 3.0e9  # N mm3, between free and tied for this crossmember
FINE = 1e-6


def rung(opens):
    return Channel(depth=80.0, width=60.0, web=3.0, top=3.0, bottom=3.0, opens=opens)


# ---------------------------------------------------------------- the other model


def hermite(s, h):
    """(4,) second, first derivative of the cubic shapes of value and slope at both ends, at s of 0 to 1."""
    first = np.array([6 * s * s - 6 * s, h * (3 * s * s - 4 * s + 1), 6 * s - 6 * s * s, h * (3 * s * s - 2 * s)]) / h
    second = np.array([12 * s - 6, h * (6 * s - 4), 6 - 12 * s, h * (6 * s - 2)]) / h**2
    return first, second


def element(section, h):
    """(14, 14) in member axes, ux uy uz rx ry rz f at both ends of the reference line."""
    q = properties(section)
    at = np.zeros((7, 7))  # u of the centroid, v and slope, w and slope of the shear centre, twist and its rate
    at[0, [0, 4, 5]] = 1, q.zc, -q.yc
    at[1, [1, 3]], at[2, 5] = [1, -q.zs], 1
    at[3, [2, 3]], at[4, 4] = [1, q.ys], -1
    at[5, 3] = at[6, 6] = 1
    bend = E * np.array([[q.Izz, q.Iyz], [q.Iyz, q.Iyy]])
    k = np.zeros((14, 14))
    k[np.ix_([0, 7], [0, 7])] += E * q.A / h * np.array([[1, -1], [-1, 1]])
    run = [np.array([i, i + 1, i + 7, i + 8]) for i in (1, 3, 5)]
    x, w = np.polynomial.legendre.leggauss(4)
    for s, weight in zip((x + 1) / 2, w * h / 2, strict=True):
        first, second = hermite(s, h)
        for i in range(2):
            for j in range(2):
                k[np.ix_(run[i], run[j])] += weight * bend[i, j] * np.outer(second, second)
        k[np.ix_(run[2], run[2])] += weight * (G * q.J * np.outer(first, first) + E * q.Iw * np.outer(second, second))
    both = np.kron(np.eye(2), at)
    return both.T @ k @ both


def turned(k, axes):
    """The element in vehicle axes; axes rows x' y' z'."""
    t = np.eye(14)
    for first in (0, 3, 7, 10):
        t[first : first + 3, first : first + 3] = axes
    return t.T @ k @ t


def other_model(cross, spring, link, load):
    """Movements (7) of the rails' nodes at the crossmember and at the rear end (left, right), and warping rate of the
    crossmember's ends; front ends built in.  load (14,): on the rear nodes, left then right, vehicle axes."""
    rails = {-1: RAIL.mirrored(), 1: RAIL}
    stations = np.concatenate([np.linspace(0, STATION, PARTS + 1), np.linspace(STATION, LENGTH, PARTS + 1)[1:]])
    n, inner = len(stations), PARTS - 1
    size = 2 * 7 * n + 7 * inner + 2  # left rail, right rail, inside of the crossmember, its ends' own warping
    k = np.zeros((size, size))
    ends = []
    for r, (sign, shape) in enumerate(rails.items()):
        section = shape.section()
        for i, h in enumerate(np.diff(stations)):
            first = 7 * (r * n + i)
            k[first : first + 14, first : first + 14] += turned(element(section, h), np.eye(3))
        q, node = properties(section), 7 * (r * n + PARTS)
        web, face = sign * 36.0, sign * 34.5  # mid-line and inner face, from the reference line
        by_z = web - q.ys
        t = np.zeros((7, size))  # the crossmember's end from the rail's node
        t[:6, node : node + 6] = np.eye(6)
        t[0, [node + 4, node + 5, node + 6]] = HEIGHT, -face, -by_z * HEIGHT
        t[1, node + 3], t[2, node + 3] = -HEIGHT, face
        t[4, node + 6] = -by_z
        own = size - 2 + r
        if spring == inf:
            t[6, node + 6] = link
            k[own, own] = 1.0  # not used
        else:
            t[6, own] = 1
            pair = [own, node + 6]
            k[np.ix_(pair, pair)] += spring * np.array([[1, -link], [-link, link**2]])
        ends.append(t)
    axes = np.array([[0, 1, 0], [-1, 0, 0], [0, 0, 1.0]])
    cell = turned(element(cross.section(), 2 * (HALF + 34.5) / PARTS), axes)
    inside = np.zeros((inner, 7, size))
    for i in range(inner):
        inside[i][:, 14 * n + 7 * i : 14 * n + 7 * i + 7] = np.eye(7)
    run = [ends[0], *inside, ends[1]]
    for a, b in pairwise(run):
        t = np.concatenate([a, b])
        k += t.T @ cell @ t
    force = np.zeros(size)
    force[7 * (n - 1) : 7 * n], force[7 * (2 * n - 1) : 14 * n] = load[:7], load[7:]
    free = np.setdiff1d(np.arange(size), np.r_[0:7, 7 * n : 7 * n + 7])
    scale = 1 / np.sqrt(np.diag(k)[free])
    u = np.zeros(size)
    u[free] = scale * np.linalg.solve(k[np.ix_(free, free)] * np.outer(scale, scale), scale * force[free])
    seen = [u[7 * i : 7 * i + 7] for i in (PARTS, n - 1, n + PARTS, 2 * n - 1)]
    return np.concatenate(seen), np.array([(t @ u)[6] for t in ends])


# ---------------------------------------------------------------- the frame


def frame_with(made, cross, spring, link):
    """Mesh and frame of two rails and one crossmember, its ends rigid but for the warping; no shear strain."""
    path = ((0, HALF, 0), (LENGTH, HALF, 0))
    c = made.chassis(
        rails=made.rails(RAIL, path=path), crossmembers=(made.cross("middle", STATION, cross, height=HEIGHT),)
    )
    mesh = build_mesh(c)
    mesh = replace(mesh, joints=tuple(replace(j, warping=spring, link=link) for j in mesh.joints))
    frame = frame_of(mesh)
    m, none = frame.kernels, np.zeros((2, 2))
    opened = replace(m.open, beams=replace(m.open.beams, shear=m.open.beams.shear * none),
                     warp_shear=0 * m.open.warp_shear, coupling=0 * m.open.coupling)  # fmt: skip
    members = replace(m, beams=replace(m.beams, shear=m.beams.shear * none), open=opened)
    return mesh, replace(frame, members=members)


def answer(made, cross, spring, link, load):
    """As `other_model`, and the bimoment at the crossmember's ends."""
    mesh, frame = frame_with(made, cross, spring, link)
    parts = [mesh.part(f"{side} rail") for side in ("left", "right")]
    first, last = ([mesh.ends[m, e] for m in run] for run, e in (([p.first for p in parts], 0),
                                                                  ([p.last - 1 for p in parts], 1)))  # fmt: skip
    station = [next(mesh.ends[m, 0] for m in p.members if abs(mesh.along[m, 0] - STATION) < 1) for p in parts]
    start = frame.start
    nodal = np.zeros((frame.unknowns, 1))
    for node, own in zip(last, (load[:7], load[7:]), strict=True):
        nodal[start[node] : start[node + 1], 0] = own
    u = Factor(frame, np.concatenate([np.arange(start[n], start[n + 1]) for n in first])).solve(nodal)
    seen = [u[start[n] : start[n + 1], 0] for pair in zip(station, last, strict=True) for n in pair]
    moved = frame.member_movements(u)
    rung = mesh.part("middle")
    rates = np.array([moved[rung.first, 6, 0], moved[rung.last - 1, 14, 0]])
    ends = frame.end_forces(moved, 0 * moved)
    rows = frame.kernels.resultants(moved, ends, LineLoads.none(1), np.array([rung.first, rung.last - 1]),
                                    np.array([0.0, mesh.lengths[rung.last - 1]]))  # fmt: skip
    return np.concatenate(seen), rates, rows[:, 6, 0], np.array([seen[0][6], seen[2][6]])


TWIST = np.array([0, 0, 1000.0, 0, 0, 0, 0, 0, 0, -1000.0, 0, 0, 0, 0])
ANYTHING = np.array([300.0, 200, 500, 1e5, 2e5, 3e5, 1e6, -100, 300, -900, 2e5, 0, 1e5, -2e6])


@pytest.mark.parametrize("spring", [0.0, SPRING, inf], ids=["free", "spring", "tied"])
@pytest.mark.parametrize(("opens", "link"), [("-y", 1), ("+y", 1), ("-z", -1), ("-y", 0), ("-z", 1)])
def test_against_another_model(made, opens, link, spring):
    """Open rearward, forward and downward; with the link of its kind, with none (held in shape where tied) and with the
    wrong one: all movements within 1e-6 (the other model's shapes)."""
    found, rates, bimoment, rails = answer(made, rung(opens), spring, link, ANYTHING)
    exact, exact_rates = other_model(rung(opens), spring, link, ANYTHING)
    size = np.abs(exact.reshape(4, 7)).max(axis=0)
    assert np.abs((found - exact).reshape(4, 7) / size).max() < FINE
    assert rates == pytest.approx(exact_rates, abs=FINE * (np.abs(exact_rates).max() + size[6]))
    if spring == inf:
        assert rates == pytest.approx(link * rails, rel=1e-9, abs=1e-15)
    else:  # the face looks inward at the left end, outward at the right
        assert bimoment * [-1, 1] == pytest.approx(spring * (rates - link * rails), abs=1e-6 * SPRING * size[6])


@pytest.mark.parametrize(("opens", "link"), [("-y", 1), ("-z", -1)])
def test_the_spring_leads_from_free_to_tied(made, opens, link):
    """k_w of 1e-6 and 1e6 of the middle one are the limits, within 1e-4; between them the twist falls and falls."""
    springs = (0.0, *(SPRING * 10.0 ** np.arange(-6, 7, 3)), inf)
    deflection = [answer(made, rung(opens), spring, link, TWIST)[0][9] for spring in springs]
    assert deflection[0] == pytest.approx(deflection[1], rel=1e-4)
    assert deflection[-1] == pytest.approx(deflection[-2], rel=1e-4)
    assert (np.diff(deflection) < 0).all()


@pytest.mark.parametrize("opens", ["-y", "+y", "-z", "+z"])
def test_the_link_has_the_sign_of_the_walls_movement(made, opens):
    """A rail's web that turns more and more (rate f) goes sideways by -x z f, x rearward and z up from the joint.  The
    crossmember's end goes that way by -w w_c: what is left of both without shift and turn must agree in sign for f and
    w_c = link f alike (kinematics of thin walls; sectorial coordinate of the crossmember's own corners)."""
    cross = rung(opens)
    middle = replace(made.cross("middle", STATION, cross), joint_left=made.Joint(), joint_right=made.Joint())
    path = ((0, HALF, 0), (LENGTH, HALF, 0))
    mesh = build_mesh(made.chassis(rails=made.rails(RAIL, path=path), crossmembers=(middle,)))
    section, axes = mesh.sections[mesh.section_of[mesh.part("middle").first]], mesh.axes[mesh.part("middle").first]
    walls = [np.linspace(w.start, w.end, 21) for w in section.walls]
    places = np.concatenate(walls)
    x, z = (places @ axes[1:])[:, [0, 2]].T
    shift = np.stack([np.ones(len(x)), x, z], axis=1)

    def shape(v):
        return v - shift @ np.linalg.lstsq(shift, v, rcond=None)[0]

    rail, own = shape(-x * z), shape(-sectorial(section, places))
    likeness = rail @ own / np.sqrt((rail @ rail) * (own @ own))
    for joint in mesh.joints:
        assert joint.link * likeness > 0.5
