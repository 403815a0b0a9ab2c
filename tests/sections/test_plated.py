"""Shapes with plates on them: identities, composite sections, names, and what racks."""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.errors import ModelError
from ladderfe.sections import (
    Angle,
    Box,
    Channel,
    Plate,
    Plated,
    Section,
    Tube,
    between,
    box_torsion,
    boxing_plate,
    cell_of,
    faces,
    let_in,
    open_channel,
    plated,
    properties,
    sleeved,
    thinned,
    wall_thickness,
)
from ladderfe.sections.effective import plate_sums

BOX = Box(depth=140.0, width=70.0, top=2.5, bottom=2.5, minus=2.5, plus=2.5)
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=3.5, opens="+y")
RAIL = ("outer", "inner")
NAMES = ("A", "yc", "zc", "Iyy", "Izz", "Iyz", "J", "ys", "zs", "metal")

walls = st.floats(1.5, 6.0)
boxes = st.builds(Box, depth=st.floats(80, 200), width=st.floats(50, 90), top=walls, bottom=walls, minus=walls,
                  plus=walls)


def numbers(shape):
    section = shape if isinstance(shape, Section) else shape.section()
    p = properties(section)
    return [getattr(p, name) for name in NAMES]


def rectangle(b, h, y=0.0, z=0.0):
    """A, first moments and Iyy, Izz about the origin of a rectangle b wide, h high, its middle at (y, z)."""
    return np.array([b * h, b * h * y, b * h * z, b * h**3 / 12 + b * h * z * z, h * b**3 / 12 + b * h * y * y])


def box_sums(box):
    """The same of a box: its outline less its inside."""
    y, z = (box.minus - box.plus) / 2, (box.bottom - box.top) / 2
    inside = rectangle(box.width - box.minus - box.plus, box.depth - box.top - box.bottom, y, z)
    return rectangle(box.width, box.depth) - inside


def about_centroid(sums):
    A, sy, sz, Iyy, Izz = sums
    return A, sy / A, sz / A, Iyy - sz**2 / A, Izz - sy**2 / A


@pytest.mark.parametrize("base", [BOX, CHANNEL, replace(BOX, radius=8.0)], ids=["box", "channel", "rounded box"])
def test_a_plate_of_no_thickness_is_no_plate(base):
    wall = "web" if isinstance(base, Channel) else "plus"
    assert plated(base, [Plate(wall=wall, thickness=0.0)]) is base
    doubled = plated(base, [Plate(wall="top", thickness=2.0)])
    assert plated(doubled, []) == doubled


def test_a_plate_that_grows_thin_fades_away():
    """Area and moments of a plate of 1e-9 mm: those of the bare box to 1e-8 (linear in the thickness)."""
    thin = plated(BOX, [Plate(wall="top", thickness=1e-9, width=40.0, throat=2.0)])
    assert [getattr(properties(thin.section()), n) for n in ("A", "Iyy", "Izz")] == pytest.approx(
        [getattr(properties(BOX.section()), n) for n in ("A", "Iyy", "Izz")], rel=1e-8)


@settings(max_examples=25, deadline=None)
@given(box=boxes, wall=st.sampled_from(["top", "bottom", "minus", "plus"]), left=st.floats(0.3, 1.0))
def test_a_perfect_insert_gives_the_shape_as_built_back(box, wall, left):
    """Whatever the wall lost, all of it even: what is let in stands where the wall stood."""
    t = wall_thickness(box)[wall]
    for found in (thinned(box, {wall: left * t}), thinned(box, {wall: 0.0})):
        assert let_in(found, wall, t) == box


@pytest.mark.parametrize("gone", [("top", "minus"), ("top", "plus"), ("bottom", "minus"), ("bottom", "plus")])
def test_inserts_bring_back_two_walls_one_by_one(gone):
    box = Box(depth=140.0, width=70.0, top=2.5, bottom=3.0, minus=3.5, plus=4.0)
    angle = thinned(box, dict.fromkeys(gone, 0.0))
    assert isinstance(angle, Angle)
    for first, second in (gone, gone[::-1]):
        half = let_in(angle, first, getattr(box, first))
        assert half == thinned(box, {second: 0.0})
        assert let_in(half, second, getattr(box, second)) == box


def test_an_insert_is_found_by_the_words_of_the_rail():
    found = thinned(BOX, {"inner": 0.0}, RAIL)
    assert let_in(found, "inner", 2.5, RAIL) == BOX
    with pytest.raises(ModelError, match="no piece can be let in for its wall 'floor'"):
        let_in(BOX, "floor", 2.0)


