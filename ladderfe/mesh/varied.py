"""Which parts of a mesh depend on the walls of stretches of the rails, and those parts for many states at once.

A stretch is a wall of a rail from one station to another whose thickness is one number.  Nodes on rails, members and
names stay; sections, joints, diaphragms, places on walls and, on channel rails, the crossmembers' ends follow.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis, Diaphragm, Rail, Span
from ladderfe.errors import LadderFEError, ModelError
from ladderfe.mesh.build import SIDES, build_mesh
from ladderfe.mesh.joined import joint_ends
from ladderfe.mesh.rails import SAME, least_in, rail_shape, shape_in, span_of_box
from ladderfe.mesh.types import Mesh
from ladderfe.mesh.varied_follow import Boxes
from ladderfe.mesh.walls import OPEN, RACKING
from ladderfe.sections import Box, Channel, Shape
from ladderfe.sections.alike import WALLS

__all__ = ["Stretch", "Varied", "cut", "field_of", "thickened"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
Bools = NDArray[np.bool_]
#: The state in which a frame is laid out has walls a little thinner, each by its own part: so that no two stretches
#: share a section.
APART = 1e-3


@dataclass(frozen=True, slots=True)
class Stretch:
    """A wall ("top", "bottom", "web", "outer", "inner") of the rail on a side, from station start to end, mm."""

    side: str
    start: float
    end: float
    wall: str


def field_of(shape: Shape, side: str, wall: str) -> str:
    """The shape's word for a wall of the rail on that side; ModelError where it has no such wall."""
    minus, plus = SIDES[side]
    names: dict[str, str] = {}
    if isinstance(shape, Box):
        names = {"top": "top", "bottom": "bottom", minus: "minus", plus: "plus"}
    elif isinstance(shape, Channel):
        sideways = shape.opens[1] == "y"
        names = {"top": "top", "bottom": "bottom"} if sideways else {minus: "top", plus: "bottom"}
        names["web"] = "web"
    if wall not in names:
        known = ", ".join(names) or "none that can be changed"
        raise ModelError(f"{side} rail", f"its {type(shape).__name__.lower()} has no wall {wall!r}", f"Walls: {known}")
    return names[wall]


def cut(chassis: Chassis, stretches: Sequence[Stretch]) -> Chassis:
    """The same chassis with its rails' spans cut where stretches begin and end."""
    rails = []
    for rail in chassis.rails:
        own = [x for s in stretches if s.side == rail.side for x in (s.start, s.end)]
        if any(not rail.start - SAME <= x <= rail.end + SAME for x in own):
            raise ModelError(rail.name, f"a stretch lies off the rail, {rail.start:g} to {rail.end:g} mm", "")
        rails.append(replace(rail, spans=tuple(part for span in rail.spans for part in _parts(span, own))))
    return replace(chassis, rails=(rails[0], rails[1]))


def _parts(span: Span, cuts: Sequence[float]) -> list[Span]:
    inside = sorted({x for x in cuts if span.start + SAME < x < span.end - SAME})
    places = [span.start, *inside, span.end]
    if span.shape_end is None:
        return [replace(span, start=a, end=b) for a, b in itertools.pairwise(places)]
    ends = [span.shape, *(shape_in(span, x) for x in inside), span.shape_end]
    least = [least_in(span, x) for x in places]
    pairs = zip(*(itertools.pairwise(x) for x in (places, ends, least)), strict=True)
    return [
        replace(span, start=a, end=b, shape=p, shape_end=q, least=s, least_end=t) for (a, b), (p, q), (s, t) in pairs
    ]


def _covered(span: Span, rail: Rail, stretches: Sequence[Stretch]) -> dict[str, int]:
    """Of a span of a chassis that is cut: thicknesses by the shape's names, and the stretch that gives each."""
    middle = (span.start + span.end) / 2
    own = [k for k, s in enumerate(stretches) if s.side == rail.side and s.start < middle < s.end]
    return {field_of(span.shape, rail.side, stretches[k].wall): k for k in own}


def thickened(
    chassis: Chassis, stretches: Sequence[Stretch], thickness: Sequence[float], least: Sequence[float] | None = None
) -> Chassis:  # fmt: skip
    """A chassis that is `cut`, its stretches' walls so thick (mm); least: those by which strength is judged."""
    rails = []
    for rail in chassis.rails:
        spans = []
        for span in rail.spans:
            covered = _covered(span, rail, stretches)
            spans.append(_span(span, covered, thickness, thickness if least is None else least) if covered else span)
        rails.append(replace(rail, spans=tuple(spans)))
    return replace(chassis, rails=(rails[0], rails[1]))


