"""On stands, before and after a cut, as a page."""

from __future__ import annotations

from collections.abc import Sequence

from ladderfe.advice.stand_places import PropUse, StandUse
from ladderfe.advice.stands import Stands
from ladderfe.checks.cut_faces import Faces
from ladderfe.checks.stands import LOW, Lowered
from ladderfe.report.cautions import cautions_text
from ladderfe.report.page import bullets, head_lines, proof_lines, short_page
from ladderfe.report.readings_text import assumed_lines, count_words
from ladderfe.report.stands_ground import bears, no_web
from ladderfe.report.stands_words import (
    BASIS,
    CAUTIONS_STANDS,
    SIGNS,
    answer,
    best_props,
    kn,
    left_out,
    low_words,
    mm,
    prop_name,
    unsigned,
    warnings,
    work_words,
)
from ladderfe.report.table import heading, paragraph, share, table

__all__ = ["stands_text"]

#: So many pairs of stations are shown.
SHOWN = 5


def stands_text(s: Stands, source: str) -> str:
    """The whole page; `source` names the chassis file."""
    out = head_lines(s.chassis, "on stands" + (", cut open" if s.cuts else ""), source)
    if not s.proven:
        return short_page(out, s.proofs)
    out += [""]
    for words in answer(s):
        out += paragraph(words)
    if s.found is not None:
        out += [*paragraph(f"{count_words(s.found)}"), *assumed_lines(s.found)]
    else:
        out += paragraph("ASSUMED: no wall was read; all walls count as the chassis file has them.")
    if told := warnings(s):
        out += bullets("Mind", told)
    out += _loads(s) + _low(s)
    for k in range(len(s.cuts)):
        out += _cut(s, k)
    out += _places(s)
    out += bullets("How much the frame works", [w for w in (
        work_words(s.work[0], "On the stands, whole"), work_words(s.work[1], "Cut open")) if w])  # fmt: skip
    out += bullets("What this rests on", BASIS if s.cuts else (BASIS[0].split(". A cut")[0] + ".", *BASIS[2:]))
    out += bullets("Not checked", left_out(s))
    return "\n".join([*out, *proof_lines(s.proofs), *cautions_text(CAUTIONS_STANDS)])


def _loads(s: Stands) -> list[str]:
    before, after = dict(s.before.forces), dict(s.after.forces) if s.after and s.after.holds else {}
    rows = []
    for g in s.ground:
        cut = [_load(after[g.name])] if after else []
        most = max(before[g.name], after.get(g.name, 0.0))
        rows.append([g.name, f"{g.station:.0f}", _load(before[g.name]), *cut, *bears(g, most)])
    head = ["stand", "at mm", "whole", *(["cut"] if after else []), "web bears", "used"]
    shown = table(head, rows, "lr" + "r" * (len(head) - 2))
    return [*heading("Load on each stand, kN"), *shown, *(line for words in no_web(s) for line in paragraph(words))]


def _load(force: float) -> str:
    return kn(force) if force > 0 else "LIFTED"


def _low(s: Stands) -> list[str]:
    """What is left on each stand where it is low itself, and the least of the others."""
    rows = []
    for name, level in s.before.forces:
        own = [x for x in s.low if x.stand == name]
        left = [dict(x.stage.forces)[name] if x.stage.holds else 0.0 for x in own]
        off = sorted({n for x in own for n in x.stage.lifted if n != name})
        rows.append([name, _load(level), *map(_load, left), ", ".join(off) or "-", *_pressed(s, own)])
    head = ["stand", "level", *(f"{d:g} mm low" for d in LOW), "others that lift then", "most on another", "used"]
    out = [*heading("One stand low, the frame whole: kN left on it"), *table(head, rows, "lrrrrwrr")]
    return out + paragraph(low_words(s))


def _pressed(s: Stands, own: Sequence[Lowered]) -> list[str]:
    """The greatest load that another stand then has, kN, and how much of what its web bears is used."""
    by_name = {g.name: g for g in s.ground}
    others = [(f, by_name[n]) for x in own if x.stage.holds for n, f in x.stage.forces if n != x.stand]
    if not others:
        return ["-", "-"]
    force, ground = max(others, key=lambda o: o[0] / o[1].web.limit if o[1].web else 0.0)
    return [kn(force), bears(ground, force)[1]]


def _cut(s: Stands, k: int) -> list[str]:
    cut, f = s.cuts[k], s.freed[k]
    row = [kn(v) for v in (f.N, f.Vy, f.Vz)] + [unsigned(f"{v / 1e6:.3f}") for v in (f.T, f.My, f.Mz)]
    out = heading(f"Cut through the {cut.name}: the brace's forces")
    out += table(["N kN", "Vy kN", "Vz kN", "T kN m", "My kN m", "Mz kN m"], [row], "rrrrrr") + paragraph(SIGNS)
    if s.after is None or not s.after.holds:
        return out
    rows, shown = [["free", *_faces(s.after.faces[k]), "-"]], best_props(s.props[k])
    rows += [[prop_name(p), *_faces(p.after.faces[k]), _props(p)] for p in shown]
    lifted = ["", *(_lifted(p) for p in shown)]
    head = ["prop", "top", "bottom", "inner", "outer", "up", "right", "x'", "y'", "z'", "kN on props"]
    out += [*heading(f"{cut.name[0].upper()}{cut.name[1:]}: gap and step of the rear face, mm, its turn, degrees"),
            *table(head, rows, "w" + "r" * 9 + "l", below=lifted)]  # fmt: skip
    words = (
        "Gaps at the middle of each wall, + opens; step of the rear piece up and to the right; turn about the rail (+ "
        "its top to the left), about the level axis (+ opens at the top) and the upright one (+ opens on the left)."
    )
    return out + paragraph(words)


def _faces(f: Faces) -> list[str]:
    return [mm(v) for v in (f.top, f.bottom, f.inner, f.outer, f.up, f.right, *f.turn)]


def _props(p: PropUse) -> str:
    force = dict(p.after.forces)
    own = [kn(force[n]) if force[n] > 0 else "0 (idle)" for n in p.stands]
    return " and ".join(own)


def _lifted(p: PropUse) -> str:
    """Stands beside the props that the frame comes off."""
    off = [n for n in p.after.lifted if n not in p.stands]
    return f"LIFTED: {', '.join(off)}" if off else ""


def _places(s: Stands) -> list[str]:
    head = ["both rails at mm", "least stand, whole", *(["least stand, cut", "moves mm"] if s.cuts else [])]
    rows = [_place(u, bool(s.cuts)) for u in s.places[:SHOWN]]
    words = "Four stands, two under each rail at the same stations; least stand: its share of the whole load."
    title = "Four stands elsewhere" if s.origin != "proposed" else "Where four stands may go"
    shown = table(head, rows, "l" + "r" * (len(head) - 1))
    return [*heading(f"{title}: the best {len(rows)} of {len(s.places)} pairs"), *shown, *paragraph(words)]


def _place(u: StandUse, cut: bool) -> list[str]:
    out = [f"{u.stations[0]:.0f} and {u.stations[1]:.0f}", share(u.before.least)]
    if not cut:
        return out
    if u.after is None or not u.after.holds:
        return [*out, "falls", "-"]
    return [*out, share(u.after.least) if u.after.least else "LIFTED", f"{u.after.moves:.1f}"]
