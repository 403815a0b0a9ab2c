"""Pictures of a frame as PNG files, without a screen; and a window to turn the frame in, where there is one."""

from __future__ import annotations

import io
import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import numpy as np

from ladderfe.report.colours import Scale
from ladderfe.report.drawing import Layout, compose
from ladderfe.report.files import PNG, write_whole
from ladderfe.report.scene import Array, Scene
from ladderfe.report.view import edges, sides, triangles
from ladderfe.report.wash import Sheet, by_numpy, by_opengl

__all__ = ["PLAIN_NOTE", "PictureInfo", "draw", "draw_sheet"]

PLAIN_NOTE = (
    "Picture drawn without OpenGL. As root, apt-get install libegl1 libgl1-mesa-dri "
    "brings the quicker way for large frames"
)
#: Size of a scene among several, pixels.
PANEL = (1400, 500)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PictureInfo:
    """What was drawn: by which means, how large, between which values, and how to read it back.

    `note` is one line for the user ("" for none); `left_out` the labels for which there was no room.
    """

    path: Path
    renderer: Literal["pyvista", "plain"]
    size: tuple[int, int]
    lowest: float
    highest: float
    scale: Scale
    layout: Layout = field(repr=False)
    note: str = ""
    left_out: tuple[str, ...] = ()

    def project(self, points: Array) -> Array:
        """Pixels (k, 2), right and down from the upper left, of points (k, 3) in mm as they are drawn (magnified)."""
        pixels: Array = self.layout.view.project(points)[..., :2]
        return pixels


def draw(
    scene: Scene, path: str | os.PathLike[str], size: tuple[int, int] = (1400, 800), *, overwrite: bool = False
) -> PictureInfo:
    """Draw a scene into a PNG file.

    By pyvista where OpenGL works, otherwise (or where the environment says LADDERFE_PICTURES=plain) without it.

    Raises
    ------
    OutputError
        The file is there already and `overwrite` was not asked for, or cannot be written.
    """
    scale = Scale.of(scene)
    layout = Layout.of(scene, size)
    sheet = _sheet(scene, scale, layout)
    walls = None if os.environ.get("LADDERFE_PICTURES") == "plain" else by_opengl(sheet)
    note = PLAIN_NOTE if walls is None else ""
    png, left_out = compose(scene, scale, layout, by_numpy(sheet) if walls is None else walls)
    return PictureInfo(
        path=write_whole(path, png, overwrite, PNG), renderer="plain" if walls is None else "pyvista", size=size,
        lowest=scene.lowest, highest=scene.highest, scale=scale, layout=layout,
        note=note, left_out=left_out,
    )


def draw_sheet(
    scenes: Sequence[Scene], path: str | os.PathLike[str], size: tuple[int, int] = PANEL, *, overwrite: bool = False
) -> str:
    """Draw several scenes below each other, each of that size, into one PNG file; returns a note for the user or "".

    Raises OutputError as `draw`.
    """
    from matplotlib.image import imread, imsave

    panels, notes = [], []
    with tempfile.TemporaryDirectory(prefix="ladderfe-") as folder:
        for k, scene in enumerate(scenes):
            info = draw(scene, Path(folder, f"{k}.png"), size)
            panels.append(imread(info.path)[..., :3])
            notes.append(info.note)
    buffer = io.BytesIO()
    imsave(buffer, np.concatenate(panels), format="png", metadata={"Software": ""})
    write_whole(path, buffer.getvalue(), overwrite, PNG)
    return next((n for n in notes if n), "")


def _sheet(scene: Scene, scale: Scale, layout: Layout) -> Sheet:
    """The walls as they lie on the sheet."""
    corners = layout.view.project(scene.drawn)
    shapes, values = triangles(corners, scene.values)
    return Sheet(
        triangles=shapes, values=values, edges=sides(corners, edges(scene.quads, layout.view)), size=layout.size,
        table=scale.table, low=scale.low, high=scale.high,
    )
