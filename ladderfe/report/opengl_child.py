"""Run as a program of its own, so that an OpenGL library that crashes takes this process only.

    python opengl_child.py wash JOB.npz RESULT.npy      an image of flat triangles, off-screen
    python opengl_child.py window JOB.npz [IMAGE.png]   a window in which the frame can be turned; or its first sight

It knows nothing of the package: all it needs is in the job file (see wash.py and window.py).
"""

from __future__ import annotations

import sys
from typing import Any

import numpy as np


def _surface(points: Any, corners: int) -> Any:
    """Triangles or quads (n, corners, 3) as one mesh with corners of its own for each."""
    import pyvista

    n = len(points)
    faces = np.full((n, corners + 1), corners)
    faces[:, 1:] = np.arange(n * corners).reshape(n, corners)
    return pyvista.PolyData(points.reshape(-1, 3).copy(), faces=faces.ravel())


def _segments(ends: Any) -> Any:
    """Segments (k, 2, 3) as one mesh of lines."""
    import pyvista

    cells = np.full((len(ends), 3), 2)
    cells[:, 1:] = np.arange(2 * len(ends)).reshape(-1, 2)
    return pyvista.PolyData(ends.reshape(-1, 3).copy(), lines=cells.ravel())


def _add_walls(plotter: Any, job: Any, points: Any, bar: dict[str, Any] | None = None) -> None:
    """Walls (n, c, 3) coloured through the job's table; those without a value in grey; a legend if it is described."""
    import pyvista

    values, (low, high) = job["values"], job["limits"]
    known = ~np.isnan(values).any(axis=1)
    if known.any():
        mesh = _surface(points[known], points.shape[1])
        mesh.point_data["value"] = values[known].ravel()
        table = pyvista.LookupTable(scalar_range=(low, high))
        table.values = np.concatenate([job["table"], np.full((len(job["table"]), 1), 255, np.uint8)], axis=1)
        look = {"lighting": False, "interpolate_before_map": True, "show_scalar_bar": bar is not None}
        actor = plotter.add_mesh(mesh, scalars="value", cmap=table, scalar_bar_args=bar, **look)
        actor.mapper.resolve = "polygon_offset"  # edges lie on the walls and must be seen
    if not known.all():
        plotter.add_mesh(_surface(points[~known], points.shape[1]), color=tuple(job["grey"]), lighting=False)


def wash(job: Any, result: str) -> None:
    """Draw the job's triangles, given in pixels (right, down, nearness), and save the image (height, width, 4)."""
    import pyvista

    width, height = (int(v) for v in job["size"])
    upright = np.array([1.0, -1.0, 1.0])  # VTK counts upward
    points, ends = job["triangles"] * upright, job["edges"] * upright
    plotter = pyvista.Plotter(off_screen=True, window_size=(width, height), lighting="none")
    plotter.disable_anti_aliasing()
    _add_walls(plotter, job, points)
    if len(ends):
        plotter.add_mesh(_segments(ends), color=tuple(job["edge"]), line_width=float(job["line"]), lighting=False)
    near, far = points[..., 2].max() + 10.0, points[..., 2].min() - 10.0
    middle = (width / 2, -height / 2)
    plotter.camera.parallel_projection = True
    plotter.camera.parallel_scale = height / 2
    plotter.camera.position, plotter.camera.focal_point, plotter.camera.up = (*middle, near), (*middle, far), (0, 1, 0)
    plotter.camera.clipping_range = (1.0, near - far + 1.0)
    image = plotter.screenshot(None, transparent_background=True, return_img=True)
    np.save(result, np.asarray(image, dtype=np.uint8))
    plotter.close()


def window(job: Any, image: str | None = None) -> None:
    """Show the frame in a window until it is closed; or save what the window would show first."""
    import pyvista

    ink, soft, heading = str(job["ink"]), str(job["soft"]), str(job["heading"])
    plotter = pyvista.Plotter(
        off_screen=image is not None, window_size=(1400, 800), title=heading.splitlines()[0], lighting="none"
    )
    plotter.set_background(str(job["paper"]))
    bar = {
        "title": str(job["legend"]) + "\n", "vertical": True, "position_x": 0.89, "position_y": 0.2, "height": 0.6,
        "width": 0.035, "n_labels": int(job["labels"]), "fmt": "{:.4g}", "color": ink, "title_font_size": 14,
        "label_font_size": 14,
    }
    _add_walls(plotter, job, job["triangles"], bar)
    for name, colour, width in (("edges", "edge", 1.5), ("rest", "faint", 1.0), ("arrows", "accent", 2.0)):
        if len(job[name]):
            plotter.add_mesh(_segments(job[name]), color=tuple(job[colour]), line_width=width, lighting=False)
    if len(job["heads"]):
        plotter.add_mesh(_surface(job["heads"], 3), color=tuple(job["accent"]), lighting=False)
    for points, words, colour in (("marks", "mark_words", soft), ("notes", "note_words", ink)):
        if len(job[points]):
            plotter.add_point_labels(
                job[points].copy(), list(job[words]), text_color=colour, font_size=12, shape=None, show_points=False,
                always_visible=True,
            )
    plotter.add_text(heading, position=(0.015, 0.86), viewport=True, font_size=9, color=ink)
    plotter.enable_parallel_projection()
    plotter.camera_position = [tuple(row) for row in job["camera"]]
    plotter.reset_camera()
    plotter.camera.zoom(1.15)
    if image is None:
        plotter.show()
    else:
        plotter.screenshot(image)


def main(arguments: list[str]) -> int:
    """Do the job that the arguments name."""
    kind, path, *rest = arguments
    with np.load(path) as job:
        if kind == "wash":
            wash(job, *rest)
        else:
            window(job, *rest)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
