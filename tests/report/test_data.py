"""Findings for machines: JSON and CSV say what the page says, and each other's numbers."""

import csv
import io
import json
from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import check
from ladderfe.checks.beside import beside
from ladderfe.report.cases_data import is_couple
from ladderfe.report.data import csv_tables, findings_json, findings_tables
from ladderfe.report.findings_text import findings_text

TABLES = {
    "utilisations", "resultants", "stresses", "movements", "reactions", "wheel-loads", "line-loads", "self-check",
    "assumptions", "mounts", "joints", "thin-walls", "effective-walls", "slender-webs", "spring-seats", "load-cases",
    "jacks-and-stands", "link-forces", "couples", "envelope", "rail-moments", "sags", "residuals",
}  # fmt: skip


@pytest.fixture(scope="module")
def document(plain_findings):
    rows = beside(plain_findings.chassis, plain_findings.solution)[1]
    return json.loads(findings_json(plain_findings, "frame.toml", rows), parse_constant=pytest.fail)


@pytest.fixture(scope="module")
def demo_document(demo_findings):
    return json.loads(findings_json(demo_findings, "demo.toml"), parse_constant=pytest.fail)


@pytest.fixture(scope="module")
def tables(plain_findings):
    """CSV tables: name -> list of rows as dictionaries of words."""
    return {name: list(csv.DictReader(io.StringIO(text))) for name, text in csv_tables(plain_findings)}


def rows_of(document, name):
    head = document[name]["columns"]
    return [dict(zip(head, row, strict=True)) for row in document[name]["rows"]]


def test_the_document_is_strict_json_with_everything(document):
    """Neither NaN nor Infinity, which JSON does not know; `parse_constant` would have told."""
    assert set(document) >= TABLES
    assert document["program"] == "ladderfe"
    assert document["chassis"] == "Test frame for closed forms"
    assert document["file"] == "frame.toml"
    assert document["proven"] is True
    assert document["over a limit"] is False
    assert [c["name"] for c in document["cases"]] == [
        "as weighed", "static", "amplified", "front axle bounce", "rear axle bounce",
    ]  # fmt: skip
    assert all(c["source"] for c in document["cases"])
    assert document["cautions"]
    assert document["not checked"]


def test_csv_has_the_same_tables_and_numbers(document, tables):
    assert {name.removesuffix(".csv") for name in tables} == TABLES
    for name, rows in tables.items():
        table = rows_of(document, name.removesuffix(".csv"))
        assert len(rows) == len(table)
        for words, values in zip(rows[::7], table[::7], strict=True):
            assert list(words) == list(values)
            for word, value in zip(words.values(), values.values(), strict=True):
                expected = "" if value is None else value
                if isinstance(value, float | int) and not isinstance(value, bool):
                    assert float(word) == value
                else:
                    assert word == str(expected)


def test_the_greatest_utilisation_is_the_pages(document, plain_findings):
    ratio = document["greatest utilisation"]
    first = rows_of(document, "utilisations")[0]
    assert first["utilisation"] == ratio
    assert f"{100 * ratio:.1f} %" in findings_text(plain_findings, "x")
    assert first["stress N/mm2"] / first["limit N/mm2"] == pytest.approx(ratio, rel=1e-8)
    assert document["criteria"]["bending"] == 165.0


def test_utilisations_are_found_again_among_the_stresses(demo_document):
    """The greatest von Mises stress of all cases, and of one part."""
    stresses = [r for r in rows_of(demo_document, "stresses") if r["case"] != "as weighed"]
    uses = [r for r in rows_of(demo_document, "utilisations") if r["criterion"] == "von Mises"]
    assert max(r["von Mises N/mm2"] for r in stresses) == uses[0]["stress N/mm2"]
    part = "gearbox"
    assert max(r["von Mises N/mm2"] for r in stresses if r["part"] == part) == max(
        u["stress N/mm2"] for u in uses if u["part"] == part
    )
    for r in stresses[::97]:
        n, s = r["normal N/mm2"], r["across N/mm2"]
        worse = max((n + w * 0.3 * s) ** 2 - (n + w * 0.3 * s) * w * s + s**2 for w in (1, -1))
        by_hand = np.sqrt(worse + 3 * r["shear N/mm2"] ** 2)
        assert r["von Mises N/mm2"] == pytest.approx(by_hand, rel=1e-7, abs=1e-9)


