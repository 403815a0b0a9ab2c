"""Holes that a plan leaves open under spring hangers, seats and joints: told at the command line, on the page and where
the weld of a bracket is reckoned."""

from __future__ import annotations

import pytest

from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.weld_demands import weld_demands
from ladderfe.cli.main import EXCEEDED, run
from ladderfe.condition import Hole
from ladderfe.condition.left_open import left_open, let_in_found, open_parts
from ladderfe.condition.plan_types import Insert, Plan, PlanPlate

#: The rear spring of the test frame has one seat at 3318 mm, a crossmember meets its rails at 1400 mm.
SEAT, RUNG = "rear spring seat", "crossmember second"
HANGER = '[[hangers]]\nname = "new"\naxle = "rear"\nrail = "left"\non = "{}"\nlength = 80\ndepth = 60\nthickness = 5\n'
NOTHING = '[[inserts]]\nrail = "left"\nwall = "top"\nfrom = 2000\nto = 2300\n'
INSERT = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = {}\nto = {}\n'
HOLE = "left,{},bottom,hole,{},10\n"


def there(plans, folder, text, readings):
    plans.frame(folder)
    return [(o.hole.reach, [n for n, _ in o.there]) for o in left_open(plans.planned(folder, text, readings=readings))]


@pytest.mark.parametrize(("text", "hole", "wanted"), [
    (NOTHING, (3290, 3340), [((3280, 3350), [SEAT])]),
    (NOTHING, (1380, 1420), [((1370, 1430), [RUNG])]),
    (NOTHING, (2000, 2100), []),  # nothing is there
    (INSERT.format(3200, 3400), (3290, 3340), []),
    (INSERT.format(3100, 3310), (3290, 3340), [((3310, 3350), [SEAT])]),  # half of it
    (INSERT.format(3320, 3500), (3290, 3340), [((3280, 3320), [SEAT])]),
    (INSERT.format(3330, 3500), (3340, 3400), []),
    (HANGER.format("bottom"), (3340, 3400), [((3330, 3410), ["hanger new"])]),  # under its rear half
    (HANGER.format("outer"), (3290, 3340), []),  # what is on the outer wall does not hang on the bottom
    (HANGER.format("bottom") + INSERT.format(3200, 3500), (3290, 3340), []),
])  # fmt: skip
def test_what_hangs_on_a_hole(plans, tmp_path, text, hole, wanted):
    assert there(plans, tmp_path, text, HOLE.format(*hole)) == wanted


def test_parts_of_a_hole_that_are_left():
    """From rim to rim less what is let in and lapped over; a plate of no thickness closes nothing."""
    hole = Hole(side="left", wall="top", start=110, end=290, rim=10)
    a = Insert(side="left", start=50, end=150, walls=("top", "outer"))
    b = PlanPlate(side="left", start=200, end=250, kind="flange", wall="top", thickness=3)
    none = PlanPlate(side="left", start=250, end=400, kind="flange", wall="top", thickness=0)
    other = Insert(side="right", start=50, end=350, walls=("top",))
    plan = Plan(source="", title="", base="", inserts=(other, a), plates=(none, b))
    assert [h.reach for h in open_parts(plan, hole)] == [(150, 200), (250, 300)]


def test_it_is_told_on_stderr_with_the_row_and_on_the_page(plans, tmp_path, capsys):
    plans.frame(tmp_path)
    path = plans.plan(tmp_path, NOTHING, readings=HOLE.format(3290, 3340))
    run(["repair", str(path)])
    out, err = capsys.readouterr()
    warned = next(line for line in err.splitlines() if "warning" in line)
    assert warned == (
        f"{tmp_path / 'plan.csv'}:2: warning: the hole in the bottom wall of the left rail, 3280 to 3350 mm with its "
        "rims, STAYS OPEN under rear spring seat at 3318 mm: the plan lets nothing in there."
    )
    page = " ".join(out.split())
    assert "HOLES that stay open under hangers or joints: 1, under rear spring seat." in page
    assert "STAYS OPEN under rear spring seat at 3318 mm. The frame counts as held there all the same" in page
    run(["repair", str(plans.plan(tmp_path, INSERT.format(3200, 3400), readings=HOLE.format(3290, 3340)))])
    out, err = capsys.readouterr()
    assert "warning" not in err
    assert "STAYS OPEN" not in out


