"""Unrolled rails: what is drawn where.  Stations are read back from the numbers along the drawing's edge."""

import random
from itertools import combinations, pairwise
from math import cos, radians, sin

import numpy as np
import pytest

from ladderfe.checks.found import unread_metres
from ladderfe.condition import Options, as_found, readings_from_text
from ladderfe.report.colours import LEFT
from ladderfe.report.labels import Box
from ladderfe.report.unrolled import unrolled
from ladderfe.report.unrolled_names import APART, kept_apart
from ladderfe.report.unrolled_strips import strips_of

HEAD = "side,station,wall,reading,to,rim,note\n"
ROWS = """left,700,top,1.14,,,
left,2000,web,3,,,
left,1400,bottom,1.2,,,
left,1400,bottom,2.4,,,
left,1400,bottom,1.25,,,
right,3500,bottom,hole,3530,20,
right,3900,outer,hole,3920,,
right,1800,top,suspect,,,
"""


def found_of(chassis, rows, options=None):
    return as_found(chassis, readings_from_text(HEAD + rows, "r.csv", chassis), options)


@pytest.fixture(scope="module")
def stepped(made):
    """Boxes of 2.5 mm to 1500, channels (web 4, flanges 3 mm) to 2500 and a tapered box of 2 mm behind."""
    spans = (
        made.Span(start=0, end=1500, shape=made.box(150, 75, 2.5)),
        made.Span(start=1500, end=2500, shape=made.Channel(depth=150, width=75, web=4, top=3, bottom=3, opens="-y")),
        made.Span(start=2500, end=4000, shape=made.box(150, 75, 2), shape_end=made.box(100, 75, 2)),
    )
    mounts = (
        made.mount("tank strap left", "left rail", 900.0, -400.0),
        made.mount("step & <bar>", "right rail", 1000.0, 400.0),
    )
    return made.chassis(rails=made.rails(spans=spans), mounts=mounts)


@pytest.fixture(scope="module")
def found(stepped):
    return found_of(stepped, ROWS)


@pytest.fixture(scope="module")
def drawing(found):
    return unrolled(found)


def station_at(drawing):
    """From pixels to stations, by the numbers along the edge."""
    numbers = [w for w in drawing.words("station") if w.words.isdigit()]
    slope, start = np.polyfit([w.at[0] for w in numbers], [float(w.words) for w in numbers], 1)
    assert slope > 0  # rearward is to the right
    return lambda x: start + slope * x


def reaches(drawing, kind):
    """(start, end) mm of areas of a kind."""
    at = station_at(drawing)
    return [(at(a.box.left), at(a.box.right)) for a in drawing.areas(kind)]


def lanes(drawing):
    """Height of every strip, in order, each once."""
    return list(dict.fromkeys(a.box.top for a in drawing.areas("strip")))


class TestListed:
    """Places that the table lists without a reading."""

    def test_each_has_a_sign_where_nothing_was_read(self, stepped):
        rows = (
            "left,700,top,,,,\nleft,700,top,,,,\nleft,1400,bottom,,,,\nleft,1400,bottom,2.4,,,\nright,900,outer,,,,\n"
        )
        drawing = unrolled(found_of(stepped, rows))
        at = sorted((a + b) / 2 for a, b in reaches(drawing, "unread"))
        assert at == pytest.approx([700, 900], abs=2)
        assert "listed, not read" in [w.words for w in drawing.words("key")]
        assert "listed, not read" not in [w.words for w in unrolled(found_of(stepped, ROWS)).words("key")]

    def test_the_file_of_readings_goes_by_its_name(self, stepped):
        source = "somewhere/deep down/rust.csv"
        found = as_found(stepped, readings_from_text(HEAD + ROWS, source, stepped))
        titles = " ".join(w.words for w in unrolled(found).words("title"))
        assert "as read in rust.csv: " in titles
        assert "deep down" not in titles


class TestStrips:
    def test_one_for_every_wall_in_the_order_of_the_rail(self, made):
        """Four of a box, three of a channel; the left rail above the right one."""
        box = unrolled(found_of(made.chassis(), "left,700,top,1.8,,,\n"))
        channels = made.chassis(rails=made.rails(made.channel(150, 75, 4, "-y")))
        channel = unrolled(found_of(channels, "left,700,web,1.8,,,\n"))
        for drawing, walls in ((box, ["top", "inner", "bottom", "outer"]), (channel, ["top", "web", "bottom"])):
            assert len(lanes(drawing)) == 2 * len(walls)
            assert [w.words for w in drawing.words("wall") if w.bold] == 2 * walls
            sides = {w.words: w.at[1] for w in drawing.words("side")}
            assert sides["left rail"] < lanes(drawing)[0] < sides["right rail"] < lanes(drawing)[len(walls)]

    def test_a_wall_is_drawn_where_the_rail_has_it(self, drawing):
        """Side walls of the boxes, webs of the channels between them."""
        names = [w.words for w in drawing.words("wall") if w.bold]
        assert names == 2 * ["top", "inner", "web", "bottom", "outer"]
        by_lane = {}
        at = station_at(drawing)
        for a in drawing.areas("strip"):
            by_lane.setdefault(a.box.top, []).append((at(a.box.left), at(a.box.right)))
        for name, there in zip(names, by_lane.values(), strict=True):
            wanted = {"web": [(1500, 2500)], "inner": [(0, 1500), (2500, 4000)], "outer": [(0, 1500), (2500, 4000)]}
            assert np.array(there) == pytest.approx(np.array(wanted.get(name, [(0, 4000)])), abs=1)


