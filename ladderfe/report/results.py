"""Result files of a check: page, JSON, CSV tables, VTU, pictures; all of them whole or none."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

import numpy as np

from ladderfe.checks import Findings
from ladderfe.checks.beside import beside
from ladderfe.elements import PLACES
from ladderfe.errors import ModelError
from ladderfe.report.beside_text import beside_text
from ladderfe.report.data import COLUMNS, csv_tables, findings_json
from ladderfe.report.files import PNG, STRANGE, OutputError, may_write, write_folder
from ladderfe.report.findings_text import findings_text
from ladderfe.report.found_data import FOUND_COLUMNS
from ladderfe.report.frame_scene import corner_movements, corner_values, frame_scene, wall_strips
from ladderfe.report.hand_page import hand_text
from ladderfe.report.table import WIDTH, page_width
from ladderfe.report.unrolled_files import UNROLLED_ABOUT, UNROLLED_MARKS, write_all_unrolled
from ladderfe.report.workbook import findings_workbook

__all__ = ["may_write_picture", "may_write_results", "taken_away", "write_picture", "write_results"]

#: The first bytes of every workbook: a zip archive (Office Open XML, ISO/IEC 29500-2).
WORKBOOK = b"PK\x03\x04"
PICTURES = {"utilisation.png": "utilisation", "von-mises.png": "von-mises"}
ABOUT = {
    "findings.txt": "the page above",
    "hand.txt": "hand calculation, and the frame beside it",
    "findings.json": "everything, for machines",
    "findings.xlsx": "the tables as a spreadsheet workbook",
    "frame.vtu": "beams and walls with all cases, for general viewers",
}
#: Result file -> what an earlier one has at its head.
MARKS = {
    "findings.txt": b"\nWhat was weighed and where it lies\n",
    "hand.txt": b"Hand calculation of one rail",
    "findings.json": b'"program": "ladderfe"',
    "findings.xlsx": WORKBOOK,
    **{f"{name}.csv": ",".join(head[:2]).encode() for name, head in COLUMNS.items()},
    "frame.vtu": b"<VTKFile",
    **dict.fromkeys(PICTURES, PNG),
}
#: Tables and drawings that only a check with readings writes.
FOUND_MARKS = {f"{name}.csv": ",".join(head[:2]).encode() for name, head in FOUND_COLUMNS.items()} | UNROLLED_MARKS
ALL_MARKS = MARKS | FOUND_MARKS


def may_write_results(
    folder: Path,
    *,
    overwrite: bool = False,
    inputs: Iterable[Path] = (),
    marks: Mapping[str, bytes] = ALL_MARKS,
) -> None:
    """Look, before anything is calculated, whether result files (`marks`: name -> what an earlier one has at its head)
    may be written into a folder; of the folders above it none is made.  OutputError says why not."""
    if folder.exists() and not folder.is_dir():
        raise OutputError(str(folder), "is a file, not a folder", "Name another folder")
    if not folder.exists() and not folder.parent.is_dir():
        raise OutputError(str(folder), f"the folder {folder.parent} does not exist", "Make it first, or choose another")
    there = [n for n in marks if (folder / n).exists()]
    if there and not overwrite:
        raise OutputError(
            str(folder),
            f"holds results already ({', '.join(there[:3])}{', ...' if len(there) > 3 else ''})",
            "Name another folder or add --overwrite",
        )
    for name in there:
        may_write(folder / name, True, marks[name], inputs)


def may_write_picture(path: Path, *, overwrite: bool = False, inputs: Iterable[Path] = ()) -> None:
    """Look, before anything is calculated, whether a picture may be written.  OutputError says why not."""
    if path.suffix.lower() != ".png" and not path.is_dir():
        raise OutputError(str(path), "pictures are written as PNG files", f"Name it {path.with_suffix('.png').name}")
    may_write(path, overwrite, PNG, inputs)


def write_results(findings: Findings, source: str, folder: Path, *, overwrite: bool = False) -> list[str]:
    """Write everything into a folder, all files or none; returns one line per file.  OutputError where files are there
    already and may not be replaced."""
    may_write_results(folder, overwrite=overwrite)
    governing, source = findings.utilisations[0].case, source.encode(errors=STRANGE).decode()
    notes: list[str] = []

    def fill(part: Path) -> None:
        for name, text in _texts(findings, source):
            (part / name).write_text(text, encoding="utf-8", errors=STRANGE)
        (part / "findings.xlsx").write_bytes(findings_workbook(findings, source))
        write_frame(findings, part / "frame.vtu")
        for name, what in PICTURES.items():
            notes.extend(write_picture(findings, governing, what, part / name)[1:])
        if findings.as_found is not None:
            write_all_unrolled(findings.as_found.readings, findings, part)

    left = write_folder(folder, fill, ALL_MARKS)
    about = ABOUT | UNROLLED_ABOUT | {n: f"{w} in case {governing!r}" for n, w in PICTURES.items()}
    width = 20 if findings.as_found is None else 24
    names = MARKS if findings.as_found is None else MARKS | FOUND_MARKS
    lines = [f"  {n:<{width}} {about.get(n, 'table')}" for n in names]
    return ["", f"Results in {folder}:", *lines, *dict.fromkeys(notes), *taken_away(left)]


def taken_away(names: Iterable[str]) -> list[str]:
    """A line on results of an earlier run that went; none where none did."""
    told = ", ".join(names)
    return [f"Taken away, for they belonged to the earlier results: {told}."] if told else []


def _texts(findings: Findings, source: str) -> list[tuple[str, str]]:
    """(file name, contents) of pages, JSON and tables; pages at their full width, whatever the terminal's."""
    hand, rows = beside(findings.chassis, findings.solution)
    with page_width(WIDTH):
        pages = findings_text(findings, source) + "\n", hand_text(hand) + "\n" + beside_text(rows, findings) + "\n"
    return [
        ("findings.txt", pages[0]),
        ("hand.txt", pages[1]),
        ("findings.json", findings_json(findings, source, rows) + "\n"),
        *csv_tables(findings),
    ]


