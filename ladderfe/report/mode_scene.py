"""A mode as a scene: the real walls of the frame, moved by it, coloured by how far they move."""

from __future__ import annotations

import numpy as np

from ladderfe.checks.vibration import FIRSTS, State, VibrationFindings
from ladderfe.report.frame_walls import moved_corners, strips_between
from ladderfe.report.scene import Name, Scene

__all__ = ["mode_scene", "sheet_modes"]

#: How far a mode is drawn to move, as a part of the frame's length.
DRAWN = 0.04
#: The states as a picture's title names them.
TITLES = {"bare": "bare frame, free", "laden": "laden frame, free", "on springs": "laden frame on its springs"}
#: Modes of a sheet: as many as the three firsts, filled up with the lowest.
PANELS = 3


def sheet_modes(state: State) -> list[int]:
    """Numbers of the modes that a sheet shows: first twist, first vertical and first lateral bending where they are
    among the modes looked at, else the lowest others."""
    found = [k for name in FIRSTS if (k := state.first(name)) is not None]
    return found + [k for k in range(len(state.modes)) if k not in found][: max(0, PANELS - len(found))]


def mode_scene(v: VibrationFindings, state: State, number: int) -> Scene:
    """One of the modes looked at, drawn so large that it can be seen."""
    mesh, frame, mode = v.solution.mesh, v.solution.frame, state.modes[number]
    member = np.repeat(np.arange(len(mesh.ends)), 2)
    x = np.stack([np.zeros(len(mesh.ends)), mesh.lengths], axis=1).ravel()
    strips = strips_between(mesh, member, x)
    shape = state.found.shapes[:, state.skip + number, None]
    move = moved_corners(mesh, frame, strips, (member, x), shape)[..., 0]
    size = np.linalg.norm(move, axis=-1)
    greatest = float(size.max())
    length = float(np.ptp(mesh.nodes[:, 0]))
    return Scene(
        title=f"{mode.name[0].upper()}{mode.name[1:]}: {hertz(mode.frequency)} Hz",
        case=f"{v.chassis.title}, {TITLES[state.name]}",
        value="movement, part of the greatest",
        unit="",
        kind="size",
        quads=strips.corners,
        displacements=move / greatest,
        values=size / greatest,
        parts=tuple(mesh.parts[k].name for k in mesh.part_of()[strips.member]),
        walls=strips.walls,
        along=mesh.along.ravel()[strips.rows],
        crosswise=frozenset(p.name for p in mesh.parts if p.kind != "rail"),
        magnification=DRAWN * length,
        names=_sides(v),
        note="size of the movement arbitrary; thin lines: at rest",
    )


def hertz(frequency: float) -> str:
    """Three figures, as far as they are proven."""
    if frequency <= 0:
        return "0.00"
    rounded = float(f"{frequency:.3g}")
    return f"{frequency:.{max(0, 2 - int(np.floor(np.log10(rounded))))}f}"


def _sides(v: VibrationFindings) -> tuple[Name, ...]:
    """The rails by their sides."""
    mesh = v.solution.mesh
    ends = mesh.end_points()
    out = []
    for part in mesh.parts:
        if part.kind == "rail":
            x, y, z = (float(c) for c in ends[part.first, 0])
            out.append(Name((x, y, z), part.name.upper(), "side"))
    return tuple(out)
