"""An invented ladder frame as plain walls: two box rails with a kick-up over the rear axle, four crossmembers.

Displacements and stresses are smooth made-up functions, no solution: what is tested here is how they are drawn.
"""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from ladderfe.report.scene import Load, Scene, Support

LENGTH, HALF = 4000.0, 380.0
DEPTH, WIDTH = 150.0, 75.0
CROSSMEMBERS = [(150.0, 100.0), (1200.0, 80.0), (2300.0, 80.0), (3900.0, 100.0)]


def _height(x):
    """Height of the rails' middle: a kick-up of 180 mm between stations 2700 and 3300."""
    return 600.0 + 180.0 * np.clip((x - 2700.0) / 300.0, 0, 1) - 120.0 * np.clip((x - 3450.0) / 300.0, 0, 1)


def _box_walls(ends, depth, width):
    """Four quads of a box from end to end; ends (2, 3), the width lies across the member in the level plane."""
    along = ends[1] - ends[0]
    across = np.array([-along[1], along[0], 0.0])
    across *= width / 2 / np.linalg.norm(across)
    up = np.array([0, 0, depth / 2])
    ring = [up - across, up + across, -up + across, -up - across]
    return [np.array([ends[0] + a, ends[1] + a, ends[1] + b, ends[0] + b])
            for a, b in zip(ring, ring[1:] + ring[:1], strict=True)]


def _move(points):
    """Made-up displacements (mm): sagging between the axles, rear end down, a little twist."""
    x, y = points[..., 0], points[..., 1]
    sag = -3.0 * np.sin(np.pi * (x - 700) / 2500) * ((x > 700) & (x < 3200))
    sag -= 1.5 * np.clip((x - 3200) / 800, 0, 1) ** 1.5
    twist = 1.2 * y / HALF * x / LENGTH
    return np.stack([0.05 * y / HALF, 0.1 * np.sin(x / 900), sag + twist], axis=-1)


def _stress(points):
    """Made-up signed stress (N/mm2), tension below where the frame sags."""
    x, y, z = points[..., 0], points[..., 1], points[..., 2]
    return -92.0 * np.cos(np.pi * (x - 2000) / 2300) * (z - _height(x)) / (DEPTH / 2) * (1 + 0.08 * y / HALF)


@pytest.fixture(scope="session")
def ladder() -> Scene:
    """Signed stress of the invented ladder frame, laden."""
    quads, parts, walls = [], [], []
    stations = np.unique(np.r_[np.linspace(0, LENGTH, 41), 2700, 3000, 3450, 3750])
    names = ["top", "plus", "bottom", "minus"]
    for side, sign in (("left rail", -1), ("right rail", 1)):
        for a, b in pairwise(stations):
            ends = np.array([(x, sign * HALF, _height(x)) for x in (a, b)])
            quads += _box_walls(ends, DEPTH, WIDTH)
            parts += [side] * 4
            walls += names
    inner = HALF - WIDTH / 2
    for number, (x, depth) in enumerate(CROSSMEMBERS, start=1):
        cuts = np.linspace(-inner, inner, 9)
        for a, b in pairwise(cuts):
            quads += _box_walls(np.array([(x, a, _height(x)), (x, b, _height(x))]), depth, 60.0)
            parts += [f"crossmember {number}"] * 4
            walls += names
    corners = np.array(quads)
    down = np.array([0, 0, -1.0])
    lines = [
        Load(
            points=np.array([(x, sign * HALF, _height(x) + DEPTH / 2) for x in np.linspace(a, b, 60)]),
            vectors=np.tile(w * down, (60, 1)), label=f"{w:.2f} N/mm" if sign > 0 else "",
        )
        for sign in (-1, 1) for a, b, w in ((0.0, 2000.0, 2.51), (2000.0, LENGTH, 3.26))
    ]
    engine = [Load(points=np.array([(900.0, y, 675.0)]), vectors=1962.0 * down[None], label="engine 1.96 kN")
              for y in (-HALF, HALF)]
    springs = tuple(
        Support((x, y, _height(x) - DEPTH / 2), f"{name} spring, {side} {kn:.2f} kN")
        for x, name, kn in ((700.0, "front", 5.21), (3240.0, "rear", 6.78))
        for side, y in (("left", -HALF), ("right", HALF))
    )
    return Scene(
        title="Short 4x4, box rails", case="static laden", value="normal stress", unit="N/mm2", kind="signed",
        quads=corners, displacements=_move(corners), values=_stress(corners), parts=tuple(parts), walls=tuple(walls),
        magnification=40.0, stations=tuple(np.arange(0, LENGTH + 1, 500.0)), supports=springs, loads=(*lines, *engine),
    )


@pytest.fixture(scope="session")
def magnitude(ladder) -> Scene:
    """The same frame with the size of its stress."""
    return replace(ladder, value="von Mises stress", kind="size", values=np.abs(ladder.values) + 4.0)


@pytest.fixture(scope="session")
def utilisation(ladder) -> Scene:
    """The same frame with a utilisation that exceeds 100 % in two parts."""
    values = np.abs(ladder.values) / 88.0
    return replace(ladder, value="utilisation", unit="", kind="utilisation", case="amplified, factor 2", values=values)
