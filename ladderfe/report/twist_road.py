"""The parts of the page of twist that tell what the road asks and what the springs let through."""

from __future__ import annotations

from collections.abc import Callable
from math import degrees, isnan

import numpy as np

from ladderfe.checks.twist import TwistFindings
from ladderfe.checks.twist_lifts import WHEELS, GroundLoad
from ladderfe.checks.utilisation import Utilisation
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.twist_words import (
    body_words,
    first_lift,
    frame_words,
    greatest_couple,
    knm,
    knm_per_deg,
    lift_words,
    stiff,
)

__all__ = ["case_groups", "road_parts"]

APART = (
    "Series and solved part where a spring comes loose, a stop or strap takes hold, seats lie off the axle's station "
    "or the rails' middles, or independent wheels bring their couple to the rails."
)


def road_parts() -> tuple[Callable[[TwistFindings], list[str]], ...]:
    """The parts, in order."""
    return _limit, _series, _raised, _cases


def _limit(t: TwistFindings) -> list[str]:
    rows = [
        [g.axle, f"{g.load / 1000:.2f}", f"{g.unsprung / 1000:.2f}", f"{g.track / 1000:.3f}", f"{knm(g.couple):.2f}"]
        for g in t.ground
    ]
    g = next(g for g in t.ground if g.axle == t.lighter)
    head = ["axle", "on the ground kN", "of that unsprung kN", "track m", "couple kN m"]
    words = (
        f"Limit couple: {_product(g, g.load)} = {knm(g.couple):.2f} kN m, at the {g.axle} axle: it takes all load "
        "off one wheel of an axle that stands evenly, and standing or crawling no road brings more. Where left and "
        "right stand unlike, the lighter side is off the ground a little sooner and the other a little later than "
        "this, counted from standing. The unsprung weight holds the wheel down and "
        f"counts: without it {_product(g, g.load - g.unsprung)} would come to {knm(g.couple_without_unsprung):.2f} "
        "kN m, which is NOT used."
    )
    return [*heading("What the road can ask: the limit couple"), *table(head, rows, "lrrrr"), *paragraph(words)]


def _product(g: GroundLoad, load: float) -> str:
    return f"{load / 1000:.2f} kN x {g.track / 1000:.3f} m / 2"


def _series(t: TwistFindings) -> list[str]:
    s = t.series
    parts = (("front axle on its springs", s.front), ("rear axle on its springs", s.rear), (frame_words(t), s.frame))
    rows = [[name, stiff(knm_per_deg(k)), f"{100 * s.total / k:.1f}"] for name, k in parts]
    rows.append(["all in series", stiff(knm_per_deg(s.total)), "100.0"])
    track = t.ground[0].track
    angle, couple = degrees(t.height / track), s.couple(("front left",), t.height)
    words = (
        f"1/K = 1/K front + 1/K rear + 1/K frame. A front wheel raised by {t.height:.0f} mm at a track of {track:.0f} "
        f"mm is {angle:.1f} degrees and brings {knm(couple):.2f} kN m, {100 * couple / t.couple:.0f} % of the limit "
        "couple, while every spring and wheel holds."
    )
    words += body_words(t)
    head = ["in twist", "kN m/deg", "share of the give %"]
    return [*heading("What the springs let through: springs and frame in series"), *table(head, rows, "lrr"),
            *paragraph(words)]  # fmt: skip


def _raised(t: TwistFindings) -> list[str]:
    h = t.height
    rows = []
    for lift in t.lifts:
        at, couple = lift.at(h), abs(lift.couple_at(h))
        by_series = abs(t.series.couple(lift.wheels, h))
        rows.append(
            [
                ", ".join(lift.wheels),
                f"{knm(by_series):.2f}",
                _number(knm(couple)),
                "" if isnan(couple) else f"{100 * couple / t.couple:.0f} %",
                *(_number(at[f"{w} wheel"] / 1000) for w in WHEELS),
            ]
        )
    head = ["raised", "series", "solved", "of limit", *(w.replace("front", "fr.") for w in WHEELS)]
    out = [*heading(f"Wheels raised by {h:.0f} mm: couple added since standing, kN m, and wheel loads, kN")]
    out += [*table(head, rows, "lrrrrrrr"), *paragraph(APART), *_carrying(t), "", *_by_joints(t), ""]
    out += [f"On the way up, joints {t.used}:"]
    quiet = [lift for lift in t.lifts if not lift.changes and not lift.tipping]
    for lift in t.lifts:
        if lift not in quiet:
            out += paragraph(lift_words(lift), "  ", "- ")
    if len(quiet) == len(t.lifts):
        out[-1] = f"On the way up to {t.lifts[0].height[-1]:.0f} mm no wheel lifts (joints {t.used})."
    elif quiet:
        names = "; ".join(lift.name for lift in quiet)
        out += paragraph(f"No wheel lifts up to {quiet[0].height[-1]:.0f} mm: {names} raised.", "  ", "- ")
    return out + _without_stops(t)


