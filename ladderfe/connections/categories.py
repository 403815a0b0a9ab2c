"""Fatigue categories of details of repairs, as a table: range at two million cycles, slope, source and status."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from ladderfe.connections.inputs import positive, unknown
from ladderfe.errors import ModelError

__all__ = ["CATEGORIES", "Category", "category"]

STATUS: Final = "value from memory, not confirmed in the text"
WHERE: Final = "fatigue category"


@dataclass(frozen=True, slots=True, kw_only=True)
class Category:
    """A detail: stress range in MPa at 2e6 cycles and slope m of life, N = 2e6 (range/stress range)^m.

    Of nominal normal stress beside the detail (`weld throat`: shear stress on the throat); for clean metal, new work of
    ordinary quality, protected from rust.
    """

    name: str
    detail: str
    stress_range: float
    slope: float = 3.0
    source: str
    status: str = STATUS

    def __post_init__(self) -> None:
        positive(WHERE, f"the stress range of {self.name}", self.stress_range)
        positive(WHERE, f"the slope of {self.name}", self.slope)


_ROWS: Final = (
    ("plain", "rolled plate or section, no welds, as rolled edges", 160, "8.1"),
    ("dressed edge", "machine gas-cut edge, dressed", 140, "8.1"),
    ("cut edge", "machine gas-cut edge, shallow and regular drag lines", 125, "8.1"),
    ("hole", "drilled hole, stress on the net section", 90, "8.1"),
    ("butt, ground", "transverse butt weld from both sides, ground flush", 112, "8.3"),
    ("butt, both sides", "transverse butt weld from both sides, flat bead", 90, "8.3"),
    ("butt, high bead", "transverse butt weld from both sides, high bead", 80, "8.3"),
    ("butt, backing strip", "transverse butt weld on a backing strip that fits tight", 71, "8.3"),
    ("butt, poor strip", "transverse butt weld on a strip tacked in the plate or ending near its edge", 50, "8.3"),
    ("butt, one side", "transverse butt weld from one side, root not inspected", 36, "8.3"),
    ("long seam", "continuous longitudinal fillet weld by hand", 100, "8.2"),
    ("stitched seam", "intermittent longitudinal fillet weld", 80, "8.2"),
    ("attachment to 50 mm", "plate welded along the member, length up to 50 mm", 80, "8.4"),
    ("attachment to 80 mm", "plate welded along the member, length up to 80 mm", 71, "8.4"),
    ("attachment to 100 mm", "plate welded along the member, length up to 100 mm", 63, "8.4"),
    ("attachment over 100 mm", "plate welded along the member, longer than 100 mm", 56, "8.4"),
    ("transverse attachment", "plate or bracket welded across the member", 80, "8.4"),
    ("cover plate end", "end of a lapped plate thinner than the wall, up to 20 mm", 56, "8.5"),
    ("thick cover plate end", "end of a lapped plate as thick as the wall or thicker, up to 20 mm", 50, "8.5"),
    ("lap, main plate", "fillet-welded lap joint, stress in the main plate", 63, "8.5"),
    ("lap, lapped plate", "fillet-welded lap joint, stress in the lapped plates", 45, "8.5"),
    ("lap, root", "root of a fillet weld that carries the force across it, stress on the throat", 36, "8.5"),
)
#: By name.  A category of a standard the user has is a Category of its own, with its source.
CATEGORIES: Final = {
    name: Category(name=name, detail=detail, stress_range=float(value), source=f"EN 1993-1-9:2005 Table {table}")
    for name, detail, value, table in _ROWS
} | {
    "weld throat": Category(name="weld throat", detail="fillet weld in shear, stress on the throat", stress_range=80.0,
                            slope=5.0, source="EN 1993-1-9:2005 Table 8.5"),
}  # fmt: skip


def category(name: str, *, pitted: bool = False) -> Category:
    """The category of CATEGORIES by name.

    Raises ModelError where there is none of that name, and for pitted metal: no category holds there.
    """
    if name not in CATEGORIES:
        raise unknown(WHERE, name, CATEGORIES)
    if pitted:
        raise ModelError(f"{WHERE} {name}", "it stands for clean metal and none holds where the wall is pitted, for "
                         "each pit is a notch of its own",
                         "Replace the pitted metal, or leave fatigue of this place open")
    return CATEGORIES[name]
