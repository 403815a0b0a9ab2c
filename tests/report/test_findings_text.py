"""The findings page: what it shows, in 100 columns, whatever the names; the table maker behind it."""

import re
from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import check
from ladderfe.checks.beside import beside
from ladderfe.checks.largest_turn import SMALL_TURN, greatest_turn
from ladderfe.checks.sag import greatest_sags
from ladderfe.report.beside_text import beside_text
from ladderfe.report.cautions import CAUTIONS, not_checked
from ladderfe.report.findings_text import findings_text
from ladderfe.report.governing_text import percent, place_words, value_words
from ladderfe.report.hand_page import hand_text
from ladderfe.report.table import NARROWEST, WIDTH, heading, number, page_width, paragraph, table

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


#: How the block of the governing stresses begins.
GOVERNING = "Governing stresses"


def test_parts_stand_in_their_order(page):
    wanted = [
        "Governing:", "Governing stresses", "Load cases", "Envelope", "Wheel loads", "What reaches the frame", "Rails:",
        "Movements", "Sag of the rails", "What was weighed", "Joints", "Assumptions", "Not checked", "Self-check",
        "Cautions",
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
        ("Load cases", "static             left rail, 2077  laden, standing, 1 g"),
        ("What reaches", "static                   5.21         5.21       6.78        6.78"),
        ("What reaches", "front axle bounce       13.04        13.04       6.78        6.78"),
        ("Wheel loads", "static        6.00         6.00       7.62        7.62  none"),
        ("Rails:", "static             left rail          1.358   2077        -1.150   3318     -4.04   3318"),
        ("Rails:", "amplified          right rail         2.717   2077        -2.301   3318     -8.09   3318"),
    ],
)
def test_values_of_the_test_frame_on_the_page(page, part, row):
    """Statics: 1063.4 and 1383.5 kg on two springs, 1223.4 and 1553.5 kg on two wheels;
    277.05 kg m at 2077 mm and 234.6 kg m halved on two rails are
    1.358 and 1.150 kN m, 824.9 kg halved 4.04 kN; twice that in the amplified case."""
    assert any(row in line for line in lines_of(page, part))


def test_the_governing_table_says_which_places_it_leaves_out(demo_page, demo_findings):
    """Rows by hand from all utilisations: a wall's own, and again what is more than 500 mm from all of them before."""
    lines = lines_of(demo_page, GOVERNING)
    shown = sum(" of 157 " in line or " of 165 " in line or " of 100 " in line for line in lines)
    words = " ".join(" ".join(lines).split())
    whole = int(re.search(r"more than 500 mm away on the same wall; the first (\d+) of (\d+)\.", words)[2])
    assert f"the first {shown} of {whole}." in words
    parts = {(u.part, u.wall) for u in demo_findings.utilisations}
    corners_and_walls = {(u.part, u.wall, round(u.along)) for u in demo_findings.utilisations}
    assert len(parts) / 2 <= whole <= len(corners_and_walls)


def test_governing_row_is_the_greatest_utilisation(demo_page, demo_findings):
    top = demo_findings.utilisations[0]
    first = next(line for line in lines_of(demo_page, GOVERNING) if " % " in line).split()
    assert first[:2] == [f"{100 * top.ratio:.1f}", "%"]
    assert f"{top.stress:.1f} of {top.limit:.0f}" in " ".join(first)


def test_pages_fit_100_columns(page, demo_page, demo_findings, plain_findings):
    for f in (demo_findings, plain_findings):
        hand, rows = beside(f.chassis, f.solution)
        for text in (page, demo_page, hand_text(hand), beside_text(rows, f)):
            assert max(map(len, text.splitlines())) <= WIDTH


@pytest.mark.parametrize("columns", [NARROWEST, 90])
def test_pages_fit_a_narrow_terminal(demo_findings, plain_findings, opened, columns):
    for f in (demo_findings, plain_findings, opened):
        hand, rows = beside(f.chassis, f.solution)
        with page_width(columns):
            for text in (findings_text(f, "x"), findings_text(over(f), "x"), hand_text(hand), beside_text(rows, f)):
                assert max(map(len, text.splitlines())) <= columns
                assert not re.search(r"\b(amplifie|criterio|statio)\b", text), "no word is broken"


