"""Reading repair plans: all problems of plan, base and readings at once, each with line, value, rule and hint."""

from __future__ import annotations

import pytest

from ladderfe.chassis import with_assumption
from ladderfe.condition.plan_file import read_plan
from ladderfe.condition.plan_schema import plan_schema
from ladderfe.errors import InputError

FAULTY = """
plate = 3
readings = "plan.csv"

[repair]
support = "stand"

[[inserts]]
rail = "left"
wall = "botom"
from = 1500
to = 1700

[[inserts]]
rail = "left"
wall = "top"
from = 1800
to = 1700

[[inserts]]
rail = "both"
wall = ["top", "outer"]
from = 3900
to = 4400

[[plates]]
kind = "cheek"
rail = "right"
wall = "bottom"
from = 1000
to = 1500
thickness = 4

[[plates]]
kind = "boxing"
rail = "left"
wall = "inner"
from = 1000
to = 1500
thicknes = 3

[[plates]]
kind = "doubler"
rail = "left"
wall = "top"
from = 2000
to = 2060
width = 120
thickness = 2
ends = "spear"
weld = { seam = "stitch", leg = 3, throat = 2 }

[[splices]]
rail = "left"
station = 2000
cut = "square"
angle = 45
"""


def test_a_piece_in_metres(plans, tmp_path):
    """It runs the right way round, but is 0.3 mm long."""
    plans.frame(tmp_path)
    text = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 2.9\nto = 3.2\n'
    assert problems(plans, tmp_path, text).endswith(
        "insert 1, to: ends it 0.3 mm behind where it begins, 2.9 mm, which is no length (got 3.2). Write 2900 and "
        '3200 if they are metres, or the unit, as in "3.2 m".'
    )
    assert problems(plans, tmp_path, text.replace("2.9", "1500").replace("3.2", "1500.1")).endswith(
        "(got 1500.1). Make it longer."
    )


def problems(plans, tmp_path, text, readings=""):
    with pytest.raises(InputError) as caught:
        read_plan(plans.plan(tmp_path, text, readings=readings))
    return str(caught.value)


def test_all_problems_are_told_at_once(plans, tmp_path):
    plans.frame(tmp_path)
    (tmp_path / "plan.csv").write_text("side,station,wall,reading\nleft,9000,top,2\n")
    told = problems(plans, tmp_path, FAULTY)
    for words in (
        'plan.toml:3: plate: is not a known key. Did you mean "plates"?',
        'repair, support: is not the name of a case of this chassis (got "stand")',
        "plan.toml:11: insert 1, wall: must be a wall of the left rail from there on, which has top, bottom",
        'Did you mean "bottom"?',
        "insert 2, to: must be more than where it begins, 1800 mm (got 1700). Swap the two.",
        "insert 3, to: lies off the left rail, which reaches from 0 to 4158 mm (got 4400)",
        'plate 1, wall: is not a wall for a cheek plate: it lies (got "bottom"). Write kind = "flange".',
        "plate 2, kind: needs a rail that is a channel without lips there, and this one is a box",
        'plate 2, wall: has no meaning for a boxing plate (got "inner"). Leave it out.',
        'plate 2, thicknes: is not a known key (got 3). Did you mean "thickness"?',
        "plate 3, width: is wider than the flat of the top wall, 73 mm (got 120)",
        "plate 3, to: leaves nothing between its two ends, which taper over 60 mm each",
        "plate 3, weld, throat: is given beside leg",
        "plate 3, weld, seam: needs run and pitch",
        "splice 1, angle: belongs to angled cuts only",
        "plan.csv:2: station: lies off the left rail",
    ):
        assert words in told, words


def test_faults_of_the_parts_laid_over_are_told_with_those_of_the_plan(plans, tmp_path):
    plans.frame(tmp_path)
    text = '[repair]\nsuport = "x"\n[[crossmembers]]\nname = "thrid"\nwall = 3\n[[remove]]\ncrossmember = "forth"\n'
    told = problems(plans, tmp_path, text)
    assert 'repair, suport: is not a known key (got "x"). Did you mean "support"?' in told
    assert "is not the name of a crossmember" in told
    assert '"forth"' in told


def test_a_base_that_is_not_there_is_told(plans, tmp_path):
    told = problems(plans, tmp_path, "[repair]\n")
    assert "frame.toml" in told
    (tmp_path / "none.toml").write_text("[repair]\n")
    with pytest.raises(InputError, match="base: is missing"):
        read_plan(tmp_path / "none.toml")


