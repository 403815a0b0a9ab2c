"""A plan -> the chassis as built, as found and as repaired, all rails cut at the same stations.

base -> as built; readings -> as found; the plan's parts, pieces let in and plates -> as repaired.  Tapered ends count
as steps (`PlanPlate.steps`).  A plate lapped over a hole counts as the wall that is gone, in that wall's place, for
there is nothing else that it could stiffen: of its own thickness, one narrower than the wall thinner by as much.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from functools import lru_cache, partial
from math import inf

from ladderfe.chassis import Chassis, Rail, Span, carried_on
from ladderfe.condition.found import Found, as_found
from ladderfe.condition.plan_file import PlanRead
from ladderfe.condition.plan_rows import ALL_ROUND, plain_wall
from ladderfe.condition.plan_types import Insert, Piece, Plan, PlanPlate
from ladderfe.condition.rails import SAME, SIDES, rail_of, shape_at, shape_in, walls_at
from ladderfe.condition.types import Options, Reading, Readings
from ladderfe.errors import InputError, ModelError, Problem
from ladderfe.sections import Box, Channel, Plate, Plated, Shape, let_in, plated, wall_thickness
from ladderfe.sections.plated import FULL_LEG, open_side
from ladderfe.sections.plating import sleeved
from ladderfe.sections.thinned import same_wall

__all__ = ["Repaired", "insert_walls", "plan_cuts", "plate_walls", "repaired", "wall_as_built"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repaired:
    """The three states of a plan: `found` holds those as built and as found (alike where nothing was read), `chassis`
    is the one as repaired.  parts_changed: whether the plan lays other parts over the base, so that the frame's members
    may not be the same."""

    plan: Plan
    found: Found
    chassis: Chassis
    readings: Readings | None
    parts_changed: bool


def repaired(read: PlanRead, options: Options | None = None) -> Repaired:
    """The three states of a plan.  Raises InputError with all its rows that cannot be welded to what is there."""
    options, plan = options or Options(), read.plan
    readings = read.readings or Readings(source="")
    cuts = plan_cuts(plan)
    found = as_found(read.base, readings, options, cuts=cuts)
    same_rails = read.over.rails == read.base.rails
    start = (
        found if same_rails else as_found(read.over, _on_rails(readings, read.over, options.reach), options, cuts=cuts)
    )
    unfit: list[_UnfitError] = []
    rails = [_mended(start, r.side, plan, None if same_rails else read.base, unfit) for r in start.chassis.rails]
    if unfit:
        raise InputError(_problems(plan, unfit))
    again = partial(_again, read=read, options=options)
    chassis = carried_on(read.over, again, rails=(rails[0], rails[1]))
    same = read.base
    plain = replace(read.over, title=same.title, source=None, rails=same.rails, cycles=same.cycles)
    changed = plain != replace(read.base, source=None) or not same_rails
    return Repaired(plan=plan, found=found, chassis=chassis, readings=read.readings, parts_changed=changed)


def _again(over: Chassis, *, read: PlanRead, options: Options) -> Chassis:
    """The same of a chassis that was made again with an assumption moved."""
    return repaired(replace(read, base=over, over=over), options).chassis


def plan_cuts(plan: Plan) -> tuple[float, ...]:
    """Stations at which the plan's pieces and steps of plates begin and end."""
    own = [v for i in plan.inserts for v in (i.start, i.end)]
    own += [v for p in plan.plates for a, b, _ in p.steps() for v in (a, b)]
    return tuple(sorted(dict.fromkeys(own)))


def _on_rails(readings: Readings, chassis: Chassis, reach: float) -> Readings:
    """What was read on metal that another chassis still has, or beyond its end and speaks for such."""
    ends: dict[str, tuple[float, float]] = {r.side: (r.start, r.end) for r in chassis.rails}

    def on(side: str, *stations: float) -> bool:
        return all(ends[side][0] <= s <= ends[side][1] for s in stations)

    return replace(
        readings,
        readings=tuple(
            r for r in readings.readings if _speaks_on(r, readings.readings, rail_of(chassis, r.side), reach)
        ),
        holes=tuple(
            h for h in readings.holes if h.reach[1] > ends[h.side][0] + SAME and h.reach[0] < ends[h.side][1] - SAME
        ),
        suspects=tuple(s for s in readings.suspects if on(s.side, s.station)),
        unread=tuple(u for u in readings.unread if on(u.side, u.station)),
    )


