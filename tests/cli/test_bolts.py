"""`ladderfe bolts`: joints held by bolts and rivets; a handbook's example put through a whole frame, hand numbers,
what is refused."""

from __future__ import annotations

import json
from math import pi

import pytest

from ladderfe.chassis.bolts import COARSE
from ladderfe.chassis.schema_bolts import GRADES
from ladderfe.cli.main import EXCEEDED, UNUSABLE, run
from ladderfe.connections.bolts import BOLT_CLASSES, COARSE_PITCH

#: Rails deep enough for holes at 150 mm above each other, wall 10 mm.
DEEP = '{ shape = "box", depth = 200, width = 80, wall = 10, radius = 0 }'
BAR = """
[[outriggers]]
name = "bar"
rail = "left"
station = 2000
length = 100
shape = "box"
depth = 60
width = 60
wall = 5
[[mounts]]
name = "high"
on = "bar"
height = 400
[[mounts]]
name = "low"
on = "bar"
height = -100
"""
#: 16 kN rearward whose line runs 425 mm above the bar: 16.8 kN at 400 mm less 0.8 kN 100 mm below.
LOAD = """
[[cases]]
name = "bar"
kind = "static"
forces = [{ at = "high", x = "16.8 kN" }, { at = "low", x = "-0.8 kN" }]
"""
FOUR = """
[[bolts]]
name = "four"
member = "bar"
diameter = 16
hole = 16
columns = 2
rows = 2
spacing = 120
rise = 150
"""
CROSS = """
[[bolts]]
name = "cross"
member = "second"
diameter = 10
grade = "8.8"
columns = 2
rows = 2
spacing = 40
rise = 50
plate = 5
edge = 20
"""


@pytest.fixture
def told(plans, tmp_path, capsys):
    """Status and document of the command on a frame with some more tables."""

    def ask(more, *options, section=DEEP):
        status = run(["bolts", str(plans.frame(tmp_path, section, more)), "--json", *options])
        out = capsys.readouterr()
        assert not out.err
        return json.loads(out.out), status

    return ask


def rows(document, table):
    t = document[table]
    return [dict(zip(t["columns"], row, strict=True)) for row in t["rows"]]


def test_handbook_bar_on_four_bolts(told):
    """Four M16 at 120 x 150 mm, 16 kN on a line 425 mm off their middle, square to the longer side: 21.0 kN in two,
    14.8 kN in the two others.

    Source: J. E. Shigley, Mechanical Engineering Design, example of a cantilevered bar on four M16 bolts (8-7 in
    several metric editions), values from memory, three digits.
    """
    document, status = told(BAR + LOAD + FOUR)
    own = [r for r in rows(document, "fasteners") if r["case"] == "bar"]
    shear = {(r["station mm"], r["height mm"]): (r["shear rearward N"], r["shear upward N"]) for r in own}
    size = {at: (x * x + z * z) ** 0.5 / 1e3 for at, (x, z) in shear.items()}
    upper = [size[1940, 75], size[2060, 75]]
    assert upper == pytest.approx([21.0, 21.0], rel=4e-3)
    assert [size[1940, -75], size[2060, -75]] == pytest.approx([14.8, 14.8], rel=4e-3)
    assert sum(x for x, _ in shear.values()) == pytest.approx(16e3, rel=1e-6)
    assert sum(z for _, z in shear.values()) == pytest.approx(0, abs=1e-3)
    # the bar pushed rearward at its top: the rear bolts go down, the front ones up
    assert shear[2060, 75][1] < 0 < shear[1940, 75][1]
    # the moment about the vehicle's y that the bolts give back, about their middle
    moment = sum(z * x - (s - 2000) * up for (s, z), (x, up) in shear.items())
    assert moment == pytest.approx(16e3 * 425, rel=1e-6)
    # bearing by Table 3.4 with k1 = 1.4 x 120/16 - 1.7 > 2.5 and alpha 1: 2.5 x 360 x 16 x 10/1.25
    uses = {r["what"]: r for r in rows(document, "uses")}
    held = uses["bearing on the rail's wall"]
    assert held["resistance N"] == pytest.approx(2.5 * 360 * 16 * 10 / 1.25)
    assert held["use"] == pytest.approx(max(upper) * 1e3 / held["resistance N"], rel=1e-9)
    assert status == 0


