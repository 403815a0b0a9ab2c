"""What pulls and lifts: trailers, winches, straps, jacks, a lift, stands."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.types import GRAVITY, Force, LoadCase
from ladderfe.chassis import CaseSpec, Chassis, Mount
from ladderfe.errors import ModelError

__all__ = ["KINDS", "bridle", "pull"]

Array = NDArray[np.float64]
#: What holds against a pull, beside a mount.
HELD = {
    "wheels": "held by all wheels",
    "dug in": "wheels dug in, held at their centres",
    "inertia": "held by inertia",
}


def pull(force: float, angle: float, up: float, rearward: bool) -> Array:
    """(3,) N: a pull away from the front, or rearward from the rear; angle in degrees to the right as seen by the
    driver, up in degrees above level."""
    a, b = np.radians(angle), np.radians(up)
    along = 1.0 if rearward else -1.0
    out: Array = force * np.array([along * np.cos(a) * np.cos(b), np.sin(a) * np.cos(b), np.sin(b)])
    return out


def bridle(places: Array, whole: Array, reach: float) -> Array:
    """(2, 3) N: how a pull (3,) is shared by two legs of one length from two points (2, 3).

    The legs meet `reach` mm from the middle of the points, square to the line through them, on the pull's side and in
    its plane; equilibrium of the point where they meet.  Legs cannot push: pulled farther to a side than the legs
    lean, the far point's leg takes all.  With no reach both take half, side by side, and so do points in one place.
    """
    along = places[1] - places[0]
    half = float(np.linalg.norm(along)) / 2
    if reach <= 0 or not half or not whole.any():
        return np.stack([whole / 2, whole / 2])
    along = along / (2 * half)
    aside = float(whole @ along)
    ahead = whole - aside * along
    straight = float(np.linalg.norm(ahead))
    parts = (straight + np.array([1.0, -1.0]) * aside * reach / half) / 2  # of the legs, straight ahead
    if parts.min() < 0:
        return np.outer(np.where(parts < 0, 0.0, 1.0), whole)
    lean = np.array([1.0, -1.0])[:, None] * half / reach * along  # towards each other, per unit straight ahead
    out: Array = parts[:, None] * (ahead / straight + lean)
    return out


def _mounts(chassis: Chassis, spec: CaseSpec) -> list[Mount]:
    by_name = {m.name: m for m in chassis.mounts}
    for name in spec.at:
        if name not in by_name:
            raise ModelError(f"case {spec.name}", f"there is no mount {name}", "Name one of the [[mounts]]")
    return [by_name[n] for n in spec.at]


def _whole(chassis: Chassis, mounts: list[Mount], spec: CaseSpec) -> Array:
    middle = sum(a.station for a in chassis.axles) / 2
    rearward = sum(m.station for m in mounts) / len(mounts) > middle
    return pull(spec.force, spec.angle, spec.up, rearward)


def _pulled(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    mounts = _mounts(chassis, spec)
    whole = _whole(chassis, mounts, spec)
    if len(mounts) == 1:
        parts = whole[None]
    else:
        parts = bridle(np.array([[m.station, m.y, m.height] for m in mounts]), whole, spec.bridle)
    pulls = [(m.name, _force(p)) for m, p in zip(mounts, parts, strict=True)]
    if spec.against not in HELD:
        pulls.append((spec.against, _force(-whole)))
    static = (("front", 1.0), ("rear", 1.0)) if spec.against == "inertia" else None
    return LoadCase(
        name=spec.name, kind=spec.kind, about=f"{_words(spec)} at {' and '.join(spec.at)}, "
        f"{HELD.get(spec.against, f'held at {spec.against}')}",
        source=_SOURCES[spec.kind], static_factors=static, pulls=tuple(pulls),
        dug_in=spec.against == "dug in",
    )  # fmt: skip


def _words(spec: CaseSpec) -> str:
    way = "straight" if not spec.angle else f"{abs(spec.angle):g} degrees {'right' if spec.angle > 0 else 'left'}"
    rise = f", {spec.up:g} degrees up" if spec.up else ""
    kind = "push" if spec.force < 0 else "pull"
    legs = f" by a bridle of {spec.bridle:g} mm" if len(spec.at) == 2 and spec.bridle > 0 else ""
    return f"{kind} of {abs(spec.force) / 1000:.4g} kN {way}{rise}{legs}"


def _force(f: Array) -> Force:
    return float(f[0]), float(f[1]), float(f[2])


def _nose_weight(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    _mounts(chassis, spec)
    return LoadCase(
        name=spec.name, kind=spec.kind, source="factor: value from memory of the authors, 2 to 3",
        about=f"{spec.mass * 1000:g} kg at {spec.at[0]} times {spec.factor:g}, standing on its wheels",
        pulls=((spec.at[0], (0.0, 0.0, -spec.mass * GRAVITY * spec.factor)),),
    )  # fmt: skip


def _jack(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    (mount,) = _mounts(chassis, spec)
    wheel = spec.wheels[0] if spec.wheels else _nearest_wheel(chassis, mount)
    care = "" if spec.factor == 1 else f", all times {spec.factor:g}"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=f"jacked up at {mount.name} until the {wheel} wheel clears{care}",
        source="equilibrium; factor: common practice, no source", jack=mount.name, clears=wheel, times=spec.factor,
    )  # fmt: skip


def _nearest_wheel(chassis: Chassis, mount: Mount) -> str:
    axle = min(chassis.axles, key=lambda a: abs(a.station - mount.station))
    return f"{axle.name} {'left' if mount.y < 0 else 'right'}"


def _lift(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    _mounts(chassis, spec)
    care = "" if spec.factor == 1 else f", all times {spec.factor:g}"
    return LoadCase(
        name=spec.name, kind=spec.kind, about=f"on the pads of a lift, wheels hanging{care}",
        source="equilibrium; factor: common practice, no source", stands=spec.at, times=spec.factor,
    )  # fmt: skip


def _stands(chassis: Chassis, spec: CaseSpec) -> LoadCase:
    _mounts(chassis, spec)
    low = ", ".join(f"{name} {abs(h):g} mm {'low' if h < 0 else 'high'}" for name, h in spec.heights if h)
    return LoadCase(
        name=spec.name, kind=spec.kind, about=f"on {len(spec.at)} stands, wheels hanging{': ' + low if low else ''}",
        source="equilibrium; heights as stated", stands=spec.at, heights=spec.heights,
    )  # fmt: skip


_SOURCES = {
    "drawbar pull": "D = g T R/(T + R) unless stated: UN R55, formula from memory of the authors",
    "winch": "rated line pull as stated",
    "recovery": "pull as stated; straps break at 2 to 3 times the laden mass, guides to recovery straps",
}
KINDS: dict[str, Callable[[Chassis, CaseSpec], LoadCase]] = {
    "nose weight": _nose_weight,
    "drawbar pull": _pulled,
    "winch": _pulled,
    "recovery": _pulled,
    "jack": _jack,
    "two-post lift": _lift,
    "stands": _stands,
}
