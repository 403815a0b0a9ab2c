"""The large number of the record sheet: stress on whole walls, or what thin walls and spring seats are over by."""

from __future__ import annotations

from dataclasses import replace

import pytest

from ladderfe.condition import Hole, Reading, Readings, Suspect, as_found
from ladderfe.report.record import Said
from ladderfe.report.record.first_page import MOST_WORDS, REST, _cut, _gone, _walls, first_page
from ladderfe.report.record.headline import case_rows, headlines

SAID = Said(date="2031-05-17")


def seated(findings, ratio):
    """The findings with a spring seat at that utilisation in the last case, thin walls aside, stresses all below 1."""
    case = findings.solution.cases[-1].name
    seat = replace(findings.buckling.seats[0], by_case=((case, ratio),), case=case)
    low = tuple(replace(u, stress=0.5 * u.limit, ratio=0.5) for u in findings.utilisations)
    return case, replace(
        findings, utilisations=low, buckling=replace(findings.buckling, effective=(), shear=(), seats=(seat,))
    )


def test_a_seat_over_its_limit_is_the_large_number(plain_findings):
    """Stresses at 50.0 % everywhere, a seat at 120.0 %: the sheet does not read as below the limit."""
    case, f = seated(plain_findings, 1.2)
    page = first_page(f, SAID, "frame.toml")
    assert (page["governing"], page["over"]) == ("120.0 %", True)
    where = "force at a spring seat, jack or stand"
    counted = "Local buckling and spring seats, jacks and stands counted"
    assert page["counted"].startswith(f"{case}: {where}. {counted}")
    assert "50.0 %" in page["counted"]
    assert page["cases"][0] == {"case": case, "uses": ["120.0 % OVER"], "where": where}


def test_a_web_that_stands_nothing_has_no_figure(plain_findings):
    """Its limit is 0, so any figure would be that of the division alone."""
    _, f = seated(plain_findings, 3.7e13)
    page = first_page(f, SAID, "frame.toml")
    assert (page["governing"], page["over"]) == ("> 1000 %", True)


def test_a_seat_within_its_limit_is_told_in_its_chapter(plain_findings):
    _, f = seated(plain_findings, 0.9)
    page = first_page(f, SAID, "frame.toml")
    assert (page["governing"], page["over"], page["counted"]) == ("50.0 %", False, "")


def test_states_are_compared_by_the_same(plain_findings):
    """A seat over its limit before and within it after: 120 and 90 %, not 120 and the 50 % of stresses alone."""
    (case, before), (_, after) = seated(plain_findings, 1.2), seated(plain_findings, 0.9)
    assert [h.ratio for h in headlines([before, after])] == [1.2, 0.9]
    assert case_rows([before, after], 1)[0]["uses"] == ["120.0 % OVER", "90.0 %"]
    assert case_rows([before, after], 1)[0]["case"] == case


def test_a_row_tells_of_earlier_states_what_is_not_stress_on_whole_walls(plain_findings):
    """The seat counts 120 % before; after it there is none, and 50 % is stress: others tell that of both."""
    case, before = seated(plain_findings, 1.2)
    after = replace(before, buckling=replace(before.buckling, seats=()))
    names = ("as found", "as repaired")
    (row,) = [r for r in case_rows([before, after], 9, names) if r["case"] == case]
    assert row["uses"] == ["120.0 % OVER", "50.0 %"]
    assert str(row["where"]).endswith("; as found: force at a spring seat, jack or stand")
    others = [r for r in case_rows([before, after], 9, names) if r["case"] != case]
    assert others
    assert not any("as found" in str(r["where"]) for r in others)


@pytest.mark.parametrize(
    ("words", "kept"),
    [
        ("One. " + "two " * 20 + "end. " + "x" * MOST_WORDS, "One. " + "two " * 20 + "end."),
        ("One. Listed: a (as told. " + "there " * 80 + "); b.", "One."),
        ("ASSUMED: left top; right (sealed; " + "not read " * 60 + "); rest", "ASSUMED: left top."),
    ],
)
def test_what_is_assumed_ends_with_a_sentence(words, kept):
    """Not within brackets, in which notes of readings stand."""
    assert _cut(words) == kept + REST
    assert _cut(kept) == kept


def test_a_reading_above_the_wall_as_built_counts_as_that_in_the_mean_too(made):
    read = Reading(side="left", station=1500, wall="top", value=3.6)
    found = as_found(made.chassis(), Readings(source="", readings=(read,)))
    (row,) = _walls(found)
    assert row[2:6] == ["2.00", "1", "2.00", "2.00"]


def test_holes_and_doubtful_places_are_named(made):
    """They have no thickness, and so no row in the table; the first four of each are told."""
    holes = tuple(Hole(side="left", wall="bottom", start=x, end=x + 50, rim=5) for x in range(1000, 2000, 200))
    suspect = Suspect(side="right", wall="top", station=2500, note="", line=0)
    found = as_found(made.chassis(), Readings(source="", holes=holes, suspects=(suspect,)))
    assert _gone(found) == (
        "HOLES, mm: left bottom 1000 to 1050; left bottom 1200 to 1250; left bottom 1400 to 1450; left bottom 1600 to "
        "1650; and 1 more. Doubtful, not read, mm: right top 2500."
    )
    assert _gone(as_found(made.chassis(), Readings(source=""))) == ""
