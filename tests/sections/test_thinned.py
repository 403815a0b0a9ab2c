"""Shapes that lost metal, against sums of rectangles, a 2D solution of the true outline, and own arithmetic."""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import itertools
from dataclasses import replace

import pytest
import shapely
from sectionproperties.analysis import Section as Solved
from sectionproperties.pre import Geometry

from ladderfe.errors import ModelError
from ladderfe.sections import (
    Angle,
    Box,
    Channel,
    Flat,
    TopHat,
    Tube,
    between,
    box_torsion,
    properties,
    thinned,
    wall_thickness,
)

SIDES = ("outer", "inner")
BOX = Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0)
ROUNDED = replace(BOX, top=2.0, minus=2.5, radius=8.0)
CHANNEL = Channel(depth=160.0, width=60.0, web=5.0, top=4.0, bottom=6.0, opens="+y", radius=9.0)
LIPPED = Channel(depth=160.0, width=60.0, web=3.0, top=3.0, bottom=3.0, opens="-y", radius=6.0, lip=18.0)
LYING = Channel(depth=40.0, width=90.0, web=3.0, top=2.0, bottom=4.0, opens="-z")
ANGLE = Angle(depth=60.0, width=40.0, wall=5.0, corner="+y-z", lying=3.0)
HAT = TopHat(depth=50.0, width=120.0, wall=2.0, brim=20.0, opens="-z")
TUBE = Tube(diameter=60.0, wall=3.0)
FLAT = Flat(depth=100.0, thickness=8.0)
LYING_FLAT = Flat(depth=8.0, thickness=100.0)
ALL = [BOX, ROUNDED, CHANNEL, LIPPED, LYING, ANGLE, HAT, TUBE, FLAT, LYING_FLAT]
IDS = ["box", "rounded box", "channel", "lipped", "lying", "angle", "hat", "tube", "flat", "lying flat"]


@pytest.mark.parametrize(("shape", "walls"), [
    (ROUNDED, {"top": 2.0, "bottom": 3.0, "outer": 2.5, "inner": 3.0}),
    (CHANNEL, {"top": 4.0, "web": 5.0, "bottom": 6.0}),
    (LIPPED, {"top": 3.0, "web": 3.0, "bottom": 3.0}),
    (LYING, {"outer": 2.0, "web": 3.0, "inner": 4.0}),
    (ANGLE, {"inner": 5.0, "bottom": 3.0}),
    (Angle(depth=60.0, width=40.0, wall=5.0, corner="-y+z"), {"outer": 5.0, "top": 5.0}),
    (HAT, {"wall": 2.0}), (TUBE, {"wall": 3.0}), (FLAT, {"plate": 8.0}), (LYING_FLAT, {"plate": 8.0}),
])  # fmt: skip
def test_thickness_by_name(shape, walls):
    assert wall_thickness(shape, SIDES) == walls
    assert list(wall_thickness(shape, SIDES)) == list(walls)


@pytest.mark.parametrize("shape", ALL, ids=IDS)
def test_read_walls_are_the_walls_of_the_section(shape):
    """The names are those of stress tables, with this thickness there; shapes of one thickness have it all round."""
    walls = {wall.name: wall.thickness for wall in shape.section(SIDES).walls if not wall.bulge}
    read = wall_thickness(shape, SIDES)
    for name, thickness in walls.items():
        expected = read.get(name, read.get(name.removesuffix(" lip"), read.get("wall")))
        assert thickness == pytest.approx(expected, rel=0.03 if isinstance(shape, Tube) else 1e-12)  # tube: chords


@pytest.mark.parametrize("shape", ALL, ids=IDS)
def test_outline_and_names_stay(shape):
    """Every wall alone a fifth thinner: it is what reading it again gives, the others and the outline are untouched."""
    assert thinned(shape, {}, SIDES) is shape
    assert thinned(shape, wall_thickness(shape, SIDES), SIDES) == shape
    for name, thickness in wall_thickness(shape, SIDES).items():
        worn = thinned(shape, {name: 0.8 * thickness}, SIDES)
        assert wall_thickness(worn, SIDES) == {**wall_thickness(shape, SIDES), name: 0.8 * thickness}
        thin = isinstance(shape, Flat)
        assert thin or (worn.depth, worn.width) == (shape.depth, shape.width)
        assert properties(worn.section()).A < properties(shape.section()).A


@pytest.mark.parametrize("shape", ALL, ids=IDS)
def test_mirrored(shape):
    """Thinned and mirrored is mirrored and thinned, with minus and plus swapped."""
    names = wall_thickness(shape, ("minus", "plus"))
    for name in names:
        for share in (0.7, 0.0):
            walls = {name: share * names[name]}
            try:
                one = thinned(shape, walls).mirrored()
            except ModelError:
                assert share == 0
                continue
            assert one == thinned(shape.mirrored(), walls, ("plus", "minus"))


