"""Panels: which walls are internal, which are outstands, and their clear widths, by hand from the outlines."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ladderfe.sections import Angle, Box, Channel, Flat, Section, TopHat, Tube, Wall, boxing_plate, lapped_plate
from ladderfe.sections.panels import panels_of

EXACT = 1e-9


def found(section):
    """(wall, clear width, thickness, outstand) of every panel."""
    return [(p.name, pytest.approx(p.width, rel=EXACT), p.thickness, p.outstand) for p in panels_of(section)]


def box(**more):
    return Box(**{"depth": 100, "width": 150, "top": 2, "bottom": 3, "minus": 4, "plus": 5} | more)


def test_sharp_box():
    assert found(box().section()) == [
        ("bottom", 141, 3, False), ("plus", 95, 5, False), ("top", 141, 2, False), ("minus", 95, 4, False),
    ]  # fmt: skip


def test_box_with_bends_has_its_flats():
    """Between outside radii of 12 mm: 150 - 24 and 100 - 24; inside radius 12 less the thicker of the two walls."""
    panels = panels_of(box(radius=12.0).section())
    assert [p.width for p in panels] == pytest.approx([126, 76, 126, 76], rel=EXACT)
    assert [p.edges[0].radius for p in panels] == pytest.approx([8, 7, 7, 8], rel=1e-9)


def test_channel():
    section = Channel(depth=150, width=60, web=5, top=4, bottom=6, opens="-y").section()
    assert found(section) == [("top", 55, 4, True), ("web", 140, 5, False), ("bottom", 55, 6, True)]


def test_lips_hold_flanges_unless_they_are_small():
    """A lip of 20 mm has 15 mm clear, more than a fifth of 50; one of 13 mm has 8, less."""
    for lip, outstand in ((20.0, False), (13.0, True)):
        section = Channel(depth=150, width=60, web=5, top=5, bottom=5, opens="+y", lip=lip).section()
        flanges = [p for p in panels_of(section) if p.name in ("top", "bottom")]
        assert [p.outstand for p in flanges] == [outstand, outstand]
        assert [p.outstand for p in panels_of(section) if "lip" in p.name] == [True, True]
        assert not next(p for p in panels_of(section) if p.name == "web").outstand


def test_top_hat_and_angle():
    hat = TopHat(depth=60, width=120, wall=3, brim=20, opens="+z").section()
    assert [(p.width, p.outstand) for p in panels_of(hat)] == [
        (pytest.approx(20), True), (pytest.approx(54), False), (pytest.approx(74), False), (pytest.approx(54), False),
        (pytest.approx(20), True),
    ]  # fmt: skip
    angle = Angle(depth=60, width=50, wall=5, corner="-y-z").section()
    assert found(angle) == [("minus", 55, 5, True), ("bottom", 45, 5, True)]


def test_tubes_and_plain_plates_have_none():
    assert panels_of(Tube(diameter=76, wall=3).section()) == ()
    assert panels_of(Flat(depth=100, thickness=8).section()) == ()


def test_a_wall_under_a_lapped_plate_stays_one_panel():
    """What lies under the plate does not hold the wall; the plate is held by its two welds."""
    plain = box().section()
    lapped = lapped_plate(plain, "bottom", width=50, thickness=3, throat=2)
    by_name = {p.name: p for p in panels_of(lapped)}
    assert by_name["bottom"].width == pytest.approx(141, rel=EXACT)
    assert len(by_name["bottom"].walls) == 3
    assert (by_name["bottom plate"].width, by_name["bottom plate"].outstand) == (pytest.approx(50), False)
    assert by_name["top"].width == next(p.width for p in panels_of(plain) if p.name == "top")


def test_a_boxing_plate_makes_outstands_internal():
    channel = Channel(depth=150, width=60, web=5, top=5, bottom=5, opens="+y").section()
    assert [p.outstand for p in panels_of(boxing_plate(channel, "top", "bottom", 4))] == [False] * 4


def test_a_slit_leaves_two_outstands():
    """Clear 141 mm, a slit of 11 mm in the middle of the mid-line of 145.5: 150 wide less half of 4 and 5."""
    panels = [p for p in panels_of(box().section().gap("top", 0.5, 11)) if p.name == "top"]
    assert all(p.outstand for p in panels)
    assert sum(p.width for p in panels) == pytest.approx(130, rel=EXACT)
    assert sorted(p.width for p in panels) == pytest.approx([145.5 / 2 - 5.5 - 2.5, 145.5 / 2 - 5.5 - 2], rel=EXACT)


def test_a_middle_web_divides_flanges():
    """Two cells: flanges of 100 mm between mid-lines with a web of 4 mm in the middle, walls of 2 mm."""
    y, z = (-50.0, 0.0, 50.0), (-30.0, 30.0)
    walls = [Wall("flange", (y[i], h), (y[i + 1], h), 2.0) for h in z for i in (0, 1)]
    walls += [Wall("web", (v, z[0]), (v, z[1]), 4.0 if v == 0 else 2.0) for v in y]
    panels = panels_of(Section(tuple(walls)))
    assert sorted({round(p.width, 9) for p in panels if p.name == "flange"}) == [50 - 1 - 2]
    assert {round(p.width, 9) for p in panels if p.name == "web"} == {58.0}
    assert not any(p.outstand for p in panels)


@given(
    depth=st.floats(60, 250), width=st.floats(50, 200), t=st.floats(0.5, 8), radius=st.sampled_from([0.0, 12.0]),
    opens=st.sampled_from(["+y", "-y", "+z", "-z"]),
)  # fmt: skip
def test_mirrored_shapes_have_the_same_panels(depth, width, t, radius, opens):
    shape = Channel(depth=depth, width=width, web=t, top=1.1 * t, bottom=0.9 * t, opens=opens, radius=radius)
    own, other = (sorted((p.width, p.thickness, p.outstand) for p in panels_of(s.section()))
                  for s in (shape, shape.mirrored()))  # fmt: skip
    assert [v for p in own for v in p] == pytest.approx([v for p in other for v in p], rel=1e-9)
    assert all(p.place(p.width) == pytest.approx((p.start[0] + p.width * p.along[0], p.start[1] + p.width * p.along[1]))
               for p in panels_of(shape.section()))  # fmt: skip
