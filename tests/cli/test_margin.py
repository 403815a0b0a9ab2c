"""`ladderfe margin` as its users ask it: each story runs the command and checks its number by a formula on paper.

The tail of the test frame is statically determinate: without its rear crossmember each rail is a free cantilever behind
the rear springs, with 332.5 kg/m on it (half of the 665 kg/m that models/test-frame.toml states) to its end at 4158 mm.
The moment at a station x is w (4158 - x)^2 / 2 whatever the rail's walls are.  The section is made of rectangles.
"""

from __future__ import annotations

import contextlib
import importlib
import io
import json
import re
from dataclasses import replace
from functools import partial
from math import sqrt
from pathlib import Path

import pytest
from scipy.optimize import brentq

from ladderfe.advice.hole_length import HoleCurve, HolePlace, HoleRow, HoleState, drops
from ladderfe.advice.places import ALL
from ladderfe.chassis import read_chassis
from ladderfe.checks.found import hole_beside
from ladderfe.cli.main import EXCEEDED, UNUSABLE, run
from ladderfe.cli.place import named_place
from ladderfe.condition import Options, Readings
from ladderfe.report.hole_text import hole_text
from ladderfe.report.table import page_width

MODELS = Path(__file__).resolve().parents[2] / "models"
PLAIN = str(MODELS / "test-frame.toml")
LOAD, END = 332.5 * 9.80665 / 1000, 4158.0  # N/mm on a rail, mm
DEPTH, WIDTH, WALL = 150.0, 75.0, 2.0


def moment(x):
    """N mm, hogging."""
    return LOAD * (END - x) ** 2 / 2


def moduli(bottom=WALL, top=WALL, webs=WALL):
    """Section moduli (top, bottom edge), mm3, of a hollow rectangle made of four; without its bottom the webs run to
    the lower edge."""
    below = bottom
    web = DEPTH - top - below
    parts = [(WIDTH * top, DEPTH - top / 2, WIDTH * top**3 / 12), (2 * webs * web, below + web / 2, webs * web**3 / 6)]
    parts += [(WIDTH * bottom, bottom / 2, WIDTH * bottom**3 / 12)] if bottom else []
    area = sum(a for a, _, _ in parts)
    z = sum(a * y for a, y, _ in parts) / area
    inertia = sum(i + a * (y - z) ** 2 for a, y, i in parts)
    return inertia / (DEPTH - z), inertia / z


def root(f, a, b):
    return brentq(f, a, b, xtol=1e-12)


@pytest.fixture(scope="module")
def tail(tmp_path_factory):
    """The test frame without its rear crossmember and with a permissible bending stress of one's own: its file."""
    folder = tmp_path_factory.mktemp("tails")

    def maker(bending, lines=""):
        text = (
            f'base = "{MODELS.as_posix()}/test-frame.toml"\ntitle = "Tail"\n[[remove]]\ncrossmember = "rear"\n'
            f"[criteria]\nbending = {bending}\nshear = 100\nvon_mises = 160\n{lines}"
        )
        return in_file(folder, text, ".toml")

    return maker


@pytest.fixture(scope="module")
def readings(tmp_path_factory):
    folder = tmp_path_factory.mktemp("readings")

    def maker(*rows):
        return in_file(folder, "side,station,wall,reading\n" + "\n".join(rows) + "\n", ".csv")

    return maker


def in_file(folder, text, ending):
    """The path of a file with that text: of the same text the same file."""
    files = sorted(folder.iterdir())
    known = next((f for f in files if f.read_text() == text), None)
    if known is None:
        known = folder / f"{len(files)}{ending}"
        known.write_text(text)
    return str(known)


@pytest.fixture(scope="module")
def margin():
    """Calls the command, once for each line of arguments: its status, and what shows its findings on the page (or as
    JSON) as often as asked."""
    known = {}

    def called(*args):
        if args not in known:
            room, shown = importlib.import_module("ladderfe.cli.margin"), []
            with pytest.MonkeyPatch.context() as patch:
                show = room._show
                patch.setattr(room, "_show", lambda *a, as_json: shown.append(a))
                status = run(["margin", *args])
            known[args] = (status, partial(show, *shown[0]))
        return known[args]

    return called


def printed(show, *, as_json=False):
    """What the command prints."""
    with contextlib.redirect_stdout(io.StringIO()) as out:
        show(as_json=as_json)
    return out.getvalue()


@pytest.fixture
def document(margin):
    """Status and JSON of a call."""

    def made(*args):
        status, show = margin(*args)
        return status, json.loads(printed(show, as_json=True))

    return made


