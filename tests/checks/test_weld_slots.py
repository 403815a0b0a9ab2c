"""Slots of sleeves: a hand formula of two boxes that bend as one, statics of the sleeve, both rails alike, metres."""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from ladderfe.advice.weld_sizes import weld_sizes
from ladderfe.checks.repair_answers import answers
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.repair_welds import metres_by_kind, weld_runs
from ladderfe.checks.weld_butts import rows_at
from ladderfe.checks.weld_demands import weld_demands
from ladderfe.checks.weld_slots import about_line, wall_wrench
from ladderfe.condition.catalogue import plan_of, read_catalogue
from ladderfe.condition.repaired import repaired
from ladderfe.connections import slot_forces, weld_steel
from ladderfe.report.weld_data import weld_json
from ladderfe.report.weld_slots_words import slot_advice
from ladderfe.report.weld_text import weld_text
from ladderfe.sections import Box, Channel, properties

SLEEVE = '[[plates]]\nkind = "sleeve"\nrail = "{rail}"\nfrom = {a}\nto = {b}\nthickness = {t}\n{more}\n'
CUT = '[[splices]]\nrail = "{}"\nstation = {}\ncut = "square"\nmade = "both sides"\n'
UNLOADED = '[repair]\nsupport = "unloaded"\n'
TURN = '[[cases]]\nname = "turn"\nkind = "cornering"\nside = "left"\nacceleration = 0.4\n'
#: Depth, width and wall of the test frame's rails, and the sleeve's wall, mm.
H, W, WALL, T = 150.0, 75.0, 2.0, 3.0


def sleeve(rail="left", a=1850, b=2150, t=T, more=""):
    return SLEEVE.format(rail=rail, a=a, b=b, t=t, more=more)


def demands(plans, folder, text, more=""):
    plans.frame(folder, "", more)
    return weld_demands(plans.planned(folder, text))


def ring(h, b, t):
    """I of a box by rectangles, mm4."""
    return (b * h**3 - (b - 2 * t) * (h - 2 * t) ** 3) / 12


def test_slots_in_top_and_bottom_by_hand(plans, tmp_path):
    """The sleeve's share of the bending moment at the joint is I over I of both boxes by rectangles; slots in top and
    bottom hold it as a couple over the lever of their walls, two slots each: the moment is the test frame's own.

    4 % covers mid-lines against rectangles and corners of walls 2 and 3 mm thick."""
    text = UNLOADED + CUT.format("left", 2000) + sleeve(more='slots = { wall = ["top", "bottom"] }')
    d = demands(plans, tmp_path, text)
    solution = d.findings.solution
    rows = rows_at(solution, "left", 2000)
    case = [c.name for c in solution.cases].index("amplified")
    moment = abs(rows.resultants[0, 4, case])
    inner = ring(H - 2 * WALL, W - 2 * WALL, T)
    share = moment * inner / (inner + ring(H, W, WALL))
    lever = H - 2 * WALL - T
    assert [(s.wall, s.end, len(s.stations)) for s in d.slots] == [
        ("top", "front", 2), ("bottom", "front", 2), ("top", "rear", 2), ("bottom", "rear", 2)]  # fmt: skip
    for s in d.slots:
        assert (s.joint, s.joined, s.case) == (2000, True, "amplified")
        assert s.force == pytest.approx(share / lever / 2, rel=0.04)
        assert s.alone == pytest.approx(moment / lever / 2, rel=1e-3)  # of the rail's own moment nothing is shared
        assert s.left == ("shear upright",)


def test_stations_of_slots_by_hand(plans, tmp_path):
    """Slots of 30 mm every 60 mm, one width of 10 mm or more off the ends and the joint: of 150 mm two fit, in the
    middle."""
    d = demands(plans, tmp_path, CUT.format("left", 2000) + sleeve())
    assert d.slots[0].slots.assumed == ("width", "length", "pitch")
    assert {(s.end, s.stations) for s in d.slots} == {("front", (1895, 1955)), ("rear", (2045, 2105))}


