"""The key below unrolled rails: what colours, hatching and signs mean."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import Final

from ladderfe.checks.found import unread_metres
from ladderfe.condition import Found
from ladderfe.report.colours import BAND_EDGES, BANDS, INK, LEFT, LEFT_EDGES, PAPER, SOFT
from ladderfe.report.labels import Box
from ladderfe.report.unrolled_marks import HATCH, corner, hatched, over_line, over_sign, ragged, rim, suspect, unread
from ladderfe.report.unrolled_names import sign
from ladderfe.report.unrolled_strips import doubtful
from ladderfe.report.vector import Area, Item, Words, width_of

__all__ = ["draw_key"]

ROW, TYPE = 26.0, 11.5
SWATCH: Final = 26.0
Draw = Callable[[Box], list[Item]]


def draw_key(items: list[Item], at: tuple[float, float], room: float, shows: str, found: Found) -> float:
    """Draw the key, line by line, from its upper left corner; returns the height at which it ends."""
    y = at[1]
    for heading, entries in _lines(shows, found):
        x = at[0]
        items.append(Words(heading, (x, y + 16), TYPE, INK, True, kind="key"))
        x += width_of(heading, TYPE, True) + 16
        for draw, words in entries:
            wide = SWATCH + 6 + width_of(words, TYPE) + 20
            if x + wide > at[0] + room:
                x, y = at[0] + 24, y + ROW
            items += [replace(i, kind="key") for i in draw(Box(x, y + 4, x + SWATCH, y + 20))]
            items.append(Words(words, (x + SWATCH + 6, y + 16), TYPE, SOFT, kind="key"))
            x += wide
        y += ROW
    return y


def _lines(shows: str, found: Found) -> list[tuple[str, list[tuple[Draw, str]]]]:
    """Headings with their entries."""
    if shows == "readings":
        colours = ("Left of the wall as built", [(_fill(c), w) for c, w in zip(LEFT, _shares(), strict=True)])
    else:
        edges = [f"{100 * e:.0f}" for e in BAND_EDGES]
        words = [*(f"{a} to {b} %" for a, b in pairwise(edges[:5])), "100 to 150 %", "over 150 %"]
        bands: list[tuple[Draw, str]] = [
            (_over(c) if k >= 4 else _fill(c), w) for k, (c, w) in enumerate(zip(BANDS, words, strict=True))
        ]
        colours = ("Utilisation", [*bands, (lambda b: [over_sign(_middle(b), 12)], "over limit")])
    return [colours, ("Walls", _states(shows, found)), ("At the rails", _held())]


def _shares() -> list[str]:
    edges = [f"{100 * e:.0f}" for e in LEFT_EDGES]
    middle = [f"{b} to {a} %" for a, b in pairwise(edges)]
    return [f"{edges[0]} to 100 %", *middle, f"under {edges[-1]} %"]


def _states(shows: str, found: Found) -> list[tuple[Draw, str]]:
    loss = found.options.unread_loss
    as_what = f"at {100 * (1 - loss):g} % of as built" if loss else "as built"
    whole = sum(s.length * len(s.walls) for s in found.stretches) / 1000
    metres = sum(unread_metres(found).values())
    out: list[tuple[Draw, str]] = [(_hatch, f"ASSUMED {as_what}: not read, {metres:.1f} of {whole:.1f} m of wall")]
    if shows == "utilisation":
        out.append((_fill(LEFT[1]), "foot of a strip: read, the darker the less is left"))
    if found.holes:
        out.append((lambda b: [ragged(Box(b.left + 5, b.top, b.right - 5, b.bottom))], "hole"))
        if any(h.rim > 0 and h.rim_given for h in found.holes):
            out.append((lambda b: rim(Box(b.left + 8, b.top, b.right - 8, b.bottom)), "rim, counts as gone"))
        if any(not h.rim_given for h in found.holes):
            out.append((lambda b: rim(Box(b.left + 8, b.top, b.right - 8, b.bottom), False), "rim ASSUMED, no outline"))
    if found.suspects:
        out.append((lambda b: suspect(_middle(b), 9), "suspect: no thickness"))
    if found.unread:
        out.append((lambda b: unread(_middle(b)), "listed, not read"))
    if shows == "readings" and any(doubtful(p) for p in found.places):
        out.append((lambda b: [Area.of(b, LEFT[1], SOFT, 0.6), corner(b)], "and ? : doubtful reading"))
    return out


def _held() -> list[tuple[Draw, str]]:
    return [
        (lambda b, kind=kind: sign(kind, _middle(b)), words)  # type: ignore[misc]
        for kind, words in (
            ("crossmember", "crossmember"), ("axle", "axle, dash-dotted through the strips"),
            ("hanger", "spring seat or hanger"), ("outrigger", "outrigger"), ("mount", "mount"),
        )
    ]  # fmt: skip


def _middle(box: Box) -> tuple[float, float]:
    return (box.left + box.right) / 2, (box.top + box.bottom) / 2


def _fill(colour: str) -> Draw:
    return lambda box: [Area.of(box, colour, SOFT, 0.6)]


def _over(colour: str) -> Draw:
    return lambda box: [Area.of(box, colour), *over_line(box)]


def _hatch(box: Box) -> list[Item]:
    return [Area.of(box, PAPER, SOFT, 0.8), *hatched(box, HATCH, "hatch")]
