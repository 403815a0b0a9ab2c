"""Thin-wall properties against two-dimensional solutions of the true outline (general library sectionproperties).

The library solves St-Venant torsion and shear at nu = 0 with six-node triangles as large as the wall is thick, half
of that in open sections; a quarter of their area moves its results by a tenth of the limits at most.  With r =
thickness over the outline's smaller size:

| quantity | limit | why |
|---|---|---|
| A, Iyy, Izz | 1e-9 | true plates tile the outline |
| J | 0.6 r | corners carry more than two mid-lines that meet |
| shear areas | 0.85 r | the same |
| shear centre | (0.03 r + r^2) x smaller size | first order only where walls differ |
| Iw, open | 6 r^2 | second order |

The constants were chosen after a first look at r from 0.1 to 0.02; the same ones hold at each r.
"""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

from functools import lru_cache

import pytest
from sectionproperties.analysis import Section as Solved
from sectionproperties.pre import Geometry
from shapely import box as rectangle
from shapely import unary_union

from ladderfe.sections import Angle, Box, Channel, Section, TopHat, Wall, properties


def frame(y, z, minus, plus, bottom, top):
    """Box outline: outer rectangle less the room inside."""
    return rectangle(-y, -z, y, z) - rectangle(minus - y, bottom - z, y - plus, z - top)


def box(t):
    """Box with four different walls."""
    shape = Box(depth=120.0, width=80.0, top=t, bottom=t / 2, minus=t, plus=0.7 * t)
    return shape.section(), frame(40, 60, t, 0.7 * t, t / 2, t), 80


def channel(t):
    """Channel with unequal flanges."""
    shape = Channel(depth=120.0, width=60.0, web=t, top=0.8 * t, bottom=1.2 * t, opens="+y")
    return shape.section(), rectangle(-30, -60, 30, 60) - rectangle(t - 30, 1.2 * t - 60, 40, 60 - 0.8 * t), 60


def lipped_channel(t):
    shape = Channel(depth=120.0, width=60.0, web=t, top=t, bottom=t, opens="+y", lip=20.0)
    return shape.section(), frame(30, 60, t, t, t, t) - rectangle(0, -40, 40, 40), 60


def top_hat(t):
    shape = TopHat(depth=50.0, width=120.0, wall=t, brim=20.0, opens="-z")
    brims = [rectangle(-60, -25, -40, t - 25), rectangle(40, -25, 60, t - 25)]
    crown = rectangle(-40, -25, 40, 25) - rectangle(t - 40, -30, 40 - t, 25 - t)
    return shape.section(), unary_union([*brims, crown]), 50


def closed_top_hat(t):
    """A cell with outstands: the hat's sides joined by a floor, brims standing out."""
    open_, outline, b = top_hat(t)
    floor = Wall("floor", (t / 2 - 40, t / 2 - 25), (40 - t / 2, t / 2 - 25), t, -t / 2, -t / 2)
    return Section((*open_.walls, floor)), unary_union([outline, rectangle(-40, -25, 40, t - 25)]), b


def angle(t):
    shape = Angle(depth=80.0, width=60.0, wall=t, corner="-y-z")
    return shape.section(), rectangle(-30, -40, t - 30, 40) | rectangle(-30, -40, 30, t - 40), 60


def slit_box(t):
    shape = Box(depth=120.0, width=80.0, top=t, bottom=t, minus=t, plus=t)
    return shape.section().gap("plus", 0.5, 4.0), frame(40, 60, t, t, t, t) - rectangle(20, -2, 50, 2), 80


def two_cells(t):
    h, low, high, left, right = t / 2, t / 2 - 30, 30 - t / 2, t / 2 - 60, 60 - t / 2
    walls = (Wall("lower", (left, low), (0.0, low), t, h, 0.0), Wall("lower", (0.0, low), (right, low), t, 0.0, h),
             Wall("upper", (right, high), (0.0, high), t, h, 0.0), Wall("upper", (0.0, high), (left, high), t, 0.0, h),
             Wall("right", (right, low), (right, high), t, -h, -h), Wall("left", (left, high), (left, low), t, -h, -h),
             Wall("common", (0.0, low), (0.0, high), t, -h, -h))
    rooms = rectangle(t - 60, t - 30, -h, 30 - t) | rectangle(h, t - 30, 60 - t, 30 - t)
    return Section(walls), rectangle(-60, -30, 60, 30) - rooms, 60


CASES = [box, channel, lipped_channel, top_hat, closed_top_hat, angle, slit_box, two_cells]


@lru_cache
def both(make, thickness):
    """Properties, the library's solution, and thickness and size that the limits are for."""
    section, outline, size = make(thickness)
    geometry = Geometry(outline)
    found = properties(section)
    geometry.create_mesh(mesh_sizes=[thickness**2 / (1 if found.cells else 4)])
    true = Solved(geometry)
    true.calculate_geometric_properties()
    true.calculate_warping_properties()
    return found, true, thickness / size, size


@pytest.mark.parametrize("thickness", [6.0, 3.0])
@pytest.mark.parametrize("make", CASES)
def test_within_the_thin_wall_limits(make, thickness):
    p, true, r, size = both(make, thickness)
    assert (p.A, p.Iyy, p.Izz) == pytest.approx((true.get_area(), *true.get_ic()[:2]), rel=1e-9)
    assert p.Iyz == pytest.approx(true.get_ic()[2], abs=1e-9 * p.Iyy)
    assert p.J == pytest.approx(true.get_j(), rel=0.6 * r)
    assert (1 / p.shear[0, 0], 1 / p.shear[1, 1]) == pytest.approx(true.get_as(), rel=0.85 * r)
    assert (p.ys, p.zs) == pytest.approx(true.get_sc(), abs=(0.03 * r + r**2) * size)
    if p.Iw:
        assert p.Iw == pytest.approx(true.get_gamma(), rel=6 * r**2)


@pytest.mark.parametrize("make", CASES)
def test_differences_fall_with_the_thickness(make):
    """J and shear areas to first order: half the wall, about half the difference (0.35 to 0.6 of it)."""
    gaps = []
    for thickness in (6.0, 3.0):
        p, true, _, _ = both(make, thickness)
        wide, tall = true.get_as()
        gaps.append([p.J / true.get_j() - 1, 1 / p.shear[0, 0] / wide - 1, 1 / p.shear[1, 1] / tall - 1])
    for thick, thin in zip(*gaps, strict=True):
        assert 0.35 < thin / thick < 0.6
