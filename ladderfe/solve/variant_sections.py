"""Sections of a varied mesh in many states: what members take from them, and their walls."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import Beams, BoxWalls, RackingBeams
from ladderfe.elements.foundation import Foundation
from ladderfe.mesh.varied import Varied
from ladderfe.mesh.varied_follow import Walls, corner_factors
from ladderfe.sections import Box, Shape
from ladderfe.sections.alike import WALLS, Alike, Many, families
from ladderfe.solve.section_rows import SectionRows, section_rows

__all__ = ["Sections", "SectionStates"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Sections:
    """The sections of a varied mesh by families; numbers (f,) of each family's in the mesh."""

    varied: Varied
    families: tuple[tuple[IntArray, Alike], ...]
    least: bool = False

    @staticmethod
    def of(varied: Varied, *, least: bool = False) -> Sections:
        """Those that vary; least: those by which strength is judged."""
        mesh = varied.mesh
        own, shapes = np.flatnonzero(varied.vary), mesh.least_shapes if least else mesh.shapes
        found = families([shapes[k] for k in own], [mesh.sections[k].side_names for k in own])
        return Sections(varied, tuple((own[of], alike) for of, alike in found), least)

    @cached_property
    def place(self) -> IntArray:
        """(sections,) place of every section among those that vary, -1 for others."""
        out = np.full(len(self.varied.mesh.sections), -1)
        out[np.concatenate([own for own, _ in self.families])] = np.arange(sum(len(own) for own, _ in self.families))
        return out

    def states(self, thickness: Array) -> SectionStates:
        """The sections in states (v, k) of the stretches."""
        many = []
        for own, alike in self.families:
            names = WALLS[type(alike.shapes[0])]
            t = np.stack(
                [
                    np.stack(list(self.varied.shape_thickness(int(k), thickness, least=self.least).values()), axis=1)
                    for k in own
                ],
                axis=1,
            )  # (v, f, names)
            many.append(alike.at(t.reshape(-1, len(names)), np.tile(np.arange(len(own)), len(thickness))))
        return SectionStates(self, thickness, tuple(many))

    @cached_property
    def still(self) -> dict[int, Many]:
        """Sections that do not vary, worked out when they are first asked for."""
        return {}

    def of_still(self, section: int) -> Many:
        """A section that does not vary."""
        if section not in self.still:
            mesh = self.varied.mesh
            alike = Alike.of([mesh.shapes[section]], [mesh.sections[section].side_names])
            self.still[section] = alike.at(alike.thickness, np.zeros(1, dtype=np.int64))
        return self.still[section]


