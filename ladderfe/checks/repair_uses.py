"""Greatest utilisation of cases, parts and stretches of rail in the three states of a plan."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ladderfe.checks.findings import Findings
from ladderfe.checks.use_in import greatest_in, members_in, rows_of
from ladderfe.checks.utilisation import Utilisation
from ladderfe.condition import Stretch
from ladderfe.condition.plan_types import Insert, Plan, PlanPlate
from ladderfe.condition.repaired import Repaired

__all__ = ["PlaceUse", "Three", "case_uses", "part_uses", "stretch_uses"]

Three = tuple[Findings, Findings, Findings]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceUse:
    """Greatest utilisation of a place as built, as found and as repaired, None where a state has no such place.

    name: of a case, a part or a stretch; kind: "case", "rail", "crossmember", "outrigger" or "stretch"; side, start,
    end of stretches; what: pieces of the plan and rust there.
    """

    name: str
    kind: str
    built: Utilisation | None
    found: Utilisation | None
    repaired: Utilisation | None
    side: str = ""
    start: float = 0.0
    end: float = 0.0
    what: str = ""

    @property
    def rise(self) -> float:
        """By how much the place is used more as repaired than as found."""
        before = self.found.ratio if self.found is not None else 0.0
        return 0.0 if self.repaired is None or self.found is None else self.repaired.ratio - before


def _worst_first(uses: Iterable[PlaceUse]) -> tuple[PlaceUse, ...]:
    return tuple(sorted(uses, key=lambda u: -float(f"{u.repaired.ratio if u.repaired else 0.0:.9g}")))


def case_uses(three: Three) -> tuple[PlaceUse, ...]:
    """Every case of any state."""
    firsts = [f.first_of_cases() for f in three]
    names = dict.fromkeys(n for f in firsts for n in f)
    return _worst_first(_made(n, "case", [f.get(n) for f in firsts]) for n in names)


def part_uses(three: Three) -> tuple[PlaceUse, ...]:
    """Every rail, crossmember and outrigger of any state."""
    firsts: list[dict[str, Utilisation]] = []
    kinds: dict[str, str] = {}
    for f in three:
        own: dict[str, Utilisation] = {}
        for u in f.utilisations:
            own.setdefault(u.part, u)
            kinds.setdefault(u.part, u.kind)
        firsts.append(own)
    return _worst_first(_made(n, kind, [f.get(n) for f in firsts]) for n, kind in kinds.items())


def _made(name: str, kind: str, uses: list[Utilisation | None]) -> PlaceUse:
    return PlaceUse(name=name, kind=kind, built=uses[0], found=uses[1], repaired=uses[2])


def stretch_uses(states: Repaired, three: Three) -> tuple[PlaceUse, ...]:
    """Both rails stretch by stretch; stretches alike in rust and in pieces of the plan count as one."""
    out = []
    for side in ("left", "right"):
        for start, end, what in _groups(states.found.stretches_of(side), states.plan):
            uses = [_use(f, side, start, end) for f in three]
            name = f"{side} rail, {start:.0f} to {end:.0f} mm"
            out.append(PlaceUse(name=name, kind="stretch", built=uses[0], found=uses[1], repaired=uses[2], side=side,
                                start=start, end=end, what=what))  # fmt: skip
    return _worst_first(out)


def _use(f: Findings, side: str, start: float, end: float) -> Utilisation | None:
    own = rows_of(f.rows, members_in(f.solution.mesh, side, start, end))
    return greatest_in(f.solution, f.rows, f.stresses, f.chassis.criteria, own)


def _groups(stretches: Iterable[Stretch], plan: Plan) -> list[tuple[float, float, str]]:
    out: list[tuple[float, float, str]] = []
    before: object = None
    for s in stretches:
        middle = (s.start + s.end) / 2
        every: list[Insert | PlanPlate] = [*plan.inserts, *(p for p in plan.plates if p.thickness)]
        pieces = [p for p in every if p.side == s.side and p.covers(middle)]
        same = (tuple(pieces), tuple((w.wall, w.mean / w.nominal, w.least / w.nominal) for w in s.walls))
        if out and same == before:
            out[-1] = (out[-1][0], s.end, out[-1][2])
        else:
            words = [p.name.split(",")[0] for p in pieces]
            let_in = {wall for p in pieces if isinstance(p, Insert) for wall in p.walls}
            words += [f"hole in {w.wall}" for w in s.walls if w.basis == "hole" and w.wall not in let_in]
            out.append((s.start, s.end, ", ".join(dict.fromkeys(words))))
        before = same
    return out
