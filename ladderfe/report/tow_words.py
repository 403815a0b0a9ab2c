"""Words and figures of the limits of towing, for the page and the data."""

from __future__ import annotations

from math import floor, log10

from ladderfe.cases.types import GRAVITY
from ladderfe.checks.largest_turn import SMALL_TURN, greatest_turn
from ladderfe.checks.tow_loads import Load
from ladderfe.checks.towing import MOST, Limit, TowFindings
from ladderfe.report.cautions import NO_INSPECTION, USUAL, not_checked
from ladderfe.report.governing_text import place_words
from ladderfe.report.table import number, use_share

__all__ = [
    "CAUTIONS_TOWING", "NEVER", "amount", "beside_limit", "down", "how_words", "in_unit", "left_out",
    "over_without", "shown", "stated", "times", "turned", "unit_of",
]  # fmt: skip

#: Where a load may grow as far as is looked.
NO_LIMIT = "no limit"
#: What does not happen on the ground, whatever the load.
NEVER = "never"
#: Figures of a limit; it is rounded down.
FIGURES = 4
#: Cautions of towing and pulling (common practice; dangers of stored energy as in guides to recovery straps).
CAUTIONS_TOWING = (
    "These limits are of the frame's beams alone. What is stated on coupling, towbar, winch, line, shackles, straps, "
    "tyres, springs and in the vehicle's papers may be far less, and the least of all counts.",
    "A strap, rope or hook that breaks or tears out under load flies with enough force to kill. Nobody stands near the "
    "line or in line with it; never hook on to a ball coupling, a bumper or a lashing eye.",
    "A load behind the rear axle takes weight off the front wheels, and with it steering and braking, long before they "
    "lift.",
    "They hold for the stated walls, permissible stresses and weights. " + NO_INSPECTION,
    *USUAL,
)
#: What limits of towing leave out beside what every set of findings does.
LEFT_OUT = (
    "Coupling, towbar, winch bed, eyes and their bolts and welds, and the wall they hang on: the pull enters the beam "
    "of its part as if spread over the section.",
    "Fatigue: a trailer pulls and pushes at every bump, and cracks start far below these limits.",
    "How a trailer sways, what brakes hold, what engine and clutch can pull.",
)


def in_unit(load: Load, newtons: float) -> float:
    """In kg for a mass, in kN for a pull."""
    return newtons / GRAVITY * 1000 if load.weight else newtons / 1000


def unit_of(load: Load) -> str:
    """Unit of a load's magnitude."""
    return "kg" if load.weight else "kN"


def down(value: float) -> float:
    """Rounded down to four figures."""
    if value <= 0:
        return 0.0
    unit = 10.0 ** (floor(log10(value)) - FIGURES + 1)
    return floor(value / unit * (1 + 1e-12)) * unit


def amount(load: Load, newtons: float | None, none: str = NEVER) -> str:
    """A magnitude in its unit, without it."""
    return none if newtons is None else number(down(in_unit(load, newtons)))


def shown(limit: Limit) -> str:
    """The limit with its unit, or why there is none."""
    if limit.greatest is not None:
        return f"{amount(limit.load, limit.greatest)} {unit_of(limit.load)}"
    return {"already over": "already over", "tips over": "tips first", "none": NO_LIMIT}[limit.reach.how]


def beside_limit(t: TowFindings, limit: Limit) -> dict[str, float]:
    """The greatest utilisations of webs at spring seats and of thin walls with the load at its limit; none where there
    is no such state."""
    b, name = t.findings.buckling, limit.load.name
    both = {"web at a spring seat": b.seats_by_case(), "thin walls": b.walls_by_case()}
    return {what: own[name] for what, own in both.items() if name in own}


def times(value: float) -> str:
    """So many times the vehicle's weight."""
    return f"{value:.2f}" if value < 10 else f"{value:.0f}"


def how_words(t: TowFindings) -> list[str]:
    """One sentence for every limit that is no number."""
    out = []
    for limit in t.limits:
        load, r = limit.load, limit.reach
        size = f"{amount(load, r.magnitude)} {unit_of(load)}"
        if r.how == "already over":
            out.append(f"{load.name}: already over without it, {use_share(r.without)} of the limit; no load is left.")
        elif r.how == "tips over":
            out.append(f"{load.name}: the vehicle {r.words} at {size}{_factored(load)}, with {use_share(r.ratio)}.")
        elif r.how == "none":
            times_weight = f"{MOST:g} times the vehicle's weight"
            out.append(f"{load.name}: no limit up to {size} ({times_weight}), {use_share(r.ratio)}.")
    return out


def over_without(t: TowFindings) -> str:
    """What of the chassis' own cases is over its limit before any of these loads comes, or ""."""
    u = t.own
    if u is None or u.ratio <= 1:
        return ""
    return (f"OVER the limit already without any of these loads: {u.case}, {use_share(u.ratio)} ({u.part} at "
            f"{place_words(u)}, {u.wall}); see `ladderfe check`. The limits below leave that case aside.")  # fmt: skip


def _factored(load: Load) -> str:
    return f" times {load.factor:g}" if load.weight and load.factor != 1 else ""


def stated(t: TowFindings) -> list[str]:
    """What the chassis file states against the limit: nose weight and rated line pull."""
    out, tow = [], t.chassis.towing
    for group, weight, newtons, words in (
        ("coupling", True, tow.nose * GRAVITY, "nose weight"),
        ("winch", False, tow.line_pull, "rated line pull"),
    ):
        own = [x for x in t.of(group) if x.load.weight == weight and x.greatest is not None]
        if not newtons or not own:
            continue
        least = min(own, key=lambda x: x.greatest or 0.0)
        part = newtons / (least.greatest or 1.0)
        figure = f"{number(in_unit(least.load, newtons))} {unit_of(least.load)}"
        over = ", OVER" if part > 1 else ""
        out.append(f"Stated {words} {figure}: {100 * part:.0f} % of the limit for {least.load.name}{over}.")
    return out


def turned(t: TowFindings) -> str:
    """A warning where the frame turns so far at some limit that its movements are no longer small, or ""."""
    turn = greatest_turn(t.findings.solution)
    if turn.degrees <= SMALL_TURN:
        return ""
    return (
        f"WARNING: at its limit {turn.where} turns by {turn.degrees:.1f} degrees against the frame as a whole "
        f"({turn.case}). Beyond about {SMALL_TURN:.0f} degrees (common practice, no source) movements are no longer "
        "small, and that limit shows only that the frame is very soft there."
    )


def left_out(t: TowFindings) -> list[str]:
    """What the limits leave out."""
    return [*LEFT_OUT, *not_checked(t.findings)]
