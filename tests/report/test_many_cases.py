"""The page and the tables for machines of a chassis with one load case of every kind."""

import json
import re
from dataclasses import replace

import pytest

from ladderfe.checks import check
from ladderfe.checks.envelope import envelope
from ladderfe.checks.ground import Tipped, under_wheels
from ladderfe.checks.link_forces import link_forces
from ladderfe.report.cases_text import tipped_words
from ladderfe.report.cautions import not_checked
from ladderfe.report.data import findings_json
from ladderfe.report.findings_text import findings_text
from ladderfe.report.governing_text import OTHERWISE
from ladderfe.report.table import WIDTH, page_width

VERDICTS = r"\b(safe|safely|unsafe|sound|fail|fails|failed|pass|passes|passed|roadworthy|legal|legally|illegal)\b"


@pytest.fixture(scope="module")
def many(made):
    return check(made.worked_chassis(), assumptions=False)


@pytest.fixture(scope="module")
def page(many):
    return findings_text(many, "many.toml")


@pytest.fixture(scope="module")
def whole(many):
    return findings_text(many, "many.toml", every=True)


@pytest.fixture(scope="module")
def document(many):
    return json.loads(findings_json(many, "many.toml"), parse_constant=pytest.fail)


def block(page, heading):
    """Lines of one part of the page."""
    lines = page.splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(heading))
    end = next((k for k in range(start + 2, len(lines)) if set(lines[k]) == {"-"}), len(lines) + 1)
    return [line for line in lines[start + 2 : end - 1] if line.strip()]


def flat(lines):
    return " ".join(" ".join(lines).split())


def rows_of(document, name):
    return [dict(zip(document[name]["columns"], row, strict=True)) for row in document[name]["rows"]]


# --- the page -------------------------------------------------------------------------------------------------------


def test_the_head_of_the_page_says_what_governs_and_how_many_cases_there_are(page, many):
    u, over = many.utilisations[0], many.cases_over()
    head = flat(page.splitlines()[2:8])
    assert f"Governing: {100 * u.ratio:.1f} % of the limit, OVER: {u.criterion} {u.stress:.1f} of {u.limit:.0f}" in head
    assert f"in the {u.part} at {u.along:.0f} mm" in head or f"in the {u.part} at y {u.along:+.0f} mm" in head
    assert f"case {u.case}." in head
    assert f"23 load cases looked at, {len(over)} OVER a limit: {over[0][0]} {100 * over[0][1]:.1f} %" in head


def test_cases_over_a_limit_are_counted_from_all_that_is_checked(many):
    """Whole walls by the utilisations, thin walls and seats beside them."""
    over = {u.case for u in many.utilisations if u.ratio > 1} | {e.case for e in many.buckling.effective if e.ratio > 1}
    over |= {w.case for w in (*many.buckling.shear, *many.buckling.seats) if w.together > 1}
    assert {name for name, _ in many.cases_over()} == over
    assert 0 < len(over) < 23
    ratios = [r for _, r in many.cases_over()]
    assert ratios == sorted(ratios, reverse=True)


@pytest.mark.parametrize(("field", "change"), [("effective", {"ratio": 1.2}), ("shear", {"together": 1.2})])
def test_a_case_that_thin_walls_alone_take_over_a_limit_counts(many, field, change):
    within = next(c.name for c in many.solution.cases[1:] if c.name not in dict(many.cases_over()))
    first, *others = getattr(many.buckling, field)
    beside = replace(many.buckling, **{field: (replace(first, case=within, **change), *others)})
    f = replace(many, buckling=beside)
    assert dict(f.cases_over())[within] == 1.2
    assert f"{len(f.cases_over())} OVER a limit" in flat(findings_text(f, "x").splitlines()[2:9])


def test_what_governs_stands_in_the_first_lines(page):
    assert page.splitlines()[3].startswith("Governing: ")
    assert page.splitlines().index("Governing stresses, N/mm2") < 20  # under what looks unusual in the file
    order = ["Governing stresses", "Load cases", "Envelope", "Wheel loads", "Rails:", "Movements", "What was weighed"]
    at = [page.index(f"\n{w}") for w in order]
    assert at == sorted(at)


