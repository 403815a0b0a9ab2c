"""Consistent mass of members: text-book matrices, walls summed point by point, rigid motions, quadrature."""

import numpy as np
import pytest

from ladderfe.elements.mass import Spread, member_mass, point_movements, section_mass
from ladderfe.mesh import warped as walls_move
from ladderfe.sections import Box, Channel, properties
from ladderfe.solve.frame import rigid_arm

DENSITY, LENGTH = 7.85e-9, 700.0
CHANNEL = Channel(depth=150, width=65, web=4, top=4, bottom=6, opens="+y")
BOX = Box(depth=140, width=70, top=2, bottom=4, minus=3, plus=2.5)
SIDES = ("minus", "plus")


def straight(warped, shape, length=LENGTH, parts=1):
    """A straight run of one shape along x and its frame."""
    m = warped.Model()
    m.run([(x, 0, 0) for x in np.linspace(0, length, parts + 1)], warped.stock(shape))
    return m.frame()


def book_matrix(rho: float, A: float, I: float, Ip: float, L: float) -> np.ndarray:
    """J. S. Przemieniecki, Theory of Matrix Structural Analysis (1968), consistent mass of a beam without shear strain,
    rotary inertia included (from memory); ux uy uz rx ry rz at both ends."""
    out = np.zeros((12, 12))
    for k, own in ((0, rho * A * L), (3, rho * Ip * L)):
        out[np.ix_((k, k + 6), (k, k + 6))] = own / 6 * np.array([[2, 1], [1, 2]])
    move = rho * A * L / 420 * np.array([
        [156, 22 * L, 54, -13 * L], [22 * L, 4 * L**2, 13 * L, -3 * L**2],
        [54, 13 * L, 156, -22 * L], [-13 * L, -3 * L**2, -22 * L, 4 * L**2],
    ])  # fmt: skip
    turn = rho * I / 30 / L * np.array([
        [36, 3 * L, -36, 3 * L], [3 * L, 4 * L**2, -3 * L, -(L**2)],
        [-36, -3 * L, 36, -3 * L], [3 * L, -(L**2), -3 * L, 4 * L**2],
    ])  # fmt: skip
    for at, sign in (((1, 5, 7, 11), 1), ((2, 4, 8, 10), -1)):  # rz is dv/dx, ry is -dw/dx
        s = np.array([1, sign, 1, sign])
        out[np.ix_(at, at)] = (move + turn) * np.outer(s, s)
    return out


