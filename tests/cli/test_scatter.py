"""Stories about what to measure: `ladderfe measure --readings` and `ladderfe scatter` as a person runs them."""

from __future__ import annotations

import json
import re
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from ladderfe.cli.main import UNUSABLE, run

PLAIN = str(Path(__file__).resolve().parents[2] / "models" / "test-frame.toml")
#: What is read over the rear axle, where hogging governs, and in the middle.
ROWS = ("left;3318;top;1,8", "left;3318;top;1,9", "left;3318;top;1,7", "left;1500;bottom;1,9")


@pytest.fixture(scope="module")
def readings(tmp_path_factory):
    file = tmp_path_factory.mktemp("readings") / "r.csv"
    file.write_text("side;station;wall;reading\n" + "\n".join(ROWS) + "\n")
    return str(file)


@pytest.fixture(scope="module")
def measured(readings):
    """The document of where to measure next."""
    return _printed(["measure", PLAIN, "--readings", readings, "--json", "--target", "1.5"])


@pytest.fixture(scope="module")
def checked(readings):
    """The document of the check with the same readings."""
    return _printed(["check", PLAIN, "--readings", readings, "--json", "--quick"])


def _printed(args):
    import contextlib
    import io

    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        status = run(args)
    assert status in (0, 1)
    return json.loads(out.getvalue())


def _rows(document, name):
    head = document[name]["columns"]
    return [dict(zip(head, row, strict=True)) for row in document[name]["rows"]]


def modulus(top):
    """Elastic modulus (mm3) of the top edge of a box 150 x 75 x 2 mm with another top wall, from rectangles."""
    inside = 148 - top
    parts = [(75 * top, 150 - top / 2, top), (150.0, 1.0, 2.0), (4 * inside, 2 + inside / 2, inside)]
    area = sum(a for a, _, _ in parts)
    centre = sum(a * z for a, z, _ in parts) / area
    inertia = sum(a * h**2 / 12 + a * (z - centre) ** 2 for a, z, h in parts)
    return inertia / (150 - centre)


def test_the_check_says_another_number_of_the_same_readings_and_the_page_why(
    measured, checked, readings, tmp_path, capsys
):
    """Both numbers stand on the page; where every place was read once, mean and smallest are one, and so are they."""
    by_check = max(u["utilisation"] for u in _rows(checked, "utilisations"))
    assert measured["utilisation by the check"] == pytest.approx(by_check, rel=1e-12)
    assert measured["utilisation"] != pytest.approx(by_check, rel=1e-6)
    run(["measure", PLAIN, "--readings", readings])
    page = " ".join(capsys.readouterr().out.split())
    assert f"Governing utilisation {100 * measured['utilisation']:.1f} %" in page
    words = f"`ladderfe check` says {100 * by_check:.1f} % of the same readings, because it takes the mean of a place"
    assert words in page
    once = tmp_path / "once.csv"
    once.write_text("side;station;wall;reading\nleft;3318;top;1,7\n")
    run(["measure", PLAIN, "--readings", str(once)])
    page = " ".join(capsys.readouterr().out.split())
    assert "`ladderfe check` says" not in page
    found = _printed(["check", PLAIN, "--readings", str(once), "--json", "--quick"])
    told = max(u["utilisation"] for u in _rows(found, "utilisations"))
    assert f"Governing utilisation {100 * told:.1f} %" in page


def test_which_readings_change_the_answer_and_where_do_i_measure_next(measured):
    """Over the rear axle the top wall governs: its stress goes with 1/Z, so 0.1 mm less adds U (-dZ/dt/Z) 0.1 by hand.
    Within 8 %: shear's part of von Mises stress does not follow Z, and the forces move a little to the other rail."""
    walls = _rows(measured, "walls")
    top = next(w for w in walls if (w["rail"], w["wall"], w["n"]) == ("left", "top", 3))
    order = sorted(walls, key=lambda w: -w["change per mm thinner"])
    assert top in order[:2]  # the outer wall meets it at the corner that governs
    assert order[0]["start mm"] <= 3318 <= order[0]["end mm"]
    slope = (modulus(1.701) - modulus(1.699)) / 0.002 / modulus(1.7)
    assert top["change per mm thinner"] == pytest.approx(measured["utilisation"] * slope, rel=0.08)
    assert top["0.1 mm thinner"] == pytest.approx(
        measured["utilisation"] * modulus(1.7) / modulus(1.6), rel=0.01
    )  # strength goes by the smallest reading, 1.7 mm
    assert top["mm per percent point"] == pytest.approx(0.01 / top["change per mm thinner"])
    assert walls[0]["that moves"] == max(w["that moves"] for w in walls)
    unread = next(w for w in walls if w["n"] == 0)
    assert unread["may be off mm"] == pytest.approx(0.2 * unread["as built mm"])
    middle = next(w for w in walls if w["station mm"] == 1500)
    assert abs(middle["change per mm thinner"]) < 0.1 * top["change per mm thinner"]


