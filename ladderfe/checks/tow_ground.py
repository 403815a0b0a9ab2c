"""What a load does on the ground: when the first wheel lifts, when the vehicle tips over, when its wheels slide."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.pulls import HELD
from ladderfe.cases.types import LoadCase
from ladderfe.checks.tow_loads import Load
from ladderfe.checks.tow_states import TowFrame
from ladderfe.solve.applied import WHEELS
from ladderfe.solve.equilibrium import SHORT_OF_TIPPING, Equilibrium, equilibrium
from ladderfe.solve.supports import Footing, support_rows

__all__ = ["Ground", "OnGround"]

Array = NDArray[np.float64]

#: Magnitudes of one look, and how near both sides of an event come together.
LOOK, NEAR = 9, 1e-6
#: Looks at most.
LOOKS = 20
#: Axles whose use of their grip differs by less than this go together.
ALIKE = 1e-4
#: Wheels that carry less than this part of all just lift.
LIGHT = 1e-5


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """Magnitudes in N, None where it does not come to that below the greatest looked at, or the vehicle tips over
    before: lifts, the first wheel off the ground, and which; tips, and how; slides, and which axle goes first."""

    lifts: float | None = None
    wheel: str = ""
    tips: float | None = None
    words: str = ""
    slides: float | None = None
    axle: str = ""

    def before(self, size: float) -> tuple[str, ...]:
        """What comes below a magnitude, in that order."""
        every = ((self.lifts, "lifts"), (self.tips, "tips"), (self.slides, "slides"))
        return tuple(what for value, what in sorted((v, w) for v, w in every if v is not None) if value < size)


class OnGround:
    """The frame on its wheels under loads at rest, without factors."""

    def __init__(self, frame: TowFrame, loads: tuple[Load, ...]) -> None:
        self.frame = frame
        specs = [load.spec(1.0, 1.0) for load in loads]
        every = LoadCase(name="all ways", kind="", about="", source="", hung=tuple((m, 1.0) for m in _mounts(loads)))
        hung = frame.hung(specs)
        self.system = replace(hung, cases=(*hung.cases, every)).suspended()
        own, places = frame.solution.footing, hung.places
        self.footing = Footing(own.factor, support_rows(own.frame, places, self.system.seats), own.loads)

    def study(self, load: Load, most: float, grip: float) -> Ground:
        """When a load lifts wheels, tips the vehicle over or makes wheels slide with a grip."""

        def found(sizes: Array) -> Equilibrium:
            cases = self.frame.cases([load.spec(float(s), 1.0) for s in sizes])
            h = self.frame.hanging
            return equilibrium(self.footing, self.frame.chassis, cases, self.system, h.suspensions)

        out = Ground()
        tips = _tipping(found, most)
        if tips is not None:
            out = replace(out, tips=tips, words=found(np.array([tips * (1 + 2 * NEAR)])).tips[1])
        beyond = most if tips is None else tips * (1 + 2 * NEAR)
        lifts = _first(lambda s: _lift_margin(found(s)), beyond)
        wheel = "" if lifts is None else _lightest(found(np.array([lifts * (1 - NEAR)])))
        if wheel:
            out = replace(out, lifts=lifts, wheel=wheel)
        if load.spec(1.0, 1.0).force:
            slides = _first(lambda s: _slide_margin(found(s), grip), beyond)
            if slides is not None and (tips is None or slides < tips * (1 - 10 * NEAR)):
                force, load_on = (v[:, 0] for v in _on_axles(found(np.array([slides]))))
                use = force / load_on
                both = abs(use[1] / use[0] - 1) < ALIKE
                out = replace(out, slides=slides, axle="both axles" if both else ("front", "rear")[int(use.argmax())])
        return out


def _mounts(loads: tuple[Load, ...]) -> list[str]:
    more = [load.case.against for load in loads if load.case.against not in HELD]
    return list(dict.fromkeys([*(m for load in loads for m in load.case.at), *more]))


def _first(margin: Callable[[Array], Array], most: float) -> float | None:
    """The smallest magnitude up to `most` at which a margin (k,) at magnitudes (k,) is no longer above 0.

    It is straight between changes of contact: every look puts one magnitude just before and one just after where the
    line through the last two with a margin says.  nan counts as beyond.
    """
    size = np.concatenate([[0.0], most * np.geomspace(1e-4, 1.0, 2 * LOOK)])
    low, high = 0.0, most
    for _ in range(LOOKS):
        value = margin(size)
        beyond = ~(value > 0)
        if not beyond.any():
            return None
        k = int(np.argmax(beyond))
        if k == 0:
            return float(size[0])
        low, high = float(size[k - 1]), float(size[k])
        if high - low <= 4 * NEAR * high:
            break
        size = np.array(sorted({*np.linspace(low, high, LOOK), *_guess(size, value, k, high)}))
    return (low + high) / 2


def _guess(size: Array, value: Array, k: int, high: float) -> tuple[float, ...]:
    """Just before and just after where the line through the two magnitudes before the k-th ends, if below `high`."""
    if k < 2 or value[k - 2] <= value[k - 1]:
        return ()
    end = size[k - 1] + value[k - 1] * (size[k - 1] - size[k - 2]) / (value[k - 2] - value[k - 1])
    return tuple(float(g) for g in (end * (1 - NEAR), end * (1 + NEAR)) if size[k - 1] < g < high)


def _lift_margin(found: Equilibrium) -> Array:
    """(k,) N: the least wheel load; -1 where a wheel is off the ground or the vehicle tips over."""
    up = np.array([bool(lifted) for lifted in found.lifted[1:]]) | (found.share[1:] < 1)
    return np.where(up, -1.0, found.ground[:, 2, 1:].min(axis=0))


def _lightest(found: Equilibrium) -> str:
    """The wheels that carry next to nothing, "" where none does and the body tips over on its springs instead."""
    load = found.ground[:, 2, 1]
    light = [w for w, z in zip(WHEELS, load, strict=True) if z <= LIGHT * load.sum()]
    axles = {w.split()[0] for w in light}
    return f"{axles.pop()} {' and '.join(w.split()[1] for w in light)}" if len(axles) == 1 else " and ".join(light)


def _tipping(found: Callable[[Array], Equilibrium], most: float) -> float | None:
    """The magnitude that tips the vehicle over, up to `most`: what it bears of a greater one, until that is all.

    The forces in plan of the wheels need not grow in step, so that it takes more than one go, and may end short of it:
    then looks between what it bears and what it does not close in.
    """
    low, high = most, 0.0
    for _ in range(LOOKS):
        share = float(found(np.array([low])).share[1])
        if share >= 1:
            break
        bears = share / SHORT_OF_TIPPING
        low, high = low * bears, low
        if 1 - bears <= NEAR:
            return low
    if not high:
        return None
    while high - low > NEAR * high:
        size = np.linspace(low, high, LOOK)
        k = int(np.argmax(found(size[1:]).share[1:] < 1)) + 1  # the last one does tip it over
        low, high = float(size[k - 1]), float(size[k])
    return high


def _on_axles(found: Equilibrium) -> tuple[Array, Array]:
    """(2, k) N: force in plan and load of each axle."""
    g = found.ground[:, :, 1:].reshape(2, 2, 3, -1).sum(axis=1)
    return np.hypot(g[:, 0], g[:, 1]), g[:, 2]


def _slide_margin(found: Equilibrium, grip: float) -> Array:
    """(k,) N: what the axle that comes nearest to its grip has left."""
    force, load = _on_axles(found)
    return np.where(found.share[1:] < 1, -1.0, (grip * load - force).min(axis=0))
