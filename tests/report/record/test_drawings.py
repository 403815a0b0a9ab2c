"""The place that asks for drawings, and drawings as parts of a page."""

from __future__ import annotations

import random
import re

from ladderfe.report.record import drawings
from ladderfe.report.record.parts import Chapter, Figure, Prose, groups, prose
from ladderfe.report.table import heading, paragraph, table


def test_drawings_are_asked_for_wide_and_narrow(monkeypatch):
    """Both kinds of either rail, without what stands before them."""

    def drawn(findings, side, case, *, narrow=False):
        return f'<?xml version="1.0"?>\n<svg>{findings} {side} {case} {narrow}</svg>\n'

    monkeypatch.setattr(drawings.sheets, "rail_diagrams", drawn)
    left, right = drawings.rail_diagrams("f", "static")
    assert left.wide == "<svg>f left static False</svg>"
    assert right.narrow == "<svg>f right static True</svg>"


def test_styles_of_all_lines_stay_out():
    """What matplotlib writes would set joins of every line of the page; a drawing's own rules stay."""
    svg = '<!DOCTYPE svg>\n<svg><metadata>x</metadata><style type="text/css">*{fill: red}</style><g/></svg>'
    assert drawings.inline(svg) == "<svg><g/></svg>"
    own = "<svg><style>.sheet .metal{fill:red}</style></svg>"
    assert drawings.inline(own) == own


def test_names_inside_a_drawing_are_its_own():
    """What is referred to keeps one name for both, another drawing has another; names nobody asks for go."""
    svg = '<svg><g id="a"/><clipPath id="b"/><g clip-path="url(#b)"/><use xlink:href="#b"/><text>{}</text></svg>'
    one, other = (drawings.inline(svg.format(k)) for k in (1, 2))
    assert ' id="a"' not in one
    name = re.search(r'clipPath id="(\w+-b)"', one)[1]
    assert f"url(#{name})" in one
    assert f'href="#{name}"' in one
    assert name not in other


def test_chapters_of_wide_drawings_lie_across():
    """A chapter lies across the paper only where all of it does."""
    wide, tall = Figure("<svg/>", "w", wide=True), Figure("<svg/>", "w")
    assert Chapter("a", "A", (wide, wide)).across
    assert not Chapter("a", "A", (wide, tall)).across


def test_lists_are_kept_together():
    """Entries that follow each other are one list; headings that say what the chapter says are left out."""
    (part,) = prose(
        heading("Cautions"), paragraph("one", "  ", "- "), paragraph("two", "  ", "- "), table(["a"], [["b"]], "l"),
        without=["Cautions"],
    )  # fmt: skip
    assert isinstance(part, Prose)
    assert [(kind, len(own)) for kind, own in groups(part.blocks)] == [("list", 2), ("table", 1)]
    assert prose() == ()


def test_drawings_in_few_letters_are_the_same_to_the_hundredth():
    """Random places in hundredths, read back by adding up the steps in whole hundredths, as SVG 1.1 section 8.3 has
    m and l; letters that stand between are commas or the sign of a number."""
    chance = random.Random(7)
    for _ in range(200):
        places = [(chance.randrange(-200000, 200000), chance.randrange(-200000, 200000)) for _ in range(9)]
        words = [f"{x / 100:.2f}".rstrip("0").rstrip(".") + f",{y / 100:.2f}" for x, y in places]
        path = f'<path class="curve" d="M{words[0]}L{"L".join(words[1:4])}M{words[4]}L{"L".join(words[5:])}"/>'
        area = f'<polygon class="area" points="{" ".join(words)}"/>'
        for svg, closed in ((path, False), (area, True)):
            made = drawings.compact(svg)
            assert made.startswith('<path class="area"' if closed else '<path class="curve"')
            assert places_of(made) == places
            assert ('z"/>' in made) is closed
    other = '<path d="M1,2Q3,4 5,6"/><text>M1,2L3,4</text>'
    assert drawings.compact(other) == other


def places_of(svg):
    """Places of a path of M, m and l in hundredths."""
    out, x, y = [], 0, 0
    for kind, words in re.findall(r"([Mml])([-\d.,]+)", re.search(r' d="([^"]*)"', svg)[1]):
        a, b = (round(100 * float(v)) for v in re.findall(r"-?(?:\d+\.\d+|\.\d+|\d+)", words))
        x, y = (a, b) if kind == "M" else (x + a, y + b)
        out.append((x, y))
    return out
