"""Stations, true joint places and names of the mesh against the tape: every number here is worked out by hand."""

from dataclasses import replace
from math import hypot, sqrt

import numpy as np
import pytest

from ladderfe.mesh import build_mesh, frame_mass, moved_places

EXACT = 1e-12  # sums and differences of a few numbers


def stations_of(mesh, name):
    """Coordinates of a part's nodes along it, front to rear (rails) or left to right."""
    part = mesh.part(name)
    return [float(mesh.along[part.first, 0])] + [float(mesh.along[m, 1]) for m in part.members]


def ends_of(mesh, name):
    """(2, 3) true places of the two ends of a part."""
    part, points = mesh.part(name), mesh.end_points()
    return np.array([points[part.first, 0], points[part.last - 1, 1]])


@pytest.fixture(scope="module")
def busy(made):
    """A frame with something of every kind, at stations that are easy to tell apart."""
    path = ((0, 380, 0), (900, 420, 0), (2500, 420, 0), (2800, 420, 120), (4000, 420, 120))
    spans = (
        made.Span(start=0, end=300, shape=made.RAIL),
        made.Span(start=300, end=4000, shape=made.box(150, 75, 3)),
    )
    return made.chassis(
        rails=made.rails(path=path, spans=spans),
        crossmembers=(
            made.cross("front", 100), made.cross("slanting", 1500, right=1650), made.cross("rear", 3900, height=120),
        ),
        outriggers=(
            made.outrigger("step left", "left", 1200, 250, 0),
            made.outrigger("step right", "right", 1250, 250, 0),
        ),
        mounts=(
            made.mount("engine left", "left rail", 610, -400, 90),
            made.mount("engine right", "right rail", 620, 400, 90),
            made.mount("exhaust", "rear", 3900, 130, 100), made.mount("pump", "step right", 1250, 560, 40),
            made.mount("body", "step left", 1200, -706.0, 0),
        ),
        axles=(
            made.axle("front", 700.0, seats=((200.0, 0.5), (1200.0, 0.5)), spring_base=900.0),
            made.axle("rear", 3300.0, spring_base=1000.0),
        ),
    )  # fmt: skip


def test_every_rail_has_a_node_where_something_happens(busy):
    """Path points, section changes, axles, own crossmembers, outriggers and mounts, spring seats, extra stations."""
    mesh = build_mesh(busy, extra=(1000.0, 2800.0, -5.0, 4000.0))
    shared = [0, 100, 200, 300, 700, 900, 1000, 1200, 2500, 2800, 3300, 3900, 4000]
    assert stations_of(mesh, "left rail") == pytest.approx(sorted([*shared, 610, 1500]), abs=0)
    assert stations_of(mesh, "right rail") == pytest.approx(sorted([*shared, 620, 1250, 1650]), abs=0)


def test_stations_less_than_a_thousandth_of_a_millimetre_apart_are_one(made):
    ladder = (*made.LADDER, made.cross("near", 1900.0005, height=60.0))
    assert stations_of(build_mesh(made.chassis(crossmembers=ladder)), "left rail").count(1900.0) == 1


def test_rail_nodes_lie_on_the_path(busy):
    mesh = build_mesh(busy)
    at = dict(zip(stations_of(mesh, "right rail"), nodes_of(mesh, "right rail"), strict=True))
    assert mesh.nodes[at[100.0]] == pytest.approx([100, 380 + 40 / 9, 0], rel=EXACT)
    assert mesh.nodes[at[2800.0]] == pytest.approx([2800, 420, 120], rel=EXACT)
    left = dict(zip(stations_of(mesh, "left rail"), nodes_of(mesh, "left rail"), strict=True))
    assert mesh.nodes[left[2500.0]] == pytest.approx([2500, -420, 0], rel=EXACT)


def nodes_of(mesh, name):
    part = mesh.part(name)
    return [int(mesh.ends[part.first, 0])] + [int(mesh.ends[m, 1]) for m in part.members]


