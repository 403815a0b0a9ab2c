"""The rows of a repair plan -> its frozen types, each checked against the rail that it is for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import isnan
from typing import Any

from ladderfe.chassis import Chassis, Rail, Side, Span
from ladderfe.chassis.faults import WALL_ALIKE, Faults, closest, listed
from ladderfe.chassis.lines import Path
from ladderfe.condition.plan_slots import read_slots
from ladderfe.condition.plan_types import TIP, Drilled, Edge, Ends, Insert, PlanPlate, Splice
from ladderfe.condition.rails import SAME, SIDES, rail_of, shape_at, span_at
from ladderfe.sections import Box, Channel, Shape, TopHat, Tube, wall_thickness
from ladderfe.sections.plated import lies_on

__all__ = ["ALL_ROUND", "RowMaker", "boxing_width", "flat_width", "lies", "plain_wall", "plate_lies", "plate_width"]

BOTH: tuple[Side, Side] = ("left", "right")
#: Which walls a kind of plate may lie on.
STANDS_ON, LIES_ON = "cheek", "flange"
#: What the wall of a tube or top hat is called, one thickness all round.
ALL_ROUND = "wall"
#: Pieces of no length that end before this are taken for stations in metres, mm.
METRES = 20.0
#: A fillet's throat over its leg.
THROAT = 0.7


def plain_wall(wall: str, side: str) -> str:
    """A rail's wall in the words of a shape that knows no rail: "minus" and "plus" for its sides."""
    minus, plus = SIDES[side]
    return {minus: "minus", plus: "plus"}.get(wall, wall)


def flat_width(shape: Shape, wall: str, side: str) -> float:
    """Width in mm of the flat of a rail's wall; of tubes and top hats, whose walls have one name, all round."""
    if wall == ALL_ROUND:
        return float(sum(w.true_length for w in shape.section().walls))
    return shape.section(SIDES[side]).flat(wall).length


def plate_width(shape: Shape, plate: PlanPlate) -> float:
    """Width in mm of a plate where it is whole: as stated, of its wall's whole flat, or of a channel's open side."""
    if plate.width:
        return plate.width
    if plate.wall:
        return flat_width(shape, plate.wall, plate.side)
    return boxing_width(shape, plate.face)


def boxing_width(shape: Shape, face: str) -> float:
    """Width in mm of a plate on a channel's open side: from outer face to outer face of the flanges where it lies over
    their edges ("outside"), else between them; the depth of what is no channel."""
    if not isinstance(shape, Channel):
        return shape.depth
    across = shape.depth if shape.opens[1] == "y" else shape.width
    return across if face == "outside" else across - shape.top - shape.bottom


def plate_lies(shape: Shape, plate: PlanPlate) -> bool:
    """Whether a plate of a plan lies: as its wall does, or closing a channel that opens up or down."""
    if plate.wall:
        return lies(shape, plate.wall, plate.side)
    return plate.kind == "boxing" and isinstance(shape, Channel) and shape.opens[1] == "z"


def lies(shape: Shape, wall: str, side: str) -> bool:
    """Whether a rail's wall lies; that of tubes and top hats, all round, does not."""
    return wall != ALL_ROUND and lies_on(shape, plain_wall(wall, side))