def test_what_of_the_rail_a_sleeve_has_by_hand(plans, tmp_path):
    """By rectangles: pull by areas, bending by I, shear by the upright walls; torque by Bredt's J of two tubes that
    turn together.  Mid-lines against true corners: 1 % of areas, 4 % of I; of torque 10 %, for here the sleeve's plates
    are joined to the rail's walls along their edges, and flow goes from one to the other there."""
    d = demands(plans, tmp_path, CUT.format("left", 2000) + sleeve())
    mesh = d.findings.solution.mesh
    k = int(mesh.section_of[rows_at(d.findings.solution, "left", 2000).member[0]])
    found = sum(wall_wrench(mesh, k, f"{w} plate inside") for w in ("top", "bottom", "outer", "inner"))
    boxes = ((H, W, WALL), (H - 2 * WALL, W - 2 * WALL, T))

    def share(of):
        first, second = (of(*box) for box in boxes)
        return second / (first + second)

    assert found[0, 0] == pytest.approx(share(lambda h, b, t: 2 * t * (h + b - 2 * t)), rel=0.01)
    assert found[4, 4] == pytest.approx(share(ring), rel=0.04)
    assert found[5, 5] == pytest.approx(share(lambda h, b, t: ring(b, h, t)), rel=0.04)
    assert found[2, 2] == pytest.approx(share(lambda h, b, t: t * h), rel=0.03)
    assert found[3, 3] == pytest.approx(
        share(lambda h, b, t: 2 * ((h - t) * (b - t)) ** 2 * t / (h + b - 2 * t)), rel=0.1)  # fmt: skip
    off = found[:, :6] - np.diag(np.diag(found))
    assert np.abs(off).max() < 1e-9  # of a section with two axes of symmetry


def test_resultants_about_the_reference_line():
    """A pull acts in the centroid and shear in the shear centre: of a channel open to +y with a thick bottom flange
    the levers are those of its properties, with the signs of My = int s z dA and Mz = -int s y dA; of a box with walls
    of 2 mm and a bottom of 4 mm by areas: (2 x 74 - 4 x 73)/A x 75, in the middle of the sides."""
    box = Box(depth=150.0, width=75.0, top=2.0, bottom=4.0, minus=2.0, plus=2.0)
    middle = (75 * 2 * 74 - 75 * 4 * 73 + 2 * 2 * 144 * 1) / (75 * 6 + 4 * 144)
    assert about_line(box.section())[4, 0] == pytest.approx(middle, rel=0.01)
    channel = Channel(depth=150.0, width=65.0, top=3.0, bottom=6.0, web=4.0, opens="+y").section()
    q, found = properties(channel), about_line(channel)
    y, z = 40.0, -70.0  # a pull at a point is that pull in the centroid with its moments about the centroid
    pull = found @ [1.0, 0, 0, 0, z - q.zc, -(y - q.yc), 0, 0]
    assert pull == pytest.approx([1, 0, 0, 0, z, -y])
    up = found @ [0, 0, 1.0, y - q.ys, 0, 0, 0, 0]  # and a force up there turns by its lever
    assert up == pytest.approx([0, 0, 1, y, 0, 0])
    side = found @ [0, 1.0, 0, -(z - q.zs), 0, 0, 0, 0]
    assert side == pytest.approx([0, 1, 0, -z, 0, 0])


def test_both_rails_alike(plans, tmp_path):
    """A frame that is its own mirror image, and cases that are: what holds on the left holds on the right."""
    d = demands(plans, tmp_path, UNLOADED + CUT.format("both", 2000) + sleeve(rail="both"), plans.TWIST)
    sides = [[s for s in d.slots if s.plate.side == side] for side in ("left", "right")]
    names = {c.name for c in d.findings.solution.cases} - {"twist"}
    assert len(sides[0]) == len(sides[1]) == 8
    right = {(s.wall, s.end): s for s in sides[1]}
    told = [s for s in sides[0] if s.case in names]
    assert len(told) >= 4
    for s in told:
        other = right[s.wall, s.end]
        assert other.case == s.case
        assert other.force == pytest.approx(s.force, rel=1e-6)


