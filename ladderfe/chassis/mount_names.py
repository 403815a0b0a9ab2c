"""Names of mounts wherever a chassis file refers to them: one on both sides stands for its two."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ladderfe.chassis.faults import Faults, listed
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Mount

__all__ = ["MountNames"]

RULE = "no mount has this name"


@dataclass(frozen=True, slots=True)
class MountNames:
    """The mounts of a file by name, and the two that a name on both sides stands for."""

    mounts: Mapping[str, Mount]
    pairs: Mapping[str, tuple[str, ...]]
    written: tuple[str, ...]

    @classmethod
    def of(cls, mounts: list[Mount], tables: list[Any]) -> MountNames:
        by_name = {m.name: m for m in mounts}
        written = tuple(t.name for t in tables if t.name)
        sides = {n: (f"{n} left", f"{n} right") for n in written if n not in by_name}
        return cls(by_name, {n: tuple(s for s in two if s in by_name) for n, two in sides.items()}, written)

    def meant(self, name: str) -> tuple[str, ...]:
        """The mounts that a name stands for; none where it is unknown."""
        return (name,) if name in self.mounts else self.pairs.get(name, ())

    def all(self, names: list[str] | tuple[str, ...] | None) -> tuple[str, ...]:
        """The mounts that several names stand for, each once, in their order."""
        return tuple(dict.fromkeys(n for name in names or () for n in self.meant(name)))

    def one(self, name: str | None) -> str:
        """The one mount that a name stands for, "" where there is none or it stands for two."""
        found = self.meant(name or "")
        return found[0] if len(found) == 1 else ""

    def known(self, faults: Faults, path: Path, name: str | None) -> bool:
        """Whether a name stands for a mount; if not, that is noted, unless mounts have lost their names."""
        if not name:
            return True
        if self.meant(name):
            return True
        if name not in self.pairs:
            faults.unknown(path, name, ("mounts",), self.written, RULE)
        return False

    def check_one(self, faults: Faults, path: Path, name: str | None) -> None:
        """Note a name that does not stand for one mount."""
        if self.known(faults, path, name) and name and len(two := self.meant(name)) > 1:
            hint = "Write " + listed(f'"{n}"' for n in two)
            faults.add(path, "stands for two mounts, and one is needed here", hint, value=f'"{name}"')

    def check_all(self, faults: Faults, path: Path, names: list[str] | None) -> None:
        """Note names in a list that stand for nothing or for a mount that is named before."""
        seen: set[str] = set()
        for k, name in enumerate(names or []):
            place = (*path, k) if isinstance(faults.at(path), list) else path
            if not self.known(faults, place, name):
                continue
            found = self.meant(name)
            if seen & set(found):
                faults.add(place, "is named twice here", "Name each mount once", value=f'"{name}"')
            seen |= set(found)
