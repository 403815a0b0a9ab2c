"""Reading a repair plan: its own tables, the chassis it is for, what was read on it, and the parts it changes.

A plan is an overlay with further tables.  What it says of crossmembers, outriggers, mounts, axles and so on is laid
over its base as any overlay is; all problems of plan, base and readings are told at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import inf
from pathlib import Path as FilePath
from typing import Any, Final

from ladderfe.chassis import Chassis, read_chassis
from ladderfe.chassis.faults import Faults, closest, some
from ladderfe.chassis.file_kinds import CATALOGUE, CHASSIS, PLAN, PLANNED, kind_of_tables, other_kind
from ladderfe.chassis.lines import scan
from ladderfe.chassis.reading import chassis_from_tables, opened
from ladderfe.chassis.schema import ChassisFile
from ladderfe.chassis.words import read_as
from ladderfe.condition.plan_rows import RowMaker
from ladderfe.condition.plan_schema import PlanFile
from ladderfe.condition.plan_types import Plan
from ladderfe.condition.rails import SAME
from ladderfe.condition.reading_file import read_readings
from ladderfe.condition.types import Readings
from ladderfe.errors import InputError, Problem

__all__ = ["OWN_KEYS", "PlanRead", "is_plan", "read_plan", "tried"]

OWN_KEYS: Final = PLANNED
#: What an overlay knows beside the tables of a chassis file.
OVERLAY: Final = ("base", "remove")
UNLOADED: Final = "unloaded"
STANDS: Final = "stands"
BOXED_ALL_ALONG: Final = (("left", -inf, inf), ("right", -inf, inf))


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanRead:
    """A plan with what it names: the chassis as built, the same with the plan's own parts laid over it, and what was
    read (None where the plan names no readings)."""

    plan: Plan
    base: Chassis
    over: Chassis
    readings: Readings | None


def is_plan(raw: Mapping[str, Any]) -> bool:
    """Whether the tables of a file are those of a plan."""
    return any(key in raw for key in OWN_KEYS)


def read_plan(path: str | FilePath, readings: str | FilePath | None = None) -> PlanRead:
    """The plan in a file and all that it names; raises InputError with every problem of all of them.

    readings: a table of readings that counts instead of the one that the plan names.
    """
    text, raw = opened(FilePath(path))
    kind = kind_of_tables(raw)
    if kind == CATALOGUE or (kind == CHASSIS and "base" not in raw):
        raise other_kind(str(path), kind, PLAN)
    return _read(str(path), text, raw, readings)


def _read(file: str, text: str, raw: dict[str, Any], instead: str | FilePath | None) -> PlanRead:
    own = {k: v for k, v in raw.items() if k in OWN_KEYS or k == "base"}
    faults = Faults(file, own, scan(text))
    rest = _overlay(faults, raw)
    tables = read_as(PlanFile, faults)
    if "base" not in raw or tables is None:
        faults.finish()
        raise InputError(faults.problems)
    problems: list[Problem] = []
    base = tried(problems, lambda: read_chassis(FilePath(file).parent / tables.base))
    over = tried(problems, lambda: chassis_from_tables(rest, text, file, _boxed(tables)))
    table = FilePath(file).parent / tables.readings if tables.readings else None
    table = table if instead is None else FilePath(instead)
    readings = None
    if table is not None and base is not None:
        readings = tried(problems, lambda: read_readings(table, base))
    plan = _plan(faults, tables, base, over)
    # with faults of its own the rest is looked at as if rails were boxed all along, so that diaphragms may stand there
    standing = over or tried([], lambda: chassis_from_tables(rest, text, file, BOXED_ALL_ALONG))
    if standing is not None:
        _on_tapers(faults, raw, plan, standing)
    plan = plan if instead is None else replace(plan, readings=str(instead))
    every = dict.fromkeys([*faults.problems, *problems])
    if every:
        raise InputError(sorted(every, key=lambda p: (p.file != file, p.file, p.line)))
    return PlanRead(plan=plan, base=base, over=over, readings=readings)


def _boxed(tables: PlanFile) -> tuple[tuple[str, float, float], ...]:
    """Where the plan boxes which rail."""
    own = [t for t in tables.plates or [] if t.kind == "boxing" and t.thickness != 0]
    return tuple((side, t.start, t.end) for t in own for side in ("left", "right") if t.rail in (side, "both"))


def _overlay(faults: Faults, raw: Mapping[str, Any]) -> dict[str, Any]:
    """What is laid over the base; top-level keys that nothing knows are noted and left out."""
    known = [*OWN_KEYS, *OVERLAY, *(f.alias or n for n, f in ChassisFile.model_fields.items())]
    out: dict[str, Any] = {}
    for key, value in raw.items():
        if key in OWN_KEYS:
            continue
        if key not in known:
            meant = closest(key, known)
            hint = f'Did you mean "{meant}"? Otherwise take it out' if meant else f"Known here are {some(known, 20)}"
            line = faults.lines.of((key,))
            faults.problems.append(Problem(file=faults.file, line=line, key=key, value="", rule="is not a known key",
                                           suggestion=hint))  # fmt: skip
        else:
            out[key] = value
    return out


def tried(problems: list[Problem], make: Any) -> Any:
    """What `make` gives, or None with its problems noted."""
    try:
        return make()
    except InputError as error:
        problems += error.problems
        return None


def _plan(faults: Faults, tables: PlanFile, base: Chassis | None, over: Chassis | None) -> Plan:
    """The plan, its places checked against the chassis where that could be read."""
    rows = RowMaker(faults, over if over is not None else base)
    repair: Any = tables.repair
    plan = Plan(
        source=faults.file,
        title=(repair and repair.title) or (over.title if over is not None else ""),
        base=tables.base,
        readings=tables.readings or "",
        steel=(repair and repair.steel) or "",
        yield_stress=repair.yield_stress if repair else None,
        inserts=tuple(rows.inserts(tables.inserts or [])),
        plates=tuple(rows.plates(tables.plates or [])),
        splices=tuple(rows.splices(tables.splices or [])),
        holes=tuple(rows.holes(tables.holes or [])),
    )
    return replace(plan, **_support(faults, repair.support if repair else None, base, over))


def _on_tapers(faults: Faults, raw: Mapping[str, Any], plan: Plan, over: Chassis) -> None:
    """Note diaphragms at a tapered end of a boxing plate, where the section is open still."""
    for d in over.diaphragms:
        boxing = [p for p in plan.plates if p.kind == "boxing" and p.thickness and p.side == d.side]
        own = [p for p in boxing if p.covers(d.station)]
        if own and not any(p.whole[0] - SAME <= d.station <= p.whole[1] + SAME for p in own):
            a, b = own[0].whole
            rule = f"lies on a tapered end of the boxing plate, which closes the {d.side} rail from {a:g} to {b:g} mm"
            line = faults.lines.of(("diaphragms", _row(raw, d.name), "station"))
            faults.problems.append(Problem(
                file=faults.file, line=line, key=f'diaphragm "{d.name}", station', value=f"{d.station:g}", rule=rule,
                suggestion="Put it where the rail is closed, or make that end square"))  # fmt: skip


def _row(raw: Mapping[str, Any], name: str) -> int:
    """Which row of a plan's diaphragms has a name; the first where that cannot be told."""
    return next((i for i, r in enumerate(raw.get("diaphragms", [])) if name.startswith(str(r.get("name")))), 0)


def _support(faults: Faults, asked: str | None, *chassis: Chassis | None) -> dict[str, Any]:
    """The case in which the frame stands while it is welded, "" for unloaded."""
    names = [[c.name for c in k.cases] for k in chassis if k is not None]
    if len(names) < 2:
        return {}
    both = [n for n in names[0] if n in names[1]]
    if asked is None:
        return {"support": STANDS if STANDS in both else ""}
    if asked == UNLOADED:
        return {"support": "", "support_given": True}
    if asked not in both:
        meant = closest(asked, [*both, UNLOADED])
        hint = f'Did you mean "{meant}"? Otherwise write' if meant else "Write"
        rule = "is not the name of a case of this chassis"
        faults.add(("repair", "support"), rule, f'{hint} one of {some(both)}, or "{UNLOADED}"')
    return {"support": asked, "support_given": True}