class RowMaker:
    """Makes rows, `both` rails as two; notes what cannot be.  Without a chassis only what rows tell themselves."""

    def __init__(self, faults: Faults, chassis: Chassis | None) -> None:
        self.faults, self.chassis = faults, chassis

    def inserts(self, tables: Iterable[Any]) -> Iterator[Insert]:
        """Pieces let in."""
        made: list[Insert] = []
        for i, t in enumerate(tables):
            path: Path = ("inserts", i)
            for side, rail in self._rails(path, t):
                if not self._reach(path, t, rail):
                    continue
                walls = self._walls(path, t.wall, rail, (t.start, t.end))
                row = Insert(side=side, start=t.start, end=t.end, walls=walls, thickness=t.thickness,
                             made=t.made or "one side", **self._row(path))  # fmt: skip
                self._overlap(path, row, made)
                made.append(row)
        yield from made

    def plates(self, tables: Iterable[Any]) -> Iterator[PlanPlate]:
        """Plates welded on."""
        for i, t in enumerate(tables):
            path: Path = ("plates", i)
            if t.kind == "":
                continue
            for side, rail in self._rails(path, t):
                if self._reach(path, t, rail):
                    yield self._plate(path, t, side, rail)

    def splices(self, tables: Iterable[Any]) -> Iterator[Splice]:
        """Joints of whole rails."""
        for i, t in enumerate(tables):
            path: Path = ("splices", i)
            for key, cut in (("angle", "angled"), ("step", "stepped")):
                if getattr(t, key) is not None and t.cut != cut:
                    self.faults.add(
                        (*path, key), f"belongs to {cut} cuts only", f'Write cut = "{cut}", or leave it out'
                    )
            for side, rail in self._rails(path, t):
                self._on(path, "station", t.station, rail)
                depth = shape_at(rail, t.station).depth if rail is not None and not isnan(t.station) else 0.0
                angle = (t.angle or 45.0) if t.cut == "angled" else 90.0
                step = (t.step or depth) if t.cut == "stepped" else 0.0
                yield Splice(side=side, station=t.station, cut=t.cut, angle=angle, step=step, made=t.made or "one side",
                             line=self._line(path))  # fmt: skip

    def holes(self, tables: Iterable[Any]) -> Iterator[Drilled]:
        """Holes to be drilled."""
        for i, t in enumerate(tables):
            path: Path = ("holes", i)
            for side, rail in self._rails(path, t):
                self._on(path, "station", t.station, rail)
                self._walls(path, [t.wall], rail, (t.station, t.station))
                yield Drilled(side=side, wall=t.wall, station=t.station, diameter=t.diameter, to_flange=t.to_flange,
                              to_hole=t.to_hole, in_row=int(t.in_row or 1), line=self._line(path))  # fmt: skip

    def _line(self, path: Path) -> int:
        return self.faults.lines.of(path)

    def _row(self, path: Path) -> dict[str, Any]:
        """Line and key of a piece's row."""
        return {"line": self._line(path), "key": self.faults.place(path)}

    def _rails(self, path: Path, table: Any) -> Iterator[tuple[Side, Rail | None]]:
        for side in BOTH:
            if table.rail in (side, "both"):
                yield side, None if self.chassis is None else rail_of(self.chassis, side)

    def _on(self, path: Path, key: str, station: float, rail: Rail | None) -> None:
        if rail is not None and not rail.start - SAME <= station <= rail.end + SAME and not isnan(station):
            rule = f"lies off the {rail.name}, which reaches from {rail.start:g} to {rail.end:g} mm"
            self.faults.add((*path, key), rule, "Measure it from the same datum as the stations of the chassis file")

    def _reach(self, path: Path, t: Any, rail: Rail | None) -> bool:
        """Whether a row runs from a station on the rail to a later one."""
        self._on(path, "from", t.start, rail)
        self._on(path, "to", t.end, rail)
        if t.end - t.start < 2 * SAME:
            self.faults.add((*path, "to"), *_too_short(t.start, t.end))
            return False
        return not (isnan(t.start) or isnan(t.end))

    def _walls(
        self, path: Path, words: Iterable[str], rail: Rail | None, reach: tuple[float, float]
    ) -> tuple[str, ...]:
        """The walls that some words name, all of them there from end to end."""
        names = tuple(" ".join(w.casefold().split()) for w in words)
        if rail is None:
            return names
        spans = _spans(rail, reach)
        known = [list(wall_thickness(s.shape, SIDES[rail.side])) for s in spans]
        if names == ("all",):
            if other := next((s for s, k in zip(spans, known, strict=True) if k != known[0]), None):
                rule = f"names other walls of the {rail.name} from {other.start:g} mm on, where its section changes"
                self.faults.add((*path, "wall"), rule, "Write one for each section", value='"all"')
            return tuple(known[0])
        for name in names:
            if any(name not in k for k in known):
                lacking = next(k for k in known if name not in k)
                meant = closest(name, lacking, WALL_ALIKE)
                hint = f'Did you mean "{meant}"? Otherwise write one of these' if meant else f"Write {listed(lacking)}"
                rule = f"must be a wall of the {rail.name} from there on, which has {listed(lacking, 'and')}"
                self.faults.add((*path, "wall"), rule, hint, value=f'"{name}"')
        return names

    def _overlap(self, path: Path, row: Insert, made: Iterable[Insert]) -> None:
        for other in made:
            same = other.side == row.side and set(other.walls) & set(row.walls)
            if same and row.start < other.end - SAME and other.start < row.end - SAME:
                rule = f"overlaps the insert in line {other.line}, from {other.start:g} to {other.end:g} mm"
                self.faults.add((*path, "from"), rule, "Let in one piece")

    def _plate(self, path: Path, t: Any, side: Side, rail: Rail | None) -> PlanPlate:
        shape = shape_at(rail, t.start + SAME) if rail is not None else None
        wall = self._plate_wall(path, t, rail, shape)
        ends: Ends = t.ends or "square"
        lying = (
            bool(shape is not None and wall and lies(shape, wall, side)) if self._clean(path) else False
        )
        width = t.width
        if shape is not None and wall and self._clean(path):
            flat = flat_width(shape, wall, side)
            if width is not None and width > flat + SAME:
                self.faults.add((*path, "width"), f"is wider than the flat of the {wall} wall, {flat:g} mm",
                                "Write the plate's width, or leave it out for the whole flat")  # fmt: skip
            width = width if width is not None or t.face == "inside" else flat
        taper = self._taper(path, t, ends, width, shape)
        offset = t.offset
        centre = None if offset is None else offset * (-1 if lying and side == "left" else 1)
        return PlanPlate(
            side=side, start=t.start, end=t.end, kind=t.kind, wall=wall, thickness=t.thickness, width=t.width,
            centre=centre, face=t.face or ("inside" if t.kind in ("boxing", "sleeve") else "outside"), ends=ends,
            taper=taper, weld=self._edge(path, t.weld, t.thickness), end_weld=t.end_weld is not False,
            **self._row(path), slots=read_slots(self.faults, path, t, rail, shape),
        )  # fmt: skip

    def _clean(self, path: Path) -> bool:
        """Whether nothing about the wall of a row was noted."""
        return not self.faults.noted((*path, "wall")) and not self.faults.noted((*path, "kind"))

    def _plate_wall(self, path: Path, t: Any, rail: Rail | None, shape: Shape | None) -> str:
        """The wall a plate lies on; "" of boxing plates and sleeves."""
        if t.kind in ("boxing", "sleeve"):
            for key in ("wall", "width", "offset"):
                if getattr(t, key) is not None:
                    self.faults.add((*path, key), f"has no meaning for a {t.kind} plate", "Leave it out")
            self._closes(path, t, rail)
            return ""
        if t.wall is None:
            self.faults.add((*path, "wall"), "is missing", "Write the wall that the plate lies on")
            return ""
        for s in () if rail is None else _spans(rail, (t.start, t.end)):
            if isinstance(s.shape, Tube | TopHat):
                rule = f"has no flat wall to lie on: the rail is a {_called(s.shape)} there"
                self.faults.add((*path, "kind"), rule, "Let in a piece")
                return ""
        (wall,) = self._walls(path, [t.wall], rail, (t.start, t.end))
        if shape is not None and self._clean(path) and t.kind in (STANDS_ON, LIES_ON):
            flat = lies(shape, wall, rail.side if rail is not None else "right")
            if flat == (t.kind == STANDS_ON):
                rule = f"is not a wall for a {t.kind} plate: it {'lies' if flat else 'stands upright'}"
                self.faults.add((*path, "wall"), rule, f'Write kind = "{LIES_ON if flat else STANDS_ON}"')
        return wall

    def _closes(self, path: Path, t: Any, rail: Rail | None) -> None:
        """Note where a boxing plate or sleeve has no channel or box to close or line, from end to end."""
        needed: type[Channel] | type[Box] = Channel if t.kind == "boxing" else Box
        for s in () if rail is None else _spans(rail, (t.start, t.end)):
            if not isinstance(s.shape, needed) or getattr(s.shape, "lip", None):
                what = "channel without lips" if t.kind == "boxing" else "box"
                on = f" from {s.start:g} mm on" if s.start > t.start else ""
                rule = f"needs a rail that is a {what} there, and this one is a {_called(s.shape)}{on}"
                self.faults.add((*path, "kind"), rule, "Take a doubler, a cheek or a flange plate")
                return

    def _taper(self, path: Path, t: Any, ends: str, width: float | None, shape: Shape | None) -> float:
        """Length of each tapered end, mm: as given, else at 45 degrees from either edge."""
        if ends == "square":
            if t.taper is not None:
                self.faults.add((*path, "taper"), "has no meaning for square ends", 'Write ends = "tapered" or "spear"')
            return 0.0
        whole = 0.0 if shape is None else boxing_width(shape, t.face or "inside") if t.kind == "boxing" else shape.depth
        across = width if width is not None else whole
        taper = float(t.taper) if t.taper is not None else max((1 - TIP[ends]) * across / 2, 10.0)
        if 2 * taper >= t.end - t.start:
            rule = f"leaves nothing between its two ends, which taper over {taper:g} mm each"
            self.faults.add((*path, "to"), rule, "Make the plate longer, or give a shorter taper")
        return taper

    def _edge(self, path: Path, weld: Any, thickness: float) -> Edge:
        if weld is None:
            return Edge()
        if weld.leg is not None and weld.throat is not None:
            self.faults.add((*path, "weld", "throat"), "is given beside leg", "Give one of the two")
        throat = weld.throat if weld.throat is not None else None if weld.leg is None else THROAT * weld.leg
        run, pitch = weld.run or 0.0, weld.pitch or 0.0
        if weld.seam == "stitch" and not (0 < run <= pitch):
            rule = "needs run and pitch, the run no longer than the pitch"
            self.faults.add((*path, "weld", "seam"), rule, 'Write weld = { seam = "stitch", run = 40, pitch = 100 }')
        elif weld.seam == "stitch" and run <= 2 * (least := throat or THROAT * thickness):
            rule = f"leaves nothing of a run, whose ends have no full throat over {least:g} mm each"
            self.faults.add((*path, "weld", "run"), rule, "Write run = 40 or more, or a smaller throat")
        if weld.seam != "stitch":
            for key in ("run", "pitch"):
                if getattr(weld, key) is not None:
                    self.faults.add((*path, "weld", key), "belongs to stitched seams", 'Write seam = "stitch"')
            run = pitch = 0.0
        return Edge(throat=throat, run=run, pitch=pitch)


def _spans(rail: Rail, reach: tuple[float, float]) -> list[Span]:
    """Spans of a rail between two stations; of a place that in which its shape is taken."""
    own = [s for s in rail.spans if s.start <= reach[1] - SAME and s.end > reach[0] + SAME]
    return own or [span_at(rail, reach[0])]


def _called(shape: Shape) -> str:
    """What kind of section it is, in the words of chassis files."""
    return "top hat" if isinstance(shape, TopHat) else type(shape).__name__.lower()


def _too_short(start: float, end: float) -> tuple[str, str]:
    """What is wrong with a piece that ends where it begins or before, as (rule, hint)."""
    if end <= start:
        return f"must be more than where it begins, {start:g} mm", "Swap the two"
    rule = f"ends it {end - start:.3g} mm behind where it begins, {start:g} mm, which is no length"
    metres = f'Write {1000 * start:g} and {1000 * end:g} if they are metres, or the unit, as in "{end:g} m"'
    return rule, metres if end < METRES else "Make it longer"
