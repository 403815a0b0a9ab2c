"""Effective sections: closed forms, fibres added up anew, and what holds whatever the section and the loads."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ladderfe.sections import Angle, Box, Channel, TopHat, lapped_plate, properties
from ladderfe.sections.effective import (
    cut_section,
    effective,
    effective_section,
    gross_stress,
    panel_table,
    plate_sums,
    thinner_edges,
)
from ladderfe.sections.panels import panels_of
from ladderfe.sections.plate_buckling import strain_factor

SAME = 1e-7  # strips settle to 1e-9 of their width
WALL = st.floats(0.5, 8)


@st.composite
def shapes(draw):
    """Boxes, channels and top-hats from stocky to very thin."""
    depth, width, t = draw(st.floats(60, 250)), draw(st.floats(50, 180)), [draw(WALL) for _ in range(4)]
    kind = draw(st.sampled_from(["box", "channel", "hat"]))
    if kind == "box":
        radius = draw(st.sampled_from([0.0, 12.0]))
        return Box(depth=depth, width=width, top=t[0], bottom=t[1], minus=t[2], plus=t[3], radius=radius)
    if kind == "channel":
        opens = draw(st.sampled_from(["+y", "-z"]))
        return Channel(depth=depth, width=width, web=t[0], top=t[1], bottom=t[2], opens=opens)
    return TopHat(depth=depth, width=width + 60, wall=t[0], brim=25, opens="+z")


@st.composite
def demands(draw):
    """A shape and (N, My, Mz) of about the size at which it yields."""
    shape = draw(shapes())
    q = properties(shape.section())
    parts = [draw(st.sampled_from([0.0, 1.0])) * draw(st.floats(-200, 200)) for _ in range(3)]
    force = np.array(parts) * [q.A, q.Iyy / shape.depth, q.Izz / shape.width]
    assume(np.abs(force).max() > 0)
    return shape, force


def solve(section, force, eps=1.0):
    return effective(panel_table((section,)), np.zeros(1, dtype=np.int64), np.array([force]), eps)


def corners(section):
    """Places (1, p, 2) of the section's stress points."""
    q = properties(section).points
    return np.stack([q.y, q.z], axis=1)[None]


def test_box_in_compression():
    """Each wall loses (1 - rho) b t of its middle, rho = (x - 0.22)/x^2 with x = b/t/(28.4 x 2): closed form."""
    section = Box(depth=160, width=120, top=1.5, bottom=1.5, minus=2, plus=2).section()
    found = solve(section, [-1e5, 0, 0])
    lost = sum(2 * b * t * (1 - (x - 0.22) / x**2) for b, t in ((116, 1.5), (157, 2.0)) for x in [b / t / 56.8])
    gross = 160 * 120 - 157 * 116
    assert found.area[0] == pytest.approx(gross - lost, rel=1e-12)
    assert found.shift[0] == pytest.approx([0, 0], abs=1e-9)
    assert found.stress(corners(section))[0] == pytest.approx(-1e5 / (gross - lost), rel=1e-9)


def test_shift_bends_a_channel_in_compression():
    """N at the gross centroid and what is left: stress is N/A_eff + N e_N (z - z_eff)/I_eff about one axis."""
    section = Channel(depth=150, width=80, web=2, top=2, bottom=2, opens="+y").section()
    cut, found = effective_section(section, N=-2e4)
    area, centre, moments = plate_sums(cut)
    q = properties(section)
    shift = centre[0] - q.yc
    assert abs(shift) > 1
    assert found.shift[0] == pytest.approx([shift, 0], abs=1e-6)
    places = corners(section)
    own = -2e4 / area - 2e4 * (q.yc - centre[0]) * (places[0, :, 0] - centre[0]) / moments[0, 0]
    assert found.stress(places)[0] == pytest.approx(own, rel=1e-6)


def fibres(section, force, eps):
    """The same by brute force: walls of a box cut into fibres, strips found by walking along them, 40 plain rounds."""
    q = properties(section)
    parts = []
    for w in section.walls:
        n = 4000
        s = (np.arange(n) + 0.5) / n * w.true_length - w.grow_start
        along = np.subtract(w.end, w.start) / w.length
        parts.append((np.array(w.start) + s[:, None] * along, np.full(n, w.true_length / n * w.thickness)))
    places, area = np.concatenate([p for p, _ in parts]), np.concatenate([a for _, a in parts])
    keep = np.ones(len(area), dtype=bool)
    load = np.array([force[0], -force[2] + force[0] * q.yc, force[1] + force[0] * q.zc])
    for _ in range(40):
        rows = np.stack([np.ones(keep.sum()), *places[keep].T])
        c = np.linalg.solve((rows * area[keep]) @ rows.T, load)
        new = np.ones_like(keep)
        for k, p in enumerate(panels_of(section)):
            own = slice(4000 * k, 4000 * (k + 1))
            s = (places[own] - p.start) @ np.array(p.along)
            one, two = (-(c[0] + c[1] * y + c[2] * z) for y, z in (p.place(0), p.place(p.width)))
            top, low, s = (one, two, s) if one >= two else (two, one, p.width - s)
            if top <= 0:
                continue
            psi = low / top
            bent = 7.81 - 6.29 * psi + 9.78 * psi**2 if psi >= -1 else 5.98 * (1 - psi) ** 2
            x = p.width / p.thickness / (28.4 * eps * (8.2 / (1.05 + psi) if psi >= 0 else bent) ** 0.5)
            whole = x <= 0.5 + (0.085 - 0.055 * max(psi, -3)) ** 0.5
            rho = 1.0 if whole else min(1.0, (x - 0.055 * (3 + max(psi, -3))) / x**2)
            zone = p.width if psi >= 0 else p.width / (1 - psi)
            first = rho * zone * (2 / (5 - psi) if psi >= 0 else 0.4)
            new[own] = ~((s > first) & (s < first + (1 - rho) * zone))
        keep = new
    middle = (area[keep] @ places[keep]) / area[keep].sum()
    return area[keep].sum(), middle


