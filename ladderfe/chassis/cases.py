"""Load cases of a chassis file, and the usual ones where it names none."""

from __future__ import annotations

from typing import Any, Final, cast

from ladderfe.chassis.assumed import Assumed
from ladderfe.chassis.case_kinds import DEFAULTS, HELD_BY, PULLS, TAKES, USUALLY_HELD_BY, Asked
from ladderfe.chassis.case_places import Places
from ladderfe.chassis.case_rules import check_case
from ladderfe.chassis.combinations import check_parts
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.mount_names import MountNames
from ladderfe.chassis.types import CaseSpec, Side
from ladderfe.chassis.usual_cases import usual_cases
from ladderfe.units import G, tonnes

__all__ = ["read_cases"]

DIAGONAL: Final = ("front left", "rear right")
WHEELS: Final = {
    **dict.fromkeys(("limit twist", "one wheel bump", "pothole"), ("front left",)), "cross-axle": DIAGONAL,
}  # fmt: skip


def read_cases(faults: Faults, tables: list[Any] | None, places: Places, assumed: Assumed) -> list[CaseSpec]:
    """The load cases asked for, the usual set where none are; faults are noted."""
    if tables is not None and not tables:
        faults.add(("cases",), "is empty", "Add a [[cases]], or leave cases out for the usual ones")
    asked: list[tuple[int | None, Any]] = []
    for i, table in enumerate([Asked("", "usual")] if tables is None else tables):
        if not faults.checked and tables is not None:
            check_case(faults, ("cases", i), table, places)
        if table.kind != "usual":
            asked.append((i, table))
        elif any(k is None for k, _ in asked):
            faults.add(("cases", i, "kind"), "is there twice: the usual set counts once", "Take one of them out")
        else:
            asked += [(None, a) for a in usual_cases(places.towing, places.workshop)]
    if not faults.checked:
        check_parts(faults, asked)
    return [_case(table, places, assumed) for _, table in asked]


def _case(table: Any, places: Places, assumed: Assumed) -> CaseSpec:
    """A case of a table or of the usual set; what is faulty or missing in it stays neutral."""
    kind: str = table.kind
    at = places.names.all(table.at) if table.at is not None else places.usual_at(kind)
    wheels = _wheels(table, at, places)
    names = places.names
    return CaseSpec(
        name=table.name or "",
        kind=kind,
        factor=_taken(table, "factor", assumed, 1.0),
        axle=table.axle or ("rear" if kind == "drive-off" else "both"),
        wheels=wheels,
        height=_height(table, wheels, places, assumed),
        side=cast(Side, table.side or "left"),
        acceleration=_taken(table, "acceleration", assumed),
        at=at,
        force=_force(table, places, assumed),
        mass=_mass(table, places),
        angle=table.angle or 0.0,
        up=table.up or 0.0,
        against=_against(table, names),
        bridle=table.bridle or 0.0,
        heights=tuple((m, -by) for name, by in _items(table.low) for m in names.meant(name)),
        of=tuple((p.case, 1.0 if p.times is None else p.times) for p in table.of or ()),
        forces=tuple((names.one(f.at), _vector(f)) for f in table.forces or ()),
    )


def _taken(table: Any, key: str, assumed: Assumed, otherwise: float = 0.0) -> float:
    """What a case states, else what is assumed for its kind."""
    stated: float | None = getattr(table, key)
    if guess := DEFAULTS.get((table.kind, key)):
        return assumed.take(f"cases.{table.kind}.{key}", stated, guess)
    return otherwise if stated is None else stated


def _items(low: Any) -> tuple[tuple[str, float], ...]:
    return tuple(low.items()) if isinstance(low, dict) else tuple(low or ())


def _vector(force: Any) -> tuple[float, float, float]:
    x, y, z = (1e3 * (value or 0.0) for value in (force.x, force.y, force.z))
    return x, y, z


def _wheels(table: Any, at: tuple[str, ...], places: Places) -> tuple[str, ...]:
    if table.wheels is not None or "wheels" not in TAKES.get(table.kind, ()):
        return tuple(table.wheels or ())
    if table.kind == "jack":
        return _nearest_wheel(at, places)
    return WHEELS.get(table.kind, ())


def _nearest_wheel(at: tuple[str, ...], places: Places) -> tuple[str, ...]:
    """The wheel nearest to the mount that a jack lifts."""
    if len(at) != 1 or not places.axles:
        return ()
    mount = places.names.mounts[at[0]]
    axle = min(places.axles, key=lambda a: abs(a.station - mount.station))
    return (f"{axle.name} {'left' if mount.y < 0 else 'right'}",)


def _height(table: Any, wheels: tuple[str, ...], places: Places, assumed: Assumed) -> float:
    """How much higher wheels stand; the step of a pothole is a part of the tyre's radius."""
    if table.kind != "pothole" or table.height is not None:
        return _taken(table, "height", assumed)
    return _taken(table, "height", assumed) * places.radius(wheels)


def _force(table: Any, places: Places, assumed: Assumed) -> float:
    """The pull, N."""
    if table.force is not None:
        return 1e3 * float(table.force)
    if table.kind == "winch":
        return places.towing.line_pull
    if table.kind == "recovery":
        return _taken(table, "force", assumed) * places.weight
    trailer = places.towing.trailer
    if table.kind == "drawbar pull" and trailer and places.weight:
        return 1 / (1 / places.weight + 1 / (trailer * G))
    return 0.0


def _mass(table: Any, places: Places) -> float:
    """The nose weight, t."""
    if table.mass is not None:
        return tonnes(table.mass)
    return places.towing.nose if "mass" in TAKES.get(table.kind, ()) else 0.0


def _against(table: Any, names: MountNames) -> str:
    stated = table.against
    if stated is None or table.kind not in PULLS:
        return USUALLY_HELD_BY.get(table.kind, "wheels")
    return stated if stated in HELD_BY else names.one(stated)
