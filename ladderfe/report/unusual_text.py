"""What looks unusual in a chassis file, as a block of a page and as data."""

from __future__ import annotations

from math import isinf
from typing import Any

from ladderfe.chassis import Chassis
from ladderfe.chassis.unusual import unusual
from ladderfe.report.table import heading, paragraph, table

__all__ = ["unusual_data", "unusual_text"]

#: More lines than this are counted only.
MOST = 20
WORDS = "Used as they stand, but outside of what is usual: read them in the file once more."


def unusual_text(chassis: Chassis) -> list[str]:
    """Lines of the block; none where nothing looks unusual."""
    found = unusual(chassis)
    if not found:
        return []
    rows = [[u.where, u.shown, u.usual, u.hint] for u in found[:MOST]]
    out = [*heading("Looks unusual"), *paragraph(WORDS), ""]
    out += table(["where", "value", "usual", "question"], rows, "wllw")
    if len(found) > MOST:
        out.append(f"and {len(found) - MOST} more")
    sources = dict.fromkeys(u.source for u in found)
    return [*out, *paragraph(f"Usual ranges: {'; '.join(sources)}. They are no limits.")]


def unusual_data(chassis: Chassis) -> list[dict[str, Any]]:
    """The same for machines; no bound is null."""
    return [
        {
            "where": u.where,
            "value": u.value,
            "usual from": None if isinf(u.low) else u.low,
            "usual to": None if isinf(u.high) else u.high,
            "unit": u.unit,
            "source": u.source,
            "hint": u.hint,
        }
        for u in unusual(chassis)
    ]
