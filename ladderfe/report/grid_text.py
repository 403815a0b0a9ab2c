"""The reading grid of a chassis as a page, and as a table to fill in."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.checks.grid import TOGETHER, Grid, GridStation, alike
from ladderfe.condition.columns import COLUMNS
from ladderfe.condition.csv_table import csv_text
from ladderfe.report.table import heading, paragraph, share, table

__all__ = ["ADVICE", "grid_csv", "grid_text", "off_words", "spared_words", "why_three"]

#: What to mind while reading; common practice.
ADVICE = (
    "Clean to bright metal over the width of the probe: paint, zinc and scale are read as steel or hide the echo.",
    "Set the gauge on its step block before each rail and after it, and write both down.",
    "Beside the walls look at the lower corners and seams: they rot first, and a probe in the middle of a wall does "
    "not see it. Tap along; what rings dull is suspect, never a thickness.",
    "Where a reading is below 85 % of as built, or falls by more than 0.3 mm to the next one, tighten to 25 to 50 mm "
    "until the ends of the bad place are known; add rows.",
    "About twice its neighbours is a double echo; more than as built is paint or a doubler; usual probes with two "
    "crystals do not read less than 1 mm. Read such places again, and say so in the note.",
    "Of a hole write from where to where, and the rim: mm until the wall is sound again.",
    "Never drill a flange to measure it. Nobody is under a vehicle that a jack alone holds.",
)


HARDEST = (
    "Stations of one line work alike; read at each of them. Hardest: the greatest utilisation of all cases of the "
    "walls of the members there, so that along one member it stays the same."
)


def why_three() -> str:
    """Why three readings are asked for."""
    return (
        "Three readings where a wall governs: one alone tells nothing of its scatter, and small numbers flatter, for "
        "the smallest of 3 lies only 0.85 s below the mean on average (normal scatter)."
    )


def spared_words(grid: Grid) -> str:
    """Where few readings will do, as a sentence with the number."""
    if not grid.spared:
        return (
            f"No station is so lightly worked that it may be left out: all reach {100 * grid.light:g} % of a limit, or "
            "something is mounted there."
        )
    by_side = []
    for side in ("left", "right"):
        own = [f"{s.station:g} ({share(max(p.use for p in s.places))})" for s in grid.spared if s.side == side]
        by_side += [f"{side} rail at {', '.join(own)} mm"] if own else []
    return (
        f"Where not to bother: {len(grid.spared)} of {len(grid.stations)} stations, whose walls work at less than "
        f"{100 * grid.light:g} % of their limits in all cases and where nothing is mounted: {'; '.join(by_side)}. One "
        "reading each, on the wall that works hardest, will do."
    )


def off_words(grid: Grid) -> str:
    """Why a station may lie beside a joint; "" where none does."""
    if not any(s.off for s in grid.stations):
        return ""
    return (
        f"Things within {TOGETHER:g} mm of each other share one station, that of the foremost: what stands behind it "
        "has its own place in brackets."
    )


def grid_text(grid: Grid, title: str) -> str:
    """The page."""
    out = [*paragraph(f"{title}: where to read wall thicknesses"), ""]
    out += paragraph(
        f"{len(grid.stations)} stations on both rails{_few(grid)}, {sum(len(s.places) for s in grid.stations)} places, "
        f"{grid.readings} readings. Stations lie where something is mounted or joined, at bends and steps, and between "
        f"these no more than {grid.spacing:g} mm apart{' in the whole grid' if grid.whole else ''}."
    )
    out += [line for words in (off_words(grid), why_three(), spared_words(grid)) for line in paragraph(words)]
    for side in ("left", "right"):
        own = grid.of(side)
        if not own:
            continue
        out += [*heading(f"{side.capitalize()} rail: {sum(s.readings for s in own)} readings")]
        head = ["mm", "walls and how often", "hardest", "what is there"]
        out += table(head, [_row(run) for run in alike(own)], "wlrw")
    out += ["", *paragraph(HARDEST), *heading("While reading")]
    for words in ADVICE:
        out += paragraph(words, "  ", "- ")
    return "\n".join(out)


def _few(grid: Grid) -> str:
    if not grid.whole:
        return ""
    return f" of {grid.whole}, the hardest worked ones and no two of a stretch that works alike before all have one"


def _row(run: Sequence[GridStation]) -> list[str]:
    """Stations that follow each other and work alike."""
    s = run[0]
    walls = ", ".join(p.wall if p.count == 1 else f"{p.wall} x {p.count}" for p in s.places)
    there = "; ".join(f"{x.station:g}: {x.at}" if len(run) > 1 else x.at for x in run if x.at)
    return [", ".join(f"{x.station:g}" for x in run), walls, share(max(p.use for p in s.places), 0), there]


def grid_csv(grid: Grid, title: str) -> str:
    """All places with empty readings, a row for each reading, to be filled in and read back."""
    head = [
        f"# Thickness readings of {title}: fill in the column reading, in mm. A reading may be a number, hole (from",
        "# station to the column to, and rim: mm until the wall is sound again), suspect (rings dull), or stay empty.",
        "# Rows may be added: one for each reading.",
    ]
    rows = [list(COLUMNS)]
    for s in grid.stations:
        for p in s.places:
            for k in range(p.count):
                of = f" ({k + 1} of {p.count})" if p.count > 1 else ""
                note = f"as built {p.nominal:g} mm{of}" + (f", {s.at}" if s.at else "")
                rows.append([s.side, f"{s.station:g}", p.wall, "", "", "", note.replace(";", ",")])
    return "\n".join(head) + "\n" + csv_text(rows)
