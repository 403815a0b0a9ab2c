"""Where the words of a picture go: near what they name, clear of one another and, if they can, of the frame."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from ladderfe.report.scene import Array

__all__ = ["Box", "Clutter"]

TURNS = np.arange(24) * np.pi / 12
REACHES = np.array([16, 26, 40, 56, 76, 100, 130, 165, 205, 250, 300, 360], dtype=float)  # pixels from anchor to box
GAP = 4.0  # pixels kept free around words
FAR, HIDING, CROSSING = 0.25, 500.0, 60.0  # cost of a pixel of distance, of words all on the frame, of crossed leaders
STROKE = 1.2  # how much more heavily a line counts as covered than the frame does


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the sheet, pixels right and down."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def high(self) -> float:
        """Its height, pixels."""
        return self.bottom - self.top

    def meets(self, other: Box, gap: float = 0.0) -> bool:
        """Whether two boxes come closer than the gap."""
        apart = (
            self.left - other.right, other.left - self.right, self.top - other.bottom, other.top - self.bottom,
        )
        return max(apart) < gap

    def holds(self, points: Array) -> bool:
        """Whether any of points (k, 2) lies inside."""
        x, y = points[:, 0], points[:, 1]
        return bool(((x > self.left) & (x < self.right) & (y > self.top) & (y < self.bottom)).any())

    def nearest(self, point: Array) -> Array:
        """The place of the box, (2,), nearest to a point."""
        return np.clip(point, (self.left, self.top), (self.right, self.bottom))


@dataclass(slots=True)
class Clutter:
    """What is on the sheet so far: the sheet itself, boxes of words, leader lines, and how much the frame covers."""

    sheet: Box
    cover: Array  # (height + 1, width + 1) running sums of what the frame covers, 0 to 1 a pixel
    boxes: list[Box] = field(default_factory=list)
    leaders: list[Array] = field(default_factory=list)

    @classmethod
    def of(cls, sheet: Box, covered: Array, strokes: list[Array]) -> Clutter:
        """Clutter of a sheet on which the frame covers (height, width), 0 to 1 a pixel, and with those lines (k, 2)."""
        covered = covered.copy()
        for line in strokes:
            _thicken(covered, line)
        return cls(sheet, np.pad(covered.cumsum(0).cumsum(1), ((1, 0), (1, 0))))

    def place(
        self, anchor: Array, width: float, height: float, scale: float = 1.0, most: float = np.inf
    ) -> Box | None:
        """Find and keep the best box for words that size near an anchor (2,).

        None where there is no room, or none that costs less than `most` (FAR for each pixel of distance, HIDING where
        all words would lie on the frame).
        """
        best, least = None, most
        for reach in REACHES * scale:
            if FAR * reach >= least:
                break
            for turn in TURNS:
                box = _beside(anchor, reach, turn, width, height)
                cost = self._cost(box, anchor, reach, least)
                if cost < least:
                    best, least = box, cost
        if best is not None:
            self.boxes.append(best)
            self.leaders.append(_leader(anchor, best))
        return best

    def _cost(self, box: Box, anchor: Array, reach: float, least: float) -> float:
        """What a box costs; not counted to the end where it is more than the least so far."""
        inside = (
            box.left >= self.sheet.left and box.top >= self.sheet.top
            and box.right <= self.sheet.right and box.bottom <= self.sheet.bottom
        )
        if not inside or any(box.meets(b, GAP) for b in self.boxes):
            return np.inf
        cost = FAR * reach + HIDING * self._covered(box)
        if cost >= least:
            return cost
        leader = _leader(anchor, box)
        crossed = sum(b.holds(leader) for b in self.boxes) + sum(box.holds(line) for line in self.leaders)
        crossed += sum(_cross(leader, line) for line in self.leaders)
        return cost + CROSSING * crossed

    def _covered(self, box: Box) -> float:
        """Share of a box that the frame covers."""
        x0, x1, y0, y1 = (round(v) for v in (box.left, box.right, box.top, box.bottom))
        total = self.cover[y1, x1] - self.cover[y0, x1] - self.cover[y1, x0] + self.cover[y0, x0]
        return float(total) / max(1, (x1 - x0) * (y1 - y0))


def _thicken(covered: Array, line: Array) -> None:
    """Count a line (k, 2) as covering what is within 3 pixels, more heavily than the frame does."""
    for start, end in pairwise(line):
        steps = int(np.abs(end - start).max() / 3) + 2
        for x, y in (start + np.linspace(0, 1, steps)[:, None] * (end - start)).round().astype(int):
            covered[max(0, y - 3) : max(0, y + 4), max(0, x - 3) : max(0, x + 4)] = STROKE


def _beside(anchor: Array, reach: float, turn: float, width: float, height: float) -> Box:
    """The box whose nearest place is about `reach` from the anchor in direction `turn`."""
    across, down = np.cos(turn), np.sin(turn)
    x = anchor[0] + across * (reach + width / 2)
    y = anchor[1] + down * (reach + height / 2)
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _leader(anchor: Array, box: Box) -> Array:
    """Points (12, 2) along the line from the anchor to the box."""
    return anchor + np.linspace(0, 1, 12)[:, None] * (box.nearest(anchor) - anchor)


def _cross(one: Array, other: Array) -> bool:
    """Whether two straight lines, given by points along them, cross."""
    (a, b), (c, d) = (one[0], one[-1]), (other[0], other[-1])

    def side(p: Array, q: Array, r: Array) -> bool:
        return bool((q[0] - p[0]) * (r[1] - p[1]) > (q[1] - p[1]) * (r[0] - p[0]))

    return side(a, b, c) != side(a, b, d) and side(c, d, a) != side(c, d, b)
