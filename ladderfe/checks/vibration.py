"""Natural frequencies of the frame: bare, laden, and laden on its springs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.mode_kinds import LATERAL, TWIST, VERTICAL, Mode, classify
from ladderfe.checks.proofs import Proof
from ladderfe.checks.vibration_proofs import CONVERGED_LIMIT, vibration_proofs
from ladderfe.mesh import build_mesh
from ladderfe.solve import Hanging, Solution, hanging_of
from ladderfe.solve.analyse import analyse
from ladderfe.solve.modes import Modes, Vibrating, natural_modes
from ladderfe.solve.vibrate import bare, laden, on_springs, stiffened

__all__ = ["BARE", "FIRSTS", "LADEN", "SPRUNG", "State", "VibrationFindings", "check_vibration"]

Array = NDArray[np.float64]

BARE, LADEN, SPRUNG = "bare", "laden", "on springs"
#: Motions of a rigid body that a free frame has.
RIGID_MOTIONS = 6
#: Modes that are looked at in each state, and how many more are found, so that one can be counted past the last.
WANTED, MORE = {BARE: 10, LADEN: 10, SPRUNG: 12}, 4
#: Members are divided in 2, 4, 8 until all modes looked at move no more than CONVERGED_LIMIT.
REFINEMENTS = (2, 4, 8)
#: The modes that a ladder frame is known by.
FIRSTS = tuple(f"first {kind}" for kind in (TWIST, VERTICAL, LATERAL))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class State:
    """The frame in one state: all modes found (rigid motions first, `skip` of them); modes: those looked at, in words;
    mass in t; apart (k,): by how much each frequency looked at moved when every member was halved."""

    name: str
    found: Modes
    skip: int
    modes: tuple[Mode, ...]
    mass: float
    apart: Array

    def first(self, name: str) -> int | None:
        """Number among `modes` of the one with this name ("first twist"), None where it is not among them."""
        return next((k for k, m in enumerate(self.modes) if m.name == name), None)

    def sharing(self, name: str) -> list[int]:
        """Numbers of the modes that share it where none has it to itself."""
        return [k for k, m in enumerate(self.modes) if name in m.within]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class VibrationFindings:
    """Modes by state; `weightless`: the frame's own steel weighs nothing, so that it has no frequencies bare.
    solution: of the mesh that the modes are of; refine: in how many every member was divided."""

    chassis: Chassis
    states: Mapping[str, State]
    weightless: bool
    refine: int
    solution: Solution
    proofs: tuple[Proof, ...]

    @property
    def proven(self) -> bool:
        """True where every proof holds."""
        return all(p.holds for p in self.proofs)


def check_vibration(chassis: Chassis, *, progress: Callable[[str], None] = lambda _: None) -> VibrationFindings:
    """Frequencies and modes of a chassis in all states, converged and proven.

    Raises ModelError where the loads contradict each other, MechanismError where the frame is not held together.
    """
    coarse = _modes(*_solved(chassis, 1))
    for refine in REFINEMENTS:
        progress(f"finding modes, every member in {refine}")
        solution, hanging = _solved(chassis, refine)
        fine = _modes(solution, hanging)
        apart = {name: _apart(name, fine[name], coarse[name]) for name in fine}
        if max(float(own.max(initial=0.0)) for own in apart.values()) <= CONVERGED_LIMIT:
            break
        coarse = fine
    progress("proving the modes")
    states = {name: _state(name, solution, found, apart[name]) for name, found in fine.items()}
    greatest = max(float(s.apart.max(initial=0.0)) for s in states.values())
    return VibrationFindings(
        chassis=chassis,
        states=states,
        weightless=BARE not in states,
        refine=refine,
        solution=solution,
        proofs=vibration_proofs(chassis, solution, {n: (s.found, s.skip, len(s.modes)) for n, s in states.items()},
                                greatest),
    )  # fmt: skip


def _solved(chassis: Chassis, refine: int) -> tuple[Solution, Hanging]:
    mesh = build_mesh(chassis, refine=refine)
    hanging = hanging_of(replace(chassis, cases=()), mesh)  # modes know no load cases
    return analyse(mesh, hanging), hanging


def _modes(solution: Solution, hanging: Hanging) -> dict[str, Modes]:
    """The lowest modes in every state that has mass."""
    states: dict[str, Vibrating] = {BARE: bare(solution.mesh, solution.frame)}
    carried = laden(solution.mesh, solution.frame, hanging)
    states[LADEN] = stiffened(carried, solution.footing, hanging)
    states[SPRUNG] = stiffened(on_springs(carried.mass, hanging), solution.footing, hanging)
    return {
        name: natural_modes(v, WANTED[name] + _skip(name) + MORE) for name, v in states.items() if v.mass.total > 0
    }


def _skip(name: str) -> int:
    return 0 if name == SPRUNG else RIGID_MOTIONS


def _apart(name: str, fine: Modes, coarse: Modes) -> Array:
    """(k,) relative change of the frequencies that are looked at."""
    own = slice(_skip(name), _skip(name) + WANTED[name])
    f, c = fine.frequencies[own], coarse.frequencies[own]
    n = min(len(f), len(c))
    out: Array = np.abs(c[:n] / f[:n] - 1)
    return out


def _state(name: str, solution: Solution, found: Modes, apart: Array) -> State:
    skip = _skip(name)
    named = classify(solution.mesh, found, skip)[: WANTED[name]]
    return State(name=name, found=found, skip=skip, modes=named, mass=found.of.mass.total, apart=apart)
