"""`ladderfe compare --catalogue`: the least repair, held against all combinations worked out one by one as plans."""

from __future__ import annotations

import contextlib
import io
import json
from dataclasses import replace
from itertools import product
from types import SimpleNamespace

import pytest

from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import scan
from ladderfe.cli.main import EXCEEDED, UNUSABLE, run
from ladderfe.condition.catalogue import _Options, read_catalogue

RUST = "left,2000,bottom,0.9,,\nright,2000,bottom,1.2,,\n"
STEEL = "[material]\ndensity = 7850\n"
#: What each choice offers, as rows of a plan; the first is nothing.
LEFT = ["", *(f'[[inserts]]\nrail = "left"\nwall = {w}\nfrom = {a}\nto = 2250\n' for w, a in product(
    ('["bottom"]', '["bottom", "outer"]'), (1700, 1750)))]  # fmt: skip
PLATE = '[[plates]]\nkind = "doubler"\nrail = "right"\nwall = "bottom"\nfrom = 1700\nto = 2300\nthickness = {}\n'
RIGHT = ["", *(PLATE.format(t) for t in (1, 2))]
CATALOGUE = """base = "frame.toml"
readings = "rust.csv"
target = {target}
[[choices]]
kind = "insert"
rail = "left"
wall = ["bottom", "bottom and outer"]
from = [1700, 1750]
to = [2250]
[[choices]]
kind = "doubler"
rail = "right"
wall = ["bottom"]
thickness = [1, 2]
from = [1700]
to = [2300]
"""


@pytest.fixture
def folder(plans, tmp_path):
    plans.frame(tmp_path, "", STEEL)
    (tmp_path / "rust.csv").write_text(plans.HEAD + RUST)
    return tmp_path


def searched(folder, capsys, text, *more):
    (folder / "catalogue.toml").write_text(text)
    status = run(["compare", "--catalogue", str(folder / "catalogue.toml"), "--json", *more])
    out = capsys.readouterr()
    return json.loads(out.out), status


def rows(document):
    table = document["candidates"]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


@pytest.fixture(scope="module")
def plainly(plans, tmp_path_factory):
    """(weld m, mass kg, utilisation) of every combination, each a plan of its own that `ladderfe repair` works out."""
    folder, out = tmp_path_factory.mktemp("plainly"), []
    plans.frame(folder, "", STEEL)
    for left, right in product(LEFT, RIGHT):
        with contextlib.redirect_stdout(io.StringIO()) as text:
            run(["repair", str(plans.plan(folder, "[repair]\n" + left + right, readings=RUST)), "--json"])
        d = json.loads(text.getvalue())
        out.append((sum(d["weld m"].values()), d["frame mass kg"]["as repaired"],
                    d["greatest utilisation"]["as repaired"]))  # fmt: skip
    return out


