"""What buckles webs beside normal stress: shear, and concentrated force where springs, jacks and stands push on the
rails."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LoadCase, pull_name
from ladderfe.chassis import Criteria
from ladderfe.checks.by_wall import first_greatest
from ladderfe.checks.rows import Rows
from ladderfe.checks.stress import Stresses
from ladderfe.checks.thin_walls import effective_peak
from ladderfe.mesh import Mesh, Part
from ladderfe.sections import Section, properties
from ladderfe.sections.panels import Panel, panels_of
from ladderfe.sections.patch_load import SeatedWeb
from ladderfe.sections.plate_buckling import shear_critical, shear_factor, shear_reduction, shear_slenderness
from ladderfe.solve import Solution

__all__ = ["BEARING", "SeatUse", "ShearUse", "WebAt", "seat_uses", "seated_webs", "shear_uses", "web_at",
           "webless_seats"]

Array = NDArray[np.float64]

#: Length of rail that a spring hanger, the head of a jack, a stand or a pad bears on, mm (common practice, no source).
BEARING = 50.0
#: A wall this upright (vertical part of its direction) is a web.
UPRIGHT = 0.7
#: By rule: parts of force and bending in what both ask together (EN 1993-1-5 7.2, EN 1993-1-3 6.1.11, from memory).
PARTS = {"patch": (1 / 1.4, 0.8 / 1.4), "crippling": (1 / 1.25, 1 / 1.25)}


@dataclass(frozen=True, slots=True, kw_only=True)
class ShearUse:
    """Average shear of a wall slender in shear against the permissible one times chi_w (1 at most), in a case.

    stress: over the clear height, as EN 1993-1-5 5.2 has it; height: clear, thickness: mm; bending: utilisation by
    normal stress there, on effective walls where shear is over a half (7.1(1) with M_pl asks less); together:
    EN 1993-1-5 7.1 with the flanges' own moment left out, bending + (2 ratio - 1)^2 where ratio is over a half; ratio
    alone where that is more (the square is less than the ratio between 1/4 and 1) or shear is up to a half.
    """

    case: str
    part: str
    kind: str
    side: str
    along: float
    wall: str
    height: float
    thickness: float
    slender: float
    chi: float
    stress: float
    limit: float
    ratio: float
    bending: float
    together: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SeatUse:
    """Force at a spring seat, jack or stand of a rail, upward in N, on its most loaded web, in the worst case.

    share: of that web; rule: "patch" (EN 1993-1-5, sharp edge) or "crippling" (EN 1993-1-3, bend); resistance at yield;
    limit: times permissible bending stress over yield; bearing: length taken, mm; bending: utilisation by normal stress
    on effective walls there (EN 1993-1-5 4.6, EN 1993-1-3 6.1.4); together: (ratio + 0.8 bending)/1.4 (EN 1993-1-5 7.2)
    or (ratio + bending)/1.25 (EN 1993-1-3 6.1.11), or ratio alone where that is more; by_case: the same of every case
    that pushes.
    """

    case: str
    part: str
    side: str
    along: float
    seat: str
    wall: str
    force: float
    share: float
    rule: str
    bearing: float
    resistance: float
    limit: float
    ratio: float
    bending: float
    together: float
    by_case: tuple[tuple[str, float], ...]

    @property
    def shares(self) -> tuple[float, float]:
        """What the force and the bending bring to `together`; the force alone where it asks more than both do."""
        force, bending = PARTS[self.rule]
        both = force * self.ratio, bending * self.bending
        return both if sum(both) >= self.ratio else (self.ratio, 0.0)


def shear_uses(
    solution: Solution, rows: Rows, s: Stresses, criteria: Criteria, yield_stress: float
) -> tuple[ShearUse, ...]:
    """Every case and wall slender in shear at its worst place, governing first; empty where no web is."""
    mesh, part = solution.mesh, solution.mesh.part_of()[rows.member]
    webs, wanted = [], np.zeros((len(rows.member), len(solution.cases)), dtype=bool)
    for k in np.unique(s.section):
        own = np.nonzero(s.section == k)[0]
        for web in _slender_webs(mesh, mesh.least_sections[k], yield_stress):
            stress = web.taller * np.abs(s.mean[own][:, list(web.mean)]).max(axis=1)  # (rows, c)
            webs.append((own, web, stress, stress / (criteria.shear * web.chi)))
            wanted[own, 1:] |= webs[-1][3][:, 1:] > 0.5
    bending = effective_peak(mesh, rows, s, yield_stress, wanted) / criteria.bending
    found: dict[tuple[int, int, str], ShearUse] = {}
    for own, web, stress, ratio in webs:
        beside = bending[own]
        together = np.where(ratio > 0.5, np.maximum(ratio, beside + (2 * ratio - 1) ** 2), ratio)
        for owner in np.unique(part[own]):
            for c in range(1, together.shape[1]):
                r = first_greatest(np.where(part[own] == owner, together[:, c], -1.0))
                key = (c, int(owner), web.panel.name)
                if ratio[r, c] > 0 and (key not in found or together[r, c] > found[key].together * (1 + 1e-9)):
                    values = (stress[r, c], ratio[r, c], beside[r, c], together[r, c])
                    found[key] = _shear_use(solution, key, float(rows.along[own[r]]), web, criteria, values)
    return tuple(sorted(found.values(), key=lambda u: -float(f"{u.together:.9g}")))


def _shear_use(
    solution: Solution, key: tuple[int, int, str], along: float, web: _SlenderWeb, criteria: Criteria,
    values: tuple[float, ...],
) -> ShearUse:
    part, (stress, ratio, bending, together) = solution.mesh.parts[key[1]], map(float, values)
    return ShearUse(
        case=solution.cases[key[0]].name, part=part.name, kind=part.kind, side=part.side, along=along, wall=key[2],
        height=web.panel.width, thickness=web.panel.thickness, slender=web.slender, chi=web.chi, stress=stress,
        limit=criteria.shear * web.chi, ratio=ratio, bending=bending, together=together,
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _SlenderWeb:
    """An internal panel with chi_w below 1, lambda_w, the numbers of its pieces in the table of mean shear, and by how
    much the height outside, which that table takes, is more than the clear height."""

    panel: Panel
    chi: float
    slender: float
    mean: tuple[int, ...]
    taller: float


@lru_cache(maxsize=4096)
def _chi(slender_of: float, E: float, nu: float, yield_stress: float) -> tuple[float, float]:
    """chi_w (1 at most) and lambda_w of a web without stiffeners, of clear height over thickness."""
    slender = float(shear_slenderness(shear_critical(shear_factor(), 1.0, slender_of, E, nu), yield_stress))
    return float(shear_reduction(slender, eta=1.0)), slender


def _slender_webs(mesh: Mesh, section: Section, yield_stress: float) -> Iterator[_SlenderWeb]:
    m = mesh.material
    for panel in panels_of(section):
        E = m.youngs_modulus * panel.modulus
        chi, slender = _chi(panel.width / panel.thickness, E, m.poissons_ratio, yield_stress)
        if chi < 1 and not panel.outstand:
            at = list(dict.fromkeys(properties(section).points.index.tolist()))
            outside = sum(section.walls[w].true_length for w in panel.walls)
            mean = tuple(at.index(w) for w in panel.walls if w in at)
            yield _SlenderWeb(panel, chi, slender, mean, max(outside / panel.width, 1.0))


def seated_webs(section: Section, to_end: float, yield_stress: float, E: float) -> list[tuple[Panel, SeatedWeb]]:
    """The upright internal walls that stand on a bottom flange, as webs that a force from below bears on."""
    panels, out = panels_of(section), []
    for panel in panels:
        if panel.outstand or abs(panel.along[1]) < UPRIGHT:
            continue
        edge = panel.edges[0 if panel.along[1] > 0 else 1]
        flanges = [p for p in panels if set(p.walls) & set(edge.others) and abs(p.along[1]) < UPRIGHT]
        if not flanges:
            continue
        sides = [p.width if p.outstand else p.width / 2 for p in flanges]
        ends = sum(e.beyond for e in panel.edges)
        out.append((panel, SeatedWeb(
            height=panel.width if edge.radius is None else panel.width + ends, thickness=panel.thickness,
            flange_thickness=min(p.thickness for p in flanges), flange_sides=(sides[0], sum(sides[1:2])),
            flange_held=not any(p.outstand for p in flanges), radius=edge.radius, to_end=to_end,
            yield_stress=yield_stress, youngs_modulus=E)))  # fmt: skip
    return out


def seat_uses(
    solution: Solution, rows: Rows, s: Stresses, criteria: Criteria, yield_stress: float
) -> tuple[SeatUse, ...]:
    """Every spring seat, jack and stand of the rails in the case that asks most of its web, governing first.

    The seat is taken to bear on the rail's bottom flange along BEARING mm.  Two webs share the force by the lever rule
    from where the seat stands, one alone at most; more than two share alike.  A seat that only pulls asks nothing.
    """
    pushing, found = list(_pushing(solution, yield_stress)), []
    wanted = np.zeros((len(rows.member), len(solution.cases)), dtype=bool)
    for _, force, seats in pushing:
        for seat in seats:
            wanted |= _rows_at(rows, seat)[:, None] & (force > 0)
    bending = effective_peak(solution.mesh, rows, s, yield_stress, wanted) / criteria.bending
    for _, force, seats in pushing:
        uses = [_seat_use(solution, rows, criteria, seat, bending, force) for seat in seats]
        if uses:
            found.append(max(uses, key=lambda u: float(f"{u.together:.9g}")))
    return tuple(sorted(found, key=lambda u: -float(f"{u.together:.9g}")))


def webless_seats(solution: Solution, yield_stress: float) -> tuple[tuple[str, str, float], ...]:
    """(place, part, station in mm) of what pushes where the rail has no upright web on a bottom flange, as beside a
    hole in it or on a tube: `seat_uses` leaves them out."""
    mesh, out = solution.mesh, []
    for place, _, seats in _pushing(solution, yield_stress):
        if not seats:
            member = _at_rail(mesh, place)[0]
            end = 0 if mesh.ends[member, 0] == mesh.places[place].node else 1
            out.append((place, mesh.parts[int(mesh.part_of()[member])].name, float(mesh.along[member, end])))
    return tuple(out)


def _pushing(solution: Solution, yield_stress: float) -> Iterator[tuple[str, Array, list[_Seat]]]:
    """Places of springs, jacks and stands that push a rail up in some case: force (c,) in N, and the seats on members
    beside that."""
    mesh = solution.mesh
    part_of = mesh.part_of()
    springs = [(p, share * solution.support_forces[k]) for k, s in enumerate(solution.springs) for p, share in s.seats]
    for place, every in (*springs, *_held_up(solution)):
        force = np.maximum(every, 0.0)
        force[0] = 0.0
        near = _at_rail(mesh, place)
        seats = [_seat(mesh, mesh.parts[int(part_of[m])], m, place, yield_stress) for m in near]
        if near and force.max() > 0:
            yield place, force, [seat for seat in seats if seat is not None]


def _held_up(solution: Solution) -> Iterator[tuple[str, Array]]:
    """Mounts that jacks, stands and pads push on, with their force (c,) in N; of cases added up that of their parts."""
    rows = {name: k for k, name in enumerate(solution.supports)}
    of = {c.name: c for c in solution.cases}

    def jacks(case: LoadCase) -> set[str]:
        return {case.jack} | {j for name, _ in case.of for j in jacks(of[name])}

    jacked = [jacks(c) for c in solution.cases]
    for place in dict.fromkeys(p for c in solution.cases for p in (c.jack, *c.stands) if p):
        force = np.zeros(len(solution.cases))
        if place in rows:
            force += solution.support_forces[rows[place]]
        if pull_name(place, "z") in rows:
            force += np.where([place in j for j in jacked], solution.support_forces[rows[pull_name(place, "z")]], 0.0)
        yield place, force


def _at_rail(mesh: Mesh, place: str) -> list[int]:
    """Members of rails that meet the node of a place."""
    near = np.nonzero((mesh.ends == mesh.places[place].node).any(axis=1))[0]
    return [int(m) for m in near if mesh.parts[int(mesh.part_of()[m])].kind == "rail"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Seat:
    """A seat at the end of a rail's member: its most loaded web, that web's share, and what it stands at yield."""

    part: Part
    member: int
    along: float
    place: str
    panel: Panel
    rule: str
    share: float
    resistance: float
    yield_stress: float


def _seat(mesh: Mesh, part: Part, member: int, place: str, yield_stress: float) -> _Seat | None:
    at = mesh.places[place]
    end = 0 if mesh.ends[member, 0] == at.node else 1
    along = float(mesh.along[member, end])
    first, last = float(mesh.along[part.first, 0]), float(mesh.along[part.last - 1, 1])
    to_end = max(0.0, min(abs(along - first), abs(last - along)) - BEARING / 2)
    section = mesh.least_sections[int(mesh.end_sections[member, end])]
    webs = seated_webs(section, to_end, yield_stress, mesh.material.youngs_modulus)
    if not webs:
        return None
    aside = mesh.nodes[at.node] + np.array(at.arm) - mesh.end_points()[member, end]
    shares = _shares([p.start[0] for p, _ in webs], float(aside @ mesh.axes[member, 1]))
    stands = [web.resistance(BEARING) for _, web in webs]
    worst = max(range(len(webs)), key=lambda i: shares[i] / max(stands[i], 1e-9))
    panel, web = webs[worst]
    return _Seat(part=part, member=member, along=along, place=place, panel=panel, rule=web.rule, share=shares[worst],
                 resistance=stands[worst], yield_stress=yield_stress)  # fmt: skip


def _rows_at(rows: Rows, seat: _Seat) -> NDArray[np.bool_]:
    """(r,) True for the rows of a seat's member at it."""
    out: NDArray[np.bool_] = (rows.member == seat.member) & (abs(rows.along - seat.along) < 1.0)
    return out


