"""What the load cases of a file need to know: what is left out and needed by none of them is not worth a word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

__all__ = ["ACROSS", "ALONG", "Uses", "uses_of"]

#: Kinds of case with forces along the vehicle, and with forces across it.
ALONG: Final = frozenset({"braking", "drive-off", "pothole", "drawbar pull", "winch", "recovery"})
ACROSS: Final = frozenset({"cornering", "kerb strike", "drawbar pull", "winch", "recovery"})
#: Kinds in which an axle hangs from the frame.
HANGING: Final = frozenset({"jack", "two-post lift", "stands"})
#: Kinds that the usual set has whatever the file holds.
ALWAYS: Final = frozenset({"braking", "drive-off", "cornering"})


@dataclass(frozen=True, slots=True)
class Uses:
    """Whether some case has forces along, across, or either (`level`), whether one has a nose weight in it,
    and whether axles hang in one."""

    along: bool
    across: bool
    nose: bool
    hangs: bool

    @property
    def level(self) -> bool:
        return self.along or self.across


def uses_of(file: Any) -> Uses:
    """What the cases of a file use, those of the usual set included."""
    tables = file.cases or []
    kinds = {t.kind for t in tables}
    usual = file.cases is None or "usual" in kinds
    if usual:
        kinds |= ALWAYS
    forces = [f for t in tables for f in t.forces or []]
    coupled = bool(getattr(file.towing, "coupling", None))
    return Uses(
        along=bool(kinds & ALONG) or any(f.x for f in forces),
        across=bool(kinds & ACROSS) or any(f.y for f in forces),
        nose=(usual and coupled) or bool(kinds & {"nose weight", "rear overhang whip"}),
        hangs=(usual and file.workshop is not None) or bool(kinds & HANGING),
    )
