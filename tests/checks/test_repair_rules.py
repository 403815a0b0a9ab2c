"""What plans answer to the rules of the trade; limits as the texts named with them have them, values by hand."""

from __future__ import annotations

import pytest

from ladderfe.checks.equal_section import stock_like
from ladderfe.checks.repair_answers import answers
from ladderfe.checks.repair_needs import needs
from ladderfe.checks.repair_places import rusted
from ladderfe.checks.repair_remarks import remarks
from ladderfe.checks.repair_steps import end_steps
from ladderfe.checks.repair_welds import metres_by_kind, weld_runs
from ladderfe.condition import Reading, Readings, as_found
from ladderfe.mesh import build_mesh
from ladderfe.report.repair_words import need_words
from ladderfe.sections import Box, Plate, between, plated, properties
from ladderfe.sections.stock import stock_name

PLATE = '[[plates]]\nkind = "{kind}"\nrail = "left"\n{wall}from = {a}\nto = {b}\nthickness = {t}\n{more}'


def plate(kind="doubler", wall="top", a=1500, b=2300, t=2, more=""):
    named = f'wall = "{wall}"\n' if wall else ""
    return PLATE.format(kind=kind, wall=named, a=a, b=b, t=t, more=more)


def insert(wall="bottom", a=1500, b=1800, rail="left", more=""):
    return f'[[inserts]]\nrail = "{rail}"\nwall = "{wall}"\nfrom = {a}\nto = {b}\n{more}'


@pytest.fixture
def answered(plans, tmp_path):
    """From the text of a plan to its answers by the name of the rule."""

    def ask(text, readings="", section="", more=""):
        plans.frame(tmp_path, section, more)
        out: dict[str, list] = {}
        for a in answers(plans.planned(tmp_path, text, readings=readings)):
            out.setdefault(a.rule.name, []).append(a)
        return out

    return ask


@pytest.mark.parametrize(("t", "kept"), [(2, [True]), (2.5, [False, True, True]), (3.5, [False, False, True]),
                                         (5, [False, False, False])])  # fmt: skip
def test_thickness_is_never_doubled_in_silence(answered, t, kept):
    own = answered(plate(t=t))["thickness over that of the wall"]
    assert [a.kept for a in own] == kept
    assert all(a.found == pytest.approx(t / 2) for a in own)
    assert [a.rule.limit for a in own] == [1.0, 1.5, 2.0][: len(own)]


def test_every_answer_is_a_sentence_with_number_limit_source_and_status(answered):
    (a,) = answered(insert(b=1600))["length of the insert"]
    assert str(a) == (
        "insert, left rail, bottom, 1500 to 1600 mm: length of the insert is 100 mm, at least 152 mm (container repair "
        "manual TM 55-8115-203-23&P; excerpt read; written for containers). Cut back further and let in a longer piece."
    )


def test_yield_of_the_plates_against_that_of_the_rails(answered):
    steel = "[material]\ndensity = 0\nyield_stress = 355\n"
    (a,) = answered("[repair]\nyield_stress = 235\n" + plate(), more=steel)["yield stress of the plates"]
    assert (a.found, a.rule.limit, a.kept) == (235, 355, False)
    assert "yield stress of the plates" not in answered(plate(), more=steel)


def test_length_beyond_hangers_and_joints(answered):
    """Twice the depth of 150 mm; the test frame's springs act at 778 and 3318 mm."""
    own = answered(plate(a=1000, b=1500))["length beyond the hanger"]
    assert [(round(a.found), a.rule.limit, a.kept) for a in own] == [(222, 300, False)]
    own = answered(plate(a=400, b=1200))["length beyond the hanger"]
    assert [(round(a.found), a.kept) for a in own] == [(378, True)]
    splice = '[[splices]]\nrail = "left"\nstation = 1700\ncut = "square"\n'
    (a,) = answered(splice + plate("cheek", "outer", 1450, 2100))["length beyond the joint"]
    assert (a.found, a.rule.limit, a.kept) == (250, 300, False)


