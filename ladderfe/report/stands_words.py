"""Words of stands and cuts, for the page and the data."""

from __future__ import annotations

from itertools import combinations, pairwise

from ladderfe.advice.stand_ground import OFF_DAMAGE, THIN, Ground
from ladderfe.advice.stand_places import CLEAR, LEAST, OFFSETS, PropUse
from ladderfe.advice.stands import Stands
from ladderfe.checks.cut_faces import Cut, Faces
from ladderfe.checks.stands import Stage
from ladderfe.checks.utilisation import Utilisation
from ladderfe.checks.web_forces import BEARING
from ladderfe.report.cautions import NO_INSPECTION, RUST, USUAL, WORKSHOP
from ladderfe.report.stands_ground import badly_placed, over_the_web, thin_metal
from ladderfe.report.table import use_share

__all__ = [
    "BASIS", "CAUTIONS_STANDS", "SIGNS", "answer", "best_props", "kn", "left_out", "low_words", "mm", "moved",
    "prop_name", "unsigned", "warnings", "work_words",
]  # fmt: skip

ORIGINS = {
    "given": "as given",
    "file": "those of the chassis file",
    "proposed": "proposed here, for the file names none under [workshop] and none were given",
}
SIGNS = (
    "Forces of the brace: what the rear piece does to the front one just before the cut. N along the rail (+ pulls: "
    "the faces want apart), Vy to the right, Vz up (minus: the front piece holds the rear one up), T about the rail, "
    "My (+ pulls at the top) and Mz (+ pulls on the left). A stiff brace across it, tacked on before, takes just that."
)
BASIS = (
    "Axles and wheels hang from their springs; stands push only. A cut sets free all that two faces hold together. "
    "Gaps and steps are those of the free faces, as if they passed through each other: where a gap is negative they "
    "meet in truth, the blade binds there and the metal jams.",
    f"Props stand {', '.join(f'{d:g}' for d in OFFSETS)} mm before or behind the cut under the same rail, set up snug "
    "before it: they carry nothing until it is made. Each row adds them to the stands above; first come those with "
    "which no stand is lifted.",
    f"Four stands are looked for at crossmembers and quarter points of the rails, {CLEAR:g} mm off cuts at least, "
    f"under metal that readings do not put below {100 * THIN:g} % of the wall as built or within {OFF_DAMAGE:g} mm of "
    f"holes and doubtful places. First come those under which every stand carries {100 * LEAST:g} % of the load or "
    "more before and after the cut; of these, those that let the cut move least (without a cut: that load the least "
    "loaded stand most). Bounds are judgement, no source.",
    f"A stand less than {CLEAR:g} mm from a cut through its own rail, or {OFF_DAMAGE:g} mm or less from a hole or "
    "doubtful place, counts as outside the limit. Of stations told instead nothing is known beyond what was read.",
    f"What a stand may bring to the rail is what its most loaded web bears on {BEARING:g} mm by the rules for spring "
    "seats (EN 1993-1-5 or EN 1993-1-3, from memory, texts not seen), times permissible bending stress over yield.",
)
#: Turns of faces up to which movements count as small, degrees.
FAR_TURNED = 3.0
LEFT_OUT = (
    "Stress that is locked into an old, bent or welded frame: nobody knows it, and a rail may spring apart or together "
    "by it alone, further than by weight.",
    "Heat of the torch or the weld and its shrinkage; the weight of who works on it, of jacks and of pulling gear; "
    "engine, body or exhaust that hold the two ends of the cut together or rest on something else.",
    "Stands that sink, tilt or slide, and their own rating. Dents where a stand bears on less than the rail's width.",
    "Local buckling of thin walls; the brace and its tacks.",
    "What the web above a stand bears is told by the force alone: bending of the rail there uses some of it up "
    "(`check`, with these stands under [workshop], takes both together), and the free end of a cut rail bears less.",
)
CAUTIONS_STANDS = (
    "These are loads and movements of a model under the stated weights and walls. " + NO_INSPECTION,
    "Stands that carry the load are rated for more than is shown here, all of one height, on hard level ground; chock "
    "what still touches it. Shake the vehicle before anybody goes under it.",
    *USUAL,
    *WORKSHOP[:2],
)


def kn(newtons: float) -> str:
    """In kN."""
    return unsigned(f"{newtons / 1000:.2f}")


def unsigned(words: str) -> str:
    """No minus before nothing."""
    return words.removeprefix("-") if float(words) == 0 else words