def test_a_sleeve_put_in_under_load_feels_what_comes_after(plans, tmp_path):
    text = CUT.format("left", 2000) + sleeve(more='slots = { wall = ["top", "bottom"] }')
    whole = demands(plans, tmp_path, UNLOADED + text).slots[0]
    after = demands(plans, tmp_path, '[repair]\nsupport = "static"\n' + text).slots[0]
    assert after.case == whole.case == "amplified"
    solution = demands(plans, tmp_path, UNLOADED + text).findings.solution
    names = [c.name for c in solution.cases]
    moment = rows_at(solution, "left", 2000).resultants[0, 4]
    static, most = (abs(moment[names.index(n)]) for n in ("static", "amplified"))
    assert after.force == pytest.approx(whole.force * (1 - static / most), rel=1e-3)


def test_metres_once_round_every_slot(plans, tmp_path):
    """Slots of 40 x 12 mm: 56 + 12 pi mm each; 300 mm beside each side of the joint less 12 mm at both ends take
    (276 - 40)/80 + 1 = 3 slots, in two walls on two sides 12; filled or not is the same run."""
    plans.frame(tmp_path)
    more = 'slots = {{ length = 40, width = 12, pitch = 80, wall = ["inner", "outer"], filled = {} }}'
    for filled in ("true", "false"):
        text = CUT.format("left", 2000) + sleeve(a=1700, b=2300, more=more.format(filled))
        metres = metres_by_kind(weld_runs(plans.planned(tmp_path, text)))
        assert metres["slot"] == pytest.approx(12 * (56 + 12 * pi) / 1000)
        assert metres["seam"] == metres["end"] == 0


def test_a_catalogue_counts_the_slots_of_sleeves(plans, tmp_path):
    """Sleeves from 1800 to 2200 mm with slots of 30 x 10 mm every 60 mm: (380 - 30)/60 + 1 = 6 in each of four
    walls."""
    plans.frame(tmp_path)
    text = ('[[choices]]\nkind = "sleeve"\nrail = "left"\nthickness = [2]\nfrom = [1800]\nto = [2200]\n'
            "always = true\n")  # fmt: skip
    catalogue = read_catalogue(plans.plan(tmp_path, text, name="catalogue"))
    ((option,),) = (c.options for c in catalogue.choices)
    runs = weld_runs(repaired(plan_of(catalogue, (option,))))
    assert metres_by_kind(runs)["slot"] == pytest.approx(4 * 6 * (40 + 10 * pi) / 1000)


def test_what_a_slot_carries_by_hand(plans, tmp_path):
    """A slot of 24 x 10 mm in a wall of 2 mm by hand: filled (140 + 25 pi) 360/(sqrt3 0.8 1.25), by the wall's edge
    (28 + 10 pi) 2 x 235/sqrt3, which is less.  (The frame's steel has no yield stress: that of S235 is taken.)"""
    d = demands(plans, tmp_path, UNLOADED + CUT.format("left", 2000) + sleeve(
        more="slots = { length = 24, width = 10, pitch = 48 }"))  # fmt: skip
    w = weld_sizes(d, weld_steel("S235"))
    s = w.slots[0]
    assert s.weld == pytest.approx((140 + 25 * pi) * 360 / sqrt(3))
    assert s.each == s.wall == pytest.approx((28 + 10 * pi) * 2 * 235 / sqrt(3))
    assert s.use == pytest.approx(s.demand.force / s.each)
    page = " ".join(weld_text(w, "file").split())
    assert "slots of 24 x 10 mm every 48 mm, each filled, 219 mm2; joint at 2000 mm." in page
    assert "ASSUMED, as the plan does not state it" not in page
    assert "Were the butt weld not to count, the slots would hold all that the rail carries" in page
    assert not w.exceeded