@pytest.mark.parametrize("force", [(-4e4, 3e6, 0), (0, 4e6, 1e6), (2e4, -3e6, 2e6), (-5e4, 1e6, -2e6)])
def test_boxes_agree_with_fibres(force):
    """4000 fibres a wall: a strip's edge is known to 1/4000 of the wall, so area and centroid to about 1e-3."""
    section = Box(depth=200, width=120, top=1.2, bottom=2, minus=1.5, plus=2.5).section()
    found = solve(section, force, 0.9)
    area, middle = fibres(section, force, 0.9)
    assert found.rounds[0] > 1
    assert found.area[0] == pytest.approx(area, rel=1e-3)
    assert found.centre[0] == pytest.approx(middle, abs=0.1)


@given(case=demands())
@settings(max_examples=60)
def test_what_is_left_is_what_the_cut_walls_add_up_to(case):
    shape, force = case
    section = shape.section()
    found = solve(section, force)
    area, centre, moments = plate_sums(cut_section(section, found))
    assert found.area[0] == pytest.approx(area, rel=SAME)
    assert found.centre[0] == pytest.approx(centre, abs=1e-6 * shape.depth)
    assert found.moments[0] == pytest.approx(moments, rel=1e-6, abs=1e-6 * moments.max())


@given(case=demands(), eps=st.floats(0.5, 1.2))
@settings(max_examples=100)
def test_never_more_than_gross_and_in_equilibrium(case, eps):
    shape, force = case
    section = shape.section()
    q, found = properties(section), solve(section, force, eps)
    assert found.settled.all()
    assert (found.patterns.rho <= 1).all()
    assert (found.patterns.lost >= 0).all()
    assert found.area[0] <= q.A * (1 + 1e-12)
    gross, left = np.array([[q.Izz, q.Iyz], [q.Iyz, q.Iyy]]), found.moments[0]
    assert np.linalg.eigvalsh(gross - left).min() >= -1e-9 * gross.max()
    assert found.force[0, 0] == force[0]
    assert found.force[0, 2] == pytest.approx(force[1] - force[0] * found.shift[0, 1], abs=1e-6 * abs(force).max())
    assert found.force[0, 1] == pytest.approx(-force[2] - force[0] * found.shift[0, 0], abs=1e-6 * abs(force).max())


@given(case=demands(), size=st.floats(0.2, 5), load=st.floats(0.1, 10))
@settings(max_examples=50)
def test_scales_with_size_and_load(case, size, load):
    """Loads in proportion lose the same strips; so do all sizes, and yield with E."""
    shape, force = case
    base = solve(shape.section(), force)
    assert solve(shape.section(), load * force).area[0] == pytest.approx(base.area[0], rel=SAME)
    if isinstance(shape, Channel):
        bigger = Channel(depth=size * shape.depth, width=size * shape.width, web=size * shape.web,
                         top=size * shape.top, bottom=size * shape.bottom, opens=shape.opens)  # fmt: skip
        assert solve(bigger.section(), force * [size**2, size**3, size**3]).area[0] == pytest.approx(
            base.area[0] * size**2, rel=1e-6
        )
    assert strain_factor(235 * load, 210e3 * load) == pytest.approx(1.0, rel=1e-12)


@given(case=demands())
@settings(max_examples=50)
def test_mirrored(case):
    """Mirrored in the vertical plane with Mz turned round: the same area, the shift mirrored."""
    shape, force = case
    own, other = solve(shape.section(), force), solve(shape.mirrored().section(), force * [1, 1, -1])
    assert other.area[0] == pytest.approx(own.area[0], rel=1e-6)
    assert other.shift[0] == pytest.approx(own.shift[0] * [-1, 1], abs=1e-5 * shape.depth)


