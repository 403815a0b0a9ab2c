"""`walls` for many states at once: what racking and warping of a node do to ends and places on walls of any thickness.

States come first in all arrays; places and poles are (v, 2), y and z in member axes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.elements.transition import box_to_channel, channel_origin
from ladderfe.joints.meeting import Webs
from ladderfe.mesh.walls import OPEN, PLAIN, RACKING, STEP, lies
from ladderfe.sections import Box, Channel, Shape
from ladderfe.sections.alike import WALLS
from ladderfe.sections.flow import Flows

__all__ = ["Boxes", "Walls", "box_follows", "end_follows", "own_follows", "place_follows"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Walls:
    """One section in v states.

    shape: its kind and outline; thickness: (v,) by the shape's names; flows: shear flows with the states first, and
    which of them are these; shear_centre (v, 2).
    """

    shape: Shape
    thickness: dict[str, Array]
    flows: Flows
    which: NDArray[np.int64]
    shear_centre: Array

    @property
    def pole(self) -> Array:
        """(v, 2) as `walls.pole_of`."""
        t = self.thickness
        return np.stack([(t["minus"] - t["plus"]) / 4, (t["bottom"] - t["top"]) / 4], axis=1)

    @property
    def size(self) -> Array:
        """(v, 2) mid-line width and height of a box."""
        t, s = self.thickness, self.shape
        return np.stack([s.width - (t["minus"] + t["plus"]) / 2, s.depth - (t["top"] + t["bottom"]) / 2], axis=1)

    @property
    def web_middle(self) -> Array:
        """(v, 2) as `walls.web_middle`."""
        t, s = self.thickness, self.shape
        side = -1 if isinstance(s, Channel) and s.opens[0] == "+" else 1
        if self.lies:
            return np.stack([(t["top"] - t["bottom"]) / 4, side * (s.depth - t["web"]) / 2], axis=1)
        return np.stack([side * (s.width - t["web"]) / 2, (t["bottom"] - t["top"]) / 4], axis=1)

    @property
    def lies(self) -> bool:
        """True for channels whose web lies."""
        return isinstance(self.shape, Channel) and lies(self.shape)

    def web_from(self, pole: Array) -> tuple[Array, bool]:
        """(v,) as `walls.web_from`."""
        across = int(self.lies)
        return self.web_middle[:, across] - pole[:, across], self.lies

    def sectorial(self, places: Array) -> Array:
        """(v, k) as `sections.sectorial` at places (v, k, 2)."""
        lines, own = self.flows.lines, self.which
        solid = lines.metal[own[0]] > 0
        ends, along, length = lines.ends[own][:, solid], lines.along[own][:, solid], lines.length[own][:, solid]
        omega = self.flows.omega[own][:, solid]
        arm = places[:, :, None] - ends[:, None, :, 0]
        share = np.clip((arm * along[:, None]).sum(axis=3) / length[:, None], 0, 1)
        off = np.linalg.norm(arm - (share * length[:, None])[..., None] * along[:, None], axis=3)
        v, k = np.ogrid[: len(own), : places.shape[1]]
        near = off.argmin(axis=2)
        at = share[v, k, near]
        out: Array = omega[v, near, 0] + at * (omega[v, near, 1] - omega[v, near, 0])
        return out

    def origin(self, beside: Walls | None) -> Array:
        """(v, 3) origin of the sectorial coordinates of an open member whose neighbours have other sections; beside:
        the box from whose pole it counts."""
        if beside is not None:
            web, lying = self.web_from(beside.pole)
            place = beside.pole + web[:, None] * np.array([not lying, lying])
            return channel_origin(self.shear_centre, self.sectorial(place[:, None])[:, 0], beside.pole, web, lying)
        s = self.shape
        if isinstance(s, Channel):
            place = self.web_middle * ((0, 1) if self.lies else (1, 0))
        else:
            place = self.flows.lines.ends[self.which, 0].mean(axis=1)
        omega = self.sectorial(place[:, None])[:, 0]
        ys, zs = self.shear_centre.T
        return np.stack([-(omega + ys * place[:, 1] - zs * place[:, 0]), -zs, ys], axis=1)


@dataclass(frozen=True, eq=False)
class Boxes:
    """n boxes among the sections of a mesh.

    number (n,): theirs there; outline (n, 2) width and depth, mm; stretch (n, 4) that gives the thickness of the minus,
    plus, top and bottom walls, -1 where none does; fixed (n, 4) the thickness of those.
    """

    number: IntArray
    outline: Array
    stretch: IntArray
    fixed: Array

    @staticmethod
    def of(number: list[int], boxes: list[Box], stretch: list[dict[str, int]]) -> Boxes:
        """Boxes, and the stretches by the names of their walls."""
        names = WALLS[Box]
        outline = np.array([(b.width, b.depth) for b in boxes], dtype=float).reshape(-1, 2)
        own = np.array([[s.get(n, -1) for n in names] for s in stretch], dtype=np.int64).reshape(-1, 4)
        fixed = np.array([[getattr(b, n) for n in names] for b in boxes], dtype=float).reshape(-1, 4)
        return Boxes(np.array(number, dtype=np.int64), outline, own, fixed)

    def thickness(self, states: Array) -> Array:
        """(v, n, 4) thickness of the walls in states (v, k) of the stretches."""
        return np.where(self.stretch >= 0, states[:, self.stretch], self.fixed)

    def poles(self, states: Array) -> Array:
        """(v, n, 2) as `Walls.pole`."""
        minus, plus, top, bottom = self.thickness(states).transpose(2, 0, 1)
        return np.stack([(minus - plus) / 4, (bottom - top) / 4], axis=2)

    def sizes(self, states: Array) -> Array:
        """(v, n, 2) as `Walls.size`."""
        minus, plus, top, bottom = self.thickness(states).transpose(2, 0, 1)
        return self.outline - np.stack([minus + plus, top + bottom], axis=2) / 2


def box_follows(pole: Array, own: Array) -> Array:
    """(..., 8, 2) as `walls.own_follow` for boxes that run on through a node that racks: poles (..., 2) of the node and
    of the member."""
    out = np.zeros((*pole.shape[:-1], 8, 2))
    out[..., 6, 0] = out[..., 7, 1] = 1
    out[..., 2, 0], out[..., 1, 0] = (own[..., 0] - pole[..., 0]) / 2, (own[..., 1] - pole[..., 1]) / 2
    out[..., 0, 1] = pole.prod(axis=-1) - own.prod(axis=-1)
    out[..., 4, 1], out[..., 5, 1] = own[..., 0] - pole[..., 0], pole[..., 1] - own[..., 1]
    return out


def own_follows(kind: int, extras: int, poles: tuple[Array, Array], web: tuple[Array, bool]) -> Array:
    """(v, 8, 2) as `walls.own_follow`; poles: the node's and the member's own."""
    pole, own = poles
    out = np.zeros((len(pole), 8, 2))
    if kind == extras == OPEN:
        out[:, 6, 0] = 1
    if kind == PLAIN or extras != RACKING:
        return out
    out = box_follows(pole, own)
    if kind == OPEN:
        across = [1, 2, 3, 6]
        out[:, across], out[:, 7] = box_to_channel(pole, *web)[:, across, 6:], 0
    return out


def place_follows(walls: Walls, origin: Array, kind: int, place: Array) -> Array:
    """(v, k, 6) as `walls.place_follow`."""
    if kind == RACKING and isinstance(walls.shape, Box):
        return _on_box(walls.pole, walls.size, place)
    if kind == OPEN:
        return _on_open(walls, origin, place)
    return np.zeros((len(place), 0, 6))


def _on_box(pole: Array, size: Array, place: Array) -> Array:
    (y, z), (half_y, half_z) = (place - pole).T, (size / 2).T
    y1, z1 = np.clip(y, -half_y, half_y), np.clip(z, -half_z, half_z)
    past_y, past_z = np.abs(y) - half_y, np.abs(z) - half_z
    upright, inside = past_y >= past_z, (past_y < 0) & (past_z < 0)
    out = np.zeros((len(place), 2, 6))
    out[:, 0, 1], out[:, 0, 2] = z1 - z / 2, y1 - y / 2
    out[:, 0, 3] = np.where(inside, 0.0, np.where(upright, -0.5, 0.5))
    out[:, 1, 0], out[:, 1, 4], out[:, 1, 5] = y1 * z1, np.where(upright, y1, 0.0), np.where(upright, 0.0, -z1)
    return out


def _on_open(walls: Walls, origin: Array, place: Array) -> Array:
    near = place[:, None] + STEP * np.array([[0.0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]])
    w = walls.sectorial(near) + origin[:, :1] + (near @ origin[:, 1:, None])[..., 0]
    out = np.zeros((len(place), 1, 6))
    out[:, 0, 0] = -w[:, 0]
    out[:, 0, 4], out[:, 0, 5] = -(w[:, 3] - w[:, 4]) / (2 * STEP), (w[:, 1] - w[:, 2]) / (2 * STEP)
    return out


def end_follows(walls: Walls, origin: Array, kind: int, place: Array, webs: Webs) -> Array:
    """(v, k, 6) as `walls.end_follow`."""
    if kind == RACKING and isinstance(walls.shape, Box):
        return _end_on_box(walls.pole, walls.size, place, webs)
    if kind == OPEN and webs == "flanges" and isinstance(walls.shape, Channel):
        return _between_flanges(walls, origin, place)
    return place_follows(walls, origin, kind, place)


def _end_on_box(pole: Array, size: Array, place: Array, webs: Webs) -> Array:
    out = np.zeros((len(place), 2, 6))
    if webs == "section":
        return out
    y, z = (place - pole).T
    web = np.sign(y) * size[:, 0] / 2
    out[:, 0, 1], out[:, 0, 2], out[:, 0, 3] = z / 2, y / 2, 0.5
    if webs != "both":
        out[:, 0, 2], out[:, 0, 3] = web - y / 2, -0.5
        out[:, 1, 0], out[:, 1, 4] = web * z, web
    beyond = np.abs(z) > size[:, 1] / 2
    out[beyond] = _on_box(pole, size, place)[beyond]
    return out


def _between_flanges(walls: Walls, origin: Array, place: Array) -> Array:
    depth, t = walls.shape.depth, walls.thickness
    top, bottom = (depth - t["top"]) / 2, (t["bottom"] - depth) / 2
    both = np.stack([np.stack([place[:, 0], top], axis=1), np.stack([place[:, 0], bottom], axis=1)], axis=1)
    w = walls.sectorial(both) + origin[:, :1] + (both @ origin[:, 1:, None])[..., 0]
    slope = (w[:, 0] - w[:, 1]) / (top - bottom)
    out = np.zeros((len(place), 1, 6))
    out[:, 0, 0], out[:, 0, 4] = -(w[:, 0] + slope * (place[:, 1] - top)), -slope
    return out
