"""Collects nodes, members and joints, then freezes them into a mesh."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Joint, Material
from ladderfe.mesh.types import Mesh, Part, PartKind, Place, SoftJoint
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

    def __init__(self, material: Material) -> None:
        self.material = material
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
        self._sections: dict[tuple[Shape, tuple[str, str]], int] = {}
        self._walls: list[Section] = []

    def node(self, point: Array, name: str) -> int:
        self.nodes.append(np.asarray(point, float))
        self.node_names.append(name)
        return len(self.nodes) - 1

    def section(self, shape: Shape, sides: tuple[str, str]) -> int:
        key = (shape, sides)
        if key not in self._sections:
            self._sections[key] = len(self._walls)
            self._walls.append(shape.section(sides))
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

    def joint(self, member: int, end: int, joint: Joint) -> None:
        self.joints.append(SoftJoint(member, end, joint.kind, joint.stiffness, joint.given, joint.warnings))

    def freeze(self, places: Mapping[str, Place]) -> Mesh:
        nodes, ends, arms = np.array(self.nodes), np.array(self.ends, dtype=np.int64), np.array(self.arms)
        points = nodes[ends] + arms
        return Mesh(
            nodes=nodes,
            node_names=tuple(self.node_names),
            ends=ends,
            arms=arms,
            axes=member_axes(points[:, 0], points[:, 1]),
            lengths=np.linalg.norm(points[:, 1] - points[:, 0], axis=1),
            sections=tuple(self._walls),
            section_of=np.array(self.section_of, dtype=np.int64),
            end_sections=np.array(self.end_sections, dtype=np.int64),
            along=np.array(self.along),
            tapered=np.array(self.tapered),
            parts=tuple(self.parts),
            joints=tuple(self.joints),
            places=dict(places),
            material=self.material,
        )