def test_resultants_of_the_rails_are_there_with_their_turning_points(document):
    """The greatest sagging moment of the static case: 277.05 kg m on two rails, at 2077 mm, a turning point."""
    rows = [r for r in rows_of(document, "resultants") if r["case"] == "static" and r["part"] == "left rail"]
    top = min(rows, key=lambda r: r["My N mm"])
    assert -top["My N mm"] == pytest.approx(277.05 * 9806.65 / 2, rel=2e-5)
    assert top["along mm"] == pytest.approx(2077, abs=0.1)
    assert top["turning point"] is True


def test_reactions_add_up_to_the_weight(document):
    """1063.449 and 1383.534 kg on the springs, twice that when amplified; nothing but springs pushes up."""
    for case, factor in (("static", 1), ("amplified", 2)):
        own = [r for r in rows_of(document, "reactions") if r["case"] == case]
        up = [r["force N"] for r in own if not r["support"].startswith("hold")]
        held = [r["force N"] for r in own if r["support"].startswith("hold")]
        assert len(up) == 4
        assert sum(up) == pytest.approx(factor * (1063.449 + 1383.534) * 9.80665, rel=1e-8)
        assert max(map(abs, held), default=0.0) < 1e-6


def test_movements_are_those_of_the_nodes(document, plain_findings):
    s = plain_findings.solution
    rows = [r for r in rows_of(document, "movements") if r["case"] == "static"]
    assert len(rows) == len(s.mesh.nodes)
    c = s.case("static")
    for n, r in enumerate(rows):
        u = s.movements[s.frame.start[n] : s.frame.start[n] + 6, c]
        found = [r[k] for k in ("ux mm", "uy mm", "uz mm", "rx rad", "ry rad", "rz rad")]
        least = np.abs(s.movements).max() * 1e-9  # what is less is rounding and written as 0
        assert found == pytest.approx(u, rel=1e-8, abs=least)
        assert [r["x mm"], r["y mm"], r["z mm"]] == pytest.approx(s.mesh.nodes[n])


def test_rounding_is_written_as_nothing(demo_document):
    """In columns of one unit no value is smaller than 1e-9 of the greatest unless it is 0."""
    for name, columns in (
        ("resultants", ("N N", "Vy N", "Vz N")), ("resultants", ("T N mm", "My N mm", "Mz N mm")),
        ("stresses", ("normal N/mm2", "shear N/mm2", "von Mises N/mm2")), ("movements", ("rx rad", "ry rad", "rz rad")),
        ("movements", ("ux mm", "uy mm", "uz mm")), ("reactions", ("force N",)), ("utilisations", ("utilisation",)),
    ):  # fmt: skip
        sizes = np.abs([[r[c] for c in columns] for r in rows_of(demo_document, name)])
        assert sizes[sizes > 0].min() > 1e-9 * sizes.max(), (name, columns)
        assert (sizes > 0).any()


def test_wheel_loads_are_the_weighed_ones(document, plain_findings):
    """As weighed: half of each axle load under each wheel, unsprung masses in it; no wheel is off the ground.  Cases
    that are factors on spring forces say nothing of the ground."""
    rows = rows_of(document, "wheel-loads")
    assert {r["case"] for r in rows} == {"as weighed", "static"}
    half = [a.load * 9806.65 / 2 for a in plain_findings.chassis.axles for _ in range(2)]
    for case in ("as weighed", "static"):
        own = [r for r in rows if r["case"] == case]
        assert [r["wheel"] for r in own] == ["front left", "front right", "rear left", "rear right"]
        assert [r["force N"] for r in own] == pytest.approx(half, rel=1e-8)
        assert not any(r["off the ground"] for r in own)


def test_assumptions_that_were_not_moved_are_listed_all_the_same(demo_findings, demo_document):
    """Without --quick they have what they move, with it nothing."""
    rows = rows_of(demo_document, "assumptions")
    assert [r["key"] for r in rows] == [a.key for a in demo_findings.chassis.assumptions]
    assert all(r["utilisation at low"] is r["utilisation at high"] is None for r in rows)


