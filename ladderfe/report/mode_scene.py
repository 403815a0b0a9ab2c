"""A mode as a scene: the real walls of the frame, moved by it, coloured by how far they move."""

from __future__ import annotations

import numpy as np

from ladderfe.checks.mode_kinds import Mode
from ladderfe.checks.vibration import FIRSTS, State, VibrationFindings
from ladderfe.report.frame_walls import moved_corners, strips_between
from ladderfe.report.scene import Name, Scene

__all__ = ["hertz", "listed", "mode_scene", "sheet_modes"]

#: How far a mode is drawn to move, as a part of the frame's length.
DRAWN = 0.04
#: The states as a picture's title names them.
TITLES = {"bare": "bare frame, free", "laden": "laden frame, free", "on springs": "laden frame on its springs"}
#: Modes of a sheet: as many as the three firsts, filled up with the lowest.
PANELS = 3


def sheet_modes(state: State) -> list[int]:
    """Numbers of the modes that a sheet shows: first twist, first vertical and first lateral bending, or of those that
    share one the mode with most of it; where they are not among the modes looked at the lowest others."""
    found = list(dict.fromkeys(k for name in FIRSTS for k in _shows(state, name)))
    return found + [k for k in range(len(state.modes)) if k not in found][: max(0, PANELS - len(found))]


def _shows(state: State, name: str) -> list[int]:
    number, kind = state.first(name), name.removeprefix("first ")
    if number is None:
        number = max(state.sharing(name), key=lambda k: state.modes[k].shares[kind], default=None)
    return [] if number is None else [number]


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
        title=f"{mode.called[0].upper()}{mode.called[1:]}: {hertz(mode.frequency)} Hz",
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


def listed(mode: Mode) -> str:
    """A mode in a list: "first twist (with lozenge) 12.4 Hz"."""
    beside = f" (with {mode.beside})" if mode.beside else ""
    return f"{mode.name}{beside} {hertz(mode.frequency)} Hz"


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
