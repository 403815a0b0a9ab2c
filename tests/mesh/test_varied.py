"""What of a mesh follows the rails' walls, for many states at once, against the mesh of each state.

Both do the same arithmetic; 1e-12 of the greatest leaves room for its order.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import block_diag

from ladderfe.chassis import read_chassis
from ladderfe.checks.stress import point_table
from ladderfe.checks.variant_tables import stacked_table
from ladderfe.mesh import build_mesh
from ladderfe.mesh.varied import Stretch, Varied, thickened
from ladderfe.solve.frame import rigid_arm
from ladderfe.solve.members import frame_of
from ladderfe.solve.variant_members import States
from ladderfe.solve.variant_sections import Sections

ROUNDING = 1e-12
MODELS = {
    "short-4x4": (("outer", "top", "inner"), 2.0),
    "light-lorry": (("web", "top", "bottom"), 4.0),
    "pick-up": (("web", "top", "bottom"), 4.0),
}


@pytest.fixture(params=MODELS)
def varied(request, demo_file):
    """A model with stretches on both rails, one in a taper, and three states of them."""
    walls, usual = MODELS[request.param]
    chassis = read_chassis(demo_file.parent / f"{request.param}.toml")
    stretches = [Stretch("left", 1000.0, 2000.0, w) for w in walls[:2]]
    stretches += [Stretch("right", 1500.0, 3000.0, walls[0]), Stretch("left", 200.0, 400.0, walls[1])]
    found = Varied.of(chassis, stretches, refine=1, taper_steps=4)
    return found, usual * np.random.default_rng(2).uniform(0.7, 1.2, (3, len(stretches)))


def close(a, b, times=1.0):
    assert np.abs(a - b).max(initial=0.0) <= times * ROUNDING * max(np.abs(b).max(initial=0.0), 1e-30)


def test_members_are_those_of_each_state(varied):
    of, thickness = varied
    states, own = States.of(of, Sections.of(of), thickness), of.members
    assert not states.odd
    for k, t in enumerate(thickness):
        mesh = build_mesh(thickened(of.chassis, of.stretches, t.tolist()))
        frame = frame_of(mesh)
        for name in ("arms", "axes", "lengths", "along", "origin"):
            close(getattr(states, name)[k], getattr(mesh, name)[own])
        close(states.nodes[k], mesh.nodes)
        by_node = movement_of_ends(frame, own)
        close(states.follow[k], np.stack([by_node[:, :8, 6:8], by_node[:, 8:, 14:]], axis=1))
        b, d = (part[k] for part in states.natural)
        close(b.transpose(0, 2, 1) @ d @ b, frame.member_stiffness[own])
        close(states.stiffness[k], by_node.transpose(0, 2, 1) @ frame.member_stiffness[own] @ by_node, 10)
        for i in (0, len(own) - 1):
            close(states.end_columns(i)[k], by_node[i])


def movement_of_ends(frame, own):
    """(m, 16, 16) movements of both ends of members in their axes by their nodes' unknowns, eight places an end."""
    out = np.zeros((len(own), 16, 16))
    for i, m in enumerate(own):
        turn = block_diag(frame.axes[m], frame.axes[m], np.eye(2))
        for end in (0, 1):
            places = slice(8 * end, 8 * end + 8)
            rigid = np.vstack([rigid_arm(frame.arms[m, end]), np.zeros((2, 6))])
            out[i, places, places] = turn @ np.hstack([rigid, frame.follow[m, end]])
    return out


def test_what_does_not_vary_stays(varied):
    """Members outside the varying ones have the same stiffness and places in every state."""
    of, thickness = varied
    rest = np.setdiff1d(np.arange(len(of.mesh.ends)), of.members)
    laid_out = frame_of(of.mesh)
    for t in thickness:
        frame = frame_of(build_mesh(thickened(of.chassis, of.stretches, t.tolist())))
        close(frame.member_stiffness[rest], laid_out.member_stiffness[rest])
        close(frame.follow[rest], laid_out.follow[rest])
        close(frame.arms[rest], laid_out.arms[rest])


def test_places_on_walls_are_those_of_each_state(varied):
    """Sectorial coordinates are differences of larger numbers: a hundred times the rounding."""
    of, thickness = varied
    states = States.of(of, Sections.of(of), thickness)
    for k, t in enumerate(thickness):
        mesh = build_mesh(thickened(of.chassis, of.stretches, t.tolist()))
        for p in mesh.places.values():
            found = states.place_map(p.node, mesh.nodes[p.node] + np.array(p.arm))[k]
            expected = np.array(p.follow).reshape(-1, 6)
            close(found[6 : 6 + len(expected)], expected, 100)


def test_stress_tables_are_those_of_each_state(varied):
    of, thickness = varied
    sections = Sections.of(of).states(thickness)
    numbers = sections.stacked(of.mesh.section_of)
    table = stacked_table(sections).take(numbers.ravel())
    for k, t in enumerate(thickness):
        mesh = build_mesh(thickened(of.chassis, of.stretches, t.tolist()))
        other = point_table(mesh)
        own = np.arange(numbers.size).reshape(numbers.shape)[k]
        for name in ("normal", "shear", "mean", "across"):
            a, b = getattr(table, name)[own], getattr(other, name)[mesh.section_of]
            n = min(a.shape[1], b.shape[1])
            for column in np.ndindex(a.shape[2:]):
                close(a[(slice(None), slice(n), *column)], b[(slice(None), slice(n), *column)], 10)
        for a, b in zip(own.tolist(), mesh.section_of.tolist(), strict=True):
            assert (table.walls[a], table.labels[a]) == (other.walls[b], other.labels[b])


def test_the_greatest_coefficients_are_those_of_the_tables(varied):
    """Bounds go by them: none may be missed."""
    of, thickness = varied
    sections = Sections.of(of).states(thickness)
    table = stacked_table(sections)
    every = np.unique(sections.stacked(np.arange(len(of.mesh.sections))))
    all_of = len(thickness) * int(of.vary.sum()) + len(of.mesh.sections)
    found, drawn = table.greatest(np.zeros(all_of, dtype=bool)), table.take(every)
    for k, own in enumerate((drawn.normal, drawn.shear, drawn.mean)):
        assert np.array_equal(found[every, k], np.abs(own).max(axis=1))
    assert np.array_equal(found[every, 3, 0], drawn.across.max(axis=1))


def test_spans_that_are_cut_say_the_same(demo_file):
    """A taper cut in two is the same taper."""
    chassis = read_chassis(demo_file)
    of = Varied.of(chassis, [Stretch("left", 100.0, 350.0, "top")], refine=1, taper_steps=4)
    span = of.chassis.rails[0].spans[1]
    whole = chassis.rails[0].spans[0]
    assert (span.start, span.end) == (100.0, 350.0)
    share = (350.0 - whole.start) / (whole.end - whole.start)
    assert span.shape_end.depth == pytest.approx(
        whole.shape.depth + share * (whole.shape_end.depth - whole.shape.depth)
    )
    assert replace(span.shape_end, top=2.5, depth=1e3) == replace(whole.shape_end, depth=1e3)
