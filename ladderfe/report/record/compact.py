"""Drawings in fewer letters, the same to the hundredth: points of paths told from the one before, polygons as paths."""

from __future__ import annotations

import re
from typing import Final

__all__ = ["compact"]

#: A path of straight lines between places told from the sheet's corner.
PATH: Final = re.compile(r'(<path[^>]*?) d="((?:[ML][-\d.]+,[-\d.]+)+)"')
POLYGON: Final = re.compile(r'<polygon((?: class="[^"]*")?) points="([^"]+)"')
STEP: Final = re.compile(r"([ML])([-\d.]+),([-\d.]+)")


def compact(svg: str) -> str:
    """An SVG text whose lines and areas are told by steps; other shapes and all words stay as they are."""
    text = POLYGON.sub(lambda m: f'<path{m[1]} d="{_steps("M" + "L".join(m[2].split()))}z"', svg)
    return PATH.sub(lambda m: f'{m[1]} d="{_steps(m[2])}"', text)


def _steps(path: str) -> str:
    """M and L with places as m and l with steps, in whole hundredths, so that nothing adds up."""
    out: list[str] = []
    x = y = 0
    for kind, a, b in STEP.findall(path):
        along, down = round(100 * float(a)), round(100 * float(b))
        second = _hundredths(down - y)
        out.append((kind.lower() if out else "M") + _hundredths(along - x) + ("" if second[0] == "-" else ",") + second)
        x, y = along, down
    return "".join(out)


def _hundredths(value: int) -> str:
    """A number of hundredths as short as it may be."""
    whole, part = divmod(abs(value), 100)
    digits = f"{part:02d}".rstrip("0")
    sign = "-" if value < 0 else ""
    return f"{sign}{whole or ''}.{digits}" if digits else f"{sign}{whole}"