def write_picture(
    findings: Findings, case: str, what: str, path: Path, *, magnify: float | None = None, overwrite: bool = False
) -> list[str]:
    """Draw one case; returns lines that say what was drawn between which values."""
    from ladderfe.report.pictures import draw

    scene = frame_scene(findings, case, what, magnify)
    info = draw(scene, path, overwrite=overwrite)
    lines = [f"{path}: {scene.value}, case {case!r}, from {scene.text(info.lowest)} to {scene.text(info.highest)}"]
    return lines + ([info.note] if info.note else [])


def write_frame(findings: Findings, path: Path, *, overwrite: bool = False) -> None:
    """The VTU file: beams with their resultants, walls with their stresses, all cases."""
    from ladderfe.report.vtu import CaseFields, write_vtu

    s = findings.solution
    strips = wall_strips(findings)
    moves = corner_movements(findings, strips)
    walls = {
        "von Mises [N/mm2]": corner_values(findings, strips, "von-mises"),
        "normal stress [N/mm2]": corner_values(findings, strips, "bending"),
        "utilisation": corner_values(findings, strips, "utilisation"),
    }
    ends = s.mesh.end_points()
    m = len(ends)
    ends_moved = s.frame.member_movements(s.movements).reshape(m, 2, PLACES, -1)
    own = s.mesh.axes.transpose(0, 2, 1)[:, None] @ ends_moved[:, :, :3]
    middle = s.resultants(np.arange(m), s.mesh.lengths / 2)
    names = ("N [N]", "Vy [N]", "Vz [N]", "T [N mm]", "My [N mm]", "Mz [N mm]", "B [N mm2]", "Tw or R [N mm]")
    cases = [
        CaseFields(
            name=case.name,
            node_displacements=own[..., k].reshape(2 * m, 3),
            wall_displacements=moves[..., k],
            member_values={n: middle[:, i, k] for i, n in enumerate(names)},
            wall_values={n: v[..., k] for n, v in walls.items()},
        )
        for k, case in enumerate(s.cases)
    ]
    part = s.mesh.part_of()
    if not np.isfinite(moves).all():
        raise ModelError("frame", "a movement is not a number", "Please report the chassis file")
    write_vtu(
        path,
        ends.reshape(-1, 3),
        np.arange(2 * m).reshape(m, 2),
        strips.corners,
        cases,
        part_numbers=(part, part[strips.member]),
        overwrite=overwrite,
    )