@pytest.mark.parametrize("columns", [80, 100])
@pytest.mark.parametrize("every", [False, True])
def test_pages_of_many_cases_fit(many, columns, every):
    with page_width(columns):
        text = findings_text(many, "many.toml", every)
    assert max(map(len, text.splitlines())) <= columns
    assert not re.findall(VERDICTS, text, re.IGNORECASE)
    assert max(map(len, findings_text(many, "x").splitlines())) <= WIDTH


def test_every_case_is_listed_with_its_greatest_stress_and_its_source(page, many):
    told = flat(block(page, "Load cases"))
    signs = {}
    for c in many.solution.cases[1:]:
        u = next(u for u in many.utilisations if u.case == c.name)
        assert f"{100 * u.ratio:.1f} %{' OVER' if u.ratio > 1 else ''} {c.name.split()[0]}" in told
        signs.setdefault(c.source, None)
    for sign, source in zip("abcdefghijklmnop", signs, strict=False):
        assert f"{sign} {source}" in told


def test_places_of_the_greatest_stresses_are_told_where_every_case_is_asked_for(page, whole, many):
    """Else there are too many of them; what governs is in the tables above and below."""
    u = next(u for u in many.utilisations if u.case == "static")
    assert f"static {u.part}, {u.along:.0f} laden" in flat(block(whole, "Load cases"))
    assert "static laden" in flat(block(page, "Load cases"))


def test_cases_that_tip_slide_or_come_off_a_stand_are_noted(page, made):
    told = flat(block(page, "Load cases"))
    assert (
        "cornering left: would tip over about the line through front right wheel and rear right wheel; taken at 1.06 g "
        "of the stated 3 g." in told
    )
    assert "asked for by winch, straight (2.04): something else must hold the vehicle, such as chocks or an" in told
    assert "asked for by winch, 30 degrees right (" in told
    assert "wheels dug in and held at their centres; on flat ground something else must hold the vehicle" in told
    assert "is asked for by cornering left (1.06); braking (1.10): taken as stated all the same." in told
    assert f"stands, one low: the frame comes off {made.PADS[0]}, the others carry it all." in told
    assert "drive-off (" not in told


@pytest.mark.parametrize(
    ("tip", "words"),
    [
        (Tipped(1, "case", "tips over about a: b comes up", 0.5, 36_000.0, "N"),
         "would tip over about a; taken at 18 kN of the stated 36 kN"),
        (Tipped(1, "case", "tips over: nothing holds it down", 0.25, 1.0, ""),
         "would tip over; taken at 25 % of what is stated"),
        (Tipped(1, "case", "front axle drops: nothing can hold it up", 0.4, 0.5, "g"),
         "would not stand (front axle drops); taken at 0.2 g of the stated 0.5 g"),
    ],
)  # fmt: skip
def test_words_of_tipping(tip, words):
    assert tipped_words(tip) == words


def test_forces_of_the_ground_along_and_across_are_told_by_axle(page, many):
    rows = block(page, "Forces of the ground along and across")
    s = many.solution
    fore = s.ground[:, 0, s.case("braking")].reshape(2, 2).sum(axis=1) / 1000
    row = next(r for r in rows if r.startswith("braking  ")).split()
    assert row[1:3] == [f"{v:.2f}" for v in fore]
    assert row[-1] == "1.10"
    assert next(r for r in rows if r.startswith("pothole")).split()[-1] == "strike"
    assert not any(r.startswith(("static", "amplified", "jack")) for r in rows)


def test_jack_stands_and_pads_are_told_by_name(page, made):
    told = flat(block(page, "Jack, stands and pads"))
    assert f" jack {made.PADS[0]} " in f" {told}"
    assert f"stands, one low {made.PADS[0]} lifted, {made.PADS[1]} " in told
    assert told.count(made.PADS[3]) == 2


