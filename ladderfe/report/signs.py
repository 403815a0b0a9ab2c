"""Signs on the sheet: spring seats, arrows, rings, what is over its limit; and the key that says what they mean."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import numpy as np

from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import ACCENT, ACCENT_SOFT, FAINT, INK, PAPER, SOFT
from ladderfe.report.labels import Box
from ladderfe.report.scene import Array, Scene

__all__ = ["RING", "SPRING", "arrow", "draw_key", "over", "ring", "spring_seat"]

#: Height of a spring and radius of a ring, pixels at scale 1.
SPRING, RING = 19.0, 6.0
ROUND = np.linspace(0, 2 * np.pi, 24, endpoint=False)
#: A spring from its seat down to the ground: right and down, as shares of its height.
COIL = np.array([(0, 0), (0, 0.15), (0.3, 0.25), (-0.3, 0.42), (0.3, 0.58), (-0.3, 0.75), (0, 0.85), (0, 1)])
GROUND = np.array([(-0.45, 1.0), (0.45, 1.0)])
HATCH = [np.array([(x, 1.0), (x - 0.16, 1.18)]) for x in (-0.27, -0.03, 0.21, 0.45)]


def spring_seat(canvas: Canvas, at: Array, k: float, hangs: bool = False) -> None:
    """A spring between its seat on the frame and hatched ground: the frame is carried there; or one that hangs."""
    height = SPRING * k
    for colour, width in ((PAPER, 3.6), (INK, 1.3)):
        for part in (COIL,) if hangs else (COIL, GROUND, *HATCH):
            canvas.line(at + height * part, colour, width * k, order=6)


def ring(canvas: Canvas, at: Array, k: float) -> None:
    """A ring around a place."""
    circle = np.stack([np.cos(ROUND), np.sin(ROUND)], axis=1)
    canvas.area(at + RING * k * circle, "none", PAPER, 4.0 * k, order=8.5)
    canvas.area(at + RING * k * circle, "none", INK, 1.8 * k, order=8.6)


def over(canvas: Canvas, at: Array, size: float) -> None:
    """An upright filled triangle: over its limit."""
    canvas.area(at + size * np.array([(0.0, -0.55), (0.5, 0.4), (-0.5, 0.4)]), INK, PAPER, 1.0, order=7)


def arrow(canvas: Canvas, head: Array, shaft: Array, k: float, colour: str) -> None:
    """An arrow ending at `head`; no shorter than its own head, so that a small force is still seen."""
    length = float(np.hypot(*shaft))
    if length == 0:
        return
    ahead = shaft / length
    aside = np.array([-ahead[1], ahead[0]])
    tip = 9 * k
    tail = head - ahead * max(length, tip + 3 * k)
    canvas.line(np.stack([tail, head - 0.7 * tip * ahead]), colour, 1.6 * k, order=6)
    barbs = head - tip * ahead + 0.42 * tip * np.array([[1.0], [-1.0]]) * aside
    canvas.area(np.vstack([head, barbs]), colour, order=6)


def draw_key(canvas: Canvas, scene: Scene, left: float, middle: float, k: float) -> Box:
    """One line of signs with their words, beginning at `left`, its middle at height `middle`.  Returns its box."""
    x = left
    for draw, words in _entries(scene):
        draw(canvas, np.array([x + 9 * k, middle]), k)
        box = canvas.write(words, (x + 24 * k, middle), 11 * k, colour=SOFT, down="center")
        x = box.right + 22 * k
    return Box(left, middle - 14 * k, x, middle + 14 * k)


Sign = Callable[[Canvas, Array, float], None]


def _entries(scene: Scene) -> list[tuple[Sign, str]]:
    """The signs that a scene shows."""
    down = np.array([0.0, 1.0])
    entries: list[tuple[Sign, str]] = []
    for hangs, words in ((False, "spring seat"), (True, "hanging spring")):
        if any(support.hangs == hangs for support in scene.supports):
            entries.append((partial(_spring, hangs=hangs), words))
    if any(len(load.points) == 1 for load in scene.loads):
        words = "weight, pull or support" if any(load.applied for load in scene.loads) else "weight of a mass"
        entries.append((lambda c, at, k: arrow(c, at + 9 * k * down, 18 * k * down, k, ACCENT), words))
    if any(len(load.points) > 1 for load in scene.loads):
        entries.append((_comb, "weight along the rails"))
    if scene.marked():
        entries.append((ring, "greatest" if scene.kind != "signed" else "greatest and lowest"))
    if scene.kind == "utilisation" and scene.highest > 1:
        entries.append((lambda c, at, k: over(c, at, 13 * k), "over its limit"))
    if scene.magnification and scene.greatest_deflection:
        entries.append((_at_rest, "at rest"))
    return entries


def _spring(canvas: Canvas, at: Array, k: float, hangs: bool) -> None:
    spring_seat(canvas, at - 10 * k * np.array([0.0, 1.0]), k, hangs)


def _comb(canvas: Canvas, at: Array, k: float) -> None:
    down = np.array([0.0, 1.0])
    for x in (-8.0, 0.0, 8.0):
        arrow(canvas, at + k * np.array([x, 8.0]), 14 * k * down, 0.7 * k, ACCENT_SOFT)
    canvas.line(at + k * np.array([(-8.0, -6.0), (8.0, -6.0)]), ACCENT_SOFT, 0.8 * k, order=6)


def _at_rest(canvas: Canvas, at: Array, k: float) -> None:
    canvas.line(at + k * np.array([(-9.0, 3.0), (9.0, -3.0)]), FAINT, 1.2 * k)