@pytest.fixture
def page(margin):
    """Status and page of a call."""

    def made(*args):
        status, show = margin(*args)
        out = printed(show)
        assert all(len(line) <= 100 for line in out.splitlines())
        return status, out

    return made


def test_the_command_shows_one_or_the_other(tail, capsys, page, document):
    """Called as its users call it: the page, or the document alone."""
    args = [tail(165), "--place", "left bottom 4100", "--case", "static"]
    assert (run(["margin", *args]), capsys.readouterr().out) == page(*args)
    status = run(["margin", *args, "--json"])
    assert (status, json.loads(capsys.readouterr().out)) == document(*args)


def flat(text):
    return " ".join(text.split())


READ = ("left,3420,bottom,2", "left,3500,bottom,1.8", "left,3500,bottom,1.9", "left,3580,bottom,2")
REACH = 3460.0  # half-way from 3420 to 3500, where the place's moment is greatest


class TestHowThinMayThisWallGet:
    """"How thin may this wall get before it fails?" - before a calculated stress meets the permissible one, that is."""

    def test_bottom_wall_of_a_cantilever(self, tail, readings, document):
        """Z(t) = M / sigma by hand, within 0.1 %: rounding apart the same number."""
        by_hand = root(lambda t: moment(REACH) / min(moduli(t)) - 30, 0.01, 3)
        _, out = document(tail(30), "--readings", readings(*READ), "--case", "static")
        found = next(m for m in out["margins"] if (m["station mm"], m["wall"]) == (3500, "bottom"))
        assert found["limit"]["thickness mm"] == pytest.approx(by_hand, rel=1e-3)
        assert found["limit"]["ratio there"] == pytest.approx(1, abs=1e-6)
        assert found["utilisation"] == pytest.approx(moment(REACH) / min(moduli(1.8)) / 30, rel=1e-4)
        assert found["n"] == 2
        assert found["left mm"] == pytest.approx(1.8 - by_hand, abs=1e-3)

    def test_page_shows_it_with_what_was_read(self, tail, readings, page):
        by_hand = root(lambda t: moment(REACH) / min(moduli(t)) - 30, 0.01, 3)
        status, out = page(tail(30), "--readings", readings(*READ), "--case", "static")
        row = next(line for line in out.splitlines() if re.match(r" *3500 +bottom", line))
        assert row.split()[2:5] == ["2.00", "1.80", "(2)"]
        assert f" {by_hand:.2f} " in row
        assert row.endswith(f"{1.8 - by_hand:+.2f}")
        assert status == EXCEEDED  # ahead of 3420 mm the rail is over as it was found
        assert "already over" in out
        assert "ASSUMED" in out
        assert not re.search(r"\b(safe|sound|pass|roadworthy|legal)\b", out, re.I)

    def test_case_wall_and_criterion_stand_by_each_number(self, tail, readings, document, page):
        """Only bending has a low limit, 30 N/mm2, and the thinned bottom has the edge farthest from the axis.  A place
        that is over has no limit: told so in its column, with that of the other cases apart."""
        _, out = document(tail(30), "--readings", readings(*READ), "--case", "static")
        at = {m["station mm"]: m for m in out["margins"] if m["wall"] == "bottom"}
        limit = at[3500]["governs at the limit"]
        assert (limit["case"], limit["criterion"], limit["wall"]) == ("static", "bending", "bottom")
        assert limit["utilisation"] == pytest.approx(1, abs=1e-6)
        assert at[3500]["governs now"]["utilisation"] == pytest.approx(at[3500]["utilisation"], rel=1e-9)
        assert at[3500]["governs now"]["at mm"] == pytest.approx(REACH, abs=1e-3)
        assert at[3420]["cases over"]
        assert at[3420]["governs at the limit"] is None
        _, text = page(tail(30), "--readings", readings(*READ), "--case", "static")
        rows = [line.split() for line in text.splitlines() if re.match(r" *3420 +bottom", line)]
        assert rows[0][rows[0].index("case") + 1] == "over"
        assert rows[1][-1] == "over"
        governing = next(line for line in text.splitlines() if re.match(r" *3500 +bottom +\d+ % +static;", line))
        assert governing.count("static; bottom, bending") == 2
        words = "the place then has NO limit thickness left (limit: over), and the others' is that of the other cases"
        assert words in flat(text)

    def test_first_lines_say_which_cases_are_over_and_how_to_ask_for_less(self, tail, readings, document, page):
        """Counted again from the document; in one case alone there is nothing to narrow."""
        rows = readings(*READ)
        _, out = document(tail(30), "--readings", rows)
        by = {}
        for m in (m for m in out["margins"] if m["wall"] == "bottom"):
            for c in m["cases over"]:
                by[c["case"]] = by.get(c["case"], 0) + 1
        _, text = page(tail(30), "--readings", rows)
        head = flat(text[: text.index("As found")])
        assert by
        for case, count in by.items():
            assert f"{case} ({count})" in head
        assert '--place "left bottom 3420" --every-case' in head
        assert re.search(r'--case "[^"]+"', head)
        _, alone = page(tail(30), "--readings", rows, "--case", "static")
        assert "Over by these cases" not in alone

    def test_all_walls_alike(self, tail, readings, document):
        by_hand = root(lambda t: moment(REACH) / min(moduli(t, t, t)) - 30, 0.5, 2)
        _, out = document(tail(30), "--readings", readings(*READ), "--case", "static")
        found = next(m for m in out["margins"] if (m["station mm"], m["wall"]) == (3500, "all walls"))
        assert found["limit"]["thickness mm"] == pytest.approx(by_hand, rel=1e-3)

    def test_amplified_case_by_case(self, tail, document, page):
        """The amplified case multiplies every load, so that it asks for the section that static asks for at a share of
        the stress; both limits stand in the table of cases, the greater one in the envelope."""
        file = tail(60)
        place = ["--place", "left bottom 3700", "--every-case"]
        _, out = document(file, *place)
        cases = {c["case"]: c for c in out["by case"][0]["cases"]}
        (m,) = out["margins"]
        factor = cases["amplified"]["utilisation"] / cases["static"]["utilisation"]
        assert factor == pytest.approx(round(factor, 1), rel=1e-6)
        start = m["start mm"]
        by_hand = root(lambda t: factor * moment(start) / min(moduli(t)) - 60, 0.01, 3)
        assert cases["amplified"]["limit"]["thickness mm"] == pytest.approx(by_hand, rel=1e-3)
        assert m["limit"]["thickness mm"] == pytest.approx(
            max(c["limit"]["thickness mm"] or 0 for c in cases.values()), abs=1e-5
        )
        _, text = page(file, *place)
        assert "Case by case: left rail, bottom at 3700 mm" in text

    def test_wall_that_may_go_altogether(self, tail, document, page):
        """Near the end the moment is small: a channel without its bottom carries it, by hand too."""
        assert moment(3950) / min(moduli(0)) < 0.5 * 165
        status, out = document(file := tail(165), "--place", "left bottom 4100", "--case", "static")
        assert out["margins"][0]["limit"]["how"] == "none"
        _, text = page(file, "--place", "left bottom 4100", "--case", "static")
        assert re.search(r"4100 +bottom .*none", text)
        assert status == 0

    def test_a_wall_that_may_go_altogether_is_not_the_least_that_is_left(self, tail, readings, document, page):
        """It has no limit and so nothing that is left above one: the page names no number for it, the data none."""
        rows = readings("left,4100,bottom,1.5")
        asked = (tail(165), "--readings", rows, "--place", "left bottom 4100", "--case", "static")
        _, out = document(*asked)
        (m,) = out["margins"]
        assert (m["limit"]["how"], m["left mm"], m["smallest mm"]) == ("none", None, 1.5)
        _, text = page(*asked)
        assert "Least left" not in text
        assert "No wall asked for brings its place over 100 %, not even when it is gone." in flat(text)

    def test_onset_of_buckling(self, tail, readings, document):
        """The bottom is pressed evenly: clear width over thickness 0.673 x 28.4 x 2 x strain factor (EN 1993-1-5 4.4,
        psi = 1, k = 4; strain factor sqrt(235/fy E/210000), fy 235 and E 205000 N/mm2)."""
        limit = 0.673 * 28.4 * 2 * sqrt(205 / 210)
        _, out = document(tail(30), "--readings", readings(*READ), "--case", "static")
        found = next(m for m in out["margins"] if (m["station mm"], m["wall"]) == (3500, "bottom"))
        assert found["buckling onset"]["thickness mm"] == pytest.approx((WIDTH - 2 * WALL) / limit, rel=2e-3)

    def test_nothing_was_read_yet(self, tail, monkeypatch, page):
        """Without readings the grid is asked, as built, and says so."""
        monkeypatch.setattr("ladderfe.advice.places.GRID", 2100.0)  # two stretches a rail are enough here
        status, out = page(tail(60), "--case", "static")
        assert "no readings were given" in flat(out)
        assert "Left rail: one wall thinner" in out
        assert "Right rail: one wall thinner" in out
        assert "All walls of a station alike" in out
        assert status == 0


