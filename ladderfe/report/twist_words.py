"""Numbers and words that the page, the data and the diagrams of twist share."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ladderfe.checks.twist import MOST_TWIST, TwistFindings
from ladderfe.checks.twist_lifts import Lift
from ladderfe.checks.twist_stiffness import EnergyShare
from ladderfe.mesh import RACKING, JointUse
from ladderfe.report.cautions import not_checked
from ladderfe.report.table import use_share
from ladderfe.solve.lift_path import Change

__all__ = [
    "BARE", "Bar", "bay_ends", "body_words", "change_words", "energy_bars", "first_lift", "frame_words",
    "greatest_couple", "joint_rows", "knm",
    "knm_per_deg", "left_out", "lift_words", "nm_per_deg", "reach_words", "rigid_words", "short_words", "stiff",
    "stiffer_words",
]  # fmt: skip

#: Shares of energy below this are told together.
LITTLE = 5e-4
#: Left and right count as alike within this share of all energy.
ALIKE = 5e-5
BARE = (
    "The bare frame alone: equal and opposite vertical forces at both rails' shear centres make a couple at the front "
    "axle's station ({front:.0f} mm) and its opposite at the rear axle's ({rear:.0f} mm); three points hold it and "
    "nothing else acts. The stiffness is the couple over the difference of (dz right - dz left)/spacing between the "
    "two stations."
)


def knm_per_deg(stiffness: float) -> float:
    """N mm/rad in kN m/deg."""
    return stiffness * 1e-6 * math.pi / 180


def nm_per_deg(stiffness: float) -> float:
    """N mm/rad in N m/deg."""
    return stiffness * 1e-3 * math.pi / 180


def stiff(value: float) -> str:
    """A stiffness or a small angle with three decimals, and more where it takes more to show three figures: 1.234,
    0.0123."""
    small = 0 < abs(value) < 0.1
    return f"{value:.{2 - math.floor(math.log10(abs(value)))}f}" if small else f"{value:.3f}"


def knm(couple: float) -> float:
    """N mm in kN m."""
    return couple * 1e-6


def greatest_couple(t: TwistFindings, level: str, wheels: int) -> float:
    """N mm: greatest couple at the height asked for, of one wheel or of a diagonal pair, with the joints at a level."""
    return max(abs(lift.couple_at(t.height)) for lift in t.levels[level].lifts if len(lift.wheels) == wheels)


def first_lift(t: TwistFindings, level: str) -> tuple[float, str] | None:
    """Height in mm at which a wheel first lifts and what was raised then; None where none lifts."""
    found = [(c.height, lift.name) for lift in t.levels[level].lifts for c in lift.lifting]
    return min(found, default=None)


def short_words(t: TwistFindings) -> str:
    """The page in three sentences."""
    low, high = (knm_per_deg(t.twisted[name].stiffness) for name in ("low", "high"))
    one, two = (greatest_couple(t, t.used, n) for n in (1, 2))
    first = first_lift(t, t.used)
    lifts = f"no wheel lifts up to {t.lifts[0].height[-1]:.0f} mm"
    if first is not None:
        lifts = f"the first wheel lifts at {first[0]:.0f} mm ({first[1]} raised)"
    worst = t.findings.utilisations[0]
    return (
        f"Torsional stiffness {stiff(knm_per_deg(t.stiffness))} kN m/deg, {_range(t, low, high)}. "
        f"Limit couple {knm(t.couple):.2f} kN m; a wheel raised by {t.height:.0f} mm brings {knm(one):.2f} "
        f"kN m, a diagonal pair {knm(two):.2f} kN m, and {lifts}. Governing: {worst.case}, at {use_share(worst.ratio)} "
        f"of its limit{': OVER' if worst.ratio > 1 else ''}.{reach_words(t)}{_advice(t)}"
    )


def _range(t: TwistFindings, low: float, high: float) -> str:
    """The range of the joints; where rigid ones are asked for, what the estimate would give."""
    if t.used != "rigid" or not any(u.estimate is not None for u in t.joints):
        return f"{stiff(low)} to {stiff(high)} in the range of the joints"
    middle = stiff(knm_per_deg(t.twisted["middle"].stiffness))
    return f"with joints rigid as the file asks; as estimated they give {middle}, {stiff(low)} to {stiff(high)}"


def reach_words(t: TwistFindings) -> str:
    """What cannot come about, where the couple takes more twist than a frame can be turned by; else nothing."""
    beyond = t.beyond_reach
    if not beyond:
        return ""
    least, most = min(beyond.values()), max(beyond.values())
    angle = f"{least:.0f}" if round(least) == round(most) else f"{least:.0f} to {most:.0f}"
    words = (
        f" WARNING: under the couple of {len(beyond)} of the cases the frame would have to twist by {angle} degrees "
        f"between the axles, more than {MOST_TWIST:.0f} (judgement): it cannot come about, the springs take it first. "
        "Judge by the raised wheels."
    )
    within = t.worst_within_reach
    if within is not None:
        over = ": OVER" if within.ratio > 1 else ""
        words += f" Worst of the cases within reach: {within.case}, at {use_share(within.ratio)} of its limit{over}."
    return words + " Next: see whether the crossmembers really meet the web only."


def _advice(t: TwistFindings) -> str:
    """What to think of and do next where a stress is over its limit."""
    worst = t.findings.utilisations[0]
    words = ""
    if worst.ratio > 1 and not t.beyond_reach:
        words += (
            " Next: correct the file if a size or a load in it is wrong, state the joints you know, measure the wall "
            f"there ({worst.part}), take a stronger section, or keep off ground that twists so far. Close to a joint a "
            "beam's stress is rough."
        )
    return words


def stiffer_words(share: float) -> str:
    """How many times as stiff, in words: 1.35 -> "more than twice as stiff"."""
    ratio = 1 + share
    for least, words in ((4.0, "more than four times"), (3.0, "more than three times"), (2.0, "more than twice"),
                         (1.5, "more than one and a half times"), (1.4, "nearly one and a half times")):  # fmt: skip
        if ratio >= least:
            return f"{words} as stiff as"
    return "stiffer than"


def rigid_words(t: TwistFindings) -> str:
    """What rigid joints would have told, in a sentence or two."""
    estimated = any(u.estimate is not None for u in t.joints)
    share = t.rigid_error
    if not estimated:
        words = "No joint of this frame is estimated: all are as the file states them or stay rigid, so that "
        if not (t.twisted["middle"].mesh.kind == RACKING).any():
            return words + "low, middle, high and rigid are the same."
        return words + (
            "low, middle and high are the same. With rigid the rails keep the shape of their section too, which makes "
            f"the frame {100 * share:.1f} % stiffer."
        )
    stated = " Joints that the file states stay as stated." if any(u.joint.given for u in t.joints) else ""
    if share < 0.0005:
        than = "as stiff as" if share > -0.0005 else f"{-100 * share:.1f} % softer than"
        return f"With rigid joints the frame comes out {than} with those that the walls give." + stated
    if share < 0.1:
        words = f"Rigid joints come out {100 * share:.1f} % stiffer than those that the walls give: in this frame "
        return words + "other parts give way far more." + stated
    stiffer = stiffer_words(share)
    words = f"Rigid joints come out {100 * share:.0f} % too stiff: {stiffer} with those that the walls give."
    if share >= 0.4:
        words += (
            " A crossmember butted on a bare web bends that web, and a beam that is rigidly joined does not know it: "
            "it also shows too little torque in the crossmembers and mostly too little loss when one is missing."
        )
    return words + stated


def bay_ends(t: TwistFindings) -> list[str]:
    """Names of the places that divide the frame between the axles, front to rear: one more than there are bays."""
    at = {(c.station_left + c.station_right) / 2: c.name for c in t.chassis.crossmembers}
    inner = [at.get(b.end, f"{b.end:.0f} mm") for b in t.twisted[t.used].bays[:-1]]
    return ["front axle", *inner, "rear axle"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """Shares of the strain energy of a part, of both rails in a bay, or of all that is little; `all_of`: the same with
    the joints at every level."""

    name: str
    bending: float
    torsion: float
    joints: float
    all_of: Mapping[str, float]

    @property
    def total(self) -> float:
        return self.bending + self.torsion + self.joints


def energy_bars(t: TwistFindings) -> list[Bar]:
    """Energy shares, largest first; rails that are alike left and right in one, what is little in the last unless it
    is little even together."""
    shares = list(t.twisted[t.used].energy)
    groups: list[list[EnergyShare]] = []
    while shares:
        s = shares.pop(0)
        other = _twin(s, shares)
        if other is not None:
            shares.remove(other)
        groups.append([s] if other is None else [s, other])
    bars = [(_bar(t, _name(t, own[0], both=len(own) == 2), own), own) for own in groups]
    kept = sorted((b for b, _ in bars if max(b.all_of.values()) >= LITTLE), key=lambda b: -b.total)
    rest = _bar(t, "all other parts", [s for b, own in bars if max(b.all_of.values()) < LITTLE for s in own])
    return [*kept, rest] if max(rest.all_of.values()) >= LITTLE else kept


def _bar(t: TwistFindings, name: str, shares: Sequence[EnergyShare]) -> Bar:
    own = {(s.part, s.start) for s in shares}
    return Bar(
        name=name,
        bending=sum(s.bending for s in shares),
        torsion=sum(s.torsion for s in shares),
        joints=sum(s.joints for s in shares),
        all_of={
            level: sum(s.total for s in twisted.energy if (s.part, s.start) in own)
            for level, twisted in t.twisted.items()
        },
    )


def _twin(s: EnergyShare, others: Sequence[EnergyShare]) -> EnergyShare | None:
    """The other rail's stretch between the same stations with the same shares."""
    if not s.part.endswith(" rail"):
        return None
    for o in others:
        alike = max(abs(s.bending - o.bending), abs(s.torsion - o.torsion)) < ALIKE
        if o.part.endswith(" rail") and o.part != s.part and (o.start, o.end) == (s.start, s.end) and alike:
            return o
    return None


