"""What holds of every sheet of every chassis in the gallery; of rails the first case and two more."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

import ladderfe
from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.checks.found import check_found
from ladderfe.condition import as_found, read_readings
from ladderfe.report.sheets import chassis_drawing, rail_diagrams, section_sheet
from ladderfe.report.sheets.letters import width_of
from ladderfe.report.vector import width_of as measured

MODELS = Path(ladderfe.__file__).parent.parent / "models"
FILES = sorted(p.name for p in MODELS.glob("*.toml"))


@pytest.fixture(scope="module", params=[*FILES, "short-4x4-readings.csv"])
def findings(request):
    if request.param.endswith(".csv"):
        chassis = read_chassis(MODELS / "short-4x4.toml")
        return check_found(as_found(chassis, read_readings(MODELS / request.param, chassis)), assumptions=False)
    return check(read_chassis(MODELS / request.param), assumptions=False)


@pytest.mark.parametrize("narrow", [False, True], ids=["wide", "narrow"])
def test_words_do_not_overlap_or_leave_the_sheet(findings, narrow, sheet_of):
    for svg in chassis_drawing(findings, narrow=narrow):
        sheet_of(svg).in_order()
    sheet_of(section_sheet(findings, narrow=narrow)).in_order()
    cases = [c.name for c in findings.solution.cases[1:]]
    for k, case in enumerate((cases[0], *random.Random(5).sample(cases[1:], 2))):
        sheet_of(rail_diagrams(findings, ("left", "right")[k % 2], case, narrow=narrow)).in_order()


def test_the_same_findings_give_the_same_bytes(plain_findings):
    for make in (chassis_drawing, section_sheet, lambda f: rail_diagrams(f, "left", "static")):
        assert make(plain_findings) == make(plain_findings)


def test_names_are_escaped(demo_findings, sheet_of):
    """Signs of XML in names come back as they were, and characters that XML does not know do no harm."""
    name = 'eye <b> & "bolt" \x01'
    mounts = tuple(replace(m, name=name) if m.name == "battery tray" else m for m in demo_findings.chassis.mounts)
    chassis = replace(demo_findings.chassis, title='<svg> & "sheet"\x00', mounts=mounts)
    changed = replace(demo_findings, chassis=chassis)
    sheet = sheet_of(chassis_drawing(changed)[0])
    assert any(t.words == '480 eye <b> & "bolt" \ufffd' for t in sheet.told)
    assert sheet.root.get("aria-label").startswith('<svg> & "sheet"\ufffd')
    sheet_of(section_sheet(changed)).in_order()
    sheet_of(rail_diagrams(changed, "left", "static")).in_order()


def test_long_names_are_cut_to_their_room(demo_findings, sheet_of):
    long = tuple(replace(c, name=f"{c.name} " + 30 * "very long ") for c in demo_findings.chassis.crossmembers)
    chassis = replace(demo_findings.chassis, crossmembers=long, title="a title " * 40)
    for narrow in (False, True):
        changed = replace(demo_findings, chassis=chassis)
        for svg in (*chassis_drawing(changed, narrow=narrow), section_sheet(changed, narrow=narrow)):
            sheet_of(svg).in_order()


def test_words_are_no_wider_than_the_table_has_them():
    """Against the font itself, kerning and all, measured ten times as large (small letters are rounded to whole pixels
    there, at that size still to 0.5 % of a letter); seed fixed."""
    chance = random.Random(3)
    letters = [chr(c) for c in range(32, 127)]
    for _ in range(60):
        words = "".join(chance.choices(letters, k=20)).strip() or "x"
        for size in (9.0, 12.0):
            for bold in (False, True):
                assert measured(words, 10 * size, bold) / 10 <= 1.005 * width_of(words, size, bold)
