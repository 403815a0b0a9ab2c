"""The one place that asks for drawings of chassis, diagrams, sections and plates."""

from __future__ import annotations

import re
from collections.abc import Callable
from hashlib import sha256
from typing import Any, NamedTuple

from ladderfe.checks import Findings
from ladderfe.condition.repaired import Repaired
from ladderfe.report import sheets
from ladderfe.report.record.compact import compact

__all__ = ["Drawn", "chassis_drawing", "inline", "plate_sheets", "joined", "rail_diagrams", "section_sheets"]

HEAD = re.compile(r"^.*?(?=<svg)", re.DOTALL)
#: What matplotlib writes for all lines of a document, and its metadata.
OWN_STYLE = re.compile(r"<style[^>]*>\s*\*\{.*?</style>|<metadata>.*?</metadata>", re.DOTALL)

NAMED = re.compile(r'\sid="([^"]*)"')
REFERRED = re.compile(r'(?:url\(|href=")#([^")]+)')

#: An area over a level foot: two points on it, any number above or below between them.
BAR = re.compile(
    r'<polygon class="area" points="(?P<left>[-\d.]+),(?P<foot>[-\d.]+) (?P<top>(?:[-\d.]+,[-\d.]+ )+)'
    r'(?P<right>[-\d.]+),(?P=foot)"/>'
)
#: Of an upright sheet that may be printed 235 mm high letters of 11 are 7.2 pt where it is 780 wide and no higher.
TALL = 1018.0
BOX = re.compile(r'viewBox="0 0 [\d.]+ ([\d.]+)"')
TAG = re.compile(r"<[^>]*>")
#: Numbers that are written more finely than any screen or paper shows.
FINE = re.compile(r"(?<![\w#.])(-?\d+\.\d\d)\d+(?![\w.])")


class Drawn(NamedTuple):
    """A drawing as SVG text for paper and desk, and for a telephone held upright."""

    wide: str
    narrow: str


def chassis_drawing(findings: Findings) -> tuple[Drawn, Drawn]:
    """Plan and side view with dimensions."""
    wide, narrow = (sheets.chassis_drawing(findings, narrow=n) for n in (False, True))
    plan, side = (Drawn(inline(a), inline(b)) for a, b in zip(wide, narrow, strict=True))
    return plan, side


def rail_diagrams(findings: Findings, case: str) -> list[Drawn]:
    """Load, shear, moment and torsion along left and right rail in one case."""
    return [_drawn(sheets.rail_diagrams, findings, side, case) for side in ("left", "right")]


def section_sheets(findings: Findings) -> list[Drawn]:
    """The sections of the frame to scale, on as many sheets as a page of paper asks for."""
    def draw(part: slice, narrow: bool) -> str:
        return sheets.section_sheet(findings, narrow=narrow, part=part)

    return _paged(draw, sheets.section_count(findings), 2)


def _paged(draw: Callable[[slice, bool], str], count: int, step: int) -> list[Drawn]:
    """Sheets of so many things, `step` to a row, none higher than `TALL` where a row is not."""
    out, start = list[Drawn](), 0
    while start < count:
        stop = start + step
        while stop < count and _height(draw(slice(start, stop + step), False)) <= TALL:
            stop += step
        out.append(Drawn(*(compact(joined(_bare(draw(slice(start, stop), n)))) for n in (False, True))))
        start = stop
    return out


def _height(svg: str) -> float:
    found = BOX.search(svg)
    return float(found[1]) if found else 0.0


def plate_sheets(states: Repaired, title: str) -> tuple[list[Drawn], tuple[str, ...]]:
    """Pieces and plates of a repair plan, on as many sheets as a page of paper asks for, and the names of those that
    are not drawn."""
    plates = sheets.plan_drawings(states)
    def draw(part: slice, narrow: bool) -> str:
        return sheets.plate_sheet(plates[part], title, narrow=narrow)

    return _paged(draw, len(plates), 1), sheets.undrawn(states)


def inline(svg: str) -> str:
    """An SVG document as part of an HTML page: without its head, without styles that would reach beyond it, with names
    of its own for what it refers to, in few letters."""
    return compact(_bare(svg))


def _bare(svg: str) -> str:
    text = OWN_STYLE.sub("", HEAD.sub("", svg, count=1)).strip()
    wanted, own = set(REFERRED.findall(text)), sha256(text.encode()).hexdigest()[:8]
    text = NAMED.sub(lambda m: f' id="{own}-{m[1]}"' if m[1] in wanted else "", text)
    text = REFERRED.sub(lambda m: m[0].replace("#", f"#{own}-", 1), text)
    return TAG.sub(lambda m: FINE.sub(r"\1", m[0]), text)


def _drawn(draw: Callable[..., str], *what: Any) -> Drawn:
    wide, narrow = (compact(joined(_bare(draw(*what, **more)))) for more in ({}, {"narrow": True}))
    return Drawn(wide, narrow)


def joined(svg: str) -> str:
    """The drawing with upright bars of an area that stand side by side as one shape: finely divided members bring
    hundreds of them."""
    lines: list[str] = []
    for line in svg.split("\n"):
        bar, before = BAR.fullmatch(line), BAR.fullmatch(lines[-1]) if lines else None
        if bar and before and bar["left"] == before["right"] and bar["foot"] == before["foot"]:
            top = before["top"].split() + bar["top"].split()
            while len(top) > 2 and _level(top[-3:]):
                del top[-2]
            points = f"{before['left']},{before['foot']} {' '.join(top)} {bar['right']},{bar['foot']}"
            lines[-1] = f'<polygon class="area" points="{points}"/>'
        else:
            lines.append(line)
    return "\n".join(lines)


def _level(points: list[str]) -> bool:
    """Whether three points stand at one height, but for a hundredth of a unit."""
    heights = [float(p.split(",")[1]) for p in points]
    return max(heights) - min(heights) < 0.015
