"""The rails of a chassis file: path and sections of each, brought to the middle of the outline and checked."""

from __future__ import annotations

from math import nan
from typing import Any, Final

from ladderfe.chassis.assumed import Assumed, Guess
from ladderfe.chassis.drafts import SAME, RailDraft, Rails, SpanDraft, along
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.lines import Path
from ladderfe.chassis.sizes import RAIL, check_sizes, shape_of, sizes_of, tapers
from ladderfe.chassis.types import PathPoint, Side
from ladderfe.sections import Shape

__all__ = ["read_rails"]

#: A step of the outline may move the rail's middle by this much at most where its face was measured, mm.
STEP: Final = 5.0
SPACING: Final = {"middle": 0.0, "outside": -0.5, "inside": 0.5}  # from the measured face to the middle, in widths
HEIGHT: Final = {"middle": 0.0, "top": -0.5, "bottom": 0.5}  # from the measured face to the middle, in depths


def read_rails(faults: Faults, table: Any, assumed: Assumed, radius: float) -> Rails:
    """Both rails of the file (left, right), as far as they can be read; faults are noted."""
    left, right = (_read_rail(faults, table, side, assumed, radius) for side in ("left", "right"))
    return left, right


def _read_rail(faults: Faults, table: Any, side: Side, assumed: Assumed, radius: float) -> RailDraft:
    own = getattr(table, side, None)
    parts: dict[str, tuple[Path, Any]] = {}
    for key in ("path", "sections"):
        of_side = getattr(own, key, None)
        parts[key] = (
            (("rails", side, key), of_side) if of_side is not None else (("rails", key), getattr(table, key, None))
        )
        if parts[key][1] is None and table is not None:
            faults.add(
                parts[key][0], "is missing", f"Give {key} under [rails], or under both [rails.left] and [rails.right]"
            )
    points = _measured(faults, *parts["path"])
    spans = _spans(faults, *parts["sections"], points, side, radius)
    middle = _to_middle(faults, table, points, spans, (parts["path"][0], parts["sections"][0]))
    shift = _shift(table, spans, assumed)
    path = tuple(PathPoint(p.station, p.half_spacing - shift, p.height) for p in middle)
    return RailDraft(side, path, tuple(spans))


def _measured(faults: Faults, path: Path, table: Any) -> list[PathPoint]:
    """The path's points as measured."""
    points: list[PathPoint] = []
    heights = [p.height for p in table or []]
    for i, p in enumerate(table or []):
        station = p.station
        if p.half_spacing is not None and p.spacing is not None:
            faults.add((*path, i, "spacing"), "is given beside half_spacing", "Give one of the two")
        if p.half_spacing is None and p.spacing is None:
            faults.add(
                (*path, i, "half_spacing"),
                "is missing",
                "Give half_spacing (from the centre line) or spacing (rail to rail)",
            )
        if p.height is None and any(h is not None for h in heights):
            faults.add(
                (*path, i, "height"),
                "is missing",
                "Give the height at every point of the path, or at none of a level rail",
            )
        if points and p.station <= points[-1].station:
            faults.add(
                (*path, i, "station"),
                f"must be more than the station before it, {points[-1].station:g} mm",
                "List the points from front to rear",
            )
            station = nan
        half = p.half_spacing if p.half_spacing is not None else p.spacing / 2 if p.spacing is not None else nan
        points.append(PathPoint(station, half, p.height or 0.0))
    if table is not None and len(points) < 2:
        faults.add(path, "needs two points or more", "Give the front end and the rear end of the rail")
        return []
    return points


def _spans(
    faults: Faults, path: Path, table: Any, points: list[PathPoint], side: Side, radius: float
) -> list[SpanDraft]:
    """Sections joined end to end over the rail."""
    start, end = (points[0].station, points[-1].station) if points else (nan, nan)
    tables = list(table or [])
    if table is not None and not tables:
        faults.add(
            path,
            "needs one section or more",
            'Write sections = [{ shape = "box", depth = 120, width = 65, wall = 2.5 }]',
        )
    spans: list[SpanDraft] = []
    for i, t in enumerate(tables):
        before = spans[-1].end if spans else start
        after = tables[i + 1].start if i + 1 < len(tables) else end
        if t.end is None and after is None:
            faults.add((*path, i, "to"), "is missing", "Give to here, or from in the section behind it")
        a = before if t.start is None else t.start
        b = t.end if t.end is not None else after if after is not None else nan
        _joins(faults, (*path, i), (a, b), before, first=i == 0)
        shapes = _shapes(faults, (*path, i), t, side, radius)
        spans.append(SpanDraft(before if abs(a - before) <= SAME else a, b, *shapes))
    if spans:
        _closes(faults, (*path, len(spans) - 1), spans[-1].end, end)
        if abs(spans[-1].end - end) <= SAME:
            spans[-1] = SpanDraft(spans[-1].start, end, spans[-1].shape, spans[-1].shape_end)
    return spans


