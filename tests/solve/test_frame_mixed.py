"""What every frame must obey, on random frames of plain, warping and racking members with soft joints, joint energies
and diaphragms.  General mechanics, no published source needed.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import Beams, Members, OpenBeams, racking_resultants
from ladderfe.sections import Box
from ladderfe.solve.frame import rigid_arm

QUICK = settings(max_examples=12, deadline=None)
ROUNDING = 1e-9  # a frame of a dozen members loses about five of sixteen digits
CASES = 2
FLIP = np.array([1.0, -1.0, 1.0])
SIX = np.array([1.0, -1.0, 1.0, -1.0, 1.0, -1.0])  # of ux uy uz rx ry rz in a mirror across y
seeds = st.integers(0, 2**32 - 1)


def largest(a):
    return float(np.abs(a).max())


def plain(rng):
    iy, iz = 205e3 * rng.uniform(2e5, 5e6, 2)
    ay, az = 79e3 * rng.uniform(150, 900, 2)
    mixed, sheared = rng.uniform(-0.7, 0.7, 2) * [np.sqrt(iy * iz), 1 / np.sqrt(ay * az)]
    return Beams(
        length=np.ones(1), EA=205e3 * rng.uniform(400, 2500, 1), GJ=79e3 * 10 ** rng.uniform(3.5, 5, 1),
        bending=np.array([[[iz, mixed], [mixed, iy]]]), shear=np.array([[[1 / ay, sheared], [sheared, 1 / az]]]),
        centroid=rng.uniform(-30, 30, (1, 2)), shear_centre=rng.uniform(-50, 50, (1, 2)),
    )  # fmt: skip


def opened(rng):
    beams, sigma = plain(rng), 10 ** rng.uniform(-12, -10.5)
    coupling = np.linalg.cholesky(beams.shear[0]) @ rng.uniform(-0.6, 0.6, 2) * np.sqrt(sigma)  # admissible: 0.72 < 1
    origin = rng.uniform(-1, 1, (1, 3)) * [500, 40, 40]
    return OpenBeams(beams, 205e3 * 10 ** rng.uniform(8, 10, 1), np.array([sigma]), coupling[None], origin)


def box(warped, rng):
    walls = dict(zip(("top", "bottom", "minus", "plus"), rng.uniform(1.5, 5, 4), strict=True))
    return warped.stock(Box(depth=rng.uniform(80, 180), width=rng.uniform(50, 90), **walls))


def positive(rng, sizes):
    """A random symmetric positive matrix with diagonal near `sizes`."""
    n = len(sizes)
    m = rng.normal(size=(n, n + 2))
    m /= np.linalg.norm(m, axis=1)[:, None]
    root = np.sqrt(sizes)
    return m @ m.T * np.outer(root, root) * rng.uniform(0.2, 5)


def isotropic(member, end, warped, k):
    """A joint's six freedoms, alike in all directions."""
    return [warped.SoftEnd(member, end, d, k[0] if d < 3 else k[1]) for d in range(6)]


@pytest.fixture(scope="session")
def build(warped):
    """A random frame from a seed: one rail warps, the other racks; crossmembers plain and open; loads of two cases."""

    def make(seed, *, alike=False, line=True):
        """`alike`: joints are the same in all directions, so that they turn with the frame."""
        rng = np.random.default_rng(seed)
        m = warped.Model(cases=CASES)
        stations = np.cumsum(rng.uniform(250, 900, rng.integers(2, 4)))
        half, heights = rng.uniform(300, 500), rng.uniform(-60, 60, len(stations))
        left, warping = m.run(np.stack([stations, 0 * stations - half, heights], axis=1), opened(rng))
        right, racking = m.run(np.stack([stations, 0 * stations + half, heights], axis=1), box(warped, rng))
        cross = []
        for k, (a, b) in enumerate(zip(left, right, strict=True)):
            follow = np.zeros((2, 8, 2))
            follow[0, :6, 0] = rng.normal(size=6) * [500, 0, 0, 0, 30, 30]
            reach = [[0, 800], [30, 0], [30, 0], [0.5, 0], [0, 30], [0, 30]]
            follow[1, :6] = rng.normal(size=(6, 2)) * np.array(reach)
            own = opened(rng) if k % 2 == 0 else plain(rng)
            if k % 2 == 0 and rng.random() < 0.5:
                follow[0, 6, 0] = rng.choice([-1.0, 1.0])  # tied to the rail's warping
            arm = rng.uniform(0, 60)
            cross.append(m.member(a, b, own, arms=((0, arm, 5), (0, -arm, -8)), follow=follow))
        _joints(m, warped, rng, cross, right, alike)
        for node in left + right:
            for case in range(CASES):
                extra = {"f": rng.normal() * 1e6} | ({"g": rng.normal() * 1e5} if node in right else {})
                m.load(node, case=case, force=rng.normal(size=3) * 1e3, moment=rng.normal(size=3) * 1e5, **extra)
        for member in warping + racking if line else []:
            for case in range(CASES):
                m.line(member, rng.normal(size=(3, 3)) * np.array([1, 1e-3, 1e-5])[:, None], start=rng.uniform(0, 60),
                       end=rng.uniform(100, 249), point=rng.uniform(-40, 40, 2), case=case)  # fmt: skip
        for node, what in ((left[0], "ux uy uz rx"), (right[0], "uz"), (left[-1], "uy uz")):
            m.hold(node, what)
        return m

    return make


