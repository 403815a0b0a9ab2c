"""Rails with plates: which rack, how they run on, what a joint makes of a plate on the web, and nothing without one."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.chassis import Material
from ladderfe.elements.racking_walls import BoxWalls
from ladderfe.joints import from_shapes
from ladderfe.mesh import box_walls, build_mesh
from ladderfe.mesh.joined import _of_shapes as of_shapes
from ladderfe.sections import Box, Channel, Plate, cell_of, plated, thinned
from ladderfe.solve import solve_chassis
from ladderfe.solve.section_rows import section_rows

BOX = Box(depth=140.0, width=70.0, top=2.5, bottom=2.5, minus=2.5, plus=2.5)
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y")
CROSS = Box(depth=80.0, width=60.0, top=2.0, bottom=2.0, minus=2.0, plus=2.0)
CUTS = (0.0, 1400.0, 2600.0, 4000.0)


def chassis(made, shapes, **more):
    spans = tuple(made.Span(start=a, end=b, shape=s) for a, b, s in zip(CUTS, CUTS[1:], shapes, strict=False))
    return made.chassis(rails=made.rails(spans=spans), **more)


def twist_of(solution):
    """Greatest turn of the rails about x, second case."""
    rails = list(solution.mesh.part("right rail").members)
    return np.abs(solution.end_movements[rails][:, [3, 11], 1]).max()


def test_box_plated_box_racks_all_along(made):
    mesh = build_mesh(chassis(made, (BOX, plated(BOX, [Plate(wall="plus", thickness=3.0)]), BOX)))
    rail = mesh.part("right rail")
    nodes = np.unique(mesh.ends[rail.first : rail.last])
    assert set(mesh.kind[rail.first : rail.last]) == {2}
    assert set(mesh.extras[nodes]) == {2}


def test_a_boxed_stretch_of_a_channel_rail_racks_between_channels(made):
    """As a box between channels does: a flush plate is that box, one over the edges is as near as its place."""
    over, flush = (plated(CHANNEL, [Plate(wall="plus", thickness=4.0, kind=kind)]) for kind in ("over", "boxing"))
    found = [solve_chassis(chassis(made, (CHANNEL, shape, CHANNEL))) for shape in (CHANNEL, flush, over)]
    bare, boxed, covered = (twist_of(f) for f in found)
    assert set(found[2].mesh.kind[list(found[2].mesh.part("right rail").members)]) == {1, 2}
    assert abs(boxed) < 0.95 * abs(bare)
    assert covered == pytest.approx(boxed, rel=0.03)  # a plate of 150 mm instead of 142, 4 mm further out


@pytest.mark.parametrize("base", [BOX, CHANNEL], ids=["box", "channel"])
def test_a_plate_next_to_nothing_changes_next_to_nothing(made, base):
    """1e-9 mm of plate: the frame's answer to 1e-6; of none at all the same numbers (the same shape)."""
    wall = "web" if base is CHANNEL else "plus"
    plain = solve_chassis(chassis(made, (base,) * 3))
    thin = plated(base, [Plate(wall=wall, thickness=1e-9, width=60.0, throat=2.0)])
    nearly = solve_chassis(chassis(made, (base, thin, base)))
    none = solve_chassis(chassis(made, (base, plated(base, [Plate(wall=wall, thickness=0.0)]), base)))
    member = np.repeat(np.arange(len(plain.mesh.lengths)), 3)
    x = plain.mesh.lengths[member] * np.tile([0.1, 0.5, 0.9], len(plain.mesh.lengths))
    before, after = (f.resultants(member, x)[:, :7] for f in (plain, nearly))
    for own, wanted in zip(after.transpose(1, 0, 2), before.transpose(1, 0, 2), strict=True):
        assert own == pytest.approx(wanted, rel=1e-6, abs=1e-6 * max(1.0, np.abs(wanted).max()))
    assert (none.end_movements == plain.end_movements).all()


