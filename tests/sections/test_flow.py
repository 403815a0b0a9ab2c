"""Shear flow, shear centre, warping and torsion of arbitrary sections: equilibrium, invariance, reciprocity, scaling.

Tolerances 1e-9: the theory is solved exactly for straight walls, what is left is rounding.
"""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

from dataclasses import replace
from math import cos, pi, sin, tan

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.sections import Fillet, Section, Wall, flow_of, properties, weld

ROUNDING = 1e-9
quick = settings(max_examples=30, deadline=None)


@st.composite
def sections(draw, gone=("", "up 0", "low 0", "low 1")):
    """A row of one to three cells, a wall of them gone perhaps, and outstands: open, closed, several cells, mixed.

    The upright walls are not upright and the lying ones do not lie; thickness and modulus differ from wall to wall.
    """
    count = draw(st.integers(1, 3))
    off = st.floats(-8, 8)
    low = [(60.0 * i + draw(off), draw(off)) for i in range(count + 1)]
    high = [(60.0 * i + draw(off), 90.0 + draw(off)) for i in range(count + 1)]
    spans = [(f"up {i}", low[i], high[i]) for i in range(count + 1)]
    spans += [(f"low {i}", low[i], low[i + 1]) for i in range(count)]
    spans += [(f"high {i}", high[i], high[i + 1]) for i in range(count)]
    if draw(st.booleans()):
        spans.append(("outstand", high[-1], (high[-1][0] + 40, high[-1][1] + draw(off))))
    missing = draw(st.sampled_from(gone))
    plate = st.tuples(st.floats(1, 6), st.sampled_from([1.0, 1.0, 0.35, 2.0]))
    chosen = [(*span, *draw(plate)) for span in spans if span[0] != missing]
    return Section(tuple(Wall(name, a, b, thickness, modulus=modulus) for name, a, b, thickness, modulus in chosen))


def forces(flow, load):
    """Force (y, z) and torque about the origin of one load's flow, integrated exactly (second degree: by its mean)."""
    mean = flow.q[:, 0, load] + flow.q[:, 1, load] / 2 + flow.q[:, 2, load] / 3
    lines = flow.lines
    pull = (mean * lines.length)[:, None] * lines.along
    middle = lines.ends.mean(axis=1)
    return (*pull.sum(axis=0), float((middle[:, 0] * pull[:, 1] - middle[:, 1] * pull[:, 0]).sum()))


def changed(section, move, flip=False):
    """The section with its places moved; `flip` where the move mirrors, which turns left into right."""
    sign = -1 if flip else 1
    return Section(tuple(replace(w, start=move(w.start), end=move(w.end), bulge=sign * w.bulge, lean=sign * w.lean)
                         for w in section.walls))


@quick
@given(sections())
def test_flow_carries_its_load_and_nothing_else(section):
    """Vy and Vz: the force itself and no torque about the shear centre.  Torque: no force, and J's cell part of it.
    Warping torque: no force, all of it.  Flow conserved at nodes, none at free edges."""
    flow = flow_of(section)
    (ys, zs), size = flow.shear_centre, 100.0
    for load, (y, z) in enumerate(((1.0, 0.0), (0.0, 1.0))):
        fy, fz, torque = forces(flow, load)
        assert (fy, fz) == pytest.approx((y, z), abs=ROUNDING)
        assert torque - (ys * fz - zs * fy) == pytest.approx(0, abs=ROUNDING * size)
    fy, fz, torque = forces(flow, 2)
    assert (fy, fz, torque) == pytest.approx((0, 0, flow.J_cells / flow.J), abs=ROUNDING)
    fy, fz, torque = forces(flow, 3)
    assert (fy * size, fz * size, torque) == pytest.approx((0, 0, 1 if flow.Iw else 0), abs=1e-7)
    out = np.zeros((len(flow.lines.graph.nodes), 4))
    np.add.at(out, flow.lines.graph.ends[::2], flow.q[:, 0])
    np.add.at(out, flow.lines.graph.ends[1::2], -flow.q.sum(axis=1))
    assert abs(out).max() < ROUNDING