def _seat_use(
    solution: Solution, rows: Rows, criteria: Criteria, seat: _Seat, bending: Array, force: Array
) -> SeatUse:
    """The case that asks most; its force with the bending at the seat."""
    limit = seat.resistance * criteria.bending / seat.yield_stress
    beside = bending[_rows_at(rows, seat)].max(axis=0, initial=0.0)
    ratio = seat.share * force / max(limit, 1e-9)
    of_force, of_bending = PARTS[seat.rule]
    together = np.where(force > 0, np.maximum(ratio, of_force * ratio + of_bending * beside), 0.0)
    c = first_greatest(together)
    return SeatUse(
        case=solution.cases[c].name, part=seat.part.name, side=seat.part.side, along=seat.along, seat=seat.place,
        wall=seat.panel.name, force=float(force[c]), share=seat.share, rule=seat.rule, bearing=BEARING,
        resistance=seat.resistance, limit=limit, ratio=float(ratio[c]), bending=float(beside[c]),
        together=float(together[c]),
        by_case=tuple((solution.cases[k].name, float(together[k])) for k in np.nonzero(together)[0]),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class WebAt:
    """The web that a force from below at a place of a rail asks most of: its wall, its share, the rule, and the
    greatest force at the place, N, by the permissible bending stress (`SeatUse`: that web's limit over its share)."""

    wall: str
    share: float
    rule: str
    limit: float


def web_at(mesh: Mesh, place: str, criteria: Criteria, yield_stress: float) -> WebAt | None:
    """The web under a named place; None off the rails and where no upright web stands on a bottom flange."""
    parts = mesh.part_of()
    near = [_seat(mesh, mesh.parts[int(parts[m])], m, place, yield_stress) for m in _at_rail(mesh, place)]
    found = [
        WebAt(s.panel.name, s.share, s.rule, s.resistance * criteria.bending / yield_stress / s.share)
        for s in near if s is not None and s.share > 0
    ]  # fmt: skip
    return min(found, key=lambda w: float(f"{w.limit:.9g}"), default=None)


def _shares(places: list[float], at: float) -> list[float]:
    """Shares of webs at those places across the rail in a force at `at`."""
    if len(places) != 2 or places[0] == places[1]:
        return [1 / len(places)] * len(places)
    second = min(1.0, max(0.0, (at - places[0]) / (places[1] - places[0])))
    return [1 - second, second]