def _by_joints(t: TwistFindings) -> list[str]:
    """How little the joints change of it: stiff springs make a soft frame matter, soft springs hide it."""
    rows = []
    for name in t.levels:
        series = t.series_at(name)
        first = first_lift(t, name)
        couples = (_number(knm(greatest_couple(t, name, n))) for n in (1, 2))
        rows.append(
            [name, stiff(knm_per_deg(series.total)), *couples, "none" if first is None else f"{first[0]:.0f}"]
        )
    head = ["by joints", "in series kN m/deg", "one wheel kN m", "diagonal pair kN m", "first wheel lifts at mm"]
    return table(head, rows, "lrrrr")


def _number(value: float) -> str:
    return "none" if isnan(value) else f"{value:.2f}"


def _carrying(t: TwistFindings) -> list[str]:
    """Bump stops and straps that carry something at the height asked for."""
    words = []
    for lift in t.lifts:
        own = {n: f for n, f in lift.at(t.height).items() if n.endswith((" bump stop", " droop strap")) and f > 0.5}
        if own:
            listed = ", ".join(f"{n} {f / 1000:.2f} kN" for n, f in own.items())
            words.append(f"With {lift.name} raised by {t.height:.0f} mm carry: {listed}.")
    return [line for w in words for line in paragraph(w)]


def _without_stops(t: TwistFindings) -> list[str]:
    if any(np.isfinite([a.bump_gap, a.droop]).any() for a in t.chassis.axles):
        return []
    return paragraph(
        "The file gives no bump stops and no droop straps: where they take hold, the couple rises faster toward the "
        "limit and wheels lift sooner."
    )


def case_groups(t: TwistFindings) -> list[tuple[str, list[str]]]:
    """Twist cases that are the same but for side and axle: (what they are, names), in the order solved."""
    groups: dict[str, list[str]] = {}
    for spec in t.findings.chassis.cases:
        if spec.kind == "raised":
            number = "one wheel" if len(spec.wheels) == 1 else "diagonal pair"
            key = f"{number} raised by {spec.height:.0f} mm"
        elif spec.kind in ("limit twist", "one wheel bump"):
            key = f"{spec.kind}, {spec.factor:g} x limit couple"
        else:
            continue
        groups.setdefault(key, []).append(spec.name)
    return list(groups.items())


def _governing(t: TwistFindings, names: list[str]) -> Utilisation:
    return next(u for u in t.findings.utilisations if u.case in names)


def _cases(t: TwistFindings) -> list[str]:
    levels = list(t.ratios)
    where, joints, reach = [], [], list[str]()
    for what, names in case_groups(t):
        u = _governing(t, names)
        needs = max((t.beyond_reach.get(n, 0.0) for n in names), default=0.0)
        if needs:
            reach.append(f"{what} {needs:.0f}")
        joints.append([what, *(percent(max(t.ratios[level][n] for n in names)) for level in levels)])
        wall = u.wall if u.criterion == "web shear" else u.point
        where.append([u.case, u.part, place_words(u).removesuffix(" mm"), f"{u.stress:.1f} of {u.limit:.0f}",
                      f"{wall}: {u.criterion}"])  # fmt: skip
    out = heading("Twist cases: greatest stress in % of its limit, by joints")
    out += table(["cases, the worst of them", *levels], joints, "l" + "r" * len(levels))
    if reach:
        out += paragraph(
            f"WARNING: beyond reach, by the twist they need between the axles in degrees: {'; '.join(reach)}. Their "
            "percentages count for no OVER in the exit status, the raised wheels do."
        )
    out += ["", f"Where it governs, N/mm2, joints {t.used}:"]
    out += table(["case", "part", "at mm", "stress", "wall and criterion"], where, "llrrw")
    criteria = t.chassis.criteria
    out += ["", *paragraph(f"Limits: {criteria.source}")] if criteria.source else []
    out += paragraph(
        "The limit couple alone carries no weight; the one wheel bump is standing laden at 1 g with the couple on top, "
        "factor 1.3 on roads to 1.8 on rough ground (course text on loads on vehicle structures); raised wheels stand "
        "as the springs let them."
    )
    return out
