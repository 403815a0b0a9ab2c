"""Findings about natural frequencies: modes named by their movement, proofs that hold and can fall short."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks.mode_kinds import (
    ELASTIC,
    LATERAL,
    LOCAL,
    MIXED,
    RIGID,
    TWIST,
    VERTICAL,
    Mode,
    _named,
    classify,
    numbered,
)
from ladderfe.checks.vibration import BARE, FIRSTS, LADEN, SPRUNG, check_vibration
from ladderfe.checks.vibration_proofs import vibration_proofs
from ladderfe.mesh import build_mesh
from ladderfe.solve import frame_of
from ladderfe.solve.modes import Modes
from ladderfe.solve.vibrate import bare


@pytest.fixture(scope="module")
def plain(made):
    """Mesh and bare frame of the plain ladder, nodes 10 times as dense."""
    mesh = build_mesh(made.chassis(), refine=10)
    return mesh, bare(mesh, frame_of(mesh))


def moved(plain, made, move):
    """A mode with the rails moved by `move` (place -> ux uy uz and rx), crossmembers along with it."""
    mesh, of = plain
    shape = np.zeros((of.frame.unknowns, 1))
    for k, (x, y, z) in enumerate(of.frame.nodes):
        first = of.frame.start[k]
        shape[first : first + 4, 0] = move(2 * x / made.LENGTH - 1, y / made.HALF, z)
    shape /= np.sqrt(shape[:, 0] @ of.mass.multiply(shape)[:, 0])
    return classify(mesh, Modes(of, np.array([1e4]), shape))[0]


@pytest.mark.parametrize(
    ("kind", "name", "move"),
    [
        (TWIST, "first twist", lambda x, y, z: (0, 0, x * y, x / 400)),
        (VERTICAL, "first vertical bending", lambda x, y, z: (0, 0, 3 * x**2 - 1, 0)),
        (LATERAL, "first lateral bending", lambda x, y, z: (0, 3 * x**2 - 1, 0, 0)),
        ("lozenge", "first lozenge", lambda x, y, z: (y, 0.5 * x / 5, 0, 0)),
        ("rails apart", "first rails apart", lambda x, y, z: (0, y, 0, 0)),
        ("stretch", "first stretch", lambda x, y, z: (x, 0, 0, 0)),
        ("rails turning", "first rails turning", lambda x, y, z: (0, 0, 0, y)),
        ("bounce", "bounce", lambda x, y, z: (0, 0, 1, 0)),
        ("roll", "roll", lambda x, y, z: (0, 0, y, 1 / 400)),
        ("pitch", "pitch", lambda x, y, z: (0, 0, x, 0)),
        ("yaw", "yaw", lambda x, y, z: (-y * 400, x * 2000, 0, 0)),
        ("bounce", "bounce and pitch", lambda x, y, z: (0, 0, 1 + 0.9 * np.sqrt(3) * x, 0)),
        (MIXED, None, lambda x, y, z: (0, 3 * x**2 - 1, x * y * 1.55 + (3 * x**2 - 1), x * 1.55 / 400)),
    ],
)
def test_a_movement_is_named(plain, made, kind, name, move):
    """Pure movements of rails 4000 mm long, 800 mm apart: -1 to 1 along and across; own definitions."""
    mode = moved(plain, made, move)
    assert (mode.kind, mode.name) == (kind, mode.name if name is None else name)
    assert sum(mode.shares.values()) == pytest.approx(1.0, abs=1e-12)
    if name in ("first twist", "first vertical bending", "first lateral bending", "bounce", "roll", "pitch"):
        assert mode.shares[kind] > 0.97  # rails that turn along with the twist: (60/400)^2 of it; uneven mass


def test_shares_of_two_movements_are_their_squares(plain, made):
    """Twist twice as large as bending: 4 to 1, by their mean squares 1/3 and 4/5 over -1 to 1; mass lies evenly along
    these rails."""
    mode = moved(plain, made, lambda x, y, z: (0, 0, 2 * x * y + (3 * x**2 - 1), 2 * x / 400))
    assert mode.shares[TWIST] / mode.shares[VERTICAL] == pytest.approx(4 / 3 / 0.8, rel=0.02)


def mode(kind, **shares):
    """A mode of a kind with these shares, the rest motion as a whole."""
    own = dict.fromkeys((*RIGID, *ELASTIC), 0.0) | {k.replace("_", " "): v for k, v in shares.items()}
    own["roll"] = 1 - sum(own.values())
    return Mode(frequency=1.0, kind=kind, name=kind, shares=own, rails=1.0, moving={})


def told(*modes):
    return [(m.name, m.within) for m in numbered(modes)]


def test_a_twist_that_others_share_is_the_first_all_the_same():
    """Shares as of a laden frame whose lozenge and first twist lie together: its pure twist is the second shape."""
    assert told(
        mode(MIXED, lozenge=0.33, twist=0.30, lateral_bending=0.23),
        mode(LATERAL, lateral_bending=0.65, twist=0.32),
        mode("lozenge", lozenge=0.46, twist=0.34, lateral_bending=0.20),
        mode(TWIST, twist=0.94),
    ) == [
        (MIXED, ("first twist",)),
        ("first lateral bending", ("first twist",)),
        ("first lozenge", ("first twist",)),
        ("second twist", ()),
    ]  # fmt: skip


def test_a_little_twist_in_others_is_no_mode_of_its_own():
    """A quarter of many modes, or a half of one of them; and what comes after the last named one."""
    little = [mode(LATERAL, lateral_bending=0.7, twist=0.27) for _ in range(4)]
    assert told(*little, mode(LOCAL, twist=0.9), mode(TWIST, twist=0.9))[-1] == ("first twist", ())
    assert told(mode(LATERAL, lateral_bending=0.5, twist=0.45), mode(TWIST, twist=0.9))[-1] == ("first twist", ())
    mixed = mode(MIXED, vertical_bending=0.25, twist=0.22, lozenge=0.1)  # of 0.57 that bends
    assert told(mode(TWIST, twist=0.9), mixed, mixed)[1:] == [(MIXED, ("first vertical bending", "second twist"))] * 2


@pytest.mark.parametrize(
    ("shares", "kind", "beside"),
    [
        ((0.50, 0.47), TWIST, VERTICAL),
        ((0.36, 0.27), TWIST, VERTICAL),
        ((0.36, 0.28), MIXED, ""),
        ((0.34, 0.20), MIXED, ""),
        ((0.60, 0.24), TWIST, ""),
    ],
)
def test_what_is_clearly_the_greatest_gives_the_name(shares, kind, beside):
    """Half of the bending, or 0.35 of it and 1.3 times the next; a quarter is told beside it (judgement)."""
    rest = 1 - sum(shares)
    spread = {"lateral bending": rest / 3, "lozenge": rest / 3, "stretch": rest / 3}
    own = dict.fromkeys((*RIGID, *ELASTIC), 0.0) | {TWIST: shares[0], VERTICAL: shares[1]} | spread
    found = _named(own, 0.5)
    assert (found[0], found[2]) == (kind, beside)
    halved = {name: share / 2 for name, share in own.items()} | {"roll": 0.5}
    assert _named(halved, 0.4) == found  # shares are of the bending alone


def test_where_the_rails_rest_it_is_local(plain, made):
    mesh, of = plain
    shape = np.zeros((of.frame.unknowns, 1))
    part = mesh.part("middle")
    nodes = mesh.ends[part.first : part.last - 1, 1]
    shape[of.frame.start[nodes] + 2] = 1.0
    shape /= np.sqrt(shape[:, 0] @ of.mass.multiply(shape)[:, 0])
    mode = classify(mesh, Modes(of, np.array([1e4]), shape))[0]
    assert (mode.kind, mode.name) == (LOCAL, LOCAL)
    assert next(iter(mode.moving)) == "crossmember middle"
    assert sum(mode.moving.values()) == pytest.approx(1.0)


def test_all_proofs_hold_on_the_demo(demo_vibration):
    assert demo_vibration.proven
    assert len(demo_vibration.proofs) == 6
    assert list(demo_vibration.states) == [BARE, LADEN, SPRUNG]
    for state in demo_vibration.states.values():
        assert {state.modes[state.first(name)].name for name in FIRSTS} == set(FIRSTS)
        frequencies = [m.frequency for m in state.modes]
        assert frequencies == sorted(frequencies)
        assert all(set(m.shares) == {*RIGID, *ELASTIC} for m in state.modes)


def test_what_is_known_of_any_frame_on_springs(demo_vibration):
    """More mass, lower frequencies (free against free); springs never lower one (Rayleigh): the k-th with springs is
    at or above the k-th free one, zeros counted."""
    s = demo_vibration.states
    assert (s[LADEN].found.frequencies[6:12] < s[BARE].found.frequencies[6:12]).all()
    free, sprung = s[LADEN].found.frequencies, s[SPRUNG].found.frequencies
    assert (sprung > free[: len(sprung)] - 1e-6).all()
    assert [m.kind for m in s[SPRUNG].modes[:3]] == ["bounce", "pitch", "roll"]


@pytest.mark.parametrize(
    ("number", "change"),
    [
        (0, lambda m: replace(m, of=replace(m.of, mass=replace(m.of.mass, members=1.000001 * m.of.mass.members)))),
        (1, lambda m: replace(m, square=np.where(np.arange(len(m.square)) == 2, 1e-3 * m.square[6], m.square))),
        (2, lambda m: replace(m, square=np.delete(m.square, 9), shapes=np.delete(m.shapes, 9, axis=1))),
        (3, lambda m: replace(m, shapes=m.shapes + 1e-5 * np.roll(m.shapes, 1, axis=1))),
        (4, lambda m: replace(m, square=1.0001 * m.square)),
    ],
    ids=["mass", "zero", "missed", "orthogonal", "static"],
)
def test_proofs_fall_short(demo_vibration, number, change):
    """Each by a small fault of its own kind."""
    v, state = demo_vibration, demo_vibration.states[BARE]
    broken = vibration_proofs(v.chassis, v.solution, {BARE: (change(state.found), 6, len(state.modes))}, 0.0)
    assert not broken[number].holds
    whole = vibration_proofs(v.chassis, v.solution, {BARE: (state.found, 6, len(state.modes))}, 0.0)
    assert all(p.holds for p in whole)
    assert not vibration_proofs(v.chassis, v.solution, {BARE: (state.found, 6, 4)}, 2e-3)[5].holds


def test_a_weightless_frame_has_no_bare_state(plain_vibration):
    assert plain_vibration.weightless
    assert list(plain_vibration.states) == [LADEN, SPRUNG]
    assert plain_vibration.proven


def test_symmetric_frame_has_pure_modes(plain_vibration):
    """Left and right alike: a mode is either alike or opposite on both rails, so twist goes with lateral bending or
    lozenge but never with vertical bending (1e-6 of the movement)."""
    for mode in plain_vibration.states[LADEN].modes:
        assert min(mode.shares[TWIST], mode.shares[VERTICAL]) < 1e-6


def test_a_quarter_of_the_density_is_twice_the_frequency(made):
    """Stiffness over mass, with all of a frame's kernels and joints."""
    soft = check_vibration(made.chassis())
    light = check_vibration(made.chassis(material=replace(made.STEEL, density=made.STEEL.density / 4)))
    one, two = (v.states[BARE].modes[0].frequency for v in (soft, light))
    assert two == pytest.approx(2 * one, rel=1e-6)
