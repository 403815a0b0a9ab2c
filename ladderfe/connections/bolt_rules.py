"""Where bolt holes may be: least distances of the standard, and the truck trade's rules for holes in a rail's web.

Sources: EN 1993-1-8:2005 Table 3.3 (from memory, text not seen); a heavy-vehicle maker's layout book for body builders
of 2022 (excerpt read), written for deep rails of heavy trucks: on small rails few holes can keep to it, which is worth
knowing.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final, Literal

from ladderfe.connections.inputs import MEMORY, positive
from ladderfe.connections.rules import Broken, Rule, broken

__all__ = ["RailHole", "hole_rules", "spacing_rules"]

TABLE: Final = "EN 1993-1-8 Table 3.3"
BOOK: Final = "layout book for body builders, 2022"
READ: Final = "excerpt read; written for heavy trucks"


def spacing_rules(
    hole: float, *, end: float = inf, edge: float = inf, pitch: float = inf, gauge: float = inf,
    thinner: float | None = None,
) -> tuple[Broken, ...]:
    """Least distances that are not kept: e1, e2 >= 1.2 d0, p1 >= 2.2 d0, p2 >= 2.4 d0; all in mm from hole centres.

    thinner : thickness of the thinner outer part, for the greatest ones: e1, e2 <= 4 t + 40 (weather reaches it),
    p1, p2 <= min(14 t, 200).  inf stands for "there is none".
    """
    d0 = float(positive("bolt spacing", "the hole", hole))
    found = {"end distance": end, "edge distance": edge, "pitch": pitch, "gauge": gauge}
    least = {"end distance": 1.2, "edge distance": 1.2, "pitch": 2.2, "gauge": 2.4}
    checked = [(_rule(name, "at least", least[name] * d0), value) for name, value in found.items()]
    if thinner is not None:
        t = float(positive("bolt spacing", "the thickness", thinner))
        most = {name: 4 * t + 40 if "distance" in name else min(14 * t, 200.0) for name in found}
        checked += [(_rule(name, "at most", most[name]), v) for name, v in found.items() if v < inf]
    return broken(*checked)


def _rule(name: str, bound: Literal["at least", "at most"], limit: float) -> Rule:
    return Rule(name=name, bound=bound, limit=limit, source=TABLE, status=MEMORY)


@dataclass(frozen=True, slots=True, kw_only=True)
class RailHole:
    """A hole in a rail, mm: clear metal from its edge, inf where nothing is near; in_row: holes above each other."""

    diameter: float
    in_flange: bool = False
    to_flange: float = inf
    to_hole: float = inf
    to_reinforcement: float = inf
    in_row: int = 1


def hole_rules(hole: RailHole) -> tuple[Broken, ...]:
    """Rules of the trade that a hole in a rail breaks: web only, and how much metal is left beside it.

    38 mm to the inside of the flange; 25 mm to the next hole up to 16 mm diameter, 1.5 diameters above; diameter at
    most 19 mm; 13 mm to a reinforcement's edge; three holes in a vertical row at most.
    """
    d = float(positive("hole in a rail", "the diameter", hole.diameter))
    between = 25.0 if d <= 16 else 1.5 * d

    def rule(name: str, bound: Literal["at least", "at most"], limit: float, unit: str = "mm") -> Rule:
        return Rule(name=name, bound=bound, limit=limit, unit=unit, source=BOOK, status=READ)

    return broken(
        (rule("number of holes in a flange", "at most", 0.0, ""), float(hole.in_flange)),
        (rule("metal between hole and inside of flange", "at least", 38.0), inf if hole.in_flange else hole.to_flange),
        (rule("metal between holes", "at least", between), hole.to_hole),
        (rule("diameter of the hole", "at most", 19.0), d),
        (rule("metal between hole and edge of reinforcement", "at least", 13.0), hole.to_reinforcement),
        (rule("holes in a vertical row", "at most", 3.0, ""), float(hole.in_row)),
    )
