"""Sentences of a repair plan's page: what it comes to, and what to do next."""

from __future__ import annotations

from math import pi

from ladderfe.chassis.faults import listed
from ladderfe.checks.repair import RepairFindings
from ladderfe.checks.repair_needs import Need
from ladderfe.checks.repair_places import bare_parts
from ladderfe.checks.repair_uses import PlaceUse
from ladderfe.checks.utilisation import Utilisation
from ladderfe.condition.left_open import left_open
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.plan_changes import change_words
from ladderfe.report.table import use_share

__all__ = ["KNM_PER_DEG", "REPAIR_CAUTIONS", "long_lists", "need_words", "next_words", "states_word", "summary_words"]

#: N mm/rad to kN m/deg.
KNM_PER_DEG = 1e-6 * pi / 180
#: What belongs to repairs beside the usual cautions (common practice; support of vehicles as in HSE leaflet INDG434).
REPAIR_CAUTIONS = (
    *CAUTIONS,
    "Welding near brake and fuel lines, looms, bushes and dampers: take them out of the way or shield them, and put "
    "the earth clamp on the piece that is welded, near the weld.",
    "The frame must not move while it is cut and welded: stand it level as the plan states, on metal that holds, brace "
    "across the cut, weld in short lengths from side to side, measure diagonals before, between and after.",
    "High-strength and heat-treated rails lose strength beside a weld; ask what the maker allows before you weld.",
    "The rules of the trade named here are no law; those of your country count, and some allow no plates at all.",
)
#: So many of a kind are named in a sentence.
NAMED = 3


def states_word(f: RepairFindings) -> str:
    """Where the state as found comes from."""
    readings = f.states.plan.readings
    return f"as read in {readings}" if readings else "taken as built, for the plan names no readings"


def _governs(u: Utilisation) -> str:
    return f"{percent(u.ratio)} ({u.part} at {place_words(u)}, {u.wall}, {u.case})"


def summary_words(f: RepairFindings) -> list[str]:
    """In short: what governs in each state, cases over a limit, stiffness, rules."""
    over = [len(s.cases_over()) for s in (f.built, f.found, f.repaired)]
    cases = len(f.repaired.solution.cases) - 1
    lines = [
        f"As built {_governs(f.built.utilisations[0])}, {over[0]} of {cases} cases over a limit.",
        f"As found ({states_word(f)}) {_governs(f.found.utilisations[0])}, {over[1]} over.",
        f"As repaired {_governs(f.repaired.utilisations[0])}, {over[2]} over.",
    ]
    if (worst := f.staged.worst) is not None and f.staged.support and worst.ratio > f.repaired.utilisations[0].ratio:
        lines.append(f"Welded while it stands ({f.staged.support}), so that old metal keeps what it then carries: "
                     f"{_governs(worst)}.")  # fmt: skip
    if changed := change_words(f.states):
        lines.append(changed)
    if all(t is not None for t in f.twist):
        values = [t * KNM_PER_DEG for t in f.twist if t is not None]
        words = " / ".join(f"{v:#.3g}" for v in values)
        lines.append(f"Torsional stiffness of the bare frame as built / as found / as repaired: {words} kN m/deg "
                     f"({100 * (values[2] / values[0] - 1):+.1f} % from as built).")  # fmt: skip
    worse = f.worse
    if worse:
        told = "; ".join(_rise(u) for u in worse[:NAMED])
        more = f"; and {len(worse) - NAMED} more" if len(worse) > NAMED else ""
        lines.append(f"WORSE than as found, for load moves to what is stiffer: {told}{more}.")
    if open_ := left_open(f.states):
        lines.append(f"HOLES that stay open under hangers or joints: {len(open_)}, under "
                     f"{listed(dict.fromkeys(name for o in open_ for name, _ in o.there), 'and')}.")  # fmt: skip
    broken = f.broken
    lines.append(f"Rules of the trade: {len(broken)} of {len(f.answers)} answers are not kept."
                 if f.answers else "Rules of the trade: the plan has nothing that they speak of.")  # fmt: skip
    return lines


