"""Butt joints of a plan: both ways in which an angled cut may lean, and pieces whose walls bear other names later."""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.advice.repair_details import details
from ladderfe.advice.repair_fatigue import repair_fatigue
from ladderfe.advice.weld_sizes import weld_sizes
from ladderfe.checks.repair import check_repair
from ladderfe.checks.stress import stresses
from ladderfe.checks.wall_groups import GROUPS, wall_groups
from ladderfe.checks.weld_butts import rows_at
from ladderfe.checks.weld_demands import weld_demands
from ladderfe.connections import weld_steel

#: Flanges unlike each other, so that the two ways of an angled cut do not give the same.
UNEQUAL = '{ shape = "channel", opens = "inward", depth = 150, width = 65, top = 3, bottom = 8, web = 4, radius = 0 }'
SPLICE = '[[splices]]\nrail = "{side}"\nstation = {x}\ncut = "angled"\nangle = {angle}\nmade = "both sides"\n'


@pytest.mark.parametrize(("side", "x", "angle"), [("left", 1000, 30), ("left", 2500, 30), ("right", 1600, 45)])
def test_an_angled_cut_may_lean_either_way(plans, tmp_path, side, x, angle):
    """The web's use is the greater of the two leans', by stresses turned by the angle (Mohr) and 0.9 fu/gamma_M2 or
    fu/(beta_w gamma_M2), S235: EN 1993-1-8 4.5.3.2, from memory."""
    plans.frame(tmp_path, UNEQUAL)
    d = weld_demands(plans.planned(tmp_path, SPLICE.format(side=side, x=x, angle=angle)))
    s = stresses(d.findings.solution, rows_at(d.findings.solution, side, x))
    group = wall_groups(d.findings.solution.mesh, s.table).point
    flat = [(r, p) for r, k in enumerate(s.section.tolist()) for p in range(len(s.table.walls[k]))
            if GROUPS[group[k, p]] == "webs"]  # fmt: skip
    a, uses = np.deg2rad(angle), []
    for r, p in flat:
        for lean in (a, -a):
            n, t = s.normal[r, p, 1:], s.shear[r, p, 1:]
            across = n * np.sin(lean) ** 2 - t * np.sin(2 * lean)
            along = n * np.sin(2 * lean) / 2 - t * np.cos(2 * lean)
            both = np.sqrt(across**2 + 3 * along**2) * 0.8 * 1.25 / 360, np.abs(across) * 1.25 / (0.9 * 360)
            uses.append(float(np.maximum(*both).max()))
    told = {b.group: b.full for b in weld_sizes(d, weld_steel("S235")).butts}
    assert told["webs"] == pytest.approx(max(uses), rel=1e-9)


BOXED = '''[repair]
support = "static"
[[inserts]]
rail = "left"
wall = "web"
from = 1500
to = 1900
[[plates]]
kind = "boxing"
rail = "left"
from = 1400
to = 2000
thickness = 3
'''  # fmt: skip


def test_a_piece_let_in_under_boxing_is_found(plans, tmp_path):
    """Boxed, the web of a channel is the outer wall of the box: its butt welds are judged and its metal is new.  By
    hand: at a piece's end the weld takes the stress of that wall's points, less that of the case it is welded in."""
    plans.frame(tmp_path, plans.CHANNEL)
    states = plans.planned(tmp_path, BOXED)
    found = check_repair(states)
    d = weld_demands(states)
    assert [set(b.walls) for b in d.butts] == [{"outer"}] * 3
    s = stresses(d.findings.solution, rows_at(d.findings.solution, "left", 1500))
    k = [c.name for c in d.findings.solution.cases].index("static")
    own = [s.normal[r, p] - s.normal[r, p, k] for r, j in enumerate(s.section.tolist())
           for p, w in enumerate(s.table.walls[j]) if w == "outer"]  # fmt: skip
    assert np.abs(d.butts[0].stress.across).max() == pytest.approx(np.abs(own).max(), rel=1e-9)
    assert np.abs(own).max() > 1
    # welded under load new metal feels only what comes after; old metal keeps what it carried
    piece = found.staged.pieces[0]
    assert piece.new_stated is not None
    assert piece.old_unloaded is not None
    assert piece.old_unloaded.wall != "outer"
    # without its web the channel stands as nothing that could be solved, so what its flanges keep is not known
    assert piece.old_stated is None
    assert found.staged.why


def test_fatigue_of_a_boxed_channel_goes_by_its_own_walls(plans, tmp_path):
    """Ranges at the piece's ends are those of the web, now the outer wall; a web that was read thin is pitted under its
    new name too."""
    plans.frame(tmp_path, plans.CHANNEL, plans.TWIST)
    states = plans.planned(tmp_path, BOXED, readings="left,1950,web,2.4,,\nleft,1700,web,4,,\nleft,2100,web,4,,\n")
    found = check_repair(states)
    f = repair_fatigue(found)
    at, now = f.details[0], f.same[2]
    assert at.walls == ("web",)
    s = stresses(found.repaired.solution, rows_at(found.repaired.solution, "left", at.station))
    spans = f.cycles.ranges(s.normal)
    own = [spans[:, r, p] for r, j in enumerate(s.section.tolist())
           for p, w in enumerate(s.table.walls[j]) if w == "outer"]  # fmt: skip
    hurt = [float((f.cycles.shares * v**3).sum()) for v in own]
    assert float((f.cycles.shares * now.ranges[:, 0] ** 3).sum()) == pytest.approx(max(hurt), rel=1e-9)
    assert any("outer" in name for name in f.to_built.pitted)


PIECE = '[[inserts]]\nrail = "left"\nwall = {}\nfrom = {}\nto = {}\nmade = "{}"\n'


def test_two_pieces_that_meet_in_one_cut_have_one_butt(plans, tmp_path):
    """A bottom wall let in up to 1800 mm, bottom and inner wall from there on: the first has the bottom's butt, the
    second that of the inner wall alone, made as the worse of the two; metres, forces and fatigue alike."""
    plans.frame(tmp_path)
    text = PIECE.format('"bottom"', 1500, 1800, "both sides")
    text += PIECE.format('["bottom", "inner"]', 1800, 2000, "one side")
    states = plans.planned(tmp_path, text)
    there = [b for b in weld_demands(states).butts if b.where == "across at 1800 mm"]
    assert [(b.piece, b.made, set(b.walls)) for b in there] == [
        ("insert, left rail, bottom, 1500 to 1800 mm", "one side", {"bottom"}),
        ("insert, left rail, bottom and inner, 1800 to 2000 mm", "one side", {"inner"}),
    ]
    own = [(d.walls, d.category.name) for d in details(states) if d.station == 1800]
    assert own == [(("bottom",), "butt, one side"), (("inner",), "butt, one side")]
    again = PIECE.format('"bottom"', 1500, 1800, "both sides") + PIECE.format('"bottom"', 1800, 2000, "both sides")
    states = plans.planned(tmp_path, again)
    there = [b for b in weld_demands(states).butts if b.where == "across at 1800 mm"]
    assert [(b.piece, b.made) for b in there] == [("insert, left rail, bottom, 1500 to 1800 mm", "both sides")]
    assert len([d for d in details(states) if d.station == 1800]) == 1