def _name(t: TwistFindings, s: EnergyShare, *, both: bool) -> str:
    if s.part.endswith(" rail"):
        return f"{'both rails' if both else s.part}, {s.start:.0f} to {s.end:.0f} mm"
    return t.twisted[t.used].mesh.part(s.part).called


def change_words(c: Change) -> str:
    """What a change on the way up is, in words with its height: "at 435 mm the front right wheel lifts"."""
    return f"at {c.height:.0f} mm the {c.support} {_verb(c)}"


def _verb(c: Change) -> str:
    if c.support.endswith(" wheel"):
        return "lifts off the ground" if c.lifts else "touches the ground again"
    if c.support.endswith(" spring"):
        return "pulls all it can and comes loose" if c.lifts else "bears again"
    return "lets go" if c.lifts else "takes hold"


def lift_words(lift: Lift) -> str:
    """What happens while a wheel is raised, in a sentence."""
    highest = float(lift.height[-1])
    words = [change_words(c) for c in lift.changes]
    if not lift.lifting:
        words.append(f"no wheel lifts up to {highest:.0f} mm")
    if lift.tipping:
        words.append(f"above {highest:.0f} mm it {lift.tipping}")
    return f"{lift.name} raised: {'; '.join(words)}."


ALONE = (
    "The body: on its mounts it stiffens the whole, a bolted load bed hardly. The frame is taken alone, as is the "
    "habit; what of the twist the body takes is not known."
)
BODY = (
    "The body but in twist: on its wheels the frame is taken as {:g} times as stiff between its axles, as the file "
    "says, and the rails have less of the twist by that; the bare frame has nothing of it."
)


