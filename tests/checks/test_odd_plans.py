"""Plans that no worked model has: several sections on a rail, tubes, rails made longer, plates in any order."""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.advice.repair_fatigue import repair_fatigue
from ladderfe.advice.weld_sizes import weld_sizes
from ladderfe.checks.bolt_demands import bolt_demands
from ladderfe.checks.bolt_places import distances, thinnest
from ladderfe.checks.repair import check_repair
from ladderfe.checks.repair_answers import answers
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.repair_welds import weld_runs
from ladderfe.checks.stress import stresses
from ladderfe.checks.weld_butts import rows_at
from ladderfe.checks.weld_demands import weld_demands
from ladderfe.checks.weld_plates import _run as plate_run_of
from ladderfe.connections import weld_steel
from ladderfe.errors import InputError
from ladderfe.report.sheets.plan_plates import plan_drawings
from ladderfe.report.weld_text import weld_text

BOX = 'shape = "box", depth = 150, width = 75, wall = 3, radius = 0 }'
OPEN = 'shape = "channel", opens = "inward", depth = 150, width = 75, wall = 3, radius = 0 }'
TUBE = '{ shape = "tube", diameter = 120, wall = 4 }'
HAT = '{ shape = "top hat", opens = "inward", depth = 120, width = 80, wall = 4, brim = 20 }'
#: A box in front, a channel from 2000 mm on.
BOTH = "{ to = 2000, " + BOX + ", { " + OPEN
LONGER = "[rails]\npath = [{ station = 0, half_spacing = 400, height = 0 }, { station = 4458, half_spacing = 400, "
LONGER += "height = 0 }]\n"


def plate(kind="doubler", wall="top", a=1500, b=2300, t=2, more=""):
    named = f'wall = "{wall}"\n' if wall else ""
    return f'[[plates]]\nkind = "{kind}"\nrail = "left"\n{named}from = {a}\nto = {b}\nthickness = {t}\n{more}\n'


def insert(wall="bottom", a=1500, b=1800):
    return f'[[inserts]]\nrail = "left"\nwall = "{wall}"\nfrom = {a}\nto = {b}\n'


def hole(wall, x):
    return f'[[holes]]\nrail = "left"\nwall = "{wall}"\nstation = {x}\ndiameter = 10\n'


def splice(x):
    return f'[[splices]]\nrail = "left"\nstation = {x}\ncut = "square"\n'


def all_pages(states):
    """What the commands for repairs and welds work out of a plan."""
    found = check_repair(states)
    return found, repair_fatigue(found), weld_sizes(weld_demands(states), weld_steel("S235"))


@pytest.mark.parametrize(("wall", "x", "there"), [("outer", 0, "box"), ("outer", 1999.5, "box"), ("web", 2000, "open"),
                                                  ("web", 0, ""), ("outer", 2000, "")])  # fmt: skip
def test_a_hole_is_in_the_section_at_its_station(plans, tmp_path, wall, x, there):
    """At a rail's end and where its section changes too."""
    plans.frame(tmp_path, BOTH)
    if there:
        assert plans.planned(tmp_path, hole(wall, x)).plan.holes[0].wall == wall
        return
    with pytest.raises(InputError, match="must be a wall of the left rail"):
        plans.planned(tmp_path, hole(wall, x))


@pytest.mark.parametrize(("text", "told"), [
    (insert("all", 1500, 2500), "insert 1, wall: names other walls of the left rail from 2000 mm on"),
    (plate("sleeve", "", 1500, 2500), "needs a rail that is a box there, and this one is a channel from 2000 mm on"),
    (plate("boxing", "", 1500, 2500), "needs a rail that is a channel without lips there, and this one is a box"),
])  # fmt: skip
def test_pieces_that_reach_onto_another_section_are_told(plans, tmp_path, text, told):
    """With file and line, whichever end the other section is at."""
    plans.frame(tmp_path, BOTH)
    with pytest.raises(InputError, match=told) as error:
        plans.planned(tmp_path, text)
    assert "plan.toml:" in str(error.value)


