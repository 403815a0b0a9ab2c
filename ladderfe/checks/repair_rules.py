"""Rules of the repair trade, each with its source and whether that was read, and what a plan answers to them.

None of them is law.  Where a source was written for another kind of vehicle its status says so.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from ladderfe.connections import Broken, Rule

__all__ = [
    "ACROSS_FLANGE", "ACROSS_RAIL", "COVERED_RUST", "EDGE", "INSERT", "INSERT_END", "NEXT", "OFF_FLANGE", "RUSTED",
    "THICK", "THICKER", "TWICE", "Answer", "answer", "beyond_hanger", "beyond_joint", "boxing_end",
    "lap_on_sound", "steel_of",
]  # fmt: skip

READ: Final = "excerpt read"
COMMON: Final = "common practice, no source"
CODE: Final = "heavy-vehicle chassis code VSB6 section H, 2021"
CERTIFIER: Final = "a certifier's chassis rules, car-builder article 2019"
CONTAINER: Final = "container repair manual TM 55-8115-203-23&P"
CRANE: Final = "frame section of TM 5-4210-230-14&P-1, as quoted on a forum"
#: A wall with less than this part of its thickness as built counts as rusted; common practice, no source.
RUSTED: Final = 0.8


def _rule(
    name: str, bound: Literal["at least", "at most"], limit: float, source: str, status: str, unit: str = "mm"
) -> Rule:
    return Rule(name=name, bound=bound, limit=limit, unit=unit, source=source, status=status)


THICK: Final = _rule("thickness over that of the wall", "at most", 1.0, CODE, READ, "")
THICKER: Final = _rule("thickness over that of the wall", "at most", 1.5, CERTIFIER, READ, "")
TWICE: Final = _rule("thickness over that of the wall", "at most", 2.0, "no text allows more", COMMON, "")
INSERT: Final = _rule("length of the insert", "at least", 152.0, CONTAINER, f"{READ}; written for containers")
NEXT: Final = _rule(
    "distance to the next weld across the rail",
    "at least",
    152.0,
    CONTAINER,
    f"{READ}; written for containers: further off, or extended to meet it",
)
EDGE: Final = _rule(
    "distance of its edge from the flange's free edge",
    "at least",
    19.0,
    CRANE,
    f"{READ}; written for heat-treated rails",
)
ACROSS_RAIL: Final = _rule(
    "part of the rail's depth that its end weld runs across",
    "at most",
    0.9,
    f"{CODE}; {CERTIFIER}: no full vertical weld",
    f"{READ}; the 0.9 is {COMMON}",
    "",
)
ACROSS_FLANGE: Final = _rule("welds across a flange", "at most", 0.0, "service text of a medium truck, 2001", READ, "")
OFF_FLANGE: Final = _rule(
    "distance of its weld from the outside of the flange",
    "at least",
    19.0,
    "service text of a medium truck, 2001",
    f"{READ}; from which face it counts is {COMMON}",
)
COVERED_RUST: Final = _rule(
    "part left by mean of the wall under it",
    "at least",
    RUSTED,
    "4x4 owners' magazine 2018: cut out, let in",
    f"{READ}; the 0.8 is {COMMON}",
    "",
)


INSERT_END: Final = _rule(
    "part left by mean of the wall that it is butt-welded to",
    "at least",
    RUSTED,
    "trade: weld to metal that is not rusted",
    COMMON,
    "",
)


def beyond_joint(depth: float) -> Rule:
    """How far a plate reaches beyond a joint of the rail: twice the rail's depth."""
    return _rule("length beyond the joint", "at least", 2 * depth, CODE, READ)


def beyond_hanger(depth: float) -> Rule:
    """How far a plate reaches beyond a spring hanger: twice the rail's depth."""
    return _rule("length beyond the hanger", "at least", 2 * depth, CODE, READ)


def lap_on_sound(thickness: float) -> Rule:
    """How far a plate laps on metal that is not rusted."""
    return _rule(
        "lap on metal that is not rusted",
        "at least",
        max(25.0, 5 * thickness),
        "trade",
        "value from memory, text not seen",
    )


def steel_of(parent: float) -> Rule:
    """Yield stress of the plates."""
    return _rule("yield stress of the plates", "at least", parent, "trade", COMMON, "MPa")


def boxing_end(depth: float) -> Rule:
    """How far from a crossmember boxing may end."""
    return _rule(
        "distance of its end from the next crossmember",
        "at most",
        depth,
        "4x4 magazine letter on partial boxing (cracks at its end)",
        f"{READ}; one rail depth is {COMMON}",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a plan answers to a rule: the piece, the rule, the value found, where, and what to do if it is not kept."""

    about: str
    rule: Rule
    found: float
    where: str = ""
    hint: str = ""
    line: int = 0

    @property
    def kept(self) -> bool:
        return self.rule.holds(self.found)

    def __str__(self) -> str:
        words = f"{self.about}: {Broken(self.rule, self.found)}{', ' + self.where if self.where else ''}."
        return words if self.kept or not self.hint else f"{words} {self.hint}."


def answer(piece: object, rule: Rule, found: float, hint: str = "", where: str = "") -> Answer:
    """The answer of a piece of a plan that has a name and a line."""
    about, line = str(getattr(piece, "name", "plan")), int(getattr(piece, "line", 0))
    return Answer(about=about, rule=rule, found=found, where=where, hint=hint, line=line)
