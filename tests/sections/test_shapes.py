"""Shapes: their outlines, walls, names, mirror images, landings, tapers and what they refuse."""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.sections import Angle, Box, Channel, Flat, Shape, TopHat, Tube, between, properties

BOX = Box(depth=150.0, width=75.0, top=2.0, bottom=2.5, minus=3.0, plus=3.5)
ROUNDED = Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0, radius=9.0)
CHANNEL = Channel(depth=160.0, width=60.0, web=5.0, top=4.0, bottom=6.0, opens="+y")
LIPPED = Channel(depth=160.0, width=60.0, web=3.0, top=3.0, bottom=3.0, opens="-y", radius=6.0, lip=18.0)
LYING = Channel(depth=40.0, width=90.0, web=3.0, top=2.0, bottom=4.0, opens="-z")
HAT = TopHat(depth=50.0, width=120.0, wall=2.0, brim=20.0, opens="-z")
SIDE_HAT = TopHat(depth=120.0, width=50.0, wall=2.0, brim=20.0, opens="+y", radius=5.0)
TUBE = Tube(diameter=60.0, wall=3.0)
FLAT = Flat(depth=100.0, thickness=8.0)
LYING_FLAT = Flat(depth=8.0, thickness=100.0)
ANGLE = Angle(depth=60.0, width=40.0, wall=5.0, corner="-y-z")
ALL = [BOX, ROUNDED, CHANNEL, LIPPED, LYING, HAT, SIDE_HAT, TUBE, FLAT, LYING_FLAT, ANGLE]
IDS = ["box", "rounded box", "channel", "lipped channel", "lying channel", "hat", "side hat", "tube", "flat",
       "lying flat", "angle"]


def outline(shape):
    """Extremes of the stress points, which lie on the true faces: low y, high y, low z, high z."""
    points = properties(shape.section()).points
    return points.y.min(), points.y.max(), points.z.min(), points.z.max()


@pytest.mark.parametrize("shape", ALL, ids=IDS)
def test_outline_is_depth_by_width_about_the_origin(shape):
    half = (shape.width / 2, shape.depth / 2)
    assert outline(shape) == pytest.approx((-half[0], half[0], -half[1], half[1]))
    assert isinstance(shape, Shape)
    assert {shape: 1}[shape.mirrored().mirrored()] == 1


def rectangles(*parts):
    """A, Iyy, Izz, Iyz of signed rectangles (sign, y low, y high, z low, z high) about their common centroid."""
    area = [s * (b - a) * (d - c) for s, a, b, c, d in parts]
    y, z = [(b + a) / 2 for _, a, b, _, _ in parts], [(d + c) / 2 for *_, c, d in parts]
    A = sum(area)
    yc, zc = (sum(a * m for a, m in zip(area, where, strict=True)) / A for where in (y, z))
    Iyy = sum(a * ((d - c) ** 2 / 12 + (m - zc) ** 2) for a, m, (*_, c, d) in zip(area, z, parts, strict=True))
    Izz = sum(a * ((e - b) ** 2 / 12 + (m - yc) ** 2) for a, m, (_, b, e, *_) in zip(area, y, parts, strict=True))
    Iyz = sum(a * (m - yc) * (n - zc) for a, m, n in zip(area, y, z, strict=True))
    return A, yc, zc, Iyy, Izz, Iyz


@pytest.mark.parametrize(("shape", "parts"), [
    pytest.param(BOX, [(1, -37.5, 37.5, -75, 75), (-1, -34.5, 34, -72.5, 73)], id="box"),
    pytest.param(CHANNEL, [(1, -30, 30, -80, 80), (-1, -25, 30, -74, 76)], id="channel"),
    pytest.param(LYING, [(1, -45, 45, -20, 20), (-1, -43, 41, -20, 17)], id="lying channel"),
    pytest.param(HAT, [(1, -60, 60, -25, -23), (1, -40, 40, -23, 25), (-1, -38, 38, -25, 23)], id="hat"),
    pytest.param(ANGLE, [(1, -20, -15, -30, 30), (1, -15, 20, -30, -25)], id="angle"),
    pytest.param(LYING_FLAT, [(1, -50, 50, -4, 4)], id="lying flat"),
])
def test_sharp_shapes_tile_their_outline_exactly(shape, parts):
    """Against sums of rectangles (parallel-axis theorem): exact, so rounding only."""
    p = properties(shape.section())
    assert (p.A, p.yc, p.zc, p.Iyy, p.Izz, p.Iyz) == pytest.approx(rectangles(*parts), rel=1e-12, abs=1e-8)
    assert p.metal == p.A


