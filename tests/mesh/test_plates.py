"""Diaphragms in the mesh, and what the model of joints makes of it."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from ladderfe.chassis import Diaphragm, Joint
from ladderfe.mesh import OPEN, RACKING, build_mesh
from ladderfe.mesh.joined import joint_meetings, joint_warpings
from ladderfe.mesh.plates import plate_stiffness
from ladderfe.mesh.rails import box_at
from ladderfe.solve import same_frame

EXACT = 1e-12  # products of a few numbers
PLATE = Diaphragm(name="plate", side="right", station=1000.0, thickness=3.0)


def node_at(mesh, station):
    """The right rail's node at a station."""
    part = mesh.part("right rail")
    nodes = [int(mesh.ends[part.first, 0]), *(int(mesh.ends[m, 1]) for m in part.members)]
    return min(nodes, key=lambda n: abs(mesh.nodes[n, 0] - station))


@pytest.mark.parametrize(
    ("walls", "b", "h"),
    [({}, 72.0, 147.0), ({"minus": 5.0}, 71.0, 147.0), ({"top": 4.0, "bottom": 2.0, "plus": 2.0}, 72.5, 147.0)],
)
def test_a_plate_against_shear_and_twist_of_plates(made, walls, b, h):
    """Racking by the edges' equilibrium: in uniform shear g the flow q = G t g works on webs with q h up and down, on
    flanges with q b sideways; a force Fz on a web at y, or Fy on a flange at z, is Fz y/2 or Fy z/2 of racking, in all
    2 q h b/4 + 2 q b h/4.  Warping by the corner forces 2 D (1 - nu) w_yz of an evenly twisted plate (Timoshenko and
    Woinowsky-Krieger, Theory of Plates and Shells, pure twist; from memory, text not seen): four of them at y z = b h/4
    each.  150 x 75 outside with walls of 3 unless told otherwise: mid-lines b x h by hand."""
    E, nu, t = 205_000.0, 0.3, 4.0
    racking, warping = plate_stiffness(made.box(150, 75, 3, **walls), t, E / 2 / (1 + nu))
    q = E / 2 / (1 + nu) * t
    assert racking == pytest.approx(2 * (q * h) * (b / 2) / 2 + 2 * (q * b) * (h / 2) / 2, rel=EXACT)
    D = E * t**3 / 12 / (1 - nu**2)
    assert warping == pytest.approx(4 * (2 * D * (1 - nu)) * b * h / 4, rel=EXACT)


def test_a_node_stands_at_every_diaphragm_of_its_own_rail(made):
    plain, held = build_mesh(made.chassis()), build_mesh(made.chassis(diaphragms=(PLATE,)))
    assert len(held.nodes) == len(plain.nodes) + 1
    (plate,) = held.plates
    assert held.node_names[plate.node] == "right rail at 1000 mm"
    assert (plate.racking, plate.warping) == plate_stiffness(made.RAIL, 3.0, made.STEEL.shear_modulus)
    assert held.ends[plate.member, 1] == plate.node
    assert plate.member in held.part("right rail").members
    assert plain.plates == ()


def test_at_the_rails_ends(made):
    ends = tuple(replace(PLATE, station=x) for x in (0.0, made.LENGTH))
    mesh = build_mesh(made.chassis(diaphragms=ends))
    part = mesh.part("right rail")
    assert [(p.node, p.member) for p in mesh.plates] == [
        (int(mesh.ends[part.first, 0]), part.first), (int(mesh.ends[part.last - 1, 1]), part.last - 1),
    ]  # fmt: skip


def test_no_plate_where_nothing_racks(made):
    """Open rails, tubes, rigid joints, joints as springs, and a sharp kink that holds the section by itself."""
    held = {"diaphragms": (PLATE,)}
    assert build_mesh(made.chassis(**held)).plates
    assert not build_mesh(made.chassis(rails=made.rails(made.channel(150, 60, 4, "-y")), **held)).plates
    assert not build_mesh(made.chassis(rails=made.rails(made.Tube(diameter=100, wall=3)), **held)).plates
    assert not build_mesh(made.chassis(joint_level=inf, **held)).plates
    assert not build_mesh(made.chassis(joint_model="springs", **held)).plates
    kinked = made.rails(path=((0, made.HALF, 0), (1000, made.HALF, 0), (4000, made.HALF, 2000)))
    ladder = tuple(made.cross(n, x, height=0.0 if x < 1000 else (x - 1000) * 2 / 3) for n, x in (
        ("front", 100.0), ("middle", 1900.0), ("rear", 3900.0)))  # fmt: skip
    assert not build_mesh(made.chassis(rails=kinked, crossmembers=ladder, **held)).plates


