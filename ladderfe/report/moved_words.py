"""What moved between two rounds of measuring, in one sentence for the top of the page."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from ladderfe.advice.alignment_modes import Mode
from ladderfe.advice.straightness import Moved, MovedReading, Straightness
from ladderfe.report.alignment_words import signed

__all__ = ["changed", "error_of", "moved_short", "moved_words", "size_of"]

#: A reading counts as changed beyond so many standard deviations of both rounds, as a mode does.
BEYOND: Final = 2


def size_of(m: Mode) -> str:
    """A mode with its sign and unit."""
    if not m.known:
        return "-"
    return f"{signed(m.size, 2)} deg" if m.name == "twist" else f"{signed(m.size)} mm"


def error_of(m: Mode) -> str:
    """One standard deviation of a mode, in the same unit."""
    return "-" if not m.known else f"{m.sigma:.2f}" if m.name == "twist" else f"{m.sigma:.1f}"


def changed(m: Moved) -> list[MovedReading]:
    """Readings that changed by more than twice the error of both rounds."""
    return [r for r in m.readings if abs(r.change) > BEYOND * r.sigma]


def moved_short(m: Moved) -> str:
    """For a heading: how much moved since the round before; "" where nothing is in both."""
    if not m.readings:
        return ""
    readings, modes = len(changed(m)), sum(x.seen for x in m.modes)
    if not readings and not modes:
        return "nothing moved since the round before"
    counts = [f"{readings} reading{'' if readings == 1 else 's'}"] if readings else []
    counts += [f"{modes} mode{'' if modes == 1 else 's'}"] if modes else []
    return f"{' and '.join(counts)} moved since the round before"


def moved_words(m: Moved, rounds: Sequence[Straightness]) -> str:
    """How many readings and which modes moved from one round to the next, and the greatest of all; `rounds` are these
    two."""
    way = f"From {m.before} to {m.after}"
    if not m.readings:
        return f"{way} nothing can be compared: no reading is in both."
    own, modes = changed(m), [x for x in m.modes if x.seen]
    known = any(x.known for x in m.modes)
    out = f"{way} {len(own) or 'none'} of {len(m.readings)} readings changed by more than twice the error of both"
    if own:
        most = max(own, key=lambda r: abs(r.change))
        out += f", most {most.after.kind} {most.after.name}, by {signed(most.change)} mm{_slip(most, rounds)}"
    if modes:
        return f"{out}. MOVED: {', '.join(f'{x.name} {size_of(x)} (error {error_of(x)})' for x in modes)}."
    return f"{out}. {'No mode moved beyond its error' if known else 'No mode can be compared'}."


def _slip(r: MovedReading, rounds: Sequence[Straightness]) -> str:
    """That a reading does not fit the others of its own round."""
    named = [s.alignment.readings[x.reading] for s in rounds for x in s.misfits]
    return ", which does not fit the others and may be a slip" if any(x in (r.before, r.after) for x in named) else ""
