"""Several chassis side by side: what each works, how stiff, how heavy, and how far from the first."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from math import inf, pi

from ladderfe.checks.findings import Findings
from ladderfe.checks.sag import greatest_sags
from ladderfe.checks.twist_stiffness import twist_frame
from ladderfe.checks.utilisation import Utilisation
from ladderfe.errors import LadderFEError
from ladderfe.mesh import frame_mass, joined
from ladderfe.solve import Solution

__all__ = ["SEATS", "SLENDER", "WELD", "Comparison", "ComparisonRow", "compare", "rail_sags", "ranked"]

#: A value below this part of the greatest beside it is rounding and counts as nothing.
NOTHING = 1e-9
STIFFNESS = "torsional stiffness"
WELD = "weld by the plan"
#: What thin walls are compared by.
EFFECTIVE, SLENDER = "stress on effective walls", "shear of slender webs"
SEATS = "force on webs at spring seats, jacks and stands"
#: Where else in their spread joints are taken that nobody described.
OTHER_JOINTS = {"low": -1.0, "high": 1.0, "rigid": inf}
#: N mm/rad to kN m/deg.
KNM_PER_DEG = 1e-6 * pi / 180


@dataclass(frozen=True, slots=True, kw_only=True)
class ComparisonRow:
    """One number of every chassis, in `unit`; None where a chassis has no such part or case.  `case` is empty where
    the number belongs to no case of its own."""

    name: str
    unit: str
    values: tuple[float | None, ...]
    case: str = ""

    def change(self, k: int) -> float | None:
        """How far the value of chassis `k` is from that of the first, as a part of the first; None where either is
        missing, or where the first is nothing and the other is not."""
        first, other = self.values[0], self.values[k]
        if first is None or other is None:
            return None
        if other == first:
            return 0.0
        return (other - first) / abs(first) if first else None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Comparison:
    """Findings side by side.

    frame : torsional stiffness of the bare frame (kN m/deg), with its joints as used and elsewhere in their spread, and
    its mass (kg); of repair plans also the metres of weld
    cases : greatest utilisation of each case; governing : the place of it, by case and chassis
    parts : greatest utilisation of each rail, crossmember and outrigger over all cases, from front to rear
    thin : greatest utilisation of what local buckling leaves of thin walls, of webs slender in shear and of webs by
    force at spring seats, jacks and stands, where any chassis has such; None for one that has none
    sag : how far a rail bends from the straight line between the axles, mm; springs : spring forces, N
    """

    findings: tuple[Findings, ...]
    frame: tuple[ComparisonRow, ...]
    cases: tuple[ComparisonRow, ...]
    governing: tuple[tuple[Utilisation | None, ...], ...]
    parts: tuple[ComparisonRow, ...]
    thin: tuple[ComparisonRow, ...]
    sag: tuple[ComparisonRow, ...]
    springs: tuple[ComparisonRow, ...]


def ranked(comparison: Comparison, rustless: Collection[int] = ()) -> tuple[int, ...]:
    """Numbers of the findings, the lowest governing utilisation first; what is alike goes by less weld, then less
    mass (what has no weld counts as none).  rustless: those that never rusted beside others that did, without a rank.
    """
    rows = {r.name: r for r in comparison.frame}
    welds = rows[WELD].values if WELD in rows else (None,) * len(comparison.findings)
    masses = comparison.frame[-1].values

    def order(k: int) -> tuple[float, float, float, int]:
        use = comparison.findings[k].utilisations[0].ratio
        return float(f"{use:.9g}"), float(f"{welds[k] or 0.0:.9g}"), float(f"{masses[k] or 0.0:.9g}"), k

    return tuple(sorted((k for k in range(len(comparison.findings)) if k not in rustless), key=order))


def compare(findings: Sequence[Findings], welds: Sequence[float | None] = ()) -> Comparison:
    """Put findings side by side; cases, parts and springs are matched by name.

    welds : metres of weld of those that are repair plans, None of others; left out where none is one.
    """
    cases = list(dict.fromkeys(c.name for f in findings for c in f.solution.cases[1:]))
    governing = tuple(tuple(_first(u for u in f.utilisations if u.case == case) for f in findings) for case in cases)
    top = [
        ComparisonRow(name=case, unit="", values=tuple(map(_ratio, found)), case=case)
        for case, found in zip(cases, governing, strict=True)
    ]
    sags = [rail_sags(f) for f in findings]
    return Comparison(
        findings=tuple(findings),
        frame=(
            ComparisonRow(name=STIFFNESS, unit="kN m/deg", values=tuple(_stiffness(f) for f in findings)),
            *(
                ComparisonRow(
                    name=f"{STIFFNESS}, joints {name}",
                    unit="kN m/deg",
                    values=tuple(_stiffness(f, level) for f in findings),
                )
                for name, level in OTHER_JOINTS.items()
            ),
            *([ComparisonRow(name=WELD, unit="m", values=tuple(welds))] if any(w is not None for w in welds) else []),
            ComparisonRow(
                name="frame mass",
                unit="kg",
                values=tuple(1000 * frame_mass(f.solution.mesh).mass for f in findings),
            ),
        ),
        cases=tuple(top),
        governing=governing,
        parts=_parts(findings),
        thin=_thin(findings),
        sag=_without_rounding(
            ComparisonRow(name=case, unit="mm", values=tuple(own.get(case) for own in sags), case=case)
            for case in cases
        ),
        springs=_springs(findings, cases),
    )


def _first(utilisations: Iterable[Utilisation]) -> Utilisation | None:
    """The governing one of some utilisations, which are sorted, governing first."""
    return next(iter(utilisations), None)


def _ratio(utilisation: Utilisation | None) -> float | None:
    return None if utilisation is None else utilisation.ratio


def _stiffness(findings: Findings, level: float | None = None) -> float | None:
    """Torsional stiffness of the bare frame, with the joints as used or at a level of their spread; None where it falls
    apart in twist."""
    s, chassis = findings.solution, findings.chassis
    try:
        if level is None:
            return twist_frame(chassis, s.mesh, s.footing.factor).stiffness * KNM_PER_DEG
        return twist_frame(joined(chassis, level)).stiffness * KNM_PER_DEG
    except LadderFEError:
        return None


def _parts(findings: Sequence[Findings]) -> tuple[ComparisonRow, ...]:
    """Rails first, then all else from front to rear."""
    place: dict[str, float] = {}
    for f in findings:
        mesh = f.solution.mesh
        for part in mesh.parts:
            ends = mesh.end_points()[list(part.members), :, 0]
            place.setdefault(part.called, -1e9 if part.kind == "rail" else float(ends.mean()))
    ratios = [_part_ratios(f) for f in findings]
    rows = (
        ComparisonRow(name=name, unit="", values=tuple(own.get(name) for own in ratios))
        for name in sorted(place, key=lambda name: place[name])
    )
    return _without_rounding(rows)


def _part_ratios(findings: Findings) -> dict[str, float]:
    """Part, with what it is -> its greatest utilisation over all cases."""
    mesh, out = findings.solution.mesh, dict[str, float]()
    for u in findings.utilisations:
        out.setdefault(mesh.part(u.part).called, u.ratio)
    return out


def _thin(findings: Sequence[Findings]) -> tuple[ComparisonRow, ...]:
    """Of what local buckling rules, the greatest utilisation of each kind; all are sorted, governing first."""
    thin = [f.buckling for f in findings]
    values = {
        EFFECTIVE: [next((u.ratio for u in b.effective), None) for b in thin],
        SLENDER: [next((u.together for u in b.shear), None) for b in thin],
        SEATS: [next((u.together for u in b.seats), None) for b in thin],
    }
    return tuple(
        ComparisonRow(name=name, unit="", values=tuple(own))
        for name, own in values.items()
        if any(v is not None for v in own)
    )


def _springs(findings: Sequence[Findings], cases: Sequence[str]) -> tuple[ComparisonRow, ...]:
    names = list(dict.fromkeys(s.name for f in findings for s in f.solution.springs))
    return _without_rounding(
        ComparisonRow(
            name=name, unit="N", values=tuple(_spring_force(f.solution, name, case) for f in findings), case=case
        )
        for case in cases
        for name in names
    )


def _spring_force(solution: Solution, spring: str, case: str) -> float | None:
    names, k = [s.name for s in solution.springs], _case(solution, case)
    return None if k is None or spring not in names else float(solution.support_forces[names.index(spring), k])


def _case(solution: Solution, name: str) -> int | None:
    return next((k for k, c in enumerate(solution.cases) if k and c.name == name), None)


def rail_sags(findings: Findings) -> dict[str, float]:
    """Case -> greatest departure of a rail from the straight line through it at the axles, between them; mm, sag
    positive."""
    out: dict[str, float] = {}
    for sag in greatest_sags(findings.chassis, findings.solution):
        out[sag.case] = max(out.get(sag.case, 0.0), sag.size, key=abs)
    return out


def _without_rounding(rows: Iterable[ComparisonRow]) -> tuple[ComparisonRow, ...]:
    """The same rows, values that are nothing but rounding set to zero."""
    rows = list(rows)
    least = NOTHING * max((abs(v) for r in rows for v in r.values if v is not None), default=0.0)
    return tuple(
        ComparisonRow(
            name=r.name,
            unit=r.unit,
            values=tuple(0.0 if v is not None and abs(v) <= least else v for v in r.values),
            case=r.case,
        )
        for r in rows
    )
