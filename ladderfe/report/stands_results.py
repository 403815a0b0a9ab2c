"""Result files of a study on stands: page, JSON, tables of loads and of cuts; all of them whole or none."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from ladderfe.advice.stands import Stands
from ladderfe.checks.cut_faces import Faces
from ladderfe.condition.csv_table import csv_text
from ladderfe.report.files import STRANGE, write_folder
from ladderfe.report.results import may_write_results, taken_away
from ladderfe.report.stands_data import stands_json
from ladderfe.report.stands_text import stands_text
from ladderfe.report.table import WIDTH, page_width

__all__ = ["COLUMNS", "MARKS", "may_write_stands", "write_stands"]

GAPS = ("gap_top_mm", "gap_bottom_mm", "gap_inner_mm", "gap_outer_mm", "step_up_mm", "step_right_mm")
TURNS = ("turn_about_rail_deg", "turn_about_level_deg", "turn_about_upright_deg")
#: Table -> its columns.
COLUMNS = {
    "stand-loads": ("stand", "rail", "station_mm", "whole_kN", "cut_kN", "web_bears_kN"),
    "cut-forces": ("cut_rail", "cut_station_mm", "N_kN", "Vy_kN", "Vz_kN", "T_kNm", "My_kNm", "Mz_kNm"),
    "cut-movements": ("cut_rail", "cut_mm", "prop_before_mm", "prop_behind_mm", *GAPS, *TURNS, "stands_lifted"),
}
#: Result file -> what an earlier one has at its head.
MARKS = {
    "stands.txt": b": on stands",
    "stands.json": b'"program": "ladderfe"',
    **{f"{name}.csv": ",".join(head[:2]).encode() for name, head in COLUMNS.items()},
}


def may_write_stands(folder: Path, *, overwrite: bool = False, inputs: Iterable[Path] = ()) -> None:
    """Look, before anything is calculated, whether the files may be written into a folder; OutputError says why not."""
    may_write_results(folder, overwrite=overwrite, inputs=inputs, marks=MARKS)


def write_stands(s: Stands, source: str, folder: Path, *, overwrite: bool = False) -> list[str]:
    """Write page, JSON and tables into a folder, all files or none; without cuts there are no tables of cuts.  Returns
    one line per file."""
    may_write_stands(folder, overwrite=overwrite)
    tables = {"stand-loads": _loads(s)}
    if s.cuts:
        tables |= {"cut-forces": _forces(s), "cut-movements": _movements(s)}

    def fill(part: Path) -> None:
        with page_width(WIDTH):
            (part / "stands.txt").write_text(stands_text(s, source) + "\n", "utf-8", STRANGE)
        (part / "stands.json").write_text(stands_json(s, source) + "\n", "utf-8", STRANGE)
        for name, rows in tables.items():
            (part / f"{name}.csv").write_text(_table(COLUMNS[name], rows), "utf-8", STRANGE)

    left = write_folder(folder, fill, MARKS)
    about = {"stands.txt": "the page above", "stands.json": "everything, for machines",
             "stand-loads.csv": "kN on each stand, whole and cut"}  # fmt: skip
    if s.cuts:
        about |= {"cut-forces.csv": "forces of each brace, kN and kN m",
                  "cut-movements.csv": "gaps, steps and turns, free and with every prop"}  # fmt: skip
    return ["", f"Results in {folder}:", *(f"  {name:<18} {words}" for name, words in about.items()),
            *taken_away(left)]  # fmt: skip


def _table(head: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    return csv_text([head, *([_cell(v) for v in row] for row in rows)])


def _cell(value: object) -> str:
    """Numbers to a millionth, for below that is rounding; nothing for None."""
    if isinstance(value, float):
        return f"{round(value, 6) + 0.0:.9g}"
    return "" if value is None else str(value)


def _loads(s: Stands) -> list[list[object]]:
    cut = dict(s.after.forces) if s.after is not None and s.after.holds else {}
    return [
        [g.name, g.side, g.station, force / 1e3, cut[g.name] / 1e3 if cut else None, g.web and g.web.limit / 1e3]
        for g, (_, force) in zip(s.ground, s.before.forces, strict=True)
    ]


def _forces(s: Stands) -> list[list[object]]:
    return [
        [c.side, c.station, f.N / 1e3, f.Vy / 1e3, f.Vz / 1e3, f.T / 1e6, f.My / 1e6, f.Mz / 1e6]
        for c, f in zip(s.cuts, s.freed, strict=True)
    ]


def _movements(s: Stands) -> list[list[object]]:
    """The free faces first, where the frame still stands, then every prop."""
    out: list[list[object]] = []
    for k, cut in enumerate(s.cuts):
        if s.after is not None and s.after.holds:
            out.append([cut.side, cut.station, None, None, *_faces(s.after.faces[k]), ", ".join(s.after.lifted)])
        for p in s.props[k]:
            props = [d or None for d in p.offsets]
            out.append([cut.side, cut.station, *props, *_faces(p.after.faces[k]), ", ".join(p.after.lifted)])
    return out


def _faces(f: Faces) -> list[float]:
    return [f.top, f.bottom, f.inner, f.outer, f.up, f.right, *f.turn]