def test_welds_across_the_rail_and_across_a_flange(answered):
    """The outer web's mid-line is 148 mm of the depth of 150; a spear comes to a point, a tapered end to a third."""
    name = "part of the rail's depth that its end weld runs across"
    for ends, found in (("square", 148 / 150), ("tapered", 148 / 450), ("spear", 0.0)):
        (a,) = answered(plate("cheek", "outer", more=f'ends = "{ends}"\n'))[name]
        assert a.found == pytest.approx(found)
        assert a.kept == (ends != "square")
    assert [a.kept for a in answered(plate())["welds across a flange"]] == [False]
    assert [a.kept for a in answered(plate(more='ends = "spear"\n'))["welds across a flange"]] == [True]
    assert [a.kept for a in answered(plate(more="end_weld = false\n"))["welds across a flange"]] == [True]


def test_edges_stay_off_the_flanges_free_edge(answered, plans):
    """A channel's flange of 65 x 4: its mid-line is 63 mm from the web's; a plate of 40 mm in its middle leaves
    11.5."""
    name = "distance of its edge from the flange's free edge"
    (a,) = answered(plate("flange", "top", more="width = 40\n"), section=plans.CHANNEL)[name]
    assert (a.found, a.kept) == (pytest.approx(11.5), False)
    (a,) = answered(plate("flange", "top", more="width = 40\noffset = 8\n"), section=plans.CHANNEL)[name]
    assert (a.found, a.kept) == (pytest.approx(19.5), True)  # outward is toward the web, for it opens inward
    assert name not in answered(plate("flange", "top", more="width = 40\n"))


def test_plating_over_rust_and_what_letting_in_changes(answered):
    """1.2 of 2 mm is 60 % left, a hole none."""
    rows = "left,1800,bottom,1.2,,\n"
    (a,) = answered(plate(wall="bottom"), rows)["part left by mean of the wall under it"]
    assert (a.found, a.kept) == (pytest.approx(0.6), False)
    assert "festers" in str(a)
    (a,) = answered(plate(wall="bottom"), "left,1800,bottom,hole,1850,10\n")["part left by mean of the wall under it"]
    assert (a.found, a.where) == (0, "a hole between 1790 and 1860 mm")
    done = answered(insert(a=1500, b=2300) + plate(wall="bottom"), rows)
    assert "part left by mean of the wall under it" not in done
    assert "part left by mean of the wall under it" not in answered(plate(wall="bottom"))


def test_laps_reach_onto_better_metal(answered):
    """The reading at 1800 mm speaks from 1550 to 2050 mm; 25 mm beyond are asked for."""
    rows = "left,1800,bottom,1.2,,\n"
    (a,) = answered(plate(wall="bottom", a=1530, b=2300), rows)["lap on metal that is not rusted"]
    assert (a.found, a.rule.limit, a.kept) == (pytest.approx(20), 25, False)
    (a,) = answered(plate(wall="bottom", a=1400, b=2300, t=6), rows)["lap on metal that is not rusted"]
    assert (a.found, a.rule.limit, a.kept) == (pytest.approx(150), 30, True)  # 5 t


def test_inserts_end_in_better_metal(answered):
    rows = "left,1800,bottom,1.2,,\n"
    own = answered(insert(a=1700, b=2100), rows)["part left by mean of the wall that it is butt-welded to"]
    assert [(round(a.found, 3), a.where, a.kept) for a in own] == [
        (0.6, "bottom at 1700 mm", False), (1.0, "bottom at 2100 mm", True)
    ]  # fmt: skip


def test_welds_near_each_other(answered):
    own = answered(insert(a=1500, b=1800) + insert("top", 1900, 2200))["distance to the next weld across the rail"]
    assert sorted((round(a.found), a.kept) for a in own) == [(100, False), (100, False), (400, True), (400, True)]
    met = answered(insert(a=1500, b=1800) + insert("top", 1800, 2200))["distance to the next weld across the rail"]
    assert all(a.kept for a in met)