def test_links_have_readable_names_and_their_greatest_forces(page, many):
    """The plain ladder's springs have one seat on each side and no links stated."""
    lines = block(page, "What reaches the frame at links")
    found = [f for f in link_forces(many.chassis, many.solution) if f.case]
    most = max((f for f in found if (f.axle, f.way, f.side) == ("front", "fore-aft", "left")), key=lambda f: f.size)
    assert most.place == "spring seat"
    row = next(line for line in lines if line.startswith("front left spring"))
    assert f"fore-aft {most.size / 1000:.2f} {many.solution.cases[most.case].name}" in " ".join(row.split())
    assert any("each side" in line for line in lines)
    assert "wind-up couple" in flat(lines)


def test_envelope_on_the_page_is_the_greatest_with_the_case_that_governs(page, many):
    """Cells are percent and a letter that the lines below explain."""
    lines = block(page, "Envelope of all cases along the rails")
    legend = flat(lines[lines.index(_first(lines, "Cases that")) :])
    letters = dict(re.findall(r"\b([A-Z]) (.*?)[;.] (?=[A-Z])", legend))
    rows = [r for r in envelope(many.chassis, many.solution, many.rows, many.stresses) if r.use.kind == "rail"]
    head = lines[0].split()
    walls = head[head.index("mm") + 1 : head.index("most")]
    assert set(walls) == {r.use.wall for r in rows}
    bands = [line for line in lines[1:] if line.startswith(("left", "right"))]
    assert len(bands) == len({(r.use.part, r.start) for r in rows})
    for line in bands:
        side, start, _, end, *rest = line.split()
        for k, wall in enumerate(walls):
            (r,) = (
                r for r in rows
                if (r.use.side, r.use.wall, f"{r.start:.0f}", f"{r.end:.0f}") == (side, wall, start, end)
            )  # fmt: skip
            assert rest[2 * k] == f"{100 * r.use.ratio:.0f}"
            assert letters[rest[2 * k + 1]] == r.use.case


def _first(lines, words):
    return next(line for line in lines if line.startswith(words))


@pytest.mark.parametrize("part", ["Rails:", "Movements", "Sag of the rails", "What reaches the frame at its spring"])
def test_tables_of_cases_are_short_and_hold_what_is_greatest(page, whole, part, many):
    short, long = block(page, part), block(whole, part)
    cases = [c.name for c in many.solution.cases[1:]]
    told = [line for line in short if line.startswith("Of 23 cases the static one and those with the greatest")]
    assert told
    shown = [line for line in short[1:] if any(line.startswith(f"{c} ") for c in cases)]
    every = [line for line in long[1:] if any(line.startswith(f"{c} ") for c in cases)]
    assert len(every) in (23, 46)
    assert len(shown) <= 10
    assert shown[0].startswith("static ")
    assert not any(line.startswith("Of 23") for line in long)


def test_the_greatest_sagging_moment_of_all_cases_is_on_the_short_page(page, document):
    rows = rows_of(document, "rail-moments")
    rows = [r for r in rows if r["case"] != "as weighed"]
    top, low = max(r["sagging N mm"] for r in rows), min(r["hogging N mm"] for r in rows)
    shear = max(abs(r["shear N"]) for r in rows)
    told = " ".join(block(page, "Rails:"))
    for value, digits in ((top / 1e6, 3), (low / 1e6, 3), (shear / 1e3, 2)):
        assert re.search(rf"(?<![\d.]){value:.{digits}f}\b" if value > 0 else rf"{value:.{digits}f}\b", told), value


def test_the_short_page_is_short(page, whole):
    assert len(page.splitlines()) < 400
    assert len(whole.splitlines()) > len(page.splitlines()) + 100


@pytest.mark.parametrize(("kind", "words"), OTHERWISE.items())
def test_what_can_be_done_over_a_limit_goes_by_the_kind_of_case(kind, words):
    """A winch is not carried less."""
    from ladderfe.report.governing_text import _over

    u = Tall()
    told = " ".join(_over(u, kind, ""))
    assert told.endswith(f"or {words}.")
    assert "carry less" not in told
    assert " ".join(_over(u, "amplified", "")).endswith("or carry less.")


