"""The record as PDF by weasyprint, where that and the system libraries that it needs are there."""

from __future__ import annotations

import re
from importlib.util import find_spec
from typing import Any

from ladderfe.errors import ModelError

__all__ = ["PDF", "may_make_pdf", "pdf_of"]

#: The first bytes of every PDF file (ISO 32000-1, section 7.5.2).
PDF = b"%PDF-"
DATA = re.compile(r'<script\b[^>]*>.*?</script>|<meta http-equiv="Content-Security-Policy"[^>]*>', re.DOTALL)
VALUES = re.compile(r"(--[a-z0-9-]+):\s*([^;}]+);")
USED = re.compile(r"var\((--[a-z0-9-]+)(?:,([^()]*))?\)")
DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
#: Rules that lay a rim around words and then the words on it: there the rim would be on top.
RIMS = re.compile(r"[^{}<>]*\{[^{}]*paint-order[^{}]*\}")
WITHOUT = "Or print the HTML file from a browser"


def may_make_pdf() -> None:
    """Look, before anything is calculated, whether PDF can be made; ModelError says in one line what is missing."""
    if find_spec("weasyprint") is None:
        raise ModelError("--pdf", "needs weasyprint, which is not installed", f'pip install "ladderfe[pdf]". {WITHOUT}')
    _weasyprint()


def pdf_of(page: str) -> bytes:
    """The record as PDF: the page as it prints, without its scripts; the same page gives the same bytes."""
    text = DATA.sub("", page)
    values: dict[str, str] = dict(VALUES.findall(text.split("/* dark */")[0])) | {"--paper": "#ffffff"}

    def plain(drawing: re.Match[str]) -> str:
        """A drawing with colours instead of variables and without rims, which SVG there does not know."""
        return RIMS.sub("", USED.sub(lambda m: (values.get(m[1]) or m[2] or "currentColor").strip(), drawing[0]))

    made: bytes = _weasyprint().HTML(string=DRAWING.sub(plain, text)).write_pdf(pdf_identifier=b"ladderfe")
    return made


def _weasyprint() -> Any:
    try:
        import weasyprint
    except OSError as error:  # it loads Pango as it is imported
        raise ModelError(
            "--pdf",
            "needs the Pango libraries of the system, which are missing",
            f"As root: apt-get install libpango-1.0-0 libpangoft2-1.0-0. {WITHOUT}",
        ) from error
    return weasyprint
