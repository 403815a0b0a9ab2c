"""Which spring forces, rigid motions and inertia bring each case into equilibrium."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, Spring
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.supports import Footing

__all__ = ["AS_WEIGHED", "Equilibrium", "as_weighed", "equilibrium"]

Array = NDArray[np.float64]

#: Name of the condition on the scales, the first of every set of cases.
AS_WEIGHED = "as weighed"


def as_weighed() -> LoadCase:
    """The condition on the scales: what was not aboard then carries no weight."""
    return LoadCase(name=AS_WEIGHED, kind="static", about="as on the scales", source="axle loads of the chassis file")


@dataclass(frozen=True, slots=True, eq=False)
class Equilibrium:
    """load (12, c): body fields of what was aboard and of what was not; force (s, c) of the supports; rigid (6, c)."""

    load: Array
    force: Array
    rigid: Array


def equilibrium(footing: Footing, cases: Sequence[LoadCase], springs: Sequence[Spring]) -> Equilibrium:
    """Equilibrium of every case; the first is the condition on the scales.

    The springs stand on level ground; where wheel loads were weighed they are set up so that what was weighed comes
    out exactly.  Cases with given spring forces are balanced by the inertia of all masses.
    """
    n, s = len(cases), len(footing.supports)
    load, force, rigid = np.zeros((12, n)), np.zeros((s, n)), np.zeros((6, n))
    gravity = np.array([c.gravity for c in cases])
    load[2] = load[8] = -GRAVITY * gravity
    load[8, 0] = 0  # what was not aboard was not weighed
    set_up = _set_up(footing, springs, load[:, 0])
    standing = np.array([c.spring_factors is None for c in cases])
    force[:, standing], rigid[:, standing] = footing.carry(load[:, standing], set_up[:, None] * gravity[standing])
    static_load = load[:, :1].copy()
    static_load[8] = -GRAVITY
    static, _ = footing.carry(static_load, set_up[:, None])
    for k in (int(i) for i in np.nonzero(~standing)[0]):
        force[:, k] = _given_forces(cases[k], springs, static[:, 0])
        load[:, k] += _inertia(footing, load[:, k], force[:, k])
        rigid[:, k] = footing.settle(load[:, k : k + 1], force[:, k : k + 1])[:, 0]
    return Equilibrium(load, force, rigid)


def _set_up(footing: Footing, springs: Sequence[Spring], weighed: Array) -> Array:
    """(s,) mm by which the springs are set up: none, or what makes the weighed wheel loads come out."""
    if any(s.weighed is None for s in springs):
        return np.zeros(len(footing.supports))
    holds = [0.0] * (len(footing.supports) - len(springs))
    return footing.set_up_for(weighed, np.array([*(s.weighed or 0.0 for s in springs), *holds]))


def _given_forces(case: LoadCase, springs: Sequence[Spring], static: Array) -> Array:
    """(s,) support forces of a case with given spring forces; the holds carry nothing."""
    factor = dict(case.spring_factors or ())
    out = np.zeros(len(static))
    for k, s in enumerate(springs):
        out[k] = factor[s.axle] * static[k]
    return out


def _inertia(footing: Footing, load: Array, force: Array) -> Array:
    """(12,) body field of the acceleration that balances loads and support forces; all masses share it."""
    both = footing.motions.T @ (footing.loads[:, :6] + footing.loads[:, 6:])  # (6, 6): the mass matrix of a rigid body
    missing = footing.motions.T @ (footing.loads @ load + footing.rows @ force)
    field = np.linalg.solve(both, -missing)
    return np.concatenate([field, field])
