"""What the welds of a plan's plates carry: the plate as a free body, in every case.

The force in the plate by the theory of the section (`plate_forces`) grows along it by what its two edge welds bring in,
half each, and stops at its ends, where it must be anchored (`connections.anchorage`).  Beside that torque and shear
bring in at one edge what goes out at the other: it adds to one weld and takes from the other, so that the sum stays.
So does the couple of a plate whose edges are not stressed alike (one upright on a web that bends): at an end it loads
the weld across with F/b + 6 C/b^2 at its worse corner, b long, or comes in along both edges of the zone, opposite in
sense.
Where the theory lets the force jump (at the node of a crossmember, at a step of the section) the welds are taken to
bring the jump in evenly over one rail depth; over a tapered end the force goes on as it grows where the plate is whole.

A plate welded on while the frame stands loaded feels only what comes after: the case less the case in which it stands.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby
from math import ceil

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.plate_forces import PlateRun, plate_run
from ladderfe.checks.repair_places import built_shape
from ladderfe.checks.use_in import members_in
from ladderfe.condition.plan_rows import plate_width
from ladderfe.condition.plan_types import PlanPlate
from ladderfe.condition.rails import SIDES
from ladderfe.condition.repaired import Repaired, plate_walls
from ladderfe.connections import PlateEnd, anchorage, cover_plate_end_length
from ladderfe.mesh import RACKING, Mesh
from ladderfe.sections import wall_thickness, weld_lines
from ladderfe.solve import Responses

__all__ = ["EndDemand", "LineDemand", "PlateDemand", "PlateFlows", "free_body", "plate_demand"]

Array = NDArray[np.float64]
VY, VZ, T, LAST = 1, 2, 3, 7
#: What of a run goes case by case.
PARTS = ("force", "growth", "couple")
#: The force is taken at places no further apart than this, mm; flow is its mean between them.
STEP = 10.0
#: Stations this near are one, decimals of a mm.
DECIMALS = 6


@dataclass(frozen=True, slots=True, eq=False)
class PlateFlows:
    """A plate as a free body, s stations, c cases: station (s,) mm; theory, carried (s, c) N, tension positive; flow
    (s - 1, 2, 2, c) N/mm at both ends of each interval in both edge welds, positive where the weld pulls the plate
    rearward; end_force (2, c) N that the theory leaves at the ends, end_weld (2, c) N of it in welds across them;
    end_couple (2, c) N mm likewise, and weld_couple (2, c) of it in the welds across."""

    station: Array
    theory: Array
    carried: Array
    flow: Array
    end_force: Array
    end_weld: Array
    end_couple: Array
    weld_couple: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class LineDemand:
    """Greatest flow in one edge weld, N/mm in size, with its case and station (mm)."""

    name: str
    flow: float
    case: str
    station: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EndDemand:
    """One end: force in the plate there, N, tension positive, and couple in its plane, N mm, in the case that asks most
    of its welds; across: N of that in the weld across the end, `length` mm long (0: none), and flow: N/mm at the corner
    of that weld which carries most; zone: mm over which the edge welds bring in the rest."""

    station: float
    force: float
    couple: float
    case: str
    across: float
    flow: float
    length: float
    zone: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlateDemand:
    """A plate: greatest force in it, N, where and in which case; its edge welds and ends; width, mm; thinner: thickness
    of the thinner of the plate and the wall it is welded to, mm; flows: all cases; cases: their names."""

    plate: PlanPlate
    force: float
    case: str
    station: float
    edges: tuple[LineDemand, ...]
    ends: tuple[EndDemand, ...]
    width: float
    thinner: float
    flows: PlateFlows
    cases: tuple[str, ...]


def plate_demand(states: Repaired, solution: Responses, plate: PlanPlate, stage: int | None) -> PlateDemand:
    """Demand on the welds of one plate of the plan; `stage`: number of the case in which it is welded on.  Sleeves have
    slots (`weld_slots`) and none of these."""
    shape = built_shape(states, plate.side, (plate.start + plate.end) / 2)
    width = plate_width(shape, plate)
    run = _run(states, solution, plate)
    ends = _ends(plate, width)
    names, beside = _beside(solution, run, plate.side)
    if stage is not None:
        beside = beside - beside[:, stage, None]
        run = replace(run, **{n: v - v[:, stage, None] for n in PARTS if (v := getattr(run, n)) is not None})
    flows = free_body(run, plate.welded, (ends[0], ends[1]), shape.depth, beside, width)
    cases = [c.name for c in solution.cases]
    size = np.abs(flows.carried[:, 1:])
    at, c = np.unravel_index(int(size.argmax()), size.shape)
    return PlateDemand(
        plate=plate, force=float(flows.carried[at, c + 1]), case=cases[int(c) + 1], station=float(flows.station[at]),
        edges=_lines(flows, names, cases),
        ends=tuple(_end(flows, k, cases, ends[k], (width, width * plate.across)) for k in (0, 1)),
        width=width, thinner=_thinner(solution.mesh, plate), flows=flows, cases=tuple(cases),
    )  # fmt: skip


def free_body(
    run: PlateRun, reach: tuple[float, float], ends: tuple[PlateEnd, PlateEnd], spread: float,
    beside: Array | None = None, width: float = 0.0,
) -> PlateFlows:  # fmt: skip
    """The plate between `reach` as a free body.

    spread : mm over which a jump of the force comes in.  beside (n, c): N/mm at the run's places that come in at the
    first edge and go out at the second, beside half of the growth in each.  width : mm, of the plate whose couple is to
    come in too.
    """
    station, force = _even(run, spread)
    for k, end in ((0, reach[0]), (-1, reach[1])):
        if abs(end - station[k]) > 10.0**-DECIMALS:
            beyond = force[k] + run.growth[k] * (end - station[k])
            station = np.insert(station, 0 if k == 0 else len(station), end)
            force = np.insert(force, 0 if k == 0 else len(force), beyond, axis=0)
    every = [anchorage(station, f, (0.5, 0.5), ends) for f in force.T]
    s = every[0].station
    flow = np.stack([a.flow for a in every], axis=-1)
    if beside is not None:
        d = _greater(run.station, beside, s)
        both = np.stack([d[:-1], d[1:]], axis=1)
        flow = flow + np.stack([both, -both], axis=2)
    couple = np.zeros((2, force.shape[1]))
    if run.couple is not None and width:
        every_couple = _greater(run.station, run.couple, s)
        turned = _turned(s, every_couple, ends, width)
        flow, couple = flow + np.stack([-turned, turned], axis=2), every_couple[[0, -1]]
    held = np.array([[e.across**3] for e in ends])
    theory, carried, end_force, end_weld = (np.stack([getattr(a, n) for a in every], axis=-1)
                                            for n in ("theory", "carried", "end_force", "end_weld"))  # fmt: skip
    return PlateFlows(s, theory, carried, flow, end_force, end_weld, couple, couple * held)


def _turned(station: Array, couple: Array, ends: tuple[PlateEnd, PlateEnd], width: float) -> Array:
    """(s - 1, 2, c) N/mm by which both edge welds bring in over the ends' zones the couple that no weld across does,
    in the second edge as the couple, in the first opposite.

    Along an edge that is cut off slantwise it is what the stress there comes to, q = 3 r r' C/b with the width r b;
    along a square end's zone, in which the plate's share r grows from nothing, q = r' C/b.
    """
    out = np.zeros((len(station) - 1, 2, couple.shape[1]))
    middle = (station[:-1] + station[1:]) / 2
    for end, edge, way in ((ends[0], station[0], 1.0), (ends[1], station[-1], -1.0)):
        own = np.abs(middle - edge) < end.zone
        for k, (x, c) in enumerate(((station[:-1], couple[:-1]), (station[1:], couple[1:]))):
            if not own.any():
                continue
            slope = (1 - end.across) / end.zone
            r = end.across + slope * np.abs(x[own] - edge)
            grown = 3 * r if end.tapered else np.ones_like(r)
            out[own, k] += way * slope / width * grown[:, None] * c[own]
    return out


def _even(run: PlateRun, spread: float) -> tuple[Array, Array]:
    """Stations and force (s, c) with every jump brought in evenly over `spread` mm about it, within the run."""
    k = np.flatnonzero(np.diff(run.member) != 0)
    step = np.zeros_like(run.force)
    step[k + 1] = run.force[k + 1] - run.force[k]
    smooth = run.force - np.cumsum(step, axis=0)
    known, first = np.unique(np.round(run.station, DECIMALS), return_index=True)
    length = min(spread, float(known[-1] - known[0]))
    low = np.clip(run.station[k] - length / 2, known[0], known[-1] - length)
    grid = np.unique(np.round(np.concatenate([known, low, low + length]), DECIMALS))
    ramp = np.clip((grid[:, None] - low) / length, 0.0, 1.0)
    base = np.stack([np.interp(grid, known, v) for v in smooth[first].T], axis=1)
    return grid, base + ramp @ step[k + 1]


def _greater(station: Array, values: Array, at: Array) -> Array:
    """(s, c) values at stations, of two at one place the greater in size."""
    order = np.lexsort((-np.abs(values).max(axis=1), np.round(station, DECIMALS)))
    known, first = np.unique(np.round(station[order], DECIMALS), return_index=True)
    return np.stack([np.interp(at, known, v) for v in values[order][first].T], axis=1)


def _run(states: Repaired, solution: Responses, plate: PlanPlate) -> PlateRun:
    """Force along the plate where it is whole, by stretches in which its walls have one name."""
    mesh = solution.mesh
    a, b = plate.whole
    part = next(p for p in mesh.parts if p.kind == "rail" and p.side == plate.side)
    own = members_in(mesh, plate.side, a, b).tolist()
    runs = []
    for names, group in groupby(own, lambda m: plate_walls(states, plate, float(mesh.along[m].mean()))):
        members = list(group)
        reach = float(mesh.along[members[0]].min()), float(mesh.along[members[-1]].max())
        steps = max(4, ceil(float(mesh.lengths[members].max()) / STEP))
        runs.append(plate_run(solution, part.name, names, reach, steps=steps))
    walls = tuple(dict.fromkeys(n for r in runs for n in r.walls))
    return PlateRun(walls, *(np.concatenate([getattr(r, n) for r in runs])
                             for n in ("station", "member", "x", *PARTS)))  # fmt: skip


def _ends(plate: PlanPlate, width: float) -> list[PlateEnd]:
    if plate.taper and plate.lapped:
        return [PlateEnd(zone=plate.taper, across=plate.across, tapered=True)] * 2
    if plate.across:
        return [PlateEnd(zone=0.0, across=1.0)] * 2
    a, b = plate.welded
    return [PlateEnd(zone=min(cover_plate_end_length(width, plate.thickness), (b - a) / 2))] * 2


def _beside(solution: Responses, run: PlateRun, side: str) -> tuple[tuple[str, str], Array]:
    """Words for both edges, and (n, c) N/mm that comes in at the first and goes out at the second."""
    mesh = solution.mesh
    known: dict[int, tuple[tuple[str, str], Array]] = {}
    rows = []
    for m in run.member.tolist():
        k = int(mesh.section_of[m])
        if k not in known:
            known[k] = _pair(mesh, k, run.walls, side, racks=int(mesh.kind[m]) == RACKING)
        rows.append(known[k][1])
    r = solution.resultants(run.member, run.x)
    return next(iter(known.values()))[0], np.einsum("rj,rjc->rc", np.array(rows), r[:, [VY, VZ, T, LAST]])


def _pair(mesh: Mesh, k: int, walls: tuple[str, ...], side: str, *, racks: bool) -> tuple[tuple[str, str], Array]:
    """Names of both welds of a plate in a section, and half of what one has more than the other per unit Vy, Vz, T and
    Tw; nothing where it has not two welds."""
    section = mesh.least_sections[k]
    present = [n for n in walls if any(w.name == n for w in section.walls)]
    lines = weld_lines(section, present)
    if len(lines) != 2:
        return ("first edge", "second edge"), np.zeros(4)
    lies = abs(lines[1].y - lines[0].y) > abs(lines[1].z - lines[0].z)
    one, two = sorted(lines, key=lambda w: w.y if lies else w.z)
    vy, vz, torque, warping = ((one.flow - two.flow) / 2).tolist()
    # T is all torque: of walls that warp St-Venant's is T - Tw; of boxes the last place holds R, which is none
    half = np.array([vy, vz, torque, 0.0 if racks else warping - torque])
    names = (f"{SIDES[side][0]} edge", f"{SIDES[side][1]} edge") if lies else ("lower edge", "upper edge")
    return names, half


def _lines(flows: PlateFlows, names: tuple[str, str], cases: list[str]) -> tuple[LineDemand, ...]:
    out = []
    for k, name in enumerate(names):
        own = np.abs(flows.flow[:, :, k, 1:])
        i, end, c = np.unravel_index(int(own.argmax()), own.shape)
        at = float(flows.station[int(i) + int(end)])
        out.append(LineDemand(name=name, flow=float(own[i, end, c]), case=cases[int(c) + 1], station=at))
    return tuple(out)


def _end(flows: PlateFlows, k: int, cases: list[str], end: PlateEnd, width: tuple[float, float]) -> EndDemand:
    """width: of the plate, and of the weld across its end, mm."""
    whole, length = width
    b = length or whole
    force, couple = (flows.end_weld, flows.weld_couple) if length else (flows.end_force, flows.end_couple)
    flow = np.abs(force[k]) / b + (6 if length else 2) * np.abs(couple[k]) / b**2  # of both edges b/2 off the middle
    c = int(flow[1:].argmax()) + 1
    return EndDemand(station=float(flows.station[-k]), force=float(flows.end_force[k, c]),
                     couple=float(flows.end_couple[k, c]), case=cases[c], across=float(flows.end_weld[k, c]),
                     flow=float(flow[c]) if length else 0.0, length=length, zone=end.zone)  # fmt: skip


def _thinner(mesh: Mesh, plate: PlanPlate) -> float:
    """Thickness of the thinner of the plate and the walls it is welded to, as strength is judged, mm."""
    least = plate.thickness
    for m in members_in(mesh, plate.side, plate.start, plate.end).tolist():
        walls = wall_thickness(mesh.least_shapes[mesh.section_of[m]], SIDES[plate.side])
        under = [t for n, t in walls.items() if n == plate.wall] or list(walls.values())
        least = min(least, *(t for t in under if t > 0))
    return least