@quick
@given(sections())
def test_cells_do_not_open(section):
    """Compatibility: around each cell the integral of q/(m t) is 0 under shear and 2 A theta' under torque."""
    flow, graph = flow_of(section), flow_of(section).lines.graph
    mean = flow.q[:, 0] + flow.q[:, 1] / 2 + flow.q[:, 2] / 3
    slip = mean[:, :3] * (flow.lines.length / flow.lines.thickness / flow.lines.modulus)[:, None]
    for cell in set(graph.face) - {graph.outside}:
        halves = [h for h, face in enumerate(graph.face) if face == cell]
        around = sum((1 if h % 2 == 0 else -1) * slip[h // 2] for h in halves)
        area = sum((1 if h % 2 == 0 else -1) * flow.lines.rho[h // 2] * flow.lines.length[h // 2] for h in halves) / 2
        assert area > 0
        assert around == pytest.approx([0, 0, 2 * area / flow.J], abs=ROUNDING)


@quick
@given(sections())
def test_sectorial_coordinate_is_normal_to_bending(section):
    """Integrals of omega, omega y and omega z over the metal vanish about the shear centre; slope of omega along a
    wall is its distance from the shear centre less what the cells' flow gives back."""
    flow, lines = flow_of(section), flow_of(section).lines
    statics = np.einsum("w,wi,ij,wjk->k", lines.metal, flow.omega, np.array([[2, 1], [1, 2]]) / 6, lines.ends)
    scale = (flow.Iw_free * lines.moments.trace()) ** 0.5 + 1
    assert abs(lines.metal @ flow.omega.sum(axis=1)) < ROUNDING * scale
    assert abs(statics).max() < ROUNDING * scale * 10
    rho = lines.rho - flow.shear_centre @ np.stack([lines.along[:, 1], -lines.along[:, 0]])
    slip = flow.J * flow.q[:, 0, 2] / lines.thickness / lines.modulus
    assert (flow.omega[:, 1] - flow.omega[:, 0]) / lines.length == pytest.approx(rho - slip, abs=1e-7)


@quick
@given(sections(), st.floats(-pi, pi), st.floats(-300, 300), st.floats(-300, 300))
def test_turning_and_shifting_the_section_turns_and_shifts_the_answer(section, angle, dy, dz):
    turn = np.array([[cos(angle), -sin(angle)], [sin(angle), cos(angle)]])

    def move(place):
        y, z = (turn @ place + (dy, dz)).tolist()
        return y, z

    p, m = properties(section), properties(changed(section, move))
    assert (m.A, m.J, m.J_plates, m.Iw_free) == pytest.approx((p.A, p.J, p.J_plates, p.Iw_free), rel=1e-7)
    assert (m.yc, m.zc) == pytest.approx(move((p.yc, p.zc)), abs=1e-7)
    assert (m.ys, m.zs) == pytest.approx(move((p.ys, p.zs)), abs=1e-6)
    moments = turn @ np.array([[p.Izz, p.Iyz], [p.Iyz, p.Iyy]]) @ turn.T
    assert np.array([[m.Izz, m.Iyz], [m.Iyz, m.Iyy]]) == pytest.approx(moments, rel=1e-8, abs=1e-8 * p.Iyy)
    assert m.shear == pytest.approx(turn @ p.shear @ turn.T, rel=1e-7, abs=1e-10)
    assert m.principal[:2] == pytest.approx(p.principal[:2], rel=1e-8)


@quick
@given(sections())
def test_mirroring_the_section_mirrors_the_answer(section):
    p, m = properties(section), properties(changed(section, lambda place: (-place[0], place[1]), flip=True))
    assert (m.A, m.yc, m.zc, m.Iyy, m.Izz, m.J) == pytest.approx((p.A, -p.yc, p.zc, p.Iyy, p.Izz, p.J), rel=ROUNDING)
    assert (m.ys, m.zs, m.Iyz) == pytest.approx((-p.ys, p.zs, -p.Iyz), abs=1e-6)
    assert m.Iw_free == pytest.approx(p.Iw_free, rel=1e-7)
    assert m.shear == pytest.approx(p.shear * [[1, -1], [-1, 1]], rel=1e-8, abs=1e-12)


@quick
@given(sections(), st.data())
def test_walls_in_any_order_and_direction_and_split_anywhere(section, data):
    walls = list(data.draw(st.permutations(section.walls)))
    chosen = data.draw(st.integers(0, len(walls) - 1))
    walls[chosen:chosen + 1] = walls[chosen].split(data.draw(st.floats(0.1, 0.9)))
    back = data.draw(st.integers(0, len(walls) - 1))
    walls[back] = replace(walls[back], start=walls[back].end, end=walls[back].start)
    p, m = properties(section), properties(Section(tuple(walls)))
    assert (m.A, m.Iyy, m.Izz, m.J, m.Iw_free) == pytest.approx((p.A, p.Iyy, p.Izz, p.J, p.Iw_free), rel=1e-7)
    assert (m.yc, m.zc, m.ys, m.zs) == pytest.approx((p.yc, p.zc, p.ys, p.zs), abs=1e-7)
    assert m.shear == pytest.approx(p.shear, rel=1e-8, abs=1e-12)


@quick
@given(sections(), st.floats(0.2, 5))
def test_all_thicknesses_scaled(section, k):
    """Mid-lines kept: area, shear area, cells' J and Iw go with t, the walls' own J with t^3, shear centre stays."""
    thick = Section(tuple(replace(w, thickness=k * w.thickness) for w in section.walls))
    flow, scaled = flow_of(section), flow_of(thick)
    assert scaled.J_cells == pytest.approx(k * flow.J_cells, rel=1e-8, abs=1e-9)
    own, thick_own = (f.J_open + f.J_plates for f in (flow, scaled))
    assert thick_own == pytest.approx(k**3 * own, rel=1e-8)
    assert scaled.Iw_free == pytest.approx(k * flow.Iw_free, rel=1e-7)
    assert scaled.soft[:2, :2] * k == pytest.approx(flow.soft[:2, :2], rel=1e-8)
    assert scaled.shear_centre == pytest.approx(flow.shear_centre, abs=1e-7)


@quick
@given(sections(), st.floats(0.2, 5))
def test_all_sizes_scaled(section, k):
    large = Section(tuple(
        replace(w, start=(k * w.start[0], k * w.start[1]), end=(k * w.end[0], k * w.end[1]), thickness=k * w.thickness)
        for w in section.walls))
    p, m = properties(section), properties(large)
    assert (m.A / k**2, m.Iyy / k**4, m.J / k**4, m.Iw_free / k**6) == pytest.approx(
        (p.A, p.Iyy, p.J, p.Iw_free), rel=1e-7)
    assert m.shear * k**2 == pytest.approx(p.shear, rel=1e-8)


@quick
@given(sections())
def test_modulus_of_all_walls_scales_stiffness_and_leaves_stress(section):
    """Twice the modulus everywhere is twice the reference: transformed values double, shear stress per load stays."""
    stiff = Section(tuple(replace(w, modulus=2 * w.modulus) for w in section.walls))
    p, m = properties(section), properties(stiff)
    assert (m.A, m.Iyy, m.J, m.Iw_free) == pytest.approx((2 * p.A, 2 * p.Iyy, 2 * p.J, 2 * p.Iw_free), rel=ROUNDING)
    assert m.metal == pytest.approx(p.metal)
    assert m.shear == pytest.approx(p.shear / 2, rel=ROUNDING)
    assert m.points.tau == pytest.approx(p.points.tau, rel=1e-7, abs=1e-12)


@quick
@given(sections(("",)))
def test_energy_of_the_flow_is_the_flexibility(section):
    """1/J and the shear flexibility are the energies of the flow, integrated by Gauss' rule (exact to degree five)."""
    flow, lines = flow_of(section), flow_of(section).lines
    places, weights = np.polynomial.legendre.leggauss(3)
    energy = np.zeros((3, 3))
    for place, weight in zip((places + 1) / 2, weights / 2, strict=True):
        q = np.stack([flow.at(i, place)[:3] for i in range(len(lines.length))])
        energy += weight * np.einsum("w,wi,wj->ij", lines.length / lines.thickness / lines.modulus, q, q)
    assert energy[:2, :2] == pytest.approx(flow.soft[:2, :2], rel=ROUNDING, abs=1e-12)
    assert energy[2, 2] == pytest.approx(flow.J_cells / flow.J**2, rel=ROUNDING)
    assert energy[:2, 2] == pytest.approx([0, 0], abs=1e-12)  # shear through the shear centre does not twist


def test_strip_of_two_plates_end_to_end():
    """All mid-lines on one line: shear along it as 6/5 V/A, across it too, the shear centre at the centroid."""
    one = Wall("plate", (0.0, 0.0), (30.0, 40.0), 5.0)
    whole, parts = properties(Section((one,))), properties(Section(one.split(0.3)))
    for p in (whole, parts):
        assert p.shear == pytest.approx(1.2 / 250 * np.eye(2), abs=1e-12)
        assert (p.ys, p.zs, p.yc, p.zc) == pytest.approx((15, 20, 15, 20))
        assert (p.Iw, p.J) == (0, pytest.approx(whole.J))
    assert whole.J == pytest.approx(50 * 5**3 * (1 / 3 - 0.021), rel=1e-4)


def test_walls_that_meet_in_one_point_do_not_warp():
    """Angle, tee and cross: Iw is exactly 0 (no warping freedom), the shear centre is where the mid-lines meet."""
    for legs in (2, 3, 4):
        tips = [(70 * cos(a), 50 * sin(a)) for a in (0.3, 1.9, 3.3, 4.9)[:legs]]
        walls = [Wall(f"leg {i}", (5.0, 9.0), (y + 5, z + 9), 3.0 + i) for i, (y, z) in enumerate(tips)]
        p = properties(Section(tuple(walls)))
        assert p.Iw == 0
        assert not p.points.omega.any()
        assert (p.ys, p.zs) == pytest.approx((5, 9))


@pytest.mark.parametrize("chosen", range(4))
@pytest.mark.parametrize("back", [False, True])
def test_doubled_wall_on_the_same_nodes_acts_as_one_of_both_thicknesses(chosen, back):
    """Two equal plates on one mid-line share the flow: the box behaves as with one wall of twice the thickness."""
    corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 100.0), (0.0, 100.0)]
    walls = [Wall(f"{i}", corners[i], corners[(i + 1) % 4], 3.0) for i in range(4)]
    wall = walls.pop(chosen)
    doubler = replace(wall, start=wall.end, end=wall.start) if back else wall
    doubled = properties(Section((*walls, wall, doubler)))
    thick = properties(Section((*walls, replace(wall, thickness=6.0))))
    assert doubled.cells == 2
    assert (doubled.A, doubled.J, doubled.ys) == pytest.approx((thick.A, thick.J, thick.ys), rel=ROUNDING)
    assert doubled.shear == pytest.approx(thick.shear, rel=ROUNDING)


def test_wall_of_another_metal_counts_with_its_modulus():
    """Box with an upper wall of a third of the modulus: A, zc and Iyy as a transformed section (sum of rectangles)."""
    corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 100.0), (0.0, 100.0)]
    walls = [Wall(f"{i}", corners[i], corners[(i + 1) % 4], 3.0, modulus=1 / 3 if i == 2 else 1.0) for i in range(4)]
    p = properties(Section(tuple(walls)))
    A = 180 + 600 + 60
    zc = (600 * 50 + 60 * 100) / A
    Iyy = 180 * zc**2 + 2 * 3 * 100**3 / 12 + 600 * (50 - zc) ** 2 + 60 * (100 - zc) ** 2 + (180 + 60) * 9 / 12
    assert (p.A, p.metal, p.zc, p.Iyy) == pytest.approx((A, 960, zc, Iyy))
    assert p.J == pytest.approx(4 * 6000**2 / (20 + 2 * 100 / 3 + 60))


