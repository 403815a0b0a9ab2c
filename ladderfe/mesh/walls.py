"""Sections that do not stay plane: which members warp or rack, and what that does to places on their walls.

A node of an open rail carries the warping rate f beside its six unknowns, one of a box rail racking g and warping f
(see the kernels in elements/).  Both are shared by the members that run on through the node; where a plain member
takes part (a tube, a solid bar) or the part is kinked by more than `SHARP`, the section is held in shape there.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.racking_walls import BoxWalls
from ladderfe.elements.transition import box_to_channel, channel_origin
from ladderfe.joints.meeting import Webs
from ladderfe.sections import Cell, Channel, Section, Shape, cell_of, open_channel, properties, sectorial

__all__ = [
    "OPEN", "PLAIN", "RACKING", "SHARP", "box_walls", "end_follow", "kind_of", "lies", "origin_beside", "own_follow",
    "place_follow", "pole_of", "warped", "web_from", "web_middle",
]  # fmt: skip

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Kinds of member: their number is that of the unknowns that a node carries beside the six.
PLAIN, OPEN, RACKING = 0, 1, 2
#: Warping and racking run on through kinks up to this angle, degrees (judgement, no source: at a right angle the
#: flanges of one leg are the web of the other and hold its shape).
SHARP = 30.0
#: A place this near to a wall's mid-line counts as on it when its slope is taken, mm.
STEP = 1.0


def kind_of(shape: Shape, section: Section, is_rail: bool, racks: bool) -> int:
    """Which kernel a member of this shape needs; box crossmembers stay plain (Bredt)."""
    if cell_of(shape):
        return RACKING if is_rail and racks else PLAIN
    return OPEN if properties(section).Iw > 0 else PLAIN


def pole_of(box: Shape) -> tuple[Array, Array]:
    """(2,) middle of a box's mid-lines from its reference line, and (2,) mid-line width and height, mm.

    Also of other shapes with one large cell; of what has none: the reference line, and no size.
    """
    cell = cell_of(box)
    return (np.zeros(2), np.zeros(2)) if cell is None else (np.array(cell.pole), np.array(cell.size))


def box_walls(cells: Sequence[Cell]) -> BoxWalls:
    """The walls of cells as the kernel of racking takes them."""
    width, height = np.array([c.size for c in cells], dtype=float).T
    each = ([c.membrane for c in cells], [c.bending for c in cells], [c.bare for c in cells])
    return BoxWalls(width, height, *(np.array(t, dtype=float) for t in each))


def lies(channel: Channel) -> bool:
    """True where a channel's web lies: it opens up or down."""
    return channel.opens[1] == "z"


def web_middle(channel: Channel) -> Array:
    """(2,) middle of the web's mid-line of a channel."""
    side = -1 if channel.opens[0] == "+" else 1
    if lies(channel):
        return np.array([(channel.top - channel.bottom) / 4, side * (channel.depth - channel.web) / 2])
    return np.array([side * (channel.width - channel.web) / 2, (channel.bottom - channel.top) / 4])


def web_from(channel: Channel, pole: Array) -> tuple[float, bool]:
    """The web's mid-line from a box's pole, across itself, mm, and whether it lies."""
    across = int(lies(channel))
    return float(web_middle(channel)[across] - pole[across]), bool(across)


def origin_beside(channel: Channel, section: Section, box: Shape) -> Array:
    """(3,) origin of the sectorial coordinates of a channel that runs on from a box."""
    pole, _ = pole_of(box)
    q, (web, lying) = properties(section), web_from(channel, pole)
    omega = sectorial(section, [pole + web * np.array([not lying, lying])])
    out: Array = channel_origin(np.array([[q.ys, q.zs]]), omega, pole[None], np.array([web]), lying)[0]
    return out


def own_follow(kind: int, extras: int, pole: Array, own_pole: Array, web: tuple[float, bool]) -> Array:
    """(8, 2) what a unit of the node's racking and warping unknowns does to the end of a member that runs on through
    it, member axes.

    At nodes that rack: `pole` is the node's, `own_pole` that of the member's box, or of the box from which an open
    member's sectorial coordinates count; web is an open member's web from `pole`, see `web_from`.  Where the poles
    differ the same movement of the walls is counted from another place.
    """
    out = np.zeros((8, 2))
    if kind == extras == OPEN:
        out[6, 0] = 1
    if kind == PLAIN or extras != RACKING:
        return out
    if kind == OPEN:
        out[:7] = box_to_channel(pole[None], np.array([web[0]]), web[1])[0, :, 6:]
    else:
        out[6, 0] = out[7, 1] = 1
        out[[2, 1], 0] = (own_pole - pole) / 2
    out[[0, 4, 5], 1] = pole.prod() - own_pole.prod(), own_pole[0] - pole[0], pole[1] - own_pole[1]
    return out


