"""Limits of towing, winching and loads behind the rear axle as a page for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.cases.types import GRAVITY
from ladderfe.checks.towing import Limit, TowFindings
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cautions import cautions_text
from ladderfe.report.governing_text import beside_words, percent, place_words
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.table import heading, number, paragraph, table, use_share
from ladderfe.report.tow_words import (
    CAUTIONS_TOWING,
    NEVER,
    amount,
    beside_limit,
    how_words,
    left_out,
    over_without,
    shown,
    stated,
    times,
    turned,
    unit_of,
)

__all__ = ["tow_text"]

#: Beside limits at which a thin wall or a web at a spring seat is over; what is over by less is rounding.
MARK, ROUNDING = "*", 1e-4
FIRST = {"lifts": "wheel lifts", "tips": "tips over", "slides": "wheels slide"}


def tow_text(t: TowFindings, source: str) -> str:
    """The whole page; `source` names the chassis file."""
    out = head_lines(t.chassis, "limits of towing", source)
    if not t.proven:
        return short_page(out, t.all_proofs, "limits")
    out += ["", *_how(t)]
    for part in (_points, _behind, _ground, _beside):
        out += part(t)
    out += bullets("Not checked", left_out(t))
    return "\n".join([*out, *proof_lines(t.all_proofs), *cautions_text(CAUTIONS_TOWING)])


def _how(t: TowFindings) -> list[str]:
    """What the limits mean."""
    weight = f"{number(round(1000 * t.weight / GRAVITY))} kg"
    out = paragraph(
        "Each load grows, one at a time, until the governing stress of the whole frame is exactly at its limit: "
        f"100 %. The vehicle is laden as weighed, {weight} in all. Limits are rounded down."
    )
    if t.chassis.criteria.source:
        out += paragraph(f"Permissible stresses: {t.chassis.criteria.source}")
    for words in filter(None, (over_without(t), *t.missing)):
        out += paragraph(words)
    return out


def _points(t: TowFindings) -> list[str]:
    own = t.of("coupling", "winch", "recovery")
    if not own:
        return []
    told = (*t.of("coupling", "winch"), *_worse_way(t.of("recovery")))
    rows = [_row(t, x) for x in told]
    head = ["load", "greatest", "x weight", "with it", "governs", "at mm", "wall", "criterion"]
    out = [
        *heading("What the frame bears at coupling, winch and recovery points"),
        *table(*_marked(t, told, head, rows, "lrrrlrll", 2)),
        "",
        *_mark_words(t, told),
    ]
    out += paragraph(f"Without any of these loads: {percent(own[0].reach.without)}, the vehicle itself at 1 g.")
    if t.of("coupling"):
        factor, why = t.nose_factor
        out += paragraph(f"Nose weight: as it rests on the coupling; it counts {factor:g} times for bounces ({why}).")
    held = [f"{x.load.name.split(',')[0]}: {_held(x)}" for x in own if x.load.case.kind != "nose weight"]
    if held:
        out += paragraph(f"Pulls, what holds against them: {'; '.join(dict.fromkeys(held))}.")
    if t.of("recovery"):
        out += paragraph(
            "Straps: to the side that the frame bears less, angles in plan. A strap that breaks may pull 2 to 3 times "
            "the laden mass of the lighter vehicle (guides to recovery straps): compare with 'x weight'." + _legs(t)
        )
    for words in (*stated(t), *_named(t, own)):
        out += paragraph(words)
    return out


def _worse_way(limits: Sequence[Limit]) -> list[Limit]:
    """Of pulls to the left and to the right by the same angle the one that the frame bears less."""
    pairs: dict[tuple[tuple[str, ...], float], list[Limit]] = {}
    for x in limits:
        pairs.setdefault((x.load.case.at, abs(x.load.case.angle)), []).append(x)
    return [min(p, key=lambda x: x.reach.magnitude) for p in pairs.values()]


def _row(t: TowFindings, x: Limit) -> list[str]:
    u, weights = x.governing, "" if x.greatest is None else times(x.greatest / t.weight)
    with_it = "" if x.reach.how == "already over" else percent(round(x.reach.ratio if u is None else u.ratio, 6))
    place = ["", "", "", ""] if u is None else [u.part, place_words(u).removesuffix(" mm"), u.wall, u.criterion]
    return [x.load.name, shown(x), weights, with_it, *place]


def _over(t: TowFindings, x: Limit) -> list[str]:
    """What of thin walls and webs at spring seats is over its limit with the load at its own, and how far."""
    return [f"{what} {use_share(ratio)}" for what, ratio in beside_limit(t, x).items() if ratio > 1 + ROUNDING]


def _marked(
    t: TowFindings, limits: Sequence[Limit], head: list[str], rows: list[list[str]], align: str, at: int
) -> tuple[list[str], list[list[str]], str]:
    """A table with a column of marks before column `at`, where any of its limits is marked."""
    if not any(_over(t, x) for x in limits):
        return head, rows, align
    marks = [MARK if _over(t, x) else "" for x in limits]
    more = [[*row[:at], mark, *row[at:]] for row, mark in zip(rows, marks, strict=True)]
    return [*head[:at], "", *head[at:]], more, align[:at] + "l" + align[at:]


def _mark_words(t: TowFindings, limits: Sequence[Limit]) -> list[str]:
    """What the marks mean, and how far over."""
    named = [f"{x.load.name} ({' and '.join(_over(t, x))})" for x in limits if _over(t, x)]
    if not named:
        return []
    words = f"Other checks are OVER at this load already, so the frame bears less: {'; '.join(named)}."
    return paragraph(f"{MARK} {words} See Thin walls.")


def _held(x: Limit) -> str:
    against = x.load.case.against
    return {"wheels": "all four wheels", "dug in": "wheels dug in", "inertia": "inertia"}.get(against, against)


def _legs(t: TowFindings) -> str:
    reach = next((x.load.case.bridle for x in t.of("recovery") if len(x.load.case.at) == 2), 0.0)
    return f" Bridle: its legs meet {reach:.0f} mm in front of the two points." if reach else ""


def _named(t: TowFindings, own: Sequence[Limit]) -> list[str]:
    """Sentences for limits that are no numbers."""
    names = tuple(x.load.name for x in own)
    return [words for words in how_words(t) if words.startswith(tuple(f"{n}:" for n in names))]


def _behind(t: TowFindings) -> list[str]:
    own = t.of("behind")
    out = heading("Loads behind the rear axle")
    axle = t.chassis.axles[1].station
    if not own:
        return [*out, *paragraph(f"No rail reaches behind the rear axle at {axle:.0f} mm.")]
    factor, why = t.rear_factor
    out += paragraph(
        f"One load more, shared evenly by both rails at one station, where the body's weight acts on them; vehicle and "
        f"load times {factor:g} ({why})."
    )
    seat = max(s for s, _ in t.chassis.axles[1].seats)
    rows = []
    for x in own:
        at = x.load.station or 0.0
        rest = _row(t, x)[3:]
        kg = amount(x.load, x.greatest, shown(x))
        moment = "" if x.moment is None else f"{x.moment / 1e6:.2f}"
        rows.append([f"{at:.0f}", f"{(at - axle) / 1000:.2f}", kg, *rest, moment])
    head = ["station mm", "m behind", "greatest kg", "with it", "governs", "at mm", "wall", "criterion", "rail kN m"]
    out += ["", *table(*_marked(t, own, head, rows, "rrrrlrllr", 3)), "", *_mark_words(t, own)]
    out += paragraph(
        f"Without a load: {percent(own[0].reach.without)}. Rail kN m: bending moment just behind the rearmost spring "
        f"seat ({seat:.0f} mm), of the rail that has more, "
        "sagging positive."
    )
    for words in _named(t, own):
        out += paragraph(words)
    return out


def _ground(t: TowFindings) -> list[str]:
    """What comes first on the ground."""
    rows = []
    for x in t.limits:
        g = x.ground
        if g is None:
            continue
        unit = unit_of(x.load)
        first = g.before(x.greatest if x.greatest is not None else float("inf"))
        rows.append([
            x.load.name, unit, amount(x.load, x.greatest, shown(x)), amount(x.load, g.lifts), g.wheel,
            amount(x.load, g.tips), amount(x.load, g.slides, "" if x.load.weight else NEVER),
            FIRST[first[0]] if first else "frame" if x.greatest is not None else "",
        ])  # fmt: skip
    if not rows:
        return []
    head = ["load", "unit", "frame", "lifts", "first wheel to lift", "tips over", f"slides at grip {t.grip:g}", "first"]
    out = [*heading("What comes first on the ground"), *table(head, rows, "llrrlrrl"), ""]
    words = (
        "At rest on level ground, trailer and load without factors: a bounce lifts wheels sooner. Slides: all four "
        "wheels hold, in proportion to their loads, and the axle that goes first is asked for "
        f"{t.grip:g} times its load along the ground. Never: not below what tips the vehicle over, or not at all."
    )
    return out + paragraph(words)


def _beside(t: TowFindings) -> list[str]:
    """Thin walls and large turns, which no limit looks at."""
    out: list[str] = []
    beside = beside_words(t.findings)
    if beside:
        out += ["", *beside, *paragraph("The limits above are those of whole walls.")]
    out += buckling_text(t.findings)
    words = turned(t)
    return [*out, *(["", *paragraph(words)] if words else [])]
