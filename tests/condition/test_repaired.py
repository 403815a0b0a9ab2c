"""The three states of a plan: what must come out as it was, steps of tapered ends, walls under other names."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.condition.plan_file import read_plan
from ladderfe.condition.plan_types import STEPS, PlanPlate
from ladderfe.condition.rails import rail_of, shape_in, span_at
from ladderfe.condition.repaired import repaired
from ladderfe.connections.weld_details import full_run
from ladderfe.sections import Angle, Box, Channel, Plated, properties
from ladderfe.solve import solve_chassis

ROWS = "left,1800,bottom,1.2,,\nleft,2200,outer,1.1,,\nright,1500,top,1.4,,\nright,2500,bottom,hole,2560,10\n"
#: A bottom and an outer wall both gone over some length: what is left is an angle.
TWO_HOLES = "left,1500,bottom,hole,1700,10\nleft,1550,outer,hole,1650,10\n"


def movements(chassis):
    s = solve_chassis(chassis)
    return s.movements, s.support_forces


@pytest.mark.parametrize("rows", [ROWS, ROWS + TWO_HOLES])
def test_pieces_as_thick_as_the_wall_bring_the_frame_back(plans, tmp_path, rows):
    """Let in wherever metal was lost, the frame moves as built to 1e-9; as found it does not."""
    plans.frame(tmp_path)
    text = '[[inserts]]\nrail = "both"\nwall = "all"\nfrom = 0\nto = 4158\n'
    states = plans.planned(tmp_path, text, readings=rows)
    built, found, now = (movements(c) for c in (states.found.built, states.found.chassis, states.chassis))
    for a, b in zip(built, now, strict=True):
        assert np.abs(a - b).max() <= 1e-9 * np.abs(a).max()
    # where walls are gone the frame has fewer unknowns; else the greatest is racking far off, hence the small limit
    alike = built[0].shape == found[0].shape
    assert not alike or np.abs(built[0] - found[0]).max() > 1e-4 * np.abs(built[0]).max()
    assert [r.spans for r in states.chassis.rails] == [r.spans for r in states.found.built.rails]


@pytest.mark.parametrize("name", ["short-4x4", "pick-up"])
def test_the_same_on_tapered_rails(plans, tmp_path, name):
    """Every span is as built again, `least` too: the shapes are equal, so every number is."""
    base = plans.MODELS / f"{name}.toml"
    text = f'readings = "{(plans.MODELS / f"{name}-readings.csv").as_posix()}"\n'
    ends = {"short-4x4": 3900, "pick-up": 4950}[name]
    text += f'[[inserts]]\nrail = "both"\nwall = "all"\nfrom = 0\nto = {ends}\n'
    states = repaired(read_plan(plans.plan(tmp_path, text, base=base)))
    for now, built in zip(states.chassis.rails, states.found.built.rails, strict=True):
        assert now == built
    assert states.found.chassis.rails != states.found.built.rails
    assert not states.parts_changed


def test_a_plate_of_no_thickness_changes_nothing(plans, tmp_path):
    """Its ends are cuts in all three states, and that is all."""
    plans.frame(tmp_path)
    text = '[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "top"\nfrom = 1500\nto = 2300\nthickness = {}\n'
    states = plans.planned(tmp_path, text.format(0), readings=ROWS)
    assert states.chassis.rails == states.found.chassis.rails
    plain, now = movements(states.found.chassis), movements(states.chassis)
    assert np.abs(plain[0] - now[0]).max() <= 1e-9 * np.abs(plain[0]).max()
    thin = plans.planned(tmp_path, text.format(0.01), readings=ROWS)
    assert thin.chassis.rails != thin.found.chassis.rails


def test_a_crossmember_replaced_by_its_equal_changes_nothing(plans, tmp_path):
    plans.frame(tmp_path)
    text = '[[crossmembers]]\nname = "third"\nshape = "box"\ndepth = {}\nwidth = 60\nwall = 2\nradius = 0\n'
    same = plans.planned(tmp_path, text.format(80) + "[repair]\n")
    a, b = movements(same.found.built), movements(same.chassis)
    assert np.abs(a[0] - b[0]).max() <= 1e-9 * np.abs(a[0]).max()
    assert not same.parts_changed
    assert plans.planned(tmp_path, text.format(100) + "[repair]\n").parts_changed


def test_tapered_ends_keep_the_area_of_the_plate():
    """Steps as wide as the plate is in their middle: the sum of their areas is that of the true outline."""
    p = PlanPlate(side="left", start=1000, end=1600, kind="doubler", wall="top", thickness=2, ends="spear", taper=60)
    whole = sum((b - a) * part for a, b, part in p.steps())
    assert whole == pytest.approx(480 + 2 * 60 / 2)  # two triangles of half the width's length
    tapered = sum((b - a) * part for a, b, part in replace(p, ends="tapered").steps())
    assert tapered == pytest.approx(480 + 2 * 60 * (1 + 1 / 3) / 2)
    assert len(p.steps()) == 2 * STEPS + 1
    for taper, many in ((13.0, 1), (20.0, 2), (39.0, 3)):  # of 10 mm at least
        short = replace(p, taper=taper)
        assert len(short.steps()) == 2 * many + 1
        assert sum((b - a) * part for a, b, part in short.steps()) == pytest.approx(600 - taper)
    assert replace(p, kind="boxing", wall="").steps() == ((1060, 1540, 1.0),)


def test_plates_find_their_walls_where_others_are_gone(plans, tmp_path):
    """Beside a hole a box is a channel or an angle: a plate stays on the metal it is for, a piece closes it."""
    plans.frame(tmp_path)
    text = '[[plates]]\nkind = "{}"\nrail = "left"\nwall = "{}"\nfrom = 1400\nto = 1800\nthickness = 2\n'
    top = plans.planned(tmp_path, text.format("flange", "top"), readings=TWO_HOLES).chassis
    rail = rail_of(top, "left")
    assert isinstance(span_at(rail, 1600).shape.base, Angle)
    assert isinstance(span_at(rail, 1520).shape.base, Channel)
    heights = [max(w.end[1] for w in span_at(rail, x).shape.section().walls) for x in (1520, 1600, 1750)]
    assert heights == pytest.approx([76, 76, 76])  # mid-line of the plate: half of 150 and of its 2 mm
    over = plans.planned(tmp_path, text.format("doubler", "bottom"), readings=TWO_HOLES).chassis
    rail = rail_of(over, "left")
    assert span_at(rail, 1520).shape == Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=2)
    assert isinstance(span_at(rail, 1460).shape, Plated)  # beyond the hole the plate lies on the wall
    only = plans.planned(tmp_path, '[[inserts]]\nrail = "left"\nwall = "outer"\nfrom = 1540\nto = 1660\n',
                         readings=TWO_HOLES)  # fmt: skip
    assert span_at(rail_of(only.chassis, "left"), 1600).shape == span_at(rail_of(only.chassis, "left"), 1520).shape


def test_boxing_closes_the_channel_by_either_way(plans, tmp_path):
    """J by Bredt, 4 A^2 over the sum of s/t, and the channel's sum of b t^3/3."""
    plans.frame(tmp_path, plans.CHANNEL)
    text = '[[plates]]\nkind = "boxing"\nrail = "both"\nfrom = 1000\nto = 2000\nthickness = 3\nface = "{}"\n'
    for face, width in (("inside", 65 - 2 - 1.5), ("outside", 65 - 2 + 1.5)):
        for rail in plans.planned(tmp_path, text.format(face)).chassis.rails:
            flow = 2 * width / 4 + 146 / 4 + 146 / 3
            closed = properties(span_at(rail, 1500).shape.section()).J
            assert closed == pytest.approx(4 * (width * 146) ** 2 / flow, rel=0.01)  # walls' own twist, flanges' ends
            plain = properties(shape_in(span_at(rail, 500), 500).section()).J
            assert plain == pytest.approx((2 * 63 + 146) * 4**3 / 3, rel=0.01)


