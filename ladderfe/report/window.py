"""A window in which the frame can be turned and looked at from all sides, where there is a display."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.report.colours import ACCENT, EDGE, FAINT, GREY, INK, PAPER, SOFT, Scale, rgb
from ladderfe.report.scene import Array, Scene
from ladderfe.report.view import AZIMUTH, ELEVATION, edges, sides, spread, triangles
from ladderfe.report.zeros import PICTURE_ZERO

__all__ = ["WindowError", "show"]

REACH = 0.06  # length of the longest arrow of forces, as a share of the frame's length; line loads: 0.4 of that


class WindowError(ModelError):
    """A window cannot be opened here."""


def show(scene: Scene) -> None:
    """Show a scene in a window and come back when it is closed.

    The window belongs to a child process: an OpenGL library that crashes does not take the caller with it.

    Raises
    ------
    WindowError
        There is no display, or OpenGL does not work on it.
    """
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        raise WindowError("window", "there is no display", "Write a PNG file instead")
    with tempfile.TemporaryDirectory(prefix="ladderfe-") as folder:
        job = Path(folder, "job.npz")
        np.savez(job, **window_job(scene))
        command = [sys.executable, "-P", str(Path(__file__).with_name("opengl_child.py")), "window", str(job)]
        done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True, check=False)
    if done.returncode != 0:
        last = (done.stderr.strip().splitlines() or [f"status {done.returncode}"])[-1]
        hint = "Write a PNG file instead, or try, as root, apt-get install libgl1 libgl1-mesa-dri libxrender1"
        raise WindowError("window", f"it could not be opened ({last})", hint)


def window_job(scene: Scene) -> dict[str, Any]:
    """All that the child needs, as arrays: geometry in mm as drawn, words, colours."""
    scale = Scale.of(scene)
    shapes, values = triangles(scene.drawn, scene.values)
    share, legend = scene.kind == "utilisation", f"{scene.value}, {scene.unit}"
    table, limits = scale.table, np.array([scale.low, scale.high])
    if share:
        values, limits, legend = 100 * values, 100 * limits, f"{scene.value}, %"
    elif scene.highest > scene.lowest:  # the legend ends at the extremes
        limits = np.array([scene.lowest, scene.highest])
        table = scale.colours(np.linspace(limits[0], limits[1], len(table)))
    extremes = f"lowest {scene.text(scene.lowest)}, greatest {scene.text(scene.highest)}"
    heading = f"{scene.title}\n{scene.case}: {scene.value}\n{extremes}\n"
    heading += f"deflection x {scene.magnification:g}, {PICTURE_ZERO}"
    side = edges(scene.quads)
    marks, (notes, words), (shafts, heads) = _marks(scene), _notes(scene), _arrows(scene)
    return {
        "triangles": shapes, "values": values, "table": table, "limits": limits, "legend": legend, "heading": heading,
        "labels": 9 if share else 5, "edges": sides(scene.drawn, side),
        "rest": sides(scene.quads, side), "arrows": shafts, "heads": heads,
        "marks": marks, "mark_words": np.array([f"{x:.0f}" for x in marks[:, 0]]),
        "notes": notes, "note_words": words, "camera": _camera(scene),
        "edge": rgb(EDGE), "grey": rgb(GREY), "faint": rgb(FAINT), "accent": rgb(ACCENT), "ink": INK, "soft": SOFT,
        "paper": PAPER,
    }


def _camera(scene: Scene) -> Array:
    """Eye, middle and upward direction (3, 3): the eye ahead, to the left and above, as in the pictures."""
    middle = scene.quads.reshape(-1, 3).mean(0)
    toward = np.array([-np.sin(AZIMUTH) * np.cos(ELEVATION), -np.cos(AZIMUTH) * np.cos(ELEVATION), np.sin(ELEVATION)])
    return np.stack([middle + 10 * _length(scene) * toward, middle, np.array([0.0, 0.0, 1.0])])


def _length(scene: Scene) -> float:
    return float(np.ptp(scene.quads[..., 0])) or 1.0


def _marks(scene: Scene) -> Array:
    """Places (k, 3) of the stations beside the frame."""
    low = scene.quads.reshape(-1, 3).min(0)
    aside = low[1] - 0.075 * _length(scene)
    return np.array([(x, aside, low[2]) for x in scene.stations]).reshape(-1, 3)


def _notes(scene: Scene) -> tuple[Array, Any]:
    """Places (k, 3) and words of supports, loads and names that have words."""
    notes = [(scene.carried(np.array([s.point]))[0], s.label) for s in scene.supports]
    notes += [(scene.carried(np.array([n.point]))[0], n.words) for n in scene.names]
    notes += [(scene.carried(load.points)[len(load.points) // 2], load.label) for load in scene.loads]
    notes = [n for n in notes if n[1]]
    return np.array([n[0] for n in notes]).reshape(-1, 3), np.array([n[1] for n in notes], dtype=str)


def _arrows(scene: Scene) -> tuple[Array, Array]:
    """Shafts (k, 2, 3) and heads (k, 3, 3; flat triangles) of all loads, forces and line loads each to their scale."""
    shafts, heads = [np.zeros((0, 2, 3))], [np.zeros((0, 3, 3))]
    for comb in (False, True):
        loads = [load for load in scene.loads if (len(load.points) > 1) == comb]
        longest = max((float(np.linalg.norm(load.vectors, axis=1).max()) for load in loads), default=0.0)
        if longest == 0:
            continue
        reach = REACH * _length(scene) * (0.4 if comb else 1.0)
        spacing = _length(scene) / 50
        drawn = [spread(scene.carried(x.points), x.vectors, spacing) if comb else (scene.carried(x.points), x.vectors)
                 for x in loads]
        tips = np.concatenate([points for points, _ in drawn])
        along = np.concatenate([vectors for _, vectors in drawn]) / longest * reach
        aside = np.cross(along, (np.cos(AZIMUTH), -np.sin(AZIMUTH), 0.0))
        aside = np.cross(aside, along)
        aside *= 0.08 * reach / np.maximum(np.linalg.norm(aside, axis=1), 1e-12)[:, None]
        base = tips - 0.25 * reach * along / np.maximum(np.linalg.norm(along, axis=1), 1e-12)[:, None]
        shafts.append(np.stack([tips - along, tips], axis=1))
        heads.append(np.stack([tips, base + aside, base - aside], axis=1))
    return np.concatenate(shafts), np.concatenate(heads)