def mm(value: float) -> str:
    """With its sign, no minus before nothing."""
    words = f"{value:+.2f}" if abs(value) < 9.995 else f"{value:+.1f}"
    return "0.00" if float(words) == 0 else words


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def answer(s: Stands) -> list[str]:
    """The short answer, in paragraphs."""
    stands = f"{len(s.ground)} stands ({ORIGINS[s.origin]})"
    least, force = _least(s.before)
    out = [
        *badly_placed(s),
        f"On {stands} with all axles hanging they carry {kn(s.weight)} kN; the least, {kn(force)} kN, is on "
        f"{least}.{_lifted(s.before)}",
    ]
    if s.hung:
        names = _and([f"the {name} axle" for name, _ in s.hung])
        drop = s.hung[0][1]
        hang = "hang" if len(s.hung) > 1 else "hangs"
        out.append(f"ASSUMED: {names} {hang} in dampers or straps after {drop:g} mm of droop.")
    if not s.cuts:
        return out
    name = _and([f"the {c.side} rail cut through at {c.station:g} mm" for c in s.cuts])
    if s.frames.detached:
        several = " and the " in s.frames.detached
        held = f"{s.frames.detached} {'are' if several else 'is'} held by nothing with {name}"
        falls = "they fall unless they are" if several else "it falls unless it is"
        return [*out, f"{held[0].upper()}{held[1:]}: {falls} propped or braced to the frame first."]
    if s.after is None or not s.after.holds:
        tips = s.after.tips if s.after else ""
        return [*out, f"With {name} these stands no longer hold it: {tips}. Set props first."]
    least, force = _least(s.after)
    out.append(
        f"With {name} the frame comes off {_and(list(s.after.lifted))}: LIFTED, carrying nothing."
        if s.after.lifted else f"With {name} the least load is {kn(force)} kN, on {least}."
    )  # fmt: skip
    for cut, faces, props in zip(s.cuts, s.after.faces, s.props, strict=True):
        out.append(f"{cut.name[0].upper()}{cut.name[1:]}: {moved(faces)}{_propped(s, cut, props)}")
    return out


def _least(stage: Stage) -> tuple[str, float]:
    """The stand that carries least, of those alike the first, and its load."""
    return min(stage.forces, key=lambda f: float(f"{f[1]:.6g}"))


def _lifted(stage: Stage) -> str:
    return f" LIFTED, carrying nothing: {', '.join(stage.lifted)}." if stage.lifted else ""


def moved(f: Faces) -> str:
    """What a cut does, in words."""
    gaps = list(f.gaps.values())
    if f.greatest < 0.05:
        return "nothing moves by 0.05 mm."
    if f.closing and max(gaps) <= 0:
        gap = f"the gap closes, by {-min(gaps):.1f} mm if it could: the blade binds and the metal jams"
    elif f.closing:
        apart = max(f.gaps, key=lambda n: f.gaps[n])
        shut = min(f.gaps, key=lambda n: f.gaps[n])
        shuts = f"closes by {-min(gaps):.1f} mm at the {shut}: the blade binds there"
        gap = f"it opens by {max(gaps):.1f} mm at the {apart} and {shuts}"
    else:
        gap = "the gap stays shut"
        if max(gaps) >= 0.05:
            gap = f"it opens, by {max(gaps):.1f} mm at most"
    steps = [f"{'rises' if f.up > 0 else 'drops'} by {abs(f.up):.1f} mm"] if abs(f.up) >= 0.05 else []
    way = "right" if f.right > 0 else "left"
    steps += [f"goes {abs(f.right):.1f} mm to the {way}"] if abs(f.right) >= 0.05 else []
    return f"{gap}.{f' The rear piece {_and(steps)} against the front one.' if steps else ''}"


def _propped(s: Stands, cut: Cut, props: tuple[PropUse, ...]) -> str:
    if not props:
        return ""
    best, at = (best_props(props) or props)[0], s.cuts.index(cut)
    free = s.after.faces[at].greatest if s.after else 0.0
    left = best.after.faces[at].greatest
    if free < 0.05:
        return ""
    if left > 0.8 * free:
        return " No prop beside the cut makes it much less: brace it."
    what = "props" if all(best.offsets) else "a prop"
    return f" With {what} {prop_name(best)} the greatest of this is {left:.1f} mm instead of {free:.1f} mm."


def prop_name(p: PropUse) -> str:
    """Where props stand, in words."""
    named = [f"{d:g} mm {way}" for d, way in zip(p.offsets, ("before", "behind"), strict=True) if d]
    return " and ".join(named)