def test_all_welds_near_an_end_are_told(answered):
    """Both that are too near on one side; one that meets the end hides none; one across the insert's own length."""
    name = "distance to the next weld across the rail"
    bottom = "insert, left rail, bottom"

    def told(text):
        return sorted((a.found, a.where) for a in answered(text)[name] if a.about.startswith(bottom) and not a.kept)

    splices = "".join(f'[[splices]]\nrail = "left"\nstation = {x}\ncut = "square"\n' for x in (1860, 1940, 2200))
    to = "from 1800 mm to square splice, left rail, {} mm"
    assert told(insert(a=1500, b=1800) + splices) == [(60, to.format(1860)), (140, to.format(1940))]
    met = insert("top", 1800, 2200) + splices
    assert told(insert(a=1500, b=1800) + met) == [(60, to.format(1860)), (140, to.format(1940))]
    inside = told(insert(a=1500, b=1900) + insert("top", 1600, 1720))
    assert [f for f, _ in inside] == [100]
    assert inside[0][1].startswith("from 1500 mm to insert, left rail, top")


@pytest.mark.parametrize(("beside", "wanted"), [
    (plate("cheek", "outer", 1850, 2300, 2, "width = 100\n"), [50]),
    (plate("cheek", "outer", 1850, 2300, 2, 'width = 100\nends = "tapered"\n'), [50]),
    (plate("cheek", "outer", 1850, 2300, 2, 'width = 100\nends = "spear"\n'), []),
    (plate("cheek", "outer", 1850, 2300, 2, "width = 100\nend_weld = false\n"), []),
    (plate("sleeve", "", 1850, 2300, 2), []),
    (insert("top", 1860, 4158), [60]),
], ids=["square", "tapered", "spear", "no end weld", "sleeve", "insert to the rail's end"])  # fmt: skip
def test_only_ends_that_are_welded_across_the_rail_are_near(answered, beside, wanted):
    """A bottom flange let in to 1800 mm, and what ends 50 or 60 mm behind it; the rail ends at 4158 mm."""
    own = answered(insert(a=1400, b=1800) + beside).get("distance to the next weld across the rail", [])
    about = [a for a in own if a.about.startswith("insert, left rail, bottom") and not a.kept]
    assert [a.found for a in about] == wanted
    assert not any("from 4158 mm" in a.where for a in own)


def test_all_welds_near_a_hanger_are_told(answered):
    """Its ends are 40 mm either side of the rear spring at 3318 mm."""
    hanger = '[[hangers]]\nname = "h"\naxle = "rear"\non = "inner"\nlength = 80\ndepth = 60\nthickness = 5\n'
    own = answered(hanger + insert(a=2900, b=3200) + insert("top", 3458, 3800))
    found = [a for a in own["distance to the next weld across the rail"] if "insert" not in a.about and not a.kept]
    assert [round(a.found) for a in found] == [78, 100]


def test_boxing_ends_at_crossmembers(answered, plans):
    """Crossmembers at 1400 and 2700 mm; one rail depth off at most."""
    name = "distance of its end from the next crossmember"
    own = answered(plate("boxing", "", 1400, 2200, 3), section=plans.CHANNEL)[name]
    assert [(a.found, a.kept) for a in own] == [(0, True), (500, False)]


def test_holes_and_stitched_seams_answer_too(answered):
    hole = '[[holes]]\nrail = "left"\nwall = "outer"\nstation = 1490\ndiameter = 12\nto_flange = 20\n'
    own = answered(hole + plate("cheek", "outer"))
    assert own["metal between hole and inside of flange"][0].found == 20
    assert own["metal between hole and edge of reinforcement"][0].found == pytest.approx(4)  # 1500 - 1490 - 6
    stitch = answered(plate(more='weld = { seam = "stitch", run = 20, pitch = 100 }\n'))
    assert stitch["gap between runs"][0].found == pytest.approx(80)


