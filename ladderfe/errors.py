"""One family of errors: where it is, what is wrong, what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["InputError", "LadderFEError", "MechanismError", "ModelError", "Problem"]


class LadderFEError(Exception):
    """Base of all errors that this package raises on purpose."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One fault of an input file: its place, the value found, the rule it breaks and what to do.

    `line` is 1-based; 0 stands for a fault of the file as a whole.
    """

    file: str
    line: int
    key: str
    value: str
    rule: str
    suggestion: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        found = f" (got {self.value})" if self.value else ""
        hint = f" {self.suggestion}." if self.suggestion else ""
        return f"{place}: {self.key}: {self.rule}{found}.{hint}"


class InputError(LadderFEError):
    """An input file that cannot be used; carries every fault found in it at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    def __str__(self) -> str:
        return "\n".join(str(p) for p in self.problems)


class ModelError(LadderFEError):
    """A model that cannot be analysed: `where` it is, the `problem` and a `hint` on what to do."""

    def __init__(self, where: str, problem: str, hint: str) -> None:
        super().__init__(where, problem, hint)
        self.where, self.problem, self.hint = where, problem, hint

    def __str__(self) -> str:
        return f"{self.where}: {self.problem}. {self.hint}."


class MechanismError(ModelError):
    """A frame that can move without straining: it names the free place and its motion."""
