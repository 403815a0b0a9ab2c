"""Holes where something lands on the rail: refused where its wall is gone, told where another one is."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ladderfe.chassis import Diaphragm, Joint
from ladderfe.condition import angles_left, as_found, joints_beside, near_hole, plates_in_openings, with_wall
from ladderfe.condition.landings import landings
from ladderfe.errors import InputError, ModelError
from ladderfe.mesh import build_mesh
from ladderfe.report.openings_text import opening_words


@pytest.fixture
def plain(made):
    """Boxes of 150 x 75 x 2 mm; crossmembers 60 mm wide at 100, 1900 and 3900 mm, an outrigger and two mounts."""
    return made.chassis(
        outriggers=(made.outrigger("step", "left", 1200.0, 200.0),),
        mounts=(
            made.mount("cab", "right rail", 2500.0, 400.0, 75.0),
            made.mount("tank", "right rail", 2700.0, 400.0 - 40.0, 0.0),
        ),
    )


@pytest.fixture
def found_of(read, plain):
    return lambda text, chassis=plain: as_found(chassis, read(text, chassis))


def test_walls_that_things_land_on(plain):
    lands = {(p.name, p.side): p.wall for p in landings(plain)}
    assert lands == {
        ("crossmember front", "left"): "inner", ("crossmember front", "right"): "inner",
        ("crossmember middle", "left"): "inner", ("crossmember middle", "right"): "inner",
        ("crossmember rear", "left"): "inner", ("crossmember rear", "right"): "inner",
        ("outrigger step", "left"): "outer", ("mount cab", "right"): "top", ("mount tank", "right"): "inner",
    }  # fmt: skip


@pytest.mark.parametrize("opens", ["inward", "outward"])
def test_members_land_on_the_web_of_a_channel(made, opens):
    """Between its flanges or on its back; under a rail on its bottom."""
    shape = made.Channel(depth=150, width=75, web=4, top=3, bottom=3, opens="-y" if opens == "inward" else "+y")
    cross = (made.cross("low", 1000.0, height=-115.0), made.cross("level", 2000.0))
    chassis = made.chassis(rails=made.rails(shape), crossmembers=cross)
    assert [p.wall for p in landings(chassis)] == ["bottom", "bottom", "web", "web"]


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("left,1880,inner,hole,1930,20", (1900, "crossmember middle meets it", "crossmember middle")),
        ("left,1150,outer,hole,1195,10", (1200, "outrigger step meets it", "outrigger step")),
        ("right,2450,top,hole,2550,0", (2500, "mount cab sits on it", "mount cab")),
        ("right,2650,inner,hole,2750,0", (2700, "mount tank sits on it", "mount tank")),
    ],
)
def test_what_would_hang_on_nothing_is_refused_with_the_line_of_the_hole(found_of, row, told):
    side, start, wall, _, end, rim = row.split(",")
    verb = "fixed" if "sits" in told[1] else "joined"
    rims = f" and its rims of {rim} mm" if rim != "0" else ""
    with pytest.raises(InputError) as caught:
        found_of(f"left,500,bottom,1.9\n{row}")
    assert str(caught.value) == (
        f"readings.csv:3: hole: takes the {wall} wall of the {side} rail away at {told[0]} mm, where {told[1]}: that "
        f"would be {verb} to nothing (got {start} to {end} mm{rims}). End the hole before it, or take {told[2]} out in "
        "an overlay."
    )


def test_all_such_holes_are_told_at_once(found_of):
    with pytest.raises(InputError) as caught:
        found_of("left,50,inner,hole,150,0\nright,2450,top,hole,2550,0\nright,3800,inner,hole,4000,0")
    assert [p.line for p in caught.value.problems] == [2, 3, 4]


@pytest.mark.parametrize(
    "row", ["left,1880,outer,hole,1930,20", "left,1905,inner,hole,1930,0", "left,1800,inner,hole,1900,0"]
)
def test_other_holes_are_taken(found_of, row):
    """In another wall, behind the crossmember's middle, or up to it: the metal begins again there, as in the mesh."""
    assert build_mesh(found_of(row).chassis).parts


def test_states_on_the_same_stations_are_refused_as_well(read, plain):
    found = as_found(plain, read("left,500,bottom,1.9", plain), cuts=(1850, 1950))
    with pytest.raises(ModelError, match="where crossmember middle meets it: that would be joined to nothing"):
        with_wall(found, "left", 1850, 1950, {"inner": 0})
    assert with_wall(found, "left", 1850, 1950, {"inner": 0.5})


def test_joints_beside_a_hole_are_told(found_of, plain):
    """Crossmember middle reaches from 1870 to 1930 mm."""
    estimated = tuple(replace(c, joint_left=Joint(), joint_right=Joint()) for c in plain.crossmembers)
    chassis = replace(plain, crossmembers=estimated)

    def words(row, frame=chassis):
        return opening_words(found_of(row, frame))

    assert words("left,1880,top,hole,1950,0") == [
        "ASSUMED: crossmember middle (left rail at 1900 mm, where a hole takes the top wall): the joint is estimated "
        "as on the whole box: too stiff."
    ]
    assert len(words("left,1920,inner,hole,1950,0")) == 1
    assert words("left,1931,inner,hole,1950,0") == []
    assert words("left,1880,top,hole,1950,0", plain) == []  # its joint is given
    (told,) = words("left,1880,outer,hole,1950,0")
    assert told.endswith(
        "as between the flanges of a channel of these walls, of which there are no data: far from sure."
    )
    assert [p.name for _, p in joints_beside(found_of("left,1880,top,hole,1950,0", chassis))] == ["crossmember middle"]


def test_a_diaphragm_in_an_opening_is_told(found_of, plain):
    """As many as the mesh leaves out; at the opening's end the box still has it."""
    plates = tuple(Diaphragm(name=f"plate {x}", side="left", station=x, thickness=3.0) for x in (600, 650, 800))
    chassis = replace(plain, diaphragms=plates)
    found = found_of("left,600,bottom,hole,700,0", chassis)
    gone = plates_in_openings(found)
    assert [d.station for d in gone] == [650]
    assert len(build_mesh(found.built).plates) - len(build_mesh(found.chassis).plates) == len(gone)
    assert opening_words(found) == [
        "ASSUMED: diaphragm plate 650 (left rail at 650 mm): a wall of the box is gone there, and the plate counts as "
        "holding nothing; in truth it still holds the walls that are left."
    ]


def test_two_neighbouring_walls_gone_are_told(found_of, plain):
    found = found_of("left,600,bottom,hole,700,0\nleft,650,outer,hole,720,0\nright,600,bottom,hole,700,0")
    assert angles_left(found) == (("left", 650, 700),)
    (words,) = opening_words(found)
    assert words.startswith(
        "CAUTION: two neighbouring walls are gone, an angle is left: left rail from 650 to 700 mm. The beam takes the "
        "section as held in shape at both ends"
    )


@pytest.mark.parametrize(("station", "near"), [(1000, True), (839, False), (841, True), (1209, True), (1211, False)])
def test_near_a_hole_is_within_a_rail_depth_of_its_rim(found_of, station, near):
    """The rail is 150 mm deep, the hole with its rims reaches from 990 to 1060 mm."""
    found = found_of("left,1000,bottom,hole,1050,10")
    assert near_hole(found, "left", station) is near
    assert near_hole(found, "right", station) is False
