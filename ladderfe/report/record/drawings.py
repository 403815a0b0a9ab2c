"""The one place that asks for drawings of chassis, diagrams and sections; "" where there is none."""

from __future__ import annotations

import re
from collections.abc import Callable
from importlib import import_module
from importlib.util import find_spec

from ladderfe.checks import Findings

__all__ = ["chassis_drawing", "inline", "rail_diagrams", "section_sheet"]

SHEETS = "ladderfe.report.sheets"
HEAD = re.compile(r"^.*?(?=<svg)", re.DOTALL)
OWN_STYLE = re.compile(r"<style[^>]*>.*?</style>|<metadata>.*?</metadata>", re.DOTALL)


def chassis_drawing(findings: Findings) -> str:
    """Plan and side view with dimensions."""
    return _drawn("chassis_drawing", lambda draw: draw(findings))


def rail_diagrams(findings: Findings, side: str, case: str) -> str:
    """Load, shear, moment and torsion along one rail in one case."""
    return _drawn("rail_diagrams", lambda draw: draw(findings, side, case))


def section_sheet(findings: Findings) -> str:
    """The sections of the frame to scale."""
    return _drawn("section_sheet", lambda draw: draw(findings))


def inline(svg: str) -> str:
    """An SVG document as part of an HTML page: without its head, and without styles that would reach beyond it (what
    matplotlib writes sets joins and caps of all lines)."""
    return OWN_STYLE.sub("", HEAD.sub("", svg, count=1)).strip()


def _drawn(name: str, ask: Callable[[Callable[..., str]], str]) -> str:
    if find_spec(SHEETS) is None:
        return ""
    return inline(ask(getattr(import_module(SHEETS), name)))