class TestHole:
    """"There is a hole. How big may it be, and where does it matter?"""

    STATION = 3600.0

    def place(self, bending, tail):
        return [tail(bending), "--hole", f"left bottom {self.STATION:.0f}", "--case", "static"]

    def test_utilisation_against_length(self, tail, document):
        """The hole's front end has the greatest moment on the open section: M(x - L/2) / Z of a channel."""
        _, out = document(*self.place(40, tail))
        (hole,) = out["holes"]
        for s in hole["lengths"][1:]:
            by_hand = moment(self.STATION - s["length mm"] / 2) / min(moduli(0)) / 40
            assert s["utilisation"] == pytest.approx(by_hand, rel=1e-3)
            assert s["opens the section"]
            assert s["J left"] < 0.005
        whole = hole["lengths"][0]
        assert whole["utilisation"] == pytest.approx(moment(self.STATION - 150) / min(moduli()) / 40, rel=1e-3)
        assert not whole["opens the section"]

    def test_length_at_which_it_comes_to_its_limit(self, tail, document, page):
        """w (4158 - x + L/2)^2 / 2 = sigma Z, to the 0.5 mm that the search promises."""
        sigma = moment(self.STATION - 60) / min(moduli(0))
        length = 2 * (sqrt(2 * sigma * min(moduli(0)) / LOAD) - (END - self.STATION))
        assert length == pytest.approx(120)
        args = self.place(round(sigma, 6), tail)
        _, out = document(*args)
        assert out["holes"][0]["length at its limit"]["length mm"] == pytest.approx(length, abs=0.6)
        _, text = page(*args)
        assert re.search(r"100 % is reached at a length of 1(19|20|21) mm", text)

    def test_what_is_near_and_what_is_not_in_it(self, tail, page):
        _, text = page(*self.place(40, tail))
        words = flat(text)
        assert "Nearest: rear spring seat at 3318 mm, 277 mm from its edge, WITHIN 300 mm" in words
        assert "AT THE EDGE of a hole" in words
        assert "Where it matters" in words
        assert "opened" in words

    def test_where_it_matters(self, tail, document):
        """The worst station of the table is the one with the greatest moment, at mid-length (277 kg m, from the chassis
        file's own head) or over an axle, not at the ends."""
        _, out = document(*self.place(40, tail))
        rows = sorted(out["holes"][0]["along the wall"], key=lambda r: -r["utilisation"])
        assert 778 <= rows[0]["station mm"] <= 3600
        assert rows[-1]["station mm"] in (min(r["station mm"] for r in rows), max(r["station mm"] for r in rows))


    def test_hole_that_the_readings_have_there_already_is_told(self, tail, tmp_path, document, page):
        """It is in every row: 40 mm within its 60 mm change nothing, which the page says."""
        file = tmp_path / "holes.csv"
        file.write_text("side,station,wall,reading,to,rim\nleft,3580,bottom,hole,3620,10\n")
        args = [*self.place(40, tail), "--readings", str(file)]
        _, out = document(*args)
        (hole,) = out["holes"]
        by_length = {s["length mm"]: s for s in hole["lengths"]}
        for length in (0, 10, 20, 40, 60):
            by_hand = moment(self.STATION - 30) / min(moduli(0)) / 40
            assert by_length[length]["utilisation"] == pytest.approx(by_hand, rel=1e-3)
            assert by_length[length]["opens the section"]
        assert by_length[100]["utilisation"] > 1.01 * by_length[60]["utilisation"]
        assert hole["holes of the readings there mm"] == [[3570, 3630]]
        _, text = page(*args)
        told = "has a hole in this wall here already (3580 to 3620 mm, with its rim 3570 to 3630 mm, line 2)"
        assert told in flat(text)
        assert "It is in every row, that of length 0 too; a hole asked for adds nothing as long as it" in flat(text)
        assert re.search(r"\n +0 +\d+ % +static .* hole as read", text)