def test_remarks_tell_of_rust_between_plates(plans, tmp_path):
    plans.frame(tmp_path)
    told = " ".join(remarks(plans.planned(tmp_path, plate(more="end_weld = false\n"))))
    for words in ("water stays in the gap", "its ends are not welded", "No readings", "steel of the plates"):
        assert words in told
    rows = "left,1800,bottom,hole,1850,10\nleft,2200,bottom,suspect,,\n"
    told = " ".join(remarks(plans.planned(tmp_path, plate(wall="bottom") + insert("top", 3300, 3500), readings=rows)))
    for words in (
        "over the hole it counts as the wall",
        "rings dull and gets a plate",
        "one side with the root unseen",
    ):
        assert words in told


@pytest.mark.parametrize(("rows", "wanted"), [
    (insert('bottom", "inner', 1500, 1800), 2 * (73 + 148) + 2 * 300),
    (insert("bottom") + insert("inner"), 2 * (73 + 148) + 3 * 300),
    (insert("bottom") + insert("inner", 1600, 2000), 2 * (73 + 148) + 2 * 300 + 2 * 400 - 200),
    (insert("bottom") + insert("bottom", 1800, 2000), 3 * 73 + 2 * 500),
    (insert("bottom") + insert('bottom", "inner', 1800, 2000), 3 * 73 + 2 * 148 + 2 * 500),
    (insert("all") + insert("all", 1800, 2000), 3 * 2 * (73 + 148)),
    (insert("bottom") + insert("bottom", rail="right"), 2 * (2 * 73 + 2 * 300)),
])  # fmt: skip
def test_a_butt_or_seam_of_two_inserts_counts_once(plans, tmp_path, rows, wanted):
    """Box 150 x 75 x 2, mid-lines 148 and 73 mm, by hand: one piece bent round a corner has no seam there, two pieces
    have one, and two in a row one butt between them."""
    plans.frame(tmp_path)
    rows = rows.replace('wall = "bottom", "inner"', 'wall = ["bottom", "inner"]')
    runs = weld_runs(plans.planned(tmp_path, rows))
    assert sum(r.length for r in runs) == pytest.approx(wanted, rel=1e-9)


def test_metres_of_weld_by_hand(plans, tmp_path):
    """Box 150 x 75 x 2: mid-lines 148 and 73 mm; cuts count sides of 150 and 71 mm between them."""
    plans.frame(tmp_path)

    def metres(text):
        return metres_by_kind(weld_runs(plans.planned(tmp_path, text)))

    assert metres(insert(a=1500, b=1800))["butt"] == pytest.approx((2 * 73 + 2 * 300) / 1000)
    corner = '[[inserts]]\nrail = "left"\nwall = ["bottom", "outer"]\nfrom = 1500\nto = 1800\n'
    assert metres(corner)["butt"] == pytest.approx((2 * (73 + 148) + 2 * 300) / 1000)
    assert metres(insert("all", 1500, 1800))["butt"] == pytest.approx(2 * 442 / 1000)
    assert metres(insert("all", 3500, 4158))["butt"] == pytest.approx(0.442)  # nothing to weld at the rail's end
    lap = metres(plate(more="width = 50\n"))
    assert (lap["seam"], lap["end"]) == pytest.approx((2 * 0.8, 2 * 0.05))
    spear = metres(plate(more='width = 50\nends = "spear"\n'))  # at 45 degrees: 25 mm long, 35.36 along each edge
    assert (spear["seam"], spear["end"]) == pytest.approx((2 * 0.75 + 4 * 0.0353553, 0))
    cut = '[[splices]]\nrail = "left"\nstation = 1700\ncut = "{}"\n'
    assert metres(cut.format("square"))["butt"] == pytest.approx(0.442)
    assert metres(cut.format("angled"))["butt"] == pytest.approx((2 * 150 * 2**0.5 + 2 * 71) / 1000)
    assert metres(cut.format("stepped"))["butt"] == pytest.approx((442 + 2 * 150) / 1000)
    thicker = '[repair]\n[[crossmembers]]\nname = "third"\nwall = 3\n'
    assert metres(thicker)["crossmember joint"] == pytest.approx(2 * (2 * 77 + 2 * 57) / 1000)