def _joints(m, warped, rng, cross, right, alike):
    """Soft joints at both ends of the first crossmember, its warping on a spring at the racking rail; energies between
    joint freedoms, and with racking and warping; a diaphragm."""
    last, first = len(m.soft), cross[0]
    if alike:
        m.soft += isotropic(first, 1, warped, (1e5, 1e8))
        own = ()
    else:
        m.soft += [warped.SoftEnd(first, 1, d, k * rng.uniform(0.2, 5)) for d, k in ((1, 1e5), (3, 1e8), (5, 1e8))]
        own = (last, last + 1)
        sizes = np.array([1e4, 1e7, 1e6, 1e10])
        m.energies.append(warped.JointEnergy(first, own, right[0], (0, 1), positive(rng, sizes)))
    m.soft.append(warped.SoftEnd(first, 1, 6, 10 ** rng.uniform(8, 10)))
    warp = (len(m.soft) - 1,)
    m.energies.append(warped.JointEnergy(first, warp, right[0], (1,), positive(rng, np.array([1e9, 1e9]))))
    m.energies.append(warped.JointEnergy(-1, (), right[-1], (0,), np.array([[10 ** rng.uniform(5, 12)]])))


@QUICK
@given(seed=seeds)
def test_rigid_motion_gives_no_force(build, seed):
    """Symmetric, six motions without energy (every node moved as a point of one body, extras and joints at rest) and no
    seventh: each unknown scaled to a unit diagonal."""
    frame = build(seed).frame()
    k = frame.multiply(np.eye(frame.unknowns))
    scale = 1 / np.sqrt(np.diag(k))
    k = k * np.outer(scale, scale)
    assert largest(k - k.T) < 1e-13
    motion = np.zeros((frame.unknowns, 6))
    for row in range(6):
        motion[frame.start[:-1] + row] = rigid_arm(frame.nodes)[:, row]
    motion = np.linalg.qr(motion / scale[:, None])[0]
    assert largest(k @ motion) < 1e-11
    assert np.linalg.eigvalsh(k + motion @ motion.T)[0] > 1e-9


@QUICK
@given(seed=seeds)
def test_supports_balance_the_loads_in_six_directions(build, seed):
    """Loads on nodes, line loads from their own places and reactions add up to nothing; what acts on warping and
    racking has no resultant."""
    s = build(seed).solve()
    frame, lines = s.frame, s.lines

    def about_origin(nodal):
        six = np.stack([nodal[frame.start[:-1] + row] for row in range(6)], axis=1)
        return np.einsum("nij,nic->jc", rigid_arm(frame.nodes), six)

    applied = about_origin(s.nodal)
    x, w = np.polynomial.legendre.leggauss(3)
    for k, member in enumerate(lines.member):
        axes, reach = frame.axes[member], lines.end[k] - lines.start[k]
        origin = frame.nodes[frame.ends[member, 0]] + frame.arms[member, 0]
        for at, weight in zip(reach * (x + 1) / 2, w * reach / 2, strict=True):
            force = axes.T @ (lines.force[k, 0] + lines.force[k, 1] * at + lines.force[k, 2] * at**2) * weight
            place = origin + axes.T @ np.r_[lines.start[k] + at, lines.point[k]]
            applied += np.concatenate([force, np.cross(place, force, axisb=0, axisc=0)])
    supports = about_origin(s.reactions)
    size = np.r_[np.full(3, 1e3), np.full(3, 1e6)][:, None]
    assert largest((applied + supports) / size) < 1e-8 * max(largest(supports / size), 1.0)


