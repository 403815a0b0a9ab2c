"""A sheet on which lines, areas, words and an image are placed by the pixel (right and down from the upper left)."""

from __future__ import annotations

import io
from typing import Any, Literal

import numpy as np

from ladderfe.report.colours import INK, PAPER, Bytes
from ladderfe.report.labels import Box
from ladderfe.report.scene import Array

__all__ = ["Canvas"]

DPI = 100
ABOVE = 5  # what is drawn at this order or higher lies on top of the walls


class Canvas:
    """Thin cover over a matplotlib figure whose one axes is the sheet in pixels."""

    def __init__(self, width: int, height: int) -> None:
        from matplotlib import style
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from matplotlib.figure import Figure

        with style.context("default"):  # whatever the machine's own settings are
            self.figure = Figure(figsize=(width / DPI, height / DPI), dpi=DPI, facecolor=PAPER)
            self._agg = FigureCanvasAgg(self.figure)
            self.axes = self.figure.add_axes((0, 0, 1, 1), frame_on=False)
            self.axes.set_axis_off()
            self.axes.set(xlim=(0, width), ylim=(height, 0))
        self.strokes: list[Array] = []  # lines and areas drawn so far that words should keep clear of

    def line(self, points: Array, colour: str, width: float, order: float = 5) -> None:
        """A line through points (k, 2)."""
        self.axes.plot(
            points[:, 0], points[:, 1], color=colour, linewidth=width, zorder=order, solid_capstyle="round",
            scalex=False, scaley=False,
        )
        if order >= ABOVE:
            self.strokes.append(points)

    def segments(self, ends: Array, colour: str, width: float, order: float) -> None:
        """Separate lines (k, 2, 2)."""
        from matplotlib.collections import LineCollection

        lines = LineCollection(list(ends), colors=colour, linewidths=width, zorder=order)
        self.axes.add_collection(lines, autolim=False)

    def area(self, points: Array, fill: str, edge: str = "none", width: float = 0.0, order: float = 5) -> None:
        """A filled polygon (k, 2)."""
        from matplotlib.patches import Polygon

        shape = Polygon(points, closed=True, facecolor=fill, edgecolor=edge, linewidth=width, zorder=order)
        self.axes.add_patch(shape)
        if order >= ABOVE:
            self.strokes.append(np.vstack([points, points[:1]]))

    def image(self, pixels: Bytes, at: tuple[float, float] = (0, 0), size: tuple[float, float] | None = None) -> None:
        """An image (height, width, 3 or 4), its upper left corner at a place, as it is or stretched to a size."""
        height, width = pixels.shape[:2]
        across, down = size or (width, height)
        extent = (at[0], at[0] + across, at[1] + down, at[1])
        self.axes.imshow(pixels, extent=extent, interpolation="nearest", zorder=3, aspect="auto")
        self.axes.set(xlim=(0, self.figure.get_figwidth() * DPI), ylim=(self.figure.get_figheight() * DPI, 0))

    def write(
        self, words: str, at: tuple[float, float], size: float, colour: str = INK, bold: bool = False,
        across: Literal["left", "center", "right"] = "left",
        down: Literal["top", "center", "bottom", "baseline"] = "top",
    ) -> Box:
        """Write words (lines split by newline); size in pixels of type height.  Returns their box."""
        return self._box(self._text(words, at, size, colour, bold, across, down))

    def _text(
        self, words: str, at: tuple[float, float], size: float, colour: str = INK, bold: bool = False,
        across: Any = "left", down: Any = "top",
    ) -> Any:
        return self.axes.text(
            *at, words, fontsize=size * 72 / DPI, color=colour, fontweight="bold" if bold else "normal",
            family="DejaVu Sans", parse_math=False, ha=across, va=down, zorder=8, linespacing=1.2,
        )

    def stand(
        self, words: str, at: tuple[float, float], size: float, colour: str = INK, bold: bool = False,
        across: Literal["left", "center", "right"] = "left", turn: float = 0.0,
    ) -> None:
        """Words that stand on a place, turned about it by degrees, rising positive."""
        text = self._text(words, at, size, colour, bold, across, "baseline")
        text.set(rotation=turn, rotation_mode="anchor")

    def _box(self, text: Any) -> Box:
        area = text.get_window_extent()
        height = self.figure.get_figheight() * DPI
        return Box(area.x0, height - area.y1, area.x1, height - area.y0)

    def measure(self, words: str, size: float, bold: bool = False) -> tuple[float, float]:
        """Width and height of words in pixels."""
        text = self._text(words, (0, 0), size, bold=bold)
        box = self._box(text)
        text.remove()
        return box.right - box.left, box.bottom - box.top

    def fitted(self, words: str, size: float, room: float, bold: bool = False) -> str:
        """The words, cut short with an ellipsis where they are wider than the room."""
        if self.measure(words, size, bold)[0] <= room:
            return words
        low, high = 0, len(words)
        while low < high:
            middle = (low + high + 1) // 2
            if self.measure(words[:middle].rstrip() + "…", size, bold)[0] <= room:
                low = middle
            else:
                high = middle - 1
        return words[:low].rstrip() + "…"

    def png(self) -> bytes:
        """The sheet as a PNG file; the same sheet gives the same bytes."""
        buffer = io.BytesIO()
        self.figure.savefig(buffer, format="png", dpi=DPI, facecolor=PAPER, metadata={"Software": None})
        return buffer.getvalue()
