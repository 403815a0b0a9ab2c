"""Twist as JSON: it can be read, says what the findings say, and is the same each time."""

import json
import math
from dataclasses import replace

import pytest

from ladderfe.report.twist_data import twist_json, twist_tables


@pytest.fixture(scope="module")
def document(demo_twist):
    return json.loads(twist_json(demo_twist, "demo.toml"))


def rows(document, name):
    """Rows of a table as dictionaries by column."""
    table = document[name]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def test_head(document, demo_twist):
    assert document["program"] == "ladderfe"
    assert document["file"] == "demo.toml"
    assert document["proven"] is True
    assert document["over a limit"] is demo_twist.findings.exceeded
    assert document["joints used"] == "middle"
    assert document["limit couple N m"] == pytest.approx(demo_twist.couple / 1000, rel=1e-8)
    assert document["limited by axle"] == "front"
    assert document["rigid joints stiffer by"] == pytest.approx(demo_twist.rigid_error, rel=1e-8)
    stiffness = document["torsional stiffness N m/deg"]
    assert list(stiffness) == ["low", "middle", "high", "rigid"]
    assert stiffness["middle"] == pytest.approx(demo_twist.stiffness * math.pi / 180 / 1000, rel=1e-8)


def test_every_table_is_whole(document, demo_twist):
    for name, (head, found) in twist_tables(demo_twist).items():
        assert document[name]["columns"] == list(head)
        assert len(document[name]["rows"]) == len(found) > 0
        assert all(len(row) == len(head) for row in document[name]["rows"])


def test_shares_and_bays_add_up(document):
    """Nine digits are written: sums to 1e-7."""
    for level in ("low", "middle", "high", "rigid"):
        energy = [r for r in rows(document, "strain energy") if r["joints"] == level]
        assert sum(r["all"] for r in energy) == pytest.approx(1.0, abs=1e-7)
        assert sum(r["share"] for r in rows(document, "bays") if r["joints"] == level) == pytest.approx(1.0, abs=1e-7)
    assert sum(r["share of the give"] for r in rows(document, "springs and frame in series")[:3]) == pytest.approx(1.0)


def test_twist_along_the_frame_ends_at_the_stiffness(document, demo_twist):
    """1 kN m over the degrees from the rear to the front axle is the stiffness."""
    front, rear = (a.station for a in demo_twist.chassis.axles)
    for name, stiffness in document["torsional stiffness N m/deg"].items():
        at = {r["station mm"]: r["angle against the rear axle deg per kN m"]
              for r in rows(document, "twist along the frame") if r["joints"] == name}  # fmt: skip
        assert at[rear] == 0
        assert 1000 / at[front] == pytest.approx(stiffness, rel=1e-7)


def test_raised_wheels(document, demo_twist):
    lift = demo_twist.lifts[4]
    own = [r for r in rows(document, "wheels raised") if (r["raised"], r["joints"]) == (lift.name, "middle")]
    assert [r["height mm"] for r in own] == pytest.approx(sorted({*lift.height, 200.0}), rel=1e-8)
    at = next(r for r in own if r["height mm"] == 200.0)
    assert at["couple N m"] == pytest.approx(lift.couple_at(200.0) / 1000, rel=1e-8)
    assert at["front right wheel N"] == pytest.approx(lift.at(200.0)["front right wheel"], rel=1e-8)
    changes = [r for r in rows(document, "on the way up") if (r["raised"], r["joints"]) == (lift.name, "middle")]
    assert [(r["support"], r["what it does"]) for r in changes][-1] == ("front right wheel", "opens")


def test_cases_with_their_governing_place(document, demo_twist):
    for r in rows(document, "cases"):
        u = next(u for u in demo_twist.findings.utilisations if u.case == r["case"])
        assert (r["part"], r["wall"], r["criterion"]) == (u.part, u.wall, u.criterion)
        assert r["utilisation, joints middle"] == pytest.approx(u.ratio, rel=1e-8)
        assert abs(r["stress N/mm2"]) / r["limit N/mm2"] == pytest.approx(u.ratio, rel=1e-7)
    assert {r["case"] for r in rows(document, "cases")} == {c.name for c in demo_twist.findings.chassis.cases[1:]}


def test_rigid_is_infinite_and_what_is_none_is_null(demo_twist):
    level = replace(demo_twist.levels["low"], effects={"front": (math.nan, 1.0, 2.0)})
    document = json.loads(twist_json(replace(demo_twist, levels={**demo_twist.levels, "low": level}), "x"))
    first = rows(document, "crossmembers")[0]
    assert (first["joints"], first["crossmember"]) == ("low", "front")
    assert (first["removed kN m/deg"], first["removed change"]) == (None, None)
    assert rows(document, "joints")[0]["z N/mm"] == "infinite"


def test_the_bench_test(document, demo_twist):
    (fit,) = demo_twist.bench
    found = rows(document, "bench tests")
    assert [r["read mm"] for r in found] == pytest.approx(list(fit.read))
    assert [r["factor on joints"] for r in found] == pytest.approx([fit.factor] * len(found), rel=1e-8)


def test_the_same_findings_give_the_same_text(demo_twist):
    assert twist_json(demo_twist, "x") == twist_json(demo_twist, "x")


def test_short_of_proof_only_the_self_check(plain_twist):
    broken = replace(plain_twist.proofs[0], difference=1.0)
    document = json.loads(twist_json(replace(plain_twist, proofs=(broken, *plain_twist.proofs[1:])), "x"))
    assert document["proven"] is False
    assert document["over a limit"] is None
    assert "limit couple N m" not in document
    assert [k for k, v in document.items() if isinstance(v, dict)] == ["self-check"]