@pytest.mark.parametrize(("gone", "left"), [
    (["bottom"], Channel(depth=150.0, width=75.0, web=2.0, top=2.4, bottom=2.8, opens="-z")),
    (["top"], Channel(depth=150.0, width=75.0, web=2.2, top=2.4, bottom=2.8, opens="+z")),
    (["inner"], Channel(depth=150.0, width=75.0, web=2.4, top=2.0, bottom=2.2, opens="+y")),
    (["outer"], Channel(depth=150.0, width=75.0, web=2.8, top=2.0, bottom=2.2, opens="-y")),
    (["bottom", "inner"], Angle(depth=150.0, width=75.0, wall=2.4, lying=2.0, corner="-y+z")),
    (["bottom", "outer"], Angle(depth=150.0, width=75.0, wall=2.8, lying=2.0, corner="+y+z")),
    (["top", "inner"], Angle(depth=150.0, width=75.0, wall=2.4, lying=2.2, corner="-y-z")),
    (["outer", "top"], Angle(depth=150.0, width=75.0, wall=2.8, lying=2.2, corner="+y-z")),
])  # fmt: skip
def test_box_less_walls_is_what_a_user_would_write(gone, left):
    box = thinned(BOX, {"top": 2.0, "bottom": 2.2, "outer": 2.4, "inner": 2.8}, SIDES)
    assert thinned(box, dict.fromkeys(gone, 0.0), SIDES) == left
    assert (
        thinned(BOX, {"top": 2.0, "bottom": 2.2, "outer": 2.4, "inner": 2.8, **dict.fromkeys(gone, 0)}, SIDES) == left
    )
    remaining = {wall.name for wall in box.section(SIDES).walls} - set(gone)
    web = {"-z": "top", "+z": "bottom", "+y": "outer", "-y": "inner"}.get(getattr(left, "opens", ""), "")
    assert {wall.name for wall in left.section(SIDES).walls} == {"web" if n == web else n for n in remaining}


@pytest.mark.parametrize("opens", ["+y", "-y", "+z", "-z"])
@pytest.mark.parametrize("flange", ["top", "bottom"])
def test_channel_less_a_flange_is_an_angle_in_the_same_place(opens, flange):
    """Area, centroid and second moments of the two walls left, as rectangles."""
    channel = Channel(depth=120.0, width=90.0, web=3.0, top=4.0, bottom=5.0, opens=opens)
    names = ("top", "bottom") if opens[1] == "y" else ("minus", "plus")
    name = names[flange == "bottom"]
    angle = thinned(channel, {name: 0})
    assert isinstance(angle, Angle)
    whole, left = (
        {w.name: ((w.start[0] + w.end[0]) / 2, (w.start[1] + w.end[1]) / 2, w.thickness) for w in s.section().walls}
        for s in (channel, angle)
    )
    kept = left[names[flange == "top"]]
    assert kept[2] == whole[names[flange == "top"]][2]
    across = 0 if opens[1] == "z" else 1  # the flange kept stands where it stood
    assert kept[across] == pytest.approx(whole[names[flange == "top"]][across])
    web = next(found for n, found in left.items() if n not in names)
    assert (web[2], web[1 - across]) == pytest.approx((3.0, whole["web"][1 - across]))


def rectangle(y0, y1, z0, z1):
    return shapely.box(y0, z0, y1, z1)


#: Shape left -> its true outline.
TRUE = {
    "box": (thinned(BOX, {"bottom": 1.5, "inner": 2.0}, SIDES),
            rectangle(-37.5, 37.5, -75, 75) - rectangle(-34.5, 35.5, -73.5, 72)),
    "opened box": (thinned(BOX, {"bottom": 0, "inner": 2.0, "top": 2.5}, SIDES),
                   rectangle(-37.5, 37.5, -75, 75) - rectangle(-34.5, 35.5, -75, 72.5)),
    "corner of a box": (thinned(BOX, {"bottom": 0, "inner": 0, "top": 2.0}, SIDES),
                        rectangle(-37.5, 37.5, -75, 75) - rectangle(-34.5, 37.5, -75, 73)),
    "thinned angle": (thinned(ANGLE, {"bottom": 2.0, "inner": 4.0}, SIDES),
                      rectangle(-20, 20, -30, 30) - rectangle(-20, 16, -28, 30)),
}  # fmt: skip


@pytest.mark.parametrize("which", TRUE)
def test_properties_against_the_outline_solved_in_2d(which):
    """A and second moments are exact (1e-6: meshing); J of the plates and Bredt's with corners within 3 % (a plate's
    two ends take 0.63 t/b from t^3/3, t/b is a tenth in the angle); shear centre within 1 % of the outline."""
    shape, outline = TRUE[which]
    geometry = Geometry(outline).create_mesh(mesh_sizes=[1.5])
    solved = Solved(geometry)
    solved.calculate_geometric_properties()
    solved.calculate_warping_properties()
    p = properties(shape.section(SIDES))
    iyy, izz, iyz = solved.get_ic()
    assert (p.A, p.yc, p.zc) == pytest.approx((solved.get_area(), *solved.get_c()), rel=1e-6, abs=1e-6)
    assert (p.Iyy, p.Izz, p.Iyz) == pytest.approx((iyy, izz, iyz), rel=1e-6, abs=1.0)
    J = box_torsion(shape) if isinstance(shape, Box) else p.J
    assert J == pytest.approx(solved.get_j(), rel=0.03)
    assert (p.ys, p.zs) == pytest.approx(solved.get_sc(), abs=0.01 * shape.depth)


