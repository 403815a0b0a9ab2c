"""A rail as a strip of signs: where no joint should lie, where inspectors look closer, what is free, what is best."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.splice_windows import RailView
from ladderfe.condition import Found
from ladderfe.report.table import width_now

__all__ = ["LEGEND", "strip_lines"]

BEST, FREE, MARKED, FORBIDDEN = "=", ".", "+", "#"
LEGEND = (
    f"{FORBIDDEN} no joint here, {MARKED} free and within 30 cm of a mounting, {FREE} free, {BEST} best places; "
    "use: tenths of the limit that the section reaches at most, X over it"
)
UNREAD, PARTLY, READ = "A", "a", "."
MARGIN = 6
#: Stations written on the scale, mm.
STEPS = (100, 200, 250, 500, 1000, 2000)


def strip_lines(view: RailView, best: Sequence[float]) -> list[str]:
    """Lines that fit the page: signs, tenths of the limit, what was read, and a scale; each sign stands for as many mm
    as the first line tells, and is that of their middle, but best places are always shown."""
    start, length = view.rail.start, view.rail.end - view.rail.start
    count = width_now() - MARGIN
    step = length / count
    middles = [start + (k + 0.5) * step for k in range(count)]
    signs = [_sign(view, x) for x in middles]
    for x in best:
        signs[min(int((x - start) / step), count - 1)] = BEST
    rows = [(view.side, "".join(signs)), ("use", "".join(_tenths(view, x, step) for x in middles))]
    if view.found is not None:
        rows.append(("read", "".join(_read(view.found, view.side, x) for x in middles)))
    rows.append(("mm", _scale(start, length, step, count)))
    return [f"{name:<{MARGIN}}{line}".rstrip() for name, line in rows]


def _sign(view: RailView, station: float) -> str:
    if any(z.start <= station <= z.end for z in view.zones):
        return FORBIDDEN
    return MARKED if any(z.start <= station <= z.end for z in view.marks) else FREE


def _tenths(view: RailView, station: float, step: float) -> str:
    own = view.sections.within(station - step / 2, station + step / 2)
    own = own if len(own) else view.sections.at(station)
    most = float(view.sections.greatest[own].max())
    return "X" if most > 1 else str(min(int(10 * most), 9))


def _read(found: Found, side: str, station: float) -> str:
    stretch = next((s for s in found.stretches_of(side) if s.start <= station <= s.end), None)
    unread = [w.basis == "assumed" for w in stretch.walls] if stretch else [True]
    return UNREAD if all(unread) else PARTLY if any(unread) else READ


def _scale(start: float, length: float, step: float, count: int) -> str:
    """Stations where they stand, each after a tick."""
    every = next((s for s in STEPS if s / step >= 7), STEPS[-1])
    line = [" "] * (count + 7)
    x = -(-start // every) * every
    while x <= start + length:
        k, word = min(int((x - start) / step), count - 1), f"|{x:g}"
        if k + len(word) <= count:
            line[k : k + len(word)] = word
        x += every
    return "".join(line[:count])