class TestReadings:
    def test_places_over_their_reach_with_their_numbers(self, drawing):
        """250 mm to both sides, but no farther than the step at 1500; the smallest to a tenth, with a point."""
        assert np.array(reaches(drawing, "place")) == pytest.approx(
            np.array([(450, 950), (1150, 1500), (1750, 2250)])[[0, 2, 1]], abs=1
        )
        numbers = drawing.words("reading")
        assert sorted(w.words for w in numbers) == ["1.1", "1.2?", "3.0"]
        for w, area in [(w, a) for w in numbers for a in drawing.areas("place") if a.box.meets(w.box)]:
            assert area.box.left <= w.box.left <= w.box.right <= area.box.right, w.words

    def test_colours_say_what_is_left(self, drawing):
        """1.14 and 1.2 of 2.5 mm are under 50 %, 3 of 4 mm in 70 to 80 %."""
        assert [LEFT.index(a.fill) for a in drawing.areas("place")] == [5, 2, 5]

    def test_ticks_stand_where_it_was_read(self, drawing):
        at = station_at(drawing)
        assert sorted(at(s.ends[0][0][0]) for s in drawing.segments("read at")) == pytest.approx(
            [700, 1400, 2000], abs=1
        )

    def test_a_doubtful_one_has_two_signs(self, drawing):
        """2.4 mm is about twice what was read beside it."""
        (corner,) = drawing.areas("doubtful")
        assert station_at(drawing)(corner.box.right) == pytest.approx(1500, abs=1)

    def test_few_readings_are_no_doubt(self, made):
        few = unrolled(found_of(made.chassis(), "left,700,top,1.8,,,\n", Options(strength="mean less k s")))
        assert few.areas("doubtful") == ()
        assert [w.words for w in few.words("reading")] == ["1.8"]


class TestHolesAndSuspects:
    def test_holes_with_their_rims(self, drawing):
        assert np.array(reaches(drawing, "hole")) == pytest.approx(np.array([(3500, 3530), (3900, 3920)]), abs=1)
        rims = [(3480, 3500), (3530, 3550), (3890, 3900), (3920, 3930)]
        assert np.array(reaches(drawing, "rim")) == pytest.approx(np.array(rims), abs=1)
        assert len(drawing.segments("rim hatch")) >= 4
        words = {w.words for w in drawing.words("label")}
        assert {"hole 30, rims 20", "hole 20, rims 10 ASSUMED", "suspect"} <= words

    def test_a_pinhole_is_seen(self, made):
        small = unrolled(found_of(made.chassis(), "left,700,top,hole,701,1,\n"))
        assert all(a.box.right - a.box.left >= 2.9 for a in small.areas("hole"))

    def test_a_suspect_place_at_its_station(self, drawing):
        (sign, *_) = drawing.areas("suspect")
        assert station_at(drawing)((sign.box.left + sign.box.right) / 2) == pytest.approx(1800, abs=1)


class TestAssumed:
    def test_hatched_as_far_as_nobody_read(self, drawing, found):
        """The metres that the page tells."""
        total = sum(b - a for a, b in reaches(drawing, "assumed"))
        assert total / 1000 == pytest.approx(sum(unread_metres(found).values()), abs=0.01)
        for area in drawing.areas("assumed"):
            own = [
                s
                for s in drawing.segments("hatch")
                for (x, y), _ in s.ends
                if area.box.holds(np.array([(x + 0.1, y - 0.1)]))
            ]
            assert own

    def test_said_in_words_on_both_rails(self, drawing):
        half = lanes(drawing)[5]
        words = [w for w in drawing.words("label") if w.words.startswith("ASSUMED")]
        assert {"ASSUMED 2.5", "ASSUMED 3.0", "ASSUMED 4.0", "ASSUMED 2.0"} == {w.words for w in words}
        assert {w.at[1] < half for w in words} == {True, False}
        assert any("of 30.0 m of wall" in w.words for w in drawing.words("key"))

    def test_the_loss_assumed_is_told(self, made):
        less = unrolled(found_of(made.chassis(), "left,700,top,1.8,,,\n", Options(unread_loss=0.25)))
        assert any("ASSUMED at 75 % of as built" in w.words for w in less.words("key"))
        assert any(w.words == "ASSUMED 1.5" for w in less.words("label"))


