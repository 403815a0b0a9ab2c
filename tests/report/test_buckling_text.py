"""The block about thin walls: there when it matters, in 100 columns, with number, limit and what to do next."""

import json
from dataclasses import replace

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks import check
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cautions import not_checked
from ladderfe.report.data import findings_json, findings_tables
from ladderfe.report.findings_text import findings_text
from ladderfe.report.governing_text import governing_text
from ladderfe.report.table import NARROWEST, page_width


def found(made, shape, **changes):
    return check(made.chassis(rails=made.rails(shape), **changes), assumptions=False)


@pytest.fixture(scope="module")
def thin(made):
    return found(made, made.box(100, 150, 2, top=0.8))


@pytest.fixture(scope="module")
def upright(demo_file):
    """The demo in vertical bending alone, which presses its thin walls little."""
    c = read_chassis(demo_file)
    return check(replace(c, cases=tuple(x for x in c.cases if x.kind in UPRIGHT)), assumptions=False)


UPRIGHT = ("static", "amplified", "bounce")


def words(f):
    return " ".join(" ".join(buckling_text(f)).split())


def test_stocky_walls_are_not_spoken_of(made):
    f = found(made, made.box(100, 100, 4))
    assert buckling_text(f) == []
    assert "Thin walls: local" not in findings_text(f, "x")


def test_the_greatest_stress_on_effective_walls_is_told(thin):
    u, text = thin.buckling.effective[0], words(thin)
    assert f"{abs(u.stress):.1f} of 165 N/mm2" in text
    assert f"{100 * u.ratio:.1f} %" in text
    assert f"{u.part} at {u.along:.0f} mm" in text
    assert text in " ".join(findings_text(thin, "x").split())
    assert ("OVER" in text) == (u.ratio > 1 or any(s.together > 1 for s in (*thin.buckling.shear[:1], )))


def test_walls_of_which_less_than_half_is_left_are_warned_of(thin):
    part, wall, kept = thin.buckling.below_half[0]
    assert f"WARNING: less than half of the {wall} wall of the {part} is effective ({100 * kept:.0f} %)." in words(thin)
    flange = next(w for w in thin.buckling.walls if (w.part, w.wall) == (part, wall))
    row = next(line for line in buckling_text(thin) if line.startswith(part) and f" {wall} " in line)
    assert row.split()[-5:] == ["146", f"{flange.thickness:.2f}", f"{flange.onset:.2f}", f"{100 * kept:.0f}", "%"]


def test_what_is_far_from_governing_takes_a_sentence(upright):
    u, text = upright.buckling.effective[0], words(upright)
    assert u.ratio < upright.utilisations[0].ratio / 2
    assert f"{100 * u.ratio:.1f} % of its limit" in text
    assert len(buckling_text(upright)) < 9


def test_a_seat_that_governs_is_told_with_what_is_assumed(plain_findings):
    u, text = plain_findings.buckling.seats[0], words(plain_findings)
    assert u.together > plain_findings.utilisations[0].ratio
    assert f"{u.force / 1000:.2f} kN" in text
    assert "ASSUMED: it bears on the bottom flange along 50 mm" in text
    assert f"{plain_findings.buckling.shear[0].limit:.1f} N/mm2" in text


def test_over_its_limit_says_what_to_do(thin):
    low = replace(thin.buckling.effective[0], limit=1.0, ratio=abs(thin.buckling.effective[0].stress))
    f = replace(thin, buckling=replace(thin.buckling, effective=(low,)))
    assert "OVER" in words(f)
    assert "Next: measure the walls there" in words(f)


def test_it_fits_the_page(thin, plain_findings, demo_findings):
    for f in (thin, plain_findings, demo_findings):
        assert max(map(len, buckling_text(f))) <= 100
        with page_width(NARROWEST):
            assert max(map(len, buckling_text(f))) <= NARROWEST


def test_tables_hold_what_the_page_tells(thin, demo_findings):
    for f in (thin, demo_findings):
        tables = findings_tables(f)
        for name, own in (("thin-walls", f.buckling.walls), ("effective-walls", f.buckling.effective),
                          ("slender-webs", f.buckling.shear), ("spring-seats", f.buckling.seats)):  # fmt: skip
            head, rows = tables[name]
            assert len(rows) == len(own)
            assert all(len(row) == len(head) for row in rows)
    head, rows = findings_tables(thin)["effective-walls"]
    assert dict(zip(head, rows[0], strict=True))["utilisation"] == pytest.approx(thin.buckling.ratio, rel=1e-8)


def test_what_buckling_leaves_out_is_said(thin):
    assert any(t.startswith("Of buckling") for t in not_checked(thin))
    assert not any("Buckling of thin walls" in t for t in not_checked(thin))


def seat_over(f, ratio):
    """The same findings, with the governing spring seat at another utilisation."""
    first = f.buckling.seats[0]
    seat = replace(first, ratio=ratio, together=ratio, by_case=((first.case, ratio),))
    return replace(f, buckling=replace(f.buckling, seats=(seat, *f.buckling.seats[1:])))


