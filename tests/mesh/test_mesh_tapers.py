"""Tapers as prismatic steps, and member axes for members of any direction."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.mesh import build_mesh
from ladderfe.mesh.builder import member_axes
from ladderfe.mesh.rails import rail_line
from ladderfe.sections import between, properties


@pytest.fixture(scope="module")
def tapered(made):
    """Rails that taper from 80 to 150 mm over their first 1000 mm."""
    spans = (
        made.Span(start=0, end=1000, shape=made.box(80, 75, 2), shape_end=made.RAIL),
        made.Span(start=1000, end=4000, shape=made.RAIL),
    )
    return made.chassis(rails=made.rails(spans=spans))


def yield_of(mesh):
    """Integral of x^2/I over the taper of the left rail: what the tip of a cantilever held at its thick end gives."""
    total = 0.0
    for m in mesh.part("left rail").members:
        a, b = mesh.along[m]
        if b <= 1000 + 1e-6:
            total += (b**3 - a**3) / 3 / properties(mesh.sections[int(mesh.section_of[m])]).Iyy
    return total


def exact_yield(made):
    """The same by Gauss-Legendre with 40 points on the true shape of every place."""
    g, w = np.polynomial.legendre.leggauss(40)
    x = 500 * (1 + g)
    first, last = made.box(80, 75, 2), made.RAIL
    second = [properties(between(first, last, float(v / 1000)).section()).Iyy for v in x]
    return float(500 * w @ (x**2 / second))


def test_steps_converge_with_the_square_of_their_length(made, tapered):
    exact = exact_yield(made)
    error = [yield_of(build_mesh(tapered, taper_steps=n)) / exact - 1 for n in (10, 20, 40)]
    assert abs(error[2]) < 1e-3
    # order 2: halving the steps quarters the error; 10 % off at these steps, from the shorter ones at the ends, whose
    # share is 0.2 of the steps as long as they are not too short (10 and 20) and less at 40
    assert error[0] / error[1] == pytest.approx(4, rel=0.1)
    assert error[1] / error[2] == pytest.approx(4, rel=0.1)


def lengths_of(mesh, to=1000):
    return np.array([b - a for a, b in mesh.along[list(mesh.part("left rail").members)] if b <= to + 1e-6])


def test_steps_grow_shorter_toward_the_ends_of_a_taper(tapered):
    """By hand, 10 steps, two at each end shorter: lengths grow evenly over these, 1/4 and 3/4 of the others', which are
    1000/(6 + 2) mm: where the section jumps at an end, it meets a step of 31 mm and not of 100."""
    line = rail_line(tapered.rails[0], (0.0, 1000.0, 4000.0), 1, 10)
    lengths = np.diff(line.stations)
    assert lengths[:-1] == pytest.approx(125 * np.array([0.25, 0.75, *[1] * 6, 0.75, 0.25]))
    assert line.tapered == (True,) * 10 + (False,)


@given(st.lists(st.floats(1, 999), max_size=5, unique=True), st.integers(1, 40))
def test_a_taper_with_nodes_inside_has_as_many_steps_at_least(tapered, inside, steps):
    base = (0.0, *sorted(inside), 1000.0, 4000.0)
    line = rail_line(tapered.rails[0], base, 1, steps)
    assert steps <= sum(line.tapered) <= steps + len(inside) + 1
    assert set(base) <= set(line.stations)
    assert (np.diff(line.stations) > 0).all()


@pytest.mark.parametrize("steps", [4, 8, 16, 32])
def test_steps_of_short_tapers_stay_long_enough_to_keep_their_digits(made, steps):
    """40 mm: the shortest step is 1 mm, or half of an even one where that is less."""
    spans = (
        made.Span(start=0, end=2300, shape=made.RAIL),
        made.Span(start=2300, end=2340, shape=made.RAIL, shape_end=made.box(140, 75, 2)),
        made.Span(start=2340, end=4000, shape=made.box(140, 75, 2)),
    )
    mesh = build_mesh(made.chassis(rails=made.rails(spans=spans)), taper_steps=steps)
    own = [m for m in mesh.part("left rail").members if mesh.tapered[m]]
    assert len(own) == steps
    assert mesh.lengths[own].sum() == pytest.approx(40)
    assert mesh.lengths[own].min() >= min(1.0, 40 / steps / 2)


@pytest.mark.parametrize(("length", "steps", "most"), [(8, 4, 4), (8, 64, 8), (1.75, 64, 1), (0.6, 4, 1)])
def test_pieces_of_a_taper_that_cuts_leave_are_not_divided_for_ever(made, length, steps, most):
    """Of a plate's tapered end on a taper, a few mm between its steps: no step below 1 mm but the piece itself."""
    ends = (2300, 2300 + length)
    through = made.box(150 - length / 170, 75, 2)
    spans = (
        made.Span(start=0, end=ends[0], shape=made.RAIL),
        made.Span(start=ends[0], end=ends[1], shape=made.RAIL, shape_end=through),
        made.Span(start=ends[1], end=4000, shape=through, shape_end=made.box(140, 75, 2)),
    )
    rail = made.rails(spans=spans)[0]
    line = rail_line(rail, (0.0, *ends, 4000.0), 1, steps)
    own = [b - a for a, b in itertools.pairwise(line.stations) if ends[0] <= a and b <= ends[1]]
    assert len(own) == most
    assert sum(line.tapered) == most + steps


