"""The sheet around the walls: title, outline at rest, stations, supports, loads, extremes, and words beside them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ladderfe.report.canvas import Canvas
from ladderfe.report.colours import ACCENT, ACCENT_SOFT, FAINT, INK, PAPER, SOFT, Bytes, Scale
from ladderfe.report.labels import Box, Clutter
from ladderfe.report.legend import draw_legend
from ladderfe.report.scene import Array, Scene
from ladderfe.report.signs import RING, SPRING, arrow, draw_key, over, ring, spring_seat
from ladderfe.report.view import View, edges, sides, spread
from ladderfe.report.zeros import PICTURE_ZERO

__all__ = ["Layout", "compose"]

FORCE, COMB = 64.0, 26.0  # lengths of the longest arrow of forces and of line loads, pixels at scale 1
SPACING = 26.0  # between arrows of a line load
FEW = 12.0  # cost up to which a name that may be left out is written, see Clutter.place
ASIDE = 0.075  # distance of the line of stations from the frame, as a share of the frame's length


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layout:
    """Where things are on the sheet: its size, the scale of its lettering, the view of the frame, the legend's area."""

    size: tuple[int, int]
    k: float
    view: View
    legend: Box
    ruler: Array  # (2, 3) ends of the line of stations, mm

    @classmethod
    def of(cls, scene: Scene, size: tuple[int, int]) -> Layout:
        """Lay out a scene on a sheet of that many pixels."""
        width, height = size
        k = max(0.72, min(width / 1400, height / 800))
        ruler = _ruler(scene)
        shown = np.concatenate([scene.quads.reshape(-1, 3), scene.drawn.reshape(-1, 3), ruler])
        view = View.fitted(shown, 46 * k, 128 * k, width - 196 * k, height - 84 * k)
        return cls(
            size=size, k=k, view=view, ruler=ruler,
            legend=Box(width - 158 * k, 128 * k, width - 18 * k, min(height - 40 * k, 650 * k)),
        )


def compose(scene: Scene, scale: Scale, layout: Layout, walls: Bytes) -> tuple[bytes, tuple[str, ...]]:
    """Write and draw everything around the image of the walls.  Returns the PNG and the labels that found no room."""
    width, height = layout.size
    k = layout.k
    canvas = Canvas(width, height)
    boxes = [*_title(canvas, scene, layout), layout.legend]
    at_rest = sides(layout.view.project(scene.quads)[..., :2], edges(scene.quads, layout.view))
    canvas.segments(at_rest, FAINT, 0.7 * k, order=1)
    canvas.image(walls)
    draw_legend(canvas, scene, scale, layout.legend, k)
    boxes += [draw_key(canvas, scene, 30 * k, height - 26 * k, k), *_stations(canvas, scene, layout)]
    wanted = [*_extremes(canvas, scene, layout), *_over(canvas, scene, layout), *_named(scene, layout, "side")]
    _supports(canvas, scene, layout)
    wanted += [*_named(scene, layout, "force"), *_loads(canvas, scene, layout), *_named(scene, layout, "part")]
    clutter = Clutter.of(Box(10 * k, 10 * k, width - 10 * k, height - 8 * k), walls[..., 3] / 255, canvas.strokes)
    clutter.boxes.extend(boxes)
    left_out = [note.words for note in wanted if note.words and not _label(canvas, clutter, note, k)]
    return canvas.png(), tuple(left_out)


@dataclass(frozen=True, slots=True)
class _Note:
    """Words to be written near an anchor (2,) in pixels, left out where that costs more than `most`; the leader line
    keeps `clear` pixels off."""

    words: str
    anchor: Array
    colour: str = INK
    bold: bool = False
    most: float = np.inf
    clear: float = 0.0


def _label(canvas: Canvas, clutter: Clutter, note: _Note, k: float) -> bool:
    """Write a note where there is room, with a leader line where it is not close by; False where there is none."""
    wide, high = canvas.measure(note.words, 11 * k, note.bold)
    box = clutter.place(note.anchor, wide, high, k, note.most)
    if box is None:
        return False
    end = box.nearest(note.anchor)
    far = float(np.hypot(*(end - note.anchor)))
    if far > 20 * k:
        start = note.anchor + note.clear / far * (end - note.anchor)
        canvas.line(np.array([start, end]), SOFT, 0.7 * k, order=6)
    pad = 2 * k
    backing = np.array([(box.left, box.top), (box.right, box.top), (box.right, box.bottom), (box.left, box.bottom)])
    canvas.area(backing + pad * np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]), PAPER + "d8", order=7)
    canvas.write(note.words, (box.left, box.top), 11 * k, colour=note.colour, bold=note.bold)
    return True


def _title(canvas: Canvas, scene: Scene, layout: Layout) -> list[Box]:
    """Chassis; case and what is shown; how the deflection is drawn."""
    k, room = layout.k, layout.size[0] - 60 * layout.k
    greatest = scene.greatest_deflection
    moved = f"deflection × {scene.magnification:g}, greatest {greatest:.{2 if greatest < 1 else 1}f} mm"
    moved += f", {PICTURE_ZERO}"
    rows = [
        (scene.title, 45, 21, INK, True),
        (f"{scene.case}: {scene.value}", 73, 15, INK, False),
        (scene.note or (moved if scene.magnification and greatest else "drawn at rest"), 95, 12.5, SOFT, False),
    ]
    boxes = []
    for words, y, size, colour, bold in rows:
        cut = canvas.fitted(words, size * k, room, bold)
        boxes.append(canvas.write(cut, (30 * k, y * k), size * k, colour, bold, down="baseline"))
    return boxes