def test_small_cell_on_an_open_section_keeps_its_warping():
    """A lapped plate's thin cell does not make a channel a closed rail; a boxed one has no warping constant."""
    channel = [Wall("top", (50.0, 100.0), (0.0, 100.0), 3.0), Wall("web", (0.0, 100.0), (0.0, 0.0), 3.0),
               Wall("bottom", (0.0, 0.0), (50.0, 0.0), 3.0)]
    doubler = [weld("weld 1", (0.0, 100.0), (-3.0, 100.0), 2.0), Wall("doubler", (-3.0, 100.0), (-3.0, 0.0), 3.0),
               weld("weld 2", (-3.0, 0.0), (0.0, 0.0), 2.0)]
    boxed = Wall("plate", (50.0, 0.0), (50.0, 100.0), 3.0)
    thick = [channel[0], replace(channel[1], thickness=6.0), channel[2]]
    plain, lapped, box = (properties(Section(tuple(w))) for w in (thick, channel + doubler, [*channel, boxed]))
    assert (plain.cells, lapped.cells, box.cells) == (0, 1, 1)
    assert lapped.Iw == pytest.approx(plain.Iw, rel=0.1)  # its web lies 1.5 mm further out
    assert box.Iw == 0 < box.Iw_free


def test_small_areas_count_in_area_and_moments():
    wall = Wall("plate", (0.0, -50.0), (0.0, 50.0), 4.0)
    p = properties(Section((wall,), (Fillet(10.0, 0.0, 40.0), Fillet(-10.0, 0.0, 40.0))))
    assert (p.A, p.yc, p.Izz) == pytest.approx((480, 0, 100 * 4**3 / 12 + 2 * 40 * 100))


