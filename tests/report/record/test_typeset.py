"""Words set as print sets them, and nothing of theirs taken for HTML."""

from __future__ import annotations

import pytest

from ladderfe.report.record.typeset import code_marked, formula, slug, typeset


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("830.1 of 157 N/mm2", "830.1 of 157\u00a0N/mm²"),
        ("I in mm4, Z in mm3", "I in mm⁴, Z in mm³"),
        ("140 x 70 x 2.5 mm", "140 × 70 × 2.5\u00a0mm"),
        ("-3.5 and mean - k s", "−3.5 and mean - k s"),
        ("short-4x4, 2031-05-17, kick-up", "short-4x4, 2031-05-17, kick-up"),
        ("room2 mm25", "room2 mm25"),
        ("529.8 % OVER", "529.8\u00a0% OVER"),
    ],
)
def test_plain_words(text, wanted):
    """Powers, times, minus; names and dates stay."""
    assert typeset(text) == wanted


def test_commands_are_marked_and_the_rest_is_escaped():
    """Backticks make code; signs of HTML are words."""
    assert code_marked("see `ladderfe check` <b>") == "see <code>ladderfe check</code> &lt;b&gt;"
    assert code_marked("`<script>`") == "<code>&lt;script&gt;</code>"


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("(m_A - u_A) * g", "(m<sub>A</sub> − u<sub>A</sub>) · g"),
        ("w_1 * (x_A - s_0)^2 / 2", "w<sub>1</sub> · (x<sub>A</sub> − s<sub>0</sub>)<sup>2</sup> / 2"),
        ("sigma / sigma_0 * 100", "σ / σ<sub>0</sub> · 100"),
        ("1.641 * 10^6 / 38.28e3", "1.641 · 10<sup>6</sup> / 38.28 · 10<sup>3</sup>"),
        ("a < b", "a &lt; b"),
    ],
)
def test_formulas(text, wanted):
    """Indices, powers, Greek letters."""
    assert formula(text) == wanted


def test_slugs():
    """Names for HTML."""
    assert slug("Rails: A & B") == "rails-a-b"
    assert slug("***") == "part"