def place_follow(shape: Shape, section: Section, origin: Array, kind: int, place: Array) -> Array:
    """(k, 6) what a unit of each of a node's k unknowns beside the six does to a place (y, z) of its section, member
    axes.  A place beside the walls hangs rigidly on the nearest one and turns with it."""
    if kind == RACKING:
        return _on_box(*pole_of(shape), place)
    if kind == OPEN:
        return _on_open(section, origin, place)
    return np.zeros((0, 6))


def _on_box(pole: Array, size: Array, place: Array) -> Array:
    """Racking g, then warping f: u = f y z; upright walls turn by -g/2, lying ones by g/2."""
    y, z = place - pole
    y1, z1 = np.clip(place - pole, -size / 2, size / 2)
    beside = np.abs([y, z]) - size / 2  # how far beyond the webs' and the flanges' lines, negative inside
    upright = bool(beside[0] >= beside[1])
    turn = 0.0 if (beside < 0).all() else -0.5 if upright else 0.5
    racked = [0, z1 - z / 2, y1 - y / 2, turn, 0, 0]
    warped = [y1 * z1, 0, 0, 0, y1 if upright else 0.0, 0.0 if upright else -z1]
    return np.array([racked, warped])


def _on_open(section: Section, origin: Array, place: Array) -> Array:
    """Warping rate: u = -w f with the slope of w along the wall nearest to the place."""
    y, z = place
    near = np.array([[y, z], [y + STEP, z], [y - STEP, z], [y, z + STEP], [y, z - STEP]])
    w = sectorial(section, near) + origin[0] + near @ origin[1:]
    by_y, by_z = (w[1] - w[2]) / (2 * STEP), (w[3] - w[4]) / (2 * STEP)
    return np.array([[-w[0], 0, 0, 0, -by_z, by_y]])


def warped(shape: Shape, section: Section, origin: Array, kind: int, places: Array) -> Array:
    """(n, k, 3) movement of places (n, 2) on the walls per unit of each of the k unknowns beside the six, member axes;
    k is the kind's number."""
    out = np.zeros((len(places), kind, 3))
    if kind == RACKING:
        y, z = (places - pole_of(shape)[0]).T
        out[:, 0, 1], out[:, 0, 2], out[:, 1, 0] = z / 2, y / 2, y * z
    elif kind == OPEN:
        out[:, 0, 0] = -sectorial(section, places) - origin[0] - places @ origin[1:]
    return out


def end_follow(
    shape: Shape, section: Section, origin: Array, kind: int, place: Array, webs: Webs
) -> Array:  # fmt: skip
    """(k, 6) the same for the end of a crossmember that the part `webs` of a rail's section carries."""
    if kind == RACKING:
        if webs == "section":
            return np.zeros((2, 6))
        pole, size = pole_of(shape)
        y, z = place - pole
        if abs(z) > size[1] / 2:  # above or below the rail it lies on a flange
            return _on_box(pole, size, place)
        web = np.sign(y) * size[0] / 2
        if webs == "both":
            return np.array([[0, z / 2, y / 2, 0.5, 0, 0], [0.0] * 6])
        return np.array([[0, z / 2, web - y / 2, -0.5, 0, 0], [web * z, 0, 0, 0, web, 0]])
    channel = open_channel(shape)
    if kind == OPEN and webs == "flanges" and channel:
        return _between_flanges(channel, section, origin, place)
    return place_follow(shape, section, origin, kind, place)


def _between_flanges(channel: Channel, section: Section, origin: Array, place: Array) -> Array:
    """Warping rate: the end moves along with the mean of both flanges there and turns about y with their difference."""
    top, bottom = (channel.depth - channel.top) / 2, (channel.bottom - channel.depth) / 2
    both = np.array([[place[0], top], [place[0], bottom]])
    w = sectorial(section, both) + origin[0] + both @ origin[1:]
    slope = (w[0] - w[1]) / (top - bottom)
    return np.array([[-(w[0] + slope * (place[1] - top)), 0, 0, 0, -slope, 0]])
