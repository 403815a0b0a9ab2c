"""The walls of a frame as a transparent image: what is in front hides what is behind.

Two ways to the same image: by OpenGL in a child process (a machine without OpenGL ends that process, not ours), or
here, triangle by triangle, in numpy.  Both are given the sheet's pixels and a table of colours; walls are not shaded,
so that a colour can be read back; their edges are drawn instead.  Drawn twice as large and reduced, for smooth edges.
"""

from __future__ import annotations

import ctypes
import os
import subprocess
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from ladderfe.report.colours import EDGE, GREY, Bytes, rgb
from ladderfe.report.scene import Array

__all__ = ["Sheet", "by_numpy", "by_opengl"]

FINER = 2  # drawn so many times larger
LIFT = 1.5  # edges are drawn so many pixels nearer than the walls they belong to
LINE = 2  # width of an edge, in finer pixels
PATIENCE = 120.0  # seconds that the child may take
WINDOWS = (("libEGL.so.1", "vtkEGLRenderWindow"), ("libOSMesa.so.8", "vtkOSOpenGLRenderWindow"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sheet:
    """What is washed: triangles (m, 3, 3) and edges (k, 2, 3) in pixels (right, down, nearness), values (m, 3), size,
    and the table of colours (c, 3) spread from low to high."""

    triangles: Array
    values: Array
    edges: Array
    size: tuple[int, int]
    table: Bytes
    low: float
    high: float


def by_opengl(sheet: Sheet) -> Bytes | None:
    """Image (height, width, 4), drawn by a child process; None where this machine has no OpenGL that works."""
    own = os.environ.get("VTK_DEFAULT_OPENGL_WINDOW")
    for window in [own] if own else [w for library, w in WINDOWS if _loads(library)]:
        image = _in_child(sheet, window)
        if image is not None:
            return _reduced(image)
    return None


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def _in_child(sheet: Sheet, window: str) -> Bytes | None:
    """Draw in a child with that kind of window; None where it ends badly or leaves an empty image."""
    with tempfile.TemporaryDirectory(prefix="ladderfe-") as folder:
        job, result = Path(folder, "job.npz"), Path(folder, "result.npy")
        np.savez(
            job, triangles=sheet.triangles * FINER, values=sheet.values, edges=_lifted(sheet), table=sheet.table,
            limits=(sheet.low, sheet.high), size=np.array(sheet.size) * FINER, line=LINE, edge=rgb(EDGE),
            grey=rgb(GREY),
        )
        child = Path(__file__).with_name("opengl_child.py")
        command = [sys.executable, "-P", str(child), "wash", str(job), str(result)]
        try:
            done = subprocess.run(
                command, env={**os.environ, "VTK_DEFAULT_OPENGL_WINDOW": window}, stdin=subprocess.DEVNULL,
                capture_output=True, timeout=PATIENCE, check=False,
            )
        except subprocess.TimeoutExpired:
            return None
        if done.returncode != 0 or not result.exists():
            return None
        image: Bytes = np.load(result)
    return image if image[..., 3].any() else None


def _lifted(sheet: Sheet) -> Array:
    lifted: Array = (sheet.edges + np.array([0.0, 0.0, LIFT])) * FINER
    return lifted


def _reduced(image: Bytes) -> Bytes:
    """Mean over FINER x FINER pixels, colours weighted by how much they cover."""
    parts = [image[i::FINER, j::FINER].astype(np.float32) for i in range(FINER) for j in range(FINER)]
    cover = sum(part[..., 3:] for part in parts)
    colour = sum(part[..., :3] * part[..., 3:] for part in parts) / np.maximum(cover, 1)
    return np.concatenate([colour, cover / len(parts)], axis=-1).round().astype(np.uint8)


def by_numpy(sheet: Sheet) -> Bytes:
    """Image (height, width, 4) by a depth buffer in numpy: slower than OpenGL on large frames, needs nothing."""
    width, height = (FINER * s for s in sheet.size)
    depth = np.full((height, width), -np.inf)
    value = np.zeros((height, width))
    for corners, values in zip(sheet.triangles * FINER, sheet.values, strict=True):
        _fill(depth, value, corners, values)
    covered = np.isfinite(depth)
    place = (np.nan_to_num(value, nan=sheet.low) - sheet.low) / (sheet.high - sheet.low)
    index = np.clip(np.floor(place * len(sheet.table)), 0, len(sheet.table) - 1).astype(int)
    image = np.zeros((height, width, 4), dtype=np.uint8)
    image[..., :3] = np.where(np.isnan(value)[..., None], np.array(rgb(GREY), dtype=np.uint8), sheet.table[index])
    image[..., 3] = np.where(covered, 255, 0)
    for ends in _lifted(sheet):
        _rule(image, depth, ends)
    return _reduced(image)


def _fill(depth: Array, value: Array, corners: Array, values: Array) -> None:
    """Enter one triangle (3, 3) in the buffers where it is nearer than what is there (by barycentric coordinates)."""
    x0, y0 = np.maximum(np.floor(corners[:, :2].min(0)).astype(int), 0)
    x1, y1 = np.minimum(np.ceil(corners[:, :2].max(0)).astype(int), np.array(depth.shape)[::-1])
    (ax, ay, _), (bx, by, _), (cx, cy, _) = corners
    twice_area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    if x0 >= x1 or y0 >= y1 or abs(twice_area) < 1e-9:
        return
    x, y = np.arange(x0, x1) + 0.5, (np.arange(y0, y1) + 0.5)[:, None]
    b = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) / twice_area
    c = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) / twice_area
    a = 1 - b - c
    near = a * corners[0, 2] + b * corners[1, 2] + c * corners[2, 2]
    behind, there = depth[y0:y1, x0:x1], value[y0:y1, x0:x1]
    wins = (np.minimum(np.minimum(a, b), c) >= -1e-9) & (near > behind)
    behind[wins] = near[wins]
    there[wins] = (a * values[0] + b * values[1] + c * values[2])[wins]


def _rule(image: Bytes, depth: Array, ends: Array) -> None:
    """Draw one edge (2, 3) where nothing nearer hides it."""
    steps = int(2 * np.abs(ends[1, :2] - ends[0, :2]).max()) + 2
    points = ends[0] + np.linspace(0, 1, steps)[:, None] * (ends[1] - ends[0])
    at, near = np.floor(points[:, :2] - LINE / 2 + 0.5).astype(int), points[:, 2]
    for right in range(LINE):
        for down in range(LINE):
            x, y = at[:, 0] + right, at[:, 1] + down
            on_sheet = (x >= 0) & (y >= 0) & (x < depth.shape[1]) & (y < depth.shape[0])
            x, y, z = x[on_sheet], y[on_sheet], near[on_sheet]
            seen = z >= depth[y, x]
            image[y[seen], x[seen]] = (*rgb(EDGE), 255)
