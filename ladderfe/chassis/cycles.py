"""Stress cycles of a chassis file: pairs of its cases and how often they come."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ladderfe.chassis.faults import Faults, closest, some
from ladderfe.chassis.types import CaseSpec, CycleSpec

__all__ = ["read_cycles"]


def read_cycles(faults: Faults, tables: Sequence[Any] | None, cases: Sequence[CaseSpec]) -> list[CycleSpec]:
    """All cycles, their shares together 1; faults are noted."""
    names = [c.name for c in cases]
    for i, t in enumerate(tables or ()):
        for key in ("first", "second"):
            name = getattr(t, key)
            if name and names and name not in names:
                meant = closest(name, names)
                hint = f'Did you mean "{meant}"? Otherwise write one of' if meant else "Write one of"
                faults.add(("cycles", i, key), "is not the name of a case of this chassis", f"{hint} {some(names)}")
        if t.first and t.first == t.second:
            faults.add(("cycles", i, "second"), "is the case that the cycle begins with", "Name two cases")
    whole = sum(t.share for t in tables or ())
    return [CycleSpec(first=t.first, second=t.second, share=t.share / whole) for t in tables or () if whole > 0]