def test_parts_and_names_in_order(busy):
    mesh = build_mesh(busy)
    names = ["left rail", "right rail", "front", "slanting", "rear", "step left", "step right"]
    assert [p.name for p in mesh.parts] == names
    kinds = ["rail"] * 2 + ["crossmember"] * 3 + ["outrigger"] * 2
    assert [p.kind for p in mesh.parts] == kinds
    assert [p.side for p in mesh.parts] == ["left", "right", "", "", "", "left", "right"]
    assert mesh.part_of().tolist() == sorted(mesh.part_of().tolist())
    assert mesh.member_name(0) == "left rail from 0 to 100 mm"
    assert mesh.member_name(mesh.part("slanting").first) == "crossmember slanting"
    assert mesh.member_name(mesh.part("step left").first) == "outrigger step left"
    with pytest.raises(KeyError, match="gearbox"):
        mesh.part("gearbox")


def test_crossmembers_end_on_the_webs_inner_faces(busy):
    """Rail middle at 420 mm, 75 mm wide: the face is at 382.5 mm; the slanting one spans 765 by 150 mm."""
    mesh = build_mesh(busy)
    assert ends_of(mesh, "slanting") == pytest.approx(np.array([(1500, -382.5, 0), (1650, 382.5, 0)]), abs=EXACT)
    assert mesh.lengths[mesh.part("slanting").first] == pytest.approx(hypot(765, 150), rel=EXACT)
    assert ends_of(mesh, "rear") == pytest.approx(np.array([(3900, -382.5, 120), (3900, 382.5, 120)]), abs=EXACT)


def test_crossmember_between_channels_that_open_inward_ends_inside_on_the_web(made):
    """Outline middle at 400, 60 wide, web 4 at the outside: its inner face is at 400 + 30 - 4 = 426 mm."""
    rails = (made.rail("left", made.channel(150, 60, 4, "-y")), made.rail("right", made.channel(150, 60, 4, "-y")))
    assert rails[0].spans[0].shape.opens == "+y"
    mesh = build_mesh(made.chassis(rails=rails))
    assert ends_of(mesh, "middle") == pytest.approx(np.array([(1900, -426, 0), (1900, 426, 0)]), abs=EXACT)


def test_crossmember_on_the_back_of_channels_that_open_outward(made):
    """Web at the inside now: crossmembers butt on its back, at 400 - 30 = 370 mm."""
    mesh = build_mesh(made.chassis(rails=made.rails(made.channel(150, 60, 4, "+y"))))
    assert ends_of(mesh, "middle")[:, 1] == pytest.approx([-370, 370], abs=EXACT)


@pytest.mark.parametrize(("height", "reach"), [(-115.0, 400.0), (-114.0, 362.5), (115.0, 400.0), (30.0, 362.5)])
def test_crossmember_below_or_above_the_rail_reaches_its_middle(made, height, reach):
    """Rail 150 deep, crossmember 80 deep: clear of each other from (150 + 80)/2 = 115 mm on."""
    ladder = (*made.LADDER[:2], made.cross("rear", 3900, height=height))
    mesh = build_mesh(made.chassis(crossmembers=ladder))
    assert ends_of(mesh, "rear") == pytest.approx(np.array([(3900, -reach, height), (3900, reach, height)]), abs=EXACT)
    part = mesh.part("rear")
    assert mesh.arms[part.first, 0] == pytest.approx([0, 400 - reach, height], abs=EXACT)


def test_heights_may_differ_at_the_two_rails(made):
    ladder = (*made.LADDER[:2], made.cross("rear", 3900, height=20.0, height_right=-30.0))
    mesh = build_mesh(made.chassis(crossmembers=ladder))
    assert ends_of(mesh, "rear")[:, 2] == pytest.approx([20, -30], abs=EXACT)
    assert mesh.lengths[mesh.part("rear").first] == pytest.approx(hypot(725, 50), rel=EXACT)