def frame_words(t: TwistFindings) -> str:
    """What stands in series with the springs."""
    return "frame with its body" if t.chassis.body.stiffening > 1 else "frame"


def body_words(t: TwistFindings) -> str:
    """That the body counts on the springs, where the file says how stiff it makes the frame; else nothing."""
    s = t.chassis.body.stiffening
    if not s > 1:
        return ""
    bare, whole = (stiff(knm_per_deg(k)) for k in (t.stiffness, t.with_body(t.used)))
    return (
        f" The body makes the frame {s:g} times as stiff in twist, as the file says: {whole} instead of {bare} kN "
        "m/deg, here and in all that follows on the wheels."
    )


def left_out(t: TwistFindings) -> list[str]:
    """What the study of twist leaves out."""
    s = t.chassis.body.stiffening
    return [
        BODY.format(s) if s > 1 else ALONE,
        "Dampers, rubber bushes, shackles, friction in leaves; tyres count as rigid unless the file gives their rate.",
        "Large angles: an angle is a height over a track, which at 600 mm is off by some 5 %.",
        *not_checked(t.findings),
    ]


def joint_rows(t: TwistFindings) -> tuple[list[list[str]], list[str]]:
    """Rows of the joints of crossmembers (both ends in one where alike), and their warnings in words."""
    names = [c.name for c in t.chassis.crossmembers]
    rows, warnings = list[list[str]](), dict[str, list[str]]()
    for name in names:
        left, right = (_joint_row(u) for u in t.joints if u.part == name)
        ends = [(name, left)] if left == right else [(f"{name}, left", left), (f"{name}, right", right)]
        rows += [[end, *row] for end, row in ends]
        for u in t.joints:
            for words in u.joint.warnings:
                if u.part == name and name not in warnings.setdefault(words, []):
                    warnings[words].append(name)
    return rows, [f"{', '.join(parts)}: {words}." for words, parts in warnings.items()]


def _joint_row(u: JointUse) -> list[str]:
    cells = []
    for k in (3, 5):
        cells.append(_spring(u.joint.stiffness[k]))
        cells += ["", ""] if u.estimate is None else [_spring(u.estimate.low[k]), _spring(u.estimate.high[k])]
    if u.joint.given:
        return [*cells, "as the file states it"]
    return [*cells, u.estimate.kind if u.estimate is not None else "no estimate: rigid"]


def _spring(stiffness: float) -> str:
    if math.isinf(stiffness):
        return "rigid"
    return f"{stiffness / 1e6:.1f}" if stiffness < 1e8 else f"{stiffness / 1e6:.0f}"
