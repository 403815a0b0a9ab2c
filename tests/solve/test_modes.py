"""Modes of frames: rigid motions, symmetry under turning and scaling, convergence from above, springs, counting."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from scipy.linalg import eigh

from ladderfe.cases import Carried
from ladderfe.chassis import read_chassis
from ladderfe.checks.balance import carried_points
from ladderfe.errors import MechanismError
from ladderfe.mesh import build_mesh
from ladderfe.solve import frame_of, hanging_of, solve_chassis
from ladderfe.solve.mass import carried_mass, own_mass_of
from ladderfe.solve.modes import Vibrating, modes_below, natural_modes
from ladderfe.solve.supports import rigid_motions
from ladderfe.solve.vibrate import HOLD_RATE, bare, laden, on_springs

AREA, SECOND = 1200.0, np.array([[4.0e5, 0.0], [0.0, 3.0e6]])
DENSITY = 7.85e-9


def ladder(frames, parts=3):
    """Box-like rails without warping, three crossmembers, one of them beside its nodes."""
    bar = frames.Bar(E=205e3, G=79e3, A=AREA, Iy=3e6, Iz=4e5, J=9e5, Asy=500.0, Asz=700.0, centroid=(4.0, -3.0))
    return frames.ladder([0, 900, 1700, 2800], 380.0, bar, bar, arm=20.0, parts=parts, heights=[0, 0, 60, 60]).model


def turned(model, angles=(0.3, -0.5, 1.1)):
    """The same model turned about all three axes."""
    from scipy.spatial.transform import Rotation

    turn = Rotation.from_euler("xyz", angles).as_matrix()
    frame = model.frame()
    return replace(frame, nodes=frame.nodes @ turn.T, arms=frame.arms @ turn.T, axes=frame.axes @ turn.T)


def free_modes(vibrating, frame, density=DENSITY, count=16):
    return vibrating.modes(vibrating.mass(frame, vibrating.even(frame, density, AREA, SECOND)), count=count)


def test_six_motions_of_a_free_frame_have_no_frequency(frames, vibrating):
    """Their w^2 is rounding: below 1e-9 of the first elastic one's (found: 1e-12)."""
    modes = free_modes(vibrating, ladder(frames).frame())
    assert np.abs(modes.square[:6]).max() < 1e-9 * modes.square[6]
    motions = rigid_motions(modes.of.frame)
    left = modes.shapes[:, :6] - motions @ np.linalg.lstsq(motions, modes.shapes[:, :6], rcond=None)[0]
    assert np.abs(left).max() < 1e-6 * np.abs(modes.shapes[:, :6]).max()


def test_against_a_dense_solution(frames, vibrating):
    """The same matrices through LAPACK's generalised problem: all 22 lowest, to 1e-8."""
    modes = free_modes(vibrating, ladder(frames, 1).frame(), count=22)
    stiffness = modes.of.stiffness_times(np.eye(modes.of.frame.unknowns))
    mass = modes.of.mass.multiply(np.eye(modes.of.frame.unknowns))
    want = eigh(stiffness, mass, eigvals_only=True)[:22]
    assert modes.square[6:] == pytest.approx(want[6:], rel=1e-8)
    assert modes.of.mass.sparse().toarray() == pytest.approx(mass, rel=1e-12, abs=1e-12 * np.abs(mass).max())


def test_all_modes_of_a_small_frame(frames, vibrating):
    """More modes asked for than there are unknowns: all of them, none twice."""
    modes = free_modes(vibrating, ladder(frames, 1).frame(), count=500)
    assert len(modes.square) == modes.of.frame.unknowns
    assert (np.diff(modes.square[6:]) > 0).all()


def test_turning_the_frame_leaves_frequencies(frames, vibrating):
    model = ladder(frames)
    one, two = (free_modes(vibrating, f).frequencies[6:] for f in (model.frame(), turned(model)))
    assert two == pytest.approx(one, rel=1e-8)


def test_twice_the_mass_is_half_the_square(frames, vibrating):
    frame = ladder(frames).frame()
    one, two = (free_modes(vibrating, frame, d).frequencies[6:] for d in (DENSITY, 2 * DENSITY))
    assert two == pytest.approx(one / sqrt(2), rel=1e-9)