def test_tube_has_the_true_rings_area_inertia_and_torsion_constant():
    """Ring: A = pi (ro^2 - ri^2), I = pi (ro^4 - ri^4)/4, J = 2 I: by construction, so rounding only.  Shear area
    near A/2 as for a thin ring (1 %: chords); stress points on the outer circle."""
    p = properties(TUBE.section())
    I = math.pi * (30**4 - 27**4) / 4
    assert (p.A, p.Iyy, p.Izz, p.J) == pytest.approx((math.pi * (30**2 - 27**2), I, I, 2 * I), rel=1e-12)
    assert p.shear[[0, 1], [0, 1]] * p.A == pytest.approx(2, rel=0.01)
    assert p.points.y**2 + p.points.z**2 == pytest.approx(30.0**2)
    assert (p.Iw, p.ys, p.zs) == pytest.approx((0, 0, 0), abs=1e-9)


@given(diameter=st.floats(20, 200), ratio=st.floats(0.01, 0.4))
def test_any_ring(diameter, ratio):
    ro, ri = diameter / 2, diameter / 2 * (1 - ratio)
    p = properties(Tube(diameter=diameter, wall=ro - ri).section())
    assert (p.A, p.J) == pytest.approx((math.pi * (ro**2 - ri**2), math.pi / 2 * (ro**4 - ri**4)), rel=1e-9)


@pytest.mark.parametrize(("wall", "radius", "tolerance"), [(3.0, 9.0, 2e-4), (3.0, 4.0, 2e-4), (3.0, 2.0, 5e-5)])
def test_rounded_box_is_outer_less_inner_rounded_rectangle(wall, radius, tolerance):
    """A is exact; I within the chords' 0.02 % (corner tighter than the wall: the spandrel's own moment is left out)."""

    def rounded(b, h, r):
        area = b * h - (4 - math.pi) * r**2
        cut, place, own = (1 - math.pi / 4) * r**2, (5 / 6 - math.pi / 4) / (1 - math.pi / 4) * r, 0.00755 * r**4
        return area, b * h**3 / 12 - 4 * (own + cut * (h / 2 - place) ** 2)

    shape = Box(depth=150.0, width=75.0, top=wall, bottom=wall, minus=wall, plus=wall, radius=radius)
    outer, inner = rounded(75, 150, radius), rounded(75 - 2 * wall, 150 - 2 * wall, max(radius - wall, 0))
    p = properties(shape.section())
    assert p.A == pytest.approx(outer[0] - inner[0], rel=1e-12)
    assert p.Iyy == pytest.approx(outer[1] - inner[1], rel=tolerance)


def test_rounded_corners_of_unequal_walls_join():
    p = properties(Box(depth=150.0, width=75.0, top=2.0, bottom=5.0, minus=3.0, plus=4.0, radius=9.0).section())
    assert p.cells == 1


@pytest.mark.parametrize("shape", ALL, ids=IDS)
def test_mirrored_shape_has_mirrored_walls(shape):
    """y -> -y with minus and plus swapped: sizes, names and properties follow."""
    p, m = properties(shape.section(("in", "out"))), properties(shape.mirrored().section(("out", "in")))
    assert (m.A, m.yc, m.zc, m.Iyy, m.Izz, m.Iyz, m.J, m.ys, m.zs, m.Iw) == pytest.approx(
        (p.A, -p.yc, p.zc, p.Iyy, p.Izz, -p.Iyz, p.J, -p.ys, p.zs, p.Iw), rel=1e-9, abs=1e-6)
    mine, theirs = places(p.points), places(m.points)
    assert mine.keys() == theirs.keys()
    for label, (y, z) in mine.items():
        assert theirs[label] == pytest.approx((-y, z))


def places(points):
    """Label -> place; every label is there once."""
    found = dict(zip(points.label, zip(points.y, points.z, strict=True), strict=True))
    assert len(found) == len(points.label)
    return found


@pytest.mark.parametrize(("shape", "names"), [
    (BOX, {"top", "bottom", "inner", "outer"}), (ROUNDED, {"top", "bottom", "inner", "outer"}),
    (CHANNEL, {"top", "web", "bottom"}), (LIPPED, {"top lip", "top", "web", "bottom", "bottom lip"}),
    (LYING, {"inner", "web", "outer"}), (HAT, {"inner brim", "inner", "crown", "outer", "outer brim"}),
    (SIDE_HAT, {"top brim", "top", "crown", "bottom", "bottom brim"}), (TUBE, {"top", "bottom", "inner", "outer"}),
    (FLAT, {"plate"}), (ANGLE, {"inner", "bottom"}),
])
def test_wall_names(shape, names):
    assert {wall.name for wall in shape.section(("inner", "outer")).walls} == names


