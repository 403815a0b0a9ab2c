"""Square, angled and stepped cuts through a rail at one place, in numbers.

Every stress point of the section is taken at its own station: an angled cut in side view meets the top flange further
along than the bottom one, and cuts both square; only a cut that is angled in plan lies at an angle in the flanges.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import radians, tan
from typing import Final

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.along_rails import SLOPE_THREE, RailSections
from ladderfe.checks.cycles import Cycles
from ladderfe.checks.wall_groups import upright_walls
from ladderfe.connections import WeldSteel, butt_throat, damage, weld_steel
from ladderfe.connections.cuts import CutStress, butt_use, cut_length, cut_stress
from ladderfe.connections.fillets import STEELS

__all__ = ["ANGLES", "Cut", "CutUse", "cut_stations", "cut_uses", "steel_for"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Angles of cuts in side view that are compared, degrees; in plan the second one.
ANGLES: Final = (60.0, 45.0)


@dataclass(frozen=True, slots=True)
class Cut:
    """A way to cut: how in words; angles in degrees of the welds across lying and upright walls; slope: mm along the
    rail per mm of height, and of width; step: length of a seam at mid-depth that joins both halves, 0 for none."""

    name: str
    lying: float = 90.0
    upright: float = 90.0
    by_height: float = 0.0
    by_width: float = 0.0
    step: float = 0.0

    def turned(self) -> Cut:
        """The same the other way round."""
        return replace(self, by_height=-self.by_height, by_width=-self.by_width, step=-self.step)


@dataclass(frozen=True, slots=True)
class CutUse:
    """What a cut comes to, the better of both ways round: start, end (mm) along the rail, total length of its welds;
    across, along and equivalent: MPa of the plate on the welds where the equivalent is greatest, with wall and case;
    full and one_side: greatest use of a butt weld all through and of one from one side on an open root (inf where
    nothing counts of a thin wall); damage: by the stress across the weld that it is greatest in, over that of the
    square cut, with its wall."""

    cut: Cut
    start: float
    end: float
    length: float
    across: float
    along: float
    equivalent: float
    wall: str
    case: str
    full: float
    one_side: float
    damage: float
    damage_wall: str


def steel_for(yield_stress: float | None) -> tuple[WeldSteel, str]:
    """The grade of `STEELS` with the greatest yield stress that is not above the given one, and words; the weakest
    where that is not known or lower."""
    weakest = min(STEELS, key=lambda name: int(name[1:]))
    own = [name for name in STEELS if yield_stress is not None and int(name[1:]) <= yield_stress]
    name = max(own, key=lambda n: int(n[1:]), default=weakest)
    steel = weld_steel(name)
    why = "yield not given: ASSUMED" if yield_stress is None else f"for a yield of {yield_stress:g} N/mm2"
    return steel, f"{name}, fu {steel.fu:g} N/mm2, beta_w {steel.beta_w:g} ({why})"


def cuts_for(depth: float) -> tuple[Cut, ...]:
    """The cuts that are compared on a rail of that depth, mm."""
    angled = [Cut(f"{a:g} degrees in side view", upright=a, by_height=1 / tan(radians(a))) for a in ANGLES]
    plan = Cut(f"{ANGLES[1]:g} degrees in plan", lying=ANGLES[1], by_width=1 / tan(radians(ANGLES[1])))
    return (Cut("square"), *angled, plan, Cut(f"stepped by {depth:g} mm", step=depth))


def cut_stations(depth: float, width: float, station: float) -> list[float]:
    """Stations at which the cuts meet the corners of a rail's outline."""
    out = {station}
    for cut in cuts_for(depth):
        reach = abs(cut.by_height) * depth / 2 + abs(cut.by_width) * width / 2 + cut.step / 2
        out |= {station - reach, station + reach}
    return sorted(out)