def test_dividing_members_lowers_frequencies_toward_a_limit(frames, vibrating):
    """Shapes of whole members are among those of halves (Rayleigh and Ritz), and the error falls with the fourth power
    of the length for movement without shear, the second for twist between nodes: four times at least."""
    f = np.array([free_modes(vibrating, ladder(frames, n).frame()).frequencies[6:] for n in (2, 4, 8)])
    step = f[:-1] - f[1:]
    assert (step > -1e-9 * f[1:]).all()
    assert (step[1:] < step[:-1] / 4).all()


@pytest.mark.parametrize("name", ["short-4x4", "light-lorry"])
def test_rigid_motions_of_a_laden_frame_have_its_mass(demo_file, name):
    """Mass, first and second moments against `carried_points`, which sums masses and places without the solver; the
    sections' own inertia, which points leave out, is below 2e-3 of the smallest moment."""
    chassis = read_chassis(demo_file.with_name(f"{name}.toml"))
    solution = solve_chassis(chassis)
    hanging = hanging_of(chassis, solution.mesh)
    mass = carried_mass(solution.mesh, solution.frame, hanging.carried, hanging.mounts)
    motions = rigid_motions(solution.frame)
    got = motions.T @ mass.multiply(motions)
    m, r, _ = carried_points(chassis, solution)
    x, y, z = m @ r
    assert got[:3, :3] == pytest.approx(m.sum() * np.eye(3), rel=1e-9, abs=1e-12)
    assert got[:3, 3:] == pytest.approx(np.array([[0, z, -y], [-z, 0, x], [y, -x, 0]]), rel=1e-9, abs=1e-8 * m.sum())
    second = np.einsum("k,ki,kj->ij", m, r, r)
    inertia = np.trace(second) * np.eye(3) - second
    assert np.diag(got[3:, 3:]) == pytest.approx(np.diag(inertia), rel=2e-3)
    assert (np.diag(got[3:, 3:]) > np.diag(inertia)).all()
    assert mass.total == pytest.approx(m.sum(), rel=1e-12)


def test_weight_is_mass_times_gravity(demo_file):
    """The mass matrix times a rigid lift is the load vector of the field along z, load by load: statics and inertia
    act alike on every unknown, warping, racking and joints too, within what the members' own mass has across its
    centroid line (which line loads leave out; 2e-3 of the largest)."""
    chassis = read_chassis(demo_file)
    solution = solve_chassis(chassis)
    hanging = hanging_of(chassis, solution.mesh)
    mass = carried_mass(solution.mesh, solution.frame, hanging.carried, hanging.mounts)
    got = mass.multiply(rigid_motions(solution.frame))[:, :3]
    want = solution.footing.loads[:, :3] + solution.footing.loads[:, 6:9]
    lengths = np.concatenate([solution.frame.start[:-1] + i for i in range(3)])
    assert got[lengths] == pytest.approx(want[lengths], abs=1e-9 * mass.total)
    assert np.abs(got - want).max() < 2e-3 * np.abs(want).max()


def test_modes_of_the_demo_are_orthogonal_and_none_is_missed(demo_file):
    mesh = build_mesh(read_chassis(demo_file))
    modes = natural_modes(bare(mesh, frame_of(mesh)), 20)
    u = modes.shapes
    assert u.T @ modes.of.mass.multiply(u) == pytest.approx(np.eye(20), abs=1e-9)
    assert u.T @ modes.of.stiffness_times(u) == pytest.approx(np.diag(modes.square), abs=1e-9 * modes.square[-1])
    f = modes.frequencies
    assert [modes_below(modes.of, (f[k - 1] + f[k]) / 2) for k in range(7, 20)] == list(range(7, 20))
    assert modes_below(modes.of, f[6] / 2) == 6