def _rise(u: PlaceUse) -> str:
    before, after = u.found, u.repaired
    if before is None or after is None:
        return u.name
    return f"{u.name} {use_share(before.ratio).removesuffix(' %')} to {percent(after.ratio)}"


def next_words(f: RepairFindings) -> list[str]:
    """What to do next, in the order of weight."""
    out = []
    u = f.repaired.utilisations[0]
    if f.exceeded:
        as_built = f.built.utilisations[0]
        place = next((s for s in f.stretches if (s.side and s.repaired == u) or s.name == u.part), None)
        same = " It is over as built too: no repair of rust alone brings that down." if as_built.ratio > 1 else ""
        what = f" ({place.what})" if place is not None and place.what else ""
        out.append(f"Governing as repaired: {_governs(u)}{what}.{same}")
    left = [words for n in f.needs if (words := _bare_words(f, n))]
    if left:
        more = f"; and {len(left) - NAMED} more" if len(left) > NAMED else ""
        out.append(f"Rusted metal that no insert of the plan replaces: {'; '.join(left[:NAMED])}{more}. Let pieces in "
                   "there, or make those of the plan longer.")  # fmt: skip
    pieces = dict.fromkeys(a.about for a in f.broken)
    if pieces:
        out.append(f"Change what does not keep to the rules, and run the plan again: {'; '.join(pieces)}.")
    ends = [s for s in f.steps if max(s.EI, s.GJ) > 1.5]
    if ends:
        s = max(ends, key=lambda s: max(s.EI, s.GJ))
        out.append(f"Stiffness steps by {max(s.EI, s.GJ):.3g} at {s.station:g} mm ({s.piece}): taper that end, or take "
                   "a thinner plate; cracks begin where stiffness steps.")  # fmt: skip
    if f.states.plan.support and not f.staged.why:
        out.append("Welded unloaded, new metal works from the first: take weight off the frame before you weld, and "
                   "set the two tables of old and new metal against each other.")  # fmt: skip
    return out or [
        "Measure the walls beside the new metal, and compare plans: `ladderfe compare PLAN.toml OTHER.toml`."
    ]


def _bare_words(f: RepairFindings, n: Need) -> str:
    """Of one rusted stretch what no insert replaces; "" where all is."""
    parts = [f"{p.start:.0f} to {p.end:.0f}" for p in bare_parts(f.states.plan, n.side, n.spot)]
    return f"{n.side} {n.spot.wall} {' and '.join(parts)} mm" if parts else ""


def need_words(n: Need) -> str:
    """What one rusted stretch needs by its section."""
    a, b = n.insert_reach
    left = "a hole" if n.spot.left == 0 else f"{100 * n.spot.left:.0f} % left by mean"
    words = (f"{n.side} rail, {n.spot.wall}, {n.spot.start:.0f} to {n.spot.end:.0f} mm ({left}): let in {n.insert:g} "
             f"mm from {a:.0f} to {b:.0f} mm.")  # fmt: skip
    if n.plate is None:
        why = "a hole is no ground for a plate" if n.spot.left == 0 else "no thickness up to 12 mm does it"
        return f"{words} Lapped plate: none, {why}."
    c, d = n.plate_reach
    ends = f", 2 rail depths past the {' and the '.join(n.hangers)}" if n.hangers else ""
    steps = listed([f"{x:.0f}" for x in n.steps], "and") if n.steps else ""
    cut = f"; cut it at the step of the section at {steps} mm" if steps else ""
    return f"{words} A lapped plate would be {n.plate:g} mm thick, from {c:.0f} to {d:.0f} mm{ends}{cut}."


def long_lists(every: bool, most: int) -> int | None:
    """How many rows of a table are shown; None: all."""
    return None if every else most
