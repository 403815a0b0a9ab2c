"""Dimensions as drawings have them: extension lines, dimension lines with arrows, values above or beside them.

Chains and running dimensions follow ISO 129-1: a thin line, arrows that point outward to the extension lines, values
above the line; running dimensions count from the datum, each value written along its extension line.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from ladderfe.report.sheets.letters import DOWN, UP, fitted, width_of
from ladderfe.report.sheets.pen import Across, Pen, Point
from ladderfe.report.sheets.words import mm
from ladderfe.report.unrolled_names import kept_apart

__all__ = ["Label", "Stations", "arrow", "chain", "labels_beside", "labels_height", "scale_bar", "upright_dimension"]

TIP: Final = 7.0  # length of an arrow
OVERSHOOT: Final = 3.0  # of extension lines beyond the dimension line
LEG: Final = 12.0  # of the bent leader from a station to its words


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a station, the height of the sheet at which the leader to them begins, and whether they weigh more."""

    station: float
    words: str
    start: float
    heavy: bool = False


@dataclass(frozen=True, slots=True)
class Stations:
    """Places of stations from `start` to `end` between two places of the sheet."""

    start: float
    end: float
    left: float
    right: float

    def __call__(self, station: float) -> float:
        return self.left + (station - self.start) * (self.right - self.left) / (self.end - self.start)


def arrow(pen: Pen, at: Point, ahead: Point, kind: str = "tip", length: float = TIP) -> None:
    """The head of an arrow whose point is `at`; ahead: direction of length 1."""
    x, y = at
    across, down = ahead
    foot = x - length * across, y - length * down
    half = 0.19 * length
    left = foot[0] - half * down, foot[1] + half * across
    right = foot[0] + half * down, foot[1] - half * across
    pen.area(kind, [at, left, right])


def chain(
    pen: Pen, x_of: Callable[[float], float], stations: Sequence[float], y: float, top: float, what: str = "chain"
) -> None:
    """A row of dimensions between stations at height y, extension lines from height `top`; values are differences of
    stations as they are written elsewhere, so that they add up."""
    at = [float(mm(s)) for s in stations]
    for s in at:
        pen.line("dim", (x_of(s), top), (x_of(s), y + OVERSHOOT))
    for a, b in pairwise(at):
        left, right = x_of(a), x_of(b)
        words, size = mm(b - a), pen.format.size
        pen.line("dim", (left, y), (right, y))
        if right - left > 2.5 * TIP:
            arrow(pen, (left, y), (-1, 0))
            arrow(pen, (right, y), (1, 0))
        else:
            pen.lines("thin", [[(x - 3, y + 3), (x + 3, y - 3)] for x in (left, right)])
        middle, line = (left + right) / 2, y - DOWN * size - 1
        half = width_of(words, size) / 2
        low = y + UP * size + 2
        places: list[tuple[Point, Across]] = [((middle, line), "center"), ((middle, low), "center")]
        places += [((right + half + 4, line), "center"), ((left - half - 4, line), "center")]
        pen.first_free(words, places, size=size, what=what)


def upright_dimension(
    pen: Pen, x: float, ends: tuple[float, float], words: str, reach: tuple[float, float], what: str = "height"
) -> None:
    """A dimension line upright at x between two heights of the sheet, its words along it on the left; extension lines
    begin at `reach` (one for each end)."""
    for y, start in zip(ends, reach, strict=True):
        away = OVERSHOOT if x > start else -OVERSHOOT
        pen.line("dim", (start, y), (x + away, y))
    top, bottom = sorted(ends)
    if bottom - top > 2.5 * TIP:
        pen.line("dim", (x, top), (x, bottom))
        arrow(pen, (x, top), (0, -1))
        arrow(pen, (x, bottom), (0, 1))
    else:
        pen.line("dim", (x, top - 2 * TIP), (x, bottom + 2 * TIP))
        arrow(pen, (x, top), (0, 1))
        arrow(pen, (x, bottom), (0, -1))
    size = pen.format.size
    pen.write(words, (x - DOWN * size - 2, (top + bottom) / 2), size=size, across="center", upright=True, what=what)


def labels_height(pen: Pen, labels: Sequence[Label], room: float) -> float:
    """What `labels_beside` takes beside the edge."""
    size = pen.format.small
    longest = max((width_of(fitted(v.words, size, room, v.heavy), size, v.heavy) for v in labels), default=0.0)
    return LEG + 4 + longest


def labels_beside(
    pen: Pen, x_of: Callable[[float], float], labels: Sequence[Label], edge: float, room: float, *, up: bool,
    what: str = "station",
) -> None:  # fmt: skip
    """Upright words beside a view, each with a leader from its station, kept apart; `edge`: height at which leaders
    bend, `room`: longest words.  Where there are more than fit, those that weigh less are left out from the rear."""
    f, way = pen.format, -1.0 if up else 1.0
    size = f.small
    least = (UP + DOWN) * size + 1.5
    ends = f.margin + UP * size, f.width - f.margin - DOWN * size
    most = int((ends[1] - ends[0]) / least) + 1
    chosen = sorted(labels, key=lambda v: (not v.heavy, v.station))[:most]
    ordered = sorted(chosen, key=lambda v: (v.station, v.words))
    places = kept_apart([x_of(v.station) for v in ordered], least, *ends)
    far, middle = edge + way * LEG, (UP - DOWN) / 2 * size
    for v, at in zip(ordered, places, strict=True):
        x, words = x_of(v.station), fitted(v.words, size, room, v.heavy)
        pen.line("dim", (x, v.start), (x, edge), (at, far), (at, far + way * 2))
        foot = far + way * 4 if up else far + 4 + width_of(words, size, v.heavy)
        kind = "text" if v.heavy else "soft"
        pen.write(words, (at + middle, foot), kind, size=size, upright=True, bold=v.heavy, what=what)


def scale_bar(pen: Pen, right: float, y: float, scale: float, longest: float) -> None:
    """A bar of a round length with its words on the left, ending at x = right."""
    length = max(v for v in (10, 20, 50, 100, 200, 500, 1000) if v * scale <= longest or v == 10)
    left = right - length * scale
    pen.lines("axis", [[(left, y), (right, y)], *([(x, y - 4), (x, y + 4)] for x in (left, right))])
    words = f"{length} mm"
    pen.write(words, (left - 5, y + 0.36 * pen.format.small), "soft", size=pen.format.small, across="right")