@QUICK
@given(seed=seeds, factors=st.tuples(st.floats(-3, 3), st.floats(-3, 3)))
def test_reciprocity_and_superposition(warped, build, seed, factors):
    """Betti; and two cases combined by hand = both loads in one case, movements and all eight resultants."""
    s = build(seed).solve()
    work = s.loads.T @ s.u
    assert work[0, 1] == pytest.approx(work[1, 0], abs=ROUNDING * np.sqrt(work[0, 0] * work[1, 1]))
    f = np.array(factors)
    lines = replace(s.lines, force=(s.lines.force @ f)[..., None])
    one = warped.solve(s.frame, lines, (s.nodal @ f)[:, None], s.held)
    assert largest(one.u[:, 0] - s.u @ f) < 6 * ROUNDING * largest(s.u)
    every = np.arange(len(s.frame.ends))
    size = np.abs(s.rows(every, 120.0 + 0 * every)).max(axis=(0, 2))
    gap = one.rows(every, 120.0 + 0 * every)[:, :, 0] - s.rows(every, 120.0 + 0 * every) @ f
    assert largest(gap / size) < 6e-8  # resultants lose a digit more than movements


@QUICK
@given(seed=seeds)
def test_energy_is_work(build, seed):
    """Clapeyron: half of load times movement = the members' energy by their natural deformations + that of springs and
    joint energies."""
    s = build(seed, line=False).solve()
    f, joints = s.frame, 0.0
    for k, soft in enumerate(f.soft):
        joints += soft.stiffness * s.u[f.start[-1] + k, 0] ** 2 / 2
    for e in f.energies:
        own = np.r_[f.start[-1] + np.array(e.soft, dtype=int), f.start[e.node] + 6 + np.array(e.extras, dtype=int)]
        joints += s.u[own.astype(int), 0] @ e.stiffness @ s.u[own.astype(int), 0] / 2
    energy = joints + f.kernels.energy(s.moved[:, :, 0]).sum()
    assert energy == pytest.approx(s.u[:, 0] @ s.loads[:, 0] / 2, rel=1e-8)


@settings(max_examples=6, deadline=None)
@given(seed=seeds)
def test_energy_of_the_sections_is_the_members_energy(build, seed):
    """Integral along every member of N²/2EA + m B^-1 m/2 + (T - Tw)²/2GJ + B²/2EIw + (V, Tw) of the walls' shear; where
    it racks T²/2GJ, KD g²/2 + B²/2EI + (T, V, R) of the walls' shear + P (f2)² for the plates, with R + 2 P f for the
    flow's part. Gauss' rule, 40 places; from the resultants, so that stress and stiffness belong together."""
    s = build(seed, line=False).solve()
    k, energy = s.frame.kernels, s.frame.kernels.energy(s.moved[:, :, 0]).sum(axis=1)
    x, w = np.polynomial.legendre.leggauss(40)
    for member, length in enumerate(k.beams.length):
        places = length * (x + 1) / 2
        n, vy, vz, t, my, mz, b, last = s.rows(member, places)[:, :8, 0].T
        m, own = np.stack([mz, -my]), k.beams.take(np.array([member]))
        rate = n**2 / own.EA + np.einsum("ix,ij,jx->x", m, np.linalg.inv(own.bending[0]), m)
        if member in k.open_at:
            p = k.open.take(np.flatnonzero(k.open_at == member))
            soft = np.block([[own.shear[0], p.coupling.T], [p.coupling, p.warp_shear]])
            v = np.stack([vy, vz, last])
            rate += (t - last) ** 2 / own.GJ + b**2 / p.EIw + np.einsum("ix,ij,jx->x", v, soft, v)
        elif member in k.racking_at:
            at = np.flatnonzero(k.racking_at == member)
            p = k.racking.take(at)
            every = racking_resultants.resultants(
                p, s.moved[[member]], s.ends[[member]], replace(s.lines), np.zeros(len(x), dtype=int), places
            )[:, :, 0]
            last, g, f = every[:, 7], every[:, 8], every[:, 9]
            fd = p.foundation
            strain = p.coupling[0] @ np.stack([t, vy, vz])
            own_f = f - strain / 2  # what R itself strains by
            flow = fd.rho * (last + 2 * fd.plate * own_f)
            slope = fd.shear * flow - 2 * own_f
            v = np.stack([t, vy, vz, flow])
            soft = np.zeros((4, 4))
            soft[0, 0], soft[1:3, 1:3], soft[3, 3] = 1 / own.GJ[0], own.shear[0], fd.shear[0]
            soft[3, :3] = soft[:3, 3] = p.coupling[0]
            rate += fd.KD * g**2 + b**2 / fd.EI + fd.plate * slope**2 + np.einsum("ix,ij,jx->x", v, soft, v)
        else:
            v = np.stack([vy, vz])
            rate += t**2 / own.GJ + np.einsum("ix,ij,jx->x", v, own.shear[0], v)
        assert w @ rate * length / 4 == pytest.approx(energy[member], rel=1e-7, abs=1e-9 * energy.sum())