def test_support_is_the_case_stands_where_there_is_one(plans, tmp_path):
    plans.frame(tmp_path)
    assert read_plan(plans.plan(tmp_path, "[repair]\n")).plan.support == ""
    four = plans.MODELS / "short-4x4.toml"
    plan = read_plan(plans.plan(tmp_path, "[repair]\n", base=four)).plan
    assert (plan.support, plan.support_given) == ("stands", False)
    text = '[repair]\nsupport = "unloaded"\n'
    assert read_plan(plans.plan(tmp_path, text, base=four)).plan.support == ""


def test_units_and_both_rails(plans, tmp_path):
    plans.frame(tmp_path)
    text = '[[inserts]]\nrail = "both"\nwall = "bottom"\nfrom = "1.5 m"\nto = "70 in"\nthickness = "0.08 in"\n'
    rows = read_plan(plans.plan(tmp_path, text)).plan.inserts
    assert [r.side for r in rows] == ["left", "right"]
    assert (rows[0].start, rows[0].end, rows[0].thickness) == pytest.approx((1500, 1778, 2.032))


def test_offsets_count_outward_and_upward(plans, tmp_path):
    plans.frame(tmp_path)
    text = ('[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "{}"\nfrom = 1000\nto = 1500\nwidth = 30\n'
            "offset = 10\nthickness = 2\n")  # fmt: skip
    lying = read_plan(plans.plan(tmp_path, text.format("top"))).plan.plates
    assert [p.centre for p in lying] == [-10, 10]  # outward is -y on the left rail
    upright = read_plan(plans.plan(tmp_path, text.format("outer"))).plan.plates
    assert [p.centre for p in upright] == [10, 10]


SLEEVE = '[[plates]]\nkind = "sleeve"\nrail = "{rail}"\nfrom = 1000\nto = {to}\nthickness = 2\n{more}\n'


def test_slots_of_a_sleeve_and_what_is_taken_where_none_are_stated(plans, tmp_path):
    """Walls of 2 mm: 3 t is less than t + 8 = 10 mm; 3 widths long, 2 lengths apart."""
    plans.frame(tmp_path)

    def slots(more):
        text = SLEEVE.format(rail="both", to=1500, more=more)
        return [p.slots for p in read_plan(plans.plan(tmp_path, text)).plan.plates]

    left, right = slots("")
    assert (left.width, left.length, left.pitch, left.filled) == (10, 30, 60, True)
    assert left.assumed == ("width", "length", "pitch")
    assert sorted(left.walls) == sorted(right.walls) == ["bottom", "inner", "outer", "top"]
    left, _ = slots('slots = { width = "0.5 in", pitch = 90, wall = ["Inner", "outer"], filled = false }')
    assert (left.width, left.length, left.pitch, left.filled) == pytest.approx((12.7, 38.1, 90, False))
    assert (left.walls, left.assumed) == (("inner", "outer"), ("length",))


@pytest.mark.parametrize(("to", "more", "told"), [
    (1500, "slots = { width = 40 }",
     "8: plate 1, slots, width: makes slots 40 mm wide, more than half the flat of the bottom wall, 73 mm (got 40). "
     "Take narrower slots, or name the other walls in slots, wall."),
    (1500, "slots = { length = 8 }",
     "plate 1, slots, length: must be at least the width of the slots, 10 mm (got 8). Give the length over all; a "
     "round hole is as long as wide."),
    (1500, "slots = { pitch = 30 }",
     "plate 1, slots, pitch: lets slots of 30 mm run into each other (got 30). Give the pitch from middle to middle, "
     "at least two lengths, 60 mm."),
    (1049, "",
     "plate 1, to: leaves no room for a slot of 30 mm one width off both ends of the sleeve, which is 49 mm long (got "
     "1049). Make the sleeve longer, or take shorter slots."),
    (1100, "slots = { length = 81 }",
     "plate 1, slots, length: leaves no room for a slot of 81 mm one width off both ends of the sleeve, which is 100 "
     "mm long (got 81). Make the sleeve longer, or take shorter slots."),
    (1500, 'slots = { wall = ["top", "iner"] }',
     'plate 1, slots, wall: must be walls of the rail there, which has bottom, inner, outer and top (got "iner"). '
     'Did you mean "inner"? Otherwise write one of these, or all.'),
    (1500, "end_weld = true",
     "plate 1, end_weld: has no meaning for a sleeve (got true). Leave it out: no torch reaches its ends."),
    (1500, 'weld = { seam = "stitch", run = 30, pitch = 60 }',
     'plate 1, weld, seam: has no meaning for a sleeve (got "stitch"). Write slots = { length = 30, pitch = '
     '60 } instead.'),
    (1500, "slots = { lenght = 30 }",
     'plate 1, slots, lenght: is not a known key (got 30). Did you mean "length"? Otherwise take it out.'),
])  # fmt: skip
def test_slots_that_do_not_fit(plans, tmp_path, to, more, told):
    """Told once though both rails have them."""
    plans.frame(tmp_path)
    found = problems(plans, tmp_path, SLEEVE.format(rail="both", to=to, more=more))
    (line,) = found.splitlines()
    assert told in line
    assert line.endswith(told)


