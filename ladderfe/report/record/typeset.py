"""Words of text pages set as print sets them: powers, multiplication and minus signs."""

from __future__ import annotations

import re
from html import escape

__all__ = ["code_marked", "formula", "slug", "typeset"]

POWERS = {"2": "²", "3": "³", "4": "⁴"}
UNIT = re.compile(r"(?<![A-Za-z0-9])(mm|m|s)([234])(?![A-Za-z0-9.])")
TIMES = re.compile(r"(?<=\d) x (?=[\d.])")
MINUS = re.compile(r"(?<![\w.\-)])-(?=\d)")
KEPT = re.compile(r"(?<=\d) (?=%|mm\b|kN\b|kg\b|kgf\b|N/mm|m\b|g\b|degrees\b)")
CODE = re.compile(r"`([^`]+)`")
RAISED = re.compile(r"\^\(?(-?\d+)\)?")
SYMBOL = re.compile(r"\b([A-Za-z]+)_([A-Za-z0-9]+)([+-]?)(?![A-Za-z0-9])")
GREEK = {"sigma": "σ", "tau": "τ"}
EXPONENT = re.compile(r"(?<=\d)e(\d+)\b")


def typeset(text: str) -> str:
    """Plain words: "N/mm2" as N/mm², "140 x 70" as 140 × 70, "-3" with a true minus, units kept beside numbers."""
    text = UNIT.sub(lambda m: m[1] + POWERS[m[2]], text)
    return KEPT.sub("\u00a0", MINUS.sub("−", TIMES.sub(" × ", text)))


def code_marked(text: str) -> str:
    """Typeset words as HTML, escaped, in which `words between backticks` are commands."""
    return CODE.sub(r"<code>\1</code>", escape(typeset(text)))


def formula(text: str) -> str:
    """A formula in symbols or numbers as HTML: raised powers, lowered indices, a middle dot for times."""
    out = escape(text)
    out = SYMBOL.sub(lambda m: f"{_greek(m[1])}<sub>{m[2]}{m[3].replace('-', '−')}</sub>", out)
    out = re.sub(r"\b(sigma|tau)\b", lambda m: _greek(m[1]), out)
    out = RAISED.sub(r"<sup>\1</sup>", out)
    out = EXPONENT.sub(r" · 10<sup>\1</sup>", out)
    out = out.replace(" * ", " · ").replace(" - ", " − ")
    return re.sub(r"(?<![\w>])-(?=[\dMVw(])", "−", out)


def _greek(word: str) -> str:
    return GREEK.get(word, word)


def slug(text: str) -> str:
    """Words as a name that HTML may use: lower case, digits and hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-") or "part"
