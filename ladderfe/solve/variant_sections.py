"""Sections of a varied mesh in many states: what members take from them, and their walls."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements import Beams, BoxWalls, RackingBeams
from ladderfe.elements.foundation import Foundation
from ladderfe.elements.racking_walls import Membrane
from ladderfe.mesh.varied import Varied
from ladderfe.mesh.varied_follow import Walls
from ladderfe.sections import Box
from ladderfe.sections.alike import WALLS, Alike, Many, families
from ladderfe.sections.corners import corner_factors
from ladderfe.solve.section_rows import SectionRows, section_rows

__all__ = ["Sections", "SectionStates"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


class _Walls(BoxWalls):
    """Walls of boxes whose membrane is worked out once."""

    @cached_property
    def _membrane(self) -> Membrane:
        return super().membrane()

    def membrane(self) -> Membrane:
        return self._membrane


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

    @cached_property
    def stretches(self) -> tuple[IntArray, ...]:
        """(f, t) of every family the stretch that gives each thickness, -1 where none does."""
        walls = self.varied.by_section
        return tuple(
            np.array([[walls.get(int(k), {}).get(n, -1) for n in WALLS[type(alike.shapes[0])]] for k in own])
            for own, alike in self.families
        )

    def states(self, thickness: Array) -> SectionStates:
        """The sections in states (v, k) of the stretches."""
        walls, many = [], []
        for (own, alike), stretch in zip(self.families, self.stretches, strict=True):
            walls.append(np.where(stretch >= 0, thickness[:, stretch], alike.thickness))
            which = np.tile(np.arange(len(own)), len(thickness))
            many.append(alike.at(walls[-1].reshape(-1, walls[-1].shape[2]), which))
        return SectionStates(self, thickness, tuple(walls), tuple(many))

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
    """Sections in v states; of each family walls (v, f, t), their thickness, and `many` (v x f), states first."""

    sections: Sections
    thickness: Array
    walls_of: tuple[Array, ...]
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
        (_, alike), m = self.sections.families[family], self.many[family]
        if not isinstance(alike.shapes[0], Box):
            return m.J
        out: Array = m.J * corner_factors(_outline(alike), self.walls_of[family]).ravel() + m.J_plates
        return out

    @cached_property
    def boxes(self) -> tuple[tuple[BoxWalls, Array], ...]:
        """Of every family of boxes (v x f), states first, their walls and their poles (v x f, 2); none for others."""
        out = []
        for (_, alike), t in zip(self.sections.families, self.walls_of, strict=True):
            if not isinstance(alike.shapes[0], Box):
                out.append((_Walls(np.zeros(0), np.zeros(0), np.zeros((0, 4))), np.zeros((0, 2))))
                continue
            depth, width, _ = _outline(alike).T
            wide, high = width - t[..., :2].sum(axis=2) / 2, depth - t[..., 2:].sum(axis=2) / 2
            pole = np.stack([t[..., 0] - t[..., 1], t[..., 3] - t[..., 2]], axis=2) / 4
            out.append((_Walls(wide.ravel(), high.ravel(), t.reshape(-1, 4)), pole.reshape(-1, 2)))
        return tuple(out)

    def _boxes(self, base: SectionRows) -> tuple[IntArray, RackingBeams]:
        """(rows,) number of boxes, and their racking: those that vary family by family, then those of the mesh."""
        steel, v = self.sections.varied.mesh.material, self.count
        varying = int((self.sections.place >= 0).sum())
        box, parts, first = np.full((v, varying), -1), [], 0
        for (own, _), (walls, pole) in zip(self.sections.families, self.boxes, strict=True):
            if len(pole):
                parts.append(
                    RackingBeams.of_walls(Beams.none(), walls, pole, steel.youngs_modulus, steel.poissons_ratio)
                )
                box[:, self.sections.place[own]] = first + np.arange(v * len(own)).reshape(v, -1)
                first += v * len(own)
        still = np.where(base.box >= 0, base.box + first, -1)
        return np.concatenate([box.ravel(), still]), _joined([*parts, base.boxes])


def _outline(alike: Alike) -> Array:
    """(f, 3) depth, width and corner radius of boxes."""
    return np.array([(s.depth, s.width, s.radius) for s in alike.shapes if isinstance(s, Box)])


def _joined(parts: list[RackingBeams]) -> RackingBeams:
    def of(name: str) -> Array:
        return np.concatenate([getattr(p, name) for p in parts])

    f = Foundation(*(np.concatenate([getattr(p.foundation, n) for p in parts]) for n in ("KD", "EI", "shear", "plate")))
    return RackingBeams(Beams.none(), f, of("coupling"), of("plane"), of("pole"), of("size"))