def _speaks_on(r: Reading, every: Iterable[Reading], rail: Rail, reach: float) -> bool:
    """Whether a reading is on a wall that a rail has; beyond the rail's end whether it is the nearest there and speaks
    for some of what is left, half-way to the next reading and `reach` at most."""
    if r.wall not in walls_at(rail, r.station):
        return False
    end = min(max(r.station, rail.start), rail.end)
    if r.station == end:
        return True
    off, way = abs(r.station - end), 1 if r.station > end else -1
    own = [(o.station - end) * way for o in every if (o.side, o.wall) == (r.side, r.wall)]  # beyond the end positive
    inside = max((x for x in own if x <= 0), default=-inf)
    nearest = min(x for x in own if x > 0)
    return off <= nearest + SAME and off < reach - SAME and (off + inside) / 2 < -SAME


class _UnfitError(ModelError):
    """A piece that cannot be welded to what is left of a rail, and why."""

    def __init__(self, piece: Piece | None, where: str, error: ModelError) -> None:
        what = "" if error.where == getattr(piece, "name", "") else f"{error.where}: "
        super().__init__(where, f"does not go with the {where} as found: {what}{error.problem}", error.hint)
        self.piece = piece


def _problems(plan: Plan, unfit: Iterable[_UnfitError]) -> list[Problem]:
    """Of every row the first place that it does not go with, by lines."""
    own: dict[tuple[int, str], Problem] = {}
    for e in unfit:
        line, key = getattr(e.piece, "line", 0), getattr(e.piece, "key", "") or getattr(e.piece, "name", "plan")
        own.setdefault((line, key), Problem(file=plan.source or "plan", line=line, key=key, value="", rule=e.problem,
                                            suggestion=e.hint))  # fmt: skip
    return [own[k] for k in sorted(own)]


def _mended(found: Found, side: str, plan: Plan, base: Chassis | None, unfit: list[_UnfitError]) -> Rail:
    """A rail as found with the plan's pieces and plates; sections that `base` does not have there are new metal.  What
    does not go with it is noted."""
    rail, built = rail_of(found.chassis, side), rail_of(found.built, side)
    spans = []
    for span, as_built in zip(rail.spans, built.spans, strict=True):
        middle = (span.start + span.end) / 2
        if base is not None and not _has(rail_of(base, side), as_built, middle):
            span = as_built
        inserts = [i for i in plan.inserts if i.side == side and i.start < middle < i.end]
        plates = [(p, part) for p in plan.plates if p.side == side for a, b, part in p.steps() if a < middle < b]
        try:
            spans.append(_span(span, as_built, inserts, plates, side))
        except _UnfitError as error:
            unfit.append(error)
    return rail if unfit else replace(rail, spans=tuple(spans))


def _has(rail: Rail, span: Span, station: float) -> bool:
    """Whether a rail has the shape of a span at a station."""
    own = next((s for s in rail.spans if s.start - SAME <= station <= s.end + SAME), None)
    return own is not None and _alike(shape_in(own, station), shape_in(span, station))


def _alike(a: Shape, b: Shape) -> bool:
    """Whether two shapes are the same but for rounding: of a taper that is cut every part is interpolated anew."""
    if type(a) is not type(b):
        return False
    pairs = ((getattr(a, f.name), getattr(b, f.name)) for f in fields(a))
    return all(abs(x - y) < 1e-6 if isinstance(x, float | int) and isinstance(y, float | int) else x == y
               for x, y in pairs)  # fmt: skip


def _span(span: Span, built: Span, inserts: list[Insert], plates: list[tuple[PlanPlate, float]], side: str) -> Span:
    """A span with what is let in and welded on along it."""
    if not inserts and not plates:
        return span
    where = f"{side} rail from {span.start:g} to {span.end:g} mm"
    shape = _shape(span.shape, built.shape, inserts, plates, side, where)
    end = least = least_end = None
    if span.shape_end is not None:
        end = _shape(span.shape_end, built.shape_end or built.shape, inserts, plates, side, where)
    if span.least is not None:
        least = _shape(span.least, built.shape, inserts, plates, side, where)
        if span.shape_end is not None:
            weak = span.least_end or span.shape_end
            least_end = _shape(weak, built.shape_end or built.shape, inserts, plates, side, where)
    if (least, least_end) == (shape, end):
        least = least_end = None
    return replace(span, shape=shape, shape_end=end, least=least, least_end=least_end)


