"""Modes of frames: rigid motions, symmetry under turning and scaling, convergence from above, springs, counting."""

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest
from scipy.linalg import eigh

from ladderfe.cases import Carried
from ladderfe.chassis import read_chassis
from ladderfe.checks.balance import carried_points
from ladderfe.checks.mode_kinds import classify
from ladderfe.elements import BoxWalls
from ladderfe.errors import MechanismError
from ladderfe.mesh import build_mesh, pole_of
from ladderfe.sections import properties
from ladderfe.solve import frame_of, hanging_of, solve_chassis
from ladderfe.solve.analyse import analyse
from ladderfe.solve.mass import carried_mass, own_mass_of, section_masses
from ladderfe.solve.modes import Vibrating, modes_below, natural_modes
from ladderfe.solve.supports import rigid_motions
from ladderfe.solve.updated import Updated
from ladderfe.solve.vibrate import HOLD_RATE, bare, laden, on_springs, stiffened

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


@pytest.mark.parametrize("distribution", ["two halves", "linear"])
@pytest.mark.parametrize("name", ["short-4x4", "light-lorry"])
def test_rigid_motions_of_a_laden_frame_have_its_mass(demo_file, name, distribution):
    """Mass, first and second moments against `carried_points`, which sums masses and places without the solver; the
    sections' own inertia, which points leave out, is below 2e-3 of the smallest moment."""
    chassis = read_chassis(demo_file.with_name(f"{name}.toml"))
    chassis = replace(chassis, body=replace(chassis.body, distribution=distribution))
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


@pytest.mark.parametrize("name", ["short-4x4", "light-lorry", "pick-up"])
def test_weight_is_mass_times_gravity(demo_file, name):
    """The mass matrix times a rigid lift is the load vector of the field along z, load by load: statics and inertia
    act alike on every unknown, warping, racking and joints too, within what the members' own mass has across its
    centroid line (which line loads leave out): without that mass, to rounding.  The body lies beside the rails, so that
    it twists and racks them."""
    chassis = read_chassis(demo_file.with_name(f"{name}.toml"))
    chassis = replace(
        chassis, material=replace(chassis.material, density=0.0), body=replace(chassis.body, y=55.0)
    )
    solution = solve_chassis(chassis)
    hanging = hanging_of(chassis, solution.mesh)
    mass = carried_mass(solution.mesh, solution.frame, hanging.carried, hanging.mounts)
    got = mass.multiply(rigid_motions(solution.frame))
    want = solution.footing.loads[:, :6] + solution.footing.loads[:, 6:]
    for places in _alike(solution.frame):
        assert got[places] == pytest.approx(want[places], abs=1e-9 * np.abs(want[places]).max())


def _alike(frame):
    """Unknowns by kind: movements, turns, the first and the second one beside them."""
    first = frame.start[:-1]
    yield np.concatenate([first + i for i in range(3)])
    yield np.concatenate([first + i for i in range(3, 6)])
    for k in (1, 2):
        own = first[frame.extras >= k] + 5 + k
        if len(own):
            yield own


@pytest.mark.parametrize("name", ["short-4x4", "light-lorry"])
def test_what_sections_weigh(demo_file, name):
    """Mass per length, moments about the centroid and warping of all members from their sections' own properties."""
    mesh = build_mesh(read_chassis(demo_file.with_name(f"{name}.toml")))
    frame = frame_of(mesh)
    found, rho = section_masses(mesh, frame), mesh.material.density
    for m, k in enumerate(mesh.section_of):
        q = properties(mesh.sections[k])
        assert found.per_length[m] == pytest.approx(rho * q.metal, rel=1e-12)
        assert np.trace(found.second[m]) == pytest.approx(rho * (q.Iyy + q.Izz), rel=1e-12)
        if mesh.kind[m] == 1:
            assert found.warping[m] == pytest.approx(rho * q.Iw, rel=1e-12)
        if mesh.kind[m] == 2:
            box = mesh.shapes[k]
            size = pole_of(box)[1]
            walls = BoxWalls(size[:1], size[1:], np.array([[box.minus, box.plus, box.top, box.bottom]]))
            assert found.warping[m] == pytest.approx(rho * walls.membrane().inertia[0], rel=1e-12)


