"""Result files of a check: page, JSON, CSV tables, VTU, pictures; each written whole or not at all."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from ladderfe.checks import Findings, beside
from ladderfe.errors import ModelError
from ladderfe.report.beside_text import beside_text
from ladderfe.report.data import csv_tables, findings_json
from ladderfe.report.files import OutputError, write_whole
from ladderfe.report.findings_text import findings_text
from ladderfe.report.frame_scene import corner_movements, corner_values, frame_scene, wall_strips
from ladderfe.report.hand_page import hand_text

__all__ = ["write_picture", "write_results"]


def write_results(findings: Findings, source: str, folder: Path, *, overwrite: bool = False) -> list[str]:
    """Write everything into a folder; returns one line per file.  OutputError before anything is written if a file is
    there already and may not be replaced."""
    hand, rows = beside(findings.chassis, findings.solution)
    texts = [
        ("findings.txt", findings_text(findings, source) + "\n"),
        ("hand.txt", hand_text(hand) + "\n" + beside_text(rows) + "\n"),
        ("findings.json", findings_json(findings, source, rows) + "\n"),
        *csv_tables(findings),
    ]
    governing = findings.utilisations[0].case
    pictures = {"utilisation.png": "utilisation", "von-mises.png": "von-mises"}
    names = [*(n for n, _ in texts), "frame.vtu", *pictures]
    there = [n for n in names if (folder / n).exists()]
    if there and not overwrite:
        raise OutputError(
            str(folder),
            f"holds results already ({', '.join(there[:3])}{', ...' if len(there) > 3 else ''})",
            "Name another folder or add --overwrite",
        )
    for name, text in texts:
        write_whole(folder / name, text, overwrite)
    write_frame(findings, folder / "frame.vtu", overwrite=overwrite)
    notes: list[str] = []
    for name, what in pictures.items():
        notes += write_picture(findings, governing, what, folder / name, overwrite=overwrite)[1:]
    about = {
        "findings.txt": "the page above",
        "hand.txt": "hand calculation, and the frame beside it",
        "findings.json": "everything, for machines",
        "frame.vtu": "beams and walls with all cases, for general viewers",
    }
    about |= {n: f"{w} in case {governing!r}" for n, w in pictures.items()}
    return ["", f"Results in {folder}:", *(f"  {n:<20} {about.get(n, 'table')}" for n in names), *dict.fromkeys(notes)]


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
    own = s.mesh.axes.transpose(0, 2, 1)[:, None] @ s.frame.member_movements(s.movements).reshape(m, 2, 6, -1)[:, :, :3]
    middle = s.resultants(np.arange(m), s.mesh.lengths / 2)
    names = ("N [N]", "Vy [N]", "Vz [N]", "T [N mm]", "My [N mm]", "Mz [N mm]")
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