def test_too_few_slots_are_over_and_told(plans, tmp_path):
    """Round holes of 5 mm with a fillet of throat 1 mm carry (5 pi - pi/sqrt2) 360/sqrt3 = 2.8 kN; a sleeve that ends
    30 mm behind the joint has no room for a slot there."""
    weak = "weld = { throat = 1 }\nslots = { length = 5, width = 5, pitch = 150, filled = false }"
    text = UNLOADED + CUT.format("left", 2000) + sleeve(more=weak)
    w = weld_sizes(demands(plans, tmp_path, text), weld_steel("S235"))
    most = max(w.slots, key=lambda s: s.use)
    assert most.weld == pytest.approx((5 * pi - pi / sqrt(2)) * 360 / sqrt(3))
    assert most.use == pytest.approx(most.demand.force / most.weld)
    assert most.use > 1
    assert w.exceeded
    page = " ".join(weld_text(w, "file").split())
    assert "TOO FEW in the" in page
    assert "a fillet of throat 1.00 mm round the edge of each, 16 mm" in page
    assert "the butt weld MUST HOLD, or make the sleeve about" in page
    short = demands(plans, tmp_path, CUT.format("left", 2000) + sleeve(b=2030))
    w = weld_sizes(short, weld_steel("S235"))
    assert w.exceeded
    page = " ".join(weld_text(w, "file").split())
    assert "No slot fits in rear of the joint: make the sleeve at least 50 mm long on that side." in page
    assert "none holds TOO FEW" in page
    assert '"slot welds"' in weld_json(w, "file")


def test_slots_in_one_wall_do_not_hold_bending(plans, tmp_path):
    """Force nil in bending alone, and yet not enough: over, and told."""
    text = UNLOADED + CUT.format("left", 2000) + sleeve(more='slots = { wall = "top" }')
    w = weld_sizes(demands(plans, tmp_path, text), weld_steel("S235"))
    assert w.slots[0].loose == ("torque", "bending upright")
    assert not w.slots[0].enough
    assert w.exceeded
    page = " ".join(weld_text(w, "file").split())
    assert "NOT HELD, front of the joint: slots where these are do not hold torque and bending upright of the" in page
    assert "Shear upright, square to all walls that have slots, goes by contact" in page
    assert "Walls of sleeves whose slots on a side of the joint do not hold what they must: 2." in page


def test_what_slots_take_off_the_wall_is_told(plans, tmp_path):
    """10 of 73 mm, 14 %; of the wall 73 x 2 there stay 63 x 2 and (73 - 2 - 6) x 3 of the sleeve: 2.20; 73/63 is
    1.16."""
    plans.frame(tmp_path)
    states = plans.planned(tmp_path, CUT.format("left", 2000) + sleeve())
    told = " ".join(remarks(states))
    assert "slots of 30 x 10 mm every 60 mm in all walls, filled, hold it" in told
    assert "width, length and pitch ASSUMED (common practice, no source)." in told
    for words in ("takes 10 of the 73 mm of the bottom wall, 14 %", "(2.20 of the wall as built is there)",
                  "up to 1.16 times what is told"):  # fmt: skip
        assert words in told, words
    more = "slots = { length = 30, width = 8, pitch = 50 }"
    found = answers(plans.planned(tmp_path, CUT.format("left", 2000) + sleeve(more=more)))
    assert [(a.rule.name, a.found, a.kept) for a in found if "slots" in a.rule.name] == [
        ("width of the slots", 8, False), ("distance of slots from middle to middle", 50, False)]  # fmt: skip


def test_without_a_joint_its_middle_stands_for_one(plans, tmp_path):
    d = demands(plans, tmp_path, UNLOADED + sleeve(a=2600, b=3100))
    assert {(s.end, s.joint, s.joined) for s in d.slots} == {("front", 2850, False), ("rear", 2850, False)}
    page = " ".join(weld_text(weld_sizes(d, weld_steel("S235")), "file").split())
    assert "no joint of the plan under it: its middle, 2850 mm" in page
    assert "Were the butt weld" not in page
    assert min(s.force for s in d.slots if s.wall in ("top", "bottom")) > 100