def test_crossmember_dropped_under_the_gearbox(made):
    """Three runs: legs of 162.5 by 110 mm and a level middle of 400 mm; it stays in its plane."""
    dropped = made.cross("gearbox", 1900, via=((-200.0, -110.0), (200.0, -110.0)))
    mesh = build_mesh(made.chassis(crossmembers=(made.LADDER[0], dropped, made.LADDER[2])))
    part = mesh.part("gearbox")
    assert mesh.lengths[part.first : part.last] == pytest.approx([hypot(162.5, 110), 400, hypot(162.5, 110)], rel=EXACT)
    assert mesh.end_points()[part.first : part.last, :, 0] == pytest.approx(1900.0)
    assert stations_of(mesh, "gearbox") == pytest.approx([-362.5, -200, 200, 362.5])
    down = np.array([0, 162.5, -110]) / hypot(162.5, 110)
    assert mesh.axes[part.first] == pytest.approx(np.array([down, (-1, 0, 0), (0, -down[2], down[1])]), abs=EXACT)


def test_a_slanting_crossmember_with_a_drop_keeps_its_line_in_plan(made):
    """Its inner points lie where the straight line in plan between its ends passes."""
    dropped = made.cross("gearbox", 1800, right=1945, via=((0.0, -90.0),))
    mesh = build_mesh(made.chassis(crossmembers=(made.LADDER[0], dropped, made.LADDER[2])))
    middle = mesh.nodes[int(mesh.ends[mesh.part("gearbox").first, 1])]
    assert middle == pytest.approx([1872.5, 0, -90], rel=EXACT)


def test_a_vertical_drop_has_axes_that_are_the_limit_of_a_steep_one(made):
    """x' down, y' forward, z' to the right on the left leg; on the right leg x' up and z' to the left."""
    axes = []
    for lean in (0.0, 1e-6):
        via = ((-250.0 - lean, 0.0), (-250.0 + lean, -100.0), (250.0 - lean, -100.0), (250.0 + lean, 0.0))
        c = made.chassis(crossmembers=(made.LADDER[0], made.cross("gearbox", 1900, via=via), made.LADDER[2]))
        mesh = build_mesh(c)
        part = mesh.part("gearbox")
        axes.append(mesh.axes[[part.first + 1, part.first + 3]])
    assert axes[0][0] == pytest.approx(np.array([(0, 0, -1), (-1, 0, 0), (0, 1, 0)]), abs=EXACT)
    assert axes[0][1] == pytest.approx(np.array([(0, 0, 1), (-1, 0, 0), (0, -1, 0)]), abs=EXACT)
    assert axes[0] == pytest.approx(axes[1], abs=1e-7)  # the lean is 2e-8 rad


def test_outriggers_run_left_to_right_from_the_outer_faces(busy):
    """Face at 420 + 37.5 mm; 250 mm long.  The left one runs from its tip to the rail."""
    mesh = build_mesh(busy)
    assert ends_of(mesh, "step left") == pytest.approx(np.array([(1200, -707.5, 0), (1200, -457.5, 0)]), abs=EXACT)
    assert ends_of(mesh, "step right") == pytest.approx(np.array([(1250, 457.5, 0), (1250, 707.5, 0)]), abs=EXACT)
    at_rail = {mesh.parts[int(mesh.part_of()[j.member])].name: (j.member, j.end) for j in mesh.joints}
    assert at_rail["step left"] == (mesh.part("step left").last - 1, 1)
    assert at_rail["step right"] == (mesh.part("step right").first, 0)
    for name in ("step left", "step right"):
        assert mesh.axes[mesh.part(name).first] == pytest.approx(
            np.array([(0, 1, 0), (-1, 0, 0), (0, 0, 1)]), abs=EXACT
        )