def test_new_rails_of_an_overlay_are_new_metal(plans, tmp_path):
    plans.frame(tmp_path)
    new = '[rails]\nsections = [{ shape = "box", depth = 150, width = 75, wall = 3, radius = 0 }]\n[repair]\n'
    states = plans.planned(tmp_path, new, readings=ROWS)
    assert {s.shape for r in states.chassis.rails for s in r.spans} == {
        Box(depth=150, width=75, top=3, bottom=3, minus=3, plus=3)
    }
    assert states.parts_changed


def path_to(end):
    """Rails of the test frame that end at a station."""
    ends = ", ".join(f"{{ station = {x}, half_spacing = 400, height = 0 }}" for x in (0, end))
    return f"[rails]\npath = [{ends}]\n"


def test_rust_on_a_taper_stays_where_a_plan_changes_the_rails(plans, tmp_path):
    """Lengthened at the rear, the rails have the same metal in front: what is left of it is what was found, though
    every cut of the taper is interpolated anew."""
    wall = 'shape = "box", width = 75, wall = 3, radius = 0, depth = 150'
    plans.frame(tmp_path, f"{{ to = 1150, {wall}, depth_end = 117 }}, {{ {wall.replace('150', '117')} }}")
    stations = (137, 211, 371, 433, 577, 691, 877, 1013)
    rows = "".join(f"left,{x},bottom,{1 + k / 10:g},,\n" for k, x in enumerate(stations))
    states = plans.planned(tmp_path, path_to(4458), readings=rows)
    rail = rail_of(states.chassis, "left")
    left = [span_at(rail, x).shape.bottom for x in stations]
    assert left == pytest.approx([1 + k / 10 for k in range(8)])


