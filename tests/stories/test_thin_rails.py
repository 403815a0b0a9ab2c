"""What people ask who read their rails' walls, each answered by the command and beside it by hand.

The hand formulas are those of any textbook on strength of materials: bending stress M/Z, twist of thin tubes by Bredt,
and the least strain energy (Castigliano) for what is not statically determinate.  They import nothing that they check.
"""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from ladderfe.cli.main import EXCEEDED, run

PLAIN = Path(__file__).resolve().parents[2] / "models" / "test-frame.toml"
#: The plain frame's rails: 150 x 75 mm outside, walls of 2 mm; mm, kg, m/s2.
H, B, T, G = 150.0, 75.0, 2.0, 9.80665
HEAD = "side,station,wall,reading,to,rim\n"


@pytest.fixture
def answer(capsys, tmp_path):
    """Run a command on a chassis file and a table of readings, each given as text: its page or its JSON."""

    def call(command, chassis, rows, *more):
        (tmp_path / "frame.toml").write_text(chassis)
        (tmp_path / "rust.csv").write_text(HEAD + rows)
        args = [command, str(tmp_path / "frame.toml"), "--readings", str(tmp_path / "rust.csv"), *more]
        assert run(args) in (0, EXCEEDED)
        out = capsys.readouterr().out
        return json.loads(out) if "--json" in more else " ".join(out.split())

    return call


@pytest.fixture
def static_only():
    """The plain frame with its static case alone."""
    head, *cases = PLAIN.read_text().split("[[cases]]")
    return f"{head}[[cases]]{cases[0]}"


def box(*, bottom=T):
    """(area, height of the centroid above the middle, I about it) of the rail with a bottom wall so thick, by
    rectangles; the uprights run from edge to edge."""
    parts = [(H * T, 0.0, T * H**3 / 12)] * 2
    parts += [((B - 2 * T) * t, s * (H - t) / 2, (B - 2 * T) * t**3 / 12) for t, s in ((T, 1), (bottom, -1))]
    area = sum(a for a, _, _ in parts)
    z = sum(a * z for a, z, _ in parts) / area
    return area, z, sum(i + a * (y - z) ** 2 for a, y, i in parts)


def test_it_is_thin_here_is_that_strong_enough(answer, static_only):
    """Both bottom walls read 1.2 of 2 mm at mid-length, where both rails together sag under 277.05 kg m (the file
    tells how) and shear is nil, so that bending stress M/Z is all the stress.

    Both rails are alike and their springs stand under them: statically determinate.  The limit is what the file leaves
    to the program: 235/1.5 on von Mises, lower than the 165 on bending.  1e-3: the moment has five figures, the limit
    is met at the edge.
    """
    moment = 277.05 / 2 * G * 1000
    row = rows_of(answer("check", static_only, "left,2079,bottom,1.2\nright,2079,bottom,1.2\n", "--quick", "--json"))[
        "left"
    ]
    _, _, whole = box()
    _, z, left = box(bottom=1.2)
    assert row["utilisation as built"] == pytest.approx(moment / (whole / (H / 2)) / (235 / 1.5), rel=1e-3)
    assert row["utilisation as found"] == pytest.approx(moment / (left / (H / 2 + z)) / (235 / 1.5), rel=1e-3)
    assert row["wall"] == "bottom"
    assert row["Z left"] == pytest.approx(left / (H / 2 + z) / (whole / (H / 2)), rel=1e-6)


def rows_of(document):
    """Side -> the row of its first stretch."""
    part = document["as-found-stretches"]
    rows = [dict(zip(part["columns"], row, strict=True)) for row in part["rows"]]
    return {row["rail"]: row for row in reversed(rows)}


def test_how_many_kilograms_did_the_rail_lose_and_where(answer, static_only):
    """Area x length x density: 0.8 mm of the left bottom wall (71 mm between the uprights) along 600 mm, 0.5 mm of the
    right outer wall (146 mm between the flanges) along 600 mm, a hole in the left top of 200 mm with
    rims of 20 mm; 7850 kg/m3.

    The rails' middles lie 400 mm from the middle of the vehicle; 1e-3 for what JSON and section round.
    """
    steel = static_only.replace("density = 0\n", "density = 7850\n")
    assert steel != static_only
    rows = "left,1000,bottom,1.2\nright,3000,outer,1.5\nleft,2000,top,hole,2200,20\n"
    told = answer("check", steel, rows, "--quick", "--reach", "300", "--json")["as found"]
    lost = [  # kg and their centres
        (71 * 0.8 * 600 * 7.85e-6, (1000, -400, -(75 - 2 + 0.4))),
        (146 * 0.5 * 600 * 7.85e-6, (3000, 400 + 37.5 - 1.5 - 0.25, 0)),
        (71 * 2.0 * 240 * 7.85e-6, (2100, -400, 74)),
    ]
    kg = sum(m for m, _ in lost)
    assert told["mass lost kg"] == pytest.approx(kg, rel=1e-3)
    centre = [sum(m * at[k] for m, at in lost) / kg for k in range(3)]
    assert told["its centre mm"] == pytest.approx(centre, rel=1e-3, abs=0.5)