def test_a_sleeve_where_a_wall_is_lost_is_told(plans, tmp_path):
    """With file, line and row, and all such rows at once, each with the first place where it is so."""
    plans.frame(tmp_path)
    text = plate("sleeve", "", 1500, 1900) + plate("doubler", "top", 1000, 1200)
    text += plate("sleeve", "", 2500, 2900).replace("left", "right")
    holes = "left,1600,outer,hole,1700,10\nright,2600,top,hole,2650,10\n"
    with pytest.raises(InputError) as error:
        plans.planned(tmp_path, text, readings=holes)
    left, right = str(error.value).splitlines()
    assert left.endswith(
        "plan.toml:3: plate 1: does not go with the left rail from 1590 to 1710 mm as found: a channel is left there, "
        "no box. Let in the lost wall first."
    )
    assert right.split("plan.toml:")[1].startswith("18: plate 3: does not go with the right rail from 2590 to 2660")


@pytest.mark.parametrize(("section", "girth"), [(TUBE, np.pi * 116), (HAT, 120 - 2 * 20 - 4 + 2 * (80 - 2) + 2 * 20)])
def test_pieces_in_tubes_and_top_hats(plans, tmp_path, section, girth):
    """A piece all round has a butt weld round the section at both ends and no seam; by hand, the middle of the wall."""
    plans.frame(tmp_path, section, plans.TWIST)
    states = plans.planned(tmp_path, insert("wall") + hole("wall", 2500), readings="left,1650,wall,2.5,,\n")
    found, fatigue, welds = all_pages(states)
    (run,) = weld_runs(states)
    assert run.length == pytest.approx(2 * girth, rel=0.03)  # corners as they are walled
    assert {b.where for b in welds.butts} == {"across at 1500 mm", "across at 1800 mm"}
    assert all(b.full > 0 for b in welds.butts)
    assert found.staged.pieces[0].new_unloaded is not None
    assert found.staged.pieces[0].old_unloaded is None
    assert fatigue.same[2].ranges.max() > 0
    bare = plans.planned(tmp_path, hole("wall", 2500), readings="left,1650,wall,2.5,,\n", name="bare")
    assert any("wall" not in n and "left rail" in n for n in repair_fatigue(check_repair(bare)).rust.pitted)


def test_plates_on_tubes_and_top_hats_are_told(plans, tmp_path):
    plans.frame(tmp_path, HAT)
    with pytest.raises(InputError, match="plate 1, kind: has no flat wall to lie on: the rail is a top hat there"):
        plans.planned(tmp_path, plate(wall="wall"))


def test_boxing_closes_a_channel_whatever_lies_on_it(plans, tmp_path):
    """A flange plate told before the boxing or after it: the same section, and the same weld."""
    plans.frame(tmp_path, plans.CHANNEL)
    flange, boxing = plate("flange", "bottom", t=3), plate("boxing", "", t=4)
    one, two = (plans.planned(tmp_path, text) for text in (flange + boxing, boxing + flange))
    assert one.chassis.rails == two.chassis.rails
    a, b = (weld_demands(s) for s in (one, two))
    forces = [{p.plate.kind: p.force for p in d.plates} for d in (a, b)]
    assert forces[0] == pytest.approx(forces[1], rel=1e-9)


@pytest.mark.parametrize("text", [splice(4158.5), LONGER + insert("bottom", 4200, 4400),
                                  LONGER + plate(a=4100, b=4400), LONGER + splice(4200)])  # fmt: skip
def test_pieces_at_and_beyond_the_end_of_a_rail(plans, tmp_path, text):
    """A cut a hair off the end, and pieces on metal that the frame had not before: ratios there are of nothing."""
    plans.frame(tmp_path, "", plans.TWIST)
    _, fatigue, welds = all_pages(plans.planned(tmp_path, text))
    assert welds.butts or welds.plates
    beyond = [k for k, d in enumerate(fatigue.details) if d.station > 4159]
    assert np.isnan(fatigue.to_built.same.ratio[beyond]).all()


def test_a_plate_of_no_thickness_is_not_there(plans, tmp_path):
    """Beside one that is: neither the next plate's name, nor welds across the rail, nor what lies where know of it."""
    plans.frame(tmp_path)
    real = plate(t=3) + insert("bottom", 1000, 1400)
    one, two = (plans.planned(tmp_path, text, name=name) for name, text in (("a", real), ("b", plate(t=0) + real)))
    a, b = (weld_demands(s).plates for s in (one, two))
    assert [p.force for p in a] == pytest.approx([p.force for p in b], rel=1e-9)
    far = plans.planned(tmp_path, plate(t=0, a=1450, b=2300) + real, name="c")
    told = [{str(x).replace("/c", "/a") for x in answers(s)} for s in (one, far)]
    assert told[0] == told[1]
    only = plans.planned(tmp_path, plate(t=0), name="d")
    assert not any("doubler" in u.what for u in check_repair(only).stretches)