def _shape(
    now: Shape,
    built: Shape,
    inserts: Iterable[Insert],
    plates: Iterable[tuple[PlanPlate, float]],
    side: str,
    where: str,
) -> Shape:
    """A shape as found with pieces let in and plates of a part of their width on it."""
    sides = SIDES[side]
    nominal = wall_thickness(built, sides)
    wanted = {w: (i, nominal[w] if i.thickness is None else i.thickness) for i in inserts for w in i.walls}
    piece: Piece | None = None
    try:
        for wall, (insert, t) in wanted.items():
            piece = insert
            now = let_in(now, _called(now, built, wall, side), t, sides)
        for plate, part in plates:
            piece = plate
            now = _with(now, built, plate, part, side)
    except ModelError as error:
        raise _UnfitError(piece, where, error) from error
    return now


def _gone(now: Shape, built: Shape, wall: str, side: str) -> bool:
    """Whether a wall that a shape has as built is no more: no wall's line runs through the place of its middle."""
    name, now = plain_wall(wall, side), _bare(now)
    one, other = built.section().flat(name), now.section().flat(same_wall(built, now, name))
    by, bz = other.end[0] - other.start[0], other.end[1] - other.start[1]
    y, z = ((one.start[k] + one.end[k]) / 2 - other.start[k] for k in (0, 1))
    return abs(by * z - bz * y) / other.length > one.thickness + other.thickness


def _called(now: Shape, built: Shape, wall: str, side: str) -> str:
    """What a wall as built is called in the shape as it is; its own name where it is gone."""
    sides, now = SIDES[side], _bare(now)
    if type(now) is type(built) or _gone(now, built, wall, side):
        return wall
    name = same_wall(built, now, plain_wall(wall, side))
    return {"minus": sides[0], "plus": sides[1]}.get(name, name)


def _bare(shape: Shape) -> Shape:
    """A shape without what lies on it."""
    return shape.base if isinstance(shape, Plated) else shape


def _with(now: Shape, built: Shape, plate: PlanPlate, part: float, side: str) -> Shape:
    """A shape with one plate on it, of a part of its width."""
    sides = SIDES[side]
    if plate.thickness == 0:
        return now
    bare = _bare(now)
    if plate.kind == "sleeve":
        if not isinstance(bare, Box):
            raise ModelError(plate.name, f"{_a(bare)} is left there, no box", "Let in the lost wall first")
        return sleeved(now, plate.thickness)  # type: ignore[arg-type]
    if plate.kind == "boxing":
        if not isinstance(bare, Channel):
            raise ModelError(plate.name, f"{_a(bare)} is left there, no channel", "Let in the lost wall first")
        closing = Plate(wall=open_side(bare), thickness=plate.thickness, kind="boxing",
                        throat=_throat(now, plate, "", side))  # fmt: skip
        return plated(now, [replace(closing, kind="over") if plate.face == "outside" else closing])
    if _gone(now, built, plate.wall, side):
        return let_in(now, plate.wall, plate.thickness * _covered(built, plate, part), sides)
    wall = _called(now, built, plate.wall, side)
    width = plate.width
    if part < 1:
        width = part * (width if width is not None else _whole(now, wall, plate, side))
    own = Plate(wall=wall, thickness=plate.thickness, width=width, centre=plate.centre, face=plate.face,
                throat=_throat(now, plate, wall, side))  # fmt: skip
    return plated(now, [own], sides)


def _throat(now: Shape, plate: PlanPlate, wall: str, side: str) -> float | None:
    """Throat of the welds along a plate as the section has them, mm; None: as large as goes.  Of a stitched seam spread
    over its pitch, with the ends of its runs as strength counts them: no throat over a throat each."""
    e = plate.weld
    if not e.pitch:
        return e.throat
    walls = wall_thickness(now, SIDES[side])
    a = e.throat or FULL_LEG * min(plate.thickness, *([walls[wall]] if wall in walls else walls.values()))
    return a * e.full_share(a)


