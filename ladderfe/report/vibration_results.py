"""Result files of a study of natural frequencies: page, JSON, sheets of modes; all of them whole or none."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from ladderfe.checks.vibration import BARE, LADEN, SPRUNG, VibrationFindings
from ladderfe.report.files import PNG, STRANGE, write_folder
from ladderfe.report.mode_scene import listed, mode_scene, sheet_modes
from ladderfe.report.results import may_write_results, taken_away
from ladderfe.report.table import WIDTH, page_width
from ladderfe.report.vibration_data import vibration_json
from ladderfe.report.vibration_text import vibration_text

__all__ = ["MARKS", "may_write_vibration", "write_modes", "write_vibration"]

SHEETS = {BARE: "modes-bare.png", LADEN: "modes-laden.png", SPRUNG: "modes-on-springs.png"}
#: Result file -> what an earlier one has at its head.
MARKS = {
    "vibration.txt": b": natural frequencies\n",
    "vibration.json": b'"program": "ladderfe"',
    **dict.fromkeys(SHEETS.values(), PNG),
}


def may_write_vibration(folder: Path, *, overwrite: bool = False, inputs: Iterable[Path] = ()) -> None:
    """Look, before anything is calculated, whether the files may be written into a folder; OutputError says why not."""
    may_write_results(folder, overwrite=overwrite, inputs=inputs, marks=MARKS)


def write_vibration(v: VibrationFindings, source: str, folder: Path, *, overwrite: bool = False) -> list[str]:
    """Write page, JSON and a sheet of modes for each state into a folder, all files or none; one line per file."""
    from ladderfe.report.pictures import draw_sheet

    may_write_vibration(folder, overwrite=overwrite)
    notes: list[str] = []

    def fill(part: Path) -> None:
        with page_width(WIDTH):
            (part / "vibration.txt").write_text(vibration_text(v, source) + "\n", "utf-8", STRANGE)
        (part / "vibration.json").write_text(vibration_json(v, source) + "\n", encoding="utf-8")
        for name, state in v.states.items():
            scenes = [mode_scene(v, state, k) for k in sheet_modes(state)]
            notes.append(draw_sheet(scenes, part / SHEETS[name]))

    left = write_folder(folder, fill, MARKS)
    about = {"vibration.txt": "the page above", "vibration.json": "everything, for machines"}
    about |= {SHEETS[name]: _told(v, name) for name in v.states}
    return ["", f"Results in {folder}:", *(f"  {name:<20} {words}" for name, words in about.items()),
            *filter(None, dict.fromkeys(notes)), *taken_away(left)]  # fmt: skip


def write_modes(v: VibrationFindings, name: str, path: Path, *, overwrite: bool = False) -> list[str]:
    """Draw the sheet of modes of one state; returns lines that say what was drawn."""
    from ladderfe.report.pictures import draw_sheet

    state = v.states[name]
    scenes = [mode_scene(v, state, k) for k in sheet_modes(state)]
    note = draw_sheet(scenes, path, overwrite=overwrite)
    return [f"{path}: {_told(v, name)}", *([note] if note else [])]


def _told(v: VibrationFindings, name: str) -> str:
    state = v.states[name]
    modes = [state.modes[k] for k in sheet_modes(state)]
    return f"{name}: " + ", ".join(map(listed, modes))
