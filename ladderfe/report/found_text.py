"""As found against as built, as the first part of a page."""

from __future__ import annotations

from math import pi

from ladderfe.checks import Findings
from ladderfe.checks.found import NEAR_MOUNT, AsFound, StretchUse
from ladderfe.checks.metres_over import LEVELS
from ladderfe.checks.utilisation import Utilisation
from ladderfe.condition import ReadPlace
from ladderfe.report.governing_text import percent, place_words
from ladderfe.report.openings_text import NEAR, NEAR_WORDS, is_near
from ladderfe.report.readings_text import (
    assumed_lines,
    count_words,
    doubt_lines,
    hole_lines,
    strength_words,
)
from ladderfe.report.table import heading, paragraph, table
from ladderfe.report.unusual_text import unusual_readings_text

__all__ = ["found_text"]

#: So many cases and stretches are shown; machines get all.
CASES, STRETCHES = 8, 12
#: Readings no further below the wall as built than this share of it lost nothing.
ALIKE = 0.02
#: Said of the governing place where that is one.
NEAR_HOLE = "That place lies within one rail depth of a hole's rim, where stress is rough (~)."
#: N mm/rad to kN m/deg.
KNM_PER_DEG = 1e-6 * pi / 180


def found_text(findings: Findings, every: bool = False) -> list[str]:
    """Lines of the part; none where nothing was read; `every` asks for all cases and stretches."""
    f = findings.as_found
    if f is None:
        return []
    out = [*heading("As found against as built"), *paragraph(_summary(f))]
    read = f"{count_words(f.readings, named=True)} {strength_words(f.readings)}"
    out += [*paragraph(read), *assumed_lines(f.readings)]
    out += [*_metres(f), *doubt_lines(f.readings), *unusual_readings_text(f.readings)]
    if _lost(f):
        out += [*_cases(f, every), *_uses(f, every), *_near(f), *_places(f), *_frame(f)]
    else:
        out += ["", *paragraph(_kept(f)), *_places(f)]
    return [*out, *hole_lines(f.holes, NEAR_MOUNT)]


def _summary(f: AsFound) -> str:
    """The governing place in both states, in a sentence."""
    name, before, after = max(f.cases, key=lambda row: row[2].ratio)
    first = max((row[1] for row in f.cases), key=lambda u: u.ratio)
    return (
        f"Governing as built {percent(first.ratio)} ({first.part} at {place_words(first)}, {first.case}), as found "
        f"{percent(after.ratio)} ({after.part} at {place_words(after)}, {after.wall}, {name}); in that case it was "
        f"{percent(before.ratio)} as built." + (f" {NEAR_HOLE}" if is_near(f.readings, after) else "")
    )


def _metres(f: AsFound) -> list[str]:
    """How much of each rail stands above a limit, and near it."""
    rows = []
    for a, b in f.over:
        each = [v for pair in zip(a.over, b.over, strict=True) for v in pair]
        rows.append([a.side, *(f"{v / 1000:.2f}" for v in (a.length, *each))])
    head = ["rail", "long", *(f"above {100 * v:.0f} %, {state}" for v in LEVELS for state in ("as built", "as found"))]
    words = (
        "By the greatest utilisation at each station, all walls and all cases together, of stress on whole walls, "
        "along the stations."
    )
    return [*heading("Metres of rail above a limit"), *table(head, rows, "lrrrrr"), *paragraph(words)]


def _lost(f: AsFound) -> bool:
    """Whether any wall counts as thinner than built by more than what readings tell apart."""
    o = f.readings
    thin = any(v < (1 - ALIKE) * p.nominal for p in o.places for v in p.values)
    return thin or bool(o.holes) or o.options.unread_loss > 0


def _kept(f: AsFound) -> str:
    """That nothing was lost."""
    if not f.readings.places:
        return "No thickness was read and no wall is gone: all walls count as built."
    most = max((abs(b.ratio / a.ratio - 1) for _, a, b in f.cases if a.ratio > 0), default=0.0)
    return (
        f"Nothing was lost where it was read: no reading is more than {100 * ALIKE:g} % below the wall as built. The "
        f"greatest utilisations of the cases differ from those as built by {100 * most:.1f} % at most."
    )


def _marked(f: AsFound, u: Utilisation) -> str:
    """A utilisation as found, with a sign where stress is rough; room for it where there are holes."""
    sign = f" {NEAR}" if is_near(f.readings, u) else "  " if f.readings.holes else ""
    return percent(u.ratio) + sign


def _near(f: AsFound) -> list[str]:
    """What that sign means, where it stands."""
    shown = [*(b for _, _, b in f.cases), *(u.found for u in f.uses)]
    return paragraph(NEAR_WORDS) if any(is_near(f.readings, u) for u in shown) else []


def _cases(f: AsFound, every: bool) -> list[str]:
    rows = [
        [name, percent(a.ratio), _marked(f, b), _times(a, b), b.part, place_words(b).removesuffix(" mm"), b.wall]
        for name, a, b in sorted(f.cases, key=lambda row: -row[2].ratio)
    ]
    head = ["case", "as built", "as found", "change", "part", "at mm", "wall"]
    out = [*heading("Greatest utilisation of each case, worst as found first")]
    shown = rows if every else rows[:CASES]
    out += table(head, shown, "lrrrlrl")
    return out + _more(len(rows) - len(shown), "case", "cases")


