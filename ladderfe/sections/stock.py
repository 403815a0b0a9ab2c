"""Common sizes of tube, for proposals: not the list of any one supplier.

Sizes and walls are from the authors' memory of what dealers hold; ask your dealer what there is.
"""

from __future__ import annotations

from typing import Final

from ladderfe.sections.shapes import Box, Tube

__all__ = ["STOCK", "STOCK_STATUS", "stock_name"]

STOCK_STATUS: Final = "common sizes, from memory"
_ROUND: Final = ((40, 3), (50, 3), (60, 3), (60, 4), (70, 3), (76, 3), (76, 4), (89, 3), (89, 4), (102, 4), (114, 4))
_BOXES: Final = (
    (40, 40, 2), (40, 40, 3), (50, 30, 3), (50, 50, 2), (50, 50, 3), (60, 40, 2), (60, 40, 3), (60, 60, 2), (60, 60, 3),
    (80, 40, 2), (80, 40, 3), (80, 60, 2), (80, 60, 3), (80, 80, 3), (80, 80, 4), (100, 50, 3), (100, 50, 4),
    (100, 60, 3), (100, 60, 4), (100, 80, 3), (100, 100, 3), (100, 100, 4), (120, 60, 3), (120, 60, 4), (120, 80, 4),
)  # fmt: skip


def _box(depth: float, width: float, wall: float) -> Box:
    """A drawn tube with four corners, outside corner radius two walls."""
    return Box(depth=depth, width=width, top=wall, bottom=wall, minus=wall, plus=wall, radius=2 * wall)


STOCK: Final[tuple[Tube | Box, ...]] = (
    *(Tube(diameter=d, wall=t) for d, t in _ROUND),
    *(_box(d, w, t) for d, w, t in _BOXES),
)


def stock_name(shape: Tube | Box) -> str:
    """A size as it is asked for."""
    if isinstance(shape, Tube):
        return f"tube {shape.diameter:g} x {shape.wall:g}"
    return f"box {shape.depth:g} x {shape.width:g} x {shape.top:g}"