def test_pull_by_statics(told):
    """10 kN down at the bar's tip, 100 mm off the rail's face: 1 kN m by two rows 150 mm apart, two bolts each."""
    load = LOAD.replace('{ at = "high", x = "16.8 kN" }, { at = "low", x = "-0.8 kN" }', '{ at = "low", z = "-10 kN" }')
    document, _ = told(BAR + load + FOUR)
    own = {(r["station mm"], r["height mm"]): r for r in rows(document, "fasteners") if r["case"] == "bar"}
    for (_, height), r in own.items():
        assert r["pull N"] == pytest.approx((1 if height > 0 else -1) * 1e4 * 100 / 150 / 2, rel=1e-6)
        assert r["shear upward N"] == pytest.approx(-2500, rel=1e-6)
    # shear 0.6 x 800 x 157 mm2 and pull 0.9 x 800 x 157 of M16 8.8 (ISO 898-1 area, from memory)
    use = next(r for r in rows(document, "uses") if r["what"].startswith("shear and pull"))
    pull, area = 1e4 * 100 / 150 / 2, 156.7
    assert use["use"] == pytest.approx(1.25 * (2500 / (480 * area) + pull / (1.4 * 720 * area)), rel=2e-3)


def test_shear_and_pull_are_told_apart_beside_what_they_make_together(told, plans, tmp_path, capsys):
    """The same hand numbers: 2.5 kN of shear and 3.33 kN of pull in a bolt, added as Table 3.4 has it, from memory."""
    load = LOAD.replace('{ at = "high", x = "16.8 kN" }, { at = "low", x = "-0.8 kN" }', '{ at = "low", z = "-10 kN" }')
    document, _ = told(BAR + load + FOUR)
    use = next(r for r in rows(document, "uses") if r["what"].startswith("shear and pull"))
    area = 156.7
    shear, pull = 1.25 * 2500 / (480 * area), 1.25 * 1e4 * 100 / 150 / 2 / (720 * area)
    assert use["of shear alone"] == pytest.approx(shear, rel=2e-3)
    assert use["of pull alone"] == pytest.approx(pull, rel=2e-3)
    assert use["use"] == pytest.approx(use["of shear alone"] + use["of pull alone"] / 1.4, rel=1e-9)
    page = " ".join(_out(capsys, ["bolts", str(plans.frame(tmp_path, DEEP, BAR + load + FOUR))]).split())
    assert f"are of shear {100 * shear:.1f} % and of pull {100 * pull:.1f} %" in page


def test_an_edge_tears_out_only_where_it_is_near(told, plans, tmp_path, capsys):
    """The rail ends 1.4 m away: 1.2 x 1400 x 2 x 360/1.25 would be 967 kN, where the wall bears 14 kN.  The bracket's
    edge at 20 mm is near: 1.2 (20 - 5.5) 5 x 360/1.25, less than the 2.5 fu d t/1.25 that it bears far from all edges;
    at 27 mm it is not: 1.2 (27 - 5.5) = 25.8 mm beside 2.5 x 10."""
    document, _ = told(CROSS, section="")
    uses = {r["what"]: r for r in rows(document, "uses") if r["name"] == "cross left"}
    wall, bracket = uses["tear-out of the rail's wall"], uses["tear-out of the bracket"]
    assert (wall["use"], wall["resistance N"]) == (0, None)
    assert bracket["resistance N"] == pytest.approx(1.2 * (20 - 5.5) * 5 * 360 / 1.25)
    page = _out(capsys, ["bolts", str(plans.frame(tmp_path, more=CROSS))])
    assert "no edge near" in page
    away, _ = told(CROSS.replace("edge = 20", "edge = 27"), section="")
    assert all(r["resistance N"] is None for r in rows(away, "uses") if r["what"].startswith("tear-out"))