def test_a_stiff_frame_on_soft_springs_is_a_rigid_body(demo_file):
    """Against the 6 x 6 problem of a rigid body on the same springs: the frame a million times as stiff, 1e-4."""
    chassis = read_chassis(demo_file)
    mesh = build_mesh(chassis)
    frame = frame_of(mesh)
    stiff = replace(
        frame,
        members=frame.kernels.stiffened(np.full(len(mesh.ends), 1e6)),
        soft=tuple(replace(s, stiffness=1e6 * s.stiffness) for s in frame.soft),
        energies=tuple(replace(e, stiffness=1e6 * e.stiffness) for e in frame.energies),
    )
    hanging = hanging_of(chassis, mesh)
    of = on_springs(laden(mesh, stiff, hanging).mass, hanging)
    motions = rigid_motions(stiff)
    lever = of.rows.T @ motions
    want = eigh(lever.T @ (of.rates[:, None] * lever), motions.T @ of.mass.multiply(motions), eigvals_only=True)
    assert natural_modes(of, 3).frequencies == pytest.approx(np.sqrt(want[:3]) / (2 * pi), rel=1e-4)


def test_bounce_on_equal_springs(made):
    """One mass over four springs of rate c, its centre between them: sqrt(4 c/m)/(2 pi) (a weight on a spring).  The
    frame's own give lowers it by less than 2 %."""
    from ladderfe.chassis import Body

    axles = tuple(made.axle(a.name, a.station, rate=2.0) for a in made.AXLES)
    chassis = made.chassis(axles=axles, body=Body(start=0.0, end=made.LENGTH, split=made.LENGTH / 2))
    mesh = build_mesh(chassis)
    hanging = hanging_of(chassis, mesh)
    mass = laden(mesh, frame_of(mesh), hanging).mass
    found = natural_modes(on_springs(mass, hanging), 6).frequencies
    want = sqrt(4 * 2.0 / mass.total) / (2 * pi)
    assert np.abs(found / want - 1).min() < 2e-2
    assert mass.total == pytest.approx(sum(a.load - a.unsprung for a in axles), rel=1e-9)


def test_holds_in_plane_give_nothing_and_do_not_matter_upright(demo_file):
    """A hundred times stiffer holds move no frequency by 1e-4; without them three motions in plane are free."""
    chassis = read_chassis(demo_file)
    mesh = build_mesh(chassis)
    hanging = hanging_of(chassis, mesh)
    of = on_springs(laden(mesh, frame_of(mesh), hanging).mass, hanging)
    rates = np.where(of.rates == HOLD_RATE, 100 * HOLD_RATE, of.rates)
    one, two = (natural_modes(replace(of, rates=r), 10).frequencies for r in (of.rates, rates))
    assert two == pytest.approx(one, rel=1e-4)
    loose = natural_modes(replace(of, rates=np.where(of.rates == HOLD_RATE, 0.0, of.rates)), 6)
    assert np.abs(loose.square[:3]).max() < 1e-6 * loose.square[3]


def test_a_weightless_frame_still_has_its_loads(plain_file):
    """Unknowns without mass do not stop the solution; nothing at all on a weightless frame is no mass."""
    chassis = read_chassis(plain_file)
    mesh = build_mesh(chassis)
    frame, hanging = frame_of(mesh), hanging_of(chassis, mesh)
    assert own_mass_of(mesh, frame).total == 0
    found = natural_modes(laden(mesh, frame, hanging), 12)
    assert np.abs(found.square[:6]).max() < 1e-6 * found.square[6]
    nothing = carried_mass(mesh, frame, Carried(lines=(), masses=()), ())
    assert nothing.total == 0


def test_an_unknown_without_stiffness_is_an_error(frames, vibrating):
    m = frames.Model()
    a, b, c = m.node(0, 0, 0), m.node(1, 0, 0), m.node(5, 5, 5)
    m.member(a, b, frames.Bar(E=2.0, A=0.3, Iy=0.02, Iz=0.02, J=0.03))
    frame = m.frame()
    mass = vibrating.mass(frame, vibrating.even(frame, 1.0, 0.3, np.eye(2)))
    with pytest.raises(MechanismError, match="nothing holds it"):
        natural_modes(Vibrating.free(mass), 3)
    assert c == 2
