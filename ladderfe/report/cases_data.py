"""Load cases, what stands on the ground, links, envelope and the extremes of rails as tables for machines."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np

from ladderfe.checks import Findings
from ladderfe.checks.balance import residuals
from ladderfe.checks.envelope import envelope
from ladderfe.checks.extremes import rail_extremes
from ladderfe.checks.ground import WHEELS, held_up, tipped, tipped_parts, under_wheels
from ladderfe.checks.link_forces import link_forces
from ladderfe.checks.sag import greatest_sags

__all__ = ["CASE_COLUMNS", "CASE_MAKERS", "is_couple"]

Rows = list[tuple[Any, ...]]

#: Rows of axles that are couples; names of mounts, which may have such words too, stand otherwise.
COUPLES = re.compile(r"(?:front|rear) (?:wind-up|arm couple|yaw|roll) (?:left|right)")

#: Table -> names of its columns with their units.
CASE_COLUMNS: dict[str, tuple[str, ...]] = {
    "load-cases": (
        "case", "kind", "what it is", "from", "utilisation", "part", "along mm", "over a limit", "share taken",
        "how it tips", "grip asked for front", "grip asked for rear",
    ),
    "wheel-loads": ("case", "wheel", "force N", "fore-aft N", "sideways N", "off the ground"),
    "jacks-and-stands": ("case", "at", "what", "force N", "lifted"),
    "link-forces": ("case", "axle", "side", "at", "way", "force N", "couple about y N mm",
                    "couple about x N mm", "couple about z N mm"),
    "couples": ("case", "support", "couple N mm"),
    "envelope": (
        "part", "side", "start mm", "end mm", "wall", "case", "criterion", "along mm", "point", "stress N/mm2",
        "limit N/mm2", "utilisation",
    ),
    "rail-moments": (
        "case", "rail", "sagging N mm", "sagging at mm", "hogging N mm", "hogging at mm", "shear N", "shear at mm",
    ),
    "sags": ("case", "rail", "sag mm", "station mm"),
    "residuals": ("case", "of", "X", "Y", "Z", "about x", "about y", "about z"),
}  # fmt: skip


def is_couple(support: str) -> bool:
    """True for rows of the frame whose force is a couple: wind-up of an axle, arms of independent wheels, a body that
    stiffens; never for pulls and stands at mounts, whatever these are called."""
    return support == "body" or COUPLES.fullmatch(support) is not None


def _name(f: Findings, case: int) -> str:
    return f.solution.cases[case].name


def _cases(f: Findings) -> Rows:
    s, first, over = f.solution, f.first_of_cases(), {name for name, _ in f.cases_over()}
    tips = {t.case: (t.share, t.words) for t in tipped(s)}
    for k, parts in tipped_parts(s).items():
        words = f"adds up {' and '.join(t.name for t in parts)} as taken there"
        tips[k] = min(t.share for t in parts), words
    grips = {w.case: w.grip for w in under_wheels(s)}
    rows: Rows = []
    for k, c in enumerate(s.cases):
        if not k:
            continue
        u, (share, how) = first[c.name], tips.get(k, (1.0, ""))
        grip = [g if g is None or np.isfinite(g) else "infinite" for g in grips.get(k, (None, None))]
        rows.append((c.name, c.kind, c.about, c.source, u.ratio, u.part, u.along, c.name in over,
                     share, how, *grip))  # fmt: skip
    return [tuple(float(f"{v:.9g}") if isinstance(v, float) else v for v in row) for row in rows]


def _wheels(f: Findings) -> Rows:
    return [
        (_name(f, w.case), wheel, *(float(w.forces[k, i]) for i in (2, 0, 1)), wheel in w.lifted)
        for w in under_wheels(f.solution)
        for k, wheel in enumerate(WHEELS)
    ]


def _held(f: Findings) -> Rows:
    return [(_name(f, h.case), h.place, "jack" if h.jack else "stand", h.force, h.lifted) for h in held_up(f.solution)]


def _links(f: Findings) -> Rows:
    columns = ("", "y", "x", "z")  # a force, couples about these axes
    return [
        (_name(f, x.case), x.axle, x.side, x.place, x.way, *(x.size if x.about == axis else 0.0 for axis in columns))
        for x in link_forces(f.chassis, f.solution)
    ]


def _couples(f: Findings) -> Rows:
    s = f.solution
    return [
        (case.name, name, float(s.support_forces[k, c]))
        for c, case in enumerate(s.cases)
        for k, name in enumerate(s.supports)
        if is_couple(name)
    ]


def _envelope(f: Findings) -> Rows:
    return [
        (r.use.part, r.use.side, r.start, r.end, r.use.wall, r.use.case, r.use.criterion, r.use.along, r.use.point,
         r.use.stress, r.use.limit, r.use.ratio)
        for r in envelope(f.chassis, f.solution, f.rows, f.stresses)
    ]  # fmt: skip


def _rails(f: Findings) -> Rows:
    return [(_name(f, e.case), e.rail, *e.sagging, *e.hogging, *e.shear) for e in rail_extremes(f.solution, f.rows)]


def _sags(f: Findings) -> Rows:
    return [(s.case, s.rail, s.size, s.station) for s in greatest_sags(f.chassis, f.solution)]


def _residuals(f: Findings) -> Rows:
    """Forces over the sprung weight, moments over weight x wheelbase."""
    rows: Rows = []
    for of, vehicle in (("frame", False), ("whole vehicle", True)):
        apart = residuals(f.chassis, f.solution, vehicle=vehicle)
        rows += [(c.name, of, *(float(f"{v:.2g}") for v in apart[:, k])) for k, c in enumerate(f.solution.cases)]
    return rows


#: Makers of tables whose numbers are still to be rounded, and of the others.
CASE_MAKERS: dict[str, tuple[Callable[[Findings], Rows], bool]] = {
    "load-cases": (_cases, False),
    "wheel-loads": (_wheels, True),
    "jacks-and-stands": (_held, True),
    "link-forces": (_links, True),
    "couples": (_couples, True),
    "envelope": (_envelope, True),
    "rail-moments": (_rails, True),
    "sags": (_sags, True),
    "residuals": (_residuals, False),
}