def test_the_box_at_a_step(made):
    """That of the span which begins there if it is a box, else of the one that ends there; in a taper in between."""
    box, deep, channel = made.RAIL, made.box(170, 75, 2), made.channel(150, 75, 2, "-y")

    def at(first, second, station=1000.0, end=None):
        front = made.Span(start=0, end=1000, shape=first, shape_end=end)
        return box_at(made.rail("right", spans=(front, made.Span(start=1000, end=4000, shape=second))), station)

    assert at(box, deep) == deep
    assert at(box, channel) == box
    assert at(channel, box) == box
    assert at(channel, channel) is None
    assert at(box, channel, 1001.0) is None
    assert at(box, deep, 500.0, end=deep).depth == 160.0


def estimated(made, **changes):
    """The plain ladder, all joints estimated."""
    ladder = tuple(replace(c, joint_left=Joint(), joint_right=Joint()) for c in made.LADDER)
    return made.chassis(**({"crossmembers": ladder} | changes))


def test_joints_as_springs(made):
    """No box rail racks and every joint is the six springs of its estimate."""
    walls, springs = build_mesh(estimated(made)), build_mesh(estimated(made, joint_model="springs"))
    assert (walls.kind == RACKING).any()
    assert not springs.kind.any()
    assert not springs.extras.any()
    assert not springs.follow.any()
    assert all(j.meeting is not None for j in walls.joints)
    assert all(j.meeting is None for j in springs.joints)
    assert [j.stiffness for j in springs.joints] == [j.stiffness for j in walls.joints]
    assert np.isfinite(springs.joints[0].stiffness[3])


@pytest.mark.parametrize("model", ["walls", "springs"])
def test_the_warping_of_an_open_crossmember_stays_with_its_estimate(made, model):
    """On open rails too, which keep their warping in both models; tied where the joint was given as rigid all round, as
    the walls hold it where only some stiffness was given (nobody states this one)."""
    shape = made.channel(80, 40, 3, "-y")
    ladder = tuple(made.cross(c.name, c.station_left, shape, joint_left=Joint(), joint_right=made.RIGID)
                   for c in made.LADDER)  # fmt: skip
    rails = made.rails(made.channel(150, 60, 4, "-y"))
    c = made.chassis(rails=rails, crossmembers=ladder, joint_model=model)
    mesh = build_mesh(c)
    assert (mesh.kind == OPEN).all()
    wanted = joint_meetings(replace(c, joint_model="walls"), "front")[0]
    assert wanted.warping > 0
    assert abs(wanted.link) == 1
    left, right = mesh.joints[:2]
    assert (left.warping, left.link) == (wanted.warping, wanted.link)
    assert (right.warping, abs(right.link)) == (np.inf, 1)
    assert joint_warpings(c, "front") == ((wanted.warping, wanted.link), (np.inf, right.link))
    given = replace(c, crossmembers=tuple(replace(m, joint_right=made.sprung(rx=1e8)) for m in ladder))
    assert joint_warpings(given, "front")[1] == joint_warpings(c, "front")[0]
    assert (left.meeting is None) == (model == "springs")


def test_frames_differ_in_their_diaphragms_and_in_their_model(made):
    """Also where all joints are given, so that the model changes nothing but racking."""
    plain = made.chassis(diaphragms=(PLATE,))
    other = replace(plain, diaphragms=(replace(PLATE, thickness=4.0),))
    springs = replace(plain, joint_model="springs", diaphragms=())
    walls = made.chassis()
    assert same_frame(build_mesh(plain), build_mesh(plain))
    assert not same_frame(build_mesh(plain), build_mesh(other))
    assert same_frame(build_mesh(walls), build_mesh(walls))
    assert not same_frame(build_mesh(walls), build_mesh(springs))
