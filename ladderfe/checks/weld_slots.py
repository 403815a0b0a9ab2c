"""What the slots of a sleeve carry: all that it takes over on each side of a joint of the rail.

The sleeve is a free body from its own end, which is free, to the joint: there it has its share of the rail's force,
shear, moments and torque by the theory of the section, and the slots in between hold it as an elastic group, the
sleeve stiff.  So bending of its upright walls comes in through the slots too, as a couple of those in top and bottom
and across those in the sides.  Where the sleeve reaches over no joint of the plan its middle stands for one, with
whatever share on that side asks for most.  Beside it the same with all that the rail carries at the joint: were the
butt weld not to count.  Slots between two joints bring in what the sleeve has at the one less what it has at the other;
were one butt weld or both not to count, all that the rail carries stands for what it has there.

A sleeve put in while the frame stands loaded feels only what comes after: the case less the case in which it stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks.plate_forces import plate_run
from ladderfe.checks.stress import table_of
from ladderfe.checks.use_in import members_in
from ladderfe.checks.weld_butts import rows_at
from ladderfe.condition.plan_slots import sleeve_joints, slot_rows
from ladderfe.condition.plan_types import PlanPlate, Slots
from ladderfe.condition.rails import SIDES
from ladderfe.condition.repaired import Repaired
from ladderfe.connections import slot_forces
from ladderfe.mesh import Mesh
from ladderfe.sections import Section, properties, wall_thickness
from ladderfe.solve import Solution

__all__ = ["SlotDemand", "about_line", "slot_demands", "wall_wrench"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]
INSIDE = "{} plate inside"
#: What slots hold or do not, in words.
PARTS = ("force along", "shear sideways", "shear upright", "torque", "bending upright", "bending sideways")


@dataclass(frozen=True, slots=True, kw_only=True)
class SlotDemand:
    """Slots in one wall on one side of the joint of a sleeve, "front" or "rear", or "between" two joints.

    joint: its station, mm; joined: whether the plan has a joint there (else the middle of the sleeve); until: station
    of the other one of two joints, else that of the one.
    force: N on the most loaded slot, in size, with its case; alone: the same were the butt weld not to count.
    stations: of the slots' middles.  thickness: of the rail's wall there, as strength is judged.  left: what no slot on
    that side holds by its place.
    """

    plate: PlanPlate
    slots: Slots
    wall: str
    end: str
    joint: float
    joined: bool
    until: float
    force: float
    case: str
    alone: float
    alone_case: str
    stations: tuple[float, ...]
    thickness: float
    left: tuple[str, ...]

    @property
    def thinner(self) -> float:
        return min(self.thickness, self.plate.thickness)


def slot_demands(states: Repaired, solution: Solution, stage: int | None) -> tuple[SlotDemand, ...]:
    """Of all sleeves of a plan, wall by wall from front to rear; `stage`: number of the case in which they are put in.
    Between two joints only where a slot fits: the piece there hangs on its butt welds otherwise."""
    return tuple(d for p in states.plan.plates if p.thickness and p.slots is not None
                 for d in _sleeve(states, solution, p, stage))  # fmt: skip


def _sleeve(states: Repaired, solution: Solution, p: PlanPlate, stage: int | None) -> list[SlotDemand]:
    joints = sleeve_joints(p, states.plan.inserts, states.plan.splices)
    cuts = joints or ((p.start + p.end) / 2,)
    rows = slot_rows(p, cuts)
    front, rear = ((p.whole[0], cuts[0]), (cuts[-1], p.whole[1])) if not joints else (None, None)
    out = _row(states, solution, p, ("front", cuts[0], cuts[0]), rows[0],
               _loads(solution, p, cuts[0], front, stage))  # fmt: skip
    for a, b, at in zip(cuts[:-1], cuts[1:], rows[1:-1], strict=True):
        if at:
            first, second = (_loads(solution, p, x, None, stage) for x in (a, b))
            out += _row(states, solution, p, ("between", a, b), at, _between(first, second, b - a))
    return out + _row(states, solution, p, ("rear", cuts[-1], cuts[-1]), rows[-1],
                      _loads(solution, p, cuts[-1], rear, stage))  # fmt: skip


def _row(
    states: Repaired, solution: Solution, p: PlanPlate, place: tuple[str, float, float], at: tuple[float, ...],
    loads: tuple[Array, Array],
) -> list[SlotDemand]:  # fmt: skip
    """The slots at some stations of all walls; place: which they are, with their joint or joints."""
    slots, (end, joint, until) = p.slots, place
    if slots is None:
        return []
    joined = bool(sleeve_joints(p, states.plan.inserts, states.plan.splices))
    held, force = _shared(solution.mesh, p, slots.walls, joint, at, loads[0])
    _, alone = _shared(solution.mesh, p, slots.walls, joint, at, loads[1])
    left = tuple(n for n, yes in zip(PARTS, held, strict=True) if not yes) if at else ()
    out = []
    for k, wall in enumerate(slots.walls):
        most, case = _greatest(solution, force[k])
        most_alone, case_alone = _greatest(solution, alone[k])
        out.append(SlotDemand(plate=p, slots=slots, wall=wall, end=end, joint=joint, joined=joined, until=until,
                              force=most, case=case, alone=most_alone, alone_case=case_alone, stations=at,
                              thickness=_thickness(solution.mesh, p, wall), left=left))  # fmt: skip
    return out


def _between(first: tuple[Array, Array], second: tuple[Array, Array], apart: float) -> tuple[Array, Array]:
    """(r, c, 6) what slots between two joints bring into the sleeve, about the first of them: what it has at the second
    less what it has at the first; and the same were one butt weld or both not to count."""
    (own, whole), (own2, whole2) = first, (_moved(v, apart) for v in second)
    pairs = [(own, whole2), (whole, own2), (whole, whole2)]
    return _less(own, own2), np.concatenate([_less(a, b) for a, b in pairs])


def _moved(load: Array, apart: float) -> Array:
    """Loads (..., 6) at a place `apart` mm further along the rail, about the place before it."""
    out = load.copy()
    out[..., 4] -= apart * load[..., 2]
    out[..., 5] += apart * load[..., 1]
    return out


def _less(first: Array, second: Array) -> Array:
    """(r q, c, 6) every row of the second load less every one of the first: sections on both sides of a joint."""
    out: Array = second[None] - first[:, None]
    return out.reshape(-1, *first.shape[1:])


def _loads(
    solution: Solution, p: PlanPlate, joint: float, reach: tuple[float, float] | None, stage: int | None
) -> tuple[Array, Array]:  # fmt: skip
    """(r, c, 6) N and N mm about the reference line: what the sleeve has, and what the whole rail has, at sections of
    the joint, or where `reach` is given at all within it."""
    mesh = solution.mesh
    r = rows_at(solution, p.side, joint)
    member, x = r.member, r.x
    if reach is not None:
        part = next(x for x in mesh.parts if x.kind == "rail" and x.side == p.side)
        run = plate_run(solution, part.name, (INSIDE.format("top"),), p.whole)
        inside = (run.station >= reach[0] - 1e-6) & (run.station <= reach[1] + 1e-6)
        member, x = (np.concatenate([a, b]) for a, b in ((member, run.member[inside]), (x, run.x[inside])))
    found = solution.resultants(member, x)[:, :8]
    if stage is not None:
        found = found - found[:, :, stage, None]
    known = {k: (_sleeve_wrench(mesh, k, p.side), about_line(mesh.sections[k]))
             for k in {int(mesh.section_of[m]) for m in member.tolist()}}  # fmt: skip
    both = [np.array([known[int(mesh.section_of[m])][i] for m in member.tolist()]) for i in (0, 1)]
    own, whole = (np.einsum("rij,rjc->rci", b, found) for b in both)
    return own, whole


def _sleeve_wrench(mesh: Mesh, k: int, side: str) -> Array:
    """(6, 8) Fx Fy Fz Mx My Mz about the reference line that the sleeve has per unit resultant, in a section."""
    own = [wall_wrench(mesh, k, INSIDE.format(w)) for w in ("top", "bottom", *SIDES[side])]
    out: Array = np.sum(own, axis=0)
    return out


def wall_wrench(mesh: Mesh, k: int, name: str) -> Array:
    """(6, 8) Fx Fy Fz Mx My Mz about the reference line of one straight wall's stresses, in a section, per unit
    resultant N Vy Vz T My Mz B Tw (or R): direct stress runs evenly from its start to its end, shear is its mean."""
    table, section = table_of(mesh), mesh.least_sections[k]
    out: Array = np.zeros((6, 8))
    walls = section.named(name)
    if not walls:
        return out
    (w,) = walls
    points = [i for i, n in enumerate(table.walls[k]) if n == name]
    face = table.normal[k, points].reshape(-1, 3, 8).mean(axis=0)  # start, end, middle of every face
    first, last = face[0], face[1]
    mean, step = (first + last) / 2, last - first
    start, end = np.asarray(w.start), np.asarray(w.end)
    (y, z), (dy, dz) = (start + end) / 2, end - start
    shear = w.area * table.mean[k, table.mean_walls[k].index(name)]
    uy, uz = (end - start) / w.length
    out[0] = w.area * mean
    out[1], out[2] = uy * shear, uz * shear
    out[3] = (y * uz - z * uy) * shear
    out[4] = w.area * (mean * z + step * dz / 12)
    out[5] = -w.area * (mean * y + step * dy / 12)
    return out


def about_line(section: Section) -> Array:
    """(6, 8) Fx Fy Fz Mx My Mz about the reference line per unit resultant of the whole section."""
    q = properties(section)
    out: Array = np.zeros((6, 8))
    out[[0, 1, 2, 3, 4, 5], [0, 1, 2, 3, 4, 5]] = 1.0
    out[3, 1], out[3, 2] = -q.zs, q.ys
    out[4, 0], out[5, 0] = q.zc, -q.yc
    return out


def _shared(
    mesh: Mesh, p: PlanPlate, walls: Sequence[str], joint: float, stations: Sequence[float], load: Array
) -> tuple[NDArray[np.bool_], Array]:  # fmt: skip
    """What the slots hold (6,), and the size of the force on the most loaded slot of each wall (w, c), N."""
    if not stations:
        whole = np.abs(load[..., :3]).max(axis=(0, 2)) if len(load) else np.zeros(load.shape[1])
        return np.zeros(6, dtype=bool), np.broadcast_to(whole, (len(walls), len(whole)))
    own = members_in(mesh, p.side, *p.whole)
    section = mesh.least_sections[mesh.section_of[own[len(own) // 2]]]
    at, way = [], []
    for wall in walls:
        (w,) = section.named(INSIDE.format(wall))
        (y, z), (uy, uz) = (np.add(w.start, w.end) / 2, np.subtract(w.end, w.start) / w.length)
        at += [(x - joint, y, z) for x in stations]
        way += [(0.0, uy, uz)] * len(stations)
    r, c = load.shape[:2]
    found = slot_forces(at, way, load.reshape(r * c, 6))
    size = found.size.reshape(r, c, len(walls), len(stations)).max(axis=(0, 3))
    return found.held, size.T


def _greatest(solution: Solution, size: Array) -> tuple[float, str]:
    own = size[1:]
    c = int((own >= own.max() * (1 - 1e-9)).argmax())
    return float(own[c]), solution.cases[c + 1].name


def _thickness(mesh: Mesh, p: PlanPlate, wall: str) -> float:
    """Of the rail's wall along a sleeve, as strength is judged, at its thinnest, mm."""
    own = members_in(mesh, p.side, p.start, p.end).tolist()
    walls = [wall_thickness(mesh.least_shapes[mesh.section_of[m]], SIDES[p.side]) for m in own]
    return min(w[wall] for w in walls if w.get(wall, 0.0) > 0)
