"""Whether mounts stand far enough apart to carry a vehicle."""

from __future__ import annotations

from itertools import combinations
from math import dist
from typing import Final

from ladderfe.chassis.mount_names import MountNames

__all__ = ["on_a_line"]

#: Mounts within this of one line in plan carry nothing that is not right above it, mm.
NARROW: Final = 50.0


def on_a_line(names: MountNames, found: tuple[str, ...]) -> bool:
    """Whether all of these mounts lie on one line in plan, seen from above; False where places are unknown."""
    places = [(m.station, m.y) for m in (names.mounts[n] for n in found)]
    far = max(combinations(places, 2), key=lambda pair: dist(*pair), default=None)
    if far is None:
        return False
    (x, y), (u, v) = far
    length = dist(*far)
    widths = [abs((u - x) * (b - y) - (v - y) * (a - x)) / length if length else 0.0 for a, b in places]
    return all(w < NARROW for w in widths)