def test_principal_axes():
    """Rectangle turned by 30 degrees: moments of its sides, the larger one about the axis along the shorter side."""
    half = (50 * cos(pi / 6), 50 * sin(pi / 6))
    p = properties(Section((Wall("plate", (-half[0], -half[1]), half, 6.0),)))
    large, small, angle = p.principal
    assert (large, small) == pytest.approx((6 * 100**3 / 12, 100 * 6**3 / 12))
    assert tan(angle) == pytest.approx(tan(pi / 6 + pi / 2))


def test_walls_that_do_not_hang_together_are_refused():
    loose = (Wall("a", (0.0, 0.0), (10.0, 0.0), 1.0), Wall("b", (0.0, 5.0), (10.0, 5.0), 1.0))
    with pytest.raises(ModelError, match="wall 'b' does not touch wall 'a'"):
        properties(Section(loose))


def test_walls_that_cross_without_meeting_are_refused():
    """Where the crossing cannot be drawn flat; the message asks to end walls where they meet."""
    nodes = [(cos(2 * pi * i / 5) * 50, sin(2 * pi * i / 5) * 50) for i in range(5)]
    star = tuple(Wall(f"{i}{j}", nodes[i], nodes[j], 1.0) for i in range(5) for j in range(i))
    with pytest.raises(ModelError, match="walls cross between their ends"):
        properties(Section(star))