@given(
    depth=st.floats(60, 140), width=st.floats(60, 100), t=st.lists(st.floats(4, 8), min_size=3, max_size=3),
    force=st.tuples(*[st.floats(-1, 1)] * 3), kind=st.sampled_from(["box", "channel"]),
)  # fmt: skip
@settings(max_examples=50)
def test_stocky_walls_stay_exactly_whole(depth, width, t, force, kind):
    """Up to b/t 35 internal and 13.5 outstand: nothing is lost, and the stress is the gross one to the last bit."""
    if kind == "box":
        section = Box(depth=depth, width=width, top=t[0], bottom=t[1], minus=t[2], plus=t[2]).section()
    else:
        section = Channel(depth=depth, width=6 * min(t) + 30, web=t[0], top=t[1], bottom=t[2], opens="+y").section()
    q, scaled = properties(section), np.array(force) * [1e5, 1e6, 1e6]
    found = solve(section, scaled)
    assert found.area[0] == q.A
    assert (found.shift == 0).all()
    assert found.rounds[0] == 0
    places = corners(section)
    table = panel_table((section,))
    assert (found.stress(places) == gross_stress(table, np.zeros(1, dtype=np.int64), scaled[None], places)).all()


@given(
    depth=st.floats(60, 250), width=st.floats(50, 180), wall=WALL, kind=st.sampled_from(["box", "+y", "-z"]),
    thicker=st.floats(1.01, 3), axis=st.sampled_from([1, 2]), sign=st.sampled_from([-1.0, 1.0]),
)  # fmt: skip
@settings(max_examples=80)
def test_thicker_walls_never_resist_less(depth, width, wall, kind, thicker, axis, sign):
    """Walls of one thickness, all thicker by one factor inside the same outline, bent about one axis: the greatest
    stress at the outline's own edges falls.  (Where walls differ the axis turns with what is lost, and it may not.)"""

    def of(t):
        if kind == "box":
            return Box(depth=depth, width=width, top=t, bottom=t, minus=t, plus=t).section()
        return Channel(depth=depth, width=width, web=t, top=t, bottom=t, opens=kind).section()

    assume(thicker * wall < 0.1 * min(depth, width))
    force = np.zeros(3)
    force[axis] = sign * 1e6
    stress = [np.abs(solve(s, force).stress(corners(s))).max() for s in (of(wall), of(thicker * wall))]
    assert stress[1] <= stress[0] * (1 + 1e-6)


def test_other_stress_at_the_edges_counts_for_the_pattern():
    """A web bent in its plane is whole at psi = -1 and b/t = 98; warping that presses both edges takes some of it."""
    section = Box(depth=200, width=60, top=4, bottom=4, minus=1.96, plus=1.96).section()
    table, zero = panel_table((section,)), np.zeros(1, dtype=np.int64)
    web = next(i for i, p in enumerate(panels_of(section)) if p.name == "plus")
    force, extra = np.array([[0.0, -5e6, 0.0]]), np.zeros((1, 4, 2))
    assert effective(table, zero, force, 1.0).patterns.lost[0, web] == 0
    extra[0, web] = -100.0
    assert effective(table, zero, force, 1.0, extra).patterns.lost[0, web] > 10


def test_one_wall_thinner_changes_its_own_stress():
    """The stress at its edges is that of the section made anew with that wall thinner about its mid-line; what its own
    t^3/12 adds, (t/depth)^2 of the whole at most, is left out."""
    section = Box(depth=120, width=80, top=2, bottom=4, minus=3, plus=3).section()
    force = np.array([[-2e4, 3e6, 1e6]])
    for i, panel in enumerate(panels_of(section)):
        if panel.name not in ("top", "bottom"):
            continue  # the upright walls reach into the corners, whose metal stays
        edges = thinner_edges(panel_table((section,)), np.zeros(1, dtype=np.int64), force, np.array([i]),
                              np.array([1.2]), np.zeros((1, 4, 2)))[0]  # fmt: skip
        (wall,) = (section.walls[k] for k in panel.walls)
        again = section.swapped(wall, (replace(wall, thickness=1.2),))
        area, centre, moments = plate_sums(again)
        q = properties(section)
        about = [-1e6 + 2e4 * (centre[0] - q.yc), 3e6 + 2e4 * (centre[1] - q.zc)]
        slope = np.linalg.solve(moments, about)
        expected = [-2e4 / area + (np.array(panel.place(s)) - centre) @ slope for s in (0, panel.width)]
        assert edges == pytest.approx(expected, rel=1e-3)


def test_sections_of_all_kinds_have_plate_sums():
    """Without the graph, the same as with it."""
    box = Box(depth=140, width=70, top=2.5, bottom=2.5, minus=2.5, plus=2, radius=8).section()
    for section in (box, lapped_plate(box, "bottom", width=40, thickness=3, throat=2),
                    Angle(depth=60, width=50, wall=5, corner="-y-z", radius=9).section()):  # fmt: skip
        q, (area, centre, moments) = properties(section), plate_sums(section)
        assert area == pytest.approx(q.A, rel=1e-12)
        assert centre == pytest.approx([q.yc, q.zc], rel=1e-9, abs=1e-9)
        assert moments == pytest.approx(np.array([[q.Izz, q.Iyz], [q.Iyz, q.Iyy]]), rel=1e-9, abs=1e-6)