def page(f):
    return " ".join(findings_text(f, "x").split())


def test_a_seat_over_its_limit_counts_and_is_named_beside_the_stresses(plain_findings):
    f = seat_over(plain_findings, 1.155)
    assert not plain_findings.exceeded
    assert f.exceeded
    assert json.loads(findings_json(f, "x"))["over a limit"] is True
    assert json.loads(findings_json(f, "x"))["greatest utilisation at spring seats, jacks and stands"] == 1.155
    seat = f.buckling.seats[0]
    what = "the force on a web at a spring seat, jack or stand"
    told = f"Beside these stresses {what} (115.5 %, {seat.part}, {seat.case}) is OVER its"
    assert told in page(f)
    assert "Beside these stresses" not in page(plain_findings)
    assert f"into the {seat.wall} wall of the {seat.part}, whose limit is" in words(f)
    assert "115.5 %, OVER; with bending 115.5 %, OVER. ASSUMED: it bears on the bottom flange along 50 mm" in words(f)
    assert "The force alone governs. Next: spread the force by a plate" in words(f)


@pytest.mark.parametrize(
    ("ratio", "bending", "told"),
    [
        (1.26, 0.7, "The force governs (90.0 % of these by the force, 40.0 % by bending). Next: spread the force by a"),
        (0.7, 1.05, "Bending governs (50.0 % of these by the force, 60.0 % by bending). Next: take a stronger section"),
        (0.7, 2.1, "Bending alone is over: spreading the force does not suffice (50.0 % of these by the force,"),
    ],
)
def test_a_seat_over_its_limit_says_whether_force_or_bending_governs(plain_findings, ratio, bending, told):
    """EN 1993-1-5 7.2: ratio/1.4 by the force and 0.8 bending/1.4; the advice is against the greater one."""
    f = seat_over(plain_findings, (ratio + 0.8 * bending) / 1.4)
    seat = replace(f.buckling.seats[0], ratio=ratio, bending=bending)
    f = replace(f, buckling=replace(f.buckling, seats=(seat, *f.buckling.seats[1:])))
    assert seat.rule == "patch"
    assert told in words(f)
    assert ("or spread the force" in words(f)) == (told.startswith("Bending governs"))


def test_a_seat_over_its_limit_is_told_where_a_stress_governs(plain_findings):
    first, *others = plain_findings.utilisations
    f = replace(seat_over(plain_findings, 1.1), utilisations=(replace(first, ratio=2.0), *others))
    assert "Force on a web" in words(f)


@pytest.mark.parametrize("field", ["effective", "shear", "seats"])
def test_every_kind_that_is_printed_over_counts(plain_findings, thin, field):
    f = thin if field == "effective" else plain_findings
    first, *others = getattr(f.buckling, field)
    ratios = {"ratio": 1.2} if field == "effective" else {"ratio": 1.1, "together": 1.2}
    f = replace(f, buckling=replace(f.buckling, **{field: (replace(first, **ratios), *others)}))
    assert "OVER" in words(f)
    assert f.exceeded
    assert "(120.0 %, " in page(f)


def test_no_figures_beyond_what_a_formula_covers(plain_findings):
    web = replace(plain_findings.buckling.shear[0], ratio=5.8, together=114.15)
    f = replace(plain_findings, buckling=replace(plain_findings.buckling, shear=(web,)))
    assert "580.0 %, OVER" in words(f)
    assert "with bending > 1000 %, OVER" in words(f)
    assert "11415" not in page(f)


def test_what_is_over_is_told_in_full_even_where_other_places_govern(demo_findings):
    b, (first, *others) = demo_findings.buckling, demo_findings.utilisations
    low = replace(b.effective[0], ratio=1.05)
    f = replace(demo_findings, buckling=replace(b, effective=(low,)),
                utilisations=(replace(first, ratio=4.0), *others))  # fmt: skip
    assert "Other places govern" not in words(f)
    assert "105.0 %, OVER" in words(f)


def test_a_fifth_of_a_wall_is_more_than_a_little(upright):
    b = upright.buckling
    part, wall, kept = b.kept[0]
    assert kept > 0.9
    assert "loses a little of the width" in words(upright)
    f = replace(upright, buckling=replace(b, kept=((part, wall, 0.79),)))
    assert "One wall loses some of the width" in words(f)
    assert f"the {wall} wall of crossmember {part} most: 79 % of that wall" in words(f)


def test_what_is_over_fits_the_page(plain_findings):
    for f in (seat_over(plain_findings, 1.155), seat_over(plain_findings, 12.0)):
        assert max(map(len, findings_text(f, "x").splitlines())) <= 100
        with page_width(NARROWEST):
            assert max(map(len, [*buckling_text(f), *governing_text(f)])) <= NARROWEST
