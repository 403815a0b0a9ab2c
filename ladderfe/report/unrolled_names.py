"""What is at the rails, by name along the edge of an unrolled rail, and the stations."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Final

import numpy as np

from ladderfe.chassis import Chassis, Rail
from ladderfe.condition import Feature, features
from ladderfe.report.colours import FAINT, INK, PAPER, SOFT
from ladderfe.report.labels import Box
from ladderfe.report.legend import round_ticks
from ladderfe.report.vector import Area, Item, Segments, Words, fitted, width_of

__all__ = ["KINDS", "Held", "header_height", "held_at", "names_beside", "ruler", "sign", "through", "kept_apart"]

#: What is named, the most important first, and the word for it.
KINDS: Final = {"axle": "axle", "crossmember": "crossmember", "hanger": "hanger", "outrigger": "outrigger",
                "mount": "mount"}  # fmt: skip
SIZE, TURN, MOST = 11.0, 45.0, 165.0  # of the type, degrees, pixels of the longest name
APART: Final = 19.0  # between names, pixels along the edge
STEM, LEG, SIGN = 10.0, 14.0, 4.0  # sign beside the strips, bent part of the leader, half the size of a sign
ROUND = np.linspace(0, 2 * np.pi, 16, endpoint=False)


@dataclass(frozen=True, slots=True)
class Held:
    """What is at a station of a rail: its kind, the words for it, and whether its sign stands for all that is there."""

    station: float
    kind: str
    words: str
    first: bool = True


def held_at(chassis: Chassis, rail: Rail) -> tuple[Held, ...]:
    """What is named along a rail, at one station (within 1 mm) the most important first."""
    own = [f for f in features(chassis, rail) if f.kind in KINDS]
    groups: list[list[Feature]] = []
    for f in own:
        if groups and f.station - groups[-1][0].station <= 1.0:
            groups[-1].append(f)
        else:
            groups.append([f])
    out = []
    for group in groups:
        group.sort(key=lambda f: list(KINDS).index(f.kind))
        names = {_called(f, rail.side): f for f in reversed(group)}
        ordered = reversed(list(names.items()))
        out += [Held(f.station, f.kind, words, k == 0) for k, (words, f) in enumerate(ordered)]
    return tuple(out)


def _called(f: Feature, side: str) -> str:
    name = f.name.removesuffix(f" {side}")
    if f.kind in ("mount", "hanger") or KINDS[f.kind] in name:
        return name
    return f"{KINDS[f.kind]} {name}" if f.kind == "crossmember" else f"{name} {KINDS[f.kind]}"


def kept_apart(wanted: Sequence[float], least: float, low: float, high: float) -> list[float]:
    """Places as near as can be (least squares) to those wanted, rising, at least so far apart and between two ends,
    as far as there is room."""
    blocks: list[list[float]] = []  # sum of places less those of an even row, count
    for k, w in enumerate(wanted):
        blocks.append([w - k * least, 1])
        while len(blocks) > 1 and blocks[-2][0] / blocks[-2][1] > blocks[-1][0] / blocks[-1][1]:
            total, count = blocks.pop()
            blocks[-1][0] += total
            blocks[-1][1] += count
    bases = [b[0] / b[1] for b in blocks for _ in range(int(b[1]))]
    last = high - (len(bases) - 1) * least
    return [min(max(base, low), max(last, low)) + k * least for k, base in enumerate(bases)]


def header_height(held: Iterable[Held]) -> float:
    """Pixels that names, leaders and signs take beside the strips."""
    longest = max((width_of(_short(h), SIZE) for h in held), default=0.0)
    return STEM + LEG + longest * sin(radians(TURN)) + SIZE


def _short(h: Held) -> str:
    return fitted(h.words, SIZE, MOST)


def names_beside(
    held: Sequence[Held], x_of: Callable[[float], float], edge: float, up: int, ends: tuple[float, float]
) -> list[Item]:
    """Names along an edge of the strips at height `edge`, above (up = 1) or below (-1) them, slanting away from it."""
    room = int((ends[1] - ends[0]) // APART) + 1
    ranked = sorted(held, key=lambda h: list(KINDS).index(h.kind))[:room]
    named = sorted(ranked, key=lambda h: h.station)
    places = kept_apart([x_of(h.station) for h in named], APART, *ends)
    out: list[Item] = []
    for h in (h for h in held if h.first):
        out += sign(h.kind, (x_of(h.station), edge - up * STEM / 2), up)
    for h, at in zip(named, places, strict=True):
        x, stem, far = x_of(h.station), edge - up * STEM, edge - up * (STEM + LEG)
        out.append(Segments((((x, stem), (at, far)),), SOFT, 0.8, "leader"))
        c, s = cos(radians(TURN)), up * sin(radians(TURN))  # along the words (c, -s), down from them (s, c)
        place = at + 3 * c + 0.36 * SIZE * s, far - 3 * s + 0.36 * SIZE * c
        axle = h.kind == "axle"
        out.append(Words(_short(h), place, SIZE, INK if axle else SOFT, axle, turn=up * TURN, kind="name"))
    return out


def through(held: Iterable[Held], x_of: Callable[[float], float], top: float, bottom: float) -> list[Item]:
    """Lines across the strips: crossmembers in full, axles dash-dotted as centre lines are."""
    out: list[Item] = []
    for h in held:
        x = x_of(h.station)
        if h.kind == "crossmember":
            out.append(Segments((((x, top), (x, bottom)),), FAINT, 1.2, "crossmember"))
        if h.kind == "axle":
            out.append(Segments(_dash_dot(x, top, bottom), SOFT, 1.0, "axle"))
    return out


def _dash_dot(x: float, top: float, bottom: float) -> tuple[tuple[tuple[float, float], tuple[float, float]], ...]:
    out, y = [], top
    while y < bottom:
        out.append(((x, y), (x, min(y + 9, bottom))))
        if y + 12 < bottom:
            out.append(((x, y + 12), (x, min(y + 14, bottom))))
        y += 17
    return tuple(out)


def sign(kind: str, at: tuple[float, float], up: int = 1) -> list[Item]:
    """The small sign of what is at a station, the strips below it (up = 1) or above."""
    x, y = at
    if kind == "hanger":
        ring = tuple((x + SIGN * float(np.cos(a)), y + SIGN * float(np.sin(a))) for a in ROUND)
        return [Area(ring, PAPER, INK, 1.4, "hanger")]
    if kind == "mount":
        corners = ((x, y + up * SIGN), (x + SIGN, y - up * SIGN * 0.8), (x - SIGN, y - up * SIGN * 0.8))
        return [Area(corners, PAPER, INK, 1.2, "mount")]
    if kind == "axle":
        return [Segments((((x, y - SIGN - 1), (x, y + SIGN + 1)),), INK, 2.4, "axle sign")]
    fill = INK if kind == "crossmember" else PAPER
    return [Area.of(Box(x - SIGN, y - SIGN, x + SIGN, y + SIGN), fill, INK, 1.2, kind)]


def ruler(x_of: Callable[[float], float], start: float, end: float, y: float) -> list[Item]:
    """Stations in mm along a line at height y, a long tick every so many hundred and short ones between."""
    ticks = {float(v) for v in round_ticks(start - 1, end + 1, 14)}
    step = float(np.diff(sorted(ticks)[:2])[0]) if len(ticks) > 1 else 500.0
    fine = np.arange(np.ceil(start / (step / 5)), np.floor(end / (step / 5)) + 1) * step / 5
    out: list[Item] = [Segments((((x_of(start), y), (x_of(end), y)),), INK, 1.0, "ruler")]
    short = tuple(((x_of(float(v)), y - 3), (x_of(float(v)), y + 3)) for v in fine)
    out.append(Segments(short, SOFT, 0.8, "ruler"))
    for v in sorted(ticks):
        out.append(Segments((((x_of(v), y - 6), (x_of(v), y + 6)),), INK, 1.2, "ruler"))
        out.append(Words(f"{v:.0f}", (x_of(v), y + 19), 11, INK, across="center", kind="station"))
    return out
