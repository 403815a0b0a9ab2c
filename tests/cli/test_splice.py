"""`ladderfe splice`: two questions answered by the command and held against numbers worked by hand, its options,
statuses, and what it refuses."""

from __future__ import annotations

import importlib
import json
import re
from math import sqrt
from pathlib import Path

import pytest

from ladderfe.cli.main import COMMANDS, EXCEEDED, UNUSABLE, run
from ladderfe.report.splice_strip import BEST, FORBIDDEN, FREE, MARKED

HERE = Path(__file__).resolve().parents[2] / "models"
PLAIN = str(HERE / "test-frame.toml")
KG = 9.80665


@pytest.fixture
def told(capsys):
    """Run the command: (status, page in one line of words)."""

    def call(*args):
        status = run(["splice", *map(str, args)])
        out, err = capsys.readouterr()
        assert err == ""
        return status, " ".join(out.split())

    return call


@pytest.fixture
def document(capsys):
    def call(*args):
        run(["splice", *map(str, args), "--json"])
        return json.loads(capsys.readouterr().out)

    return call


# --- "Where can I cut and splice?" -------------------------------------------------------------------------------


def by_hand(x):
    """Moment of the test frame standing, both rails together, kg m: 512 and 665 kg/m on its halves, 1063.449 and
    1383.534 kg on springs at 778 and 3318 mm (the numbers at the head of its file), x in m from the front."""
    if x <= 2.079:
        return -512 * x**2 / 2 + 1063.449 * max(0.0, x - 0.778)
    y = 4.158 - x
    return -665 * y**2 / 2 + 1383.534 * max(0.0, y - 0.840)


def test_where_can_i_cut_and_splice(document):
    """Windows by adding distances up: H = 150 mm; crossmembers 60 mm wide at 100, 1400, 2700 and 4058 mm, seats at 778
    and 3318 mm, arms 700 mm behind the front and before the rear axle (assumed by the file), ends at 0 and 4158 mm.

    Contraflexure by two quadratics: 256 x^2 - 1063.449 (x - 0.778) = 0 from the front, 332.5 y^2 - 1383.534 (y - 0.840)
    = 0 from the rear, in m."""
    d = document(PLAIN)
    expected = {(280, 628), (928, 1220), (1628, 2468), (2880, 3168), (3468, 3878)}
    for side in ("left", "right"):
        own = [w for w in d["windows"] if w["rail"] == side]
        assert {(w["start mm"], w["end mm"]) for w in own} == expected
        uses = [w["best"]["utilisation in reach of plates"] for w in own]
        assert uses == sorted(uses)
        best = own[0]["best"]["station mm"]
        assert own[0]["start mm"] <= best <= own[0]["end mm"]
    front = (1063.449 - sqrt(1063.449**2 - 4 * 256 * 1063.449 * 0.778)) / 512
    rear = (1383.534 - sqrt(1383.534**2 - 4 * 332.5 * 1383.534 * 0.840)) / 665
    rows = [dict(zip(d["contraflexure"]["columns"], r, strict=True)) for r in d["contraflexure"]["rows"]]
    static = [r["stations mm"] for r in rows if r["case"] == "static"]
    for stations in static:
        assert stations == pytest.approx([1000 * front, 4158 - 1000 * rear], abs=0.02)  # the file has seven digits
    left, right = (p["station mm"] for p in d["best pair"])
    assert abs(left - right) >= 300
    assert all(min(p["room mm"]) >= 300 for p in d["best pair"]), "places with full room exist, and come first"


def test_the_use_told_is_that_of_the_moment_by_hand(document):
    """At 2000 mm, where shear is small: bending of the amplified case 2 M/W/165 with W = I/75 and one rail's half."""
    d = document(PLAIN, "--at", "left 2000")
    w = (75 * 150**3 - 71 * 146**3) / 12 / 75
    stress = by_hand(2.0) / 2 * KG * 1000 / w
    p = d["prices"][0]["place"]
    assert p["utilisation at the joint"]["flanges"] == pytest.approx(2 * stress / (235 / 1.5), rel=2e-3)
    # von Mises governs by its lower limit; at 2000 mm its shear adds 0.1 %
    assert p["ranges at the worst point N/mm2"] == pytest.approx([1.5 * stress], rel=1e-4)


# --- "price of a poor place" ---------------------------------------------------------------------------------------