def _more(count: int, one: str, many: str) -> list[str]:
    return [f"{count} more {many if count > 1 else one}: --json or --out."] if count > 0 else []


def _times(a: Utilisation, b: Utilisation) -> str:
    return f"{100 * (b.ratio / a.ratio - 1):+.1f} %" if a.ratio > 0 else ""


def _uses(f: AsFound, every: bool) -> list[str]:
    """Stretches, the worst first; those with a hole are always shown."""
    if not f.uses:
        return []
    rows = [
        [
            u.stretch.side,
            f"{u.stretch.start:.0f} to {u.stretch.end:.0f}",
            percent(u.built.ratio),
            _marked(f, u.found),
            u.found.wall,
            u.found.case,
            *(f"{100 * v:.0f}" for v in (u.left.A, u.left.I, u.left.Z, u.left.J)),
        ]
        for k, u in enumerate(f.uses)
        if every or k < STRETCHES or _holed(u)
    ]
    head = ["rail", "mm", "as built", "as found", "wall", "case", "A", "I", "Z", "J"]
    out = [
        *heading("Where walls were read or are gone, worst first"),
        *table(head, rows, "llrrlwrrrr"),
        *_more(len(f.uses) - len(rows), "stretch", "stretches"),
    ]
    words = (
        "Greatest utilisation of all cases; A, I (vertical), Z (the weaker edge, by the walls that stress goes by) and "
        "J: what is left in % of as built, at the stretch's front end. A box that lost a wall keeps next to none of J."
    )
    return [*out, *paragraph(words)]


def _holed(u: StretchUse) -> bool:
    return any(w.basis == "hole" for w in u.stretch.walls)


def _places(f: AsFound) -> list[str]:
    """Wall by wall what was read."""
    rows = [_place(p) for p in sorted(f.readings.places, key=lambda p: (p.side, p.station, p.wall))]
    if not rows:
        return []
    head = ["rail", "wall", "at mm", "speaks for mm", "n", "as built", "mean", "smallest", "mean - k s",
            "smallest left"]  # fmt: skip
    out = [*heading("Readings, place by place, mm"), *table(head, rows, "llrlrrrrrr")]
    words = (
        "Smallest left: the smallest reading in % of as built, by which strength is judged (`ladderfe repair` tells "
        "what is left by the mean). mean - k s: lower bound of three readings or more, scatter unknown "
        "(k after EN 1990 Annex D, from memory: 3.37 of 3, 2.33 of 5, 1.92 of 10). The smallest of three readings lies "
        "only 0.85 s below the mean on average (normal scatter): few readings flatter."
    )
    return [*out, *paragraph(words)]


def _place(p: ReadPlace) -> list[str]:
    return [
        p.side,
        p.wall,
        f"{p.station:g}",
        f"{p.start:.0f} to {p.end:.0f}",
        f"{len(p.values)}",
        f"{p.nominal:.2f}",
        f"{p.mean:.2f}",
        f"{p.least:.2f}",
        "" if p.bound is None else f"{p.bound:.2f}",
        f"{100 * p.least / p.nominal:.0f} %",
    ]


def _frame(f: AsFound) -> list[str]:
    """Stiffness in twist, mass, and what each rail carries at the worst station."""
    a, b = f.twist
    out = heading("The whole frame")
    if a is not None and b is not None:
        words = (
            f"as built {a * KNM_PER_DEG:#.3g}, as found {b * KNM_PER_DEG:#.3g} kN m/deg ({100 * (b / a - 1):+.1f} %)"
        )
        out += paragraph(f"Torsional stiffness of the bare frame: {words}.")
    x, y, z = f.centre
    where = f", its centre at {x:.0f} mm, y {y:+.0f}, height {z:.0f}" if f.lost > 0 else ""
    out += paragraph(
        f"Metal lost from the rails: {1000 * f.lost:.1f} kg{where}. Axle loads stay what was weighed, so that the rest "
        "along the rails takes up the difference."
    )
    rows = []
    for state, (left, right) in zip(("as built", "as found"), f.shares.tolist(), strict=True):
        rows.append([state, *(w for k, unit in ((0, 1e6), (1, 1e3)) for w in _split(left[k], right[k], unit))])
    head = ["", "moment left", "right kN m", "left's share", "shear left", "right kN", "left's share"]
    out += ["", *paragraph(f"Which rail carries what at {f.station:.0f} mm, {f.case} (moment sagging positive):")]
    return [*out, *table(head, rows, "lrrrrrr")]


def _split(left: float, right: float, unit: float) -> list[str]:
    """Both values and the left one's share, where they act the same way."""
    share = f"{100 * left / (left + right):.1f} %" if left * right > 0 else "opposed"
    return [f"{left / unit:.3f}", f"{right / unit:.3f}", share]
