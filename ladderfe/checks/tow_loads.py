"""What a towing vehicle may be asked to bear: the loads whose limits are looked for, and where they act."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import CaseSpec, Chassis, Mount, Rail
from ladderfe.errors import ModelError

__all__ = ["NOSE_FACTOR", "REAR_FACTOR", "Load", "loads_of", "missing", "rear_factor", "with_mounts"]

#: Factor on a nose weight for the trailer's bouncing: 2 to 3 (value from memory of the authors).
NOSE_FACTOR = 2.5
#: Factor on the laden vehicle where the chassis has no case that says one (course text: 2 to 3 on roads).
REAR_FACTOR = 2.0
WINCH_ANGLES = (0.0, 30.0)
STRAP_ANGLES = (0.0, 15.0, 30.0)
#: Distances between loads behind the rear axle, mm: the longest that gives so many of them.
STEPS, ENOUGH = (1000.0, 500.0, 250.0), 3
#: Name of the nose weight as the rear axle strikes its stops.
WHIP = "nose weight, overhang whips"
#: Stations nearer to each other than this are one, mm.
SAME = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """A load that grows until the frame reaches its limit; its magnitude is in N.

    group: "coupling", "winch", "recovery" or "behind" (the rear axle); weight: it is a mass and told in kg.  case: the
    case it makes, with a force of 1 N (-1 for a push); factor: on the nose weight, or on all of a vehicle with a load
    behind its rear axle.  station: of a load behind the axle, shared by the mounts of its case.
    """

    name: str
    group: str
    case: CaseSpec
    weight: bool = False
    factor: float = 1.0
    station: float | None = None

    @property
    def given(self) -> bool:
        """True where inertia balances it: nothing is said about the ground."""
        return self.case.against == "inertia" or self.case.kind == "rear overhang whip"

    @property
    def without(self) -> CaseSpec:
        """The case it is added to: standing, times the factor where that is on all of the vehicle."""
        if self.case.kind == "rear overhang whip":
            return replace(self.case, name="without, overhang whips", mass=0.0)
        factor = self.factor if self.group == "behind" else 1.0
        return CaseSpec(name="without" if factor == 1 else f"without, times {factor:g}", kind="static", factor=factor)

    def spec(self, size: float, factor: float | None = None) -> CaseSpec:
        """The case with a load of `size` N, with another factor if given."""
        own = replace(self, factor=self.factor if factor is None else factor)
        if not size:
            return replace(own.without, name=self.name)
        if self.group == "behind":
            down = tuple((m, (0.0, 0.0, -size / len(self.case.at))) for m in self.case.at)
            return replace(self.case, factor=own.factor, forces=down)
        if self.weight:
            return replace(self.case, factor=own.factor, mass=size / GRAVITY)
        return replace(self.case, force=size * self.case.force)


def rear_factor(chassis: Chassis) -> tuple[float, str]:
    """Factor on vehicle and load behind the rear axle, and where it comes from."""
    for kind, axles in (("amplified", ("both",)), ("bounce", ("rear", "both"))):
        for c in chassis.cases:
            if c.kind == kind and c.axle in axles:
                return c.factor, f"that of the chassis' case {c.name}"
    return REAR_FACTOR, "course text on loads on vehicle structures: 2 to 3 on roads; no case of the chassis has one"


def nose_factor(chassis: Chassis) -> tuple[float, str]:
    """Factor on a nose weight, and where it comes from."""
    own = _own(chassis, "nose weight")
    if own is not None:
        return own.factor, f"that of the chassis' case {own.name}"
    return NOSE_FACTOR, "value from memory of the authors, 2 to 3"


def missing(chassis: Chassis) -> tuple[str, ...]:
    """What the chassis file does not name, and which key would."""
    t = chassis.towing
    where = "under [towing], NAME being one of the [[mounts]]"
    told = (
        (t.coupling, "No coupling is named, so nose weight and drawbar are left out", 'coupling = "NAME"'),
        (t.winch, "No winch is named, so its line is left out", 'winch = "NAME", with line_pull'),
        (t.recovery, "No recovery point is named, so straps are left out", 'recovery = ["NAME"], or two of them'),
    )
    return tuple(f"{words}: add {key} {where}." for named, words, key in told if not named)


def with_mounts(chassis: Chassis) -> Chassis:
    """The chassis with a mount on each rail at every station where a load behind the rear axle is looked at.

    They sit where the body's weight acts: at its distance outward of the rails' middle, at the rails' height.
    """
    more = [_mount(chassis, r, x) for x in _stations(chassis) for r in chassis.rails]
    return replace(chassis, mounts=(*chassis.mounts, *more))


def loads_of(chassis: Chassis, nose: float, behind: float) -> tuple[Load, ...]:
    """All loads of a chassis `with_mounts`; nose, behind: their factors.

    Raises ModelError where [towing] names a mount that is not there.
    """
    _refuse_unknown(chassis)
    out = [*_coupling(chassis, nose), *_winch(chassis), *_recovery(chassis)]
    for x in _stations(chassis):
        name = f"load at {x:.0f} mm"
        at = tuple(_mount_name(x, r.side) for r in chassis.rails)
        case = CaseSpec(name=name, kind="static", factor=behind, at=at)
        out.append(Load(name=name, group="behind", case=case, weight=True, factor=behind, station=x))
    return tuple(out)


def _refuse_unknown(chassis: Chassis) -> None:
    t, names = chassis.towing, {m.name for m in chassis.mounts}
    for key, named in (("coupling", (t.coupling,)), ("winch", t.winch), ("recovery", t.recovery)):
        for name in named:
            if name and name not in names:
                raise ModelError(f"towing, {key}", f"there is no mount {name}", "Name one of the [[mounts]]")
    if len(t.recovery) > 2:
        raise ModelError("towing, recovery", f"has {len(t.recovery)} mounts", "Name one or two of the [[mounts]]")


def _own(chassis: Chassis, kind: str) -> CaseSpec | None:
    return next((c for c in chassis.cases if c.kind == kind), None)


def _like(chassis: Chassis, kind: str, usual: str) -> CaseSpec:
    """A pull of 1 N held and raised as the chassis' own case of the kind is."""
    own = _own(chassis, kind)
    if own is None:
        return CaseSpec(name=kind, kind=kind, force=1.0, against=usual)
    return CaseSpec(name=kind, kind=kind, force=1.0, against=own.against, up=own.up, bridle=own.bridle)


