"""The legend of a picture: the colours with their values; its ends are the extremes of what is shown."""

from __future__ import annotations

import numpy as np

from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import BAND_EDGES, BANDS, GREY, INK, SOFT, Scale
from ladderfe.report.labels import Box
from ladderfe.report.scene import Array, Scene

__all__ = ["draw_legend", "round_ticks"]

WIDE = 20.0  # of the bar of colours, pixels at scale 1


def draw_legend(canvas: Canvas, scene: Scene, scale: Scale, area: Box, k: float) -> None:
    """Draw the legend in an area of the sheet; k is the scale of the lettering."""
    room = area.right - area.left
    words = [canvas.fitted(row, 12 * k, room) for row in scene.value.split(", ", maxsplit=1)]
    heading = canvas.write("\n".join(words), (area.left, area.top), 12 * k, colour=SOFT)
    bar = Box(area.left, heading.bottom + 34 * k, area.left + WIDE * k, area.bottom - 62 * k)
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
    """Even colours from the lowest to the highest value; both written in full at the ends."""
    low, high = scene.lowest, scene.highest
    if np.isnan(low):
        return
    steps = max(2, round(bar.bottom - bar.top))
    middle = high - (np.arange(steps) + 0.5) / steps * (high - low)
    canvas.image(scale.colours(middle)[:, None], (bar.left, bar.top), (bar.right - bar.left, bar.bottom - bar.top))
    _frame(canvas, bar)
    words = bar.right + 8 * k
    canvas.write(scene.text(high), (bar.left, bar.top - 5 * k), 12 * k, bold=True, down="bottom")
    if low < high:
        canvas.write(scene.text(low), (bar.left, bar.bottom + 5 * k), 12 * k, bold=True)
    for value in round_ticks(low, high, 7):
        y = bar.bottom - (value - low) / (high - low) * (bar.bottom - bar.top)
        if min(y - bar.top, bar.bottom - y) < 12 * k:
            continue
        canvas.line(np.array([(bar.right, y), (bar.right + 4 * k, y)]), SOFT, 0.8)
        canvas.write(f"{value:g}", (words, y), 11 * k, colour=SOFT, down="center")


def _bands(canvas: Canvas, scene: Scene, bar: Box, k: float) -> None:
    """Bands of utilisation, equally high, a black line and a sign at 100 %; the extremes above and below."""
    each = (bar.bottom - bar.top) / len(BANDS)
    for i, colour in enumerate(BANDS):
        low = bar.bottom - i * each
        canvas.area(_corners(Box(bar.left, low - each, bar.right, low)), colour)
    _frame(canvas, bar)
    words = bar.right + 8 * k
    for i, value in enumerate(BAND_EDGES[:-1]):
        y, limit = bar.bottom - i * each, value == 1.0
        reach = 7 * k if limit else 4 * k
        start = bar.left - 5 * k if limit else bar.right
        canvas.line(np.array([(start, y), (bar.right + reach, y)]), "#000000" if limit else SOFT, 2.2 if limit else 0.8)
        if limit:
            canvas.write("100 %", (words + 3 * k, y), 12 * k, bold=True, down="center")
        else:
            canvas.write(f"{100 * value:.0f} %", (words, y), 11 * k, colour=SOFT, down="center")
    over = bar.bottom - 4.5 * each
    canvas.area(triangle(np.array((words + 6 * k, over)), 10 * k), INK)
    canvas.write("over", (words + 17 * k, over), 12 * k, bold=True, down="center")
    highest = f"greatest {scene.text(scene.highest)}"
    canvas.write(highest, (bar.left, bar.top - 5 * k), 12 * k, bold=True, down="bottom")
    canvas.write(f"lowest {scene.text(scene.lowest)}", (bar.left, bar.bottom + 9 * k), 12 * k, bold=True)


def triangle(middle: Array, size: float) -> Array:
    """Corners (3, 2) of an upright triangle: the sign of what is over its limit."""
    return middle + size * np.array([(0.0, -0.55), (0.5, 0.4), (-0.5, 0.4)])


def _corners(box: Box) -> Array:
    return np.array([(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)])


def _frame(canvas: Canvas, bar: Box) -> None:
    canvas.area(_corners(bar), "none", SOFT, 0.6, order=6)
