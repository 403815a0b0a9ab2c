"""How hard bolts, rivets and the walls round their holes work, and which rules of place a pattern does not keep to.

Resistances: EN 1993-1-8 Table 3.4 and AISC 360 J3.10 (`connections.bolts`, all from memory), walls as thick as they
were read.  Walls below 4 mm are outside of the scope of EN 1993-1-8; its formulas are carried on to them here.
Distances to the next hole, to the rail's end and to free edges count along and across the force alike, which is on the
low side.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import BoltPattern
from ladderfe.checks.bolt_demands import BoltDemand
from ladderfe.checks.bolt_places import pattern_rules
from ladderfe.connections import (
    Broken,
    HoleInWall,
    WeldSteel,
    bearing,
    bolt,
    pull_out,
    rivet,
    shear_and_pull_use,
    tear_out,
)
from ladderfe.connections.bolts import Fastener, pull_use
from ladderfe.connections.fillets import GAMMA_M2 as GAMMA
from ladderfe.errors import ModelError

__all__ = ["BoltUse", "BoltUses", "Place", "bolt_uses"]

Array = NDArray[np.float64]
Place = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltUse:
    """One way in which a pattern may fail: use in parts, with force and resistance in N (of shear and pull together the
    shear in one plane and that which it could be alone) at the fastener and in the case where the use is greatest.

    shares: of shear and pull together, what each of the two alone takes of its own resistance there.
    """

    what: str
    use: float
    force: float
    resistance: float
    case: str
    place: Place
    shares: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BoltUses:
    """A demand with its fastener, greatest shear and pull of all cases (N, with place and case), uses with the worst
    first, and rules that are not kept."""

    demand: BoltDemand
    fastener: Fastener
    shear: BoltUse
    pull: BoltUse
    uses: tuple[BoltUse, ...]
    broken: tuple[Broken, ...]

    @property
    def use(self) -> float:
        """The greatest; 0 where the forces are not known."""
        return max((u.use for u in self.uses), default=0.0)

    @property
    def exceeded(self) -> bool:
        return self.use > 1 or bool(self.demand.why)


def bolt_uses(demand: BoltDemand, steel: WeldSteel) -> BoltUses:
    """Uses of one pattern; steel: that of the rail's wall and of the bracket's plate."""
    p = demand.pattern
    try:
        fastener = fastener_of(p)
        uses = () if demand.why else tuple(sorted(_uses(demand, fastener, steel.fu), key=lambda u: -u.use))
    except ModelError as error:
        raise ModelError(f'bolts "{p.name}": {error.where}', error.problem, error.hint) from error
    shear, pull = np.linalg.norm(demand.shear, axis=-1), np.maximum(demand.pull, 0.0)
    return BoltUses(
        demand=demand, fastener=fastener, shear=_greatest(demand, "shear", shear, shear, inf),
        pull=_greatest(demand, "pull", pull, pull, inf), uses=uses,
        broken=pattern_rules(p, demand.thickness, demand.distances),
    )  # fmt: skip


def fastener_of(p: BoltPattern) -> Fastener:
    """The bolt or rivet of a pattern."""
    if not p.grade:
        return rivet(p.hole)
    return bolt(p.diameter, p.grade, pitch=p.thread_pitch, thread_in_shear=p.thread_in_shear)


def _uses(d: BoltDemand, fastener: Fastener, fu: float) -> Iterator[BoltUse]:
    """Each way to fail, where what it needs is known."""
    p = d.pattern
    shear, pull = np.linalg.norm(d.shear, axis=-1), np.maximum(d.pull, 0.0)
    yield _together(d, fastener, shear / p.planes, pull)
    walls = [
        HoleInWall(hole=p.hole, thickness=d.thickness, fu=fu, end=float(e), edge=float(g), pitch=n, gauge=n)
        for e, g, n in zip(d.distances.end, d.distances.edge, p.nearest, strict=True)
    ]
    lap = p.planes == 1 and _one_row(np.array(p.places))
    # a force may drive the hole to the rail's end or to an edge beside it: the lesser of the two counts
    turned = [replace(w, end=w.edge, edge=w.end) for w in walls]
    borne = np.array([min(bearing(fastener, w, single_lap=lap) for w in both)
                      for both in zip(walls, turned, strict=True)])  # fmt: skip
    yield _against(d, "bearing on the rail's wall", shear, borne)
    near = [HoleInWall(hole=w.hole, thickness=w.thickness, fu=fu, end=min(w.end, w.edge)) for w in walls]
    yield _against(d, "tear-out of the rail's wall", shear, np.array([_torn(fastener, w) for w in near]))
    pulled = np.full(len(walls), pull_out(d.thickness, fu, p.head))
    yield _against(d, "pull through the rail's wall", pull, pulled)
    if p.plate is None:
        return
    edge = inf if p.edge is None else p.edge
    plates = [HoleInWall(hole=p.hole, thickness=p.plate, fu=fu, end=edge, edge=edge, pitch=n, gauge=n)
              for n in p.nearest]  # fmt: skip
    borne = np.array([bearing(fastener, w, single_lap=lap) for w in plates])
    yield _against(d, "bearing on the bracket", shear, borne)
    if p.edge is not None:
        yield _against(d, "tear-out of the bracket", shear, np.array([_torn(fastener, w) for w in plates]))
    yield _against(d, "pull through the bracket", pull, np.full(len(plates), pull_out(p.plate, fu, p.head)))


def _together(d: BoltDemand, fastener: Fastener, shear: Array, pull: Array) -> BoltUse:
    """Shear in one plane and pull (c, n) together, with the share of each alone where they ask for most."""
    across, along = shear * GAMMA / fastener.shear, pull_use(pull, fastener)
    both = shear_and_pull_use(shear, pull, fastener)
    found = _greatest(d, "shear and pull of the fastener", both, shear, fastener.shear / GAMMA)
    at = d.cases.index(found.case), d.pattern.places.index(found.place)
    return replace(found, shares=(float(across[at]), float(along[at])))


def _torn(fastener: Fastener, wall: HoleInWall) -> float:
    """Tear-out to an edge, N; inf where that is more than the wall could ever bear: it gives way round the hole first,
    and the formula, which grows with the distance for ever, tells nothing."""
    far = replace(wall, end=inf, edge=inf, pitch=inf, gauge=inf)
    found = tear_out(wall)
    return inf if found >= bearing(fastener, far) else found


def _one_row(places: Array) -> bool:
    """Whether all holes lie on one line."""
    return bool(np.linalg.matrix_rank(places - places.mean(axis=0), tol=1e-6) <= 1)


def _against(d: BoltDemand, what: str, force: Array, resistance: Array) -> BoltUse:
    """Forces (c, n) over resistances (n,); where nothing of a wall counts any force is too much."""
    use = np.divide(force, resistance, out=np.where(force > 0, inf, 0.0), where=resistance > 0)
    return _greatest(d, what, use, force, resistance)


def _greatest(d: BoltDemand, what: str, use: Array, force: Array, resistance: Array | float) -> BoltUse:
    """The greatest use of all cases of the file (the first of a solution is none of them), the first among equals."""
    own = use[1:]
    flat = own >= own.max() * (1 - 1e-9)
    c, n = np.unravel_index(int(flat.argmax()), own.shape)
    r = float(np.broadcast_to(np.asarray(resistance), (own.shape[1],))[n])
    return BoltUse(what=what, use=float(own[c, n]), force=float(force[c + 1, n]), resistance=r,
                   case=d.cases[int(c) + 1], place=d.pattern.places[int(n)])  # fmt: skip
