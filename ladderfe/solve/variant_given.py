"""Cases with given spring forces in many states at once: linear in what stands on springs and wheels."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase
from ladderfe.cases.types import GRAVITY
from ladderfe.solve.applied import Rows, centre_height, hung_rows, pushed
from ladderfe.solve.on_axles import bar_couples, given_forces, in_place
from ladderfe.solve.respond import Hanging

if TYPE_CHECKING:
    from ladderfe.solve.variant_contact import Balance, Condensed

__all__ = ["Given", "Static"]

Array = NDArray[np.float64]


class Static(NamedTuple):
    """How the laden vehicle stands: force (v, r) N along the rows, wheels (v, 4) N."""

    force: Array
    wheels: Array


@dataclass(frozen=True, eq=False)
class Given:
    """A case of given spring forces: by_static (r, r) and by_couple (r,) of them with stops, const (r,) of dampers and
    pulls, by_wheels (r, 4) of pushes, per unit of what stands, tipping (r, 4) of those that go as one over the centre
    of gravity's height; hung masses and their rows."""

    balance: Balance
    by_static: Array
    by_couple: Array
    const: Array
    by_wheels: Array
    tipping: Array
    hung: list[tuple[float, list[int]]]

    @staticmethod
    def of(balance: Balance, case: LoadCase) -> Given:
        """Everything but the limit couple and the height is linear in what stands on springs and wheels."""
        h, names = balance.hanging, balance.names
        r = len(names.names)
        none, plain = np.zeros(r), replace(case, couple=0.0, dampers=())

        def forces(static: Array) -> Array:
            return in_place(plain, h.suspensions, given_forces(plain, h.suspensions, static), static, names)

        const = in_place(case, h.suspensions, np.zeros(4), none, names)
        const = const + _push(balance, case, names, np.zeros(4), 1.0)
        by_static = np.stack([forces(e) for e in np.eye(r)], axis=1)
        level, leaning = (
            np.stack([_push(balance, case, names, e, height) for e in np.eye(4)], axis=1)
            - _push(balance, case, names, np.zeros(4), height)[:, None]
            for height in (np.inf, 1.0)
        )
        by_couple = _couple(case, h, names) if case.couple else none
        return Given(balance, by_static, by_couple, const, level, leaning - level, hung_rows(case, names))

    def put(self, of: Condensed, static: Static, load: Array, force: Array, k: int) -> None:
        """Put its fields and forces into case k of load (v, 12, c) and force (v, r, c)."""
        b, case = self.balance, self.balance.hanging.cases[k]
        inertia = of.resultants[:, :, :6] + of.resultants[:, :, 6:]
        own = static.force @ self.by_static.T + self.const + static.wheels @ self.by_wheels.T
        if self.tipping.any():
            height = np.array([centre_height(b.hanging.chassis, one) for one in inertia])
            own = own + static.wheels @ self.tipping.T / height[:, None]
        if case.couple:
            own = own + (case.couple * _limit(b.hanging, static.force))[:, None] * self.by_couple
        both = inertia.copy()
        for mass, at in self.hung:
            both += mass * of.lever[at].T @ of.lever[at]
        weight = load[:, :6, k].copy()
        missing = (both @ weight[:, :, None])[:, :, 0] + own @ of.lever
        field = np.linalg.solve(both, -missing[:, :, None])[:, :, 0]
        for mass, at in self.hung:
            own[:, at] += mass * (field + weight) @ of.lever[at].T
        load[:, :6, k] += field
        load[:, 6:, k] += field
        force[:, :, k] = self._with_body(of, load[:, :, k], own)

    def _with_body(self, of: Condensed, load: Array, force: Array) -> Array:
        at = [i for i, link in enumerate(self.balance.full.links) if link.kind == "body"]
        if not at:
            return force
        own = self.balance.full.coupling[0][at[0]]
        rows = (of.moved @ load[:, :, None])[:, :, 0] + (of.flexibility @ force[:, :, None])[:, :, 0]
        moved, twist = rows @ own, np.einsum("i,vij,j->v", own, of.flexibility, own)
        share = moved / (twist + twist / (self.balance.full.links[at[0]].stiffens - 1))
        out: Array = force - own * share[:, None]
        return out


def _push(balance: Balance, case: LoadCase, names: Rows, wheels: Array, height: float) -> Array:
    return pushed(balance.hanging.chassis, case, names, wheels, height).force


def _couple(case: LoadCase, h: Hanging, names: Rows) -> Array:
    """(r,) forces along the rows of a unit couple at both axles, as in `given_forces` and `in_place`."""
    out = np.zeros(len(names.names))
    axle, side = case.lifted.rsplit(" ", 1)
    for k, s in enumerate(h.suspensions):
        up = (1 if side == "left" else -1) * (1 if axle == s.axle.name else -1)
        out[2 * k : 2 * k + 2] = np.array([up, -up]) / s.arm
        out += names.force(bar_couples(s, out[2 * k : 2 * k + 2]))
    return out


def _limit(h: Hanging, static: Array) -> Array:
    """(v,) as `limit_couple`."""
    each = [
        (static[:, 2 * k : 2 * k + 2].sum(axis=1) + s.axle.unsprung * GRAVITY) * s.axle.track / 2
        for k, s in enumerate(h.suspensions)
    ]
    return np.asarray(np.min(each, axis=0))