def test_a_bracket_on_a_wall_that_is_gone_has_no_weld(plans, tmp_path, capsys):
    """It is not sized on whatever wall is next; where the hole is closed it is sized on its own."""
    plans.frame(tmp_path)
    text, hole = HANGER.format("bottom"), HOLE.format(3290, 3340)
    (h,) = weld_demands(plans.planned(tmp_path, text, readings=hole)).hangers
    assert (h.wall, h.thickness) == ("bottom", 0)
    assert "a hole took away the wall" in h.why
    path = plans.plan(tmp_path, text, readings=hole)
    assert run(["weld", str(path)]) == EXCEEDED
    out, err = capsys.readouterr()
    assert "STAYS OPEN under hanger new" in err
    page = " ".join(out.split())
    assert "Spring hangers on a wall that a hole took away, with no weld to reckon: new." in page
    assert "new on the bottom wall, left rail at 3318 mm: a hole took away the wall that it is on" in page
    (h,) = weld_demands(plans.planned(tmp_path, text + INSERT.format(3200, 3450), readings=hole)).hangers
    assert (h.wall, h.thickness, h.why) == ("bottom", 2, "")


def test_a_bracket_of_a_chassis_as_found_too(plans, tmp_path, capsys):
    plans.frame(tmp_path, more=HANGER.format("bottom"))
    (tmp_path / "read.csv").write_text(plans.HEAD + HOLE.format(3290, 3340))
    assert run(["weld", str(tmp_path / "frame.toml"), "--readings", str(tmp_path / "read.csv")]) == EXCEEDED
    assert "no weld to reckon: new" in " ".join(capsys.readouterr().out.split())


def test_remarks_begin_with_it(plans, tmp_path):
    plans.frame(tmp_path)
    first, *_ = remarks(plans.planned(tmp_path, NOTHING, readings=HOLE.format(1380, 1420)))
    assert first.startswith("The hole in the bottom wall of the left rail, 1370 to 1430 mm with its rims, STAYS OPEN")


PIECE = '[[inserts]]\nrail = "left"\nwall = ["bottom", "outer"]\nfrom = 1900\nto = 2200\nthickness = 2.5\n'
ROWS = HOLE.format(2000, 2080) + "left,2150,outer,1.0,,\nleft,1950,outer,suspect,,\nleft,1600,bottom,1.1,,\n"


def test_what_was_read_less_what_is_let_in(plans, tmp_path):
    plans.frame(tmp_path)
    states = plans.planned(tmp_path, PIECE, readings=ROWS)
    found = let_in_found(states)
    assert (found.holes, found.suspects) == ((), ())
    inside = [s for s in found.stretches_of("left") if s.start >= 1900 and s.end <= 2200]
    new = [w for s in inside for w in s.walls if w.wall in ("bottom", "outer")]
    assert {(w.nominal, w.mean, w.least, w.basis) for w in new} == {(2.5, 2.5, 2.5, "read")}
    before = {(s.side, s.start): s for s in states.found.stretches}
    others = [s for s in found.stretches if s not in inside]
    assert others == [before[s.side, s.start] for s in others]
    half = plans.planned(tmp_path, PIECE.replace("2200", "2050"), readings=ROWS)
    assert [h.reach for h in let_in_found(half).holes] == [(2050, 2090)]
    lapped = '[[plates]]\nkind = "doubler"\nrail = "left"\nwall = "bottom"\nfrom = 1900\nto = 2200\nthickness = 2\n'
    assert let_in_found(plans.planned(tmp_path, lapped, readings=ROWS)).holes == states.found.holes


def test_the_price_of_a_splice_knows_new_metal(plans, tmp_path, capsys):
    """A cut through what is let in over the hole: no hole is near, nothing is pitted; without the piece both are.
    Thin walls beyond its ends still leave plates little room: bottom up to 1850 mm, outer from 2200 mm on."""
    plans.frame(tmp_path)
    cut = '[[splices]]\nrail = "left"\nstation = 2060\ncut = "square"\n'

    def price(text):
        run(["repair", str(plans.plan(tmp_path, text, readings=ROWS))])
        return " ".join(capsys.readouterr().out.partition("The price of left 2060 mm")[2].split())

    new, old = price(PIECE + cut), price(cut)
    assert "distance to hole in the bottom wall with its rim is 0 mm" in old
    assert "no fatigue category" in old
    assert "hole" not in new.partition("The right rail's joint")[0]
    assert "no fatigue category" not in new
    broken = new.partition("What is not kept there, ")[2].partition("The right rail's joint")[0]
    front = "2: - room for plates on the front side, up to bottom wall with 55 % left by mean, is 210 mm"
    assert broken.startswith(front)
    assert "room for plates on the rear side, up to outer wall with 50 % left by mean, is 140 mm" in broken