def test_two_plates_over_a_hole_are_both_found(plans, tmp_path):
    """The first is the wall that is gone, the second lies on it: its force is told over the hole too.  By hand: its
    stress there is between those of its neighbours' fibres, so its force is the area times about that stress."""
    plans.frame(tmp_path)
    text = "".join(plate("cheek", "outer", 1500, 1800, 2, f"width = 40\noffset = {z}") for z in (40, -40))
    states = plans.planned(tmp_path, text, readings="left,1600,outer,hole,1700,10\n")
    d = weld_demands(states)
    run = plate_run_of(states, d.findings.solution, states.plan.plates[1])
    assert np.diff(np.unique(run.station)).max() < 11
    over = (run.station > 1600) & (run.station < 1690)
    s = stresses(d.findings.solution, rows_at(d.findings.solution, "left", 1650))
    own = [s.normal[r, p] for r, k in enumerate(s.section.tolist()) for p, w in enumerate(s.table.walls[k])
           if w == "outer plate"]  # fmt: skip
    assert np.abs(run.force[over] / 80).max() <= 1.2 * np.abs(own).max()
    assert np.abs(run.force[over]).max() > 100


def test_what_rings_dull_is_told_where_a_plate_goes_on_that_wall(plans, tmp_path):
    plans.frame(tmp_path)
    rows = "left,1700,bottom,suspect,,\nleft,1700,top,2,,\n"

    def told(text, name):
        return [r for r in remarks(plans.planned(tmp_path, text, readings=rows, name=name)) if "rings dull" in r]

    assert told(plate(wall="bottom"), "on")
    assert told(plate("sleeve", ""), "in")
    assert not told(plate(wall="top"), "other")
    assert not told(plate(wall="bottom", t=0), "none")
    assert not told(insert("bottom", 1500, 1900) + plate(wall="bottom"), "cut out")


def test_a_stitched_seam_needs_more_length_at_an_end(plans, tmp_path):
    """Runs of 40 at 100 mm with a throat of 0.7 x 3 mm have it over 40 - 2 x 2.1 = 35.8 mm (EN 1993-1-8 4.5.1) and hold
    0.358 of what a continuous seam does, by statics: an end's force comes in over 2.79 times the length, the force in a
    run is 2.79 times as great; the pitch that force alone asks for stays."""
    plans.frame(tmp_path)
    own = []
    for name, seam in (("a", ""), ("b", ', seam = "stitch", run = 40, pitch = 100')):
        text = plate("flange", "bottom", 1500, 2000, 3, f"width = 50\nend_weld = false\nweld = {{ leg = 3{seam} }}")
        welds = weld_sizes(weld_demands(plans.planned(tmp_path, text, name=name)), weld_steel("S235"))
        own.append({f.weld: f for f in welds.plates})
    continuous, stitched = own
    end = "end at 2000 mm"
    # the seam's give is in the plate's share of the force: a part in 1e5 here
    assert stitched[end].anchor == pytest.approx(continuous[end].anchor / 0.358, rel=1e-3)
    assert continuous[end].anchor > 5
    assert stitched["outer edge"].force == pytest.approx(continuous["outer edge"].force / 0.358, rel=1e-3)
    assert stitched["outer edge"].pitch == pytest.approx(continuous["outer edge"].pitch, rel=1e-3)


def test_a_long_lap_at_an_end_without_a_weld_across_it_is_weaker(plans, tmp_path):
    """A cheek of 110 mm: its ends come in over two widths (AISC 360 F13.3), 220 mm; with a throat of 1 mm that is more
    than 150 a, and 1.2 - 0.2 x 220/150 = 0.907 of the strength is left (EN 1993-1-8 4.11, both from memory)."""
    plans.frame(tmp_path)
    own = []
    for name, throat in (("a", 1.5), ("b", 1.0)):
        text = plate("cheek", "outer", 1500, 2000, 3, f"width = 110\nend_weld = false\nweld = {{ throat = {throat} }}")
        demands = weld_demands(plans.planned(tmp_path, text, name=name))
        own.append((demands.plates[0], weld_sizes(demands, weld_steel("S235"))))
    for (demand, sizes), lap in zip(own, (1.0, 1.2 - 0.2 * 220 / 150), strict=True):
        assert {end.zone for end in demand.ends} == {220}
        for k, edge in enumerate(demand.edges):
            found = sizes.plates[k]
            assert min(edge.station - 1500, 2000 - edge.station) <= 220  # where it comes in
            assert found.lap == pytest.approx(lap, rel=1e-12)
            assert found.force == pytest.approx(edge.flow / lap, rel=1e-9)
    assert "4.11" not in weld_text(own[0][1], "file")
    assert "4.11" in weld_text(own[1][1], "file")


