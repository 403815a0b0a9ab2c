"""Sentences on the slots that hold sleeves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isinf

from ladderfe.advice.slot_sizes import SlotSize
from ladderfe.condition.plan_types import Slots
from ladderfe.connections.inputs import COMMON, MEMORY

__all__ = ["SLOTTED", "assumed_words", "slot_advice", "slot_words", "slots_summary", "slots_words", "use_words"]

SLOTTED = (
    "kN: on the most loaded slot. Between its own end and the joint the sleeve is a free body: its share of the rail's "
    "force, shear, moments and torque comes in through the slots there, which hold along their walls as an elastic "
    "group, the sleeve stiff (as bolt groups are reckoned); between two joints they bring in what it has at the one "
    "less what it has at the other. One slot carries, by its weld, the hole's area times the strength "
    "where it is filled (EN 1993-1-8 4.3.5, 4.6), or the throat times the line through its middle where a "
    f"fillet runs round its edge (4.3.3, AISC 360 J2.2b), at most the area [{MEMORY}]; by the WALL its edge times t "
    "fy/1.73 of the thinner of both walls, no factor: the lesser counts. What pulls the walls apart, and fatigue at "
    "the ends of slots, is not in it."
)


def assumed_words(s: Slots) -> str:
    """Which sizes nobody stated; "" where the plan has all."""
    if not s.assumed:
        return ""
    return f" ASSUMED, as the plan does not state it: {_listed(s.assumed)} [{COMMON}]; state slots of the sleeve."


def slots_words(own: Sequence[SlotSize]) -> str:
    """How a sleeve is held, from all its walls and sides."""
    s = own[0]
    d = s.demand
    size = f"{d.slots.length:g} x {d.slots.width:g} mm every {d.slots.pitch:g} mm"
    if s.throat:
        made = f"a fillet of throat {s.throat:.2f} mm round the edge of each, {s.girth:.0f} mm"
    else:
        made = f"each filled, {s.area:.0f} mm2"
    joints = [f"{j:.0f}" for j in dict.fromkeys(j for s in own for j in (s.demand.joint, s.demand.until))]
    if not d.joined:
        at = f"no joint of the plan under it: its middle, {joints[0]} mm"
    elif len(joints) == 1:
        at = f"joint at {joints[0]} mm"
    else:
        at = f"joints from {joints[0]} to {joints[-1]} mm"
        if not any(s.demand.end == "between" for s in own):
            at += ", no slot between them: what is there hangs on its butt welds"
    return f"slots of {size}, {made}; {at}.{assumed_words(d.slots)}"


def use_words(use: float) -> str:
    """In percent; none holds where there is no slot."""
    return "none holds" if isinf(use) else f"{100 * use:.0f} %"


def slot_words(s: SlotSize) -> str:
    """Whether the slots carry their force, in a few words; "butt must hold": they do not carry all without it."""
    if s.use > 1:
        return "TOO FEW"
    if s.loose:
        return "NOT HELD"
    return "butt must hold" if s.demand.joined and s.use_alone > 1 else "fits"


def slot_advice(own: Sequence[SlotSize]) -> Iterator[str]:
    """What to do about the slots of one sleeve, and what they would carry without the butt weld."""
    bare = [s for s in own if not s.planned]
    if bare:
        d = bare[0].demand
        yield (f"No slot fits in {d.end} of the joint: make the sleeve at least {bare[0].reach(1):.0f} mm long on that "
               "side.")  # fmt: skip
    few = [s for s in own if s.use > 1 and s.planned]
    if few:
        yield f"TOO FEW in {_most(few)}"
    for end in dict.fromkeys(_where(s) for s in own if s.planned):
        s = next(s for s in own if _where(s) == end)
        if s.loose:
            yield (f"NOT HELD, {end}: slots where these are do not hold {_listed(s.loose)} of the sleeve, "
                   "which leans on the rail's walls there instead: give slots to a second pair of walls, and two or "
                   "more a side.")  # fmt: skip
    if square := dict.fromkeys(n for s in own for n in s.demand.left if "shear" in n):
        yield (f"{_listed(tuple(square)).capitalize()}, square to all walls that have slots, goes by contact: the "
               "sleeve must fit closely.")  # fmt: skip
    if own[0].demand.joined and not bare:
        yield _without_butt(own)


def _listed(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _most(own: Sequence[SlotSize]) -> str:
    """Which wall asks for most slots, and how to give them."""
    s = max(own, key=lambda s: s.use)
    n = s.asks(s.use)
    return (f"{_place(s)}: about {n} slots are asked for, {s.planned} planned; {_longer(s, n)}, or take longer slots, "
            "or a thicker sleeve where the WALL is the lesser.")  # fmt: skip


def _place(s: SlotSize) -> str:
    return f"the {s.demand.wall} wall, {_where(s)}"


def _where(s: SlotSize) -> str:
    """On which side of the joint, or between which two."""
    d = s.demand
    joints = f"between the joints at {d.joint:.0f} and {d.until:.0f} mm"
    return joints if d.end == "between" else f"{d.end} of the joint"


def _longer(s: SlotSize, number: int) -> str:
    """How to find room for so many slots."""
    if s.demand.end == "between":
        return f"make the piece between the joints about {s.reach(number):.0f} mm long"
    return f"make the sleeve about {s.reach(number):.0f} mm long on that side"


def _without_butt(own: Sequence[SlotSize]) -> str:
    s = max(own, key=lambda s: s.use_alone)
    words = (f"Were the butt weld not to count, the slots would hold all that the rail carries: {_place(s)}, "
             f"{s.demand.alone / 1000:.2f} kN on one ({s.demand.alone_case}), {use_words(s.use_alone)}")  # fmt: skip
    if s.use_alone <= 1:
        return f"{words}."
    return f"{words}: the butt weld MUST HOLD, or {_longer(s, s.asks(s.use_alone))}."


def slots_summary(slots: Sequence[SlotSize]) -> Iterator[str]:
    """In short."""
    if not slots:
        return
    s = max(slots, key=lambda s: (s.use > 1, bool(s.loose), s.use))
    yield (f"Slots of sleeves: most is {s.demand.force / 1000:.2f} kN on one slot ({s.demand.plate.name}, {_place(s)}, "
           f"{s.demand.case}), {use_words(s.use)} of what it carries: {slot_words(s)}.")  # fmt: skip