class Tall:
    """A utilisation that is over its limit."""

    stress, limit, part, kind, along, wall, case = 200.0, 100.0, "left rail", "rail", 900.0, "top", "one"


def test_what_is_left_out_goes_by_the_cases(many, plain_findings):
    told = " ".join(not_checked(many))
    for words in ("torque reaction of engine and propshaft", "out of a strike", "The brackets themselves",
                  "the flange over jacks, stands and pads dents"):  # fmt: skip
        assert words in told
        assert words not in " ".join(not_checked(plain_findings))
    assert "Twist:" not in told
    assert "Twist:" in " ".join(not_checked(plain_findings))


def test_a_stand_that_is_low_is_no_twist(made):
    low = made.CaseSpec(name="low", kind="stands", at=made.PADS, heights=((made.PADS[0], -10.0),))
    f = check(made.worked_chassis(made.STATIC, low), assumptions=False)
    assert any(words.startswith("Twist:") for words in not_checked(f))


def test_a_self_check_that_falls_short_names_the_case(many):
    forces = many.solution.support_forces.copy()
    forces[0, many.solution.case("braking")] += 1.0
    wrong = replace(many.solution, support_forces=forces)
    proofs = (replace(many.proofs[0], difference=1.0), *many.proofs[1:])
    text = findings_text(replace(many, solution=wrong, proofs=proofs), "x")
    assert re.search(r"Least balanced: braking, \d\.\de-0\d of the weight left over \(limit 1e-09\)\.", text)


# --- tables for machines ----------------------------------------------------------------------------------------------


def test_load_cases_as_a_table(document, many):
    rows = rows_of(document, "load-cases")
    assert [r["case"] for r in rows] == [c.name for c in many.solution.cases[1:]]
    by_name = {r["case"]: r for r in rows}
    tipped = by_name["cornering left"]
    assert tipped["share taken"] == pytest.approx(1480 / 1400 / 3, rel=1e-5)  # T/(2 h) of 3 g
    assert tipped["how it tips"].startswith("tips over about the line")
    assert by_name["braking"]["grip asked for front"] == pytest.approx(1.1, rel=1e-6)
    assert by_name["static"]["grip asked for front"] is None
    assert {r["case"] for r in rows if r["over a limit"]} == set(document["cases over a limit"])
    assert all(r["from"] and r["what it is"] for r in rows)


def test_all_residuals_are_told_and_are_rounding(document, many):
    rows = rows_of(document, "residuals")
    assert len(rows) == 2 * len(many.solution.cases)
    assert max(abs(r[k]) for r in rows for k in ("X", "Y", "Z", "about x", "about y", "about z")) < 1e-9


def test_forces_and_couples_are_kept_apart(document):
    supports = {r["support"] for r in rows_of(document, "reactions")}
    couples = {r["support"] for r in rows_of(document, "couples")}
    assert not supports & couples
    assert any(" fore-aft " in s for s in supports)
    assert {f"{a} wind-up {s}" for a in ("front", "rear") for s in ("left", "right")} == couples


def test_wheel_loads_have_their_forces_in_plan(document, many):
    s, rows = many.solution, rows_of(document, "wheel-loads")
    for w in under_wheels(s):
        own = [r for r in rows if r["case"] == s.cases[w.case].name]
        for k, r in enumerate(own):
            wanted = w.forces[k, [2, 0, 1]]
            assert [r["force N"], r["fore-aft N"], r["sideways N"]] == pytest.approx(wanted, rel=1e-8, abs=1e-3)


def test_extremes_of_the_rails_are_there_for_every_case(document, many):
    assert len(rows_of(document, "rail-moments")) == 2 * len(many.solution.cases)
    assert len(rows_of(document, "sags")) == 2 * (len(many.solution.cases) - 1)
    top = max(r["utilisation"] for r in rows_of(document, "envelope"))
    assert top == document["greatest utilisation"]
