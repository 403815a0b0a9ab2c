"""States of a chassis as found answered together, as far as they can be (`checks/variants.py`).

Together go states in which no wall is gone, of walls as thick all along their stretch: whatever was asked for before is
laid out once, apart for every taper, whose many sections would be worked out in all states.  The rest, and what `near`
leaves open, takes the plain way.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.states import (
    Answer,
    Near,
    State,
    as_found_solved,
    frame_groups,
    group_of_member,
    in_use,
    plain_states,
    slenderness,
    worth_processes,
)
from ladderfe.chassis import Span
from ladderfe.checks.variant_seen import Seen, seen
from ladderfe.checks.variants import AT_A_TIME, Stretch, Variants, in_processes
from ladderfe.condition import Found
from ladderfe.condition.rails import rail_of
from ladderfe.errors import LadderFEError
from ladderfe.mesh.build import SIDES, TAPER_STEPS
from ladderfe.mesh.varied import field_of
from ladderfe.sections import Box, Channel
from ladderfe.sections.kept import lately

__all__ = ["answer_states"]

Array = NDArray[np.float64]
#: A wall of a stretch: its number in `Found.stretches`, the wall.
Wall = tuple[int, str]
#: A state and the groups that are asked for.
Asked = tuple[State, Sequence[int]]
#: States x members of the frame that are worth being laid out, and so many states a process of their own.
WORTH_LAYING_OUT, WORTH_A_PROCESS = 1200, 8
OPPOSITE = {"top": "bottom", "bottom": "top", "outer": "inner", "inner": "outer"}


def answer_states(
    found: Found, states: Sequence[State], near: Near = None, *, taper_steps: int = TAPER_STEPS
) -> list[Answer]:
    """Answers of states of a chassis as found, in their order: where only what is `near` is asked for, together."""
    out: dict[int, Answer] = {}
    if near is not None:
        desk = _together(found, taper_steps)
        out = desk.answers({i: (state, near[i]) for i, state in enumerate(states) if state and desk.takes(state)})
    rest = [i for i in range(len(states)) if i not in out]
    out |= zip(rest, plain_states(found, [states[i] for i in rest], taper_steps=taper_steps), strict=True)
    return [out[i] for i in range(len(states))]


@lately
def _together(found: Found, taper_steps: int) -> _Together:
    return _Together(found, taper_steps)


@dataclass(eq=False)
class _Laid:
    """Walls that are laid out, and in what."""

    walls: list[Wall]
    variants: Variants


@dataclass(eq=False)
class _Together:
    """Walls that can be taken together, with their thickness as found (mean and that of strength) and the wall's name
    on the stretch's shape; what is laid out, by the tapers that it covers."""

    found: Found
    taper_steps: int
    walls: dict[Wall, tuple[float, float, str]] = field(init=False)
    laid: dict[frozenset[int], _Laid] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.walls = dict(_walls(self.found))
        self.tapers = _tapers(self.found)

    def takes(self, state: State) -> bool:
        """True where none of its walls is gone or not as thick all along."""
        return all((k, w) in self.walls and t > 0 for k, walls in state.items() for w, t in walls.items())

    def answers(self, asked: Mapping[int, Asked]) -> dict[int, Answer]:
        """Answers, by number; those that need the plain way, or are too few to be laid out, are left out."""
        base = as_found_solved(self.found, self.taper_steps)
        groups: dict[frozenset[int], list[int]] = {}
        for i, (state, _) in asked.items():
            groups.setdefault(frozenset(self.tapers[k] for k in state if k in self.tapers), []).append(i)
        parts: list[tuple[_Laid, list[int]]] = []
        processes = worth_processes(len(asked) // WORTH_A_PROCESS)
        for tapers, own in groups.items():
            laid = self._laid_out(tapers, [asked[i][0] for i in own], worth=len(own) * base.members >= WORTH_LAYING_OUT)
            if laid:
                size = min(AT_A_TIME, -(-len(own) // processes))
                parts += [(laid, own[i : i + size]) for i in range(0, len(own), size)]
        found = in_processes(lambda part: self._part(part[0], [asked[i] for i in part[1]]), parts, processes)
        every = [pair for (_, own), part in zip(parts, found, strict=True) for pair in zip(own, part, strict=True)]
        return {i: a for i, a in every if a is not None}

    def _laid_out(self, tapers: frozenset[int], states: Sequence[State], *, worth: bool) -> _Laid | None:
        """What these states' walls are laid out in, with those known; None where that is new and not worth it."""
        known = self.laid[tapers].walls if tapers in self.laid else []
        wanted = {(k, w) for state in states for k, walls in state.items() for w in walls} - set(known)
        if wanted and not worth:
            return None
        if wanted:
            walls = sorted({*known, *wanted})
            stretches = [self.found.stretches[k] for k, _ in walls]
            names = [self.walls[w][2] for w in walls]
            own = [Stretch(s.side, s.start, s.end, n) for s, n in zip(stretches, names, strict=True)]
            variants = Variants.of(self.found.chassis, own, taper_steps=self.taper_steps).prepare()
            self.laid[tapers] = _Laid(walls, variants)
            self._part(self.laid[tapers], [(states[0], ())])  # all that is worked out once, before processes part
        return self.laid[tapers]

    def _part(self, laid: _Laid, asked: Sequence[Asked]) -> list[Answer | None]:
        base = np.array([self.walls[w][:2] for w in laid.walls])
        place = {w: i for i, w in enumerate(laid.walls)}
        both = np.repeat(base.T[:, None], len(asked), axis=1)  # (mean and least, v, k)
        for v, (state, _) in enumerate(asked):
            for k, walls in state.items():
                for w, t in walls.items():
                    both[:, v, place[k, w]] = t
        group = group_of_member(self.found, laid.variants.plan.varied.mesh)
        wanted = np.array([np.isin(group, [*near, *state]) for state, near in asked])
        try:
            looked = seen(laid.variants, both[0], both[1], wanted)
        except LadderFEError:
            return [None] * len(asked)
        return [self._answer(asked[v], looked[v], group) if v in looked else None for v in range(len(asked))]

    def _answer(self, asked: Asked, looked: Seen, group: NDArray[np.int64]) -> Answer:
        state, near = asked
        chassis, groups = self.found.chassis, frame_groups(self.found)
        of_row, cases = group[looked.rows.member], tuple(c.name for c in chassis.cases)
        ratio = np.full((len(groups), len(cases)), np.nan)
        ratio[[*near, *state]] = 0.0
        np.maximum.at(ratio, of_row, in_use(looked.stresses, chassis.criteria))
        own = np.flatnonzero(np.isin(of_row, list(state)))
        most = as_found_solved(self.found, self.taper_steps).normal
        return Answer(groups, cases, ratio, slenderness(looked.mesh, (looked.rows, looked.stresses), own, most))


def _walls(found: Found) -> Iterable[tuple[Wall, tuple[float, float, str]]]:
    """Walls of all stretches that are as thick all along, with their thickness and name on the shape."""
    for k, span in _spans(found):
        side = found.stretches[k].side
        for w in found.stretches[k].walls:
            name = _name(span, w.wall, side) if w.basis != "hole" else ""
            if name:
                own, least = field_of(span.shape, side, name), span.least or span.shape
                both = float(getattr(span.shape, own)), float(getattr(least, own))
                ends = span.shape_end or span.shape, span.least_end or span.shape_end or least
                if both == tuple(float(getattr(e, own)) for e in ends):
                    yield (k, w.wall), (*both, name)


def _spans(found: Found) -> list[tuple[int, Span]]:
    """Number and span of every stretch."""
    out = []
    for side in ("left", "right"):
        numbers = [k for k, s in enumerate(found.stretches) if s.side == side]
        out += list(zip(numbers, rail_of(found.chassis, side).spans, strict=True))
    return out


def _tapers(found: Found) -> dict[int, int]:
    """Of stretches that taper the first one of their run."""
    out: dict[int, int] = {}
    for k, span in _spans(found):
        if span.shape_end is not None:
            before = found.stretches[k - 1].side == found.stretches[k].side if k else False
            out[k] = out[k - 1] if before and k - 1 in out else k
    return out


def _name(span: Span, wall: str, side: str) -> str:
    """A wall's name on what is left of a section: without one wall a box is a channel, whose web lies opposite it; ""
    where it has none."""
    shape = span.shape
    if isinstance(shape, Box) or (isinstance(shape, Channel) and wall == "web"):
        return wall
    if not isinstance(shape, Channel):
        return ""
    minus, plus = SIDES[side]
    opens = {"-y": minus, "+y": plus, "-z": "bottom", "+z": "top"}[shape.opens]
    return "web" if OPPOSITE.get(wall) == opens else "" if wall == opens else wall