def test_plain_member_without_shear_strain(frames, vibrating):
    """Cubic shapes: the text-book matrix to rounding."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(3, 0, 0)
    m.member(a, b, frames.Bar(E=2.0, G=0.7, A=0.3, Iy=0.02, Iz=0.02, J=0.03))
    frame = m.frame()
    got = vibrating.mass(frame, vibrating.even(frame, 5.0, 0.3, np.eye(2) * 0.02)).members[0]
    own = np.r_[0:6, 8:14]
    want = book_matrix(5.0, 0.3, 0.02, 0.04, 3.0)
    assert got[np.ix_(own, own)] == pytest.approx(want, rel=1e-12, abs=1e-13)
    assert not got[[6, 7, 14, 15]].any()


@pytest.mark.parametrize("shape", [CHANNEL, BOX], ids=["open", "box"])
def test_movement_of_a_section_is_that_of_its_walls(warped, vibrating, shape):
    """Energy of eight arbitrary movements, from moments of area against points summed over the walls' mid-lines
    (`mesh.warped` moves them).  Plates count with their thickness in the moments: (t/b)^2, below 2e-3 of the sum, and
    the box's true plates overlap its mid-lines' corners differently: 1 %."""
    frame, section = straight(warped, shape), shape.section(SIDES)
    got = section_mass(frame.kernels, vibrating.of_shape(frame, shape, DENSITY)).inertia[0]
    kind = 2 if shape is BOX else 1
    want = np.zeros((8, 8))
    for wall in section.walls:
        start, end = np.array(wall.start), np.array(wall.end)
        line = np.linalg.norm(end - start)
        t = (np.arange(400) + 0.5) / 400
        places = start + t[:, None] * (end - start)
        y, z = places.T
        move = np.zeros((400, 3, 8))
        move[:, range(3), range(3)] = 1
        move[:, 1, 3], move[:, 2, 3], move[:, 0, 4], move[:, 0, 5] = -z, y, z, -y
        origin = frame.kernels.open.origin[0] if kind == 1 else np.zeros(3)
        move[:, :, 6 : 6 + kind] = walls_move(shape, section, origin, kind, places).transpose(0, 2, 1)
        want += DENSITY * wall.thickness * line * np.einsum("pdi,pdj->ij", move, move) / 400
    size = np.sqrt(np.outer(np.diag(want), np.diag(want)))
    size[size == 0] = 1
    assert np.abs((got - want) / size).max() < 0.015
    assert np.abs(np.diag(got)[: 6 + kind] / np.diag(want)[: 6 + kind] - 1).max() < 0.015


@pytest.mark.parametrize("shape", [CHANNEL, BOX], ids=["open", "box"])
@pytest.mark.parametrize("length", [90.0, 700.0, 6000.0])
def test_rigid_motions_have_the_mass_of_a_bar(warped, vibrating, shape, length):
    """Mass, first and second moments about end 1 of a straight bar of that section, whatever its decay lengths."""
    frame, q = straight(warped, shape, length), properties(shape.section(SIDES))
    mass = vibrating.mass(frame, vibrating.of_shape(frame, shape, DENSITY)).members[0]
    motion = np.zeros((16, 6))
    motion[:6], motion[8:14] = np.eye(6), rigid_arm(np.array([length, 0.0, 0.0]))
    got = motion.T @ mass @ motion
    m = DENSITY * q.metal * length
    xx, yy = m * length**2 / 3, DENSITY * length * q.Izz + m * q.yc**2
    zz, yz = DENSITY * length * q.Iyy + m * q.zc**2, DENSITY * length * q.Iyz + m * q.yc * q.zc
    xy, xz = m * length / 2 * q.yc, m * length / 2 * q.zc
    x, y, z = m * length / 2, m * q.yc, m * q.zc
    want = np.block([
        [m * np.eye(3), np.array([[0, z, -y], [-z, 0, x], [y, -x, 0]])],
        [np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]]),
         np.array([[yy + zz, -xy, -xz], [-xy, xx + zz, -yz], [-xz, -yz, xx + yy]])],
    ])  # fmt: skip
    size = np.sqrt(np.outer(np.diag(want), np.diag(want)))
    assert np.abs((got - want) / size).max() < 1e-10


def test_a_mass_along_part_of_a_member(frames):
    """Linear mass per length between two places beside the line: mass and its first moments, by hand."""
    m = frames.Model()
    a, b = m.node(0, 0, 0), m.node(10, 0, 0)
    m.member(a, b, frames.Bar(E=2.0, G=0.7, A=0.3, Iy=0.02, Iz=0.02, J=0.03, Asy=0.1, Asz=0.2))
    kernels, point = m.frame().kernels, np.array([[0.4, -0.3]])
    moved = point_movements(kernels, np.array([0]), point)
    own = Spread(np.array([0]), np.array([2.0]), np.array([7.0]), moved.transpose(0, 2, 1) @ moved,
                 np.array([[3.0, 0.6]]))  # fmt: skip
    mass = member_mass(kernels, own)[0]
    motion = np.zeros((16, 6))
    motion[:6], motion[8:14] = np.eye(6), rigid_arm(np.array([10.0, 0.0, 0.0]))
    got = motion.T @ mass @ motion
    total = 5 * (3 + 6) / 2
    along = 2 * total + 5**2 / 6 * (3 + 2 * 6)  # trapezoid: centre from its start by L (a + 2 b)/3 (a + b)
    assert got[0, 0] == pytest.approx(total, rel=1e-12)
    assert got[2, 4] == pytest.approx(-along, rel=1e-12)
    assert got[2, 3] == pytest.approx(0.4 * total, rel=1e-12)
    assert got[1, 3] == pytest.approx(0.3 * total, rel=1e-12)
    assert got[0, 5] == pytest.approx(-0.4 * total, rel=1e-12)


@pytest.mark.parametrize("shape", [CHANNEL, BOX], ids=["open", "box"])
def test_one_long_member_against_itself_in_pieces(warped, vibrating, shape):
    """Integrals over a member of many decay lengths, as a whole and in 40 stretches: rounding."""
    frame = straight(warped, shape, 4000.0)
    kernels = frame.kernels
    whole = section_mass(kernels, vibrating.of_shape(frame, shape, DENSITY))
    cuts = np.linspace(0, 4000.0, 41)
    pieces = Spread(np.zeros(40, dtype=int), cuts[:-1], cuts[1:], np.repeat(whole.inertia, 40, axis=0),
                    np.repeat(whole.size, 40, axis=0))  # fmt: skip
    a, b = member_mass(kernels, whole)[0], member_mass(kernels, pieces)[0]
    size = np.sqrt(np.outer(np.diag(a), np.diag(a)))
    size[size == 0] = 1
    assert np.abs((a - b) / size).max() < 1e-10
