"""`ladderfe compare`: its numbers against each file checked alone, its differences recomputed, its page measured."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.checks.comparison import ComparisonRow
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.cli.main import run
from ladderfe.report.comparison_text import change_words

MODELS = Path(__file__).parents[2] / "models"
DEMO, BARE, TUBE, PICK_UP, LORRY = (
    str(MODELS / f"{name}.toml")
    for name in (
        "short-4x4",
        "short-4x4-no-gearbox-crossmember",
        "short-4x4-tube-crossmember",
        "pick-up",
        "light-lorry",
    )
)
FRAME = """\
title = "Small frame"
wheelbase = 2300

[rails]
path = [
    { station = 0, half_spacing = 380, height = 0 },
    { station = 3600, half_spacing = 380, height = 0 },
]
sections = [{ shape = "box", depth = 120, width = 65, wall = 2.5, radius = 0 }]

[[crossmembers]]
name = "front"
station = 100
shape = "box"
depth = 80
width = 60
wall = 2
radius = 0

[[crossmembers]]
name = "rear"
station = 3500
shape = "box"
depth = 80
width = 60
wall = 2
radius = 0

[[axles]]
name = "front"
station = 600
load = 800
track = 1450

[[axles]]
name = "rear"
load = 750
track = 1440

[[cases]]
name = "static"
kind = "static"

[[cases]]
name = "amplified"
kind = "amplified"

[[cases]]
name = "front axle bounce"
kind = "bounce"
axle = "front"