def test_the_price_of_a_poor_place(document, told):
    """Right above the rear spring against the best window.  Stress ranges as the moments by hand; damage by the cube;
    the seat is 0 mm away where 150 are asked."""
    d = document(PLAIN, "--at", "right 3318")
    p = d["prices"][0]
    best = p["best"]["station mm"] / 1000
    ratio = by_hand(3.318) / by_hand(best)
    assert p["range ratios"] == [pytest.approx(abs(ratio), rel=1e-4)]
    assert p["damage ratio"]["ratio"] == pytest.approx(abs(ratio) ** 3, rel=5e-4)
    assert p["damage ratio"]["high"] / p["damage ratio"]["low"] == pytest.approx(64)
    assert p["not kept"][0]["what"] == "distance to rear spring seat"
    assert (p["not kept"][0]["found"], p["not kept"][0]["limit"]) == (0, 150)
    assert p["keep the other rail's joint out of mm"] == [3018, 3618]
    status, page = told(PLAIN, "--at", "right 3318")
    assert status == 0
    assert "The price of right 3318 mm" in page
    assert f"{abs(ratio):.4g} times" in page
    assert "distance to rear spring seat is 0 mm, at least 150 mm" in page
    assert "The left rail's joint should not lie from 3018 to 3618 mm" in page
    assert "The heat-affected zone is not modelled" in page


def test_walls_of_stress_and_of_damage_stand_by_their_numbers(document, told):
    """Two walls beside numbers: that of the greatest combined stress, and that of the weld that cycles hurt most; with
    bending alone both are a flange, whose stress across its weld is M/Z."""
    cuts = document(PLAIN, "--at", "right 3318")["prices"][0]["cuts"]
    assert {c["wall"] for c in cuts} | {c["wall of the damage"] for c in cuts} <= {"top", "bottom", "outer", "inner"}
    assert cuts[0]["wall of the damage"] in ("top", "bottom")
    _, page = told(PLAIN, "--at", "right 3318")
    assert re.search(rf" square 0 (\S+ ){{4}}{cuts[0]['wall']} \d+ % none 1.00 {cuts[0]['wall of the damage']} ", page)
    assert "that suffers most, in the wall named beside it, which may be another one" in page


def test_an_angled_cut_shows_its_futility_in_numbers(document):
    """Above the rear spring bending is greatest: whatever the cut, the flanges are crossed square, and the use falls by
    no more than the moment 75 mm away: by hand."""
    cuts = {c["cut"]: c for c in document(PLAIN, "--at", "right 3318")["prices"][0]["cuts"]}
    most = by_hand(3.318)
    least = min(abs(by_hand(3.318 + dx)) for dx in (-0.075, 0.075)) / abs(most)
    for cut in cuts.values():
        assert least - 0.02 <= cut["use all through"] / cuts["square"]["use all through"] <= 1 + 1e-6
        assert cut["use one side"] == "infinite"


# --- the page ------------------------------------------------------------------------------------------------------


def test_it_is_among_the_commands(capsys):
    assert COMMANDS["splice"] == "splice"
    assert run(["splice", "--help"]) == 0
    assert "--at PLACE" in capsys.readouterr().out


@pytest.fixture(scope="module")
def once():
    """What the command calculates, by the chassis' titles, once for each: its pages differ in width alone."""
    room = importlib.import_module("ladderfe.cli.splice")

    def kept(work):
        known = {}

        def asked(chassis, *args, **more):
            if chassis.title not in known:
                known[chassis.title] = work(chassis, *args, **more)
            return known[chassis.title]

        return asked

    return room, {name: kept(getattr(room, name)) for name in ("check", "splice")}


@pytest.mark.parametrize("name", ["test-frame", "short-4x4", "pick-up", "light-lorry"])
@pytest.mark.parametrize("columns", [80, 100])
def test_pages_of_the_gallery_fit(capsys, monkeypatch, once, coarse_tapers, name, columns):
    monkeypatch.setenv("COLUMNS", str(columns))
    room, work = once
    for what, asked in work.items():
        monkeypatch.setattr(room, what, asked)
    with coarse_tapers():
        status = run(["splice", str(HERE / f"{name}.toml"), "--at", "left 1850", "--every-case"])
    out, err = capsys.readouterr()
    assert err == ""
    assert status in (0, EXCEEDED)
    assert max(map(len, out.splitlines())) <= columns
    assert "Best pair of joints" in out