def _ruler(scene: Scene) -> Array:
    """Ends (2, 3) of the line of stations: beside the left rail, at the height of the lowest wall, mm."""
    low, high = scene.quads.reshape(-1, 3).min(0), scene.quads.reshape(-1, 3).max(0)
    marks = scene.stations or (low[0], high[0])
    y = low[1] - ASIDE * (high[0] - low[0])
    return np.array([(min(marks), y, low[2]), (max(marks), y, low[2])])


def _stations(canvas: Canvas, scene: Scene, layout: Layout) -> list[Box]:
    """A line beside the frame with its stations in mm, and faint lines from there to the frame."""
    if not scene.stations:
        return []
    k, view = layout.k, layout.view
    canvas.line(view.project(layout.ruler)[:, :2], SOFT, 0.9 * k)
    inward = view.direct(np.array([0.0, 1.0, 0.0]))
    inward = inward / np.hypot(*inward)
    to_frame = scene.quads[..., 1].min() - layout.ruler[0, 1]
    boxes: list[Box] = []
    marks = sorted(scene.stations)
    for station in dict.fromkeys([marks[0], marks[-1], *marks]):  # both ends first: their words matter most
        foot = np.array([station, *layout.ruler[0, 1:]])
        at = view.project(foot)[:2]
        end = view.project(foot + np.array([0, 0.85 * to_frame, 0]))[:2]
        canvas.line(np.stack([at, end]), FAINT, 0.6 * k, order=0.5)
        canvas.line(np.stack([at - 3 * k * inward, at + 5 * k * inward]), SOFT, 0.9 * k)
        box = canvas.write(f"{station:.0f}", (at[0], at[1] + 7 * k), 11 * k, colour=SOFT, across="center")
        if any(box.meets(b, 5 * k) for b in boxes):
            canvas.axes.texts[-1].remove()
        else:
            boxes.append(box)
    x, y = view.project(layout.ruler)[0, :2]
    boxes.append(canvas.write("front\nstation, mm", (x - 14 * k, y), 11 * k, SOFT, across="right", down="center"))
    return boxes


def _extremes(canvas: Canvas, scene: Scene, layout: Layout) -> list[_Note]:
    """A small ring at the greatest value (and the lowest, where the sign matters), with words on what and where."""
    notes = []
    for mark in scene.marked():
        at = layout.view.project(scene.drawn[mark.wall, mark.corner])[:2]
        ring(canvas, at, layout.k)
        words = f"{mark.word} {scene.text(scene.values[mark.wall, mark.corner])}\n{scene.place(mark.wall, mark.corner)}"
        notes.append(_Note(words, at, bold=True, clear=RING * layout.k))
    return notes


def _over(canvas: Canvas, scene: Scene, layout: Layout) -> list[_Note]:
    """The second sign of a utilisation above 100 %: a triangle on each part that has one, at its greatest value."""
    if scene.kind != "utilisation" or not scene.highest > 1:
        return []
    greatest = {mark.wall for mark in scene.marked()}
    notes = []
    for part in dict.fromkeys(scene.parts):
        own = np.where(np.array([p == part for p in scene.parts])[:, None], scene.values, -np.inf)
        own = np.nan_to_num(own, nan=-np.inf)
        wall, corner = divmod(int(own.argmax()), 4)
        if own[wall, corner] > 1:
            at = layout.view.project(scene.drawn[wall, corner])[:2]
            over(canvas, at, 13 * layout.k)
            if wall not in greatest:
                notes.append(_Note(f"{part} {scene.text(own[wall, corner])}", at, bold=True))
    return notes


def _supports(canvas: Canvas, scene: Scene, layout: Layout) -> None:
    """A spring on hatched ground under each place where the frame is carried; without it where it hangs."""
    for support in scene.supports:
        at = layout.view.project(scene.carried(np.array([support.point])))[0, :2]
        spring_seat(canvas, at, layout.k, support.hangs)


def _named(scene: Scene, layout: Layout, kind: str) -> list[_Note]:
    """Words at places of the frame; those of parts may be left out."""
    notes, below = [], np.array([0.0, 1.2 * SPRING * layout.k])
    seats = {support.point for support in scene.supports}
    for name in scene.names:
        if name.kind == kind:
            at = layout.view.project(scene.carried(np.array([name.point])))[0, :2]
            at = at + below if name.point in seats else at
            part = kind == "part"
            notes.append(_Note(name.words, at, SOFT if part else INK, kind == "side", FEW if part else np.inf))
    for support in scene.supports if kind == "force" else ():
        at = layout.view.project(scene.carried(np.array([support.point])))[0, :2]
        notes.append(_Note(support.label, at + below))
    return notes


def _loads(canvas: Canvas, scene: Scene, layout: Layout) -> list[_Note]:
    """Arrows whose heads touch the frame; forces to one scale, line loads to another."""
    notes = []
    for load in scene.loads:
        comb = len(load.points) > 1
        alike = [x for x in scene.loads if (len(x.points) > 1) == comb]
        longest = max(float(np.linalg.norm(x.vectors, axis=1).max()) for x in alike)
        if longest == 0:
            continue
        heads = layout.view.project(scene.carried(load.points))[:, :2]
        shafts = layout.view.direct(load.vectors) / longest * (COMB if comb else FORCE) * layout.k
        if comb:
            heads, shafts = spread(heads, shafts, SPACING * layout.k)
            canvas.line(heads - shafts, ACCENT_SOFT, 0.8 * layout.k, order=6)
        for head, shaft in zip(heads, shafts, strict=True):
            arrow(canvas, head, shaft, layout.k * (0.7 if comb else 1.0), ACCENT_SOFT if comb else ACCENT)
        middle = len(heads) // 2
        notes.append(_Note(load.label, heads[middle] - shafts[middle], ACCENT))
    return notes
