"""The block about thin walls: there when it matters, in 100 columns, with number, limit and what to do next."""

from dataclasses import replace

import pytest

from ladderfe.checks import check
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cautions import not_checked
from ladderfe.report.data import findings_tables
from ladderfe.report.findings_text import findings_text
from ladderfe.report.table import NARROWEST, page_width


def found(made, shape, **changes):
    return check(made.chassis(rails=made.rails(shape), **changes), assumptions=False)


@pytest.fixture(scope="module")
def thin(made):
    return found(made, made.box(100, 150, 2, top=0.8))


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
    assert f"WARNING: less than half of {wall} of {part} is effective ({100 * kept:.0f} %)." in words(thin)
    flange = next(w for w in thin.buckling.walls if (w.part, w.wall) == (part, wall))
    row = next(line for line in buckling_text(thin) if line.startswith(part) and f" {wall} " in line)
    assert row.split()[-5:] == ["146", f"{flange.thickness:.2f}", f"{flange.onset:.2f}", f"{100 * kept:.0f}", "%"]


def test_what_is_far_from_governing_takes_a_sentence(demo_findings):
    u, text = demo_findings.buckling.effective[0], words(demo_findings)
    assert u.ratio < demo_findings.utilisations[0].ratio / 2
    assert f"{100 * u.ratio:.1f} % of its limit" in text
    assert len(buckling_text(demo_findings)) < 9


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
