"""Drawings of unrolled rails as files: PNG, and SVG with real text."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from ladderfe.checks import Findings
from ladderfe.condition import Found
from ladderfe.report.files import PNG, OutputError, may_write, write_whole

__all__ = [
    "SHOWS", "UNROLLED_ABOUT", "UNROLLED_MARKS", "may_write_unrolled", "write_all_unrolled", "write_unrolled",
]  # fmt: skip

#: What unrolled rails may show, and the words for it.
SHOWS_WORDS: Final = {"readings": "walls as found", "utilisation": "greatest utilisation of all cases, as found"}
SHOWS: Final = tuple(SHOWS_WORDS)
#: Ending of a file -> what an earlier one has at its head.
HEADS: Final = {".png": PNG, ".svg": b"<svg"}
UNROLLED_MARKS: Final = {f"unrolled-{show}{kind}": mark for show in SHOWS for kind, mark in HEADS.items()}
UNROLLED_ABOUT: Final = {
    f"unrolled-{show}{kind}": f"{words}, rails unrolled" for show, words in SHOWS_WORDS.items() for kind in HEADS
}


def may_write_unrolled(path: Path, *, overwrite: bool = False, inputs: Iterable[Path] = ()) -> None:
    """Look, before anything is calculated, whether a drawing may be written.  OutputError says why not."""
    kind = path.suffix.lower()
    if kind not in HEADS and not path.is_dir():
        hint = f"Name it {path.with_suffix('.png').name} or {path.with_suffix('.svg').name}"
        raise OutputError(str(path), "unrolled rails are written as PNG or SVG files", hint)
    may_write(path, overwrite, HEADS.get(kind, PNG), inputs)


def write_unrolled(found: Found, findings: Findings | None, path: Path, *, overwrite: bool = False) -> str:
    """Draw readings or, with the findings of the chassis as found, utilisation; returns a line that says so."""
    may_write_unrolled(path, overwrite=overwrite)
    show = SHOWS[0] if findings is None else SHOWS[1]
    kind = path.suffix.lower()
    write_whole(path, _drawn(found, findings, (kind,))[kind], overwrite, HEADS[kind])
    return f"{path}: {SHOWS_WORDS[show]}, rails unrolled"


def write_all_unrolled(found: Found, findings: Findings, folder: Path) -> None:
    """Both drawings in both ways into a folder."""
    for show, own in zip(SHOWS, (None, findings), strict=True):
        for kind, data in _drawn(found, own, tuple(HEADS)).items():
            write_whole(folder / f"unrolled-{show}{kind}", data, mark=HEADS[kind])


def _drawn(found: Found, findings: Findings | None, kinds: Iterable[str]) -> dict[str, bytes | str]:
    """Ending of a file -> its contents."""
    from ladderfe.report.unrolled import unrolled
    from ladderfe.report.vector import png_of, svg_of

    drawing = unrolled(found, findings)
    return {kind: png_of(drawing) if kind == ".png" else svg_of(drawing) for kind in kinds}
