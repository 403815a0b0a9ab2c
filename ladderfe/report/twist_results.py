"""Result files of a study of twist: page, JSON, diagrams; all of them whole or none."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from ladderfe.checks.twist import TwistFindings
from ladderfe.condition import Found
from ladderfe.report.files import PNG, STRANGE, write_folder
from ladderfe.report.results import may_write_results
from ladderfe.report.table import WIDTH, page_width
from ladderfe.report.twist_data import twist_json
from ladderfe.report.twist_text import twist_text

__all__ = ["MARKS", "may_write_twist", "write_twist"]

DIAGRAMS = {
    "twist-angle": "twist along the frame at 1 kN m, by joints",
    "wheel-loads": "wheel loads against the height of raised wheels",
    "twist-energy": "what works in the frame",
}
ABOUT = {"twist.txt": "the page above", "twist.json": "everything, for machines"} | {
    f"{name}.{kind}": words for name, words in DIAGRAMS.items() for kind in ("svg", "png")
}
#: Result file -> what an earlier one has at its head.
MARKS = {"twist.txt": b"\nTorsional stiffness of the bare frame\n", "twist.json": b'"program": "ladderfe"'} | {
    f"{name}.{kind}": mark for name in DIAGRAMS for kind, mark in (("svg", b"<svg"), ("png", PNG))
}


def may_write_twist(folder: Path, *, overwrite: bool = False, inputs: Iterable[Path] = ()) -> None:
    """Look, before anything is calculated, whether the files may be written into a folder; OutputError says why not."""
    may_write_results(folder, overwrite=overwrite, inputs=inputs, marks=MARKS)


def write_twist(
    t: TwistFindings, source: str, folder: Path, *, overwrite: bool = False, found: Found | None = None
) -> list[str]:
    """Write page, JSON and diagrams into a folder, all files or none; returns one line per file."""
    from ladderfe.report.twist_diagrams import twist_diagrams

    may_write_twist(folder, overwrite=overwrite)

    def fill(part: Path) -> None:
        with page_width(WIDTH):
            (part / "twist.txt").write_text(twist_text(t, source, found) + "\n", "utf-8", STRANGE)
        (part / "twist.json").write_text(twist_json(t, source, found) + "\n", encoding="utf-8")
        for d in twist_diagrams(t):
            (part / f"{d.name}.svg").write_text(d.svg, encoding="utf-8")
            (part / f"{d.name}.png").write_bytes(d.png)

    write_folder(folder, fill)
    return ["", f"Results in {folder}:", *(f"  {name:<18} {about}" for name, about in ABOUT.items())]
