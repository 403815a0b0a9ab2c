"""Tables of a chassis file -> a Chassis: every part read and checked against the others."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ladderfe.chassis.assumed import MEMORY, Assumed, Guess
from ladderfe.chassis.axles import read_axles
from ladderfe.chassis.bench import read_bench_tests
from ladderfe.chassis.bolt_types import BoltPattern
from ladderfe.chassis.bolts import read_bolts
from ladderfe.chassis.case_places import Places
from ladderfe.chassis.cases import read_cases
from ladderfe.chassis.cycles import read_cycles
from ladderfe.chassis.diaphragms import Stretch, read_diaphragms
from ladderfe.chassis.drafts import Rails
from ladderfe.chassis.faults import NOUNS, Faults
from ladderfe.chassis.gusset_types import Gusset
from ladderfe.chassis.gussets import gusseted, read_gussets
from ladderfe.chassis.hangers import read_hangers
from ladderfe.chassis.links import Around
from ladderfe.chassis.masses import read_masses
from ladderfe.chassis.mount_names import MountNames
from ladderfe.chassis.mounts import Frame, read_mounts
from ladderfe.chassis.parts import read_crossmembers, read_outriggers
from ladderfe.chassis.rails import read_rails
from ladderfe.chassis.settings import read_body, read_criteria, read_joint_level, read_joint_model, read_material
from ladderfe.chassis.towing import read_standing, read_towing, read_workshop
from ladderfe.chassis.types import Axle, Chassis, Crossmember, Diaphragm, Mass, Mount, Outrigger
from ladderfe.chassis.uses import uses_of

__all__ = ["assemble"]

#: What the solver calls the case of standing on the scales.
AS_WEIGHED = "as weighed"
#: Lists whose parts are numbered where they have no name.
NUMBERED = ("crossmembers", "outriggers", "diaphragms")


@dataclass(frozen=True, slots=True)
class _Frame:
    """The frame itself as far as a file tells it."""

    rails: Rails
    crossmembers: list[Crossmember]
    outriggers: list[Outrigger]
    diaphragms: list[Diaphragm]
    joint_level: float
    mounts: list[Mount]
    bolts: list[BoltPattern]
    gussets: list[Gusset]


def assemble(faults: Faults, file: Any, assumed: Assumed, source: object, boxed: tuple[Stretch, ...] = ()) -> Chassis:
    """The Chassis of a file's tables with the values that are moved; raises InputError with all faults.  In stretches
    of rails that are `boxed` later diaphragms may stand."""
    frame = assumed.part("frame", (), lambda own: _frame(faults, file, own, boxed))
    rails, on_rails = frame.rails, (frame.rails,)
    names = MountNames.of(frame.mounts, file.mounts or [])
    masses, along = assumed.part(
        "masses", (rails, frame.mounts), lambda own: read_masses(faults, file.masses or [], names, rails, own)
    )
    uses = uses_of(file)
    ground, centre = assumed.part("standing", on_rails, lambda own: read_standing(file, rails, uses, own))
    around = Around(ground, uses, tuple(c.name for c in frame.crossmembers))
    axles = assumed.part("axles", (rails, around), lambda own: read_axles(faults, file, rails, around, own))
    hangers = assumed.part(
        "hangers", (rails, axles), lambda _: read_hangers(faults, file.hangers or [], rails, axles)
    )
    body = assumed.part("body", on_rails, lambda own: read_body(faults, file.body, rails, own))
    material = assumed.part("material", (), lambda own: read_material(faults, file.material, file.criteria, own))
    criteria = assumed.part("criteria", (), lambda own: read_criteria(faults, file.criteria, file.material, own))
    towing = assumed.part("towing", (frame.mounts,), lambda own: read_towing(faults, file.towing, names, uses, own))
    workshop = assumed.part("workshop", (frame.mounts,), lambda _: read_workshop(faults, file.workshop, names))
    later = sum(m.mass for m in masses if not m.aboard)
    places = Places(names, tuple(axles), towing, workshop, later)
    cases = assumed.part(
        "cases", (frame.mounts, axles, towing, later), lambda own: read_cases(faults, file.cases, places, own)
    )
    cycles = assumed.part("cycles", (cases,), lambda _: read_cycles(faults, file.cycles, cases))
    bench_tests = assumed.part("bench tests", on_rails, lambda _: read_bench_tests(faults, file.bench_tests, rails))
    if not faults.checked:
        _names(faults, file)
    _more_than_weighed(faults, axles, masses)
    faults.finish()
    return Chassis(
        title=file.title or "Ladder chassis",
        rails=assumed.part("rails", on_rails, lambda _: (rails[0].rail(), rails[1].rail())),
        crossmembers=tuple(frame.crossmembers),
        outriggers=tuple(frame.outriggers),
        mounts=(*frame.mounts, *along),
        axles=(axles[0], axles[1]),
        masses=tuple(masses),
        body=body,
        material=material,
        cases=tuple(cases),
        criteria=criteria,
        condition=file.condition or "",
        assumptions=tuple(assumed.noted.values()),
        joint_level=frame.joint_level,
        joint_model=read_joint_model(file.joints),
        diaphragms=tuple(frame.diaphragms),
        bench_tests=tuple(bench_tests),
        bolts=tuple(frame.bolts),
        hangers=tuple(hangers),
        gussets=tuple(frame.gussets),
        ground=ground,
        centre_height=centre,
        towing=towing,
        cycles=tuple(cycles),
        source=source,
    )


def _frame(faults: Faults, file: Any, assumed: Assumed, boxed: tuple[Stretch, ...]) -> _Frame:
    radius = _radius(file, assumed)
    rails = read_rails(faults, file.rails, assumed, radius)
    crossmembers = read_crossmembers(faults, file.crossmembers, rails, radius)
    gussets = read_gussets(faults, file.gussets or [], rails, crossmembers)
    crossmembers = gusseted(crossmembers, gussets)
    outriggers = read_outriggers(faults, file.outriggers or [], rails, radius)
    diaphragms = read_diaphragms(faults, file.diaphragms or [], rails, boxed)
    joints = [j for c in crossmembers for j in (c.joint_left, c.joint_right)] + [o.joint for o in outriggers]
    level = read_joint_level(file.joints, assumed, estimated=not all(j.given for j in joints))
    parts = Frame.of(rails, crossmembers, outriggers, file.outriggers or [])
    mounts = read_mounts(faults, file.mounts or [], parts, assumed)
    bolts = read_bolts(faults, file.bolts or [], parts)
    return _Frame(rails, crossmembers, outriggers, diaphragms, level, mounts, bolts, gussets)


def _radius(file: Any, assumed: Assumed) -> float:
    """Outside corner radius where boxes and channels give none, mm."""
    rails = file.rails
    tables = [*(getattr(rails, "sections", None) or []), *file.crossmembers, *(file.outriggers or [])]
    for side in ("left", "right"):
        tables += getattr(getattr(rails, side, None), "sections", None) or []
    plain = [t for t in tables if t.shape in ("box", "channel") and t.radius is None]
    if not plain:
        return 0.0
    walls = [t.wall for t in plain if t.wall is not None and t.wall > 0]
    return assumed.take(
        "sections.radius",
        None,
        Guess(
            "outside corner radius of boxes and channels: taken as sharp corners",
            0.0,
            0.0,
            2 * min(walls, default=3.0),
            "mm",
            f"twice the wall, {MEMORY}",
        ),
    )


def _names(faults: Faults, file: Any) -> None:
    """Every name stands for one thing; crossmembers and outriggers share theirs, and rails have names of their own."""
    rails = {"left rail": "a rail", "right rail": "a rail", "both rails": "the rails"}
    groups: list[tuple[dict[str, str], list[str]]] = [
        (rails, ["crossmembers", "outriggers"]),
        ({}, ["diaphragms"]),
        ({}, ["bolts"]),
        ({}, ["hangers"]),
        ({}, ["gussets"]),
        ({}, ["mounts"]),
        ({}, ["masses"]),
        ({}, ["axles"]),
        ({AS_WEIGHED: "the state in which the vehicle was weighed, a case of every file"}, ["cases"]),
        ({}, ["bench_tests"]),
    ]
    pairs = {t.name or f"outrigger {i + 1}" for i, t in enumerate(file.outriggers or []) if t.rail == "both"}
    for taken, keys in groups:
        for key in keys:
            _distinct(faults, key, getattr(file, key) or [], taken, pairs)


def _distinct(faults: Faults, key: str, tables: list[Any], taken: dict[str, str], pairs: set[str]) -> None:
    """Note names that are there twice; what stands on both sides has the names of its two as well.  pairs: names of
    outriggers on both rails."""
    for i, table in enumerate(tables):
        name = table.name or (f"{NOUNS[key]} {i + 1}" if key in NUMBERED else "")
        if not name or faults.is_spared((key, i, "name")):
            continue
        if name in taken:
            faults.add((key, i, "name"), f"is already the name of {taken[name]}", "Give each one a name of its own",
                       value=f'"{name}"')  # fmt: skip
        taken.setdefault(name, f"{NOUNS[key]} {i + 1}")
        if not _on_both(key, table, pairs):
            continue
        for side in ("left", "right"):
            one = f"{name} {side}"
            if one in taken:
                rule = f'calls the one on the {side} "{one}", which is already the name of {taken[one]}'
                faults.add((key, i, "name"), rule, "Give each one a name of its own", value=f'"{name}"')
            taken.setdefault(one, f"{NOUNS[key]} {i + 1} on the {side} rail")


def _on_both(key: str, table: Any, pairs: set[str]) -> bool:
    """Whether a table stands for two, one on the left and one on the right."""
    if key == "mounts":
        return table.on == "both rails" or table.on in pairs
    return key in ("outriggers", "diaphragms") and table.rail == "both"


def _more_than_weighed(faults: Faults, axles: list[Axle], masses: list[Mass]) -> None:
    """What was aboard cannot weigh more than the springs carried."""
    sprung = sum(a.load - a.unsprung for a in axles) * 1000
    aboard = sum(m.mass for m in masses if m.aboard) * 1000
    if axles and aboard > sprung:
        faults.add(
            ("masses",),
            f"aboard weigh more than the springs carried, {sprung:.0f} kg",
            "Check which were aboard, and the axle loads",
            value=f"{aboard:.0f} kg",
        )
