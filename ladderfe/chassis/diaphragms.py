"""Plates across the inside of box rails in a chassis file."""

from __future__ import annotations

from typing import Any, Final

from ladderfe.chassis.drafts import SAME, RailDraft, Rails, note_off_rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Diaphragm
from ladderfe.sections import Angle, Channel, Flat, Plated, Shape, TopHat, Tube, cell_of

__all__ = ["Stretch", "read_diaphragms"]

#: Side of a rail, and from where to where on it, mm.
Stretch = tuple[str, float, float]

WORDS: Final[dict[type[Shape], str]] = {
    Angle: "an angle", Channel: "a channel", Flat: "a flat", TopHat: "a top hat", Tube: "a tube", Plated: "open"
}  # fmt: skip


def read_diaphragms(
    faults: Faults, tables: list[Any], rails: Rails, boxed: tuple[Stretch, ...] = ()
) -> list[Diaphragm]:  # fmt: skip
    """All diaphragms that can be read, "both" as two; faults are noted.  boxed: where rails are to be boxed."""
    out: list[Diaphragm] = []
    for i, t in enumerate(tables):
        path: Path = ("diaphragms", i)
        name = t.name or f"diaphragm {i + 1}"
        sides = [r for r in rails if t.rail in (r.side, "both")]
        note_off_rails(faults, (*path, "station"), sides, t.station)
        for rail in sides:
            if not (faults.checked or any(s == rail.side and a - SAME <= t.station <= b + SAME for s, a, b in boxed)):
                _note_shape(faults, path, rail, t.station)
            made = Diaphragm(
                name=f"{name} {rail.side}" if t.rail == "both" else name,
                side=rail.side,
                station=t.station,
                thickness=t.thickness,
            )
            _note_same(faults, path, made, out)
            out.append(made)
    return out


def _note_shape(faults: Faults, path: Path, rail: RailDraft, station: float) -> None:
    """Note a plate where the rail is no box, which would do nothing."""
    shapes = [s.shape for s in rail.spans if s.start - SAME <= station <= s.end + SAME]
    known = [s for s in shapes if s is not None]
    if known and len(known) == len(shapes) and not any(cell_of(s) for s in known):
        faults.add(
            (*path, "station"),
            f"has no effect there: the {rail.side} rail is {WORDS[type(known[-1])]}, and only boxes rack",
            "Give a station where the rail is a box, or take the diaphragm out",
        )


def _note_same(faults: Faults, path: Path, made: Diaphragm, others: list[Diaphragm]) -> None:
    for other in others:
        if other.side == made.side and abs(other.station - made.station) < 1:
            faults.add(
                (*path, "station"),
                f'is that of diaphragm "{other.name}" on the {made.side} rail',
                "Take one of the two out, or correct its station",
            )