def test_slots_belong_to_sleeves(plans, tmp_path):
    plans.frame(tmp_path)
    more = 'wall = "top"\nslots = { length = 30 }'
    text = SLEEVE.replace("sleeve", "doubler").format(rail="left", to=1500, more=more)
    found = problems(plans, tmp_path, text)
    assert found.endswith("plate 1, slots: has no meaning for a doubler plate. Leave it out: sleeves have slots.")


@pytest.mark.parametrize(("size", "throat"), [("", "2.8"), ("throat = 2.5, ", "2.5"), ("leg = 5, ", "3.5")])
def test_runs_too_short_to_have_a_throat(plans, tmp_path, size, throat):
    """Twice the throat is off a run (EN 1993-1-8 4.5.1); 0.7 of the plate's 4 mm or of the leg where none is stated."""
    plans.frame(tmp_path)
    weld = "weld = {{ {}seam = \"stitch\", run = {}, pitch = 90 }}\n"
    text = SLEEVE.replace("sleeve", "doubler").format(rail="left", to=1500, more='wall = "top"\n')
    text = text.replace("thickness = 2", "thickness = 4")
    least = 2 * float(throat)
    found = problems(plans, tmp_path, text + weld.format(size, least))
    assert found.endswith(
        f"plate 1, weld, run: leaves nothing of a run, whose ends have no full throat over {throat} mm each (got "
        f"{least:g}). Write run = 40 or more, or a smaller throat."
    )
    read_plan(plans.plan(tmp_path, text + weld.format(size, least + 1)))


BOXED = '[[plates]]\nkind = "boxing"\nrail = "left"\nfrom = 1400\nto = 2700\nthickness = 3\n'
PLATE = '[[diaphragms]]\nname = "end plate"\nrail = "{}"\nstation = {}\nthickness = 4\n'


@pytest.mark.parametrize("station", [1400, 2000, "2.7 m"])
def test_a_diaphragm_may_stand_where_the_plan_boxes_the_rail(plans, tmp_path, station):
    """Ends of the box included; it is made again where an assumption is moved."""
    plans.frame(tmp_path, plans.CHANNEL)
    station = f'"{station}"' if isinstance(station, str) else station
    read = read_plan(plans.plan(tmp_path, BOXED + PLATE.format("left", station)))
    assert [d.name for d in read.over.diaphragms] == ["end plate"]
    assert not read.base.diaphragms
    moved = read.over.assumptions[0]
    again = with_assumption(read.over, moved.key, moved.high)
    assert again.diaphragms == read.over.diaphragms


@pytest.mark.parametrize(("more", "plate", "told"), [
    ("", ("left", 1300), 'plan.toml:11: diaphragm "end plate", station: has no effect there: the left rail is a '
     "channel, and only boxes rack (got 1300). Give a station where the rail is a box, or take the diaphragm out."),
    ("", ("right", 2000), 'plan.toml:11: diaphragm "end plate", station: has no effect there: the right rail is a '
     "channel, and only boxes rack (got 2000). Give a station where the rail is a box, or take the diaphragm out."),
    ('ends = "tapered"\ntaper = 50\n', ("left", 1420), 'plan.toml:13: diaphragm "end plate", station: lies on a '
     "tapered end of the boxing plate, which closes the left rail from 1450 to 2650 mm (got 1420). Put it where the "
     "rail is closed, or make that end square."),
])  # fmt: skip
def test_a_diaphragm_off_what_is_boxed_is_told(plans, tmp_path, more, plate, told):
    plans.frame(tmp_path, plans.CHANNEL)
    (line,) = problems(plans, tmp_path, BOXED + more + PLATE.format(*plate)).splitlines()
    assert line.endswith(told)


def test_diaphragms_off_the_box_and_on_its_tapered_end_are_told_together(plans, tmp_path):
    plans.frame(tmp_path, plans.CHANNEL)
    more = 'ends = "tapered"\ntaper = 50\n'
    own = PLATE.format("left", 1420) + PLATE.format("left", 1300).replace("end plate", "other")
    tapered, off = problems(plans, tmp_path, BOXED + more + own).splitlines()
    assert 'diaphragm "end plate", station: lies on a tapered end' in tapered
    assert 'diaphragm "other", station: has no effect there' in off


def test_the_schema_names_the_tables_of_a_plan():
    schema = plan_schema()
    assert {"inserts", "plates", "splices", "holes", "repair", "readings", "crossmembers", "remove"} <= set(
        schema["properties"]
    )
    assert schema["required"] == ["base"]
    assert "thickness" in schema["$defs"]["PlateTable"]["required"]