def cut_uses(
    sections: RailSections, cycles: Cycles, station: float, depth: float, steel: WeldSteel
) -> tuple[CutUse, ...]:
    """All cuts at a station, the square one first."""
    work = _Work(sections, cycles, station, depth, steel)
    made = [min((work.use(c), work.use(c.turned())), key=lambda u: round(u.full, 9)) for c in cuts_for(depth)]
    square = made[0].damage
    return tuple(replace(u, damage=u.damage / square if square else float("nan")) for u in made)


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """Cuts of one place."""

    sections: RailSections
    cycles: Cycles
    station: float
    depth: float
    steel: WeldSteel

    @property
    def section(self) -> int:
        return int(self.sections.stresses.section[self.sections.at(self.station)[-1]])

    def use(self, cut: Cut) -> CutUse:
        """One cut, its damage not yet as a ratio."""
        welds = list(self._welds(cut))
        stations = [x for _, x, _ in welds]
        worst, full, one_side, harm = (-1.0, 0.0, 0.0, "", ""), 0.0, 0.0, (-1.0, "")
        for point, x, angle in welds:
            r = self.sections.at(x)
            own_points = self._same(r, point)
            for way in (1.0, -1.0):
                stress = self._stress(r, own_points, angle, way)
                worst = max(worst, self._greatest(stress, r, own_points), key=lambda w: w[0])
                both = self._uses(stress, r, own_points)
                full, one_side = max(full, both[0]), max(one_side, both[1])
                spans = self.cycles.ranges(stress.across)
                own = float(damage(spans, self.cycles.shares, SLOPE_THREE).max())
                harm = max(harm, (own, self._wall(r[-1], own_points[-1])), key=lambda h: float(f"{h[0]:.9g}"))
        equivalent, across, along, wall, case = worst
        return CutUse(cut, min(stations), max(stations), self._length(cut), across, along, equivalent, wall, case, full,
                      one_side, *harm)  # fmt: skip

    def _welds(self, cut: Cut) -> Iterable[tuple[int, float, float]]:
        """(stress point, station, angle of the weld) of a cut."""
        s, k = self.sections, self.section
        g = s.groups
        for p in self._cut(k):
            stands, y, z = bool(g.upright[k, p]), float(g.y[k, p]), float(g.z[k, p])
            angle = cut.upright if stands else cut.lying
            if not cut.step:
                yield p, self.station + cut.by_height * z + cut.by_width * y, angle
                continue
            middle = stands and abs(z) < self.depth / 4
            if middle or z > 0:
                yield p, self.station + cut.step / 2, angle
            if middle or z <= 0:
                yield p, self.station - cut.step / 2, angle
            if middle:
                for x in (-cut.step / 2, 0.0, cut.step / 2):
                    yield p, self.station + x, 0.0

    def _cut(self, section: int) -> list[int]:
        """Points of a section's own walls: what is lapped on the rail or lies inside it is not cut with it."""
        return [p for p, wall in enumerate(self.sections.stresses.table.walls[section]) if not _put_on(wall)]

    def _same(self, r: IntArray, point: int) -> IntArray:
        """Of the sections of rows the points that lie where a point of the section at the station does."""
        k, s, g = self.section, self.sections.stresses, self.sections.groups
        out = []
        for other in s.section[r].tolist():
            near = self._cut(other) if other != k else [point]
            away = [abs(g.y[other, p] - g.y[k, point]) + abs(g.z[other, p] - g.z[k, point])
                    + (s.table.walls[other][p] != s.table.walls[k][point]) for p in near]  # fmt: skip
            out.append(near[int(np.argmin(away))])
        return np.array(out)

    def _stress(self, r: IntArray, point: IntArray, angle: float, way: float) -> CutStress:
        t = self.sections.stresses
        return cut_stress(t.normal[r, point], way * t.shear[r, point], angle)

    def _greatest(self, stress: CutStress, r: IntArray, point: IntArray) -> tuple[float, float, float, str, str]:
        s = self.sections
        own = stress.equivalent[:, 1:]
        i, c = np.unravel_index(int(own.argmax()), own.shape)
        wall = self._wall(r[i], point[i])
        case = s.findings.solution.cases[int(c) + 1].name
        return float(own[i, c]), float(stress.across[i, c + 1]), float(stress.along[i, c + 1]), wall, case

    def _wall(self, row: int, point: int) -> str:
        s = self.sections.stresses
        return s.table.walls[int(s.section[row])][point]

    def _uses(self, stress: CutStress, r: IntArray, point: IntArray) -> tuple[float, float]:
        s = self.sections
        t = s.groups.thickness[s.stresses.section[r], point][:, None]
        own = CutStress(stress.across[:, 1:], stress.along[:, 1:])
        throats = butt_throat(t, "both sides"), butt_throat(t, "one side")
        one, two = (float(butt_use(own, t, a, self.steel).max()) for a in throats)
        return one, two

    def _length(self, cut: Cut) -> float:
        """Length of weld, mm: every wall's width over the sine of its angle, and the seams of a step."""
        section = self.sections.findings.solution.mesh.least_sections[self.section]
        stands = upright_walls(section)
        lengths = {up: sum(max(w.true_length, 0.0) for w in section.walls
                           if stands[w.name] == up and not _put_on(w.name))
                   for up in (True, False)}  # fmt: skip
        seams = sum(1 for name, up in stands.items() if up and "lip" not in name and not _put_on(name))
        return _weld(lengths[True], cut.upright) + _weld(lengths[False], cut.lying) + seams * abs(cut.step)


def _put_on(wall: str) -> bool:
    """Whether a wall is a plate lapped on a rail, or a weld of one; a boxing plate is cut with the rail."""
    return " weld" in wall or (" plate" in wall and not wall.startswith("boxing"))


def _weld(width: float, angle: float) -> float:
    """Length of weld through walls of that width together, mm."""
    return float(cut_length(width, angle)) if width > 0 else 0.0