def rotation(axis, angle):
    from scipy.spatial.transform import Rotation

    axis = np.add(axis, [0, 0, 1e-3])
    return Rotation.from_rotvec(angle * axis / np.linalg.norm(axis)).as_matrix()


@QUICK
@given(seed=seeds, axis=st.tuples(*[st.floats(-1, 1)] * 3), angle=st.floats(-3.2, 3.2))
def test_turning_the_frame_turns_the_answer(warped, build, seed, axis, angle):
    """Nodes, arms, axes, loads and what warping does to member ends turned by any rotation, one node built in:
    movements turn along, warping, racking and resultants stay."""
    m = build(seed, alike=True)
    m.held = []
    m.hold(0)
    s = m.solve()
    frame, R = s.frame, rotation(axis, angle)
    turn = np.eye(frame.unknowns)
    for first in (*(frame.start[:-1]), *(frame.start[:-1] + 3), frame.start[-1], frame.start[-1] + 3):
        turn[first : first + 3, first : first + 3] = R
    follow = frame.follow.copy()
    follow[:, :, :3], follow[:, :, 3:6] = R @ follow[:, :, :3], R @ follow[:, :, 3:6]
    moved = replace(frame, nodes=frame.nodes @ R.T, arms=frame.arms @ R.T, axes=frame.axes @ R.T, follow=follow)
    after = warped.solve(moved, s.lines, turn @ s.nodal, s.held)
    assert largest(after.u - turn @ s.u) < ROUNDING * largest(s.u)
    assert largest(after.ends - s.ends) < ROUNDING * largest(s.ends)


def mirrored(k: Members) -> Members:
    """The members in the mirror, axes right-handed again with y' turned round: f, g, B, R are odd."""
    def beams(b):
        swap, side = np.array([[1.0, -1.0], [-1.0, 1.0]]), np.array([-1, 1])
        return replace(b, bending=b.bending * swap, shear=b.shear * swap, centroid=b.centroid * side,
                       shear_centre=b.shear_centre * side)  # fmt: skip

    odd = np.array([-1.0, 1.0, -1.0])
    return replace(
        k,
        beams=beams(k.beams),
        open=replace(k.open, beams=beams(k.open.beams), coupling=k.open.coupling * [1, -1], origin=k.open.origin * odd),
        racking=replace(
            k.racking, beams=beams(k.racking.beams), coupling=k.racking.coupling * [1, 1, -1],
            plane=k.racking.plane * odd, pole=k.racking.pole * [-1, 1],
        ),
    )  # fmt: skip