def test_a_diaphragm_in_a_boxed_rail_holds_its_shape_and_counts_its_weld(plans, tmp_path):
    """Once round between the mid-lines of walls of 4 and 3 mm: 2 (150 - 4 + 65 - 3.5) mm; one in the box as repaired,
    none in the channel before."""
    plans.frame(tmp_path, plans.CHANNEL)
    text = plate("boxing", "", 1400, 2700, 3)
    text += '[[diaphragms]]\nname = "bulkhead"\nrail = "left"\nstation = 2700\nthickness = 4\n'
    states = plans.planned(tmp_path, text)
    runs = [r for r in weld_runs(states) if r.piece == "diaphragm bulkhead"]
    assert [(r.kind, r.length) for r in runs] == [("crossmember joint", pytest.approx(2 * (150 - 4 + 65 - 3.5)))]
    assert len(build_mesh(states.chassis).plates) == 1
    assert not build_mesh(states.found.chassis).plates
    assert "their last edge by slots through the closing plate" in " ".join(remarks(states))


def test_steps_of_stiffness_at_the_ends_of_boxing(plans, tmp_path):
    """150 x 65 x 4 and a plate of 3 mm: J from 5803 to 2.78e6 mm4 by Bredt, about 480 times."""
    plans.frame(tmp_path, plans.CHANNEL)
    states = plans.planned(tmp_path, plate("boxing", "", 1400, 2700, 3))
    J = 4 * (61.5 * 146) ** 2 / (123 / 4 + 146 / 4 + 146 / 3) + (123 * 64 + 146 * 64 + 146 * 27) / 3
    (front, rear) = end_steps(states)
    assert (front.station, rear.station) == (1400, 2700)
    assert pytest.approx(J / ((2 * 63 + 146) * 64 / 3), rel=5e-3) == front.GJ  # ends of the flanges, about 1 mm each
    assert pytest.approx(480, rel=0.01) == front.GJ


@pytest.mark.parametrize("name", ["short-4x4", "pick-up"])
def test_steps_of_stiffness_on_a_taper_are_the_pieces_own(plans, tmp_path, name):
    """A doubler far along a taper: on both sides of an end the section of that station counts, so the step is that of
    the plate.  By hand: the shape as built there, taken between the taper's ends, with the same plate and without."""
    states = plans.planned(tmp_path, plate(a=3500, b=3800), base=plans.MODELS / f"{name}.toml")
    for step, inside in zip(end_steps(states), (3502.0, 3798.0), strict=True):
        rail = states.found.built.rails[0]
        span = next(s for s in rail.spans if s.start <= inside < s.end)
        bare = between(span.shape, span.shape_end, (inside - span.start) / (span.end - span.start))
        own = plated(bare, [Plate(wall="top", thickness=2)])
        one, other = (properties(s.section()) for s in (own, bare))
        told, wanted = (step.EI, step.GJ), (one.Iyy / other.Iyy, one.J / other.J)
        assert told == pytest.approx(wanted, rel=0.01)  # the two sides are 4 mm apart