def _joins(faults: Faults, path: Path, reach: tuple[float, float], before: float, *, first: bool) -> None:
    """Note a section that ends before it begins, or that does not begin where the one before it ended."""
    start, end = reach
    if end <= start:
        faults.add(
            (*path, "to"),
            f"must be more than where the section begins, {start:g} mm",
            "List the sections from front to rear",
        )
    if start > before + SAME:
        faults.add(
            (*path, "from"),
            f"leaves the rail without a section from {before:g} to {start:g} mm",
            f"Write from = {before:g}, or leave from out",
        )
    if start < before - SAME:
        rule = (
            f"lies before the rail's front end at {before:g} mm"
            if first
            else f"overlaps the section before it, which ends at {before:g} mm"
        )
        faults.add((*path, "from"), rule, f"Write from = {before:g}, or leave from out")


def _closes(faults: Faults, path: Path, last: float, end: float) -> None:
    if last < end - SAME:
        faults.add(
            (*path, "to"),
            f"leaves the rail without a section from {last:g} to {end:g} mm",
            f"Write to = {end:g}, or leave to out",
        )
    if last > end + SAME:
        faults.add(
            (*path, "to"), f"lies behind the rail's rear end at {end:g} mm", f"Write to = {end:g}, or leave to out"
        )


def _shapes(faults: Faults, path: Path, table: Any, side: Side, radius: float) -> tuple[Shape | None, Shape | None]:
    """The shape at both ends of a section; the second is None where it does not taper."""
    shapes: list[Shape | None] = []
    for suffix in ("", "_end") if tapers(table) else ("",):
        sizes = sizes_of(table, end=bool(suffix))
        shape = shape_of(sizes, RAIL, radius) if check_sizes(faults, path, sizes, RAIL, suffix) else None
        shapes.append(shape.mirrored() if shape and side == "left" else shape)
    if len(shapes) == 1:
        return shapes[0], None
    return (shapes[0], shapes[1]) if all(shapes) else (None, None)


def _shift(table: Any, spans: list[SpanDraft], assumed: Assumed) -> float:
    """How far outward of the rail's middle its spacing was measured, mm, where the file does not say to which face."""
    if getattr(table, "spacing_to", None) is not None or not spans or not spans[0].shape:
        return 0.0
    half = spans[0].shape.width / 2
    meaning = "where the rail's spacing was measured, outward from its middle: taken as the middle"
    return assumed.take(
        "rails.spacing_to", None, Guess(meaning, -half, 0.0, half, "mm", "half the rail's width to either face")
    )


def _to_middle(
    faults: Faults, table: Any, points: list[PathPoint], spans: list[SpanDraft], paths: tuple[Path, Path]
) -> list[PathPoint]:
    """The path from the faces that were measured to the middle of the outline; `paths` lead to path and sections."""
    across = SPACING.get(getattr(table, "spacing_to", None) or "middle", 0.0)
    upward = HEIGHT.get(getattr(table, "height_to", None) or "middle", 0.0)
    stations = {p.station for p in points}
    if points and (across or upward):
        stations |= {s.start for s in spans if s.start > points[0].station}
    middle: list[PathPoint] = []
    for x in sorted(stations):
        sides = [s.outline(x) for s in spans if s.start - SAME <= x <= s.end + SAME] or [(nan, nan)]
        outward = [across * w if across else 0.0 for w, _ in (sides[0], sides[-1])]
        lift = [upward * d if upward else 0.0 for _, d in (sides[0], sides[-1])]
        if abs(outward[0] - outward[1]) > STEP or abs(lift[0] - lift[1]) > STEP:
            _stepped(faults, paths[1], x, spans)
        half = along(x, [(p.station, p.half_spacing) for p in points]) + sum(outward) / 2
        middle.append(PathPoint(x, half, along(x, [(p.station, p.height) for p in points]) + sum(lift) / 2))
        if half <= sides[-1][0] / 2:
            _meet(faults, paths[0], x, points)
    return middle


def _stepped(faults: Faults, path: Path, station: float, spans: list[SpanDraft]) -> None:
    number = next(i for i, s in enumerate(spans) if abs(s.start - station) <= SAME)
    faults.add(
        (*path, number),
        f"steps in size at {station:g} mm, where the measured face would make the rail's middle jump",
        'Let the section taper over some length, or give spacing and height to the "middle"',
        value="",
    )


def _meet(faults: Faults, path: Path, station: float, points: list[PathPoint]) -> None:
    near = min(range(len(points)), key=lambda i: abs(points[i].station - station))
    faults.add(
        (*path, near, "half_spacing"),
        "leaves no room between the rails",
        "Give the distance from the centre line to the rail",
    )
