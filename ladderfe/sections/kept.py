"""Answers that are worked out once: for a section or shape when it is asked for, or for many together."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from functools import wraps
from typing import Generic, TypeVar

__all__ = ["Kept", "lately"]

K = TypeVar("K", bound=Hashable)
A = TypeVar("A")
MOST = 16384  # answers remembered: three states of a frame with tapers in fine steps have half as many
LATEST = 16  # answers that `lately` remembers


def lately(work: Callable[..., A]) -> Callable[..., A]:
    """Remember the last few answers of a function of frozen things, told apart by identity: those of a mesh have
    hundreds of sections, whose hash alone would take longer than the rest."""
    known: dict[tuple[int, ...], tuple[tuple[object, ...], A]] = {}

    @wraps(work)
    def answer(*given: object) -> A:
        key = tuple(map(id, given))
        if key not in known:
            while len(known) >= LATEST:
                del known[next(iter(known))]
            known[key] = given, work(*given)  # what was given stays alive, so that its identity stays its own
        return known[key][1]

    return answer


class Kept(Generic[K, A]):
    """Answers of `work`, which takes a list of different keys and gives one answer to each, in their order."""

    def __init__(self, work: Callable[[list[K]], Iterable[A]]) -> None:
        self._work = work
        self._known: dict[K, A] = {}

    def one(self, key: K) -> A:
        """The answer for a key, the same object for equal ones."""
        known = self._known.get(key)
        return self.each([key])[0] if known is None else known

    def each(self, keys: Sequence[K]) -> list[A]:
        """The answers for keys, those not yet known worked out together."""
        new = [key for key in dict.fromkeys(keys) if key not in self._known]
        if new:
            self._make_room(len(new), keys)
            self._known.update(zip(new, self._work(new), strict=True))
        return [self._known[key] for key in keys]

    def _make_room(self, more: int, wanted: Sequence[K]) -> None:
        """Forget the answers that were found first, but none that are wanted."""
        over = len(self._known) + more - MOST
        if over > 0:
            asked = set(wanted)
            for key in [k for k in self._known if k not in asked][:over]:
                del self._known[key]