@settings(max_examples=20, deadline=None)
@given(web=walls, top=walls, bottom=walls, t=walls, opens=st.sampled_from(["+y", "-y", "+z", "-z"]))
def test_a_flush_boxing_plate_makes_the_box_that_one_would_write(web, top, bottom, t, opens):
    channel = Channel(depth=120.0, width=80.0, web=web, top=top, bottom=bottom, opens=opens)
    side = {"+y": "plus", "-y": "minus", "+z": "top", "-z": "bottom"}[opens]
    box = plated(channel, [Plate(wall=side, thickness=t, kind="boxing")])
    assert isinstance(box, Box)
    flanges = ("top", "bottom") if opens[1] == "y" else ("minus", "plus")
    true = boxing_plate(channel.section(), *flanges, t)
    assert numbers(box) == pytest.approx(numbers(true), rel=1e-9, abs=1e-6)  # what is 0 is summed from some 1e6 mm4


def test_doubled_beam_is_the_composite_section():
    """Cover plates on both flanges, a cheek plate off the middle: sums of rectangles, parallel-axis theorem."""
    shape = plated(BOX, [Plate(wall="top", thickness=6.0, width=50.0), Plate(wall="bottom", thickness=4.0, width=60.0),
                         Plate(wall="plus", thickness=3.0, width=80.0, centre=10.0)])
    sums = (box_sums(BOX) + rectangle(50, 6, 0, 73) + rectangle(60, 4, 0, -72) + rectangle(3, 80, 36.5, 10))
    p = properties(shape.section())
    assert (p.A, p.yc, p.zc, p.Iyy, p.Izz) == pytest.approx(about_centroid(sums), rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(box=boxes, t=st.floats(1.5, 5.0))
def test_a_sleeve_adds_its_own_box(box, t):
    """Its four plates tile the tube that fits the inner faces; area and moments are the sums of both."""
    depth, width = box.depth - box.top - box.bottom, box.width - box.minus - box.plus
    inner = Box(depth=depth, width=width, top=t, bottom=t, minus=t, plus=t)
    y, z = (box.minus - box.plus) / 2, (box.bottom - box.top) / 2
    hole = rectangle(inner.width - 2 * t, inner.depth - 2 * t, y, z)
    sums = box_sums(box) + rectangle(inner.width, inner.depth, y, z) - hole
    p = properties(sleeved(box, t).section())
    assert (p.A, p.yc, p.zc, p.Iyy, p.Izz) == pytest.approx(about_centroid(sums), rel=1e-9, abs=1e-9)


def test_a_sleeve_in_an_even_box_adds_its_second_moment():
    inner = Box(depth=135.0, width=65.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
    both = properties(BOX.section()).Iyy + properties(inner.section()).Iyy
    assert properties(sleeved(BOX, 3.0).section()).Iyy == pytest.approx(both, rel=1e-12)


@pytest.mark.parametrize("which", ["sleeve", "cover", "channel"])
def test_composite_sections_against_sectionproperties(which):
    """General library, plane finite elements on the true outline: area and moments exact but for its mesh."""
    pre = pytest.importorskip("sectionproperties.pre")
    lib = pytest.importorskip("sectionproperties.analysis").Section
    shape = {
        "sleeve": sleeved(BOX, 3.0),
        "cover": plated(BOX, [Plate(wall="bottom", thickness=5.0, width=50.0)]),
        "channel": plated(CHANNEL, [Plate(wall="web", thickness=5.0, width=100.0, face="inside"),
                                    Plate(wall="plus", thickness=3.0, kind="over")]),
    }[which]
    shapely = pytest.importorskip("shapely")
    whole = shapely.unary_union([_outline(shapely, w) for w in shape.section().walls if w.area > 0])
    whole = whole.buffer(1e-6, join_style="mitre")
    geometry = pre.Geometry(whole)
    geometry.create_mesh(mesh_sizes=[6])
    found = lib(geometry)
    found.calculate_geometric_properties()
    p, (Iyy, Izz, Iyz) = properties(shape.section()), found.get_ic()
    assert (p.A, p.Iyy, p.Izz) == pytest.approx((found.get_area(), Iyy, Izz), rel=1e-5)  # outline 1e-6 mm larger
    assert (p.yc, p.zc) == pytest.approx(found.get_c(), abs=1e-4)
    assert p.Iyz == pytest.approx(Iyz, abs=1e-5 * Iyy)


def _outline(shapely, wall):
    (ys, zs), (ye, ze), t = wall.start, wall.end, wall.thickness
    y, z = (ye - ys) / wall.length, (ze - zs) / wall.length
    a = (ys - wall.grow_start * y, zs - wall.grow_start * z)
    b = (ye + wall.grow_end * y, ze + wall.grow_end * z)
    half = (-z * t / 2, y * t / 2)
    return shapely.Polygon([np.subtract(a, half), np.subtract(b, half), np.add(b, half), np.add(a, half)])


@settings(max_examples=15, deadline=None)
@given(t=st.floats(2.0, 4.0), tp=st.floats(2.0, 4.0))
def test_doubled_webs_twist_as_bredts_walls_of_both_thicknesses(t, tp):
    """Plates on both webs, welded along both edges: J = 4 A^2/sum(s/t) with t + tp in the webs.

    2 %: the plates' flow goes round the welds (some mm at a throat of 0.7 of a wall) and the middle of the doubled web
    lies tp/2 outside the web's mid-line, 2 to 3 % of the enclosed width, part of which the flow in the two cells uses.
    """
    box = Box(depth=180.0, width=90.0, top=3.0, bottom=3.0, minus=t, plus=t)
    doubled = plated(box, [Plate(wall=w, thickness=tp) for w in ("minus", "plus")])
    b, h = 90.0 - t, 177.0
    at_web = 4 * (b * h) ** 2 / (2 * b / 3 + 2 * h / (t + tp))
    apart = b + tp  # between the middles of the doubled webs: (t + tp)/2 - t/2 = tp/2 further out each
    in_middle = 4 * (apart * h) ** 2 / (2 * apart / 3 + 2 * h / (t + tp))
    J = properties(doubled.section()).J
    assert 0.98 * at_web < J < 1.02 * in_middle
    assert J > 1.05 * properties(box.section()).J


def test_names_of_walls_follow_the_rail():
    shape = plated(BOX, [Plate(wall="inner", thickness=3.0), Plate(wall="inner", thickness=2.0, face="inside")], RAIL)
    names = {w.name for w in shape.section(RAIL).walls}
    assert {"inner", "inner plate", "inner weld 1", "inner plate inside", "inner weld 2 inside"} <= names
    assert "inner plate" not in {w.name for w in shape.section(RAIL[::-1]).walls}


@pytest.mark.parametrize("shape", [
    plated(BOX, [Plate(wall="plus", thickness=3.0, width=60.0, centre=12.0),
                 Plate(wall="top", thickness=4.0, width=30.0, centre=9.0)]),
    plated(CHANNEL, [Plate(wall="web", thickness=3.0), Plate(wall="plus", thickness=2.0, kind="over")]),
    plated(replace(CHANNEL, opens="+z", depth=80.0, width=90.0), [Plate(wall="minus", thickness=3.0)]),
    plated(Angle(depth=90.0, width=60.0, wall=4.0, corner="+y-z"), [Plate(wall="plus", thickness=3.0, width=40.0)]),
], ids=["box", "boxed channel", "upward channel", "angle"])  # fmt: skip
def test_mirrored_twice_is_the_same_and_once_is_the_mirror_image(shape):
    p, q = properties(shape.section()), properties(shape.mirrored().section())
    assert shape.mirrored().mirrored() == shape
    assert [q.A, q.yc, q.zc, q.Iyy, q.Izz, q.Iyz] == pytest.approx([p.A, -p.yc, p.zc, p.Iyy, p.Izz, -p.Iyz], abs=1e-6)
    assert (q.ys, q.zs, q.J) == pytest.approx((-p.ys, p.zs, p.J), abs=1e-6)
    if cell := cell_of(shape):
        other = cell_of(shape.mirrored())
        assert other.membrane == pytest.approx(cell.membrane[[1, 0, 2, 3]])
        assert other.bending == pytest.approx(cell.bending[[1, 0, 2, 3]])


def test_area_and_pattern_of_plates_agree_with_sums_that_need_no_graph():
    cheek, cover = Plate(wall="web", thickness=5.0, width=90.0, centre=-8.0), Plate(wall="top", thickness=3.0)
    shape = plated(CHANNEL, [cheek, cover])
    area, centre, moments = plate_sums(shape.section())
    p = properties(shape.section())
    assert area == pytest.approx(p.A)
    assert centre == pytest.approx([p.yc, p.zc])
    assert moments == pytest.approx(np.array([[p.Izz, p.Iyz], [p.Iyz, p.Iyy]]))


def test_equivalent_walls_of_a_racking_box():
    """Membrane: area over the wall's length.  Across: t^3 + tp^3 where the plate lies over the whole wall; a plate in
    the middle half takes 1/8 of the flexibility of a wall bent by M and -M at its ends (integral of (1 - 2 s)^2)."""
    box = Box(depth=103.0, width=63.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
    cell = cell_of(plated(box, [Plate(wall="plus", thickness=4.0), Plate(wall="top", thickness=2.0, width=30.0)]))
    assert cell.size == (60.0, 100.0)
    assert cell.membrane == pytest.approx([3, 7, 4, 3])
    mid = (1 / 8 / (27 + 8) + 7 / 8 / 27) ** (-1 / 3)
    assert cell.bending == pytest.approx([3, (27 + 64) ** (1 / 3), mid, 3])
    assert cell.at(2, 0.5) == (3.0, 2.0)
    assert cell.at(2, 0.1) == (3.0,)
    assert box_torsion(cell.box) == box_torsion(box)


def test_boxed_channels_rack_and_open_ones_do_not():
    over = plated(CHANNEL, [Plate(wall="plus", thickness=3.0, kind="over")])
    cell = cell_of(over)
    assert over.closed
    assert cell.bare == (4.0, 3.0, 4.0, 3.5)
    assert cell.size == pytest.approx((65 - 2 + 1.5, 150 - 3.75))
    assert cell.pole == pytest.approx(((65 / 2 + 1.5 - 65 / 2 + 2) / 2, (3.5 - 4) / 4))
    assert over.landing(1) == 65 / 2 + 3
    assert over.landing(-1) == -65 / 2
    assert faces(over, 1)
    lapped = plated(CHANNEL, [Plate(wall="web", thickness=3.0)])
    assert cell_of(lapped) is None
    assert open_channel(lapped) == CHANNEL
    assert open_channel(over) is None
    assert properties(lapped.section()).Iw > 0


def test_a_rounded_channel_stays_true_where_its_plate_makes_sharp_corners():
    """With bends only at the web no box is it; its own section, and the cell for racking."""
    rounded = replace(CHANNEL, radius=8.0)
    shape = plated(rounded, [Plate(wall="plus", thickness=3.0, kind="boxing")])
    assert isinstance(shape, Plated)
    assert properties(shape.section()).A == pytest.approx(properties(rounded.section()).A + 3 * (150 - 7.5))
    assert cell_of(shape).size == pytest.approx((65 - 2 - 1.5, 150 - 3.75))


def test_walls_thin_out_under_their_plates():
    plates = [Plate(wall="plus", thickness=3.0)]
    shape = plated(BOX, plates)
    assert wall_thickness(shape) == wall_thickness(BOX)
    assert thinned(shape, {"plus": 1.0, "top": 2.0}) == plated(thinned(BOX, {"plus": 1.0, "top": 2.0}), plates)
    opened = thinned(shape, {"bottom": 0.0})
    assert opened == Plated(base=thinned(BOX, {"bottom": 0.0}), plates=tuple(plates))
    lost = thinned(shape, {"minus": 0.0})
    assert [p.wall for p in lost.plates] == ["web"]
    with pytest.raises(ModelError, match="wall inner: the wall that it is welded to is gone"):
        thinned(plated(BOX, [Plate(wall="inner", thickness=3.0)], RAIL), {"inner": 0.0}, RAIL)
    assert let_in(lost, "minus", 2.5) == shape


def test_plates_taper_with_their_rail():
    low, high = (plated(replace(BOX, depth=d), [Plate(wall="plus", thickness=3.0, width=w)])
                 for d, w in ((100.0, 60.0), (140.0, 100.0)))
    assert between(low, high, 0.5) == plated(replace(BOX, depth=120.0), [Plate(wall="plus", thickness=3.0, width=80.0)])
    with pytest.raises(ModelError, match="1 plates at one end and 2 at the other"):
        between(low, plated(low, [Plate(wall="top", thickness=2.0)]), 0.5)


@pytest.mark.parametrize(("make", "words"), [
    (lambda: Plate(wall="top", thickness=-1.0), "thickness is -1.0 mm"),
    (lambda: Plate(wall="top", thickness=1.0, width=0.0), "width is 0.0 mm"),
    (lambda: Plate(wall="top", thickness=1.0, face="below"), "the face 'below'"),
    (lambda: Plate(wall="top", thickness=1.0, kind="glued"), "it is 'glued'"),
    (lambda: plated(BOX, [Plate(wall="floor", thickness=2.0)]), "no wall is called 'floor'"),
    (lambda: plated(BOX, [Plate(wall="top", thickness=2.0, width=20.0, centre=80.0)]), "is not on its flat part"),
    (lambda: plated(BOX, [Plate(wall="top", thickness=2.0)] * 2), "two plates lie on each other"),
    (lambda: plated(Tube(diameter=60.0, wall=3.0), [Plate(wall="top", thickness=2.0)]), "a tube has no flat wall"),
    (lambda: plated(BOX, [Plate(wall="plus", thickness=2.0, kind="over")]), "it is to close a box"),
    (lambda: plated(CHANNEL, [Plate(wall="minus", thickness=2.0, kind="boxing")]), "open on its side plus"),
    (lambda: Plated(base=BOX, plates=()), "a plate of no thickness, or none"),
])  # fmt: skip
def test_plates_that_cannot_be(make, words):
    with pytest.raises(ModelError, match=words):
        make()