def test_a_rusted_wall_bears_less(told, tmp_path, plans):
    """Bearing and pull-through go with the thickness read; the right rail keeps its 2 mm."""
    table = tmp_path / "read.csv"
    table.write_text(plans.HEAD + "left,1380,inner,1.0,,\nleft,1420,inner,1.25,,\n")
    new, _ = told(CROSS, section="")
    old, _ = told(CROSS, "--readings", str(table), section="")
    walls = {r["name"]: r["wall mm"] for r in rows(old, "patterns")}
    assert walls == {"cross left": 1.0, "cross right": 2.0}
    for what in ("bearing on the rail's wall", "pull through the rail's wall"):
        before, after = ({r["name"]: r["resistance N"] for r in rows(d, "uses") if r["what"] == what}
                         for d in (new, old))  # fmt: skip
        assert after["cross left"] == pytest.approx(before["cross left"] / 2)
        assert after["cross right"] == pytest.approx(before["cross right"])
    # by hand: alpha = 40/33 - 1/4 = 0.962, k1 = 2.5, of 2 mm: p2 = 40 gives 1.4 x 40/11 - 1.7 = 3.39
    bearing = {r["name"]: r for r in rows(new, "uses") if r["what"] == "bearing on the rail's wall"}
    assert bearing["cross left"]["resistance N"] == pytest.approx(2.5 * (40 / 33 - 0.25) * 360 * 10 * 2 / 1.25)
    # and of the bracket, its edge at 20 mm: k1 = 2.5, alpha = 20/33
    bracket = next(r for r in rows(new, "uses") if r["what"] == "bearing on the bracket")
    assert bracket["resistance N"] == pytest.approx(2.5 * 20 / 33 * 360 * 10 * 5 / 1.25)
    assert old["as found"]["readings"] == 2


def test_rivets_in_two_shear_planes(told):
    """0.6 x 400 x pi/4 x 12^2/1.25 in each of two planes."""
    text = FOUR.replace("diameter = 16\nhole = 16", 'fastener = "rivets"\ndiameter = 12\nplanes = 2')
    document, _ = told(BAR + LOAD + text)
    use = next(r for r in rows(document, "uses") if r["what"].startswith("shear and pull"))
    assert use["resistance N"] == pytest.approx(0.6 * 400 * pi / 4 * 144 / 1.25)
    assert use["force N"] == pytest.approx(21.0e3 / 2, rel=4e-3)
    assert rows(document, "patterns")[0]["fastener"] == "rivet 12"


def test_bolts_change_nothing_in_the_frame(plans, tmp_path, capsys):
    """The same numbers with and without them, to 1e-9."""
    def checked(more):
        run(["check", str(plans.frame(tmp_path, more=more)), "--json"])
        return json.loads(capsys.readouterr().out)

    plain, bolted = checked(""), checked(CROSS)
    assert bolted["utilisations"]["rows"] == [
        [v if not isinstance(v, float) else pytest.approx(v, rel=1e-9) for v in row]
        for row in plain["utilisations"]["rows"]
    ]


