"""The self-check: it holds for sound frames, and each proof falls short when what it guards is broken on purpose."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import Proof, check
from ladderfe.checks.selfcheck import _warping_apart, self_check
from ladderfe.mesh import build_mesh
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.sections import properties
from ladderfe.solve import solve_chassis

FIVE = {
    "equilibrium of every case, six directions",
    "in-plane holds carry nothing",
    "axle reactions by the lever rule",
    "what was weighed comes out again",
    "one rail as a beam: closed form against the frame solver",
}
MIRROR = "left and right answer alike"
ALL = FIVE | {
    "every member halved", MIRROR, "reciprocity of loads and unit support forces", "digits lost to conditioning",
}  # fmt: skip


def short(findings):
    return {p.what for p in findings.proofs if not p.holds}


def test_all_proofs_are_made_and_hold(demo_findings, plain_findings):
    for f in (demo_findings, plain_findings):
        assert {p.what for p in f.proofs} >= ALL
        assert not short(f)
        assert f.proven
        assert all(p.why for p in f.proofs)


def test_a_difference_that_is_no_number_does_not_hold():
    assert not Proof(what="x", difference=float("nan"), limit=1e-9, why="").holds
    assert not Proof(what="x", difference=2e-9, limit=1e-9, why="").holds
    assert Proof(what="x", difference=1e-9, limit=1e-9, why="").holds


def test_prismatic_frames_are_held_to_rounding_and_tapered_ones_to_their_steps(demo_findings, plain_findings):
    limits = {
        name: next(p.limit for p in f.proofs if p.what == "every member halved")
        for name, f in (("tapered", demo_findings), ("prismatic", plain_findings))
    }
    assert limits == {"tapered": 2e-3, "prismatic": 1e-9}


def test_a_steep_taper_is_stepped_finer_until_halving_changes_less(made, monkeypatch):
    """From 40 to 200 mm depth within 300 mm between the axles; the limit is lowered so that the first steps miss it."""
    import ladderfe.checks.findings as room

    monkeypatch.setattr(room, "TAPER_LIMIT", 1e-6)
    spans = (
        made.Span(start=0, end=1000, shape=made.box(40, 60, 2)),
        made.Span(start=1000, end=1300, shape=made.box(40, 60, 2), shape_end=made.box(200, 60, 2)),
        made.Span(start=1300, end=4000, shape=made.box(200, 60, 2)),
    )
    f = check(made.chassis(rails=made.rails(spans=spans)))
    part = f.solution.mesh.part("left rail")
    assert sum(f.solution.mesh.tapered[m] for m in part.members) > TAPER_STEPS
    assert f.proven


def test_bimoments_in_tapers_count_by_the_stress_that_they_bring(made):
    """B omega/I_omega at the channel's edges, by its sectorial properties: a bimoment a little off in one member, where
    it brings 1 % of the greatest stress of the frame, is seen as 1 %."""
    spans = (
        made.Span(start=0, end=1000, shape=made.channel(120, 50, 4, "-y"), shape_end=made.channel(160, 50, 4, "-y")),
        made.Span(start=1000, end=4000, shape=made.channel(160, 50, 4, "-y")),
    )
    mesh = build_mesh(made.chassis(rails=made.rails(spans=spans)))
    m = next(m for m in mesh.part("left rail").members if not mesh.tapered[m])
    p = properties(mesh.sections[int(mesh.section_of[m])])
    exact, off = np.zeros((len(mesh.lengths), 9, 2)), np.zeros((len(mesh.lengths), 9, 2))
    off[m, 6, 1] = 0.01 * 50.0 * p.Iw / np.abs(p.points.omega).max()
    assert _warping_apart(mesh, exact, off) == pytest.approx(0.01 * 50.0, rel=1e-9)
    assert _warping_apart(mesh, exact, exact) == 0


def test_symmetry_is_proven_only_where_the_chassis_has_it(made):
    uneven = made.chassis(crossmembers=(*made.LADDER[:2], made.cross("rear", 3800, right=3900)))
    assert MIRROR not in {p.what for p in check(uneven).proofs}
    for rails in (
        (made.rail("left"), made.rail("right", made.box(150, 75, 2, top=2.2))),
        (made.rail("left", path=((0, 390, 0), (4000, 400, 0))), made.rail("right")),
    ):
        assert MIRROR not in {p.what for p in check(made.chassis(rails=rails)).proofs}
    loaded = made.chassis(
        mounts=(made.mount("tray", "left rail", 1300, -500),),
        masses=(made.mass("box", 0.1, (1300, -500, 0), ("tray",)),),
    )
    assert MIRROR in {p.what for p in check(loaded).proofs}, "loads off the centre do not matter to it"


def test_channels_that_open_toward_each_other_are_mirror_images(made):
    f = check(made.chassis(rails=made.rails(made.channel(120, 50, 4, "-y"))))
    assert MIRROR in {p.what for p in f.proofs}
    assert f.proven


SLIP = 1 + 1e-6  # one part in a million: far above rounding, far below what an eye would see


@pytest.fixture(scope="module")
def sound(made):
    """A frame with a mass added after weighing, its solution and the same with every member halved."""
    c = made.chassis(
        mounts=(made.mount("a", "left rail", 900, -400), made.mount("b", "right rail", 1500, 400)),
        masses=(made.mass("box", 0.1, (1100, -150, 0), ("a", "b"), aboard=False),),
    )
    return c, solve_chassis(c), solve_chassis(c, refine=2)


def proofs_short(chassis, solution, doubled):
    return {p.what for p in self_check(chassis, solution, doubled) if not p.holds}


def test_nothing_is_short_before_it_is_broken(sound):
    assert not proofs_short(*sound)


def test_spring_forces_a_millionth_too_large_are_noticed(sound):
    c, s, doubled = sound
    wrong = replace(s, support_forces=s.support_forces * SLIP)
    assert proofs_short(c, wrong, doubled) >= {
        "equilibrium of every case, six directions", "axle reactions by the lever rule",
        "what was weighed comes out again", "every member halved",
    }  # fmt: skip


def test_a_spring_force_on_the_wrong_side_is_noticed(sound):
    """Sums and axle reactions stay right; the moment about the vehicle's length does not."""
    c, s, doubled = sound
    forces = s.support_forces.copy()
    forces[[0, 1]] += np.array([[1.0], [-1.0]])
    assert proofs_short(c, replace(s, support_forces=forces), doubled) >= {"equilibrium of every case, six directions"}


