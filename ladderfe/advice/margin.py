"""How thin walls may get: the thickness at which the utilisation of a place reaches 1, forces recomputed in each state.

The utilisation that counts for a place is the greatest over its reach, whichever wall it is in, of all criteria of the
check (bending, average shear, von Mises) and all cases asked for: a wall that becomes thinner loads the others.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import Final, Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.places import ALL, Place, start_of, state_of, stretches_of
from ladderfe.advice.search import Crossing, Fall, How, fall, room, together
from ladderfe.advice.states import Answer, AnswerStates, Near, State
from ladderfe.advice.together import answer_states
from ladderfe.advice.walls import word_left
from ladderfe.chassis.faults import some
from ladderfe.checks.variants import AGREE
from ladderfe.condition import Found, shapes_of
from ladderfe.errors import ModelError
from ladderfe.sections.thinned import ALL_ROUND

__all__ = ["Beside", "Limit", "Margin", "Margins", "Tell", "case_margins", "margins", "silent"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
#: Share of the time that the searches take; then the whole frame is worked out at each limit.
SEARCHED: Final = 0.7
#: So many rounds the searches of most places take: from it goes how much is still to be done.
USUAL_ROUNDS: Final = 5
#: So many cases are named where one is not known.
CASES: Final = 20
#: What is searched for at a place.
Key = tuple[Place, Literal["limit", "onset"]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A place elsewhere: what it is, the case, its utilisation as found and in another state."""

    name: str
    case: str
    found: float
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The thickness (mm) at which a number of a place comes over 1, as a `Crossing`; case: the one that governs there,
    "" where there is none; ratio: the number at that thickness, worked out again there."""

    how: How
    thickness: float
    case: str = ""
    ratio: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Margin:
    """What one place has left.

    now: utilisation as found and its case.  over: (case, utilisation) of cases that are over 1 before anything becomes
    thinner, the worst first: as found, or for all walls alike as they were built.  limit: of the other cases together.
    onset: where the wall begins to lose width by local buckling, all cases.  elsewhere: the greatest utilisation
    elsewhere in the state of the limit; first: what elsewhere comes over 1 before this place does, and at which
    thickness of this wall (only what was below 1 as found).
    """

    place: Place
    now: tuple[float, str]
    over: tuple[tuple[str, float], ...]
    limit: Limit
    onset: Limit
    elsewhere: Beside | None = None
    first: tuple[Beside, float] | None = None

    @property
    def left(self) -> float | None:
        """Smallest reading less limit thickness, mm; None where nobody read, some case is over already, or there is no
        limit."""
        least = self.place.least
        if least is None or self.over or self.limit.how in ("already over", "none"):
            return None
        return least - self.limit.thickness


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Margins:
    """Margins of places, in their order; cases: those asked for; worst: places over 1 as found, (name, case,
    utilisation), the worst first; answers: how many states were solved."""

    found: Found
    cases: tuple[str, ...]
    margins: tuple[Margin, ...]
    worst: tuple[tuple[str, str, float], ...]
    answers: int


@dataclass(frozen=True, eq=False)
class _Desk:
    """Answers of states that were asked for before are kept: by place, thickness and the groups they speak of, none for
    all of them."""

    found: Found
    cases: IntArray
    answer: AnswerStates
    kept: dict[tuple[Place, float, tuple[int, ...]], Answer] = field(default_factory=dict)

    def ask(
        self, wanted: Sequence[tuple[Place, float]], near: Mapping[Place, Sequence[int]] | None = None
    ) -> list[Answer]:
        """Answers of places with walls so thick; near: groups that are asked for, of places not in it their own."""
        groups = {p: tuple((near or {}).get(p, stretches_of(self.found, p))) for p, _ in wanted}
        return self._asked([(p, t, groups[p]) for p, t in wanted])

    def whole(self, wanted: Sequence[tuple[Place, float]]) -> list[Answer]:
        """The same of the whole frame.

        Raises ModelError where what was said of the places before is not the same.
        """
        out = self._asked([(p, t, ()) for p, t in wanted])
        for (p, t), answer in zip(wanted, out, strict=True):
            before = self.kept.get((p, t, tuple(stretches_of(self.found, p))), answer)
            one, other = self.own(p, before), self.own(p, answer)
            if not answer.problem and not np.abs(one - other).max() <= AGREE * answer.ratio.max():
                words = f"both ways of working its states out are {np.abs(one - other).max():.1e} apart"
                raise ModelError(p.name, words, "Tell those who look after the program")
        return out

    def _asked(self, wanted: Sequence[tuple[Place, float, tuple[int, ...]]]) -> list[Answer]:
        new = [key for key in dict.fromkeys(wanted) if key not in self.kept and (*key[:2], ()) not in self.kept]
        for own, near in (([k for k in new if k[2]], True), ([k for k in new if not k[2]], False)):
            if own:
                states = [state_of(self.found, place, t) for place, t, _ in own]
                answers = self.answer(self.found, states, [k[2] for k in own] if near else None)
                self.kept.update(zip(own, answers, strict=True))
        return [self.kept.get((*key[:2], ())) or self.kept[key] for key in wanted]

    def own(self, place: Place, answer: Answer) -> Array:
        """(c,) the greatest utilisation of a place in the cases asked for."""
        out: Array = answer.ratio[stretches_of(self.found, place)].max(axis=0)[self.cases]
        return out

    def slender(self, place: Place, answer: Answer) -> Array:
        """(c,) onset thickness over thickness of its wall, or of the worst of all walls."""
        names = answer.slender.keys() if place.wall in (ALL, ALL_ROUND) else self._panels(place)
        own = [answer.slender[name] for name in names if name in answer.slender]
        out: Array = np.maximum.reduce([np.zeros(len(answer.cases)), *own])[self.cases]
        return out

    def _panels(self, place: Place) -> set[str]:
        """What its wall is called along its reach: of a box that lost a wall the opposite one is the web."""
        shapes = [shapes_of(self.found, self.found.stretches[k])[1] for k in stretches_of(self.found, place)]
        return {word_left(shape, place.side, place.wall) for shape in shapes} | {place.wall}

    def elsewhere(self, place: Place, answer: Answer) -> Array:
        """(g, c) utilisation of all but the place, in the cases asked for; 0 at the place."""
        out: Array = answer.ratio[:, self.cases].copy()
        out[stretches_of(self.found, place)] = 0.0
        return out


class Tell(Protocol):
    """Is told what is being done, and what share of it is done where that is known."""

    def __call__(self, words: str, share: float | None = None) -> None: ...


def silent(words: str, share: float | None = None) -> None:
    """Tells nobody."""


def margins(
    found: Found,
    places: Sequence[Place],
    *,
    cases: Sequence[str] = (),
    answer: AnswerStates = answer_states,
    progress: Tell = silent,
) -> Margins:
    """Limit thicknesses of places of a chassis as found; `cases`: names, none for all.

    Raises ModelError for cases that the chassis does not have, and what solving the chassis as found raises.
    """
    (now,) = answer(found, [{}], None)
    if now.problem:
        raise ModelError("chassis as found", now.problem.rstrip("."), "Solve it with `ladderfe check` first")
    desk = _Desk(found, _numbers(now, cases), answer)
    base = dict(zip(places, _bases(desk, places, now), strict=True))
    limits, onsets = _search(desk, base, progress)
    progress("the whole frame at each limit", SEARCHED)
    crossed = [(p, limits[p].thickness) for p in places if p in limits and limits[p].thickness > 0]
    at_limit = dict(zip((p for p, _ in crossed), desk.whole(crossed), strict=True))
    firsts = _firsts(desk, now, {p: at_limit[p] for p, _ in crossed}, base)
    made = [_margin(desk, p, now, base[p], limits.get(p), onsets[p], firsts.get(p)) for p in places]
    asked = tuple(now.cases[k] for k in desk.cases.tolist())
    return Margins(found=found, cases=asked, margins=tuple(made), worst=_worst(desk, now), answers=len(desk.kept) + 1)


def _numbers(now: Answer, cases: Sequence[str]) -> IntArray:
    for name in cases:
        if name not in now.cases:
            raise ModelError(f"case {name!r}", "is not one of this chassis", f"Its cases are {some(now.cases, CASES)}")
    return np.array([k for k, c in enumerate(now.cases) if not cases or c in cases])


def _bases(desk: _Desk, places: Sequence[Place], now: Answer) -> list[Array]:
    """(c,) utilisation before anything becomes thinner: as found; of all walls alike with all as they were built."""
    alike = [(p, start_of(desk.found, p)) for p in places if p.wall == ALL]
    built = dict(zip((p for p, _ in alike), desk.ask(alike), strict=True))
    return [desk.own(p, built.get(p, now)) for p in places]


def _falls(desk: _Desk, base: dict[Place, Array]) -> dict[Key, Fall]:
    """The searches for limit and onset of every place; none for the limit where all cases are over already."""
    out: dict[Key, Fall] = {}
    for p, ratio in base.items():
        start = start_of(desk.found, p)
        above = [p.nominal] if p.nominal > start else []
        if (ratio < 1).any():
            out[p, "limit"] = fall(start, above, to_nothing=p.wall != ALL)
        thicker = [] if p.wall == ALL else [2 * p.nominal]
        out[p, "onset"] = fall(start, [*above, *thicker], to_nothing=False)
    return out


def _search(
    desk: _Desk, base: dict[Place, Array], progress: Tell
) -> tuple[dict[Place, Crossing], dict[Place, Crossing]]:
    rounds = done = 0

    def measure(points: Sequence[tuple[Key, float]]) -> list[float]:
        nonlocal rounds, done
        left = len(points) * max(USUAL_ROUNDS - rounds, 1)
        rounds += 1
        share = SEARCHED * done / (done + left)
        progress(f"round {rounds}: {len(points)} searches, {len(desk.kept)} states solved", share)
        done += len(points)
        answers = desk.ask([(key[0], t) for key, t in points])
        return [_room(desk, key, a, base) for (key, _), a in zip(points, answers, strict=True)]

    crossings = together(_falls(desk, base), measure)
    kinds: tuple[dict[Place, Crossing], dict[Place, Crossing]] = ({}, {})
    for (place, kind), crossing in crossings.items():
        kinds[kind == "onset"][place] = crossing
    return kinds


def _room(desk: _Desk, key: Key, answer: Answer, base: dict[Place, Array]) -> float:
    place, kind = key
    if kind == "onset":
        return -1.0 if answer.problem else room(float(desk.slender(place, answer).max()))
    return room(float(desk.own(place, answer)[base[place] < 1].max()))


def _firsts(
    desk: _Desk, now: Answer, at_limit: dict[Place, Answer], base: dict[Place, Array]
) -> dict[Place, tuple[Beside, float]]:
    """What elsewhere was below 1 as found and comes over it before the place reaches its limit."""
    below = now.ratio[:, desk.cases] < 1

    def most(place: Place, answer: Answer) -> float:
        return float(np.nanmax(desk.elsewhere(place, answer) * below))

    sooner = [p for p, a in at_limit.items() if p.wall != ALL and most(p, a) > 1 and (base[p] < 1).all()]
    over = {p: np.flatnonzero((desk.elsewhere(p, at_limit[p]) * below > 1).any(axis=1)).tolist() for p in sooner}

    def measure(points: Sequence[tuple[Place, float]]) -> list[float]:
        answers = desk.ask(points, over)
        return [room(most(p, a)) for (p, _), a in zip(points, answers, strict=True)]

    crossed = together({p: fall(start_of(desk.found, p)) for p in sooner}, measure)
    out = {}
    places = list(crossed)
    for p, answer in zip(places, desk.whole([(p, crossed[p].thickness) for p in places]), strict=True):
        c = crossed[p]
        beside = _beside(desk, now, desk.elsewhere(p, answer) * below, answer)
        if beside is not None and c.how in ("found", "jumps"):
            out[p] = (beside, c.thickness)
    return out


def _margin(
    desk: _Desk, place: Place, now: Answer, base: Array, limit: Crossing | None, onset: Crossing,
    first: tuple[Beside, float] | None,
) -> Margin:  # fmt: skip
    own = desk.own(place, now)
    names = [now.cases[k] for k in desk.cases.tolist()]
    over = sorted(((n, float(r)) for n, r in zip(names, base, strict=True) if r >= 1), key=lambda x: -x[1])
    k = int(own.argmax())
    beside = None
    if limit is None:
        made = Limit(how="already over", thickness=start_of(desk.found, place), case=over[0][0], ratio=over[0][1])
    else:
        (answer,) = desk.whole([(place, limit.thickness)]) if limit.thickness > 0 else [now]
        made = _limit(limit, np.where(base < 1, desk.own(place, answer), 0.0), names)
        beside = _beside(desk, now, desk.elsewhere(place, answer), answer)
    (thin,) = desk.ask([(place, onset.thickness)]) if onset.thickness > 0 else [now]
    pressed = _limit(onset, desk.slender(place, thin), names)
    return Margin(
        place=place, now=(float(own[k]), names[k]), over=tuple(over), limit=made, onset=pressed, elsewhere=beside,
        first=first,
    )  # fmt: skip


def _limit(crossing: Crossing, ratio: Array, names: Sequence[str]) -> Limit:
    if crossing.how in ("none", "gone"):
        return Limit(how=crossing.how, thickness=0.0)
    k = int(ratio.argmax())
    return Limit(how=crossing.how, thickness=crossing.thickness, case=names[k], ratio=float(ratio[k]))


def _beside(desk: _Desk, now: Answer, ratio: Array, answer: Answer) -> Beside | None:
    """The greatest of utilisations (g, c), with what it was as found."""
    if not ratio.any() or answer.problem:
        return None
    g, c = np.unravel_index(ratio.argmax(), ratio.shape)
    case = int(desk.cases[c])
    return Beside(
        name=group_words(answer.groups[g]), case=now.cases[case], found=float(now.ratio[g, case]),
        ratio=float(ratio[g, c]),
    )  # fmt: skip


def group_words(group: tuple[str, float, float]) -> str:
    """A stretch of rail or another part, in words."""
    name, start, end = group
    return f"{name}, {start:.0f} to {end:.0f} mm" if end > start else name


def _worst(desk: _Desk, now: Answer) -> tuple[tuple[str, str, float], ...]:
    ratio = now.ratio[:, desk.cases]
    over = [
        (group_words(g), now.cases[int(desk.cases[r.argmax()])], float(r.max()))
        for g, r in zip(now.groups, ratio, strict=True)
        if r.max() >= 1
    ]
    return tuple(sorted(over, key=lambda x: -x[2]))


def case_margins(
    found: Found, place: Place, cases: Sequence[str], *, answer: AnswerStates = answer_states
) -> tuple[Margin, ...]:
    """The margin of one place in every case by itself, in their order."""
    keep: dict[_Asked, Answer] = {}
    cached = partial(_kept, keep, answer)
    return tuple(margins(found, [place], cases=[c], answer=cached).margins[0] for c in cases)


#: A state as something that can be looked up, and the groups that are asked for.
_Asked = tuple[tuple[tuple[int, tuple[tuple[str, float], ...]], ...], tuple[int, ...]]


def _kept(
    keep: dict[_Asked, Answer], answer: AnswerStates, found: Found, states: Sequence[State], near: Near
) -> list[Answer]:
    groups = [()] * len(states) if near is None else [tuple(n) for n in near]
    walls = [tuple((k, tuple(sorted(w.items()))) for k, w in sorted(s.items())) for s in states]
    keys: list[_Asked] = list(zip(walls, groups, strict=True))
    new = {k: state for k, state in zip(keys, states, strict=True) if k not in keep}
    answers = answer(found, list(new.values()), None if near is None else [k[1] for k in new])
    keep.update(zip(new, answers, strict=True))
    return [keep[k] for k in keys]