[[cases]]
name = "rear axle bounce"
kind = "bounce"
axle = "rear"
"""
FRONT = FRAME[FRAME.index("[[crossmembers]]") : FRAME.index('[[crossmembers]]\nname = "rear"')]


@pytest.fixture
def frame(tmp_path):
    (tmp_path / "frame.toml").write_text(FRAME)
    return tmp_path


def variant(folder, text, name="variant.toml"):
    (folder / name).write_text('base = "frame.toml"\n' + text)
    return str(folder / name)


def compared(capsys, *files):
    """The JSON document of a comparison and the exit status."""
    status = run(["compare", *files, "--json"])
    return json.loads(capsys.readouterr().out), status


def rows_of(document):
    groups = ("frame", "greatest utilisation by case", "greatest utilisation by part", "spring forces")
    return [row for g in (*groups, "sag of the rails between the axles") for row in document[g]]


@pytest.fixture(scope="module")
def three():
    """The demo, what is laid on it and the pick-up: document and findings of each alone."""
    import contextlib
    import io

    files, text = (DEMO, BARE, TUBE, PICK_UP), io.StringIO()
    with contextlib.redirect_stdout(text):
        status = run(["compare", *files, "--json"])
    findings = [check(read_chassis(f), assumptions=False) for f in files]
    assert status == int(any(f.exceeded for f in findings)), "as with check"
    return json.loads(text.getvalue()), findings


def test_changes_are_percent_of_the_first(three):
    document, _ = three
    rows = rows_of(document)
    assert len(rows) > 30
    for row in rows:
        first, *others = row["values"]
        assert row["change"][0] == (None if first is None else 0)
        for other, change in zip(others, row["change"][1:], strict=True):
            if first is None or other is None:
                assert change is None
            elif first:
                wanted = 100 * (other / first - 1) if first > 0 else 100 * (1 - other / first)
                # nine digits are written of each value: what is left of them after the difference
                assert change == pytest.approx(wanted, abs=3e-6 * max(1.0, abs(other / first)))


def test_values_are_those_of_each_file_alone(three):
    document, findings = three
    by_case = {r["name"]: r for r in document["greatest utilisation by case"]}
    by_part = {r["name"]: r["values"] for r in document["greatest utilisation by part"]}
    forces = {(r["case"], r["name"]): r["values"] for r in document["spring forces"]}
    for k, f in enumerate(findings):
        for case in f.solution.cases[1:]:
            own = [u for u in f.utilisations if u.case == case.name]
            top = max(own, key=lambda u: u.ratio)
            assert by_case[case.name]["values"][k] == pytest.approx(top.ratio, rel=1e-8)
            told = by_case[case.name]["governing"][k]
            assert told["stress N/mm2"] ** 2 == pytest.approx((top.ratio * told["limit N/mm2"]) ** 2, rel=1e-7)
            column = f.solution.case(case.name)
            for s, spring in enumerate(f.solution.springs):
                force = float(f.solution.support_forces[s, column])
                assert forces[case.name, spring.name][k] == pytest.approx(force, rel=1e-8)
        for part in f.solution.mesh.parts:
            top = max(u.ratio for u in f.utilisations if u.part == part.name)
            assert by_part[part.called][k] == pytest.approx(top, rel=1e-8)


def test_twist_is_that_of_the_bare_frame(three):
    """On the mesh of the findings; where its tapers stand in more steps than usual (the pick-up's) the coarser one is
    within what the self-check lets tapers make, 2e-3."""
    document, findings = three
    row = next(r for r in document["frame"] if r["name"] == "torsional stiffness")
    assert row["unit"] == "kN m/deg"
    for value, f in zip(row["values"], findings, strict=True):
        for mesh, room in ((f.solution.mesh, 1e-6), (None, 2e-3)):
            stiffness = twist_frame(f.chassis, mesh).stiffness  # N mm/rad
            assert value == pytest.approx(stiffness / 1e6 * math.pi / 180, rel=room)


def test_what_one_lacks_is_null(three):
    document, _ = three
    part = {r["name"]: (r["values"], r["change"]) for r in document["greatest utilisation by part"]}
    assert part["crossmember gearbox"][0][1] is None
    assert part["crossmember gearbox"][1][1] is None
    assert [v is None for v in part["crossmember front hanger"][0]] == [True, True, True, False]
    assert part["crossmember front hanger"][1] == [None] * 4


def test_a_crossmember_put_back_as_it_was_changes_nothing(frame, capsys):
    """Taken out and given anew it stands last in the file, and every number is the same but for rounding: 1e-9."""
    same = variant(frame, '[[remove]]\ncrossmember = "front"\n' + FRONT)
    document, status = compared(capsys, str(frame / "frame.toml"), same)
    assert status == 0
    rows = rows_of(document)
    assert len(rows) >= 30
    for row in rows:
        first, other = row["values"]
        assert other == pytest.approx(first, rel=1e-9, abs=0)
        assert row["change"][1] == pytest.approx(0, abs=1e-7)  # percent


def test_the_mass_of_a_thicker_crossmember_is_its_steel(frame, capsys):
    """Outline 80 x 60, wall 2 to 3, between the inner faces of the rails: (804 - 544) mm2 x 695 mm x 7.85 t/m3."""
    thicker = variant(frame, '[[crossmembers]]\nname = "front"\nwall = 3\n')
    document, _ = compared(capsys, str(frame / "frame.toml"), thicker)
    first, other = next(r for r in document["frame"] if r["name"] == "frame mass")["values"]
    before, after = (80 * 60 - (80 - 2 * t) * (60 - 2 * t) for t in (2, 3))
    assert (before, after) == (544, 804)
    assert other - first == pytest.approx((after - before) * (760 - 65) * 7.85e-6, rel=1e-6)


def beam_sag(wall):
    """Sag of one weightless 120 x 65 rail of FRAME between its axles, mm: body loads by the lever rule, then the
    moment integrated twice (trapezoids of 1 mm), and the webs' shear."""
    g, length, split, front, rear = 9.80665, 3600.0, 1800.0, 600.0, 2900.0
    sprung = (800 - 170) * g / 2, (750 - 170) * g / 2  # N on one rail, assumed unsprung mass 170 kg an axle
    arms = [[1, 1], [split / 2, split + split / 2]]  # sum and moment about the front end
    halves = np.linalg.solve(arms, [sum(sprung), sprung[0] * front + sprung[1] * rear])
    x = np.arange(0, length + 1)
    q = np.where(x < split, halves[0], halves[1]) / split
    shear = sprung[0] * (x > front) + sprung[1] * (x > rear) - cumulative(q, x)
    moment = cumulative(shear, x)
    inertia = (65 * 120**3 - (65 - 2 * wall) * (120 - 2 * wall) ** 3) / 12
    slope = cumulative(moment / (205_000 * inertia), x)
    drop = cumulative(moment / (205_000 / 2.6 * 2 * wall * 120), x, rate=False) - cumulative(slope, x)
    between = (x >= front) & (x <= rear)
    chord = np.interp(x, [front, rear], drop[[int(front), int(rear)]])
    gap = (drop - chord)[between]
    return gap[np.argmax(np.abs(gap))]


def cumulative(y, x, rate=True):
    """Integral of y from the front end by trapezoids; or y itself, where it is one already."""
    return np.concatenate([[0], np.cumsum((y[1:] + y[:-1]) / 2 * np.diff(x))]) if rate else y


def test_sag_is_that_of_a_beam(frame, capsys):
    """Weightless steel, springs right under the rails: the sag is a beam's.  Within 2 %: the webs' shear area is taken
    as the webs' own, and shear makes some percent of the sag."""
    plain = variant(frame, "material.density = 0\n", "plain.toml")
    thick = variant(
        frame,
        "material.density = 0\n"
        '[rails]\nsections = [{ shape = "box", depth = 120, width = 65, wall = 5, radius = 0 }]\n',
        "thick.toml",
    )
    document, _ = compared(capsys, plain, thick)
    sag = {r["name"]: r["values"] for r in document["sag of the rails between the axles"]}
    for value, wall in zip(sag["static"], (2.5, 5), strict=True):
        assert value == pytest.approx(beam_sag(wall), rel=0.02)
    assert sag["amplified"] == pytest.approx([2 * v for v in sag["static"]], rel=1e-7)


def test_the_same_file_twice_is_the_same(frame, capsys):
    file = str(frame / "frame.toml")
    assert run(["compare", file, file]) == 0
    page = capsys.readouterr().out
    assert "All spring forces agree within 0.05 %." in page
    table = page[page.index("Greatest utilisation of each case") : page.index("Where it governs")]
    assert table.count("same") == 4


@pytest.mark.parametrize("files", [(DEMO, BARE), (DEMO, BARE, TUBE, PICK_UP, LORRY)], ids=["two", "five"])
def test_the_page_fits_and_has_every_chapter(capsys, files):
    assert run(["compare", *files]) == 1  # the demo's winch and bumps
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 100
    assert not re.search(r"\bnan\b|\binf\b|None", page)
    heads = re.findall(r"(?m)^(.+)\n-{5,}$", page)
    assert heads == [
        "In short",
        "Frame",
        "Greatest utilisation of each case",
        "Where it governs, N/mm2",
        "Greatest utilisation of each part, all cases",
        "Thin walls: greatest utilisation, all cases",
        "Sag of the rails between the axles, mm",
        "Spring forces, kN",
        "Self-check: proofs that hold",
        "Not checked",
        "Cautions",
    ]
    assert re.search(r"crossmember\s+gearbox[^\n]*none|crossmember [^\n]*none[^\n]*\ngearbox", page)
    for letter, file in zip("ABCDEF", files, strict=False):
        assert re.search(rf"(?m)^{letter}  ", page)
        assert Path(file).name in page.replace("\n   ", "")


def summary_of(page):
    """The paragraphs of the summary by their letters."""
    block = page[page.index("In short\n") : page.index("\nFrame\n")]
    return {m[1]: " ".join(m[2].split()) for m in re.finditer(r"(?m)^([A-Z]\d*)  (.*(?:\n   .*)*)", block)}


def test_the_summary_stands_on_top_and_tells_what_each_file_alone_does(three, capsys):
    document, findings = three
    assert run(["compare", DEMO, BARE, TUBE, PICK_UP]) == 1
    own = summary_of(capsys.readouterr().out)
    assert list(own) == ["A", "B", "C", "D"]
    mass = next(r for r in document["frame"] if r["name"] == "frame mass")["values"]
    for k, (words, f) in enumerate(zip(own.values(), findings, strict=True)):
        u, over = f.utilisations[0], len(f.cases_over())
        assert words.startswith(f"{100 * u.ratio:.1f} %")
        assert f" governs: {u.part} at " in words
        assert f", case {u.case}; {over or 'none'} of {len(f.solution.cases) - 1} cases over a limit." in words
        assert f"frame {mass[k]:.1f} kg" in words
    first, other = (f.utilisations[0].ratio for f in findings[:2])
    assert f"({100 * (other / first - 1):+.1f} %) governs" in own["B"]
    assert "(" not in own["A"].split(" governs")[0]
    assert f"{100 * findings[3].utilisations[0].ratio:.1f} % OVER (not all cases are A's) governs" in own["D"]
    rows = [r for r in document["greatest utilisation by case"] if r["change"][1] is not None]
    most, least = (pick(rows, key=lambda r: r["change"][1]) for pick in (max, min))
    assert f"Utilisation rises most in {most['name']} ({most['change'][1]:+.1f} %) and falls most in " in own["B"]
    assert f"falls most in {least['name']} ({least['change'][1]:+.1f} %)." in own["B"]


def test_the_summary_names_cases_that_come_over_a_limit_or_below_it(frame, capsys):
    thin = variant(frame, '[rails]\nsections = [{ shape = "box", depth = 40, width = 30, wall = 2, radius = 0 }]\n')
    whole = str(frame / "frame.toml")
    findings = check(read_chassis(thin), assumptions=False)
    names = [c.name for c in findings.solution.cases[1:] if c.name in dict(findings.cases_over())]
    assert len(names) > 3
    assert run(["compare", whole, thin]) == 1
    words = summary_of(capsys.readouterr().out)
    assert f"Now OVER: {'; '.join(names[:3])}; and {len(names) - 3} more." in words["B"]
    assert "none of 4 cases over a limit" in words["A"]
    assert run(["compare", thin, whole]) == 1
    assert f"No longer over: {'; '.join(names[:3])}; and" in summary_of(capsys.readouterr().out)["B"]
    assert run(["compare", whole, whole]) == 0
    page = capsys.readouterr().out
    assert "No utilisation of a case differs." in summary_of(page)["B"]
    assert "Cases over a limit: by" not in page


def test_cases_are_matched_by_name(capsys):
    assert run(["compare", DEMO, LORRY]) == 1
    page = capsys.readouterr().out
    assert re.search(r"(?m)^amplified +\d+\.\d % +none$", page)
    assert re.search(r"(?m)^both axles bounce +none +\d+\.\d %$", page)
    assert re.search(r"(?m)^rear axle bounce +\d+\.\d % +\d+\.\d % +[+-]\d+\.\d %$", page)
    assert re.search(r"(?m)^ +B +no such case$", page)


def test_a_tenfold_change_is_told_as_a_multiple(frame, capsys):
    lighter = variant(frame, '[rails]\nsections = [{ shape = "box", depth = 30, width = 20, wall = 1, radius = 0 }]\n')
    assert run(["compare", str(frame / "frame.toml"), lighter]) == 1  # over its limit: as with check
    page = capsys.readouterr().out
    assert re.search(r"(?m)^static +\d+\.\d % +\d+\.\d % OVER +x \d+$", page)


def test_faults_of_all_files_are_told_at_once(frame, capsys):
    one = variant(frame, '[[crossmembers]]\nname = "frnt"\nwall = 3\n', "one.toml")
    two = variant(frame, "[material]\ndensitty = 7850\n", "two.toml")
    assert run(["compare", one, two, str(frame / "none.toml")]) == 2
    said = capsys.readouterr().err
    assert "one.toml:3: " in said
    assert "two.toml:3: " in said
    assert "none.toml: file: does not exist" in said
    assert said.endswith("3 problems; nothing was calculated.\n")


def test_loads_that_contradict_each_other_name_the_file(frame, capsys):
    light = variant(frame, "[body]\nfrom = 0\nto = 800\n")
    assert run(["compare", str(frame / "frame.toml"), light]) == 2
    assert capsys.readouterr().err.startswith(f"{light}: ")


def test_a_case_that_cannot_be_solved_is_told_with_its_line(capsys, tmp_path):
    """A jack at the left front cannot lift the wheel across; the case is stated in the overlay, on its line 3."""
    jack = '[[cases]]\nname = "front up"\nkind = "jack"\nat = "front jack pad left"\nwheels = ["rear right"]\n'
    file = str(tmp_path / "jack.toml")
    Path(file).write_text(f'base = "{DEMO}"\n\n{jack}')
    told = f"{file}:3: case front up: the jack at front jack pad left does not clear the rear right wheel before"
    for args in (["check", file, "--quick"], ["hand", file], ["compare", str(MODELS / "test-frame.toml"), file]):
        assert run(args) == 2
        assert capsys.readouterr().err.startswith(told), args


def test_one_file_alone_is_no_comparison(frame, capsys):
    assert run(["compare", str(frame / "frame.toml")]) == 2
    assert "Name two files or more: the first is what the others are compared with." in capsys.readouterr().err


def test_thin_walls_are_those_of_each_file_alone(three):
    document, findings = three
    rows = {r["name"]: r["values"] for r in document["greatest utilisation of thin walls"]}
    effective, seats = rows["stress on effective walls"], rows["force on webs at spring seats, jacks and stands"]
    for k, f in enumerate(findings):
        assert effective[k] == pytest.approx(max(u.ratio for u in f.buckling.effective), rel=1e-8)
        assert seats[k] == pytest.approx(max(u.together for u in f.buckling.seats), rel=1e-8)


def test_thin_walls_over_a_limit_are_told_and_count(frame, capsys):
    """Rails of 0.8 mm: their webs buckle over the springs, while 2.5 mm lose nothing."""
    thin = variant(frame, '[rails]\nsections = [{ shape = "box", depth = 120, width = 65, wall = 0.8, radius = 0 }]\n')
    document, status = compared(capsys, str(frame / "frame.toml"), thin)
    assert status == 1
    assert [f["over a limit"] for f in document["files"]] == [False, True]
    assert run(["compare", str(frame / "frame.toml"), thin]) == 1
    page = capsys.readouterr().out
    assert max(map(len, page.splitlines())) <= 100
    assert re.search(r"(?m)^stress on effective walls +none +\d+\.\d %", page)
    assert re.search(r"(?m)^force on webs at spring seats, jacks and stands +\d+\.\d % +\d+\.\d % OVER", page)
    assert "ASSUMED to bear on the bottom flange along 50 mm" in page


def test_beyond_its_formula_no_figure_is_told():
    row = ComparisonRow(name="shear of slender webs", unit="", values=(0.5, 114.15))
    assert change_words(row, 1) == ""
    assert change_words(replace(row, name="static"), 1) == "x 228"


def test_a_sag_that_turns_its_sign_is_no_multiple():
    """From 0.1 mm of hog to 2 mm of sag: 21 times its size further, and 20 times the other way, but not "x 22"."""
    row = ComparisonRow(name="static", unit="mm", values=(-0.1, 2.0, -2.0, 0.1))
    assert [change_words(row, k) for k in (1, 2, 3)] == ["+2100.0 %", "-1900.0 %", "+200.0 %"]