def test_thickness_goes_to_the_named_wall():
    thickness = {wall.name: wall.thickness for wall in BOX.section().walls}
    assert thickness == {"top": 2.0, "bottom": 2.5, "minus": 3.0, "plus": 3.5}
    thickness = {wall.name: wall.thickness for wall in LYING.section(("rear", "front")).walls}
    assert thickness == {"rear": 2.0, "front": 4.0, "web": 3.0}


@pytest.mark.parametrize(("shape", "from_minus", "from_plus"), [
    (BOX, -37.5, 37.5), (CHANNEL, -30.0, -25.0), (LIPPED, 27.0, 30.0), (LYING, -45.0, 45.0), (HAT, -40.0, 40.0),
    (SIDE_HAT, -25.0, -23.0), (TUBE, -30.0, 30.0), (FLAT, -4.0, 4.0), (ANGLE, -20.0, -15.0),
    (ANGLE.mirrored(), 15.0, 20.0),
])
def test_landing(shape, from_minus, from_plus):
    assert (shape.landing(-1), shape.landing(1)) == (from_minus, from_plus)
    assert shape.mirrored().landing(1) == -from_minus


def test_closed():
    assert [shape.closed for shape in ALL] == [properties(shape.section()).cells > 0 for shape in ALL]


def test_taper():
    tall = Box(depth=170.0, width=75.0, top=3.0, bottom=2.5, minus=3.0, plus=3.5)
    assert between(BOX, tall, 0.25) == Box(depth=155.0, width=75.0, top=2.25, bottom=2.5, minus=3.0, plus=3.5)
    assert between(CHANNEL, CHANNEL, 0.3) == CHANNEL
    assert between(TUBE, Tube(diameter=80.0, wall=3.0), 1.0) == Tube(diameter=80.0, wall=3.0)


@pytest.mark.parametrize(("a", "b", "s", "words"), [
    (BOX, TUBE, 0.5, "no box at 0.5 of the way to a tube"),
    (CHANNEL, CHANNEL.mirrored(), 0.5, "opens is +y at one end and -y at the other"),
    (BOX, BOX, 1.5, "no box at 1.5 of the way to a box"),
])
def test_taper_refused(a, b, s, words):
    with pytest.raises(ModelError) as caught:
        between(a, b, s)
    assert words in str(caught.value)


@pytest.mark.parametrize(("make", "words"), [
    (lambda: Box(depth=150.0, width=75.0, top=0.0, bottom=2.0, minus=2.0, plus=2.0), "box: top is 0.0 mm"),
    (lambda: Box(depth=150.0, width=4.0, top=2.0, bottom=2.0, minus=2.0, plus=2.0), "leave no room inside 150.0 x 4.0"),
    (lambda: Box(depth=50.0, width=40.0, top=2.0, bottom=2.0, minus=2.0, plus=2.0, radius=21.0), "radius 21.0 mm"),
    (lambda: Channel(depth=50.0, width=40.0, web=2.0, top=2.0, bottom=2.0, opens="left"), "opens toward 'left'"),
    (lambda: Channel(depth=50.0, width=40.0, web=2.0, top=2.0, bottom=2.0, opens="+y", lip=30.0), "lip 30.0 mm"),
    (lambda: Channel(depth=50.0, width=40.0, web=2.0, top=26.0, bottom=26.0, opens="+y"), "leave no room"),
    (lambda: Tube(diameter=10.0, wall=5.0), "wall 5.0 mm does not fit diameter 10.0 mm"),
    (lambda: TopHat(depth=50.0, width=120.0, wall=2.0, brim=60.0, opens="-z"), "brims of 60.0 mm"),
    (lambda: Flat(depth=50.0, thickness=-1.0), "thickness is -1.0 mm"),
    (lambda: Flat(depth=math.nan, thickness=1.0), "depth is nan mm"),
    (lambda: Angle(depth=50.0, width=40.0, wall=2.0, corner="left"), "its heel is at 'left'"),
    (lambda: Angle(depth=50.0, width=40.0, wall=40.0, corner="-y-z"), "wall 40.0 mm does not fit"),
])
def test_impossible_shapes_are_refused(make, words):
    with pytest.raises(ModelError) as caught:
        make()
    assert words in str(caught.value)
