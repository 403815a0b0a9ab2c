"""Twist as a page for the terminal: the bare frame first, then what the road asks of it."""

from __future__ import annotations

import math

from ladderfe.checks.twist import TwistFindings
from ladderfe.condition import Found
from ladderfe.report.buckling_text import buckling_text
from ladderfe.report.cautions import cautions_text
from ladderfe.report.governing_text import beside_words
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.readings_text import readings_text
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.twist_road import road_parts
from ladderfe.report.twist_words import (
    BARE,
    bay_ends,
    energy_bars,
    joint_rows,
    knm_per_deg,
    left_out,
    nm_per_deg,
    rigid_words,
    short_words,
    stiff,
)

__all__ = ["twist_parts", "twist_text"]


def twist_text(t: TwistFindings, source: str, found: Found | None = None) -> str:
    """The whole page; `source` names the chassis file, `found` the readings by which its walls are."""
    out = head_lines(t.chassis, "twist", source)
    if not t.proven:
        return short_page(out, t.all_proofs)
    out += readings_text(found) if found is not None else []
    return "\n".join([*out, "", *twist_parts(t), *proof_lines(t.all_proofs), *cautions_text()])


def twist_parts(t: TwistFindings) -> list[str]:
    """Lines of the study itself, without the head of the page, its self-check and its cautions."""
    out = paragraph(short_words(t))
    for part in (_stiffness, _bays, _energy, _effects, *road_parts(), _thin, _joints, _bench):
        out += part(t)
    return [*out, *bullets("Not checked", left_out(t))]


def _stiffness(t: TwistFindings) -> list[str]:
    middle = t.twisted["middle"].stiffness
    rows = []
    for name, level in t.twisted.items():
        against = "" if name == "middle" else f"{100 * (level.stiffness / middle - 1):+.1f} %"
        used = "used below" if name == t.used else ""
        rows.append([name, stiff(knm_per_deg(level.stiffness)), _newton(nm_per_deg(level.stiffness)), against, used])
    front, rear = (a.station for a in t.chassis.axles)
    out = [
        *heading("Torsional stiffness of the bare frame"),
        *table(["joints", "kN m/deg", "N m/deg", "against middle", ""], rows, "lrrrl"),
        "",
        *paragraph(rigid_words(t)),
        *paragraph(BARE.format(front=front, rear=rear)),
        *paragraph(
            "To set it beside (values from memory, no source, no limit): bare frames of light 4x4s and pick-ups, open "
            "channel about 0.5 to 2, boxed 2 to 5 kN m/deg. Open crossmembers that meet only the web of a channel rail "
            "hardly hold its warping, and such a frame is far softer (own studies in solids, ladders of 1.5 m: channel "
            "crossmembers on the web 0.028, crossmembers that fill the rails' depth 0.121, box crossmembers "
            "0.98): tubes and boxes, or crossmembers that fill the rail, make up most of it."
        ),
        *_diaphragms(t),
    ]
    return out


def _newton(value: float) -> str:
    return f"{value:.0f}" if value >= 100 else f"{value:.3g}"


def _diaphragms(t: TwistFindings) -> list[str]:
    """Diaphragms by name and place, where there are any."""
    if not t.chassis.diaphragms:
        return []
    named = "; ".join(f"{d.name} ({d.side} rail at {d.station:.0f} mm)" for d in t.chassis.diaphragms)
    return paragraph(f"Diaphragms that hold the shape of box rails, counted here: {named}.")


def _thin(t: TwistFindings) -> list[str]:
    beside = beside_words(t.findings)
    return [*([""] if beside else []), *beside, *buckling_text(t.findings)]


def _bays(t: TwistFindings) -> list[str]:
    names, bays = bay_ends(t), t.twisted[t.used].bays
    by_level = [[math.degrees(b.twist * 1e6) for b in level.bays] for level in t.twisted.values()]
    used = list(t.twisted).index(t.used)
    ends = [(b.start, b.end) for b in bays] + [(bays[0].start, bays[-1].end)]
    rows = []
    for k, (start, end) in enumerate(ends):
        name = f"{names[k]} to {names[k + 1]}" if k < len(bays) else "all"
        angles = [own[k] if k < len(own) else sum(own) for own in by_level]
        share = 100 * angles[used] / sum(by_level[used])
        per_metre = 1000 * angles[used] / (end - start)
        rows.append([name, f"{start:.0f}", f"{end:.0f}", *(stiff(a) for a in angles), f"{share:.1f}",
                     stiff(per_metre)])  # fmt: skip
    head = ["bay", "from mm", "to mm", *t.twisted, "share %", "deg per m"]
    return [
        *heading("Where it twists: degrees at 1 kN m, by joints"),
        *table(head, rows, "lrr" + "r" * (len(t.twisted) + 2)),
        *paragraph(f"Share and degrees per metre: joints {t.used}."),
    ]


