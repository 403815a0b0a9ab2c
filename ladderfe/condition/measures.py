"""Lengths in cells of a table: decimal comma or point, with or without a unit."""

from __future__ import annotations

import re
from math import isfinite
from typing import Final

from ladderfe.units import LENGTH, UnitError, parse

__all__ = ["GROUPED", "station_of", "thickness_of"]

PLAIN: Final = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?", re.ASCII)
#: 1.180 or 1,180: a thousand and more for some, a little over one for others.
GROUPED: Final = re.compile(r"[+-]?[1-9]\d{0,2}([.,]\d{3})+(?!\d)", re.ASCII)
#: 1 180 with any kind of space between the thousands.
SPACED: Final = re.compile(r"([+-]?[1-9]\d{0,2})((?:[ \u00a0\u2009\u202f]\d{3})+)(?=\s|$)", re.ASCII)
#: Figures, points and commas that are no number together.
SIGNS: Final = re.compile(r"[+-]?[.,]*\d[\d.,]*", re.ASCII)
BETWEEN_DIGITS: Final = re.compile(r"(?<=\d),(?=\d)|^,(?=\d)", re.ASCII)


def thickness_of(text: str) -> float:
    """A thickness in mm; UnitError where the cell states none."""
    return _length(text, "2.1")


def station_of(text: str) -> float:
    """A station, or a length along the rail, in mm; UnitError where the cell states none or may mean two."""
    if match := GROUPED.match(text):
        whole = re.sub(r"[.,]", "", match[0])
        rule = "may mean a thousand or a fraction"
        raise UnitError(rule, f"Write {whole}, or the fraction with other than three figures")
    return _length(SPACED.sub(lambda m: m[1] + re.sub(r"\D", "", m[2]), text), "1180")


def _length(text: str, example: str) -> float:
    cleaned = BETWEEN_DIGITS.sub(".", text.strip())
    if PLAIN.fullmatch(cleaned):
        value = float(cleaned)
    elif re.search(r"[^\W\d_]|[\"'′″”]", cleaned) and re.search(r"\d", cleaned):
        value = _with_unit(cleaned, example)
    elif SIGNS.fullmatch(text.strip()):
        hint = "Write one number with one point or comma"
        raise UnitError("has more than one decimal sign, or a sign too many", hint)
    else:
        raise UnitError("must be a length in mm", _such_as(example))
    if not isfinite(value):
        raise UnitError("must be a finite number", "Write what was measured")
    return value


def _such_as(example: str) -> str:
    return f'Write a number such as {example}, or one with its unit as in "{example} mm"'


def _with_unit(text: str, example: str) -> float:
    try:
        return parse(LENGTH, text)
    except UnitError as error:
        if "in quotes" in error.rule + error.hint:  # words for a chassis file, where texts have quotes
            rule = "must be a length in mm" if "in quotes" in error.rule else error.rule
            raise UnitError(rule, _such_as(example)) from None
        raise
