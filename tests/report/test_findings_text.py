"""The findings page: what it shows, in 100 columns, whatever the names; the table maker behind it."""

import re
from dataclasses import replace

import pytest

from ladderfe.checks import beside, check
from ladderfe.report.beside_text import beside_text
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.findings_text import findings_text, percent, place_words
from ladderfe.report.hand_page import hand_text
from ladderfe.report.table import WIDTH, heading, paragraph, table

VERDICTS = r"\b(safe|safely|unsafe|sound|fail|fails|failed|pass|passes|passed|roadworthy|legal|legally|illegal)\b"


@pytest.fixture(scope="module")
def page(plain_findings):
    return findings_text(plain_findings, "frame.toml")


@pytest.fixture(scope="module")
def demo_page(demo_findings):
    return findings_text(demo_findings, "demo.toml")


def lines_of(page, heading):
    """Lines of one part of the page."""
    lines = page.splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(heading))
    end = next((k for k in range(start + 2, len(lines)) if set(lines[k]) == {"-"}), len(lines) + 1)
    return [line for line in lines[start + 2 : end - 1] if line.strip()]


def test_parts_stand_in_their_order(page):
    wanted = [
        "What was weighed", "Load cases", "Governing stresses", "Rails:", "Movements", "Assumptions", "Not checked",
        "Self-check", "Cautions",
    ]  # fmt: skip
    found = [page.index(f"\n{w}") for w in wanted]
    assert found == sorted(found)


def test_the_page_says_what_was_checked(page):
    assert page.splitlines()[:2] == [
        "Test frame for closed forms", "frame.toml; weighed: loads chosen, not weighed",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("part", "row"),
    [
        ("What was weighed", "front        1223          160       1063"),
        ("What was weighed", "body, rear part   left   2079 to 4158          332.5        332.5"),
        ("Load cases", "static                   5.21         5.21       6.78        6.78  laden, standing, 1 g"),
        ("Rails:", "static             left rail          1.358   2077        -1.150   3318     -4.04   3318"),
        ("Rails:", "amplified          right rail         2.717   2077        -2.301   3318     -8.09   3318"),
    ],
)
def test_values_of_the_test_frame_on_the_page(page, part, row):
    """Statics: 1063.4 and 1383.5 kg on two springs each; 277.05 kg m at 2077 mm and 234.6 kg m halved on two rails are
    1.358 and 1.150 kN m, 824.9 kg halved 4.04 kN; twice that in the amplified case."""
    assert row in lines_of(page, part)


def test_governing_row_is_the_greatest_utilisation(demo_page, demo_findings):
    top = demo_findings.utilisations[0]
    first = lines_of(demo_page, "Governing")[1].split()
    assert first[:2] == [f"{100 * top.ratio:.1f}", "%"]
    assert f"{top.stress:.1f} of {top.limit:.0f}" in " ".join(first)


def test_pages_fit_100_columns(page, demo_page, demo_findings, plain_findings):
    for f in (demo_findings, plain_findings):
        hand, rows = beside(f.chassis, f.solution)
        for text in (page, demo_page, hand_text(hand), beside_text(rows)):
            assert max(map(len, text.splitlines())) <= WIDTH


def test_long_names_are_broken_not_cut(made):
    long = "crossmember with the two towing eyes behind the second row of seats"
    c = made.chassis(
        title="A " + "very " * 30 + "long title",
        condition="weighed " + "and weighed again " * 12,
        crossmembers=(*made.LADDER[:2], made.cross(long, 3900)),
        cases=(made.STATIC, made.CaseSpec(name="over the crossing behind the village", kind="bounce", factor=3.0)),
        mounts=(made.mount("hook", long, 3900, 0),),
        masses=(made.mass("trailer's nose weight with its coupling", 0.12, (3900, 0, 0), ("hook",), aboard=False),),
    )  # fmt: skip
    text = findings_text(check(c), "folder/" * 20 + "file.toml")
    assert max(map(len, text.splitlines())) <= WIDTH
    squeezed = re.sub(r"\s+", " ", text)
    assert "trailer's nose weight with its coupling 120 kg (added after weighing)" in squeezed
    for word in long.split():
        assert word in squeezed


def test_no_verdicts(page, demo_page, demo_findings):
    hand, rows = beside(demo_findings.chassis, demo_findings.solution)
    for text in (page, demo_page, hand_text(hand), beside_text(rows)):
        assert not re.findall(VERDICTS, text, re.IGNORECASE)