def test_a_page_is_80_columns_at_least_and_100_at_most():
    for columns, expected in ((20, 80), (83, 83), (200, 100)):
        with page_width(columns):
            assert max(map(len, paragraph("word " * 60))) in range(expected - 5, expected + 1)
    assert max(map(len, paragraph("word " * 60))) == 99


@pytest.mark.parametrize(
    ("value", "words"),
    [(205_000.0, "205 000"), (200_000.0, "200 000"), (1_234_567.0, "1 234 567"), (661.25, "661.2"), (2.0, "2"),
     (0.0, "0"), (-9.6, "-9.6"), (0.00012, "0.00012"), (1e-5, "0.00001")],
)  # fmt: skip
def test_numbers_are_written_without_powers_of_ten(value, words):
    assert number(value) == words


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
    for text in (page, demo_page, hand_text(hand), beside_text(rows, demo_findings)):
        assert not re.findall(VERDICTS, text, re.IGNORECASE)


def test_cautions_and_what_is_left_out_stand_on_every_page(demo_page, demo_findings):
    flat = " ".join(demo_page.split())
    for text in (*CAUTIONS, *not_checked(demo_findings)):
        assert f"- {text}" in flat


@pytest.fixture(scope="module")
def opened(made):
    """Findings of the plain ladder on channel rails whose body stands 80 mm outward of them: they twist and bend
    sideways."""
    channels = made.rails(made.channel(120, 50, 4, "-y"))
    return check(made.chassis(rails=channels, body=made.Body(start=0.0, end=4000.0, split=2000.0, y=80.0)))


def test_twist_of_open_sections_is_no_longer_left_out(opened):
    """Torsion with warping is in the stresses of open rails: the page leaves nothing of theirs out, and says under its
    rows what it says under those of boxes."""
    flat = " ".join(findings_text(opened, "x").split())
    for words in ("Stress from twist", "open section", "Open sections", "bending alone", "unreliable"):
        assert words not in flat
    assert "Stress at weld toes" in flat, "what is left out is still told"


def test_rows_of_open_sections_show_the_whole_stress(opened):
    """Of the governing row the stress with its limit and how much of it that is, as found with warping."""
    top = opened.governing()[0]
    row = lines_of(findings_text(opened, "x"), GOVERNING)[1]
    assert row.split("  ")[0].strip() == percent(top.ratio)
    assert f"{top.stress:.1f} of {top.limit:.0f}" in row


def test_over_says_what_can_be_done_and_what_it_hangs_on(opened):
    """Correct the input, measure, stronger, less load; never a lower factor, which changes nothing about the frame."""
    top = opened.governing()[0]
    flat = " ".join(findings_text(over(opened), "x").split())
    told = flat[flat.index("OVER its limit:") : flat.index("Load cases")]
    assert f"{top.stress:.1f} against {top.limit / 50:.0f} N/mm2 in the {top.part} at {place_words(top)}" in told
    assert (
        "Next: correct the file if a size or a load in it is wrong, measure the wall there, take a stronger section, "
        "or carry less." in told
    )
    assert "factor" not in told


def over(findings):
    """The same findings with limits that are exceeded."""
    low = tuple(replace(u, limit=u.limit / 50, ratio=u.ratio * 50) for u in findings.utilisations)
    return replace(findings, utilisations=low)


def test_the_assumption_that_matters_most_stands_by_the_governing_number(page, plain_findings):
    first = plain_findings.influences[0]
    flat = " ".join(" ".join(lines_of(page, GOVERNING)).split())
    moved = f"Of what is assumed this moves the governing {100 * first.used:.1f} % most"
    assert f"{moved}: {first.assumption.meaning} (" in flat
    assert f"{100 * first.at_high:.1f} % at {number(first.assumption.high)}" in flat


def test_a_frame_that_turns_far_is_warned_of(page, opened):
    turn = greatest_turn(opened.solution)
    assert turn.degrees > SMALL_TURN
    flat = " ".join(findings_text(opened, "x").split())
    told = f"WARNING: {turn.where} turns by {turn.degrees:.1f} degrees against the frame as a whole ({turn.case})"
    assert told in flat
    assert "WARNING" not in page