def best_props(props: tuple[PropUse, ...], count: int = 5) -> tuple[PropUse, ...]:
    """The first few; left out where one of two props is idle, for that row is there with the other alone."""
    own = [p for p in props if all(dict(p.after.forces)[n] > 0 for n in p.stands)]
    return tuple(own[:count])


def low_words(s: Stands) -> str:
    """Which stand comes free first, and when."""
    if s.free is None:
        return "Three stands share the load alike whatever their heights: none comes free, the vehicle only leans."
    name, low, height = s.free
    which = "it" if low == name else name
    return (
        f"The frame first comes off a stand where {low} is low by {height:.1f} mm: {which} then carries nothing and "
        "the vehicle rocks. Set all to one height within a fraction of that, with shims or on the nut."
    )


def work_words(u: Utilisation | None, when: str) -> str:
    """Where the frame works most."""
    if u is None:
        return ""
    where = f"{u.part} at {u.along:.0f} mm" if u.kind == "rail" else f"{u.kind} {u.part}"
    over = ", OVER the limit" if u.ratio > 1 else ""
    return f"{when}: {use_share(u.ratio)} of the permissible {u.criterion} stress, {where}, {u.wall}{over}."


def warnings(s: Stands) -> list[str]:
    """What is told loudly."""
    out = []
    for a, b in combinations(s.cuts, 2):
        first, last = sorted((a.station, b.station))
        if a.side != b.side and not any(g.side and first < g.station < last for g in s.ground):
            out.append(
                f"BOTH RAILS ARE CUT BETWEEN THE SAME STANDS ({a.name}, {b.name}): only what crosses between the cuts "
                "holds the two ends of the vehicle together. Cut and weld one rail before the other is opened."
            )
    for c in s.cuts:
        out += _piece(s, c)
        for axle in s.chassis.axles:
            ends = [v for v, _ in axle.seats]
            if len(ends) > 1 and min(ends) < c.station < max(ends):
                out.append(
                    f"The {axle.name} spring on the {c.side} hangs on both sides of the cut at {c.station:g} mm: how "
                    "far it holds the two pieces together is not in the model."
                )
    stages = [dict(x.forces) for x in (s.before, s.after) if x is not None]
    most = {g.name: max(x[g.name] for x in stages) for g in s.ground}
    over = [over_the_web(g, most[g.name]) or _when_low(s, g) for g in s.ground]
    return [*badly_placed(s), *out, *_far_turned(s), *thin_metal(s), *filter(None, over)]


def _when_low(s: Stands, g: Ground) -> str:
    """A stand that asks more than its web bears where another one is low by the least that does it."""
    for x in sorted(s.low, key=lambda x: x.low):
        words = over_the_web(g, dict(x.stage.forces)[g.name], f", with {x.stand} low by {x.low:g} mm") if (
            x.stage.holds and x.stand != g.name) else ""  # fmt: skip
        if words:
            return words
    return ""


def _far_turned(s: Stands) -> list[str]:
    """Cuts whose faces turn so far that the model, which is one of small movements, no longer holds."""
    faces = s.after.faces if s.after is not None and s.after.holds else ()
    return [
        f"Cut through the {c.name}: the faces turn by {max(map(abs, f.turn)):.0f} degrees. Beyond about {FAR_TURNED:g} "
        "(common practice, no source) the model tells no longer how far they go, only that it is far: prop and brace."
        for c, f in zip(s.cuts, faces, strict=False) if max(map(abs, f.turn)) > FAR_TURNED
    ]  # fmt: skip


def _piece(s: Stands, cut: Cut) -> list[str]:
    """The piece of a rail without a stand of its own, and what holds it."""
    rail = next(r for r in s.chassis.rails if r.side == cut.side)
    edges = sorted([rail.start, *(c.station for c in s.cuts if c.side == cut.side), rail.end])
    out = []
    for a, b in pairwise(edges):
        if cut.station not in (a, b) or any(g.side == cut.side and a <= g.station <= b for g in s.ground):
            continue
        ends = [(c.station_left if cut.side == "left" else c.station_right, c.name) for c in s.chassis.crossmembers]
        held = [name for v, name in ends if a <= v <= b]
        by = "nothing holds it"
        if held:
            by = f"only {'crossmembers' if len(held) > 1 else 'crossmember'} {_and(held)} between it and the other rail"
        out.append(f"The {rail.name} from {a:g} to {b:g} mm has no stand of its own: {by}.")
    return out


def left_out(s: Stands) -> tuple[str, ...]:
    """What is not checked."""
    return (*LEFT_OUT, RUST) if s.found is None else LEFT_OUT