def _energy(t: TwistFindings) -> list[str]:
    bars = energy_bars(t)
    others = [name for name in t.twisted if name != t.used]
    cells = [[b.bending, b.torsion, b.joints, b.total, *(b.all_of[name] for name in others)] for b in bars]
    rows = [[b.name, *(f"{100 * v:.1f}" for v in own)] for b, own in zip(bars, cells, strict=True)]
    rows.append(["all", *(f"{100 * sum(column):.1f}" for column in zip(*cells, strict=True))])
    words = (
        f"Bending, torsion, joints and all: joints {t.used}; the last columns: all with the joints otherwise. What "
        "gives way most has the greatest share. Bending counts with shear and stretch, torsion with warping and "
        "racking; brackets carry nothing."
    )
    return [
        *heading("What works in it: strain energy by part in %"),
        *table(["part", "bending", "torsion", "joints", "all", *others], rows, "l" + "r" * (4 + len(others))),
        *paragraph(words),
    ]


def _effects(t: TwistFindings) -> list[str]:
    rows, removed = [], []
    for name, values in t.effects.items():
        cells = []
        for v in values:
            cells += ["falls apart", ""] if math.isnan(v) else [stiff(knm_per_deg(v)), _change(v, t.stiffness)]
        rows.append([name, *cells])
        removed.append([name, *(_change(own.effects[name][0], own.twisted.stiffness) for own in t.levels.values())])
    head = ["crossmember", "removed", "change", "halved", "change", "doubled", "change"]
    words = (
        f"Against {stiff(knm_per_deg(t.stiffness))} kN m/deg, joints {t.used}. Halved and doubled: the stiffness of "
        "the crossmember itself, its joints as they are."
    )
    return [
        *heading("Each crossmember removed, half and twice as stiff: torsional stiffness, kN m/deg"),
        *table(head, rows, "lrrrrrr"),
        *paragraph(words),
        "",
        *table(["removed, change by joints", *t.levels], removed, "l" + "r" * len(t.levels)),
    ]


def _change(stiffness: float, whole: float) -> str:
    return "falls apart" if math.isnan(stiffness) else f"{100 * (stiffness / whole - 1):+.1f} %"


def _joints(t: TwistFindings) -> list[str]:
    rows, warnings = joint_rows(t)
    head = ["crossmember", "x used", "x low", "x high", "z used", "z low", "z high", "joint"]
    out = [*heading("Joints used: springs about x (up and down) and z (in plan), kN m/rad")]
    out += table(head, rows, "lrrrrrrw")
    out += paragraph(
        "Estimated from the walls that meet (own studies of T-joints in solids, no published source); low and high "
        "hold 90 % of the joints of that kind. Welds, corner radii and bolts are not in the range."
    )
    for words in warnings:
        out += paragraph(words, "  ", "- ")
    return out


def _bench(t: TwistFindings) -> list[str]:
    if not t.bench:
        words = (
            "The file holds no bench test. Levers or weights on the bare frame and a few dial gauges tell more about "
            "its joints than any estimate: give them as bench_tests and one factor on the joints is fitted."
        )
        return [*heading("Bench test"), *paragraph(words)]
    out: list[str] = []
    for fit, stiffness in zip(t.bench, t.fitted, strict=True):
        rows = [
            [p.side, f"{p.station:.0f}", *(f"{v:.2f}" for v in values)]
            for p, *values in zip(fit.test.gauges, fit.read, fit.estimated, fit.rigid, fit.fitted, strict=True)
        ]
        head = ["rail", "at mm", "read", "joints estimated", "joints rigid", "joints fitted"]
        out += [*heading(f"Bench test: {fit.test.name}, movement up in mm"), *table(head, rows, "lrrrrr")]
        held = ", ".join(f"{p.side} at {p.station:.0f} mm" for p in fit.test.held)
        loads = ", ".join(
            f"{p.value / 1000:+.2f} kN on the {p.side} rail at {p.station:.0f} mm" for p in fit.test.loads
        )
        out += paragraph(f"Held: {held}. Loads, up positive: {loads}.")
        out += paragraph(fit_words(fit.flat, fit.bounded, fit.factor, fit.left_over, knm_per_deg(stiffness)))
    return out


def fit_words(flat: bool, bounded: bool, factor: float, left_over: float, stiffness: float) -> str:
    """What the fit of a bench test says."""
    rest = f"What is left between reading and frame is {left_over:.2f} mm (root mean square)."
    if flat:
        return f"No joint of this frame is estimated, so there is nothing to fit. {rest}"
    words = (
        f"All estimated joints times {factor:.2f} come nearest to the readings (least squares). {rest} With these "
        f"joints the torsional stiffness is {stiff(stiffness)} kN m/deg."
    )
    if bounded:
        words += (
            " The factor sits at the end of its range: joints alone do not explain the readings; look at supports, "
        )
        words += "dials, walls and crossmembers."
    return words