def test_mounts_sit_at_their_true_places(busy):
    """Their node is on the part that carries them; the arm goes from there to where the thing really hangs."""
    mesh = build_mesh(busy)
    for m in busy.mounts:
        place = mesh.places[m.name]
        assert mesh.nodes[place.node] + place.arm == pytest.approx([m.station, m.y, m.height], abs=1e-9), m.name
        assert place.node in nodes_of(mesh, m.part), m.name


def test_mounts_on_crossmembers_and_outriggers_get_a_node_of_their_own(busy):
    """So that no bending is felt beyond the place where the load hangs."""
    mesh = build_mesh(busy)
    assert stations_of(mesh, "rear") == pytest.approx([-382.5, 130, 382.5])
    assert stations_of(mesh, "step right") == pytest.approx([457.5, 560, 707.5])
    assert mesh.places["exhaust"].arm == pytest.approx((0, 0, -20))
    assert mesh.places["pump"].arm == pytest.approx((0, 0, 40))


def test_spring_seats_stand_at_half_the_spring_base(busy):
    mesh = build_mesh(busy)
    front = mesh.places[busy.axles[0].seat_name("left", 1)]
    assert mesh.nodes[front.node] + front.arm == pytest.approx([1200, -450, 0])
    rear = mesh.places[busy.axles[1].seat_name("right", 0)]
    assert mesh.nodes[rear.node] + rear.arm == pytest.approx([3300, 500, 120])


def test_walls_are_named_by_how_they_lie_on_the_vehicle(made):
    """A box whose inner wall is thick: on the left rail it lies at +y, on the right one at -y; a crossmember's walls
    are front (toward -x) and rear."""
    shape = made.box(150, 75, 2, minus=5.0)  # the right rail's inner wall
    mesh = build_mesh(made.chassis(rails=made.rails(shape)))
    for name, sign in (("left rail", 1), ("right rail", -1)):
        section = mesh.sections[int(mesh.section_of[mesh.part(name).first])]
        (inner,), (outer,) = section.named("inner"), section.named("outer")
        assert inner.thickness == 5.0
        assert inner.start[0] == pytest.approx(sign * (37.5 - 2.5))
        assert outer.start[0] == pytest.approx(-sign * (37.5 - 1.0))
    m = mesh.part("front").first
    (front,) = mesh.sections[int(mesh.section_of[m])].named("front")
    assert (front.start[0] * mesh.axes[m, 1])[0] == pytest.approx(-29.0), "29 mm ahead of the crossmember's middle"


def test_refining_divides_every_member_and_moves_nothing(busy):
    once, thrice = build_mesh(busy), build_mesh(busy, refine=3)
    assert len(thrice.lengths) == 3 * len(once.lengths)
    assert thrice.lengths.reshape(-1, 3).sum(axis=1) == pytest.approx(once.lengths, rel=EXACT)
    assert thrice.end_points()[::3, 0] == pytest.approx(once.end_points()[:, 0], abs=1e-9)
    assert thrice.axes[::3] == pytest.approx(once.axes, abs=1e-9)
    for name, place in once.places.items():
        other = thrice.places[name]
        assert thrice.nodes[other.node] == pytest.approx(once.nodes[place.node], abs=1e-9)


def test_frame_mass_is_section_times_true_length_times_density(busy):
    """Rails along their slopes, crossmembers between faces, outriggers from the face out."""
    thin, thick, cross = 150 * 75 - 146 * 71, 150 * 75 - 144 * 69, 80 * 60 - 76 * 56
    spread = hypot(900, 40) / 900
    rail = thin * 300 * spread + thick * (600 * spread + 1600 + hypot(300, 120) + 1200)
    front = 2 * (380 + 40 * 100 / 900 - 37.5)
    others = front + hypot(765, 150) + 765 + 2 * 250
    expected = 7.85e-9 * (2 * rail + cross * others)
    own = frame_mass(build_mesh(busy))
    assert own.mass == pytest.approx(expected, rel=1e-12)
    assert frame_mass(build_mesh(busy, refine=4)).mass == pytest.approx(expected, rel=1e-12)