def test_what_is_left_of_a_rail_cut_short_keeps_its_rust_and_its_holes(plans, tmp_path):
    """4110 mm are left: the hole from 4050 to 4150 is open there, and the reading at 4125, which speaks for 250 mm to
    either side, and to half-way to the next one on the other rail."""
    plans.frame(tmp_path)
    rows = "left,4050,bottom,hole,4150,0\nright,4125,bottom,1.2,,\nright,4025,top,1.1,,\nright,4125,top,1.3,,\n"
    rows += "left,4070,top,1.5,,\nleft,4156,top,1.0,,\n"  # half-way between them nothing is left
    states = plans.planned(tmp_path, path_to(4110) + "[body]\nto = 4110\n", readings=rows)
    left, right = (rail_of(states.chassis, side) for side in ("left", "right"))
    assert isinstance(span_at(left, 4080).shape, Channel)
    assert isinstance(span_at(left, 4040).shape, Box)
    assert span_at(right, 3880).shape.bottom == span_at(right, 4100).shape.bottom == 1.2
    assert span_at(right, 3870).shape.bottom == 2
    assert [span_at(right, x).shape.top for x in (4070, 4080, 4105)] == [1.1, 1.3, 1.3]
    assert span_at(left, 4100).shape.web == 1.5  # the top, beside the hole


def test_readings_of_a_wall_that_a_plan_does_away_with_are_of_no_account(plans, tmp_path):
    """A box goes over into a channel of the same outline, which has no outer wall."""
    plans.frame(tmp_path)
    box = 'shape = "box", depth = 150, width = 75, wall = 2, radius = 0'
    text = f'[rails]\nsections = [{{ to = 2000, {box} }}, {{ {box.replace("box", "channel")}, opens = "outward" }}]\n'
    states = plans.planned(tmp_path, text, readings="left,2500,outer,1.2,,\nleft,1500,outer,1.3,,\n")
    rail = rail_of(states.chassis, "left")
    assert isinstance(span_at(rail, 2500).shape, Channel)
    assert span_at(rail, 1500).shape.minus == 1.3


@pytest.mark.parametrize(("weld", "throat"), [("throat = 1.2, ", 1.2), ("", 0.7 * 2)])
def test_a_stitched_seam_counts_the_same_for_stiffness_and_strength(plans, tmp_path, weld, throat):
    """EN 1993-1-8 4.5.1 (from memory): a run has its full throat over its length less two throats; spread over the
    pitch.  The rail's wall of 2 mm is the thinner one, whatever its other walls are."""
    plans.frame(tmp_path)
    text = (f'[[plates]]\nkind = "cheek"\nrail = "left"\nwall = "outer"\nfrom = 1500\nto = 2000\nthickness = 3\n'
            f'width = 100\nweld = {{ {weld}seam = "stitch", run = 30, pitch = 90 }}\n')  # fmt: skip
    states = plans.planned(tmp_path, text, readings="left,1700,top,1.0,,\n")
    shape = span_at(rail_of(states.chassis, "left"), 1700).shape
    assert isinstance(shape, Plated)
    assert shape.plates[0].throat == pytest.approx(throat * full_run(30, throat) / 90, rel=1e-12)
    assert states.plan.plates[0].weld.share == pytest.approx(1 / 3)  # what is laid and counted as metres
