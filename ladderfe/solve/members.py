"""Mesh -> frame: section properties become beams, joints become freedoms."""

from __future__ import annotations

import numpy as np

from ladderfe.elements import Beams
from ladderfe.mesh import Mesh
from ladderfe.sections import properties
from ladderfe.solve.frame import Frame, SoftEnd

__all__ = ["beams_of", "frame_of"]


def beams_of(mesh: Mesh) -> Beams:
    """Stiffness and offsets of every member of a mesh."""
    e, g = mesh.material.youngs_modulus, mesh.material.shear_modulus
    p = [properties(s) for s in mesh.sections]
    of = mesh.section_of
    bending = np.array([[[q.Izz, q.Iyz], [q.Iyz, q.Iyy]] for q in p])
    return Beams(
        length=mesh.lengths,
        EA=e * np.array([q.A for q in p])[of],
        GJ=g * np.array([q.J for q in p])[of],
        bending=e * bending[of],
        shear=np.array([q.shear for q in p])[of] / g,
        centroid=np.array([[q.yc, q.zc] for q in p])[of],
        shear_centre=np.array([[q.ys, q.zs] for q in p])[of],
    )


def frame_of(mesh: Mesh) -> Frame:
    """The frame of a mesh; joints that are not rigid become relative freedoms."""
    soft = tuple(
        SoftEnd(j.member, j.end, direction, float(k))
        for j in mesh.joints
        for direction, k in enumerate(j.stiffness)
        if np.isfinite(k)
    )
    return Frame(
        nodes=mesh.nodes,
        ends=mesh.ends,
        arms=mesh.arms,
        axes=mesh.axes,
        beams=beams_of(mesh),
        soft=soft,
        node_names=mesh.node_names,
        member_names=tuple(mesh.member_name(m) for m in range(len(mesh.ends))),
        end_names=("left", "right"),
    )
