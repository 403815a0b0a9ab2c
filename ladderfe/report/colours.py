"""Colours of values, and of everything else in a picture.

The maps run from light to dark in equal steps of perceived difference (designed in CAM02-UCS, which the tests check in
CIELAB), so that they stay readable in grey print and with any colour vision.  Utilisation is drawn in bands with
a jump in lightness and hue at 100 %.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.report.scene import Array, Kind, Scene

__all__ = [
    "ACCENT", "ACCENT_SOFT", "BANDS", "BAND_EDGES", "EDGE", "FAINT", "GREY", "INK", "LEFT", "LEFT_EDGES", "PAPER",
    "SOFT", "Bytes", "Scale", "band_left", "letters_on", "rgb",
]  # fmt: skip

Bytes = NDArray[np.uint8]

PAPER = "#ffffff"
INK = "#22303a"  # letters
SOFT = "#66757e"  # lesser letters, dimension lines
EDGE = "#475761"  # edges of the walls
FAINT = "#bcc5ca"  # outline of the frame at rest
GREY = "#d5d9db"  # walls that were not checked
ACCENT = "#8d2a6b"  # forces
ACCENT_SOFT = "#b47fa2"  # line loads

SIZE = [
    "#f4f1ce", "#ddecd1", "#c9e2d2", "#b7d8d1", "#a3cccf", "#8fc0cd", "#7bb3ca", "#67a5c6", "#5697c0",
    "#4887b9", "#3e77ae", "#3768a2", "#335892", "#304981", "#2c3a6f", "#262c5c", "#1d1e48",
]
COMPRESSION = ["#1c4278", "#265a95", "#3573aa", "#4c8cbb", "#6aa4c8", "#8dbbd3", "#b2d1dd", "#d6e3e5"]
TENSION = ["#f1d9b9", "#ebbe8f", "#e3a267", "#d88546", "#c7692d", "#b15020", "#973c19", "#7a2a14"]
SIGNED = [*COMPRESSION, "#f3f0e4", *TENSION]
BANDS = ["#fbf8dc", "#d3e6cf", "#a5cfd1", "#74b0cc", "#c8501a", "#6e1212"]
BAND_EDGES = (0.0, 0.25, 0.50, 0.75, 1.0, 1.5, 2.0)  # the last band is open upward
LEFT = [SIZE[k] for k in range(0, 16, 3)]  # share of a wall's thickness that is left: dark where little is
LEFT_EDGES = (0.9, 0.8, 0.7, 0.6, 0.5)  # each band begins at its edge, the last one is open downward
ENTRIES = 1024


def rgb(colour: str) -> tuple[int, int, int]:
    """Red, green, blue (0 to 255) of "#rrggbb"."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def band_left(share: float) -> int:
    """Number of the band in `LEFT` of what is left of a thickness, as a share; rounding does not change it."""
    return sum(share < edge - 1e-9 for edge in LEFT_EDGES)


def letters_on(fill: str) -> str:
    """Paper or ink, whichever is read better on a colour: by contrast of relative luminance (WCAG 2.1)."""
    part = np.array([rgb(c) for c in (fill, PAPER, INK)]) / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    ground, paper, ink = (linear @ (0.2126, 0.7152, 0.0722) + 0.05).tolist()
    return PAPER if paper / ground > ground / ink else INK


def _blend(stops: list[str]) -> Bytes:
    """Table (ENTRIES, 3) through evenly spaced colours."""
    table = np.array([rgb(c) for c in stops], dtype=float)
    at = np.linspace(0, len(stops) - 1, ENTRIES)
    channels = [np.interp(at, np.arange(len(stops)), channel) for channel in table.T]
    return np.stack(channels, axis=1).round().astype(np.uint8)


def _bands() -> Bytes:
    """Table (ENTRIES, 3) of the bands of utilisation, from 0 to the last band's nominal end."""
    middle = (np.arange(ENTRIES) + 0.5) / ENTRIES * BAND_EDGES[-1]
    index = np.searchsorted(BAND_EDGES, middle) - 1
    return np.array([rgb(c) for c in BANDS], dtype=np.uint8)[index]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scale:
    """From values to colours: a table (ENTRIES, 3) spread evenly over low to high; values beyond take its ends.

    For a signed value low = -high, so that zero is neutral and equal sizes are equally strong.
    """

    kind: Kind
    table: Bytes
    low: float
    high: float

    @classmethod
    def of(cls, scene: Scene) -> Scale:
        """The scale whose ends are the extremes of the scene (utilisation: the fixed bands)."""
        low, high = (0.0, 0.0) if np.isnan(scene.lowest) else (scene.lowest, scene.highest)
        if scene.kind == "utilisation":
            return cls(kind=scene.kind, table=_bands(), low=0.0, high=BAND_EDGES[-1])
        if scene.kind == "signed":
            high = max(abs(low), abs(high))
            low = -high
        if high - low <= 1e-12 * max(abs(low), abs(high)):  # one value only: put it in the middle
            low, high = low - 1.0, high + 1.0
        return cls(kind=scene.kind, table=_blend(SIGNED if scene.kind == "signed" else SIZE), low=low, high=high)

    def colours(self, values: Array | float) -> Bytes:
        """Red, green, blue (..., 3) of values (...); grey where a value is nan."""
        values = np.asarray(values, dtype=float)
        where = (np.nan_to_num(values, nan=self.low) - self.low) / (self.high - self.low)
        index = np.clip(np.floor(where * ENTRIES), 0, ENTRIES - 1).astype(int)
        return np.where(np.isnan(values)[..., None], np.array(rgb(GREY), dtype=np.uint8), self.table[index])
