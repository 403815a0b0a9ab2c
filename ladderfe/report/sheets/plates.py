"""What a drawing of a repair plate needs to know: frozen types, mm."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin
from typing import Final, Literal

from ladderfe.errors import ModelError
from ladderfe.report.sheets.words import mm

__all__ = ["TIP", "PlateDrawing", "PlateHole", "PlateWeld"]

Ends = Literal["square", "tapered", "spear"]
#: What is left of the width at the tip of each kind of end.
TIP: Final[dict[str, float]] = {"square": 1.0, "tapered": 1 / 3, "spear": 0.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateWeld:
    """A weld along an edge: its kind, throat (fillets) or depth in mm (0: not given), run and gap of a stitched seam
    (0 both: continuous), and words beside the mark, such as how it is made."""

    edge: Literal["upper", "lower", "front end", "rear end", "all round", "slots"]
    kind: Literal["fillet", "square butt", "single-V butt", "plug"] = "fillet"
    size: float = 0.0
    run: float = 0.0
    gap: float = 0.0
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateHole:
    """A hole: station, how far above the plate's middle (mm) and diameter; of a slot along the rail its width, and its
    length over all."""

    station: float
    above: float
    diameter: float
    length: float = 0.0

    @property
    def half(self) -> float:
        """From its middle to either end along the rail, mm."""
        return max(self.length, self.diameter) / 2

    def outline(self, steps: int = 8) -> list[tuple[float, float]]:
        """Corners as (station, above the plate's middle), round ends as so many chords each."""
        r, straight = self.diameter / 2, self.half - self.diameter / 2
        arc = [pi * k / steps - pi / 2 for k in range(steps + 1)]
        right = [(straight + r * cos(a), r * sin(a)) for a in arc]
        return [(self.station + x, self.above + z) for x, z in [*right, *((-x, -z) for x, z in right)]]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateDrawing:
    """A plate on one wall of a rail from station `start` to `end`.

    wall_width: flat of the wall, across the rail; centre: of the plate from the middle of the wall, upward positive (on
    walls that lie: to the right, drawn upward); taper: length of each end that is not square.  upper, lower: what the
    edges are called.  Raises ModelError for sizes that cannot be.
    """

    name: str
    rail: Literal["left", "right"]
    wall: str
    start: float
    end: float
    width: float
    thickness: float
    wall_width: float
    centre: float = 0.0
    ends: Ends = "square"
    taper: float = 0.0
    face: Literal["outside", "inside"] = "outside"
    welds: tuple[PlateWeld, ...] = ()
    holes: tuple[PlateHole, ...] = ()
    edges: tuple[str, str] = ("upper edge", "lower edge")

    def __post_init__(self) -> None:
        for name in ("length", "width", "thickness", "wall_width"):
            if not 0 < getattr(self, name) < float("inf"):
                words = f"its {name.replace('_', ' ')} is {getattr(self, name):g} mm"
                raise ModelError(self.name, words, "Give a size greater than 0 in mm")
        if (self.ends == "square") != (self.taper == 0) or not 0 <= 2 * self.taper <= self.length:
            words = f"{self.ends} ends of {self.taper:g} mm do not fit {mm(self.length)} mm"
            raise ModelError(self.name, words, "Give square ends no taper, others one of at most half the length")

    @property
    def length(self) -> float:
        """Along the rail, mm."""
        return self.end - self.start

    def outline(self) -> tuple[tuple[float, float], ...]:
        """Corners as (station, above the wall's middle)."""
        half, t = self.width / 2, self.taper
        if not t:
            corners = [(self.start, half), (self.end, half), (self.end, -half), (self.start, -half)]
        else:
            tip = TIP[self.ends] * half
            corners = [(self.start, tip), (self.start + t, half), (self.end - t, half), (self.end, tip)]
            corners += [(x, -z) for x, z in reversed(corners)]
        unique = [p for k, p in enumerate(corners) if p != corners[k - 1]]
        return tuple((x, z + self.centre) for x, z in unique)