@pytest.mark.parametrize("left", [0.4, 1.2])
def test_what_a_rusted_wall_needs_by_hand(plans, tmp_path, left):
    """Bottom of a box 150 x 75 x 2 rusted from 1550 to 2050 mm, a plate 73 mm wide outside; of the thinner one Z asks
    for more than I."""
    plans.frame(tmp_path)
    (need,) = needs(plans.planned(tmp_path, "[repair]\n", readings=f"left,1800,bottom,{left},,\n"))

    def bending(bottom, t):
        """I and the weaker Z of rectangles (width, height, middle above the box's middle)."""
        parts = [(75, 2, 74), (71 + 4, bottom, bottom / 2 - 75), *[(2, 148 - bottom, (bottom - 2) / 2)] * 2]
        parts += [(73, t, -75 - t / 2)] if t else []
        area = sum(b * h for b, h, _ in parts)
        mid = sum(b * h * z for b, h, z in parts) / area
        inertia = sum(b * h**3 / 12 + b * h * (z - mid) ** 2 for b, h, z in parts)
        return inertia, inertia / max(75 - mid, 75 + t + mid)

    built = bending(2, 0)
    enough = [t / 2 for t in range(1, 20) if all(a >= b for a, b in zip(bending(left, t / 2), built, strict=True))]
    assert need.plate == enough[0]
    assert need.plate_reach == pytest.approx((1525, 2075))
    assert (need.insert, need.insert_reach) == (2, (1550, 2050))
    near = needs(plans.planned(tmp_path, "[repair]\n", readings="left,3300,bottom,hole,3330,10\n"))[0]
    assert near.plate is None
    assert near.plate_reach == pytest.approx((3018, 3618))  # 2 x 150 either side of the spring at 3318
    assert near.insert_reach == pytest.approx((3239, 3391))  # 152 mm about the hole's middle


def test_pieces_end_at_steps_of_the_section(plans, tmp_path):
    """A box of 3 mm in front of 2000 mm, a channel of 4 mm behind it, both with a bottom: the 152 mm of a piece lie on
    one side of the step, each side has the thickness of its own wall."""
    box = '{ to = 2000, shape = "box", depth = 150, width = 75, wall = 3, radius = 0 }'
    plans.frame(tmp_path, f'{box}, {{ shape = "channel", opens = "inward", depth = 150, width = 75, wall = 4 }}')
    sound, front, rear = ("left,1900,bottom,3,,\nleft,2100,bottom,4,,\n", "left,1990,bottom,1.5,,\n",
                          "left,2010,bottom,2,,\n")  # fmt: skip
    (one,) = needs(plans.planned(tmp_path, "[repair]\n", readings=sound + front))
    assert (one.spot.start, one.spot.end) == (1945, 2000)
    assert (one.insert, one.insert_reach, one.steps) == (3, (1848, 2000), (2000,))
    assert "let in 3 mm from 1848 to 2000 mm" in need_words(one)
    assert need_words(one).endswith("; cut it at the step of the section at 2000 mm.")
    before, behind = needs(plans.planned(tmp_path, "[repair]\n", readings=sound + front + rear))
    assert (before.insert, before.insert_reach, before.spot.left) == (3, (1848, 2000), 0.5)
    assert (behind.insert, behind.insert_reach, behind.spot.left) == (4, (2000, 2152), 0.5)


def test_sizes_as_stiff_as_a_crossmember(plans, tmp_path):
    """80 x 60 x 2 with sharp corners: I = (60 x 80^3 - 56 x 76^3)/12; the same size with rounded corners is nearest."""
    own = Box(depth=80, width=60, top=2, bottom=2, minus=2, plus=2)
    first = stock_like("third", own)[0]
    assert stock_name(first.shape) == "box 80 x 60 x 2"
    sharp = (60 * 80**3 - 56 * 76**3) / 12
    corners = 4 * (1 - 3.14159 / 4) * (4**2 - 2**2) * 38**2  # metal that four corners of 4 mm radius leave out
    assert pytest.approx(1 - corners / sharp, abs=0.01) == first.I
    assert pytest.approx(1, abs=0.03) == first.J  # the cell shrinks, its round is shorter


def test_a_wall_of_which_just_so_much_is_left_is_not_below_it(made):
    chassis = made.chassis(rails=made.rails(made.box(150, 75, 3.0)))
    for value, below in ((2.4, 0), (2.39, 1)):  # 0.8 of 3 mm
        read = Reading(side="left", station=1500, wall="bottom", value=value)
        found = as_found(chassis, Readings(source="", readings=(read,)))
        assert len(rusted(found, "left", 1000, 2000, ("bottom",))) == below