#: Two rails on four springs with three rigidly joined ties, each free to twist at its right end: symmetric front to
#: rear, so that every spring carries a quarter whatever the rails are like.  Joints as springs: rails keep their shape.
TIES = """
title = "Two rails and three ties"
condition = "loads chosen"
[rails]
spacing_to = "middle"
height_to = "middle"
path = [{ station = 0, half_spacing = 400, height = 0 }, { station = 4000, half_spacing = 400, height = 0 }]
sections = [{ shape = "box", depth = 150, width = 75, wall = 2, radius = 0 }]
[joints]
model = "springs"
[body]
from = 0
to = 4000
split = 2000
offset = 0
[material]
density = 0
[[cases]]
name = "static"
kind = "static"
"""
TIES += "".join(
    f"""
[[crossmembers]]
name = "{name}"
station = {station}
shape = "box"
depth = 80
width = 60
wall = 2
radius = 0
joint_left = "rigid"
joint_right = {{ x = "rigid", y = "rigid", z = "rigid", rx = "rigid", ry = 0, rz = "rigid" }}
"""
    for name, station in (("first", 200), ("second", 2000), ("third", 3800))
)
TIES += "".join(
    f"""
[[axles]]
name = "{name}"
station = {station}
load = 1300
unsprung = 100
track = 1480
spring_base = 800
spring = "coil"
rate = 30
"""
    for name, station in (("front", 600), ("rear", 3400))
)


def test_does_the_stronger_rail_take_it(answer):
    """The right rail's walls all read 1.2 of 2 mm from end to end: what the left one takes over at mid-length.

    By hand: each rail carries half of 2400 kg, evenly, on its two springs.  The ties can only pass a force F over at
    mid-length and give half of it back at each of the outer ones, with their bending, which the rails take up in
    torsion: two unknowns, F and the even part S of the middle tie's moment, from least strain energy.  2 %: the rails'
    shear strain is left out by hand.
    """
    rows = "".join(f"right,2000,{wall},1.2\n" for wall in ("top", "bottom", "inner", "outer"))
    told = answer("check", TIES, rows, "--quick", "--reach", "4000", "--json")["as found"]
    rails = told["rails at the worst station"]
    station = rails["station mm"]
    moment = {
        state: [rails[state][side]["moment N mm"] for side in ("left", "right")] for state in ("as built", "as found")
    }
    assert moment["as built"][0] == pytest.approx(moment["as built"][1], rel=1e-6)
    alone, over = by_hand(station)
    assert moment["as built"][0] == pytest.approx(alone, rel=1e-3)
    assert abs(over) > 0.05 * abs(alone)  # there is something to share
    assert moment["as found"] == pytest.approx([alone + over, alone - over], rel=0.02)
    assert moment["as found"][0] - alone == pytest.approx(over, rel=0.05)


def by_hand(station, walls=(2.0, 1.2)):
    """N mm at a station of one rail alone, and what the left one (of the first wall) takes over."""
    e, shear, a, length = 205_000.0, 205_000.0 / 2.6, 400.0, 3600.0
    x = np.linspace(0, 4000, 400_001)
    w = 1200 * G / 4000
    alone = -w * x**2 / 2 + 600 * G * (np.clip(x - 600, 0, None) + np.clip(x - 3400, 0, None))
    unit = np.clip(np.minimum(x - 200, 3800 - x), 0, None) / 2  # of F = 1 at mid-length, half given back at each end
    i = [(B * H**3 - (B - 2 * t) * (H - 2 * t) ** 3) / 12 for t in walls]
    j = [2 * t * (B - t) ** 2 * (H - t) ** 2 / (B + H - 2 * t) for t in walls]
    tie, reach = (60 * 80**3 - 56 * 76**3) / 12, a - B / 2
    # strain energy / (F, S): rails bend by M0 + F m and M0 - F m, twist by (F a - S)/2 and (F a + S)/2 in each half,
    # ties bend by F y + S once and by half of that twice
    bend = np.trapezoid(unit**2, x) / e * (1 / i[0] + 1 / i[1])
    ties = 1.5 / (e * tie)
    stiff = np.array([[bend + ties * 2 * reach**3 / 3, 0.0], [0.0, ties * 2 * reach]])
    for own, sign in zip(j, (-1, 1), strict=True):
        arm = np.array([a, sign]) / 2
        stiff += np.outer(arm, arm) * length / (shear * own)
    load = np.trapezoid(alone * unit, x) / e * (1 / i[1] - 1 / i[0])
    force, _ = np.linalg.solve(stiff, [load, 0.0])
    return float(np.interp(station, x, alone)), float(force * np.interp(station, x, unit))


def test_how_many_places_are_to_be_read(capsys):
    """Ends at 0 and 4158 mm, ties at 100, 1400, 2700 and 4058, springs at 778 and 3318, arms assumed 700 mm from
    these, and between them no more than 200 mm: each length between two takes as many steps as 200 goes into it,
    rounded up.  At each station four walls are read once, and the one that works hardest three times: six readings."""
    fixed = [0, 100, 778, 1400, 778 + 700, 3318 - 700, 2700, 3318, 4058, 4158]
    steps = sum(-(-(b - a) // 200) for a, b in pairwise(fixed))
    assert steps == 1 + 4 + 4 + 1 + 6 + 1 + 4 + 4 + 1
    stations = 2 * (steps + 1)
    assert run(["measure", str(PLAIN), "--light", "0"]) == 0
    page = " ".join(capsys.readouterr().out.split())
    assert int(re.search(r"(\d+) readings", page)[1]) == 6 * stations
