"""States of a chassis as found answered together, as far as they can be (`checks/variants.py`).

Together go states in which no wall is gone, of walls that are as thick all along their stretch: whatever was asked for
before is laid out once.  The rest, and what `near` leaves open, takes the plain way.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.states import (
    Answer,
    Near,
    State,
    frame_groups,
    greatest_normal,
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
from ladderfe.sections import Box, Channel, Shape
from ladderfe.sections.kept import lately

__all__ = ["answer_states"]

Array = NDArray[np.float64]
#: A wall of a stretch: its number in `Found.stretches`, the wall.
Wall = tuple[int, str]
#: So many states are worth being laid out together, and so many a process of their own.
WORTH_LAYING_OUT, WORTH_A_PROCESS = 12, 8
OPPOSITE = {"top": "bottom", "bottom": "top", "outer": "inner", "inner": "outer"}


def answer_states(
    found: Found, states: Sequence[State], near: Near = None, *, taper_steps: int = TAPER_STEPS
) -> list[Answer]:
    """Answers of states of a chassis as found, in their order: where only what is `near` is asked for, together."""
    out: dict[int, Answer] = {}
    if near is not None:
        desk = _together(found, taper_steps)
        own = [i for i, state in enumerate(states) if state and desk.takes(state)]
        if desk.laid_out([states[i] for i in own]):
            found_out = desk.answers([(states[i], near[i]) for i in own])
            out = {i: a for i, a in zip(own, found_out, strict=True) if a is not None}
    rest = [i for i in range(len(states)) if i not in out]
    out |= zip(rest, plain_states(found, [states[i] for i in rest], taper_steps=taper_steps), strict=True)
    return [out[i] for i in range(len(states))]


@lately
def _together(found: Found, taper_steps: int) -> _Together:
    return _Together(found, taper_steps)


@dataclass(eq=False)
class _Together:
    """Walls that can be taken together, with their thickness as found (mean and that of strength) and the wall's name
    on the stretch's shape; those laid out, and in what."""

    found: Found
    taper_steps: int
    walls: dict[Wall, tuple[float, float, str]] = field(init=False)
    laid: list[Wall] = field(default_factory=list)
    variants: Variants | None = None

    def __post_init__(self) -> None:
        self.walls = dict(_walls(self.found))

    def takes(self, state: State) -> bool:
        """True where none of its walls is gone or not as thick all along."""
        return all((k, w) in self.walls and t > 0 for k, walls in state.items() for w, t in walls.items())

    def laid_out(self, states: Sequence[State]) -> bool:
        """Lay out the walls of these states beside those known; False where these are too few to be worth it."""
        wanted = {(k, w) for state in states for k, walls in state.items() for w in walls} - set(self.laid)
        if not states or (wanted and len(states) < WORTH_LAYING_OUT):
            return False
        if wanted:
            self.laid = sorted({*self.laid, *wanted})
            stretches = [self.found.stretches[k] for k, _ in self.laid]
            names = [self.walls[w][2] for w in self.laid]
            own = [Stretch(s.side, s.start, s.end, n) for s, n in zip(stretches, names, strict=True)]
            self.variants = Variants.of(self.found.chassis, own, taper_steps=self.taper_steps).prepare()
        return True

    def answers(self, asked: Sequence[tuple[State, Sequence[int]]]) -> list[Answer | None]:
        """Answers; None for states that need the plain way."""
        processes = worth_processes(len(asked) // WORTH_A_PROCESS)
        size = min(AT_A_TIME, -(-len(asked) // processes))
        parts = [asked[i : i + size] for i in range(0, len(asked), size)]
        greatest_normal(self.found, self.taper_steps)
        return [a for part in in_processes(self._part, parts, processes) for a in part]

    def _part(self, asked: Sequence[tuple[State, Sequence[int]]]) -> list[Answer | None]:
        variants = self.variants
        if variants is None:
            return [None] * len(asked)
        base = np.array([self.walls[w][:2] for w in self.laid])
        place = {w: i for i, w in enumerate(self.laid)}
        both = np.repeat(base.T[:, None], len(asked), axis=1)  # (mean and least, v, k)
        for v, (state, _) in enumerate(asked):
            for k, walls in state.items():
                for w, t in walls.items():
                    both[:, v, place[k, w]] = t
        group = group_of_member(self.found, variants.plan.varied.mesh)
        wanted = np.array([np.isin(group, [*near, *state]) for state, near in asked])
        try:
            looked = seen(variants, both[0], both[1], wanted)
        except LadderFEError:
            return [None] * len(asked)
        return [self._answer(asked[v], looked[v], group) if v in looked else None for v in range(len(asked))]

    def _answer(self, asked: tuple[State, Sequence[int]], looked: Seen, group: NDArray[np.int64]) -> Answer:
        state, near = asked
        chassis, groups = self.found.chassis, frame_groups(self.found)
        of_row, cases = group[looked.rows.member], tuple(c.name for c in chassis.cases)
        ratio = np.full((len(groups), len(cases)), np.nan)
        ratio[[*near, *state]] = 0.0
        np.maximum.at(ratio, of_row, in_use(looked.stresses, chassis.criteria))
        own = np.flatnonzero(np.isin(of_row, list(state)))
        most = greatest_normal(self.found, self.taper_steps)
        return Answer(groups, cases, ratio, slenderness(looked.mesh, (looked.rows, looked.stresses), own, most))


def _walls(found: Found) -> Iterable[tuple[Wall, tuple[float, float, str]]]:
    """Walls of all stretches that are as thick all along, with their thickness and name on the shape."""
    for side in ("left", "right"):
        numbers = [k for k, s in enumerate(found.stretches) if s.side == side]
        for k, span in zip(numbers, rail_of(found.chassis, side).spans, strict=True):
            for w in found.stretches[k].walls:
                name = _name(span, w.wall, side) if w.basis != "hole" else ""
                if name:
                    stiff, judged = _even(span.shape, span.shape_end, name, side), None
                    if span.least is not None:
                        judged = _even(span.least, span.least_end, name, side)
                    if stiff is not None and (judged is not None or span.least is None):
                        yield (k, w.wall), (stiff, stiff if judged is None else judged, name)


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


def _even(shape: Shape, end: Shape | None, name: str, side: str) -> float | None:
    """Thickness of a wall that is as thick at both ends of a span; None where it is not."""
    own = field_of(shape, side, name)
    t = float(getattr(shape, own))
    return t if end is None or float(getattr(end, own)) == t else None
