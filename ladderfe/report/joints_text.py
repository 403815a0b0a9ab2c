"""How the crossmembers and outriggers meet the rails: given, estimated or rigid, as a block of a page and as rows."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, isinf
from string import ascii_lowercase
from typing import Any

from ladderfe.chassis import Chassis
from ladderfe.joints.types import SOURCE
from ladderfe.mesh import JointUse, joint_uses
from ladderfe.report.table import heading, paragraph, table

__all__ = ["JOINT_COLUMNS", "joint_rows", "joints_text", "joints_words"]

LEVELS = {-1.0: "estimated, low end", 0.0: "estimated", 1.0: "estimated, high end"}
#: A size outside of the data, whose number is left out where joints are told together.
OUTSIDE = re.compile(r" is [\d.]+, data (.+)$")
ABOUT_X = 3
JOINT_COLUMNS = (
    "part", "rail", "from", "kind", "x N/mm", "y N/mm", "z N/mm", "rx N mm/rad", "ry N mm/rad", "rz N mm/rad",
    "rx low N mm/rad", "rx high N mm/rad", "warnings",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Line:
    """What the table says of a joint; joints of which it says the same are told together."""

    kind: str
    source: str
    about_x: str
    reach: str
    notes: tuple[str, ...]


def joints_text(chassis: Chassis) -> list[str]:
    """Lines of the block."""
    uses = joint_uses(chassis)
    notes = list(dict.fromkeys(n for u in uses for n in _notes(u)))
    signs = {n: _sign(k) for k, n in enumerate(notes)}
    rows = [
        [part, side, line.kind, line.source, line.about_x, line.reach, " ".join(signs[n] for n in line.notes)]
        for part, side, line in _told(chassis, uses)
    ]
    head = ["joint", "side", "how it meets the rail", "stiffness", "used", "low to high", "notes"]
    out = [*heading("Joints, kN m/rad about the vehicle's x axis"), *table(head, rows, "llwlrrl")]
    for words, sign in signs.items():
        out += paragraph(words, "   ", f"{sign:3}")
    out += paragraph(joints_words(uses))
    return [*out, *(line for words in (_model_words(chassis), _plate_words(chassis)) for line in paragraph(words))]


def _model_words(chassis: Chassis) -> str:
    """That joints are springs, where the file asks for it."""
    if chassis.joint_model == "walls":
        return ""
    return "As asked for every joint is six springs here, and box rails keep the shape of their section."


def _plate_words(chassis: Chassis) -> str:
    """The diaphragms, those alike left and right in one; empty where there are none."""
    sides: dict[tuple[str, float, float], list[str]] = {}
    for d in chassis.diaphragms:
        sides.setdefault((d.name.removesuffix(f" {d.side}"), d.station, d.thickness), []).append(d.side)
    if not sides:
        return ""
    told = [
        f"{name} ({'both rails' if len(own) == 2 else f'{own[0]} rail'} at {station:.0f} mm, {thickness:g} mm thick)"
        for (name, station, thickness), own in sides.items()
    ]
    racks = isfinite(chassis.joint_level) and chassis.joint_model == "walls"
    words = (
        "They keep the shape of the rails' section, which racks between them."
        if racks
        else "They do nothing here, where rails keep the shape of their section anyway."
    )
    return f"Diaphragms: {', '.join(told)}. {words}"


def joints_words(uses: Sequence[JointUse]) -> str:
    """What the stiffness of the joints stands on, in a few sentences."""
    words = "About x a crossmember bends up and down on the rail's side, which rules twist."
    if any(u.estimate is not None for u in uses):
        words += (
            f" Estimates come from the walls that meet [{SOURCE}]; 90 % of the joints studied lie between low and "
            "high, welds, corner radii, bolts and brackets left out. On box rails the number is that of a plain spring "
            "with the rail's racking next to the joint in it; one stated in the file comes on top of racking."
        )
    return words


def _told(chassis: Chassis, uses: Sequence[JointUse]) -> list[tuple[str, str, _Line]]:
    """(part, side, what is said): left and right in one where the same is said of both."""
    told: dict[tuple[str, _Line], list[str]] = {}
    for u in uses:
        side = u.rail.removesuffix(" rail")
        told.setdefault((u.part.removesuffix(f" {side}"), _line(chassis, u)), []).append(side)
    return [(part, "both" if len(sides) == 2 else sides[0], line) for (part, line), sides in told.items()]


def _line(chassis: Chassis, use: JointUse) -> _Line:
    found = use.estimate
    return _Line(
        kind="as given" if use.joint.given else found.kind if found else use.joint.kind,
        source=_source(chassis, use),
        about_x=_shown(use.joint.stiffness[ABOUT_X]),
        reach=f"{_shown(found.low[ABOUT_X])} to {_shown(found.high[ABOUT_X])}" if found else "",
        notes=tuple(_notes(use)),
    )


def _source(chassis: Chassis, use: JointUse) -> str:
    if use.joint.given:
        return "given"
    if use.estimate is None:
        return "no estimate: rigid"
    return "rigid as asked for" if isinf(chassis.joint_level) else LEVELS.get(chassis.joint_level, "estimated")


def _notes(use: JointUse) -> list[str]:
    """The warnings of a joint, without the numbers that differ from one to the next."""
    words = use.estimate.warnings if use.estimate else use.joint.warnings
    return [OUTSIDE.sub(r" (data \1)", w) for w in words]


def _sign(k: int) -> str:
    return ascii_lowercase[k] if k < len(ascii_lowercase) else str(k + 1)


def _shown(stiffness: float) -> str:
    """N mm/rad in kN m/rad."""
    if isinf(stiffness) or stiffness == 0:
        return "rigid" if stiffness else "free"
    value = float(stiffness) / 1e6
    return f"{value:.0f}" if value >= 100 else f"{value:.1f}"


def joint_rows(chassis: Chassis) -> list[tuple[Any, ...]]:
    """The same for machines, a row per joint under JOINT_COLUMNS; what is rigid is "infinite"."""
    rows: list[tuple[Any, ...]] = []
    for u in joint_uses(chassis):
        found = u.estimate
        ends = [float(found.low[ABOUT_X]), float(found.high[ABOUT_X])] if found else [None, None]
        numbers = ["infinite" if v is not None and isinf(v) else v for v in (*map(float, u.joint.stiffness), *ends)]
        kind = found.kind if found else u.joint.kind
        words = found.warnings if found else u.joint.warnings
        rows.append((u.part, u.rail, _source(chassis, u), kind, *numbers, "; ".join(words)))
    return rows