@pytest.mark.parametrize(("walls", "row"), [
    (dict.fromkeys(("top", "bottom", "outer", "inner"), 2.4), (0.80, 0.81, 0.81, 0.82)),
    (dict.fromkeys(("top", "bottom", "outer", "inner"), 1.5), (0.51, 0.52, 0.52, 0.52)),
    ({"bottom": 1.5}, (0.92, 0.85, 0.78, 0.86)),
    ({"bottom": 0.0}, (0.84, 0.66, 0.56, 0.001)),
])  # fmt: skip
def test_shares_left_of_a_box(walls, row):
    """Box 150 x 75 x 3 mm: share of A, I, weakest Z and J left.  Source: own arithmetic of thin walls, printed to two
    figures (J of the opened box: about a thousandth)."""
    new, worn = properties(BOX.section()), properties(thinned(BOX, walls, SIDES).section(SIDES))
    weakest = worn.Iyy / (75 + abs(worn.zc)) / (new.Iyy / 75)
    assert (worn.A / new.A, worn.Iyy / new.Iyy, weakest) == pytest.approx(row[:3], abs=0.006)
    assert worn.J / new.J == pytest.approx(row[3], abs=0.006 if row[3] > 0.1 else 1e-4)


def test_a_slit_costs_nearly_all_of_j():
    """Box 150 x 75 x 3 mm: 3.07e6 to 3.9e3 mm4, a factor near 780: 4 A^2/(s/t) over s t^3/3 of the mid-lines, own
    arithmetic; the bottom gone altogether, s is shorter still."""
    new, slit = properties(BOX.section()), properties(BOX.section().gap("bottom", 0.5, 1e-3))
    gone = properties(thinned(BOX, {"bottom": 0}, SIDES).section(SIDES))
    assert (new.J, slit.J, new.J / slit.J) == pytest.approx((3.07e6, 3.94e3, 780.0), rel=0.005)
    assert gone.J == pytest.approx((75 + 2 * 147) * 3**3 / 3, rel=1e-3)  # three plates, drawn as they tile the outline


def test_less_metal_is_less_of_everything():
    """Share left falls with every wall's thickness (monotony): A, both second moments and J."""
    for name in wall_thickness(BOX, SIDES):
        rows = [properties(thinned(BOX, {name: t}, SIDES).section(SIDES)) for t in (3.0, 2.0, 1.0, 0.2)]
        for one, two in itertools.pairwise(rows):
            assert one.A > two.A
            assert min(one.Iyy - two.Iyy, one.Izz - two.Izz, one.J - two.J) > 0


def test_taper_of_angles_with_two_thicknesses():
    thin = replace(ANGLE, wall=3.0, lying=1.0)
    assert between(ANGLE, thin, 0.5) == replace(ANGLE, wall=4.0, lying=2.0)
    assert replace(ANGLE, lying=0.0) == Angle(depth=60.0, width=40.0, wall=5.0, corner="+y-z", lying=5.0)


@pytest.mark.parametrize(("shape", "walls", "words"), [
    (BOX, {"top": 0, "bottom": 0}, "box: without its top and bottom nothing is left that holds together"),
    (BOX, {"outer": 0, "inner": 0}, "without its outer and inner nothing is left"),
    (BOX, {"outer": 0, "inner": 0, "top": 0}, "without its top and outer and inner nothing"),
    (BOX, {"web": 2.0}, "box: it has no wall called 'web'. Its walls are top, bottom, outer, inner."),
    (BOX, {"top": -1.0}, "the thickness of its wall top is -1.0 mm"),
    (BOX, {"top": float("nan")}, "the thickness of its wall top is nan mm"),
    (BOX, {"top": 148.0}, "box: its walls leave no room"),
    (CHANNEL, {"web": 0}, "channel: without its web nothing is left"),
    (LIPPED, {"top": 0}, "channel: without its top nothing is left that holds together and has a shape here"),
    (LIPPED, {"top lip": 2.0}, "it has no wall called 'top lip'"),
    (ANGLE, {"inner": 0}, "angle: without its inner nothing"),
    (ANGLE, {"top": 2.0}, "it has no wall called 'top'. Its walls are inner, bottom."),
    (FLAT, {"plate": 0}, "flat: without its plate nothing"),
    (TUBE, {"top": 2.0}, "tube: it has no wall called 'top'. Its walls are wall."),
    (HAT, {"wall": 0}, "tophat: without its wall nothing"),
])  # fmt: skip
def test_refused_in_one_sentence(shape, walls, words):
    with pytest.raises(ModelError) as caught:
        thinned(shape, walls, SIDES)
    assert words in str(caught.value)