def test_strips_show_what_the_tables_tell(capsys, document):
    run(["splice", PLAIN])
    page = capsys.readouterr().out.splitlines()
    d = document(PLAIN)
    for side in ("left", "right"):
        line = next(row for row in page if row.startswith(f"{side:<6}") and FORBIDDEN in row)[6:]
        assert len(line) <= 94
        step = 4158 / 94
        for k, sign in enumerate(line):
            x = (k + 0.5) * step
            free = any(w["start mm"] < x < w["end mm"] for w in d["windows"] if w["rail"] == side)
            assert sign == BEST or (sign in (FREE, MARKED)) == free
        assert line.count(BEST) == 5, "the best place of each window, the pair among them"


def test_with_readings_it_is_as_found_and_says_what_is_assumed(told, document, tmp_path):
    """A bottom of 1.5 of 2 mm is pitted (below 80 %): there no damage is told, while ranges are."""
    file = tmp_path / "r.csv"
    file.write_text("side,station,wall,reading\nleft,1800,bottom,1.5\nright,1800,bottom,1.9\n")
    args = (PLAIN, "--readings", file, "--at", "left 1800", "--at", "right 1800")
    status, page = told(*args)
    assert status == 0
    assert "The rails are as found." in page
    assert "of the rails' walls were not read and count as built" in page
    assert "ASSUMED, not read: top, inner, outer" in page
    assert "Damage: no ratio. No category holds on pitted metal" in page
    assert "read A" in page
    d = document(*args)
    left, right = d["prices"]
    assert left["place"]["pitted"] is True
    assert left["damage ratio"] is None
    assert right["damage ratio"] is not None
    plain = document(PLAIN, "--at", "left 1800")["prices"][0]
    ranges = [p["place"]["ranges at the worst point N/mm2"][0] for p in (left, plain)]
    lost = 0.5 * 71  # mm2 off the inside of the bottom, 72.75 mm below the middle; parallel axes by hand
    area, inertia = 75 * 150 - 71 * 146, (75 * 150**3 - 71 * 146**3) / 12
    up = lost * 72.75 / (area - lost)
    left_over = inertia - lost * 72.75**2 - lost * 0.5**2 / 12 - (area - lost) * up**2
    assert ranges[0] / ranges[1] == pytest.approx((75 + up) / 75 * inertia / left_over, rel=3e-3)
    # the right rail, now the stiffer one, takes a little more of the load


def test_every_case_shows_all(capsys):
    few, many = [], []
    for out, more in ((few, []), (many, ["--every-case"])):
        run(["splice", str(HERE / "short-4x4.toml"), *more])
        text = capsys.readouterr().out
        table = text[text.index("Contraflexure:") : text.index("What this rests on")]
        out += [row for row in table.splitlines() if "braking" in row]
    assert not few
    assert many


def test_the_share_of_twists_is_an_assumption_of_the_user(document):
    one, two = (document(str(HERE / "short-4x4.toml"), "--twist-share", share) for share in ("1", "25"))
    assert [c["share"] for c in one["cycles"]] == [0.99, 0.01]
    assert [c["share"] for c in two["cycles"]] == [0.75, 0.25]


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["--at", "middle 1850"], "names no place: write rail and station in mm"),
        (["--at", "left"], "names no place: write rail and station in mm"),
        (["--at", "left far"], "the station must be a length in mm"),
        (["--at", "left 9000"], "place left 9000: the left rail runs from 0 to 4158 mm."),
        (["--twist-share", "nan"], "nan is no number to reckon with"),
        (["--twist-share", "0"], "Invalid value for '--twist-share'"),
        (["--pool", "30"], "go with --readings FILE.csv"),
    ],
)
def test_what_is_refused(capsys, args, words):
    assert run(["splice", PLAIN, *args]) == UNUSABLE
    out, err = capsys.readouterr()
    assert out == ""
    assert words in " ".join(err.split())


def test_short_of_proof_is_status_3(capsys, monkeypatch, plain_findings):
    from dataclasses import replace

    import ladderfe.cli.splice as room

    short = replace(plain_findings, proofs=(replace(plain_findings.proofs[0], difference=0.1),))
    monkeypatch.setattr(room, "check", lambda *a, **k: short)
    assert run(["splice", PLAIN]) == 3
    assert "so no windows are printed" in " ".join(capsys.readouterr().out.split())
    assert run(["splice", PLAIN, "--json"]) == 3
    assert list(json.loads(capsys.readouterr().out))[-1] == "self-check"