@pytest.mark.parametrize("face", ["inside", "outside"])
def test_what_meets_boxing_is_welded_and_bolted_to_it(plans, tmp_path, face):
    """A crossmember on a rounded channel that a thin plate boxes ends on that plate; on the other rail on the web."""
    section = plans.CHANNEL.replace("radius = 0", "radius = 8")
    bolts = '[[bolts]]\nname = "b"\nmember = "third"\nrows = 2\nrise = 60\ndiameter = 10\n'
    plans.frame(tmp_path, section, bolts)
    states = plans.planned(tmp_path, plate("boxing", "", 2500, 2900, 2, f'face = "{face}"'))
    d = weld_demands(states)
    own = {j.rail: (j.wall, j.thickness) for j in d.joints if j.part == "crossmember third"}
    assert own == {"left rail": ("boxing plate", 2), "right rail": ("web", 4)}
    found = {b.rail: (b.wall, b.thickness) for b in bolt_demands(d.findings.solution, states.chassis)}
    assert found == own
    left = next(b for b in states.chassis.bolts if b.side == "left")
    assert thinnest(states.chassis, left) == 2
    assert np.isfinite(distances(states.chassis, left).flange).all()


@pytest.mark.parametrize("section", ["{ " + BOX.replace("radius = 0", "radius = 9"), "{ " + OPEN])
def test_a_piece_all_round_is_welded_round_its_corners(plans, tmp_path, section):
    """As a square splice is, once at each end; by hand, flats and quarter circles along the middle of the wall."""
    plans.frame(tmp_path, section)
    runs = {r.piece.split(",")[0]: r.length for r in weld_runs(plans.planned(tmp_path, insert("all") + splice(1000)))}
    assert runs["insert"] == pytest.approx(2 * runs["square splice"], rel=1e-9)
    if "box" in section:
        assert runs["square splice"] == pytest.approx(2 * (150 + 75 - 4 * 9) + 2 * np.pi * 7.5, rel=0.005)


def test_a_hanger_on_boxing_is_welded_to_it(plans, tmp_path):
    """Inside of a rounded channel that a thin plate boxes."""
    section = plans.CHANNEL.replace("radius = 0", "radius = 8")
    hanger = '[[hangers]]\nname = "h"\naxle = "rear"\non = "inner"\nlength = 80\ndepth = 60\nthickness = 5\n'
    plans.frame(tmp_path, section, hanger)
    d = weld_demands(plans.planned(tmp_path, plate("boxing", "", 3100, 3600, 2)))
    own = {h.hanger.side: (h.wall, h.thickness) for h in d.hangers}
    assert own == {"left": ("boxing plate", 2), "right": ("web", 4)}


@pytest.mark.parametrize(("section", "wide"), [(TUBE, np.pi * 116), (HAT, 272)])
def test_a_piece_in_a_tube_is_drawn_unrolled(plans, tmp_path, section, wide):
    """As wide as the middle of its wall is long."""
    plans.frame(tmp_path, section)
    (drawing,) = plan_drawings(plans.planned(tmp_path, insert("wall")))
    assert drawing.width == pytest.approx(wide, rel=0.03)


def test_boxing_of_a_rail_that_opens_up_is_as_wide_as_the_rail(plans, tmp_path):
    """150 mm deep and 65 wide, flanges 4 mm: 57 mm between them, 65 over their edges; a spear at 45 degrees is half as
    long; the plate lies, so its edges are left and right."""
    plans.frame(tmp_path, plans.CHANNEL.replace("inward", "up"))
    for face, wide in (("inside", 57), ("outside", 65)):
        ends = f'face = "{face}"\nends = "spear"\nend_weld = false'
        states = plans.planned(tmp_path, plate("boxing", "", 1400, 2700, 3, ends), name=face)
        (drawing,) = plan_drawings(states)
        assert (drawing.width, drawing.taper) == (wide, wide / 2)
        assert drawing.edges == ("right edge", "left edge")
        (run,) = weld_runs(states)
        assert run.length == 2 * (1300 - wide)
    square = plans.planned(tmp_path, plate("boxing", "", 1400, 2700, 3))
    assert {r.kind: r.length for r in weld_runs(square)} == {"seam": 2600}