@pytest.mark.parametrize("refine", [2, 3])
def test_refined_steps_are_the_same_steps_divided_evenly(tapered, refine):
    whole, parts = (lengths_of(build_mesh(tapered, taper_steps=8, refine=k)) for k in (1, refine))
    assert parts == pytest.approx(np.repeat(whole / refine, refine))


def test_only_the_tapered_stretch_is_stepped_and_marked(tapered):
    mesh = build_mesh(tapered, taper_steps=10)
    part = mesh.part("right rail")
    marked = [bool(mesh.tapered[m]) for m in part.members]
    behind = [float(mesh.along[m, 0]) >= 1000 for m in part.members]
    assert marked == [not b for b in behind]
    assert sum(marked) >= 10
    assert not mesh.tapered[part.last :].any()


def test_a_step_has_the_shape_of_its_middle(made, tapered):
    mesh = build_mesh(tapered, taper_steps=10)
    m = mesh.part("left rail").first
    a, b = mesh.along[m]
    walls = between(made.box(80, 75, 2), made.RAIL, float((a + b) / 2000)).section(("outer", "inner")).walls
    assert [w.end for w in mesh.sections[int(mesh.section_of[m])].walls] == [pytest.approx(w.end) for w in walls]


def test_a_tapers_mass_is_exact_for_straight_walls(made, tapered):
    """The area of a box with even walls grows evenly, so that the middle of a step has the step's mean area."""
    mesh = build_mesh(tapered, taper_steps=3)
    areas = [properties(mesh.sections[int(k)]).metal for k in mesh.section_of]
    taken = sum(areas[m] * mesh.lengths[m] for m in mesh.part("left rail").members)
    thin, thick = 80 * 75 - 76 * 71, 150 * 75 - 146 * 71
    assert taken == pytest.approx((thin + thick) / 2 * 1000 + thick * 3000, rel=1e-12)


def test_a_span_that_ends_as_it_begins_is_no_taper(made):
    spans = (made.Span(start=0, end=4000, shape=made.RAIL, shape_end=made.RAIL),)
    mesh = build_mesh(made.chassis(rails=made.rails(spans=spans)))
    assert not mesh.tapered.any()


direction = st.floats(-1, 1)


@given(direction, direction, direction)
def test_member_axes_are_square_right_handed_and_upright(x, y, z):
    """z' lies in the vertical plane through the member, so that y' is level; z' never points down."""
    if np.hypot(x, y) < 1e-3:
        x = x + 0.5
    (axes,) = member_axes(np.zeros((1, 3)), np.array([[x, y, z]]))
    assert axes @ axes.T == pytest.approx(np.eye(3), abs=1e-12)
    assert np.linalg.det(axes) == pytest.approx(1)
    assert axes[1, 2] == pytest.approx(0, abs=1e-12)
    assert axes[2, 2] > 0
    assert axes[0] == pytest.approx(np.array([x, y, z]) / np.linalg.norm([x, y, z]), abs=1e-12)