def _span(span: Span, covered: dict[str, int], thickness: Sequence[float], least: Sequence[float]) -> Span:
    walls = {name: float(thickness[k]) for name, k in covered.items()}
    if least is thickness and span.least is None and span.least_end is None:
        end = None if span.shape_end is None else _with(span.shape_end, walls)
        return replace(span, shape=_with(span.shape, walls), shape_end=end)
    thin = {name: float(least[k]) for name, k in covered.items()}
    ends = [(span.shape, span.least or span.shape)]
    if span.shape_end is not None:
        ends.append((span.shape_end, span.least_end or span.shape_end))
    found = [(_with(one, walls), _with(other, thin)) for one, other in ends]
    out = [(one, None if one == other else other) for one, other in found]
    (shape, least_shape), (end, least_end) = out[0], out[-1] if len(out) > 1 else (None, None)
    return replace(span, shape=shape, shape_end=end, least=least_shape, least_end=least_end)


def _with(shape: Shape, walls: dict[str, float]) -> Shape:
    return replace(shape, **walls)  # type: ignore[arg-type]


@dataclass(frozen=True, eq=False)
class Varied:
    """A chassis that is `cut`, with its mesh in one state, and what of it depends on the stretches' walls."""

    chassis: Chassis
    stretches: tuple[Stretch, ...]
    mesh: Mesh
    refine: int
    taper_steps: int

    @staticmethod
    def of(chassis: Chassis, stretches: Sequence[Stretch], *, refine: int, taper_steps: int) -> Varied:
        """Lay a chassis out.  ModelError where a stretch is off its rail, or none of its wall is there."""
        whole = cut(chassis, stretches)
        t = []
        for k, s in enumerate(stretches):
            rail = next(r for r in whole.rails if r.side == s.side)
            shapes = [p.shape for p in rail.spans if s.start < (p.start + p.end) / 2 < s.end]
            if not shapes:
                raise ModelError(rail.name, f"no metal from {s.start:g} to {s.end:g} mm", "Give a longer stretch")
            least = min(float(getattr(p, field_of(p, s.side, s.wall))) for p in shapes)
            t.append(least * (1 - APART * (k + 1) / (len(stretches) + 1)))
        chassis = thickened(whole, stretches, t)
        mesh = build_mesh(chassis, refine=refine, taper_steps=taper_steps)
        return Varied(chassis, tuple(stretches), mesh, refine, taper_steps)

    @cached_property
    def _met_spans(self) -> list[list[tuple[Span, dict[str, int]]]]:
        """Of both rails all spans, and the stretches (as `_covered`) of those at which members or diaphragms meet
        them."""
        stations = [x for end in joint_ends(self.chassis) for x in end.place[:1]]
        stations += [d.station for d in self.chassis.diaphragms]

        def met(span: Span) -> bool:
            return any(span.start - SAME <= x <= span.end + SAME for x in stations)

        return [[(s, _covered(s, r, self.stretches) if met(s) else {}) for s in r.spans] for r in self.chassis.rails]

    def possible(self, thickness: Array) -> None:
        """Raises LadderFEError where in one of the states (v, k) a rail cannot have such walls where something meets
        it: every limit is one for the thinnest or for the thickest."""
        try:
            for t in (thickness.min(axis=0), thickness.max(axis=0)):
                self.where_met(t.tolist())
        except LadderFEError:
            for t in thickness.tolist():
                self.where_met(t)

    def where_met(self, thickness: Sequence[float]) -> Chassis:
        """The chassis in one state as joints and diaphragms see it: spans that nothing meets are as laid out."""
        left, right = (
            replace(rail, spans=tuple(_span(s, own, thickness, thickness) if own else s for s, own in spans))
            for rail, spans in zip(self.chassis.rails, self._met_spans, strict=True)
        )
        return replace(self.chassis, rails=(left, right))

    @cached_property
    def by_section(self) -> dict[int, dict[str, int]]:
        """Of every section that varies, the stretch that gives each thickness."""
        out: dict[int, dict[str, int]] = {}
        for rail in self.chassis.rails:
            part = self.mesh.part(rail.name)
            covered = [(s, _covered(s, rail, self.stretches)) for s in rail.spans]
            for m in part.members:
                middle = float(self.mesh.along[m].mean())
                walls = next(w for s, w in reversed(covered) if s.start <= middle)
                if walls:
                    for k in (int(self.mesh.section_of[m]), *self.mesh.end_sections[m].tolist()):
                        out[k] = walls
        return out

    @cached_property
    def vary(self) -> Bools:
        """(sections,) True for those that vary."""
        out = np.zeros(len(self.mesh.sections), dtype=bool)
        out[list(self.by_section)] = True
        return out

    @cached_property
    def boxes(self) -> Boxes:
        """The boxes among the sections, and which stretches give their walls."""
        own = {k: s for k, s in enumerate(self.mesh.shapes) if isinstance(s, Box)}
        return Boxes.of(list(own), list(own.values()), [self.by_section.get(k, {}) for k in own])

    @cached_property
    def node_member(self) -> IntArray:
        """(n,) the member whose section stands for a node that warps or racks, -1 at others; as in `Shaped`."""
        mesh, out = self.mesh, np.full(len(self.mesh.nodes), -1)
        joints = {(j.member, j.end) for j in mesh.joints}
        for m, ends in enumerate(mesh.ends.tolist()):
            for end, node in enumerate(ends):
                if (m, end) not in joints and mesh.extras[node] and mesh.kind[m] == mesh.extras[node]:
                    out[node] = m
        return out

    @cached_property
    def node_varies(self) -> Bools:
        """(n,) True where the section that stands for a node varies."""
        own = self.node_member
        out: Bools = (own >= 0) & self.vary[self.mesh.section_of[own]]
        return out

    @cached_property
    def beside(self) -> dict[int, int]:
        """Of open members that count from a box of their rail: a member of that box, as in `Shaped`."""
        out = {}
        for part in self.mesh.parts:
            boxes = [m for m in part.members if self.mesh.kind[m] == RACKING]
            for m in part.members if boxes else ():
                shape = self.mesh.shapes[self.mesh.section_of[m]]
                if self.mesh.kind[m] == OPEN and isinstance(shape, Channel):
                    out[m] = boxes[0]
        return out

    @cached_property
    def running_on(self) -> tuple[IntArray, list[tuple[int, int]]]:
        """Ends of members that run on through a node that racks: of boxes through a box's (k, 4) number among those
        that vary, end, section of the member and of the node; and (number, end) of all others."""
        mesh, boxes = self.mesh, set(self.boxes.number.tolist())
        at_joint = {(j.member, j.end) for j in mesh.joints}
        found, others = [], []
        for i, m in enumerate(self.members.tolist()):
            for end, node in enumerate(mesh.ends[m].tolist()):
                if (m, end) in at_joint or mesh.extras[node] != RACKING:
                    continue
                own, there = int(mesh.section_of[m]), int(mesh.section_of[self.node_member[node]])
                if mesh.kind[m] == RACKING and {own, there} <= boxes:
                    found.append((i, end, own, there))
                else:
                    others.append((i, end))
        return np.array(found, dtype=np.int64).reshape(-1, 4), others

    @cached_property
    def laid_follow(self) -> Array:
        """(m, 2, 8, 2) `follow` of the members that vary as laid out, in their axes."""
        out = self.mesh.follow[self.members].copy()
        back = self.mesh.axes[self.members][:, None]
        out[:, :, :3], out[:, :, 3:6] = back @ out[:, :, :3], back @ out[:, :, 3:6]
        return out

    @cached_property
    def shared_origin(self) -> set[int]:
        """Open members that count from a place that their part shares."""
        out = set()
        for part in self.mesh.parts:
            own = [m for m in part.members if self.mesh.kind[m] == OPEN]
            if len({int(self.mesh.section_of[m]) for m in own}) > 1:
                out |= {m for m in own if m not in self.beside}
        return out

    def opening(self, bridge: int) -> list[int]:
        """Members of an opening from edge to edge, the boxes before and behind it first and last."""
        b = self.mesh.bridges[bridge]
        out = [b.member - 1]
        while int(self.mesh.ends[out[-1], 0]) != b.nodes[1]:
            out.append(out[-1] + 1)
        return out

    @cached_property
    def bridges(self) -> tuple[int, ...]:
        """Openings (numbers in the mesh's list) whose walls vary."""
        return tuple(k for k in range(len(self.mesh.bridges)) if self.vary[self.mesh.section_of[self.opening(k)]].any())

    @cached_property
    def joints(self) -> tuple[int, ...]:
        """Joints (numbers in the mesh's list) whose rail varies there."""
        rails = {r.name: r for r in self.chassis.rails}
        out = []
        for k, (joint, end) in enumerate(zip(self.mesh.joints, joint_ends(self.chassis), strict=True)):
            rail = rails[end.rail.name]
            span = next((s for s in reversed(rail.spans) if s.start <= end.place[0] + SAME), rail.spans[0])
            node = int(self.mesh.ends[joint.member, joint.end])
            if _covered(span, rail, self.stretches) or self.node_varies[node]:
                out.append(k)
        return tuple(out)

    def joint_walls(self, joint: int) -> dict[str, tuple[int, float]]:
        """Of a joint's rail there by its shape's names the stretch that gives the thickness, -1 where none does, and
        the thickness as laid out."""
        end = joint_ends(self.chassis)[joint]
        rail = next(r for r in self.chassis.rails if r.name == end.rail.name)
        span = next((s for s in reversed(rail.spans) if s.start <= end.place[0] + SAME), rail.spans[0])
        shape, walls = rail_shape(rail, end.place[0]), _covered(span, rail, self.stretches)
        return {n: (walls.get(n, -1), float(getattr(shape, n))) for n in WALLS.get(type(shape), ())}

    @cached_property
    def moved_parts(self) -> tuple[int, ...]:
        """Crossmembers and outriggers (numbers of parts) whose members move with a channel's web there."""
        owner, ends = self.mesh.part_of(), joint_ends(self.chassis)
        met = {k: rail_shape(self._rail(ends[k].rail.name), ends[k].place[0]) for k in self.joints}
        return tuple(sorted({int(owner[self.mesh.joints[k].member]) for k, s in met.items() if isinstance(s, Channel)}))

    def _rail(self, name: str) -> Rail:
        return next(r for r in self.chassis.rails if r.name == name)

    @cached_property
    def members(self) -> IntArray:
        """(k,) members that vary in any way."""
        mesh, vary = self.mesh, self.vary
        out = vary[mesh.section_of] | vary[mesh.end_sections].any(axis=1)
        out |= (
            self.node_varies[mesh.ends].any(axis=1) & (np.array([p.kind == "rail" for p in mesh.parts])[mesh.part_of()])
        )
        for k in self.joints:
            out[mesh.joints[k].member] = True
        for p in self.moved_parts:
            out[mesh.parts[p].first : mesh.parts[p].last] = True
        for m, box in self.beside.items():
            out[m] |= vary[mesh.section_of[box]]
        return np.flatnonzero(out)

    @cached_property
    def nodes(self) -> IntArray:
        """(n,) nodes at which something varies."""
        own = [self.mesh.ends[self.members].ravel(), np.flatnonzero(self.node_varies)]
        own.append(np.array([n for k in self.bridges for n in self.mesh.bridges[k].nodes], dtype=np.int64))
        own.append(
            np.array([self.mesh.ends[j.member, j.end] for j in self.mesh.joints if self._is_varied(j)], dtype=np.int64)
        )
        return np.unique(np.concatenate(own))

    def _is_varied(self, joint: object) -> bool:
        return any(self.mesh.joints[k] is joint for k in self.joints)

    @cached_property
    def diaphragms(self) -> list[tuple[Diaphragm, int, Boxes | None]]:
        """Diaphragms at nodes where something varies, these nodes, and the boxes around them as `box_at` finds them
        (None: no plain box)."""
        mesh, plates, out = self.mesh, {p.node for p in self.mesh.plates}, []
        for d in self.chassis.diaphragms:
            part, rail = mesh.part(f"{d.side} rail"), next(r for r in self.chassis.rails if r.side == d.side)
            nodes = [*mesh.ends[part.first : part.last, 0].tolist(), int(mesh.ends[part.last - 1, 1])]
            node = nodes[int(np.argmin(np.abs(mesh.nodes[nodes, 0] - d.station)))]
            if node in plates and node in self.nodes:
                found = span_of_box(rail, d.station)
                box = found and shape_in(found, d.station)
                walls = _covered(found, rail, self.stretches) if found else {}
                out.append((d, node, Boxes.of([0], [box], [walls]) if isinstance(box, Box) else None))
        return out

    def shape_thickness(self, section: int, thickness: Array, *, least: bool = False) -> dict[str, Array]:
        """Thicknesses (v,) of a section by its shape's names, in states (v, k) of the stretches; least: of the shape by
        which strength is judged."""
        shape = (self.mesh.least_shapes if least else self.mesh.shapes)[section]
        walls = self.by_section.get(section, {})
        v = len(thickness)
        return {
            n: thickness[:, walls[n]] if n in walls else np.full(v, float(getattr(shape, n)))
            for n in WALLS[type(shape)]
        }
