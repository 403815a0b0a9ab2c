"""The legend of a picture: the colours with their values, the extremes of what is shown pointed at."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import BAND_EDGES, BANDS, GREY, INK, SOFT, Scale
from ladderfe.report.labels import Box
from ladderfe.report.scene import Array, Scene
from ladderfe.report.signs import over

__all__ = ["draw_legend", "round_ticks"]

WIDE = 20.0  # of the bar of colours, pixels at scale 1


def draw_legend(canvas: Canvas, scene: Scene, scale: Scale, area: Box, k: float) -> None:
    """Draw the legend in an area of the sheet; k is the scale of the lettering."""
    room = area.right - area.left
    words = [canvas.fitted(row, 12 * k, room) for row in scene.value.split(", ", maxsplit=1)]
    heading = canvas.write("\n".join(words), (area.left, area.top), 12 * k, colour=SOFT)
    bar = Box(area.left, heading.bottom + 24 * k, area.left + WIDE * k, area.bottom - 48 * k)
    if scene.kind == "utilisation":
        _bands(canvas, scene, bar, k)
    else:
        _ramp(canvas, scene, scale, bar, k)
    if np.isnan(scene.values).any():
        top = area.bottom - 16 * k
        canvas.area(_corners(Box(bar.left, top, bar.right, top + 12 * k)), GREY, SOFT, 0.6)
        canvas.write("not checked", (bar.right + 8 * k, top + 6 * k), 11 * k, colour=SOFT, down="center")


def round_ticks(low: float, high: float, most: int) -> Array:
    """Round values (1, 2 or 5 times a power of ten apart) strictly between low and high, at most so many."""
    if not high > low:
        return np.array([])
    least = (high - low) / (most + 1)
    power = 10.0 ** np.floor(np.log10(least))
    step = next(power * m for m in (1.0, 2.0, 5.0, 10.0) if power * m >= least * (1 - 1e-9))
    ticks: Array = np.arange(np.floor(low / step) + 1, np.ceil(high / step)) * step
    return ticks + 0.0  # no minus zero


def _ramp(canvas: Canvas, scene: Scene, scale: Scale, bar: Box, k: float) -> None:
    """Even colours from the lowest to the highest value, which are written at its ends."""
    low, high = scene.lowest, scene.highest
    if np.isnan(low):
        return
    steps = max(2, round(bar.bottom - bar.top))
    middle = high - (np.arange(steps) + 0.5) / steps * (high - low)
    canvas.image(scale.colours(middle)[:, None], (bar.left, bar.top), (bar.right - bar.left, bar.bottom - bar.top))
    _frame(canvas, bar)
    taken = _extremes(canvas, scene, bar, k, lambda v: bar.bottom - (v - low) / (high - low or 1.0) * bar.high)
    for value in round_ticks(low, high, 7):
        y = bar.bottom - (value - low) / (high - low) * bar.high
        canvas.line(np.array([(bar.right, y), (bar.right + 4 * k, y)]), SOFT, 0.8)
        _tick(canvas, f"{value:g}", bar.right + 8 * k, y, k, taken)


def _bands(canvas: Canvas, scene: Scene, bar: Box, k: float) -> None:
    """Bands of utilisation, equally high, a black line and a sign at 100 %; the extremes at their values."""
    each = bar.high / len(BANDS)
    for i, colour in enumerate(BANDS):
        low = bar.bottom - i * each
        canvas.area(_corners(Box(bar.left, low - each, bar.right, low)), colour)
    _frame(canvas, bar)
    words = bar.right + 8 * k
    steps = np.arange(len(BAND_EDGES))
    limit_at = bar.bottom - each * BAND_EDGES.index(1.0)
    taken = _extremes(
        canvas, scene, bar, k, lambda v: bar.bottom - each * float(np.interp(v, BAND_EDGES, steps)), limit_at
    )
    for i, value in enumerate(BAND_EDGES[:-1]):
        y, limit = bar.bottom - i * each, value == 1.0
        reach = 7 * k if limit else 4 * k
        start = bar.left - 5 * k if limit else bar.right
        canvas.line(np.array([(start, y), (bar.right + reach, y)]), "#000000" if limit else SOFT, 2.2 if limit else 0.8)
        _tick(canvas, f"{100 * value:.0f} %", words + (3 * k if limit else 0), y, k, () if limit else taken, bold=limit)
    for band in (4.5, 5.5):  # beside the bands that are over, where no number stands
        y = bar.bottom - band * each
        if all(abs(y - other) > 26 * k for other in taken):
            over(canvas, np.array((words + 6 * k, y)), 10 * k)
            canvas.write("over limit", (words + 17 * k, y), 12 * k, bold=True, down="center")
            break


def _extremes(
    canvas: Canvas, scene: Scene, bar: Box, k: float, height: Callable[[float], float], kept: float = np.inf
) -> tuple[float, ...]:
    """Greatest and lowest value, each beside its place on the scale with a pointer to it, and no words at the height
    `kept`.  Returns the heights of the words, where no tick is to be written."""
    low, high = height(scene.lowest), height(scene.highest)

    def clear(y: float) -> float:
        near = abs(y - kept) < 27 * k
        return kept + (27 * k if y > kept else -27 * k) if near else y

    if scene.lowest == scene.highest:
        return (_extreme(canvas, scene, bar, k, ("all", scene.highest), (high, clear(high))),)
    up = clear(high)
    down = max(clear(low), up + 32 * k)  # two lines of words are that high
    down = kept + 27 * k if abs(down - kept) < 27 * k else down
    top = _extreme(canvas, scene, bar, k, ("greatest", scene.highest), (high, up))
    bottom = _extreme(canvas, scene, bar, k, ("lowest", scene.lowest), (low, down))
    return top, bottom


def _extreme(
    canvas: Canvas, scene: Scene, bar: Box, k: float, told: tuple[str, float], heights: tuple[float, float]
) -> float:
    """One pointer at a height on the scale, and its two lines of words at another; returns that."""
    (word, value), (at, y) = told, heights
    tip = np.array([bar.right + 1 * k, at])
    canvas.area(np.array([tip, tip + k * np.array([9, -5]), tip + k * np.array([9, 5])]), INK)
    if abs(y - at) > 1:
        canvas.line(np.array([tip + k * np.array([9, 0]), (bar.right + 13 * k, y)]), INK, 0.8 * k)
    canvas.write(word, (bar.right + 14 * k, y), 11 * k, colour=SOFT, down="bottom")
    canvas.write(scene.text(value), (bar.right + 14 * k, y), 12 * k, bold=True)
    return y


def _tick(
    canvas: Canvas, words: str, x: float, y: float, k: float, taken: tuple[float, ...], bold: bool = False
) -> None:
    """The number of a tick, unless other words stand there."""
    if all(abs(y - other) > 24 * k for other in taken):
        canvas.write(words, (x, y), (12 if bold else 11) * k, INK if bold else SOFT, bold, down="center")


def _corners(box: Box) -> Array:
    return np.array([(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)])


def _frame(canvas: Canvas, bar: Box) -> None:
    canvas.area(_corners(bar), "none", SOFT, 0.6, order=6)
