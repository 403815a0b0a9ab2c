"""Text that is no TOML: what tomllib found, in plain words, with the slip that usually lies behind it."""

from __future__ import annotations

import re
import tomllib
from typing import Final

from ladderfe.errors import Problem

__all__ = ["syntax_problem"]

#: What the line looks like -> what to write; the first that matches is offered.
SLIPS: Final = (
    (r"[“”„‘’]", "Use straight quotation marks"),
    (r"=\s*-?\d+,\d+\s*(#.*)?$|=\s*-?\d+,\d+\s*[,}]", "Write decimals with a point, not a comma"),
    (
        r"=\s*-?[\d.]+(\s*/\s*\d+)?\s*(mm|cm|m|in|inch|inches|ft|kg|t|lb|lbs|kN|N|MPa|ga|gauge|[\"'])(/\w+)?\s*([,}#]|$)",
        'Put a number with its unit in quotes, as in "59 in"',
    ),
    (r"=\s*(True|False|TRUE|FALSE|yes|no|Yes|No)\b", "Write true or false in small letters"),
    (r"=\s*-?\.\d|=\s*-?\d+\.(?!\d)", "Write a digit before and behind the point, as in 0.5"),
    (r"=\s*-?0\d", "Write the number without zeros in front"),
    (r"^\s*[\w-]+\s*:\s", "Write an equals sign, not a colon, between a key and its value"),
    (r"^\s*[A-Za-z_-]+\s+[\w\"'-]+\s*$", "Write an equals sign between a key and its value"),
    (r"=\s*(#.*)?$", "Write the value behind the equals sign, or take the line out"),
    (r"^\s*\[\[[^\]]*\]\s*$|^\s*\[[^\[\]]*$", "Close the brackets of the table's name"),
    (r"\{[^}]*$|,\s*\}", "Keep all between { and } on one line, without a comma before }"),
    (r"=\s*[A-Za-z][^\"'=,}]*([,}]|$)", "Put text in quotes"),
)
#: What tomllib says -> the same in plain words.
REASONS: Final = (
    ("illegal character", "a quotation mark is not closed on this line", "Close the quotation mark"),
    ("unterminated string", "a quotation mark is not closed", "Close the quotation mark"),
    ("expected newline", "something stands behind the value", ""),
    ("expected '='", "no equals sign stands behind the key", ""),
    ("unclosed array", "a square bracket is not closed", ""),
    ("unclosed inline table", "a curly bracket is not closed", ""),
    ("initial character", "a key is missing", ""),
    ("invalid statement", "this is no key, no table and no comment", ""),
    ("expected ']'", "the brackets of the table's name are not closed", ""),
    ("invalid value", "the value is not understood", ""),
    ("unescaped", "a backslash needs another one beside it", "Write \\\\ for a backslash, or use single quotes"),
    ("hex", "a backslash needs another one beside it", "Write \\\\ for a backslash, or use single quotes"),
)
USUAL: Final = "Check this line and the ones before it for a missing quotation mark, comma, bracket or equals sign"


def syntax_problem(error: tomllib.TOMLDecodeError, text: str, file: str) -> Problem:
    """The Problem that tells where TOML reading stopped, why, and what was probably meant."""
    lines = text.split("\n")
    message = str(error)
    place = re.search(r"\(at line (\d+), column \d+\)", message)
    number = int(place.group(1)) if place else len(text.rstrip().split("\n"))
    found = lines[number - 1].strip() if number <= len(lines) else ""
    reason = re.sub(r"\s*\(at .*\)$", "", message, flags=re.DOTALL)
    if found == "" and number > 1:
        found = next((t.strip() for t in reversed(lines[: number - 1]) if t.strip()), "")
    key = re.match(r"\s*(?:\[+\s*)?([\w.-]+)", found)
    rule, hint = _words(reason, found)
    return Problem(
        file=file, line=number, key=key.group(1) if key else "line", value=_short(found), rule=rule, suggestion=hint
    )


def _words(reason: str, line: str) -> tuple[str, str]:
    low = reason.casefold()
    if any(word in low for word in ("overwrite", "mutate", "twice", "already")):
        table = "Keep one of the two; a list of tables has double brackets each time, as in [[crossmembers]]"
        return "is given twice", table if line.startswith("[") else "Keep one of the two"
    plain, cure = next(((p, c) for word, p, c in REASONS if word in low), (low.rstrip(". "), ""))
    slip = next((hint for pattern, hint in SLIPS if re.search(pattern, line)), USUAL)
    return f"cannot be read: {plain}", cure or slip


def _short(line: str) -> str:
    return line if len(line) <= 60 else f"{line[:56]} ..."
