"""What tape and level say of the frame: in short for the record sheet, and a chapter of its own."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ladderfe.advice.straightness import Moved, Straightness
from ladderfe.chassis import Chassis
from ladderfe.report.alignment_text import square_lines
from ladderfe.report.alignment_words import next_steps
from ladderfe.report.moved_words import error_of, moved_short, moved_words, size_of
from ladderfe.report.record.parts import Prose, prose

__all__ = ["Straight", "straight_parts", "straight_sheet"]

#: So many rounds have room on the sheet, the last ones.
ROUNDS = 3


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Straight:
    """Rounds of measuring, earliest first, and what moved from each to the next."""

    chassis: Chassis
    rounds: tuple[Straightness, ...]
    moved: tuple[Moved, ...]


def straight_parts(s: Straight) -> tuple[Prose, ...]:
    """All that `ladderfe square` tells of the last round and of what moved, but its cautions."""
    return prose(square_lines(s.chassis, s.rounds, s.moved))


def straight_sheet(s: Straight) -> dict[str, Any]:
    """For the record sheet: names of rounds, a row for every mode, and what is outside and moved in words."""
    last, shown = s.rounds[-1], s.rounds[-ROUNDS:]
    names = [r.alignment.source.rpartition("/")[2] for r in shown]
    steps = next_steps(last)
    more = f" and {len(steps) - 1} more" if len(steps) > 1 else ""
    verdict = f"OUTSIDE THE TOLERANCE: {steps[0].removesuffix('.')}{more}" if steps else "Nothing outside the tolerance"
    short = moved_short(s.moved[-1]) if s.moved else ""
    words = [f"{verdict}{f'; {short}' if short else ''}."]
    words += [moved_words(s.moved[-1], s.rounds[-2:])] if s.moved else []
    return {
        "names": names,
        "rows": [[m.name, *(size_of(r.modes[m.name]) for r in shown), error_of(m)] for m in last.modes.modes],
        "words": words,
    }