def test_roll_stiffness_of_springs_and_bars(demo_file):
    """Energy of a unit roll of a rigid frame on its springs: motion ratio^2 rate arm^2/2 + bar of both axles."""
    chassis = read_chassis(demo_file)
    mesh = build_mesh(chassis)
    hanging = hanging_of(chassis, mesh)
    of = on_springs(laden(mesh, frame_of(mesh), hanging).mass, hanging)
    springs = of.rates != HOLD_RATE
    lever = of.rows[:, springs].T @ rigid_motions(of.frame)
    assert hanging.suspensions[0].anti_roll > 0
    want = sum(s.roll_stiffness for s in hanging.suspensions)
    assert of.rates[springs] @ lever[:, 3] ** 2 == pytest.approx(want, rel=1e-9)
    assert of.rates[springs] @ lever[:, 2] ** 2 == pytest.approx(sum(2 * a.rate for a in chassis.axles), rel=1e-9)


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


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_full_part_of_low_rank(sign):
    """Solution and count of negative eigenvalues against the dense matrix, core of either sign: rounding."""
    from scipy.sparse import csc_array

    random = np.random.default_rng(3)
    a = random.standard_normal((30, 30))
    base = a @ a.T + 30 * np.eye(30)
    rows, core = random.standard_normal((30, 4)), np.zeros((4, 4))
    core[0, 3] = core[3, 0] = 1.0
    core[1, 2] = core[2, 1] = -1.0
    core[2, 2] = core[3, 3] = 0.7
    matrix = Updated(csc_array(base), rows, sign * core)
    dense = base + rows @ (sign * core) @ rows.T
    x = random.standard_normal((30, 2))
    assert matrix @ x == pytest.approx(dense @ x, rel=1e-12)
    assert matrix.solver()(dense @ x) == pytest.approx(x, rel=1e-9, abs=1e-9)
    for shift in (0.0, -35.0, -60.0, -1e3):
        below = int((np.linalg.eigvalsh(dense + shift * np.eye(30)) < 0).sum())
        assert Updated(csc_array(base + shift * np.eye(30)), rows, sign * core).negative() == below


def test_the_bodys_height_is_that_of_a_rigid_body(demo_file):
    """A body 600 mm up: its own mass x height^2 more about x than at the rails, which lie up to 150 mm off their middle
    (10 %); on its springs bounce, pitch and roll are slower."""
    chassis = read_chassis(demo_file)
    mesh = build_mesh(chassis)
    frame, hanging = frame_of(mesh), hanging_of(replace(chassis, cases=()), mesh)
    found = []
    for height in (None, 600.0):
        lines = tuple(replace(line, height=height) for line in hanging.carried.lines)
        lifted = replace(hanging, carried=replace(hanging.carried, lines=lines))
        mass = laden(mesh, frame, lifted).mass
        motions = rigid_motions(frame)
        inertia = (motions.T @ mass.multiply(motions))[3, 3]
        found.append((inertia, natural_modes(on_springs(mass, lifted), 3).frequencies))
    (low, quick), (high, slow) = found
    body = sum(line.mass for line in hanging.carried.lines)
    assert high - low == pytest.approx(body * 600.0**2, rel=0.1)
    assert (slow < quick + 1e-9).all()
    assert slow[2] < 0.95 * quick[2]


def test_a_body_that_stiffens_in_twist(demo_file):
    """Four times as stiff in twist between the axles, by statics along the same row: no frequency falls, bending stays,
    the first twist rises, at most by the root of four (the overhangs twist as before)."""
    chassis = read_chassis(demo_file)
    stiff = replace(chassis, cases=(), body=replace(chassis.body, stiffening=4.0))
    mesh = build_mesh(stiff)
    hanging = hanging_of(stiff, mesh)
    solution = analyse(mesh, hanging)
    of = laden(mesh, solution.frame, hanging)
    both = stiffened(of, solution.footing, hanging)
    row = both.rows[:, 0]
    soft = row @ solution.footing.factor.solve(row[:, None])[:, 0]
    assert 1 / soft + both.rates[0] == pytest.approx(4 / soft, rel=1e-9)
    one, two = (natural_modes(v, 18) for v in (of, both))
    assert np.abs(two.square[:6]).max() < 1e-6 * two.square[6]
    assert (two.frequencies[6:] > one.frequencies[6:] - 1e-9).all()
    plain, raised = ({m.name: m.frequency for m in classify(mesh, found, 6)} for found in (one, two))
    assert raised["first vertical bending"] == pytest.approx(plain["first vertical bending"], rel=1e-2)
    assert plain["first twist"] * 1.2 < raised["first twist"] < plain["first twist"] * 2.0
    assert stiffened(of, solution.footing, hanging_of(replace(chassis, cases=()), mesh)) is of
