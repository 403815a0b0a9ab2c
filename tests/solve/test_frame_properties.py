"""What every frame must obey, on random ladders: unsymmetric, eccentric, kicked up, left unlike right, with rigid arms
between rail and crossmember and soft joints.  General mechanics, no published source needed.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.elements import Beams
from ladderfe.solve.band import Factor
from ladderfe.solve.frame import SoftEnd, rigid_arm

QUICK = settings(max_examples=25, deadline=None)
ROUNDING = 1e-9  # a ladder of a dozen members loses about five of sixteen digits (the self-check's bound)
CASES = 2


@pytest.fixture(scope="session")
def build(frames):
    """Random ladder from a seed: (model with line loads, nodal loads, held), everything drawn within real sizes."""

    def bar(rng):
        Iy, Iz = rng.uniform(2e5, 5e6, 2)
        Asy, Asz = rng.uniform(150, 900, 2)
        return frames.Bar(
            E=205e3, G=79e3, A=rng.uniform(400, 2500), Iy=Iy, Iz=Iz, Iyz=rng.uniform(-0.7, 0.7) * np.sqrt(Iy * Iz),
            J=10 ** rng.uniform(4, 6.5), Asy=Asy, Asz=Asz, shear_yz=rng.uniform(-0.7, 0.7) / np.sqrt(Asy * Asz),
            centroid=tuple(rng.uniform(-30, 30, 2)), shear_centre=tuple(rng.uniform(-50, 50, 2)),
        )  # fmt: skip

    def make(seed, *, soft=True, line=True, parts=1):
        """`line`: one partial quadratic line load on every rail member, between 0 and 250 mm (parts = 1)."""
        rng = np.random.default_rng(seed)
        stations = np.cumsum(rng.uniform(250, 1300, rng.integers(2, 5)))
        heights = rng.uniform(-150, 150, len(stations))
        ladder = frames.ladder(
            stations, rng.uniform(300, 500), bar(rng), bar(rng), right_rail=bar(rng), heights=heights,
            arm=rng.uniform(0, 60), parts=parts, cases=CASES,
        )  # fmt: skip
        m = ladder.model
        corners = ladder.left + ladder.right
        nodal = rng.normal(size=(len(corners), 6, CASES)) * np.array([1e3, 1e3, 1e3, 1e5, 1e5, 1e5])[:, None]
        for k, node in enumerate(corners):
            for case in range(CASES):
                m.load(node, nodal[k, :3, case], nodal[k, 3:, case], case=case)
        if soft:
            for motion, size in (("rx", 1e8), ("rz", 1e8), ("uy", 1e5)):
                member = ladder.cross[rng.integers(len(ladder.cross))]
                m.soften(member, rng.integers(2), motion, size * rng.uniform(0.2, 5))
        if line:
            for member in ladder.rails:
                reach = np.sort(rng.uniform(0, 250, 2))
                for case in range(CASES):
                    m.line(member, rng.normal(size=3), start=reach[0], end=reach[1], point=rng.uniform(-40, 40, 2),
                           slope=rng.normal(size=3) * 1e-3, bend=rng.normal(size=3) * 1e-5, case=case)  # fmt: skip
        m.hold(ladder.left[0], "ux uy uz")
        m.hold(ladder.right[0], "uz")
        m.hold(ladder.left[-1], "uy uz")
        return ladder

    return make


seeds = st.integers(0, 2**32 - 1)


def largest(a):
    return float(np.abs(a).max())


def scaled_dense(frame):
    """K with a unit diagonal, dense."""
    k = frame.multiply(np.eye(frame.unknowns))
    scale = 1 / np.sqrt(np.diag(k))
    return k * np.outer(scale, scale)


@QUICK
@given(seed=seeds)
def test_stiffness_has_exactly_six_rigid_motions(build, seed):
    """Symmetric, no negative energy, six motions without energy and no seventh (see the member's own test)."""
    k = scaled_dense(build(seed).model.frame())
    assert largest(k - k.T) < 1e-13
    energies = np.linalg.eigvalsh(k)
    assert largest(energies[:6]) < 1e-12
    assert energies[6] > 1e-8


@QUICK
@given(seed=seeds, motion=st.lists(st.floats(-1, 1), min_size=6, max_size=6))
def test_rigid_motion_gives_no_force(build, seed, motion):
    """Moved and turned as one body: member end forces are rounding beside those of one node moved alone."""
    frame = build(seed).model.frame()
    six = np.array(motion) * np.array([1, 1, 1, 1e-3, 1e-3, 1e-3])
    u = np.zeros((frame.unknowns, 1))
    u[: 6 * len(frame.nodes), 0] = (rigid_arm(frame.nodes) @ six).ravel()
    alone = np.where(np.arange(frame.unknowns) < 6, u[:, 0], 0)[:, None]
    none = np.zeros((len(frame.ends), 16, 1))
    scale = np.tile(np.r_[np.ones(3), np.full(3, 1e-3), np.zeros(2)], 2)[:, None]  # N mm beside N
    rigid = frame.end_forces(frame.member_movements(u), none) * scale
    unit = np.abs(frame.member_stiffness).max(axis=(1, 2))  # what the member would make of 1 mm or 1 rad
    assert (np.abs(rigid).max(axis=(1, 2)) / unit).max() < 1e-11
    assert largest(frame.multiply(u)) < 1e-9 * max(largest(frame.multiply(alone)), 1e-6 * unit.max())


@QUICK
@given(seed=seeds)
def test_reciprocity(build, seed):
    """Betti: the work of load 1 on the movement of load 2 = that of load 2 on the movement of load 1."""
    s = build(seed).model.solve()
    work = s.loads.T @ s.u
    assert work[0, 1] == pytest.approx(work[1, 0], abs=ROUNDING * np.sqrt(work[0, 0] * work[1, 1]))


@QUICK
@given(seed=seeds, factors=st.tuples(st.floats(-3, 3), st.floats(-3, 3)))
def test_superposition(frames, build, seed, factors):
    """Two load cases combined by hand = both loads in one case; movements and resultants."""
    ladder = build(seed)
    m = ladder.model
    apart = m.solve()
    lines, nodal = m.line_loads(), m.nodal_loads(m.frame().unknowns)
    f = np.array(factors)
    one = replace(lines, force=(lines.force @ f)[..., None])
    together = frames.solve(apart.frame, one, (nodal @ f)[:, None], apart.held)
    assert largest(together.u[:, 0] - apart.u @ f) < ROUNDING * largest(apart.u) * 6
    x = 120.0
    sums = np.stack([apart.section(1, x, case) for case in range(CASES)], axis=1)
    assert together.section(1, x) == pytest.approx(sums @ f, abs=ROUNDING * 6 * largest(sums))


@QUICK
@given(seed=seeds)
def test_double_modulus_half_movement(frames, build, seed):
    """E, G and all joint springs doubled: half the movement, the same end forces."""
    s = build(seed).model.solve()
    b = s.frame.beams
    stiff = replace(b, EA=2 * b.EA, GJ=2 * b.GJ, bending=2 * b.bending, shear=b.shear / 2)
    joints = tuple(replace(j, stiffness=2 * j.stiffness) for j in s.frame.soft)
    frame = replace(s.frame, members=stiff, soft=joints)
    doubled = frames.solve(frame, s.lines, s.loads - s.frame.gather(inner_loads(s)), s.held)
    assert largest(doubled.u - s.u / 2) < ROUNDING * largest(s.u)
    assert largest(doubled.end_forces - s.end_forces) < ROUNDING * largest(s.end_forces)


def inner_loads(answer):
    out = np.zeros((len(answer.frame.ends), 16, CASES))
    np.add.at(out, answer.lines.member, answer.frame.kernels.each_equivalent(answer.lines))
    return out


@QUICK
@given(seed=seeds)
def test_supports_balance_the_loads_in_six_directions(build, seed):
    """Forces and moments about the origin of all loads, those along the line of members too (from their own places, not
    from the equivalent end loads), and of all reactions add up to nothing."""
    ladder = build(seed)
    s = ladder.model.solve()
    frame, lines = s.frame, s.lines
    applied = s.resultant_about_origin(s.loads - frame.gather(inner_loads(s)))
    x, w = np.polynomial.legendre.leggauss(4)
    for k, member in enumerate(lines.member):
        axes = frame.axes[member]
        origin = frame.nodes[frame.ends[member, 0]] + frame.arms[member, 0]
        reach = lines.end[k] - lines.start[k]
        for at, weight in zip(reach * (x + 1) / 2, w * reach / 2, strict=True):
            c = lines.force[k]
            force = axes.T @ (c[0] + c[1] * at + c[2] * at**2) * weight
            place = origin + axes.T @ np.r_[lines.start[k] + at, lines.point[k]]
            applied += np.concatenate([force, np.cross(place, force, axisb=0, axisc=0)])
    supports = s.resultant_about_origin(s.reactions)
    size = np.r_[np.full(3, 1e3), np.full(3, 1e6)][:, None]
    assert largest((applied + supports) / size) < 1e-8 * max(largest(supports / size), 1.0)


@QUICK
@given(seed=seeds)
def test_strain_energy_of_the_sections_is_the_work_of_the_loads(build, seed):
    """Clapeyron: 1/2 u f = sum over members of the integral of N²/2EA + T²/2GJ + m B^-1 m/2 + V f V/2, from the section
    resultants by Gauss (squares of linear moments: two points), and of the joint springs' energy."""
    s = build(seed, line=False).model.solve()
    b = s.frame.beams
    x, w = np.polynomial.legendre.leggauss(2)
    energy = sum(j.stiffness * s.u[s.frame.start[-1] + k, 0] ** 2 / 2 for k, j in enumerate(s.frame.soft))
    for member, length in enumerate(b.length):
        for at, weight in zip(length * (x + 1) / 2, w * length / 2, strict=True):
            n, vy, vz, t, my, mz = s.section(member, at)
            m, v = np.array([mz, -my]), np.array([vy, vz])
            per_length = n**2 / b.EA[member] + t**2 / b.GJ[member]
            per_length += m @ np.linalg.solve(b.bending[member], m) + v @ b.shear[member] @ v
            energy += weight * per_length / 2
    assert energy == pytest.approx(float(s.u[:, 0] @ s.loads[:, 0]) / 2, rel=1e-8)


def mirror_frame(frame):
    """The frame, and its line loads' axes, seen in a mirror that turns y round."""
    flip, b = np.array([1.0, -1.0, 1.0]), frame.beams
    swap = np.array([[1.0, -1.0], [-1.0, 1.0]])  # y' stays right-handed and so turns round in the section
    offsets = b.centroid * [-1, 1], b.shear_centre * [-1, 1]
    beams = Beams(b.length, b.EA, b.GJ, b.bending * swap, b.shear * swap, *offsets)
    axes = frame.axes * flip
    axes[:, 1] *= -1
    return replace(frame, nodes=frame.nodes * flip, arms=frame.arms * flip, axes=axes, members=beams)


@QUICK
@given(seed=seeds)
def test_mirror_image(frames, build, seed):
    """Frame and loads mirrored left to right: uy, rx, rz change sign and so do Vy, T, Mz; the others stay."""
    s = build(seed).model.solve()
    six = np.array([1, -1, 1, -1, 1, -1.0])
    n = 6 * len(s.frame.nodes)
    sign = np.concatenate([np.tile(six, n // 6), [six[j.direction] for j in s.frame.soft]])[:, None]
    across = np.array([1, -1, 1])[:, None]
    lines = replace(s.lines, point=s.lines.point * [-1, 1], force=s.lines.force * across)
    nodal = s.loads - s.frame.gather(inner_loads(s))
    mirrored = frames.solve(mirror_frame(s.frame), lines, nodal * sign, s.held)
    assert largest(mirrored.u - s.u * sign) < ROUNDING * largest(s.u)
    turned = np.array([1, -1, 1, -1, 1, -1])
    for member in (0, len(s.frame.ends) - 1):
        here = s.section(member, 77.0)
        assert mirrored.section(member, 77.0) == pytest.approx(here * turned, abs=ROUNDING * largest(here))


def rotation(axis, angle):
    from scipy.spatial.transform import Rotation

    axis = np.add(axis, [0, 0, 1e-3])
    return Rotation.from_rotvec(angle * axis / np.linalg.norm(axis)).as_matrix()


@QUICK
@given(seed=seeds, axis=st.tuples(*[st.floats(-1, 1)] * 3), angle=st.floats(-3.2, 3.2))
def test_turning_the_frame_turns_the_answer(frames, build, seed, axis, angle):
    """Nodes, arms, member axes and loads turned by any rotation, one end built in; joint springs are alike in all
    directions and so turn too: movements turn along, section resultants stay."""
    m = build(seed, soft=False).model
    frame, held = m.frame(), np.arange(12)
    soft = tuple(SoftEnd(len(frame.ends) - 1, 1, d, 1e5 if d < 3 else 1e9) for d in range(6))
    frame = replace(frame, soft=soft)
    nodal = m.nodal_loads(frame.unknowns)
    before = frames.solve(frame, m.line_loads(), nodal, held)
    R = rotation(axis, angle)
    moved = replace(frame, nodes=frame.nodes @ R.T, arms=frame.arms @ R.T, axes=frame.axes @ R.T)

    def turn(u):
        return np.einsum("ij,njc->nic", R, u.reshape(-1, 3, CASES)).reshape(u.shape)

    after = frames.solve(moved, m.line_loads(), turn(nodal), held)
    assert largest(after.u - turn(before.u)) < ROUNDING * largest(before.u)
    for member in range(len(frame.ends)):
        here = before.section(member, 50.0)
        assert after.section(member, 50.0) == pytest.approx(here, abs=ROUNDING * largest(before.end_forces))


@settings(max_examples=12, deadline=None)  # the fine mesh is the slow one
@given(seed=seeds)
def test_mesh_does_not_matter(build, seed):
    """One member a span against 2 and 50 under loads at nodes: movements and end forces below 1e-9.  The front end is
    built in: a ladder on three corners with members of 5 mm loses two digits more to rounding (2e-9)."""
    results = []
    for parts in (1, 2, 50):
        ladder = build(seed, line=False, parts=parts)
        for node in (ladder.left[0], ladder.right[0]):
            ladder.model.hold(node)
        for node in (ladder.left[-1], ladder.right[-1]):
            ladder.model.hold(node, "uz")
        s = ladder.model.solve()
        corners = 6 * np.array(ladder.left + ladder.right)[:, None] + np.arange(6)
        results.append((s.u[corners], s.end_forces[ladder.rails[::parts], :6], s.end_forces[ladder.cross]))
    for other in results[1:]:
        for one, fine in zip(results[0], other, strict=True):
            assert largest(fine - one) < 1e-9 * largest(one)


@pytest.mark.parametrize("parts", [2, 50])
def test_mesh_does_not_matter_under_line_loads(frames, parts):
    """A linear line load that begins and ends inside a built-in ladder's rail, cut to the pieces of a finer mesh: the
    same movements at the ends of the span below 1e-9, the same moments at the same places."""
    bar = frames.Bar(
        E=205e3, G=79e3, A=1500, Iy=2.7e6, Iz=0.9e6, Iyz=0.4e6, J=4e5, Asy=300, Asz=600, shear_centre=(20, 0)
    )
    start, end, reach = 310.0, 1730.0, 1420.0
    results = []
    for n in (1, parts):
        ladder = frames.ladder([0.0, 2000.0, 3000.0], 400.0, bar, bar, parts=n)
        m = ladder.model
        for k in range(n):
            low, high = max(start, k * 2000 / n), min(end, (k + 1) * 2000 / n)
            if high > low:
                force = np.array([0, 0.2, -1.5]) + np.array([0.1, 0, 0.6]) * (low - start) / reach
                offset = k * 2000 / n
                m.line(ladder.rails[k], force, start=low - offset, end=high - offset, point=(15.0, 30.0),
                       slope=np.array([0.1, 0, 0.6]) / reach)  # fmt: skip
        m.hold(ladder.left[0])
        m.hold(ladder.right[2])
        s = m.solve()
        span = [ladder.left[1], ladder.right[1]]
        place, inside = divmod(999.0, 2000.0 / n)
        results.append((np.concatenate([s.move(k) for k in span]), s.section(ladder.rails[int(place)], inside)))
    (u1, r1), (u2, r2) = results
    assert largest(u1 - u2) < 1e-9 * largest(u1)
    assert r2 == pytest.approx(r1, abs=1e-9 * largest(r1) * 10)


@QUICK
@given(seed=seeds)
def test_an_unknown_held_twice_is_held_once(frames, build, seed):
    """A place named twice among those held changes nothing."""
    m = build(seed).model
    s = m.solve()
    twice = frames.solve(s.frame, s.lines, m.nodal_loads(s.frame.unknowns), np.concatenate([s.held, s.held[:2]]))
    assert np.array_equal(twice.u, s.u)


@QUICK
@given(seed=seeds)
def test_few_digits_are_lost(build, seed):
    """The refinement step of a frame of real sizes is small: fewer than 8 of 16 digits lost."""
    s = build(seed).model.solve()
    assert 0 <= Factor(s.frame, s.held).digits_lost(s.loads, s.u) < 8