def test_sag_names_rail_and_place_and_its_sign(page, plain_findings):
    """Downward is positive there, and the table says so apart from the movements, where up is positive."""
    lines = lines_of(page, "Sag of the rails")
    sags = {(s.rail, s.case): s for s in greatest_sags(plain_findings.chassis, plain_findings.solution)}
    left, right = sags["left rail", "static"], sags["right rail", "static"]
    row = next(line for line in lines if line.startswith("static")).split()[1:]
    assert row == [f"{left.size:.2f}", f"{left.station:.0f}", f"{right.size:.2f}", f"{right.station:.0f}"]
    assert left.size > 0
    assert "a rail that rises above the line has a minus sign" in " ".join(lines)
    assert "up is positive" in page


def still(i):
    """Printed alike with the low and the high value."""
    return {f"{100 * v:.1f}" if v is not None else "none" for v in (i.at_low, i.at_high)} == {f"{100 * i.used:.1f}"}


def test_assumptions_that_move_nothing_are_gathered_in_a_paragraph(page, plain_findings):
    """Each with its meaning and values, none of them in the table; one that contradicts the model is no such."""
    table, words = ("\n".join(lines_of(page, "Assumptions"))).split("\nLow or high, these leave it at ")
    words = " ".join(words.split())
    assert words.startswith(f"{100 * plain_findings.utilisations[0].ratio:.1f} %, though other numbers may hang")
    for i in plain_findings.influences:
        low, used, high = (value_words(v) for v in (i.assumption.low, i.assumption.used, i.assumption.high))
        told = f"{i.assumption.meaning.replace('; ', ', ')}, {used} ({low} to {high})".lower()
        assert (told in words.lower()) == still(i)
        assert (" ".join(i.assumption.meaning.split()[:3]) in " ".join(table.split())) or still(i)
    a = next(i for i in plain_findings.influences if still(i))
    none = replace(a, at_low=None)
    text = findings_text(replace(plain_findings, influences=(none,)), "x")
    assert "Low or high, these" not in text
    alone = findings_text(replace(plain_findings, influences=(a,)), "x")
    assert "at low" not in alone
    assert "with the values used." in " ".join(alone.split())


@pytest.mark.parametrize(("known", "told"), [(None, "235 N/mm2 (ASSUMED)"), (180.0, "180 N/mm2")])
def test_a_stress_above_yield_is_warned_of(plain_findings, known, told):
    """The greatest normal or von Mises stress beside the yield stress; average shear is no such stress."""
    c = replace(plain_findings.chassis, material=replace(plain_findings.chassis.material, yield_stress=known))
    fy = 235.0 if known is None else known
    b = replace(plain_findings.buckling, yield_stress=fy)

    def page_with(stress, criterion="von Mises"):
        first, *others = plain_findings.utilisations
        f = replace(plain_findings, chassis=c, buckling=b)
        f = replace(f, utilisations=(replace(first, stress=stress, criterion=criterion), *others))
        return " ".join(findings_text(f, "x").split())

    first = plain_findings.utilisations[0]
    place = f"{first.part} at {first.along:.0f} mm, {first.case})"
    assert f"WARNING: {fy + 1:.1f} N/mm2 (von Mises, {place} is above the yield stress, {told}: " in page_with(fy + 1)
    assert f"WARNING: {fy + 1:.1f} N/mm2 (bending, {place} is above" in page_with(-fy - 1, "bending")
    assert "above the yield stress" not in page_with(fy)
    assert "above the yield stress" not in page_with(fy + 1, "web shear")


def test_assumptions_are_told_with_their_values_and_sources(page, plain_findings):
    """At low, at high, low, used, high; the one that moves most first."""
    rows = lines_of(page, "Assumptions")
    assert rows[0].startswith("Not in the file, so ASSUMED.")
    head = next(k for k, line in enumerate(rows) if line.startswith("at low"))
    values = [line for line in rows[head + 1 :] if not line.startswith("     ")]
    values = values[: next(k for k, line in enumerate(values) if line.startswith("Low or high, these"))]
    moving = [i for i in plain_findings.influences if not still(i)]
    assert 0 < len(moving) < len(plain_findings.influences)
    assert len(values) == len(moving)
    first = plain_findings.influences[0]
    assert values[0].split()[:4] == [f"{100 * first.at_low:.1f}", "%", f"{100 * first.at_high:.1f}", "%"]
    flat = " ".join(page.split())
    for i in plain_findings.influences:
        assert i.assumption.source.split(";")[0].split()[0] in flat


