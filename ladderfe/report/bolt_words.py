"""Sentences of the page on bolts and rivets."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.bolt_uses import BoltUses
from ladderfe.connections import WeldSteel
from ladderfe.connections.fillets import GAMMA_M2
from ladderfe.connections.inputs import COMMON, MEMORY
from ladderfe.report.cautions import USUAL
from ladderfe.report.table import use_share

__all__ = ["BOLT_CAUTIONS", "LEFT_OUT", "place_words", "sources", "summary"]

#: What belongs to bolts beside the usual cautions (common practice).
BOLT_CAUTIONS = (
    "These are forces under the stated loads and wall thicknesses. A bolt that has stretched, worn or rusted, a hole "
    "that has worked oval and a nut that turns are not seen here. They are no inspection, no certificate and no "
    "opinion on whether a vehicle may be used on a road.",
    *USUAL,
    "Take weight off a joint before its bolts come out, and support what they hold; torque new ones as the maker of "
    "the vehicle or of the bolts states, and look at them again after the first drive.",
)
LEFT_OUT = (
    "Slip and friction under the heads, clearance of the holes (a bolt that fits takes more than its share), prying of "
    "plates that bend beside their bolts, which may add a third to the pull and more [" + COMMON + "], sleeves and "
    "spacers inside a box: without one a tightened bolt dents its walls.",
    "Net section of wall and bracket through the holes, the bending of the rail's wall round the bolts, cracks from "
    "holes and fatigue of threads.",
    "Pull goes by the plane inertias about the group's middle, as where faces stay pressed together; what presses "
    "takes the rest. Bolts in one line hold no moment about it: give two columns or two rows where such a moment acts.",
    "The bolts do not change how stiff the joint is: state that under its joint.",
)


def place_words(place: tuple[float, float]) -> str:
    """Where a fastener stands."""
    return f"{place[0]:.0f} mm, height {place[1]:.0f}"


def sources(steel: WeldSteel) -> list[str]:
    """What the resistances rest on, each with its status."""
    return [
        f"Bolts and rivets in shear and pull, bearing, pull-through: EN 1993-1-8 Table 3.4, gamma_M2 {GAMMA_M2:g}; "
        f"walls and brackets of {steel.name}, fu {steel.fu:g} N/mm2 [{MEMORY}].",
        "Tear-out to an edge along two planes: AISC 360 J3.10 where the hole must not stretch, with gamma_M2 "
        f"[{MEMORY}]. No edge near: bearing gives way first there, however much the formula would give.",
        "The distance to the next hole counts along and across the force alike, and the nearest edge as if the force "
        "drove there: on the low side.",
        "Walls below 4 mm are outside of the scope of EN 1993-1-8; its formulas are carried on to them here "
        f"[{MEMORY}]. No partial factors on loads: the cases are as the chassis file has them.",
    ]


def summary(groups: Sequence[BoltUses]) -> list[str]:
    """In short."""
    out = []
    known = [g for g in groups if g.uses]
    if known:
        g = max(known, key=lambda g: g.use)
        u = g.uses[0]
        out.append(f"Most: {use_share(u.use)}, {u.what} ({g.demand.pattern.name}, {place_words(u.place)}, {u.case}).")
    over = [g for g in known if g.use > 1]
    if over:
        out.append(f"Patterns over a resistance: {len(over)} of {len(groups)}.")
    else:
        out.append("By force alone no pattern is over a resistance." if known else "No forces are known.")
    lost = [g.demand.pattern.name for g in groups if g.demand.why]
    if lost:
        out.append(f"NOT known for {', '.join(lost)}: told below.")
    broken = sum(len(g.broken) for g in groups)
    out.append(f"Rules of place that are not kept: {broken}.")
    return out
