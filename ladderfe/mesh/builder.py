"""Collects nodes, members and joints, then freezes them into a mesh."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Joint, Material
from ladderfe.joints import Meeting
from ladderfe.mesh.bridges import bridges_of
from ladderfe.mesh.places import with_places
from ladderfe.mesh.plates import plate_stiffness
from ladderfe.mesh.shaped import Shaped
from ladderfe.mesh.types import Mesh, Part, PartKind, Plate, SoftJoint
from ladderfe.mesh.walls import RACKING
from ladderfe.sections import Section, Shape

__all__ = ["Builder", "member_axes"]

Array = NDArray[np.float64]


def member_axes(start: Array, end: Array) -> Array:
    """(m, 3, 3) rows x' y' z' of members from start to end (m, 3): z' in the vertical plane, y' = z' x x'.

    A vertical member (a crossmember's drop) takes y' forward, the limit of a crossmember that drops ever steeper.
    """
    x = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
    y = np.stack([-x[:, 1], x[:, 0], np.zeros(len(x))], axis=1)
    size = np.linalg.norm(y, axis=1)
    y[size < 1e-9] = (-1.0, 0.0, 0.0)
    y /= np.where(size < 1e-9, 1.0, size)[:, None]
    return np.stack([x, y, np.cross(x, y)], axis=1)


class Builder:
    """A mesh under construction."""

    def __init__(self, material: Material, racks: bool = True) -> None:
        """`racks`: box rails carry racking."""
        self.material, self.racks = material, racks
        self.nodes: list[Array] = []
        self.node_names: list[str] = []
        self.ends: list[tuple[int, int]] = []
        self.arms: list[tuple[Array, Array]] = []
        self.along: list[tuple[float, float]] = []
        self.tapered: list[bool] = []
        self.section_of: list[int] = []
        self.end_sections: list[tuple[int, int]] = []
        self.parts: list[Part] = []
        self.joints: list[SoftJoint] = []
        self.plates: list[Plate] = []
        self._sections: dict[tuple[Shape, tuple[str, str], Shape | None], int] = {}
        self._walls: list[Section] = []
        self._shapes: list[Shape] = []
        self._least: list[tuple[Shape, Section]] = []

    def node(self, point: Array, name: str) -> int:
        self.nodes.append(np.asarray(point, float))
        self.node_names.append(name)
        return len(self.nodes) - 1

    def section(self, shape: Shape, sides: tuple[str, str], least: Shape | None = None) -> int:
        """The number of a shape that strength judges by `least`, None: by itself."""
        key = (shape, sides, None if least == shape else least)
        if key not in self._sections:
            self._sections[key] = len(self._walls)
            self._walls.append(shape.section(sides))
            self._shapes.append(shape)
            self._least.append((shape, self._walls[-1]) if key[2] is None else (key[2], key[2].section(sides)))
        return self._sections[key]

    def chain(
        self,
        nodes: Sequence[int],
        true_points: Sequence[Array],
        along: Sequence[float],
        sections: Sequence[int],
        tapered: Sequence[bool] = (),
        end_sections: Sequence[tuple[int, int]] = (),
    ) -> int:
        """Members from point to point; returns the number of the first."""
        first = len(self.ends)
        for k in range(len(nodes) - 1):
            self.ends.append((nodes[k], nodes[k + 1]))
            self.arms.append((true_points[k] - self.nodes[nodes[k]], true_points[k + 1] - self.nodes[nodes[k + 1]]))
            self.along.append((along[k], along[k + 1]))
            self.section_of.append(sections[k])
            self.end_sections.append(end_sections[k] if end_sections else (sections[k], sections[k]))
            self.tapered.append(tapered[k] if tapered else False)
        return first

    def close_part(self, name: str, kind: PartKind, side: str, first: int) -> None:
        self.parts.append(Part(name, kind, side, first, len(self.ends)))

    def joint(
        self, member: int, end: int, joint: Joint, meeting: Meeting | None, warping: tuple[float, int] = (0.0, 0)
    ) -> None:
        self.joints.append(
            SoftJoint(member, end, joint.kind, joint.stiffness, joint.given, joint.warnings, meeting, *warping)
        )

    def plate(self, node: int, box: Shape, thickness: float) -> None:
        """A diaphragm at a node of the rails."""
        member = next(m for m, ends in enumerate(self.ends) if node in ends)
        self.plates.append(Plate(node, member, *plate_stiffness(box, thickness, self.material.shear_modulus)))

    def freeze(self, places: Mapping[str, tuple[int, Array]]) -> Mesh:
        """The mesh, with named places given by their node and true point."""
        nodes, ends, arms = np.array(self.nodes), np.array(self.ends, dtype=np.int64), np.array(self.arms)
        points = nodes[ends] + arms
        axes = member_axes(points[:, 0], points[:, 1])
        shaped = self._shaped(axes)
        lengths = np.linalg.norm(points[:, 1] - points[:, 0], axis=1)
        shapes, sections = tuple(self._shapes), tuple(self._walls)
        differs = any(least is not own for (_, least), own in zip(self._least, sections, strict=True))
        mesh = Mesh(
            nodes=nodes,
            node_names=tuple(self.node_names),
            ends=ends,
            arms=arms,
            axes=axes,
            lengths=lengths,
            sections=sections,
            shapes=shapes,
            least_sections=tuple(section for _, section in self._least) if differs else sections,
            least_shapes=tuple(shape for shape, _ in self._least) if differs else shapes,
            section_of=np.array(self.section_of, dtype=np.int64),
            end_sections=np.array(self.end_sections, dtype=np.int64),
            along=np.array(self.along),
            kind=shaped.kind,
            extras=shaped.extras,
            follow=shaped.follow(arms, self.joints),
            origin=shaped.origin,
            tapered=np.array(self.tapered),
            parts=tuple(self.parts),
            joints=tuple(self.joints),
            places={},
            material=self.material,
            plates=tuple(p for p in self.plates if shaped.extras[p.node] == RACKING),
            bridges=bridges_of(shaped, lengths, self.material),
        )
        return with_places(mesh, places)

    def _shaped(self, axes: Array) -> Shaped:
        of = self.section_of
        return Shaped(
            axes=axes,
            ends=np.array(self.ends, dtype=np.int64),
            shapes=[self._shapes[k] for k in of],
            sections=[self._walls[k] for k in of],
            rails=[range(p.first, p.last) for p in self.parts if p.kind == "rail"],
            others=[range(p.first, p.last) for p in self.parts if p.kind != "rail"],
            joints={(j.member, j.end) for j in self.joints},
            racks=self.racks,
            nodes=len(self.nodes),
        )