def test_assumptions_that_were_not_moved_are_listed_and_say_so(demo_page, demo_findings):
    """--quick: low, used and high of each, and why there is no more."""
    rows = lines_of(demo_page, "Assumptions")
    flat = " ".join(" ".join(rows).split())
    assert "They were not moved to their low and high values (--quick), so nothing says which of them matters." in flat
    assert "at low" not in flat
    for a in demo_findings.chassis.assumptions:
        assert a.source.split(";")[0].split()[0] in flat
    head = next(k for k, line in enumerate(rows) if line.split()[:3] == ["low", "used", "high"])
    assert len([line for line in rows[head + 1 :] if line[:20].strip()]) == len(demo_findings.chassis.assumptions)


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


# --- against the textbook, how far a frame turns ----------------------------------------------------------------


def upright_bending(findings, u):
    """M/Z of a rail by the hand calculation's own section and the frame's resultants, over the limit."""
    from ladderfe.hand.section import hand_section

    s = findings.solution
    member = next(m for m in s.mesh.part(u.part).members if s.mesh.along[m, 0] <= u.along <= s.mesh.along[m, 1])
    section = hand_section(s.mesh.sections[int(s.mesh.section_of[member])])
    r = s.resultants(np.array([member]), np.array([u.along - s.mesh.along[member, 0]]))[0, :, s.case(u.case)]
    return max(abs(v) for v in section.bending(float(-r[4]))) / u.limit


def test_open_rails_owe_much_to_sideways_bending_and_warping(opened):
    """A body 80 mm outward of channel rails: upright bending alone, as on paper, is far from what they work."""
    rows = [u for u in opened.utilisations if u.kind == "rail" and u.criterion == "bending"]
    assert upright_bending(opened, rows[0]) < 0.7 * rows[0].ratio


def test_a_closed_frame_bent_upright_owes_nothing_to_sideways_bending(plain_findings):
    """The greatest stress of every flange in bending is M/Z: nothing warps or racks on springs right under boxes."""
    rows = [u for u in plain_findings.utilisations if u.kind == "rail" and u.criterion == "bending"]
    flanges = [u for u in rows if u.wall in ("top", "bottom")]
    assert {u.case for u in flanges} == {c.name for c in plain_findings.solution.cases[1:]}
    for u in flanges:
        assert upright_bending(plain_findings, u) == pytest.approx(u.ratio, rel=1e-3)


def test_a_wheel_raised_is_no_turn_of_the_frame(made):
    """Rolling and pitching as a whole are taken off: the same turn with and without a common rotation."""
    from types import SimpleNamespace

    s = check(made.chassis(), assumptions=False).solution
    leaned = s.movements.copy()
    for i in range(3):
        leaned[s.frame.start[:-1] + 3 + i] += (0.1, -0.2, 0.3)[i]
    moved = SimpleNamespace(frame=s.frame, mesh=s.mesh, cases=s.cases, movements=leaned)
    assert greatest_turn(moved).degrees == pytest.approx(greatest_turn(s).degrees, abs=1e-9)


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


def test_words_below_a_row_start_at_the_second_column():
    lines = table(["of limit", "part"], [["5 %", "left rail"], ["4 %", "rear"]], "rl", below=["alone " * 20, ""])
    assert lines[1] == "     5 %  left rail"
    assert lines[2].startswith("          alone alone")
    assert max(map(len, lines)) <= WIDTH
    assert lines[-1] == "     4 %  rear"


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


def test_beside_the_hand_calculation_stands_what_governs_the_whole_frame(demo_findings):
    """Nobody shall take vertical bending by hand for all there is."""
    u = demo_findings.utilisations[0]
    text = " ".join(beside_text(beside(demo_findings.chassis, demo_findings.solution)[1], demo_findings).split())
    assert f"Whole frame, all stresses and cases: {percent(u.ratio)} ({u.part} at {place_words(u)}, " in text
    assert f"{u.case}); see `ladderfe check`." in text
