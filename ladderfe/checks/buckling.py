"""Local buckling of thin walls, in every case: effective walls, shear of webs, and force at spring seats, jacks and
stands.

Gross walls stay for stiffness; all of this is resistance.  How stresses act together, in words: N, My and Mz (and the
stress of warping, which stays as on gross walls) act on one effective section; shear of a slender web counts beside
normal stress where it is over half of its limit (EN 1993-1-5 7.1); force at a seat counts beside normal stress there
(EN 1993-1-5 7.2, EN 1993-1-3 6.1.11).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property

from ladderfe.chassis import Criteria
from ladderfe.chassis.settings import YIELD
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.thin_walls import Demands, demands
from ladderfe.checks.wall_losses import EffectiveUse, ThinWall, effective_uses, thin_walls
from ladderfe.checks.web_forces import SeatUse, ShearUse, seat_uses, shear_uses, webless_seats
from ladderfe.sections import Tube
from ladderfe.solve import Solution

__all__ = ["HALF", "Buckling", "buckling"]

#: A wall of which less than this is effective is warned of.
HALF = 0.5
#: Diameter over thickness of a round tube, per squared strain factor, at the end of class 3.
TUBE = 90.0


@dataclass(frozen=True, kw_only=True, eq=False)
class Buckling:
    """What thin walls mean for a frame.

    yield_stress: taken for slenderness, MPa; effective: parts and cases where some wall loses width; kept: (part, wall,
    effective over gross width), the least in any case, of walls that lose some; shear: webs slender in shear; seats:
    force at spring seats, each with the governing one first.  webless: (seat, part, station in mm) of seats that push
    where the rail has no web to look at.  tubes: (part, diameter over thickness, limit) of round
    tubes beyond class 3 (EN 1993-1-1 Table 5.2, from memory), which this theory does not know.
    """

    yield_stress: float
    effective: tuple[EffectiveUse, ...]
    kept: tuple[tuple[str, str, float], ...]
    shear: tuple[ShearUse, ...]
    seats: tuple[SeatUse, ...]
    tubes: tuple[tuple[str, float, float], ...]
    webless: tuple[tuple[str, str, float], ...]
    looked_at: tuple[Solution, Rows, Demands] = field(repr=False)

    @cached_property
    def walls(self) -> tuple[ThinWall, ...]:
        """Every wall in its worst case, the one furthest beyond its onset thickness first; worked out on demand."""
        return thin_walls(*self.looked_at)

    @property
    def slender(self) -> bool:
        """True where some wall loses width or shear resistance in some case."""
        return bool(self.kept or self.shear)

    @property
    def ratio(self) -> float:
        """The greatest utilisation on effective walls and of webs slender in shear; 0 where nothing is slender."""
        return max([*(u.ratio for u in self.effective), *(u.together for u in self.shear), 0.0])

    @property
    def seat_ratio(self) -> float:
        """The greatest utilisation of webs by force at spring seats; 0 where no seat pushes one."""
        return max((u.together for u in self.seats), default=0.0)

    def walls_by_case(self) -> dict[str, float]:
        """`ratio` of every case that has one."""
        return _greatest([(e.case, e.ratio) for e in self.effective] + [(w.case, w.together) for w in self.shear])

    def seats_by_case(self) -> dict[str, float]:
        """`seat_ratio` of every case that has one."""
        return _greatest(pair for w in self.seats for pair in w.by_case)

    def by_case(self) -> dict[str, float]:
        """The greatest of all these utilisations of every case that has one."""
        return _greatest((*self.walls_by_case().items(), *self.seats_by_case().items()))

    @property
    def exceeded(self) -> bool:
        """True where thin walls are over a limit, or a web at a spring seat is (what seats bear on is assumed)."""
        return max(self.ratio, self.seat_ratio) > 1

    @property
    def below_half(self) -> tuple[tuple[str, str, float], ...]:
        """(part, wall, effective over gross width) of walls of which less than half is effective in some case."""
        return tuple(x for x in self.kept if x[2] < HALF)


def _greatest(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    out: dict[str, float] = {}
    for case, ratio in pairs:
        out[case] = max(ratio, out.get(case, 0.0))
    return out


def buckling(solution: Solution, rows: Rows, s: Stresses, criteria: Criteria) -> Buckling:
    """Local buckling in all cases of a solution; yield unknown counts as 235 MPa."""
    known = solution.mesh.material.yield_stress
    fy = YIELD.used if known is None else known
    d = demands(solution.mesh, rows, s, fy)
    uses, kept = effective_uses(solution, rows, s, d, criteria.bending)
    return Buckling(
        yield_stress=fy, effective=uses, kept=kept, shear=shear_uses(solution, rows, s, criteria, fy),
        seats=seat_uses(solution, rows, s, criteria, fy), tubes=_thin_tubes(solution, d.eps),
        webless=webless_seats(solution, fy), looked_at=(solution, rows, d),
    )  # fmt: skip


def _thin_tubes(solution: Solution, eps: float) -> tuple[tuple[str, float, float], ...]:
    mesh, limit = solution.mesh, TUBE * eps**2
    part_of = mesh.part_of()
    tubes = {k: s.diameter / s.wall for k, s in enumerate(mesh.least_shapes) if isinstance(s, Tube)}
    thin = {k: v for k, v in tubes.items() if v > limit}
    if not thin:
        return ()
    found = {(int(part_of[m]), int(k)) for m, k in enumerate(mesh.section_of) if int(k) in thin}
    return tuple((mesh.parts[p].name, thin[k], limit) for p, k in sorted(found))
