"""Per cent is written one way: a number, a space, the sign (ISO 80000-1 and SI brochure 5.4.7, from memory)."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

import ladderfe
from ladderfe.report.governing_text import moved_words, percent
from ladderfe.report.margin_text import whole_percent
from ladderfe.report.splice_words import percent as splice_percent
from ladderfe.report.table import share, use_share

PACKAGE = Path(ladderfe.__file__).parent
#: Widths and heights of drawings and styles, which browsers read and nobody else.
DRAWN = re.compile(r'(width|height)(: |=")\d+%')
JOINED = re.compile(r"\d%")


def faults(text: str) -> Iterator[int]:
    """Lines of a module whose strings would print a number and % without a space."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.JoinedStr):
            for part, after in zip(node.values, [*node.values[1:], None], strict=True):
                if not isinstance(part, ast.FormattedValue):
                    continue
                spec = ast.unparse(part.format_spec) if part.format_spec else ""
                tied = isinstance(part.value, ast.Name) and part.value.id == "TIED"  # a space that does not break
                glued = isinstance(after, ast.Constant) and str(after.value).startswith("%") and not tied
                if spec.rstrip("'\"").endswith("%") or glued:
                    yield node.lineno
        elif isinstance(node, ast.Constant) and JOINED.search(DRAWN.sub("", str(node.value))):
            yield node.lineno


def test_the_reading_of_modules_finds_every_way():
    glued = ['f"{x:.1%}"', 'f"{x:.{n}%}"', 'f"{100 * x:.0f}% of"', '"at 95% of"', "'{x:>4.0%}'.format(x=1), '5%'"]
    assert all(list(faults(words)) for words in glued)
    assert not any(list(faults(words)) for words in ('f"{x:.1f} %"', '"95 % of"', "'width=\"100%\"'", '"a %s"'))


def test_no_module_writes_it_without_a_space():
    told = {p.relative_to(PACKAGE).as_posix(): list(faults(p.read_text("utf-8"))) for p in PACKAGE.rglob("*.py")}
    assert {name: lines for name, lines in told.items() if lines} == {}


def test_nor_does_the_readme():
    assert not JOINED.findall((PACKAGE.parent / "README.md").read_text(encoding="utf-8"))


@pytest.mark.parametrize(("ratio", "places", "words"), [(2.774, 1, "277.4 %"), (0.957, 1, "95.7 %"), (1, 0, "100 %")])
def test_share(ratio, places, words):
    assert share(ratio, places) == words


@pytest.mark.parametrize(("ratio", "words"), [
    (0.99, "99 %"), (0.9961, "99.6 %"), (0.9996, "99.96 %"), (1.0, "100 %"), (1.00005, "100 %"), (1.0003, "100.03 %"),
    (1.003, "100.3 %"), (1.006, "101 %"), (0.99989, "99.99 %"),
])  # fmt: skip
def test_a_hundred_is_told_of_what_is_at_its_limit_only(ratio, words):
    """0.9996 is not "100.0 %"; within a ten-thousandth of the limit it is at it."""
    assert whole_percent(ratio) == words


OWN_WAY = re.compile(r"100 \* \w+(\.\w+)*\.(ratio|use|without|bending_utilisation|shear_utilisation):")


@pytest.mark.parametrize("name", [p.name for p in sorted((PACKAGE / "report").glob("*.py"))])
def test_no_page_writes_a_utilisation_in_a_way_of_its_own(name):
    """One rule for all pages, beyond ten times a limit too (`use_share`)."""
    assert not OWN_WAY.findall((PACKAGE / "report" / name).read_text("utf-8"))


def test_far_beyond_a_limit_every_way_of_writing_is_the_same():
    """Stress on whole walls, thin walls, limits, splices, pictures: never a figure here and more than 1000 % there."""
    far = 31.573
    assert use_share(far) == "> 1000 %"
    assert {use_share(far), whole_percent(far), percent(far).removesuffix(" OVER"), moved_words(far),
            splice_percent(far).removesuffix(" OVER")} == {"> 1000 %"}  # fmt: skip
    assert use_share(10.0) == "1000.0 %"
    assert use_share(1.385) == "138.5 %"