def test_a_perfect_insert_gives_the_frame_as_built_back(made):
    found = thinned(BOX, {"bottom": 1.0})
    repaired = thinned(found, {"bottom": 2.5})
    built, again = (solve_chassis(chassis(made, (BOX, s, BOX))) for s in (BOX, repaired))
    assert again.end_movements == pytest.approx(built.end_movements, rel=1e-9, abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(t=st.floats(1.5, 5.0), tp=st.floats(1.0, 8.0), width=st.floats(30.0, 120.0), other=st.floats(1.5, 5.0),
       wall=st.sampled_from(["plus", "minus"]))
def test_plated_walls_rack_stiffer_than_bare_and_softer_than_solid_ones(t, tp, width, other, wall):
    """Frame of walls: between that of the bare wall and that of one as thick as both; warping goes by area.  And the
    kernel's condition that the beam has the shear and the torsion of these walls."""
    box = Box(depth=140.0, width=70.0, top=other, bottom=other, minus=t, plus=t)
    shape = plated(box, [Plate(wall=wall, thickness=tp, width=width)])
    cell, solid = cell_of(shape), replace(box, **{wall: t + tp})
    walls, bare, thick = box_walls([cell]), box_walls([cell_of(box)]), box_walls([cell_of(solid)])
    k, low, high = (w.frame(205e3, 0.3).KD[0] for w in (walls, bare, thick))
    assert low < k < high * 1.0001
    assert bare.membrane().inertia[0] < walls.membrane().inertia[0]
    rows = section_rows((shape,), (shape.section(),), Material())
    p = rows.boxes
    beams = replace(p.beams, length=np.array([300.0]), EA=rows.EA, GJ=rows.GJ, bending=rows.bending, shear=rows.shear,
                    centroid=rows.centroid, shear_centre=rows.shear_centre)
    assert replace(p, beams=beams).coupled.left[0] > 0


def test_walls_all_doubled_bend_as_twice_their_own():
    """Every wall with a plate as thick over its whole length: twice the stiffness across, by t^3 + tp^3."""
    walls = BoxWalls(np.array([60.0]), np.array([120.0]), np.full((1, 4), 6.0), np.full((1, 4), 3 * 2 ** (1 / 3)),
                     np.full((1, 4), 3.0))
    single = BoxWalls(np.array([60.0]), np.array([120.0]), np.full((1, 4), 3.0))
    assert pytest.approx(2 * single.frame(1.0, 0.3).KD) == walls.frame(1.0, 0.3).KD
    assert walls.plates == pytest.approx(2 * single.plates)


def test_a_cheek_plate_on_the_web_is_the_joints_doubler():
    """Over the crossmember's whole height with what is left as margin; on the far web it is none; off to one side it is
    left out and said."""
    cheek = Plate(wall="plus", thickness=3.0, width=120.0)
    met = from_shapes(plated(BOX, [cheek]), CROSS, 1)
    assert (met.web, met.doubler) == (2.5, 3.0)
    assert met.margin == pytest.approx(20.0, abs=1e-9)  # (120 - 80)/2
    away = from_shapes(plated(BOX, [cheek]), CROSS, -1)
    assert (away.doubler, away.web) == (0.0, 2.5)
    covered = (120 / 137.5) ** 3  # of the flexibility of a wall bent by M and -M, by its middle part
    assert away.far == pytest.approx((covered / (2.5**3 + 27) + (1 - covered) / 2.5**3) ** (-1 / 3))
    low = from_shapes(plated(BOX, [replace(cheek, width=40.0, centre=-45.0)]), CROSS, 1)
    assert low.doubler == 0.0
    assert any("over part of the crossmember's end only" in note for note in low.notes)
    channel = from_shapes(plated(CHANNEL, [Plate(wall="web", thickness=4.0)]), CROSS, 1)
    assert (channel.rail, channel.doubler) == ("channel", 4.0)
    assert from_shapes(plated(BOX, [cheek]), CROSS, 1).changed(doubler=0.0, margin=0.0) == from_shapes(BOX, CROSS, 1)


def test_a_joints_own_doubler_adds_to_the_plate():
    """Thickness by thickness, with the lesser margin; where an end embraces the rail neither counts."""
    shape = plated(BOX, [Plate(wall="plus", thickness=3.0, width=120.0)])
    own = of_shapes(shape, CROSS, 1, 0.0, 900.0, ("butted", 2.0, 12.0, 0.0), Material())
    assert (own.doubler, own.margin) == (5.0, 12.0)
    none = of_shapes(shape, CROSS, 1, 0.0, 900.0, ("butted", 0.0, 0.0, 0.0), Material())
    assert (none.doubler, none.margin) == (3.0, pytest.approx(20.0))
    assert of_shapes(shape, CROSS, 1, 0.0, 900.0, ("wrapped", 0.0, 0.0, 0.0), Material()).doubler == 0.0
