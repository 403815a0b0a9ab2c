"""A frame on stands, before and after its rails are cut: what stands carry, what a cut sets free, what then moves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ladderfe.cases import LoadCase
from ladderfe.chassis import Chassis, Mount, Side
from ladderfe.checks.cut_faces import Cut, Faces, Freed, faces_of, freed_at, put_back
from ladderfe.checks.proofs import Proof
from ladderfe.checks.rows import look_at
from ladderfe.checks.stress import stresses
from ladderfe.checks.utilisation import Utilisation, greatest
from ladderfe.errors import MechanismError
from ladderfe.mesh import Mesh
from ladderfe.mesh.build import build_mesh
from ladderfe.mesh.rails import rail_point
from ladderfe.solve import Solution
from ladderfe.solve.cut import on_stands

__all__ = ["Frames", "Lowered", "Stage", "frames_of", "lowered", "pieces_held_by_nothing", "proofs_of", "rail_stand",
           "stage_of", "stands_case", "used", "weight_of",
           "with_stands", "freed", "held_together"]  # fmt: skip

#: By which one stand is set low, mm; the first serves to find where the frame first comes off a stand.
SLIGHT, LOW = 0.01, (1.0, 2.0, 5.0)
#: A stand that carries less than this part of the weight carries nothing; rounding only.
NOTHING = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """On stands in one case.  tips: how they fail to hold the vehicle, "" where they hold it; forces: N up on the
    frame by stand; faces: of every cut, none before it is made."""

    tips: str
    forces: tuple[tuple[str, float], ...]
    faces: tuple[Faces, ...] = ()

    @property
    def holds(self) -> bool:
        return not self.tips

    @property
    def lifted(self) -> tuple[str, ...]:
        """Stands that the frame has come off."""
        return tuple(name for name, force in self.forces if force == 0)

    @property
    def least(self) -> float:
        """The least load of a stand over all of them, 0 to 1; 0 where they do not hold."""
        total = sum(force for _, force in self.forces)
        return min(force for _, force in self.forces) / total if self.holds and total > 0 else 0.0

    @property
    def moves(self) -> float:
        """The greatest gap or step of all cuts, mm."""
        return max((f.greatest for f in self.faces), default=0.0)


@dataclass(frozen=True, slots=True)
class Lowered:
    """With one stand lower than the others by so many mm."""

    stand: str
    low: float
    stage: Stage


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Frames:
    """A frame whole and cut, on the same stations.  detached: in words what is held by nothing once it is cut ("": the
    frame hangs together), and then there is no cut frame."""

    chassis: Chassis
    cuts: tuple[Cut, ...]
    whole: Mesh
    opened: Mesh | None
    detached: str = ""

    def solved(self, cases: Sequence[LoadCase], whole: Solution | None = None) -> tuple[Solution, Solution | None]:
        """The frame whole and cut in cases on stands; a `whole` one spares the first."""
        before = on_stands(self.chassis, self.whole, cases) if whole is None else whole
        if self.opened is None:
            return before, None
        return before, on_stands(self.chassis, self.opened, cases, before)


def frames_of(chassis: Chassis, cuts: Sequence[Cut]) -> Frames:
    """The frame of a chassis whole and with its rails cut."""
    stations = sorted({c.station for c in cuts})
    whole = build_mesh(chassis, extra=stations)
    if not cuts:
        return Frames(chassis=chassis, cuts=(), whole=whole, opened=None)
    opened = build_mesh(chassis, extra=stations, cuts=[(c.side, c.station) for c in cuts])
    detached = pieces_held_by_nothing(opened)
    return Frames(
        chassis=chassis, cuts=tuple(cuts), whole=whole, opened=None if detached else opened, detached=detached
    )  # fmt: skip


def pieces_held_by_nothing(mesh: Mesh) -> str:
    """The pieces of rail that hang together with no other part of the frame but the greatest piece, "" for none."""
    piece = np.arange(len(mesh.nodes))
    for _ in range(len(mesh.nodes)):
        least = piece[mesh.ends].min(axis=1)
        before = piece.copy()
        np.minimum.at(piece, mesh.ends[:, 0], least)
        np.minimum.at(piece, mesh.ends[:, 1], least)
        if np.array_equal(before, piece):
            break
    of_member = piece[mesh.ends[:, 0]]
    numbers, count = np.unique(of_member, return_counts=True)
    rest = [n for n in numbers if n != numbers[np.argmax(count)]]
    words = []
    for n in rest:
        for part in (p for p in mesh.parts if p.kind == "rail"):
            own = [m for m in part.members if of_member[m] == n]
            if own:
                words.append(f"the {part.name} from {mesh.along[own[0], 0]:.0f} to {mesh.along[own[-1], 1]:.0f} mm")
    return " and ".join(words)


def rail_stand(chassis: Chassis, side: Side, station: float) -> Mount:
    """A stand under the middle of a rail at a station."""
    rail = next(r for r in chassis.rails if r.side == side)
    _, y, z = map(float, rail_point(rail, station))
    return Mount(name=f"{side} rail at {station:g} mm", part=rail.name, station=station, y=y, height=z)


def with_stands(chassis: Chassis, stands: Sequence[Mount]) -> Chassis:
    """The chassis with further stands among its mounts and no cases of its own."""
    have = {m.name for m in chassis.mounts}
    new = {m.name: m for m in stands if m.name not in have}
    return replace(chassis, mounts=(*chassis.mounts, *new.values()), cases=())


def stands_case(name: str, stands: Sequence[str], heights: Sequence[tuple[str, float]] = ()) -> LoadCase:
    """Standing on these, wheels hanging; heights in mm, all level unless given."""
    return LoadCase(name=name, kind="stands", about="on stands, wheels hanging", source="equilibrium",
                    stands=tuple(stands), heights=tuple(heights))  # fmt: skip


def stage_of(frames: Frames, solution: Solution, name: str) -> Stage:
    """What one case came to, in the frame whole or cut."""
    k = solution.case(name)
    stands = solution.cases[k].stands
    if solution.tips[k]:
        return Stage(tips=_told(solution.tips[k]), forces=tuple((s, 0.0) for s in stands))
    force = {s: float(solution.support_forces[solution.supports.index(s), k]) for s in stands}
    least = NOTHING * sum(force.values())
    cut = solution.mesh is frames.opened
    faces = tuple(faces_of(frames.chassis, solution, c, k) for c in frames.cuts) if cut else ()
    return Stage(tips="", forces=tuple((s, f if f > least else 0.0) for s, f in force.items()), faces=faces)


def _told(words: str) -> str:
    """How stands fail to hold the vehicle, without their names."""
    if " cannot hold the vehicle" in words:
        return f"they cannot hold the vehicle{words.split(' cannot hold the vehicle', 1)[1]}"
    return f"the vehicle {words.split(' the vehicle ', 1)[1]}" if " the vehicle " in words else words


def lowered(frames: Frames, stands: Sequence[str]) -> tuple[tuple[Lowered, ...], tuple[str, str, float] | None]:
    """Each stand low by each of `LOW`, in the whole frame; and which stand first comes free when which is low by how
    many mm (None where none does: three stands share their load whatever their heights).

    Until the first stand comes free all is linear in the height, so that it follows from a slight one.
    """
    cases = [stands_case("level", stands)]
    cases += [stands_case(f"{s} low by {d:g}", stands, [(s, -d)]) for s in stands for d in (SLIGHT, *LOW)]
    whole, _ = replace(frames, opened=None).solved(cases)
    stage = {c.name: stage_of(frames, whole, c.name) for c in cases}
    level, first = dict(stage["level"].forces), None
    for s in stands:
        slight = stage[f"{s} low by {SLIGHT:g}"]
        for other, force in slight.forces if slight.holds and stage["level"].holds else ():
            loss = (level[other] - force) / SLIGHT
            if loss > NOTHING * sum(level.values()) and (first is None or level[other] / loss < first[2] * (1 - 1e-6)):
                first = (other, s, level[other] / loss)
    return tuple(Lowered(s, d, stage[f"{s} low by {d:g}"]) for s in stands for d in LOW), first


def used(frames: Frames, solution: Solution, parts: Sequence[str] = ()) -> Utilisation | None:
    """The greatest utilisation in all cases of a solution, of these parts alone where some are named."""
    rows = look_at(solution)
    found = greatest(solution, rows, stresses(solution, rows), frames.chassis.criteria)
    return next((u for u in found if not parts or u.part in parts), None)


def weight_of(solution: Solution, case: int) -> float:
    """N: all that stands have to carry, axles and wheels included."""
    load = np.concatenate([solution.field[:, [case]], solution.later_field[:, [case]]])
    return float(sum(solution.system.weight) - solution.footing.resultant(load)[2, 0])


def proofs_of(frames: Frames, solved: tuple[Solution, Solution | None], name: str) -> tuple[Proof, ...]:
    """That the stands carry the weight, and that what the cuts set free holds the faces together."""
    whole, opened = solved
    out = [_carried(frames, s, name) for s in solved if s is not None and not s.tips[s.case(name)]]
    if opened is not None and not whole.tips[whole.case(name)]:
        out.append(Proof(
            what="the brace's forces put back on both faces close the cuts",
            difference=put_back(whole, opened, frames.cuts, whole.case(name)), limit=1e-7,
            why="rounding of the solution, which grows with the number of members"))  # fmt: skip
    return tuple(out)


def _carried(frames: Frames, solution: Solution, name: str) -> Proof:
    k, stage = solution.case(name), stage_of(frames, solution, name)
    weight = weight_of(solution, k)
    when = "cut" if solution.mesh is frames.opened else "whole"
    return Proof(what=f"stands carry the whole weight, the frame {when}", limit=1e-9, why="rounding",
                 difference=abs(sum(f for _, f in stage.forces) - weight) / weight)  # fmt: skip


def freed(frames: Frames, whole: Solution, name: str) -> tuple[Freed, ...]:
    """What every cut sets free: the force that a brace across it takes over."""
    return tuple(freed_at(whole, c, whole.case(name)) for c in frames.cuts)


def held_together(frames: Frames) -> Frames:
    """The same without the cut frame where that can move without straining, which is then told in words."""
    if frames.opened is None:
        return frames
    try:
        on_stands(frames.chassis, frames.opened, (), on_stands(frames.chassis, frames.whole, ()))
    except MechanismError as error:
        return replace(frames, opened=None, detached=str(error.problem))
    return frames