STATES = [
    {"length": 0.0, "ratio": 0.5, "case": "static", "elsewhere": 0.4},
    {"length": 60.0, "ratio": 1.15, "case": "static", "elsewhere": 0.4, "opened": True, "J": 0.001},
    {"length": 100.0, "ratio": 0.71, "case": "static", "elsewhere": 0.4, "opened": True, "J": 0.001},
    {"length": 150.0, "ratio": float("inf"), "case": "", "elsewhere": float("inf"), "problem": "no wall. End it."},
]


def test_longer_hole_that_shows_less_is_explained_and_no_infinite_number_shown():
    """Between 60 and 100 mm about 2660 mm the hole comes to reach past the crossmember at 2700 mm."""
    place = HolePlace(chassis=read_chassis(Path(PLAIN)), readings=Readings(source=""), options=Options(), side="left",
                      wall="bottom", station=2660.0)  # fmt: skip
    states = tuple(HoleState(**s) for s in STATES)
    beside = hole_beside(place.found(0.0), place.hole(10.0))
    curve = HoleCurve(place=place, states=states, limit=states[1], beside=beside)
    (drop,) = drops(curve)
    assert (drop.shorter.length, drop.longer.length) == (60, 100)
    assert "third" in [f.name for f in drop.passed]
    assert drops(replace(curve, states=states[:2])) == ()
    text = "\n".join(hole_text(curve, [HoleRow(1000.0, states[0], states[3], beside)]))
    words = flat(text)
    assert "LONGER IS NOT BETTER, though it shows less here: 100 mm (71 %) below 60 mm (115 %)." in words
    assert "past what is mounted or joined (" in words
    assert "third at 2700 mm" in words
    assert "Count with the greatest utilisation of all lengths up to yours." in words
    assert "No answer at length 150 mm: no wall. End it." in words
    assert "No answer at station 1000 mm: no wall. End it." in words
    assert "inf" not in words.replace("information", "")