def test_how_do_i_measure_properly_and_how_many_readings(measured, readings, capsys):
    """n by hand for mean - t_0.95(n - 1) sqrt(1 + 1/n) s >= 1.5 mm with mean 1.8 and s 0.1 mm."""
    top = next(w for w in _rows(measured, "walls") if w["n"] == 3)
    assert (top["mean mm"], top["s mm"]) == (pytest.approx(1.8), pytest.approx(0.1))
    bounds = {n: 1.8 - stats.t.ppf(0.95, n - 1) * np.sqrt(1 + 1 / n) * 0.1 for n in range(3, 30)}
    expected = min(n for n, bound in bounds.items() if bound >= 1.5)
    assert top["readings for target"] == expected == 4
    assert top["may be off mm"] == pytest.approx(2 * np.sqrt(0.05**2 + 0.1**2 / 3))
    assert run(["measure", PLAIN, "--readings", readings, "--target", "1.5"]) == 0
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 100
    assert re.search(r"left +top +3318 +3 +1.80 +0.10 +1.46 +4\n", page)
    assert "3: 3.37, 4: 2.63" in page
    assert page.index("Which readings change the answer") < page.index("Where to measure next: by")


def test_scatter_tells_how_far_the_answer_spreads_and_repeats_itself(readings, capsys):
    args = ["scatter", PLAIN, "--readings", readings, "--draws", "60", "--seed", "4"]
    first, again = (_printed([*args, "--json"]) for _ in range(2))
    assert first == again
    draws = [u for (u,) in first["draws"]["rows"]]
    assert len(draws) == 60
    assert first["median"] == pytest.approx(np.median(draws), rel=1e-8)
    assert first["over a limit"]["draws"] == sum(u > 1 for u in draws)
    assert sum(row["draws"] for row in _rows(first, "governing")) == 60
    assert sum(row["governs"] for row in _rows(first, "walls")) == 60
    assert "no failure probability" in first["what it is not"]
    assert first["assumed"]["seed"] == 4
    assert first["readings"]["assumed"].startswith("ASSUMED: ")
    assert run([*args, "--unread", "10", "--together"]) in (0, 1)
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 100
    words = " ".join(page.split())
    assert "lost between nothing and 10 % of their thickness, anything alike, all of them the same share" in words


@pytest.mark.parametrize(
    ("args", "words"),
    [
        (["scatter", PLAIN], "Name the readings: --readings FILE.csv."),
        (["scatter", PLAIN, "--readings", "R", "--draws", "10"], "10 is not in the range 50<=x<=100000"),
        (["scatter", PLAIN, "--readings", "R", "--gauge", "nan"], "no number to reckon with"),
        (["scatter", PLAIN, "--readings", "R", "--unread", "90"], "90.0 is not in the range 0<=x<=80"),
        (["scatter", PLAIN, "--readings", "R", "--unread-loss", "10"], "do not go with scatter"),
        (["scatter", PLAIN, "--readings", "R", "--lower-bound"], "do not go with scatter"),
        (["measure", PLAIN, "--json"], "--json goes with --readings FILE.csv."),
        (["measure", PLAIN, "--target", "1.5"], "--target goes with --readings FILE.csv."),
        (["measure", PLAIN, "--readings", "R", "--spacing", "200"], "--spacing does not go with --readings."),
        (["measure", PLAIN, "--readings", "R", "--out", "x.csv"], "--out does not go with --readings."),
        (["measure", PLAIN, "--readings", "R", "--target", "inf"], "inf is not in the range 0.3<=x<=100"),
        (["measure", PLAIN, "--readings", "nothing.csv"], "nothing.csv"),
    ],
)
def test_options_that_make_no_sense_get_one_sentence(args, words, readings, capsys):
    assert run([readings if a == "R" else a for a in args]) == UNUSABLE
    err = " ".join(capsys.readouterr().err.split())
    assert words in err
    assert "Traceback" not in err


def test_rails_without_walls_that_can_vary_are_told(made):
    from ladderfe.advice.walls import walls_of
    from ladderfe.condition import as_found, readings_from_text
    from ladderfe.errors import ModelError

    chassis = made.chassis(rails=made.rails(made.Tube(diameter=100, wall=4)))
    found = as_found(chassis, readings_from_text("side,station,wall,reading\nleft,900,wall,3.5\n", "r.csv", chassis))
    with pytest.raises(ModelError, match="no wall of theirs can vary: they are of kind tube"):
        walls_of(found)