@QUICK
@given(seed=seeds)
def test_mirror_image(warped, build, seed):
    """Frame and loads mirrored left to right: uy, rx, rz, f and g change sign, and so do Vy, T, Mz, B and Tw or R."""
    s = build(seed).solve()
    frame = s.frame
    axes = frame.axes * FLIP
    axes[:, 1] *= -1
    follow = frame.follow.copy()
    follow[:, :, :6] *= -SIX[:, None]
    sign = -np.ones(frame.unknowns)
    for row in range(6):
        sign[frame.start[:-1] + row] = SIX[row]
    sign[frame.start[-1] :] = [-1 if j.direction == 6 else SIX[j.direction] for j in frame.soft]
    sign = sign[:, None]
    flipped = []
    for e in frame.energies:
        own = np.r_[[sign[frame.start[-1] + k, 0] for k in e.soft], -np.ones(len(e.extras))]
        flipped.append(replace(e, stiffness=e.stiffness * np.outer(own, own)))
    image = replace(
        frame, nodes=frame.nodes * FLIP, arms=frame.arms * FLIP, axes=axes, members=mirrored(frame.kernels),
        follow=follow, energies=tuple(flipped),
    )  # fmt: skip
    lines = replace(s.lines, point=s.lines.point * [-1, 1], force=s.lines.force * FLIP[:, None])
    after = warped.solve(image, lines, s.nodal * sign, s.held)
    assert largest(after.u - s.u * sign) < ROUNDING * largest(s.u)
    every = np.arange(len(frame.ends))
    here, there = (a.rows(every, 77.0 + 0 * every) for a in (s, after))
    odd = np.array([1, -1, 1, -1, 1, -1, -1, -1, -1])[:, None]
    assert largest((there - here * odd) / np.abs(here).max(axis=(0, 2))[:, None]) < 1e-8


def halved(warped, m):
    """The model with a node in the middle of every member, of the member's own kind, and its line loads cut."""
    out = replace(m, nodes=list(m.nodes), extras=list(m.extras), members=[], soft=[], lines=[])
    for a, b, own, axes, arms, follow in m.members:
        middle = out.node(*(m.nodes[a] + arms[0] + m.nodes[b] + arms[1]) / 2, extras=warped.kind_of(own))
        free, run = np.zeros(3), warped.through(warped.kind_of(own))
        length = np.linalg.norm(m.nodes[b] + arms[1] - m.nodes[a] - arms[0])
        half = warped.cut_to(own, length / 2)
        out.members.append((a, middle, half, axes, np.array([arms[0], free]), np.stack([follow[0], run])))
        out.members.append((middle, b, half, axes, np.array([free, arms[1]]), np.stack([run, follow[1]])))
    out.soft = [replace(j, member=2 * j.member + j.end) for j in m.soft]
    for member, start, end, point, c in m.lines:
        half = out.frame().beams.length[2 * member]
        if start < half:
            out.lines.append((2 * member, start, min(end, half), point, c))
        if end > half:
            late = max(half - start, 0.0)
            there = np.stack([c[0] + late * (c[1] + late * c[2]), c[1] + 2 * late * c[2], c[2]])
            out.lines.append((2 * member + 1, max(start - half, 0.0), end - half, point, there))
    return out


@QUICK
@given(seed=seeds)
def test_every_member_halved_changes_nothing(warped, build, seed):
    """Movements of the old nodes and the resultants at the same places stay.  1e-8: half as long members lose a
    digit."""
    m = build(seed)
    s, after = m.solve(), halved(warped, m).solve()
    known = int(after.frame.start[len(m.nodes)])
    assert largest(after.u[:known] - s.u[:known]) < 1e-8 * largest(s.u)
    half, every = s.frame.beams.length / 2, np.arange(len(m.members))
    for share in (0.3, 0.8):
        x = 2 * half * share
        here = s.rows(every, x)
        there = after.rows(2 * every + (share > 0.5), x - (share > 0.5) * half)
        assert largest((there - here) / np.abs(here).max(axis=(0, 2))[:, None]) < 1e-7


@QUICK
@given(seed=seeds)
def test_movement_inside_members(warped, build, seed):
    """What `influence` gives in the middle of members without line loads is how a node there moves, warping and racking
    too.  1e-8 as above."""
    m = build(seed, line=False)
    s, after = m.solve(), halved(warped, m).solve()
    every = np.arange(len(m.members))
    inside = s.frame.kernels.influence(every, s.frame.beams.length / 2) @ s.moved
    there = after.moved[2 * every, 8:]
    size = np.abs(there).max(axis=(0, 2))[:, None]
    assert largest((inside - there) / size) < 1e-8
