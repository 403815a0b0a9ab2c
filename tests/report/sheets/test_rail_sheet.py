"""Diagrams of rails: loads in balance, values those of the checks, drawn on the side that is said."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

import ladderfe
from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.checks.contraflexure import contraflexure
from ladderfe.report.sheets import rail_diagrams
from ladderfe.report.sheets.rail_curves import Curve, _rows, level_values, rail_curves, turning_values

MODELS = Path(ladderfe.__file__).parent.parent / "models"
CASES = ["static", "front axle bounce", "one wheel bump, front left", "jack at front jack pad left", "stands"]


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("case", CASES)
def test_the_loads_on_a_rail_balance(demo_findings, side, case):
    """Statics: upward forces at nodes carry what lies along the rail; rounding of a solution of a few kN."""
    c = rail_curves(demo_findings, side, case)
    along = sum((q.at_start + q.at_end) / 2 * (q.end - q.start) for q in c.lines)
    assert sum(p.force for p in c.points) == pytest.approx(along, rel=1e-6, abs=1e-3)


def test_the_moment_is_that_of_the_loads(plain_findings):
    """Level rails alike on both sides, nothing twists: M and V by statics of the loads drawn, as a beam on two
    supports.  Printed values are rounded to three digits."""
    c = rail_curves(plain_findings, "left", "static")
    for curve, power in ((c.shear, 0), (c.moment, 1)):
        for x, value in zip(curve.at, curve.known, strict=True):
            if any(abs(x - p.station) < 1 for p in c.points) and power == 0:
                continue  # the shear jumps there
            by_hand = sum(p.force * (x - p.station) ** power for p in c.points if p.station < x)
            for q in c.lines:
                end = min(float(x), q.end)
                if end > q.start:
                    s = np.polynomial.legendre.leggauss(3)
                    at = q.start + (s[0] + 1) / 2 * (end - q.start)
                    load = q.at_start + (at - q.start) / (q.end - q.start) * (q.at_end - q.at_start)
                    by_hand -= float((s[1] / 2 * (end - q.start) * load * (x - at) ** power).sum())
            assert value == pytest.approx(by_hand, rel=1e-6, abs=1e-6 * curve.most)


def test_springs_bring_what_the_solution_has(plain_findings, sheet_of):
    s = plain_findings.solution
    sheet = sheet_of(rail_diagrams(plain_findings, "right", "static"))
    told = {t.words.split(" ", 1)[1]: t.number for t in sheet.of("force")}
    for k, spring in enumerate(s.springs):
        if spring.side == "right":
            assert told[f"{spring.axle} spring"] == pytest.approx(s.support_forces[k, s.case("static")] / 1e3, abs=5e-3)
    assert len(sheet.shapes("mark")) == 2


@pytest.mark.parametrize("narrow", [False, True], ids=["wide", "narrow"])
@pytest.mark.parametrize("case", CASES)
def test_values_at_turning_points_are_those_of_the_findings(demo_findings, case, narrow, sheet_of):
    """Each value is printed to the digits that its panel has: half of the last one may be missing.  The greatest of
    every diagram is among them."""
    sheet = sheet_of(rail_diagrams(demo_findings, "left", case, narrow=narrow))
    rows = _rows(demo_findings, "left")
    r = rows.resultants[:, :, demo_findings.solution.case(case)]
    for letter, known in (("V", -r[:, 2] / 1e3), ("M", -r[:, 4] / 1e6), ("T", r[:, 3] / 1e6)):
        told = [t for t in sheet.told if {"is-turn", f"is-{letter}"} <= t.kinds]
        assert told
        for t in told:
            digits = len(t.words.partition(".")[2])
            assert np.abs(known - t.number).min() <= 0.5 * 10.0**-digits + 1e-9, t
        most = known[np.abs(known).argmax()]
        assert any(abs(t.number - most) <= 0.5 * 10.0 ** -len(t.words.partition(".")[2]) + 1e-9 for t in told)


@pytest.mark.parametrize("case", CASES)
def test_contraflexure_is_that_of_the_check(demo_findings, case, sheet_of):
    sheet = sheet_of(rail_diagrams(demo_findings, "right", case))
    found = contraflexure(demo_findings.solution, _rows(demo_findings, "right"), "right")
    stations = next(c.stations for c in found if c.case == case)
    assert sorted(t.number for t in sheet.of("contraflexure")) == [round(s) for s in stations]
    assert len(sheet.shapes("zero")) == len(stations)


def test_sagging_is_drawn_below_the_axis(plain_findings, sheet_of):
    """The greatest moment between the axles sags: its curve lies lower on the sheet than the axis of its panel."""
    c = rail_curves(plain_findings, "left", "static")
    assert c.moment.known.max() > 0
    sheet = sheet_of(rail_diagrams(plain_findings, "left", "static"))
    curve = sheet.shapes("curve")[1]
    points = [tuple(map(float, p)) for p in re.findall(r"(-?[\d.]+),(-?[\d.]+)", curve.get("d"))]
    axis = points[0][1]
    (station, value), low = max(turning_values(c.moment, 0.0), key=lambda p: p[1]), max(y for _, y in points)
    top = min(y for _, y in points)
    assert low > axis > top
    ratio = value / -c.moment.known.min()
    assert (low - axis) / (axis - top) == pytest.approx(ratio, rel=0.01)  # to scale on both sides of the axis
    assert "sagging positive and drawn downward" in sheet.svg
    assert 0 < station < 4158


def test_turning_values_of_a_made_up_curve():
    x = np.arange(7.0)
    curve = Curve(x, x, x, np.array([0.0, 4.0, 1.0, 1.2, -3.0, -2.9, 0.0]))
    assert turning_values(curve, 0.5) == ((1.0, 4.0), (4.0, -3.0))
    assert turning_values(curve, 0.1)[:3] == ((1.0, 4.0), (2.0, 1.0), (3.0, 1.2))
    steps = Curve(x, x, x, np.array([0.0, 2.0, 2.0, 2.0, 5.0, 5.0, 0.0]))
    assert level_values(steps, 1.5) == ((2.0, 2.0),)


def test_an_unknown_case_is_refused(plain_findings):
    with pytest.raises(KeyError):
        rail_diagrams(plain_findings, "left", "no such case")


def test_masses_at_the_very_ends_of_the_rails(made):
    """40 kg on each rail at both ends and nothing else there: 40 kg x 9.80665 m/s2 = 0.392 kN downward at each."""
    mounts = tuple(
        made.mount(f"{end} bracket {side}", f"{side} rail", x, y)
        for end, x in (("front", 0.0), ("rear", 4000.0))
        for side, y in (("left", -400.0), ("right", 400.0))
    )
    masses = tuple(
        made.mass(end, 0.08, (x, 0.0, 0.0), (f"{end} bracket left", f"{end} bracket right"))
        for end, x in (("front", 0.0), ("rear", 4000.0))
    )
    c = rail_curves(check(made.chassis(mounts=mounts, masses=masses), assumptions=False), "left", "static")
    ends = [p for p in c.points if "bracket" in p.words]
    assert [p.station for p in ends] == [0, 4000]
    assert [p.force for p in ends] == pytest.approx([-40 * 9.80665] * 2, rel=1e-6)


def test_a_mass_along_the_rails_is_told_once(sheet_of):
    """The pick-up's load of 650 kg on the bed, half of it on each rail, lies on 20 places of a rail; what shares a
    place with a bolt is told with that."""
    findings = check(read_chassis(MODELS / "pick-up.toml"), assumptions=False)
    c = rail_curves(findings, "left", "static")
    many = [p for p in c.points if p.spread]
    shared = [p for p in c.points if "load on the bed" in p.words and not p.spread]
    assert len(many) + len(shared) == 20
    assert -sum(p.force for p in many) == pytest.approx(650 / 2 / 20 * len(many) * 9.80665, rel=1e-6)
    sheet = sheet_of(rail_diagrams(findings, "left", "static"))
    assert not {p.words for p in many} & {t.words.split(" ", 1)[1] for t in sheet.of("force")}
    assert f"load on the bed, {-sum(p.force for p in many) / 1000:.2f} kN of it" in sheet.svg