def _coupling(chassis: Chassis, factor: float) -> Iterator[Load]:
    at = (chassis.towing.coupling,)
    if not at[0]:
        return
    case = CaseSpec(name="nose weight", kind="nose weight", at=at, factor=factor)
    yield Load(name="nose weight", group="coupling", case=case, weight=True, factor=factor)
    whip = _own(chassis, "rear overhang whip")
    if whip is not None:
        case = replace(whip, name=WHIP, at=at, mass=0.0)
        yield Load(name=WHIP, group="coupling", case=case, weight=True, factor=whip.factor)
    pull = replace(_like(chassis, "drawbar pull", "wheels"), at=at)
    for name, sign in (("drawbar pull", 1.0), ("drawbar push", -1.0)):
        yield Load(name=name, group="coupling", case=replace(pull, name=name, force=sign))


def _winch(chassis: Chassis) -> Iterator[Load]:
    if chassis.towing.winch:
        case = replace(_like(chassis, "winch", "dug in"), at=chassis.towing.winch)
        yield from _turned("winch", "winch", case, WINCH_ANGLES)


def _recovery(chassis: Chassis) -> Iterator[Load]:
    points = chassis.towing.recovery
    case = _like(chassis, "recovery", "inertia")
    for name in points:
        yield from _turned(name, "recovery", replace(case, at=(name,), bridle=0.0), STRAP_ANGLES)
    if len(points) == 2:
        reach = case.bridle or _apart(chassis, points)
        yield from _turned("bridle", "recovery", replace(case, at=points, bridle=reach), STRAP_ANGLES)


def _turned(what: str, group: str, case: CaseSpec, angles: tuple[float, ...]) -> Iterator[Load]:
    """The pull straight on and to either side."""
    for angle in angles:
        for sign, side in ((-1.0, "left"), (1.0, "right")) if angle else ((1.0, ""),):
            name = f"{what}, {angle:g} degrees {side}" if side else f"{what}, straight"
            yield Load(name=name, group=group, case=replace(case, name=name, angle=sign * angle))


def _apart(chassis: Chassis, points: tuple[str, ...]) -> float:
    """Distance between two mounts, mm: legs of a bridle that long meet at about 53 degrees."""
    a, b = (next(np.array([m.station, m.y, m.height]) for m in chassis.mounts if m.name == p) for p in points)
    return float(np.linalg.norm(a - b))


def _stations(chassis: Chassis) -> list[float]:
    """Over the rear axle, at every step behind it and where the shorter rail ends."""
    axle, end = chassis.axles[1].station, min(r.end for r in chassis.rails)
    if end - axle < SAME:
        return []
    step = next((s for s in STEPS if (end - axle) / s >= ENOUGH - 1), STEPS[-1])
    count = math.ceil((end - axle - SAME) / step)
    return [*(axle + k * step for k in range(count)), end]


def _mount_name(station: float, side: str) -> str:
    return f"load at {station:.3f} mm, {side} rail"


def _mount(chassis: Chassis, rail: Rail, station: float) -> Mount:
    path = [p.station for p in rail.path]
    half, height = (float(np.interp(station, path, v)) for v in zip(*((p.half_spacing, p.height) for p in rail.path),
                                                                    strict=True))  # fmt: skip
    y = rail.sign * (half + chassis.body.y)
    return Mount(name=_mount_name(station, rail.side), part=rail.name, station=station, y=y, height=height)