def test_the_least_is_that_of_all_combinations(folder, plainly, capsys):
    """For targets from one that nothing meets to one that the rusty frame meets itself."""
    uses = sorted({round(u, 6) for *_, u in plainly})
    assert len(uses) > 3
    targets = [uses[0] * 0.99, *(u * 1.0001 for u in (uses[0], uses[1], uses[len(uses) // 2])), uses[-1] * 1.01]
    winners = set()
    for target in targets:
        document, status = searched(folder, capsys, CATALOGUE.format(target=target))
        meets = [k for k, (*_, u) in enumerate(plainly) if u <= target]
        least = min(meets, key=lambda k: (round(plainly[k][0], 9), round(plainly[k][1], 6), k), default=None)
        assert document["count"] == len(plainly) == 15
        if least is None:
            assert document["least"] is None
            assert document["solved"] == 15
            assert status == EXCEEDED
            continue
        assert status == 0
        assert document["least"]["number"] == least
        found = [document["least"][k] for k in ("weld m", "frame mass kg", "utilisation")]
        assert found == pytest.approx(plainly[least], rel=1e-6)
        winners.add(least)
    assert len(winners) >= 3


def test_every_candidate_is_told_with_its_numbers(folder, plainly, capsys):
    document, _ = searched(folder, capsys, CATALOGUE.format(target=10), "--every-candidate")
    told = rows(document)
    assert [r["weld m"] for r in told] == sorted(r["weld m"] for r in told)
    for r in told:
        assert [r["weld m"], r["frame mass kg"], r["utilisation"]] == pytest.approx(plainly[r["number"]], rel=1e-6)
    few, _ = searched(folder, capsys, CATALOGUE.format(target=10))
    assert few["solved"] == 1
    assert few["least"]["pieces"] == []
    assert [r["number"] for r in rows(few)] == [r["number"] for r in told]
    assert sum(r["utilisation"] is None for r in rows(few)) == 14


def test_the_plan_it_prints_is_the_plan(folder, capsys):
    document, _ = searched(folder, capsys, CATALOGUE.format(target=0.001))
    best = document["lowest"]
    (folder / "best.toml").write_text(best["plan"])
    run(["repair", str(folder / "best.toml"), "--json"])
    again = json.loads(capsys.readouterr().out)
    assert again["greatest utilisation"]["as repaired"] == pytest.approx(best["utilisation"])
    assert sum(again["weld m"].values()) == pytest.approx(best["weld m"])


def test_ends_come_from_the_readings_and_splices_renew_an_end(folder, capsys):
    """What was read at 2000 mm speaks from 1750 to 2250: one piece fits between, and a rear end behind each cut."""
    text = (
        'base = "frame.toml"\nreadings = "rust.csv"\n'
        '[[choices]]\nkind = "insert"\nrail = "both"\nwall = "bottom"\nbetween = [1700, 2300]\n'
        '[[choices]]\nkind = "splice"\nrail = "left"\nstation = [1600, 3000]\nalways = true\n'
    )
    document, _ = searched(folder, capsys, text, "--every-candidate")
    told = {r["pieces"]: r for r in rows(document)}
    assert len(told) == 4
    assert all("square splice, left rail" in name for name in told)
    assert sum("insert, both rails, bottom, 1750 to 2250 mm" in name for name in told) == 2
    (clash,) = (r for r in told.values() if r["cannot be for"])
    assert "overlap" in clash["cannot be for"]
    assert clash["utilisation"] is None
    (rear,) = (r for name, r in told.items() if "3000" in name and "1750" not in name)
    assert rear["weld m"] == pytest.approx(2 * (73 + 148) / 1000)  # once round the mid-line of 150 x 75 x 2


def test_a_splice_of_both_rails_renews_each_to_its_own_end(plans, tmp_path):
    """Rails of unlike length: the left one ends at 4158, the right one 200 mm on; where alike, one row does."""
    plans.frame(tmp_path)
    text = 'base = "frame.toml"\n' + "".join(
        f'[[choices]]\nkind = "splice"\nrail = "both"\nstation = [1600]\nalways = true\nrenewed = "{end}"\n'
        for end in ("rear", "front")
    )
    (tmp_path / "catalogue.toml").write_text(text)
    read = read_catalogue(tmp_path / "catalogue.toml")
    rear, front = (c.options[0] for c in read.choices)
    assert [(i.side, i.start, i.end) for i in rear.inserts] == [("left", 1600, 4158), ("right", 1600, 4158)]
    assert len(rear.rows) == len(front.rows) == 2
    left, right = read.read.base.rails
    spans = (*right.spans[:-1], replace(right.spans[-1], end=4358.0))
    path = (*right.path[:-1], replace(right.path[-1], station=4358.0))
    unlike = replace(read.read.base, rails=(left, replace(right, spans=spans, path=path)))
    table = SimpleNamespace(rail="both", station=[1600], thickness=None, renewed="rear", made=None)
    (rows,) = _Options(Faults("", {}, scan("")), replace(read.read, base=unlike), "")._splices(table)
    inserts = [(r["rail"], r["from"], r["to"]) for kind, r in rows if kind == "inserts"]
    assert inserts == [("left", 1600, 4158), ("right", 1600, 4358)]


def test_the_page_says_what_was_searched(folder, capsys):
    (folder / "catalogue.toml").write_text(CATALOGUE.format(target=10))
    assert run(["compare", "--catalogue", str(folder / "catalogue.toml")]) == 0
    page = capsys.readouterr().out
    words = " ".join(page.split())
    for part in ("15 candidates from 2 choices, 1 solved; target 1000 % of the limit", "nothing is done",
                 "not solved", "least weld first, then the least mass"):  # fmt: skip
        assert part in words, part
    assert max(len(line) for line in page.splitlines() if str(folder) not in line) <= 100


def test_what_is_refused(folder, capsys):
    file = folder / "catalogue.toml"
    file.write_text(CATALOGUE.format(target=1))
    assert run(["compare", "--catalogue", str(file), "--most", "14"]) == UNUSABLE
    assert "makes 15 candidates from 2 choices, more than 14" in capsys.readouterr().err
    assert run(["compare", str(folder / "frame.toml"), "--catalogue", str(file)]) == UNUSABLE
    assert "goes without other files" in capsys.readouterr().err
    file.write_text(
        'base = "frame.toml"\n[[choices]]\nkind = "doubler"\nrail = "left"\nfrom = [1]\nto = [900]\n'
        '[[choices]]\nkind = "insert"\nrail = "left"\nwall = "botom"\nfrom = [100]\nto = [9999]\n'
    )
    assert run(["compare", "--catalogue", str(file)]) == UNUSABLE
    told = capsys.readouterr().err
    assert "choice 1, wall: is missing" in told
    assert "choice 1, thickness: is missing" in told
    assert f"{file}:7: choice 2, to: lies off the left rail" in told
    assert "choice 2, wall: must be a wall of the left rail" in told


def test_problems_of_catalogue_and_readings_are_told_at_once(folder, capsys):
    """A wall that the rail has not, and readings that are not there; places that hang on the readings tell nothing."""
    text = CATALOGUE.format(target=1).replace("rust.csv", "none.csv").replace('["bottom"]', '["botom"]')
    text += '[[choices]]\nkind = "doubler"\nrail = "left"\nwall = ["top"]\nthickness = [2]\nbetween = [1710, 2240]\n'
    (folder / "catalogue.toml").write_text(text)
    assert run(["compare", "--catalogue", str(folder / "catalogue.toml")]) == UNUSABLE
    told = capsys.readouterr().err
    assert "none.csv" in told
    assert "botom" in told
    assert "has no piece" not in told