@pytest.mark.parametrize(
    "words",
    ["left bottom 1180", "left rail, bottom at 1180 mm", "Left, bottom, 1180", "left rail bottom 1 180"],
)
def test_places_are_taken_as_pages_write_them(words):
    assert named_place(read_chassis(Path(PLAIN)), words) == ("left", "bottom", 1180.0)


@pytest.mark.parametrize(
    "words", ["left all 1180", "left rail, all walls at 1180 mm", "Left, All walls, 1180", "left all walls 1 180"]
)
def test_all_walls_are_taken_as_pages_write_them(words):
    assert named_place(read_chassis(Path(PLAIN)), words) == ("left", ALL, 1180.0)


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--hole", "left all walls 1180"], "has no wall 'all'"),
        (["--hole", "2400"], 'wall (such as top, bottom, outer, inner) and station in mm (from 0 to 4158), as in'),
        (["--hole", "left bottom"], 'as in "left bottom 2080"'),
        (["--hole", "lefft botom 9000"], "Did you mean left? The rails have no station 9000 mm; they run from 0 to"),
        (["--hole", "lefft botom 9000"], "The rails have no wall 'botom'. Did you mean bottom?"),
        (["--place", "left botom 1180"], "Did you mean bottom?"),
        (["--place", "leftt bottom 1180"], "Did you mean left?"),
        (["--place", "left bottom"], "names no place"),
        (["--place", "left bottom 9000"], "it runs from 0 to 4158 mm"),
        (["--place", "left bottom here"], "the station 'here'"),
        (["--hole", "left all 1180"], "has no wall 'all'"),
        (["--every-case"], "goes with --place"),
        (["--place", "left bottom 1180", "--case", "statick"], "is not one of this chassis"),
        (["--hole", "left bottom 1180", "--case", "statick"], "is not one of this chassis"),
        (["--reach", "100"], "go with --readings"),
    ],
)
def test_faults_are_told_in_a_sentence(args, words, capsys):
    assert run(["margin", PLAIN, *args]) == UNUSABLE
    told = capsys.readouterr()
    assert words in flat(told.err)
    assert "Traceback" not in told.err
    assert not told.out


def test_narrow_pages_fit(tail, readings, margin):
    _, show = margin(tail(30), "--readings", readings(*READ), "--case", "static")
    with page_width(80):
        assert max(map(len, printed(show).splitlines())) <= 80


def test_a_wall_that_a_hole_has_taken_is_told(tmp_path, capsys):
    table = tmp_path / "rust.csv"
    table.write_text("side,station,wall,reading,to\nleft,3000,bottom,hole,3025\n")
    assert run(["margin", PLAIN, "--readings", str(table), "--place", "left bottom 3000"]) == UNUSABLE
    told = capsys.readouterr().err
    assert "left rail, bottom at 3000 mm: a hole is there, so no wall that could be thinner" in told
    assert "Ask for a station beside the hole" in told