def test_centre_of_the_frame_by_hand(made):
    """Rails balance at 2000 mm, three crossmembers of 725 mm at 100, 1900, 3900 mm, one outrigger on the right."""
    c = made.chassis(outriggers=(made.outrigger("step", "right", 1000, 300, 10),))
    rail, cross = 2 * (150 * 75 - 146 * 71) * 4000, (80 * 60 - 76 * 56)
    total = rail + cross * (3 * 725 + 300)
    x = (rail * 2000 + cross * (725 * 5900 + 300 * 1000)) / total
    y, z = cross * 300 * (437.5 + 150) / total, cross * 300 * 10 / total
    assert frame_mass(build_mesh(c)).centre == pytest.approx((x, y, z), rel=1e-12)


def test_a_channels_own_weight_acts_at_its_centroid(made):
    """Channel 100 x 50 x 4 opening inward: centroid from the web's back by hand, (100 x 4 x 2 + 2 x 46 x 4 x 27)/A."""
    shape = made.channel(100, 50, 4, "-y")
    area = 100 * 4 + 2 * 46 * 4
    back = (100 * 4 * 2 + 2 * 46 * 4 * 27) / area
    mesh = build_mesh(made.chassis(rails=made.rails(shape), material=replace(made.STEEL, density=1e-9)))
    right = mesh.part("right rail")
    only = replace(mesh, **{n: getattr(mesh, n)[right.first : right.last] for n in (
        "ends", "arms", "axes", "lengths", "section_of", "along")})  # fmt: skip
    own = frame_mass(only)
    assert own.mass == pytest.approx(area * 4000 * 1e-9, rel=1e-12)
    assert own.centre == pytest.approx((2000, 400 + 25 - back, 0), rel=1e-12, abs=1e-9)


def test_kicked_rails_are_level_across(busy):
    """On the slope x' climbs 120 in 300, y' stays level to the right and z' leans back."""
    mesh = build_mesh(busy)
    k = stations_of(mesh, "right rail").index(2500.0) + mesh.part("right rail").first
    c, s = 300 / hypot(300, 120), 120 / hypot(300, 120)
    assert mesh.axes[k] == pytest.approx(np.array([(c, 0, s), (0, 1, 0), (-s, 0, c)]), abs=EXACT)
    assert sqrt(c * c + s * s) == pytest.approx(1)


@pytest.mark.parametrize("way", ["springs wider", "mounts higher"])
def test_moved_places_are_those_of_a_new_mesh(demo_findings, way):
    """Against meshing anew: springs and mounts elsewhere at the same stations hang on the same nodes."""
    c = demo_findings.chassis
    if way == "springs wider":
        moved = replace(c, axles=tuple(replace(a, spring_base=a.spring_base + 60) for a in c.axles))
    else:
        moved = replace(c, mounts=tuple(replace(m, height=m.height + 25) for m in c.mounts))
    old, new = build_mesh(c), build_mesh(moved)
    assert old.places != new.places
    assert moved_places(old, moved).places == new.places


@pytest.mark.parametrize("refine", [1, 2, 3, 4])
def test_what_is_spread_hangs_on_one_node_however_finely_the_rail_is_divided(made, refine):
    """3 mm from the path point at 900 mm it takes that one, and no node that merely divides the members beside it."""
    path = ((0, 380, 0), (900, 420, 0), (908, 420, 0), (4000, 420, 0))
    near = replace(made.mount("gear left 1", "left rail", 905, -420, 0), spread=True)
    mesh = build_mesh(made.chassis(rails=made.rails(path=path), mounts=(near,)), refine=refine)
    place = mesh.places["gear left 1"]
    assert (mesh.nodes[place.node, 0], place.arm[0]) == (908, -3)
    whole = build_mesh(made.chassis(rails=made.rails(path=path), mounts=(replace(near, spread=False),)), refine=refine)
    assert whole.nodes[whole.places["gear left 1"].node, 0] == 905