@dataclass(frozen=True, eq=False)
class SectionStates:
    """Sections in v states; `many`: of each family (v x f), states first."""

    sections: Sections
    thickness: Array
    many: tuple[Many, ...]

    @property
    def count(self) -> int:
        return len(self.thickness)

    def stacked(self, section: IntArray) -> IntArray:
        """(v, ...) numbers of sections (...) in `rows`."""
        place = self.sections.place[section]
        varying = int((self.sections.place >= 0).sum())
        state = np.arange(self.count).reshape(-1, *([1] * place.ndim))
        out: IntArray = np.where(place >= 0, state * varying + place, self.count * varying + section)
        return out

    def walls(self, section: int) -> Walls:
        """The walls of one section in all states."""
        varied, v = self.sections.varied, self.count
        t, shape = varied.shape_thickness(section, self.thickness), varied.mesh.shapes[section]
        for (own, _), many in zip(self.sections.families, self.many, strict=True):
            if section in own:
                which = np.arange(v) * len(own) + int(np.flatnonzero(own == section)[0])
                return Walls(shape, t, many.flows, which, many.shear_centre[which])
        still = self.sections.of_still(section)
        return Walls(shape, t, still.flows, np.zeros(v, dtype=np.int64), np.repeat(still.shear_centre, v, axis=0))

    @cached_property
    def rows(self) -> SectionRows:
        """Rows of all that vary, states first, and then of all sections of the mesh as laid out."""
        mesh = self.sections.varied.mesh
        base, v = section_rows(mesh.shapes, mesh.sections, mesh.material), self.count
        parts = [self._rows(k) for k in range(len(self.many))]
        out = {}
        for name in SectionRows.__dataclass_fields__:
            if name in ("box", "boxes"):
                continue
            own = np.concatenate([p[name].reshape(v, -1, *p[name].shape[1:]) for p in parts], axis=1)
            out[name] = np.concatenate([own.reshape(-1, *own.shape[2:]), getattr(base, name)])
        box, boxes = self._boxes(base)
        return SectionRows(**out, box=box, boxes=boxes)

    def _rows(self, family: int) -> dict[str, Array]:
        steel, m = self.sections.varied.mesh.material, self.many[family]
        e, g = steel.youngs_modulus, steel.shear_modulus
        return {
            "metal": m.metal, "EA": e * m.A, "GJ": g * self._torsion(family), "bending": e * m.moments,
            "shear": m.shear / g, "centroid": m.centroid, "shear_centre": m.shear_centre, "EIw": e * m.Iw,
            "warp_shear": m.warp_shear / g, "coupling": m.coupling / g,
        }  # fmt: skip

    def _torsion(self, family: int) -> Array:
        (own, alike), m = self.sections.families[family], self.many[family]
        if not isinstance(alike.shapes[0], Box):
            return m.J
        factor = np.stack([corner_factors(s, self._t(int(k))) for k, s in zip(own, alike.shapes, strict=True)
                           if isinstance(s, Box)], axis=1)  # fmt: skip
        out: Array = m.J * factor.ravel() + m.J_plates
        return out

    def _t(self, section: int) -> dict[str, Array]:
        return self.sections.varied.shape_thickness(section, self.thickness, least=self.sections.least)

    def box_walls(self, own: IntArray, shapes: tuple[Shape, ...]) -> tuple[BoxWalls, Array]:
        """Walls of the boxes of a family (v x f), states first, and their poles."""
        t = [self._t(int(k)) for k in own]
        w = [Walls(s, d, self.many[0].flows, own, np.zeros(0)) for s, d in zip(shapes, t, strict=True)]
        size, pole = (np.stack([getattr(x, n) for x in w], axis=1).reshape(-1, 2) for n in ("size", "pole"))
        wall = np.stack([np.stack([d[n] for n in ("minus", "plus", "top", "bottom")], axis=1) for d in t], axis=1)
        return BoxWalls(size[:, 0], size[:, 1], wall.reshape(-1, 4)), pole

    def _boxes(self, base: SectionRows) -> tuple[IntArray, RackingBeams]:
        """(rows,) number of boxes, and their racking: those that vary family by family, then those of the mesh."""
        steel, v = self.sections.varied.mesh.material, self.count
        varying = int((self.sections.place >= 0).sum())
        box, parts, first = np.full((v, varying), -1), [], 0
        for own, alike in self.sections.families:
            if isinstance(alike.shapes[0], Box):
                walls, pole = self.box_walls(own, alike.shapes)
                parts.append(
                    RackingBeams.of_walls(Beams.none(), walls, pole, steel.youngs_modulus, steel.poissons_ratio)
                )
                box[:, self.sections.place[own]] = first + np.arange(v * len(own)).reshape(v, -1)
                first += v * len(own)
        still = np.where(base.box >= 0, base.box + first, -1)
        return np.concatenate([box.ravel(), still]), _joined([*parts, base.boxes])


def _joined(parts: list[RackingBeams]) -> RackingBeams:
    def of(name: str) -> Array:
        return np.concatenate([getattr(p, name) for p in parts])

    f = Foundation(*(np.concatenate([getattr(p.foundation, n) for p in parts]) for n in ("KD", "EI", "shear", "plate")))
    return RackingBeams(Beams.none(), f, of("coupling"), of("plane"), of("pole"), of("size"))
