"""The walls of a section as polygons of a sheet, thicker than they are where that is said."""

from __future__ import annotations

from math import hypot

from ladderfe.sections import Section, Shape, Tube, Wall

__all__ = ["ring_path", "wall_middles", "wall_polygons"]

Points = list[tuple[float, float]]


def wall_polygons(section: Section, thicker: float, names: frozenset[str] | None = None) -> list[Points]:
    """Corners (y, z) of every plate, or of those named; outer faces stay, inner ones move in as walls are drawn
    `thicker` times as thick as they are."""
    out = []
    for wall in section.walls:
        if wall.true_length > 0 and (names is None or wall.name in names):
            out.append(_plate(wall, thicker))
    return out


def _plate(wall: Wall, thicker: float) -> Points:
    (ys, zs), (ye, ze) = wall.start, wall.end
    y, z = (ye - ys) / wall.length, (ze - zs) / wall.length
    outward = _outward(wall)
    half = wall.thickness / 2
    out, inward = (half, half * (2 * thicker - 1)) if outward else (half * thicker, half * thicker)
    ny, nz = (-z * outward, y * outward) if outward else (-z, y)
    a = ys - wall.grow_start * y, zs - wall.grow_start * z
    b = ye + wall.grow_end * y, ze + wall.grow_end * z
    return [
        (a[0] + out * ny, a[1] + out * nz), (b[0] + out * ny, b[1] + out * nz),
        (b[0] - inward * ny, b[1] - inward * nz), (a[0] - inward * ny, a[1] - inward * nz),
    ]  # fmt: skip


def _outward(wall: Wall) -> int:
    """1 where the outer face lies to the left of start -> end, -1 to the right, 0 where the wall goes through the
    middle of the outline."""
    (ys, zs), (ye, ze) = wall.start, wall.end
    side = ys * ze - zs * ye  # positive: the middle lies to the left, so the outer face is on the right
    small = 1e-9 * wall.length * (hypot(ys, zs) + hypot(ye, ze) + 1)
    return 0 if abs(side) <= small else (-1 if side > 0 else 1)


def wall_middles(section: Section) -> list[tuple[str, float, tuple[float, float], tuple[float, float]]]:
    """Of every wall by name: its thickness, the middle of the outer face of its longest straight plate, and the
    direction outward; where all plates are curved, of the one in the middle."""
    out = []
    for name in dict.fromkeys(w.name for w in section.walls):
        own = section.named(name)
        straight = [w for w in own if not w.bulge and w.true_length > 0]
        wall = max(straight, key=lambda w: w.length) if straight else own[len(own) // 2]
        (ys, zs), (ye, ze) = wall.start, wall.end
        y, z = (ye - ys) / wall.length, (ze - zs) / wall.length
        outward = _outward(wall) or 1
        away = -z * outward, y * outward
        middle = (ys + ye) / 2 + wall.thickness / 2 * away[0], (zs + ze) / 2 + wall.thickness / 2 * away[1]
        out.append((name, wall.thickness, middle, away))
    return out


def ring_path(shape: Shape, at: tuple[float, float], scale: float, thicker: float) -> str | None:
    """The path of a tube's ring about a place of the sheet; None for other shapes."""
    if not isinstance(shape, Tube):
        return None
    path, (x, y) = "", at
    for radius in (shape.diameter / 2, max(shape.diameter / 2 - thicker * shape.wall, 0.0)):
        r = f"{radius * scale:.2f}"
        left, right = f"{x - radius * scale:.2f},{y:.2f}", f"{x + radius * scale:.2f},{y:.2f}"
        path += f"M{left}A{r},{r} 0 1 0 {right}A{r},{r} 0 1 0 {left}Z"
    return path
