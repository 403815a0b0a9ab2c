"""Support problems for the tests: bare frames on stands, frames on axles, and a plain solve by trying every set.

Reached through the fixture `contacts` (tests/solve/conftest.py).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product
from math import inf

import numpy as np

from ladderfe.cases.axle_links import suspended
from ladderfe.cases.suspension import Suspended, Suspension
from ladderfe.chassis import Axle
from ladderfe.solve.on_wheels import loads_on, problem_of
from ladderfe.solve.support_problem import SupportProblem

G = 9806.65  # mm/s2
HELD = ("hold along x", "hold sideways, front", "hold sideways, rear")


def up_row(x: float, y: float) -> np.ndarray:
    """Vertical movement of a point of a rigid frame per unit motion about the datum: u_z + y r_x - x r_y."""
    return np.array([0, 0, 1, y, -x, 0.0])


def hold_rows() -> np.ndarray:
    """In-plane holds: along x and y at the datum, along y 2500 mm behind."""
    return np.array([[1, 0, 0, 0, 0, 0], [0, 1, 0, 0, 0, 0], [0, 1, 0, 0, 0, 2500.0]])


def weight_at(newtons: float, x: float = 0.0, y: float = 0.0) -> np.ndarray:
    """(6,) a weight pulling down at (x, y)."""
    return -newtons * up_row(x, y)


def bare(places, *, flexibility=None, lowest=None, soft=0.0, **more) -> SupportProblem:
    """A frame on pushing supports at (x, y), with three in-plane holds; flexibility (s, s) of the frame there."""
    s = len(places)
    matrix = np.zeros((s + 3, s + 3))
    matrix[:s, :s] = (0 if flexibility is None else flexibility) + soft * np.eye(s)
    return SupportProblem(
        names=(*(f"stand {i + 1}" for i in range(s)), *HELD),
        soft=matrix,
        lever=np.concatenate([np.array([up_row(*p) for p in places]), hold_rows()]),
        lowest=np.concatenate([np.zeros(s) if lowest is None else lowest, np.full(3, -inf)]),
        **more,
    )


def axle(name="front", x=0.0, *, load=900.0, unsprung=120.0, track=1480.0, base=1000.0, rate=40.0, **more) -> Axle:
    """An axle; loads in kg, wheel_loads too."""
    wheels = more.pop("wheel_loads", None)
    if wheels:
        more["wheel_loads"] = tuple(w / 1000 for w in wheels)
    return Axle(
        name=name, station=x, load=load / 1000, unsprung=unsprung / 1000, track=track, spring_base=base, rate=rate,
        seats=more.pop("seats", ((x, 1.0),)), **more,
    )  # fmt: skip


@dataclass(frozen=True)
class Vehicle:
    """A rigid or twistable massless frame on its axles; `resultant` (6,) acts on the frame, `g` (n,) is what its links
    move under that (frame on its footing)."""

    system: Suspended
    problem: SupportProblem
    resultant: np.ndarray
    g: np.ndarray

    @property
    def loads(self) -> np.ndarray:
        """(m,) with the axles' own weight."""
        return loads_on(self.system, self.resultant[:, None], np.ones(1))[:, 0]

    def at(self, name: str) -> int:
        return self.system.index(name)

    def pick(self, values: np.ndarray, *names: str) -> np.ndarray:
        return np.array([values[self.at(n)] for n in names])

    def loaded(self, resultant: np.ndarray) -> Vehicle:
        return replace(self, resultant=resultant, g=np.zeros_like(self.g))


def vehicle(suspensions: list[Suspension], *, twist: float = inf, stands=(), stand_at=(), **more) -> Vehicle:
    """Frame of torsional stiffness `twist` (N mm/rad between the axles' springs) and else rigid.

    Held at three seats, a couple F b at each axle lifts the fourth by w with F b = twist w/b: so F = b^2/twist there,
    and there alone.  The frame row of a seat is rigid motion of its places; stands stand on a rigid frame.
    What the axles carry beside their own weight stands right above the seats, half on each side.
    """
    system = suspended(suspensions, held=HELD, stands=stands, **more)
    rows = []
    for s in suspensions:
        half = (s.axle.spring_base if s.axle.kind == "beam" else s.axle.track) / 2
        rows += [sum(share * up_row(x, y) for x, share in s.axle.seats) for y in (-half, half)]
    rows += [up_row(*p) for p in stand_at]
    lever = np.concatenate([rows, hold_rows()])
    flexibility = np.zeros((len(lever), len(lever)))
    last = suspensions[-1].axle
    width = last.spring_base if last.kind == "beam" else last.track
    flexibility[3, 3] = width**2 / twist
    above = np.zeros(len(lever))
    above[:4] = np.repeat([(s.axle.load - s.axle.unsprung) * G / 2 for s in suspensions], 2)
    g = -system.coupling[0] @ flexibility @ above
    return Vehicle(system, problem_of(system, flexibility, lever), -lever.T @ above, g)


def every_set(problem: SupportProblem, g: np.ndarray, resultant: np.ndarray, set_up: np.ndarray):
    """All solutions of one case by trying each set of closed links: [(closed, forces, opening)].

    Sets that leave a motion free (fewer than three supports down among them) are left out.
    """
    n, m = problem.lever.shape
    opens = np.nonzero(np.isfinite(problem.lowest))[0]
    closed = np.ones((2 ** len(opens), n), dtype=bool)
    closed[:, opens] = np.array(list(product((True, False), repeat=len(opens))), dtype=bool).reshape(-1, len(opens))
    scale = 1 / np.abs(problem.lever).max(axis=0)
    lever = problem.lever * scale
    gram = np.einsum("si,ia,ib->sab", closed.astype(float), lever, lever)
    closed = closed[np.linalg.eigvalsh(gram)[:, 0] > 1e-12]
    lowest = np.where(np.isfinite(problem.lowest), problem.lowest, 0)
    matrix = np.zeros((len(closed), n + m, n + m))
    c = closed[:, :, None]
    matrix[:, :n, :n] = np.where(c, problem.soft, np.eye(n))
    matrix[:, :n, n:] = np.where(c, lever, 0)
    matrix[:, n:, :n] = lever.T
    right = np.zeros((len(closed), n + m))
    right[:, :n] = np.where(closed, set_up - g, lowest)
    right[:, n:] = -scale * resultant
    x = np.linalg.solve(matrix, right[:, :, None])[:, :, 0]
    forces = x[:, :n]
    opening = forces @ problem.soft + x[:, n:] @ lever.T + g - set_up
    small_f, small_w = 1e-9 * np.abs(forces).max(axis=1), 1e-9 * np.abs(opening).max(axis=1)
    good = np.all(~closed | (forces >= problem.lowest - small_f[:, None]), axis=1)
    good &= np.all(closed | (opening >= -small_w[:, None]), axis=1)
    return [(closed[k], forces[k], np.where(closed[k], 0, opening[k])) for k in np.nonzero(good)[0]]