def test_cautions_and_what_is_left_out_stand_on_every_page(demo_page, demo_findings):
    flat = " ".join(demo_page.split())
    for text in (*CAUTIONS, *not_checked(demo_findings)):
        assert f"- {text}" in flat


def test_open_sections_are_named_where_twist_is_left_out(made):
    closed, opened = check(made.chassis()), check(made.chassis(rails=made.rails(made.channel(120, 50, 4, "-y"))))
    words = "Stress from twist in open rails and crossmembers"
    assert words not in findings_text(closed, "x")
    assert words in " ".join(findings_text(opened, "x").split())


def test_assumptions_are_told_with_their_values_and_sources(page, plain_findings):
    """At low, at high, low, used, high; the one that moves most first."""
    rows = lines_of(page, "Assumptions")
    assert rows[0].startswith("Not in the file, so ASSUMED.")
    head = next(k for k, line in enumerate(rows) if line.startswith("at low"))
    values = [line for line in rows[head + 1 :] if not line.startswith("     ")]
    assert len(values) == len(plain_findings.influences)
    first = plain_findings.influences[0]
    assert values[0].split()[:4] == [f"{100 * first.at_low:.1f}", "%", f"{100 * first.at_high:.1f}", "%"]
    flat = " ".join(page.split())
    for i in plain_findings.influences:
        assert i.assumption.source.split(";")[0].split()[0] in flat


def test_infinite_and_contradictory_values_are_words(plain_findings):
    a = plain_findings.influences[0]
    odd = replace(a, at_low=None, assumption=replace(a.assumption, high=float("inf"), unit="kN m/rad"))
    text = findings_text(replace(plain_findings, influences=(odd,)), "x")
    row = next(line for line in lines_of(text, "Assumptions") if line.startswith("  none"))
    assert row.split()[5] == "rigid"
    assert "inf " not in text


def test_findings_that_are_not_proven_are_not_shown(plain_findings):
    wrong = tuple(
        replace(p, difference=1.0) if p.what.startswith("what was weighed") else p for p in plain_findings.proofs
    )
    text = findings_text(replace(plain_findings, proofs=wrong), "frame.toml")
    flat = " ".join(text.split())
    assert "The self-check fell short (what was weighed comes out again), so no findings are printed." in flat
    assert "SHORT  what was weighed comes out again" in text
    assert f"Self-check: {len(wrong) - 1} of {len(wrong)} proofs hold" in text
    for part in ("Governing", "Rails:", "Movements", "What was weighed and where"):
        assert part not in text


@pytest.mark.parametrize(
    ("ratio", "words"), [(0.4567, "45.7 %"), (1.0, "100.0 %"), (1.0001, "100.0 % OVER"), (2.5, "250.0 % OVER")]
)
def test_percent_has_a_second_sign_over_the_limit(ratio, words):
    assert percent(ratio) == words


def test_places_on_rails_are_stations_and_elsewhere_y(demo_findings):
    rail = next(u for u in demo_findings.utilisations if u.kind == "rail")
    other = next(u for u in demo_findings.utilisations if u.kind == "outrigger")
    assert place_words(rail) == f"{rail.along:.0f} mm"
    assert place_words(other) == f"y {other.along:+.0f} mm"


# --- tables -------------------------------------------------------------------------------------------------------


def test_columns_are_aligned():
    assert table(["part", "kg"], [["frame", "72"], ["all", "1250"]], "lr") == [
        "part     kg", "frame    72", "all    1250",
    ]  # fmt: skip


def test_a_table_without_rows_is_its_head():
    assert table(["part", "kg"], [], "lr") == ["part  kg"]


def test_longer_text_is_broken_first_and_continues_in_its_column():
    rows = [["left rail", "12.5", "word " * 30]]
    lines = table(["part", "mm", "why"], rows, "lrw")
    assert max(map(len, lines)) <= WIDTH
    assert lines[1].startswith("left rail  12.5  word")
    assert all(line.startswith(" " * 17 + "word") for line in lines[2:])
    assert " ".join(lines).split().count("word") == 30


def test_numbers_are_never_broken():
    rows = [["a name that is rather long " * 4, "123456.789", "and another one that is long " * 4]]
    lines = table(["name", "value", "other"], rows, "lrl")
    assert max(map(len, lines)) <= WIDTH
    assert "123456.789" in lines[1]


def test_headings_and_paragraphs():
    assert heading("Cautions") == ["", "Cautions", "--------"]
    lines = paragraph("word " * 60, "  ", "- ")
    assert lines[0].startswith("- word")
    assert all(line.startswith("  word") and len(line) <= WIDTH for line in lines[1:])