def test_line_loads_and_proofs_as_on_the_page(document):
    loads = rows_of(document, "line-loads")
    assert [r["at start kg/m"] for r in loads] == pytest.approx([256.0, 256.0, 332.5, 332.5], rel=2e-6)
    proofs = rows_of(document, "self-check")
    assert all(r["holds"] for r in proofs)
    assert all(r["why this limit"] for r in proofs)


def test_a_web_that_stands_nothing_hides_no_other_seat(thin_seats):
    """A web of no resistance (EN 1993-1-3 6.1.7: inside radius over 17.7 thicknesses) is used without bounds; beside
    that the utilisation of the other seats is not nothing."""
    f, (first, *others) = thin_seats, thin_seats.buckling.seats
    endless = replace(first, resistance=0.0, limit=0.0, ratio=first.share * first.force / 1e-9)
    f = replace(f, buckling=replace(f.buckling, seats=(endless, *others)))
    head, rows = findings_tables(f)["spring-seats"]
    told = [row[head.index("utilisation")] for row in rows]
    assert told[1:] == pytest.approx([u.ratio for u in others], rel=1e-8)
    assert min(told) > 0


def test_what_is_no_number_is_never_written_as_nothing(thin_seats):
    """nan is no 0 and makes no 0 of others; an infinite number is a word."""
    f = thin_seats
    first, second, third, *_ = f.buckling.seats
    odd = (replace(first, force=np.nan), replace(second, force=np.inf), third)
    head, rows = findings_tables(replace(f, buckling=replace(f.buckling, seats=odd)))["spring-seats"]
    at = head.index("force N")
    assert [row[at] for row in rows] == [None, "infinite", pytest.approx(third.force, rel=1e-8)]


@pytest.fixture(scope="module")
def thin_seats(made):
    return check(made.chassis(), assumptions=False)


@pytest.mark.parametrize(("support", "couple"), [
    ("front wind-up left", True), ("rear arm couple right", True), ("front yaw left", True), ("rear roll right", True),
    ("body", True), ("rear left spring", False), ("front roll bar foot", False), ("left roll hoop, along x", False),
])  # fmt: skip
def test_couples_are_told_from_forces_at_mounts_of_such_names(support, couple):
    """A pull on a roll hoop is a force in N, not a couple in N mm."""
    assert is_couple(support) == couple


def test_infinite_assumptions_are_words(plain_findings):
    """Rigid joints have an infinite stiffness, which JSON cannot write as a number."""
    i = plain_findings.influences[0]
    odd = replace(i, assumption=replace(i.assumption, high=float("inf")), at_high=None)
    f = replace(plain_findings, influences=(odd,))
    (row,) = rows_of(json.loads(findings_json(f, "x"), parse_constant=pytest.fail), "assumptions")
    assert row["high"] == "infinite"
    assert row["utilisation at high"] is None


def test_hand_rows_without_a_number_are_null(demo_findings):
    _, rows = beside(demo_findings.chassis, demo_findings.solution)
    none = replace(rows[0], left=float("nan"))
    document = json.loads(findings_json(demo_findings, "x", (none, *rows[1:])), parse_constant=pytest.fail)
    assert document["beside the hand calculation"][0]["left"] is None
    assert document["beside the hand calculation"][1]["what"] == rows[1].what


@pytest.mark.parametrize(
    "title", ['a], [b]]}, "rows": [[', 'quote " and \\ and \n line', "Fahrgestell Nr. 7 — größer 🚙"]
)
def test_any_title_is_written_as_it_is(plain_findings, title):
    f = replace(plain_findings, chassis=replace(plain_findings.chassis, title=title))
    document = json.loads(findings_json(f, "x"))
    assert document["chassis"] == title
    assert len(document["utilisations"]["rows"]) == len(f.utilisations)


def test_every_number_has_nine_digits_at_most(demo_findings):
    for head, rows in findings_tables(demo_findings).values():
        for row in rows[::211]:
            for name, value in zip(head, row, strict=True):
                if isinstance(value, float) and name not in ("limit N/mm2", "limit"):
                    assert value == float(f"{value:.9g}"), name


def test_a_table_row_takes_a_line(document, plain_findings):
    """So that two runs can be compared line by line."""
    text = findings_json(plain_findings, "x")
    rows = sum(len(document[name]["rows"]) for name in TABLES)
    assert text.count("\n") > rows
