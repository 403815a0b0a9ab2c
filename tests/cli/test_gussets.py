"""Gussets at crossmembers' joints: stiffness as of a gusseted joint, welds by statics, zero change, what is refused."""

from __future__ import annotations

import json

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.checks.weld_demands import demands_of
from ladderfe.cli.main import UNUSABLE, run

GUSSETS = """
[[gussets]]
name = "third"
member = "third"
way = "{way}"
web_leg = {leg}
reach = 60
thickness = {thickness}
"""
DEEP = '{ shape = "box", depth = 200, width = 75, wall = 2, radius = 0 }'


def gussets(way="upright", leg=40, thickness=2):
    return GUSSETS.format(way=way, leg=leg, thickness=thickness)


def rows(document, table):
    t = document[table]
    return [dict(zip(t["columns"], row, strict=True)) for row in t["rows"]]


def out(capsys, *args):
    run(list(args))
    told = capsys.readouterr()
    assert not told.err
    return told.out


@pytest.mark.parametrize("way", ["upright", "in plan"])
def test_the_joint_is_that_of_the_word_under_joint(plans, tmp_path, way):
    """The same frame as with joint = { kind = "gusseted ..", gusset = 40 }, to the last digit."""
    one = read_chassis(plans.frame(tmp_path, DEEP, gussets(way)))
    word = f'[[crossmembers]]\nname = "third"\njoint = {{ kind = "gusseted {way}", gusset = 40 }}\n'
    two = read_chassis(plans.frame(tmp_path, DEEP, word))
    assert one.crossmembers == two.crossmembers
    assert one.crossmembers != read_chassis(plans.frame(tmp_path, DEEP)).crossmembers


@pytest.mark.parametrize("way", ["upright", "in plan"])
def test_plates_and_joint_are_in_balance(plans, tmp_path, way):
    """In every case: outline and web legs add up to what the crossmember brings, force and moment; each plate gets
    from the crossmember what it gives to the web, force and moment about the corner, line forces integrated anew."""
    chassis = read_chassis(plans.frame(tmp_path, DEEP, gussets(way) + plans.TWIST))
    demands = demands_of(check(chassis, assumptions=False), None)
    assert len(demands.gussets) == 2
    for g in demands.gussets:
        away = 1.0 if g.gusset.side == "left" else -1.0
        outward = np.array([0.0, 0, 1]) if way == "upright" else np.array([-1.0, 0, 0])  # the front one first
        half = 40 if way == "upright" else 30
        total, turn = np.zeros((len(g.cases), 3)), np.zeros((len(g.cases), 3))
        for plate in range(2):
            sense = outward * (1 if plate == 0 else -1)
            axes = np.array([sense, np.cross(sense, [0, 1.0, 0]), [0, 1.0, 0]])
            corner = sense * half
            web = _integrated(g.on_web[:, 2 * plate] @ axes, corner, corner + sense * g.gusset.web_leg)
            force, moment = (2 * v for v in web)
            total += force
            turn += moment
            # on the crossmember: along is y, normal outward from it
            own = np.array([[0, 1.0, 0], axes[1], sense])
            toe = corner + np.array([0, away * g.gusset.reach, 0])
            got = [2 * v for v in _integrated(g.on_member[:, 2 * plate] @ own, corner, toe)]
            size = np.abs(force).max()
            assert got[0] == pytest.approx(force, abs=1e-9 * size)
            plane = np.argmax(np.abs(axes[1]))  # moment in the plate's own plane
            about = [v[:, plane] - np.cross(corner, f)[:, plane] for v, f in ((got[1], got[0]), (moment, force))]
            assert about[0] == pytest.approx(about[1], abs=1e-9 * size * 100)
        lines = _outline_sum(g)
        assert total + lines[0] == pytest.approx(g.joint.force, abs=1e-6 * np.abs(g.joint.force).max())
        assert turn + lines[1] == pytest.approx(g.joint.moment, abs=1e-6 * np.abs(g.joint.moment).max())


def _integrated(ends, start, end):
    """Force and moment about the origin of a line force (c, 2, 3) between two places, Simpson's rule."""
    length, middle = np.linalg.norm(end - start), (start + end) / 2
    q = ends[:, 0], (ends[:, 0] + ends[:, 1]) / 2, ends[:, 1]
    weights, places = (1 / 6, 4 / 6, 1 / 6), (start, middle, end)
    force = sum(w * length * v for w, v in zip(weights, q, strict=True))
    moment = sum(w * length * np.cross(p, v) for w, v, p in zip(weights, q, places, strict=True))
    return force, moment