def test_slots_between_two_joints_are_sized(plans, tmp_path):
    """Cuts at 1950 and 2100 under a sleeve of 500 mm: two slots a wall fit into the 150 mm between them."""
    text = UNLOADED + CUT.format("left", 1950) + CUT.format("left", 2100) + sleeve(a=1750, b=2250)
    d = demands(plans, tmp_path, text)
    ends = [("front", 1950, 1950), ("between", 1950, 2100), ("rear", 2100, 2100)]
    assert [(s.end, s.joint, s.until) for s in d.slots] == [e for e in ends for _ in range(4)]
    assert [len(s.stations) for s in d.slots if s.end == "between"] == [2] * 4
    page = " ".join(weld_text(weld_sizes(d, weld_steel("S235")), "file").split())
    assert "joints from 1950 to 2100 mm." in page
    each = 2 * (30 - 10) + pi * 10
    slots = sum(len(s.stations) for s in d.slots)
    assert metres_by_kind(weld_runs(plans.planned(tmp_path, text)))["slot"] == pytest.approx(slots * each / 1000)


def test_slots_between_two_joints_by_statics(plans, tmp_path):
    """The sleeve between its two cuts as a free body: what it has at the second joint less what it has at the first, by
    r x F about one point and wall by wall, on the elastic group; the last row of one joint, the first of the other."""
    text = UNLOADED + CUT.format("left", 1950) + CUT.format("left", 2100) + sleeve(a=1750, b=2250)
    d = demands(plans, tmp_path, text, more=TURN)
    solution = d.findings.solution
    mesh = solution.mesh
    got = [s for s in d.slots if s.end == "between"]
    ends = []
    for x in (1950.0, 2100.0):
        r = rows_at(solution, "left", x)
        k = int(mesh.section_of[r.member[0]])
        share = sum(wall_wrench(mesh, k, f"{w} plate inside") for w in ("top", "bottom", "outer", "inner"))
        whole = about_line(mesh.sections[k])
        ends.append([[(b @ r.resultants[0, :8]).T for b in (share, whole)], x])
    (first, a), (second, b) = ends

    def apart(one, two):
        turned = two[:, 3:] + np.cross([b - a, 0, 0], two[:, :3])
        return np.concatenate([two[:, :3] - one[:, :3], turned - one[:, 3:]], axis=1)

    section = mesh.sections[int(mesh.section_of[rows_at(solution, "left", 2000).member[0]])]
    at, way, walls = [], [], []
    for s in got:
        (w,) = section.named(f"{s.wall} plate inside")
        for x in s.stations:
            at.append((x - a, *(np.add(w.start, w.end) / 2)))
            way.append((0, *np.subtract(w.end, w.start) / w.length))
            walls.append(s.wall)
    for pairs, name in (([(0, 0)], "force"), ([(0, 1), (1, 0), (1, 1)], "alone")):
        size = np.max([slot_forces(at, way, apart(first[i], second[j])).size for i, j in pairs], axis=0)[1:]
        for s in got:
            own = size[:, [w == s.wall for w in walls]].max()
            assert getattr(s, name) == pytest.approx(own, rel=1e-6)
            assert own > 10


def test_too_few_slots_between_two_joints_are_told(plans, tmp_path):
    """Of small slots those between the joints are told as the others are; where none fits the page says so."""
    small = 'slots = { length = 6, width = 6, pitch = 120, wall = ["top", "bottom"] }'
    text = UNLOADED + CUT.format("left", 1950) + CUT.format("left", 2100) + sleeve(a=1600, b=2450, more=small)
    load = '[[cases]]\nname = "hard"\nkind = "amplified"\nfactor = 12\n'
    w = weld_sizes(demands(plans, tmp_path, text, more=load), weld_steel("S235"))
    between = [s for s in w.slots if s.demand.end == "between"]
    assert all(s.planned == 2 and s.use_alone > 1 for s in between)
    page = " ".join(weld_text(w, "file").split())
    assert "top between" in page
    told = " ".join(slot_advice(between))
    assert "the top wall, between the joints at 1950 and 2100 mm" in told
    assert "the butt weld MUST HOLD, or make the piece between the joints about" in told
    none = UNLOADED + CUT.format("left", 1950) + CUT.format("left", 1990) + sleeve(a=1750, b=2250)
    w = weld_sizes(demands(plans, tmp_path, none), weld_steel("S235"))
    assert {s.demand.end for s in w.slots} == {"front", "rear"}
    assert "joints from 1950 to 1990 mm, no slot between them" in " ".join(weld_text(w, "file").split())
