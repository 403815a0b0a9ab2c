"""Answers that are worked out once: for a section when it is asked for, or for many sections together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Generic, TypeVar

from ladderfe.sections.walls import Section

__all__ = ["Kept"]

A = TypeVar("A")
MOST = 4096  # sections remembered


class Kept(Generic[A]):
    """Answers of `work`, which takes a list of different sections and gives one answer to each, in their order."""

    def __init__(self, work: Callable[[list[Section]], Iterable[A]]) -> None:
        self._work = work
        self._known: dict[Section, A] = {}

    def one(self, section: Section) -> A:
        """The answer for a section, the same object for equal ones."""
        known = self._known.get(section)
        return self.each([section])[0] if known is None else known

    def each(self, sections: Sequence[Section]) -> list[A]:
        """The answers for sections, those not yet known worked out together."""
        if len(self._known) + len(sections) > MOST:
            self._known = {}
        new = [section for section in dict.fromkeys(sections) if section not in self._known]
        if new:
            self._known.update(zip(new, self._work(new), strict=True))
        return [self._known[section] for section in sections]