def test_line_loads_that_do_not_belong_to_the_answer_are_noticed(sound):
    c, s, doubled = sound
    lines = tuple(replace(x, at_start=x.at_start * SLIP) for x in s.carried.lines)
    wrong = replace(s, carried=replace(s.carried, lines=lines))
    assert "equilibrium of every case, six directions" in proofs_short(c, wrong, doubled)


def test_a_forgotten_mass_is_noticed(sound):
    c, s, doubled = sound
    wrong = replace(s, carried=replace(s.carried, masses=()))
    assert proofs_short(c, wrong, doubled) >= {
        "equilibrium of every case, six directions", "axle reactions by the lever rule",
    }  # fmt: skip


def test_another_axle_load_than_the_scales_said_is_noticed(sound):
    c, s, doubled = sound
    other = replace(c, axles=(replace(c.axles[0], load=c.axles[0].load * SLIP), c.axles[1]))
    assert proofs_short(other, s, doubled) == {"what was weighed comes out again"}


def test_a_side_load_is_noticed(sound):
    """In-plane holds carry nothing: 0.1 N is too much for a tonne and a half."""
    c, s, doubled = sound
    forces = s.support_forces.copy()
    forces[-2] += 0.1
    assert "in-plane holds carry nothing" in proofs_short(c, replace(s, support_forces=forces), doubled)


def test_a_mesh_that_matters_is_noticed(sound):
    c, s, doubled = sound
    wrong = replace(doubled, end_forces=doubled.end_forces * SLIP)
    assert proofs_short(c, s, wrong) == {"every member halved"}


def test_movements_that_do_not_belong_to_the_loads_are_noticed(sound):
    """Digits lost: one step of refinement finds 1e-6 of the movements, ten digits of sixteen."""
    c, s, doubled = sound
    noise = np.random.default_rng(7).normal(size=s.movements.shape)
    wrong = replace(s, movements=s.movements + 1e-6 * np.abs(s.movements).max() * noise)
    assert "digits lost to conditioning" in proofs_short(c, wrong, doubled)


def distorted(function, change):
    return lambda *a, **k: change(function(*a, **k))


def test_a_mass_hung_in_the_wrong_place_is_noticed(made, monkeypatch):
    import ladderfe.solve.body_forces as room

    monkeypatch.setattr(room, "mount_wrenches", distorted(room.mount_wrenches, lambda w: np.roll(w, 1, axis=0)))
    c = made.chassis(
        mounts=(made.mount("a", "left rail", 900, -400), made.mount("b", "right rail", 1500, 400)),
        masses=(made.mass("box", 0.1, (1100, -150, 0), ("a", "b"), aboard=False),),
    )
    assert "equilibrium of every case, six directions" in short(check(c))


def test_a_kernel_that_is_not_exact_inside_members_is_noticed(made, monkeypatch):
    """End loads of line loads a millionth too large at the first end."""
    import ladderfe.elements.line_loads as room

    def uneven(p, loads):
        out = real(p, loads)
        out[:, 2] *= SLIP
        return out

    real = room.each_equivalent
    monkeypatch.setattr(room, "each_equivalent", uneven)
    assert short(check(made.chassis())) >= {"one rail as a beam: closed form against the frame solver"}


def test_a_limit_that_nothing_can_meet_falls_short(made, monkeypatch):
    import ladderfe.checks.selfcheck as room

    monkeypatch.setattr(room, "PRISMATIC_LIMIT", -1.0)
    f = check(made.chassis())
    assert "reciprocity of loads and unit support forces" in short(f)
    assert not f.proven