def test_a_plan_that_bolts_a_part_answers_to_rules_of_place(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    text = CROSS.replace("spacing = 40", "spacing = 22").replace("rise = 50", "rise = 90")
    file = plans.plan(tmp_path, "[repair]\n" + text)
    run(["repair", str(file), "--json"])
    document = json.loads(capsys.readouterr().out)
    found = {(r["piece"], r["rule"]): r for r in rows(document, "rules")}
    assert found["cross left", "pitch"]["limit"] == pytest.approx(2.2 * 11)
    assert found["cross left", "pitch"]["found"] == pytest.approx(22)
    assert found["cross left", "metal between holes"]["found"] == pytest.approx(11)
    # 150 mm deep, 2 mm thick: 75 - 45 - 2 - 5.5
    flange = found["cross right", "metal between hole and inside of flange"]
    assert (flange["found"], flange["limit"]) == (pytest.approx(22.5), 38)
    assert all(u[2] == pytest.approx(u[3], rel=1e-9) for u in document["cases"]["rows"])
    told = json.loads(_out(capsys, ["bolts", str(file), "--json"]))
    assert [r["name"] for r in rows(told, "patterns")] == ["cross left", "cross right"]


def _out(capsys, args):
    run(args)
    return capsys.readouterr().out


def test_one_bolt_or_a_row_holds_no_moment_about_itself(plans, tmp_path, capsys):
    """A row along the rail holds nothing about its own line, where the bar's weight bends: told, not reckoned."""
    row = FOUR.replace("rows = 2\n", "").replace("rise = 150\n", "")
    load = LOAD.replace('{ at = "low", x = "-0.8 kN" }', '{ at = "low", z = "-1 kN" }')
    status = run(["bolts", str(plans.frame(tmp_path, DEEP, BAR + load + row))])
    page = " ".join(capsys.readouterr().out.split())
    assert status == EXCEEDED
    assert "Forces are NOT known: its 2 fasteners hold no moment for bending out of it" in page
    assert "NOT known for four" in page


def test_the_page(plans, tmp_path, capsys):
    base = plans.frame(tmp_path, DEEP, BAR + LOAD + FOUR + CROSS)
    page = _out(capsys, ["bolts", str(base)])
    assert max(len(line) for line in page.splitlines() if str(tmp_path) not in line) <= 100
    words = " ".join(page.split())
    for told in ("4 x M16 8.8 in holes of 16 mm: outrigger bar on the left rail", "Most shear in one 20.97 kN",
                 "value from memory, text not seen", "prying", "no certificate",
                 "not kept: metal between hole and inside"):  # fmt: skip
        assert told in words, told
    for verdict in (" safe", "roadworthy", " passes", " legal "):
        assert verdict not in page
    assert "describes no bolts or rivets: add a [[bolts]]" in " ".join(
        _out(capsys, ["bolts", str(plans.frame(tmp_path))]).split()
    )


FAULTY = """
[[bolts]]
name = "one"
member = "secnd"
diameter = 10
[[bolts]]
name = "two"
member = "bar"
end = "left"
diameter = 11
columns = 2
spacing = 40
places = [{ station = 2000, height = 0 }]
[[bolts]]
name = "three"
member = "third"
fastener = "rivets"
grade = "8.8"
diameter = 12
columns = 2.5
rows = 2
edge = 20
[[bolts]]
name = "four"
member = "second"
diameter = 16
hole = 15
columns = 2
rows = 2
spacing = 14
rise = 140
[[bolts]]
name = "four"
member = "second"
end = "left"
diameter = 8
grade = "8.9"
places = [{ station = 5000, height = 0 }]
"""


def test_all_faults_at_once(plans, tmp_path, capsys):
    assert run(["bolts", str(plans.frame(tmp_path, more=BAR + FAULTY))]) == UNUSABLE
    told = capsys.readouterr().err
    for words in (
        'bolt group "one", member: no crossmember or outrigger has this name (got "secnd"). Did you mean "second"?',
        'bolt group "two", end: has no meaning for an outrigger',
        'bolt group "two", columns: is given beside places',
        'bolt group "two", diameter: has no coarse pitch that is known',
        'bolt group "three", grade: has no meaning for rivets',
        'bolt group "three", columns: must be a whole number',
        'bolt group "three", rise: is missing: there are 2 rows',
        'bolt group "three", edge: has no meaning without plate',
        "hole: is less than the diameter, 16 mm",
        "has a hole of 15 mm at height -70 mm, off the upright wall of the left rail, which reaches from -75 to 75 mm",
        "has holes of 15 mm that run into each other: 14 mm",
        'grade: must be "4.6", "4.8", "5.6", "5.8", "6.8", "8.8" or "10.9" (got "8.9"). Did you mean "8.8"?',
        "has a hole at 5000 mm, off the left rail",
        'hold the joint of second on the left rail, as "four left" does',
        "name: is already the name of bolt group 4",
    ):
        assert words in told, words


def test_an_overlay_changes_and_removes_them(plans, tmp_path, capsys):
    plans.frame(tmp_path, more=CROSS)
    run(["bolts", str(plans.plan(tmp_path, '[[bolts]]\nname = "cross"\ndiameter = 12\n')), "--json"])
    document = json.loads(capsys.readouterr().out)
    assert {r["fastener"] for r in rows(document, "patterns")} == {"M12 8.8"}
    assert {r["hole mm"] for r in rows(document, "patterns")} == {13}
    run(["bolts", str(plans.plan(tmp_path, '[[remove]]\nbolt_group = "cross"\n')), "--json"])
    assert not rows(json.loads(capsys.readouterr().out), "patterns")
    assert run(["bolts", str(plans.plan(tmp_path, '[[remove]]\ncrossmember = "second"\n'))]) == UNUSABLE
    assert 'is still named by bolt group "cross", member' in capsys.readouterr().err


def test_sizes_and_grades_are_those_of_the_formulas():
    assert tuple(BOLT_CLASSES) == GRADES
    assert tuple(COARSE_PITCH) == COARSE
