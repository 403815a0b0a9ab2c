"""What looks unusual in a chassis file, as a block of a page and as data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import isinf
from typing import TYPE_CHECKING, Any

from ladderfe.chassis import Chassis, Span
from ladderfe.chassis.unusual import Unusual, unusual
from ladderfe.chassis.usual import WALL
from ladderfe.checks import Findings
from ladderfe.report.table import heading, paragraph, table

if TYPE_CHECKING:
    from ladderfe.condition import Found

__all__ = ["as_stated", "unusual_data", "unusual_readings_data", "unusual_readings_text", "unusual_text"]

#: More lines than this are counted only.
MOST = 20
#: The same of readings.
READ_WORDS = (
    "Walls as read, used as they stand, whose mean is outside of what is usual for a sound wall: rust, or a slip of "
    "gauge or pen. Read these places again."
)
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


def as_stated(findings: Findings) -> Chassis:
    """The chassis as its file states it: what was read is no input that looks unusual."""
    f = findings.as_found
    if f is None:
        return findings.chassis
    left, right = (replace(rail, spans=_joined(rail.spans)) for rail in f.readings.built.rails)
    return replace(f.readings.built, rails=(left, right))


def _joined(spans: Sequence[Span]) -> tuple[Span, ...]:
    """Spans that are alike and were only cut where readings end, as one."""
    out: list[Span] = []
    for s in spans:
        if out and out[-1].shape == s.shape and out[-1].shape_end is None and s.shape_end is None:
            out[-1] = replace(out[-1], end=s.end)
        else:
            out.append(s)
    return tuple(out)


def unusual_readings(found: Found) -> list[Unusual]:
    """Places whose mean is outside of what is usual for a wall."""
    return [u for p in found.places for u in WALL.look(p.name, p.mean)]


def unusual_readings_text(found: Found) -> list[str]:
    """Readings that look unusual as a block of a page; no lines where none do."""
    read = unusual_readings(found)
    if not read:
        return []
    out = [*heading("Readings that look unusual"), *paragraph(READ_WORDS), ""]
    out += table(["place", "mean", "usual"], [[u.where, u.shown, u.usual] for u in read[:MOST]], "wll")
    return [*out, f"and {len(read) - MOST} more"] if len(read) > MOST else out


def unusual_data(chassis: Chassis) -> list[dict[str, Any]]:
    """The same for machines; no bound is null."""
    return _data(unusual(chassis))


def unusual_readings_data(found: Found) -> list[dict[str, Any]]:
    """Readings that look unusual for machines."""
    return _data(unusual_readings(found))


def _data(found: Iterable[Unusual]) -> list[dict[str, Any]]:
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
        for u in found
    ]