def _outline_sum(g):
    """The same of the weld round a box of 80 x 60 mm, corners anticlockwise in (forward, up)."""
    corners = np.array([(30.0, 0, -40), (-30, 0, -40), (-30, 0, 40), (30, 0, 40)])
    force = moment = 0
    for k in range(4):
        start, end = corners[k], corners[(k + 1) % 4]
        along = (end - start) / np.linalg.norm(end - start)
        axes = np.array([along, np.cross(along, [0, 1.0, 0]), [0, 1.0, 0]])
        f, m = _integrated(g.joint.lines[:, k] @ axes, start, end)
        force, moment = force + f, moment + m
    return force, moment


def test_gussets_relieve_the_weld_and_the_bare_crossmember(plans, tmp_path, capsys):
    bare = json.loads(out(capsys, "weld", str(plans.frame(tmp_path, DEEP, plans.TWIST)), "--json"))
    file = str(plans.frame(tmp_path, DEEP, gussets() + plans.TWIST))
    stiff = json.loads(out(capsys, "weld", file, "--json"))
    before, after = (next(r for r in rows(d, "joint welds") if r["about"].endswith("third")) for d in (bare, stiff))
    assert after["force N/mm"] < 0.8 * before["force N/mm"]
    moments = [r for r in rows(stiff, "gussets") if r["case"] == "twist"]
    assert len(moments) == 2
    for r in moments:  # antisymmetric twist: the moment falls evenly to nothing in the middle, 400 - 37.5 mm off
        part = 1 - 60 / 362.5
        assert r["moment at the toe N mm"] == pytest.approx(part * r["moment at the web N mm"], rel=1e-6)
    welds = rows(stiff, "gusset welds")
    assert [w["weld"] for w in welds] == ["on the web", "on the crossmember"] * 2
    assert [w["length mm"] for w in welds] == [160, 240] * 2
    page = " ".join(out(capsys, "weld", file).split())
    assert "Gussets: each fillet of a plate" in page
    assert "How stiff gussets make a joint is not in the data" in page


def test_zero_thickness_changes_nothing_and_a_plan_brings_them(plans, tmp_path, capsys):
    plans.frame(tmp_path, DEEP, plans.TWIST)
    none = json.loads(out(capsys, "repair", str(plans.plan(tmp_path, "[repair]\n" + gussets(thickness=0))), "--json"))
    for table in ("cases", "parts", "stretches"):
        for row in none[table]["rows"]:
            assert row[3] == pytest.approx(row[1], rel=1e-9), row
    assert sum(none["weld m"].values()) == 0
    some = json.loads(out(capsys, "repair", str(plans.plan(tmp_path, "[repair]\n" + gussets(thickness=5))), "--json"))
    twist = some["torsional stiffness kN m/deg"]
    assert twist["as repaired"] > 1.001 * twist["as built"]
    assert some["weld m"]["crossmember joint"] == pytest.approx(2 * 4 * 0.1)  # two ends, two plates, both sides
    found = [r for r in rows(some, "rules") if r["piece"].startswith("third")]
    assert [(r["found"], r["limit"], r["kept"]) for r in found] == [(2.5, 1, False)] * 2


FAULTY = """
[[crossmembers]]
name = "second"
joint_left = { rx = 20 }
joint_right = { kind = "through" }
[[gussets]]
name = "one"
member = "thrid"
way = "upright"
web_leg = 30
reach = 60
thickness = 2
[[gussets]]
name = "two"
member = "second"
way = "upright"
web_leg = 50
reach = 500
thickness = 2
leg = 3
throat = 2
[[gussets]]
name = "three"
member = "front"
way = "in plan"
web_leg = 90
reach = 60
thickness = 2
[[gussets]]
name = "four"
member = "front"
end = "left"
way = "sideways"
web_leg = 30
reach = 60
thickness = 2
"""


def test_all_faults_at_once(plans, tmp_path, capsys):
    assert run(["weld", str(plans.frame(tmp_path, more=FAULTY))]) == UNUSABLE
    told = capsys.readouterr().err
    for words in (
        'gusset "one", member: no crossmember has this name (got "thrid"). Did you mean "third"?',
        'gusset "two", member: has a left joint whose stiffness is given',
        'has a right joint that is "through"',
        'gusset "two", web_leg: reaches beyond the left rail: 35 mm are left',
        'gusset "two", reach: is more than half of the way between the rails, 800 mm',
        'gusset "two", throat: is given beside leg',
        'gusset "three", web_leg: reaches to -20 mm, off the left rail, from 0 to 4158 mm',
        'gusset "four", way: must be "upright" or "in plan"',
        "stand at the left end of front, which has gussets already",
    ):
        assert words in told, words
