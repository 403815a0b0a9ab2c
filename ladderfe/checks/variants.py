"""The greatest utilisation of many states of one frame: other wall thicknesses of stretches of its rails.

    v = Variants.of(chassis, [Stretch("left", 1000, 2000, "outer"), ...])
    found = v.answer(thickness)        # (states, stretches) mm; found.ratio, found.by_case, found.place(state)

Exact: each state is what `solve_chassis`, `look_at` and `stresses` say of the chassis with these walls; some are worked
out the plain way beside it in every call, and must agree.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from functools import cached_property, partial
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.checks.variant_greatest import Asked, Found, Greatest, Place, ratios
from ladderfe.checks.variant_rows import Fixed
from ladderfe.checks.variant_tables import stacked_table
from ladderfe.errors import LadderFEError, ModelError
from ladderfe.mesh.build import TAPER_STEPS
from ladderfe.mesh.varied import Stretch
from ladderfe.solve.variants import Plan

__all__ = ["AGREE", "Found", "Place", "Stretch", "Variants", "in_processes", "plain_found"]

Array = NDArray[np.float64]

#: States worked out both ways must agree this well, as a part of the greatest utilisation.
AGREE = 1e-9
#: States at a time: so many that numpy's calls weigh little and the arrays stay in the processor's cache.
AT_A_TIME = 32


@dataclass(frozen=True, eq=False)
class Variants:
    """States of one chassis by the thickness of stretches of its rails' walls."""

    plan: Plan

    @staticmethod
    def of(
        chassis: Chassis, stretches: Sequence[Stretch], *, refine: int = 1, taper_steps: int = TAPER_STEPS
    ) -> Variants:
        """Lay a chassis out.  Raises as `Plan.of`."""
        return Variants(Plan.of(chassis, stretches, refine=refine, taper_steps=taper_steps))

    @cached_property
    def fixed(self) -> Fixed:
        """What members that stay take from the answers."""
        return Fixed(self.plan)

    @cached_property
    def of_stretch(self) -> NDArray[np.bool_]:
        """(k, members) which members a stretch covers."""
        mesh, out = self.plan.varied.mesh, []
        for s in self.plan.varied.stretches:
            part = mesh.part(f"{s.side} rail")
            middle = mesh.along.mean(axis=1)
            own = (middle > s.start) & (middle < s.end)
            own[: part.first] = own[part.last :] = False
            out.append(own)
        return np.array(out)

    def prepare(self) -> Variants:
        """Work out all that is worked out once."""
        _ = self.plan.still, self.plan.lever, self.plan.own_moments, self.fixed.four, self.fixed.by_member
        _ = self.of_stretch, self.plan.varying_lines
        return self

    def answer(
        self, thickness: Array, least: Array | None = None, *, check: int = 2, processes: int = 1,
        by_case: bool = True, by_stretch: bool = False,
    ) -> Found:  # fmt: skip
        """Utilisation of states (v, k) of the stretches' thicknesses, mm.

        least : thicknesses by which strength is judged; the same if None
        check : how many states (and that with the greatest utilisation) are worked out the plain way beside it
        processes : how many work at it
        by_case : tell the greatest of every case, else only that of all
        by_stretch : also tell the greatest in every stretch

        Raises ModelError where the two ways do not agree.
        """
        thickness = np.atleast_2d(np.asarray(thickness, dtype=float))
        least = thickness if least is None else np.atleast_2d(np.asarray(least, dtype=float))
        self.prepare()
        some = min(AT_A_TIME, -(-len(thickness) // max(processes, 1)))
        parts = [slice(i, i + some) for i in range(0, len(thickness), some)]
        work = partial(self._chunk, asked=Asked(by_case, by_stretch))
        pairs = [(thickness[p], least[p]) for p in parts]
        found = in_processes(lambda pair: work(*pair), pairs, processes)
        whole = _joined(found, parts)
        return replace(whole, checked=self._checked(whole, thickness, least, check))

    def _chunk(self, thickness: Array, least: Array, *, asked: Asked) -> Found:
        """A few states."""
        try:
            answers = self.plan.solve(thickness)
            table = stacked_table(answers.states.sections, self.plan.least_states(thickness, least))
        except LadderFEError:  # some section or other does not go with the rest
            return self._plainly(thickness, least, range(len(thickness)), None)
        found = Greatest(self, answers, table, asked).found()
        return self._plainly(thickness, least, answers.failed, found)

    def _plainly(self, thickness: Array, least: Array, states: Iterable[int], found: Found | None) -> Found:
        """The same, these states taken the plain way."""
        v, k, cases = len(thickness), thickness.shape[1], len(self.plan.hanging.cases) - 1
        if found is None:
            none = np.full(v, np.nan)
            found = Found(none, np.full((v, cases), np.nan), np.full((v, k), np.nan), (None,) * v, {}, ())
        places, failed = list(found.places), {}
        own = list(states)
        for i in own:
            try:
                ratio, by_case, place = plain_found(self.plan, thickness[i], least[i])
                found.ratio[i], found.by_case[i], places[i] = ratio, by_case, place
            except LadderFEError as error:
                failed[i] = str(error)
                found.ratio[i] = found.by_case[i] = np.nan
                places[i] = None
        return replace(found, places=tuple(places), failed=failed, plain=tuple(i for i in own if i not in failed))

    def _checked(self, found: Found, thickness: Array, least: Array, check: int) -> float:
        """How far apart some states are both ways; ModelError beyond `AGREE`."""
        fast = [i for i in range(len(thickness)) if i not in found.plain and i not in found.failed]
        if not check or not fast:
            return 0.0
        own = {*np.linspace(0, len(fast) - 1, check).astype(int).tolist(), int(np.argmax(found.ratio[fast]))}
        apart = 0.0
        for i in (fast[j] for j in own):
            ratio, by_case, _ = plain_found(self.plan, thickness[i], least[i])
            off = np.abs(np.append(by_case - found.by_case[i], ratio - found.ratio[i]))
            apart = max(apart, float(np.nanmax(off)) / ratio)
        if not apart <= AGREE:
            raise ModelError(
                "variants", f"both ways of working states out are {apart:.1e} apart", "Work them out one by one"
            )
        return apart

    def utilisation(self, thickness: Sequence[float], least: Sequence[float] | None = None) -> Utilisation:
        """The governing utilisation of a state (k,), in words, by the plain way."""
        solution = self.plan.plain(thickness, least)
        rows = look_at(solution)
        every = greatest(solution, rows, stresses(solution, rows), self.plan.varied.chassis.criteria)
        return every[0]


def plain_found(plan: Plan, thickness: Array, least: Array) -> tuple[float, Array, Place]:
    """Utilisation, by case, and where, by the plain way."""
    solution = plan.plain(thickness.tolist(), least.tolist())
    rows = look_at(solution)
    stress = stresses(solution, rows)
    ratio, point = ratios(stress, plan)
    top = ratio.max(axis=(0, 1))  # (c,)
    i, r, c = np.unravel_index(int(ratio[:, :, 1:].argmax()), ratio[:, :, 1:].shape)
    place = Place(int(rows.member[r]), float(rows.x[r]), int(point[i, r, c + 1]), int(i), int(c) + 1)
    return float(top[1:].max()), top[1:], place


def _joined(found: list[Found], parts: list[slice]) -> Found:
    failed: dict[int, str] = {}
    plain: list[int] = []
    for f, p in zip(found, parts, strict=True):
        failed |= {p.start + i: why for i, why in f.failed.items()}
        plain += [p.start + i for i in f.plain]
    ratio, by_case, by_stretch = (
        np.concatenate([getattr(f, n) for f in found]) for n in ("ratio", "by_case", "by_stretch")
    )
    return Found(ratio, by_case, by_stretch, tuple(p for f in found for p in f.places), failed, tuple(plain))


A = TypeVar("A")
B = TypeVar("B")
#: What processes do, and with what, set before they are forked: so they have all that is worked out already, and
#: nothing is sent to them but a number.
_WORK: list[tuple[Callable[[Any], Any], Sequence[Any]]] = []


def in_processes(work: Callable[[A], B], parts: Sequence[A], processes: int) -> list[B]:
    """The work on all parts, by so many processes forked from this one."""
    if processes < 2 or len(parts) < 2:
        return [work(p) for p in parts]
    from multiprocessing import get_context

    _WORK[:] = [(work, parts)]
    try:
        with ProcessPoolExecutor(processes, mp_context=get_context("fork")) as pool:
            return list(pool.map(_call, range(len(parts))))
    finally:
        _WORK.clear()


def _call(number: int) -> Any:
    work, parts = _WORK[0]
    return work(parts[number])