def test_names_lead_to_their_stations(drawing):
    """Crossmembers, hangers, axles and mounts of each rail, their leaders beginning where they are."""
    names = [w.words for w in drawing.words("name")]
    both = [
        "crossmember front",
        "crossmember middle",
        "crossmember rear",
        "front axle",
        "front spring seat",
        "rear axle",
        "rear spring seat",
    ]
    assert sorted(names) == sorted([*both, *both, "tank strap", "step & <bar>"])
    at = station_at(drawing)
    starts = sorted(
        {round(at(s.ends[0][0][0])) for s in drawing.segments("leader")} & {100, 700, 900, 1000, 1900, 3300, 3900}
    )
    assert starts == [100, 700, 900, 1000, 1900, 3300, 3900]
    assert {round(at(s.ends[0][0][0])) for s in drawing.segments("axle")} == {700, 3300}


def corners(w):
    """Box of words in axes turned with them, so that equally turned ones can be compared."""
    t = radians(w.turn)
    x, y = w.at
    turned = x * cos(t) - y * sin(t), x * sin(t) + y * cos(t)
    box = w.box
    dx, dy = turned[0] - x, turned[1] - y
    return Box(box.left + dx, box.top + dy, box.right + dx, box.bottom + dy)


def assert_apart(drawing):
    groups = {}
    for w in drawing.words():
        groups.setdefault(w.turn, []).append(w)
    upright = [
        Box(w.at[0] - w.size, w.at[1] - (w.box.right - w.box.left), w.at[0], w.at[1]) for w in groups.pop(90.0, [])
    ]
    for turn, own in groups.items():
        for (a, one), (b, other) in combinations([(w, corners(w)) for w in own], 2):
            assert not one.meets(other, -0.5), (turn, a, b)
    for box in upright:
        assert not any(box.meets(w.box, -0.5) for w in groups.get(0.0, []))
    for a, b in combinations(upright, 2):
        assert not a.meets(b, -0.5)
    numbers = [*upright, *(w.box for w in drawing.words("reading") if not w.turn)]
    for sign in (*drawing.areas("suspect"), *drawing.areas("hole")):
        assert not any(sign.box.meets(n, -1.0) for n in numbers)
    for w in drawing.words():
        if not w.turn:
            assert w.box.left >= 0
            assert w.box.right <= drawing.width
            assert w.box.bottom <= drawing.height


def test_words_do_not_overlap(drawing):
    assert_apart(drawing)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_words_do_not_overlap_on_a_crowded_rail(made, seed):
    """Places 25 to 120 mm apart on all walls, holes and suspects among them, mounts on top of each other."""
    dice = random.Random(seed)
    mounts = tuple(made.mount(f"bracket of long name {k}", "left rail", 800.0 + 9 * k, -400.0) for k in range(12))
    rows = []
    for side in ("left", "right"):
        for wall in ("top", "inner", "bottom", "outer"):
            station = 20.0
            while station < 3950:
                kind = dice.random()
                value = "suspect" if kind < 0.05 else f"{dice.choice((0.9, 1.1, 1.6, 1.9, 2.9)):.2f}"
                rows.append(f"{side},{station:.0f},{wall},{value},,,")
                station += dice.choice((25, 45, 80, 120))
    rows.append("left,3960,top,hole,3963,5,")
    drawing = unrolled(found_of(made.chassis(mounts=mounts), "\n".join(rows)))
    assert_apart(drawing)
    told = sum(w.kind == "reading" for w in drawing.words())
    assert told > 200
    left_out = [w.words for w in drawing.words("key") if "no room" in w.words]
    shown = told + sum(w.words.rstrip("?").replace(".", "").isdigit() for w in drawing.words("label"))
    places = sum(c.place is not None for s in strips_of(found_of(made.chassis(), "\n".join(rows))) for c in s.cells)
    assert places - shown == (int(left_out[0].split()[5]) if left_out else 0)


@pytest.mark.parametrize(
    "wanted", [[0.0, 1.0, 2.0], [100.0, 100.0, 50.0 + 50.0], [990.0, 995.0, 1000.0], [10.0, 500.0]]
)
def test_names_are_kept_apart_and_in_order(wanted):
    placed = kept_apart(sorted(wanted), APART, 0.0, 1000.0)
    assert all(b - a >= APART - 1e-9 for a, b in pairwise(placed))
    assert 0 <= placed[0] <= placed[-1] <= 1000
    if len(wanted) == 2:
        assert placed == pytest.approx(wanted)  # where there is room nothing moves
