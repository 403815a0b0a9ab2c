"""The one place that asks for drawings of chassis, diagrams and sections; "" where there is none."""

from __future__ import annotations

import re
from hashlib import sha256
from importlib import import_module
from importlib.util import find_spec
from typing import Any, NamedTuple

from ladderfe.checks import Findings

__all__ = ["Drawn", "chassis_drawing", "inline", "rail_diagrams", "section_sheet"]

SHEETS = "ladderfe.report.sheets"
HEAD = re.compile(r"^.*?(?=<svg)", re.DOTALL)
#: What matplotlib writes for all lines of a document, and its metadata.
OWN_STYLE = re.compile(r"<style[^>]*>\s*\*\{.*?</style>|<metadata>.*?</metadata>", re.DOTALL)

NAMED = re.compile(r'\sid="([^"]*)"')
REFERRED = re.compile(r'(?:url\(|href=")#([^")]+)')


class Drawn(NamedTuple):
    """A drawing as SVG text for paper and desk, and for a telephone held upright."""

    wide: str
    narrow: str


def chassis_drawing(findings: Findings) -> Drawn:
    """Plan and side view with dimensions."""
    return _drawn("chassis_drawing", findings)


def rail_diagrams(findings: Findings, case: str) -> list[Drawn]:
    """Load, shear, moment and torsion along left and right rail in one case; empty where there is no drawing."""
    both = [_drawn("rail_diagrams", findings, side, case) for side in ("left", "right")]
    return both if all(d.wide for d in both) else []


def section_sheet(findings: Findings) -> Drawn:
    """The sections of the frame to scale."""
    return _drawn("section_sheet", findings)


def inline(svg: str) -> str:
    """An SVG document as part of an HTML page: without its head, without styles that would reach beyond it, and with
    names of its own for what it refers to."""
    text = OWN_STYLE.sub("", HEAD.sub("", svg, count=1)).strip()
    wanted, own = set(REFERRED.findall(text)), sha256(text.encode()).hexdigest()[:8]
    text = NAMED.sub(lambda m: f' id="{own}-{m[1]}"' if m[1] in wanted else "", text)
    return REFERRED.sub(lambda m: m[0].replace("#", f"#{own}-", 1), text)


def _drawn(name: str, *what: Any) -> Drawn:
    if find_spec(SHEETS) is None:
        return Drawn("", "")
    draw = getattr(import_module(SHEETS), name)
    return Drawn(inline(draw(*what)), inline(draw(*what, narrow=True)))