def _a(shape: Shape) -> str:
    kind = type(shape).__name__.lower()
    return f"{'an' if kind[0] == 'a' else 'a'} {kind}"


def _covered(built: Shape, plate: PlanPlate, part: float) -> float:
    """How much of a wall that is gone a plate is, by its width between the walls beside it."""
    clear = built.section(SIDES[plate.side]).flat(plate.wall).true_length
    return min(1.0, part if plate.width is None else part * plate.width / clear)


def _whole(now: Shape, wall: str, plate: PlanPlate, side: str) -> float:
    """Width of a plate over the whole of its wall."""
    own = Plate(wall=wall, thickness=plate.thickness, face=plate.face)
    section = plated(now, [own], SIDES[side]).section(SIDES[side])
    name = f"{wall} plate" + (" inside" if plate.face == "inside" else "")
    return max(w.length for w in section.walls if w.name.startswith(name))


def insert_walls(states: Repaired, insert: Insert, station: float) -> tuple[str, ...]:
    """What the walls that a piece is let in for are called in the section as repaired at a station: boxed, a channel's
    web is a side wall of the box.  Of tubes and top hats all walls."""
    built, now = (shape_at(rail_of(c, insert.side), station) for c in (states.found.built, states.chassis))
    if insert.walls == (ALL_ROUND,):
        return tuple(dict.fromkeys(w.name for w in now.section(SIDES[insert.side]).walls))
    return tuple(_called(now, built, w, insert.side) for w in insert.walls)


def wall_as_built(built: Chassis, now: Chassis, side: str, station: float, wall: str) -> str:
    """What a wall of a state's section is called as built, and so in readings and plans; "" of one that a plate made,
    other names as they are."""
    was, shape = (_bare(shape_at(rail_of(c, side), station)) for c in (built, now))
    if ALL_ROUND in wall_thickness(shape):
        return ALL_ROUND
    if type(shape) is type(was) or wall not in wall_thickness(shape, SIDES[side]):
        return wall
    return _built_name(shape, was, wall, side)


@lru_cache(maxsize=4096)
def _built_name(now: Shape, built: Shape, wall: str, side: str) -> str:
    return "" if _gone(built, now, wall, side) else _called(built, now, wall, side)


def plate_walls(states: Repaired, plate: PlanPlate, station: float) -> tuple[str, ...]:
    """What the walls of a plate of the plan are called in the section as repaired at a station."""
    side, plan, sides = plate.side, states.plan, SIDES[plate.side]
    built = shape_at(rail_of(states.found.built, side), station)
    now = shape_at(rail_of(states.found.chassis, side), station)
    inserts = [i for i in plan.inserts if i.side == side and i.start < station < i.end]
    now = _shape(now, built, inserts, [], side, plate.name)
    same = 0  # plates before it on the same face of its wall; one over a hole is the wall itself
    for p in plan.plates[: plan.plates.index(plate)]:
        part = next((part for a, b, part in p.steps() if a < station < b), 0.0)
        if p.side == side and part and p.thickness:
            lies = p.lapped and (p.wall, p.face) == (plate.wall, plate.face)
            same += lies and not _gone(now, built, p.wall, side)
            now = _with(now, built, p, part, side)
    if plate.kind == "sleeve":
        return tuple(f"{w} plate inside" for w in ("top", "bottom", *sides))
    if plate.kind == "boxing":
        bare = _bare(now)
        if isinstance(bare, Channel) and plate.face == "inside" and not bare.radius:
            return (_with_sides(open_side(bare), sides),)
        return ("boxing plate",)
    final = shape_at(rail_of(states.chassis, side), station)
    wall = _called(final, built, plate.wall, side)
    if _gone(now, built, plate.wall, side):
        return (wall,)
    return (f"{wall} plate" + " inside" * (plate.face == "inside") + (f" {same + 1}" if same else ""),)


def _with_sides(wall: str, sides: tuple[str, str]) -> str:
    """A wall's name with the words of a rail for its sides."""
    return wall.replace("minus", sides[0]).replace("plus", sides[1])
