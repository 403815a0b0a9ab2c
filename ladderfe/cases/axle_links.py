"""From axles to links: builds the equations of cases/suspension.py."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases.suspension import Kind, Link, Seat, Stand, Suspended, Suspension
from ladderfe.cases.types import GRAVITY
from ladderfe.errors import ModelError

__all__ = ["raised", "suspended", "weighed_link_forces"]

Array = NDArray[np.float64]
Parts = tuple[tuple[int, float], ...]
SIDES = (("left", -1), ("right", 1))


def suspended(
    suspensions: Sequence[Suspension],
    *,
    stands: Sequence[Stand] = (),
    held: Sequence[str] = (),
    hanging: Collection[str] = (),
    entries: Sequence[Seat] = (),
    stiffening: float = 1.0,
) -> Suspended:
    """The links of all axles, stands and holds (names of rows along which the frame is held both ways).

    `hanging` names wheels with no ground under them ("rear left wheel").  `entries` are rows of the frame for given
    forces, without a link.  Raises ModelError for a wheel that is not there.
    """
    seats: list[Seat] = []
    links: list[Link] = []
    bodies: list[str] = []
    weight: list[float] = []
    barred = [s for s in suspensions if s.axle.torsion_bar is not None]
    for s in suspensions:
        turned = 2 * (len(suspensions) + barred.index(s)) if s in barred else None
        links += _axle_links(s, len(seats), len(bodies), turned)
        seats += [_seat(s, side, sign) for side, sign in SIDES]
        own = s.axle.unsprung * GRAVITY
        beam = s.axle.kind == "beam"
        bodies += [f"{s.axle.name} axle"] * 2 if beam else [f"{s.axle.name} {side} wheel" for side, _ in SIDES]
        weight += [own, 0.0] if beam else [own / 2, own / 2]
    seats += [_turned(s, side) for s in barred for side, _ in SIDES]
    unknown = set(hanging) - {link.name for link in links if link.kind == "wheel"}
    if unknown:
        raise ModelError("supports", f"there is no {sorted(unknown)[0]}", 'Name a wheel, e.g. "front left wheel"')
    links = [link for link in links if link.name not in hanging]
    for st in stands:
        links.append(Link(name=st.name, kind="stand", rows=((len(seats), 1.0),), flexibility=1 / st.rate, lowest=0.0))
        seats.append(Seat(name=st.name, places=((st.place, (0.0, 0.0, 1.0, 0.0, 0.0, 0.0)),)))
    if stiffening > 1:
        links.append(Link(name="body", kind="body", rows=((len(seats), 1.0),), stiffens=stiffening))
        seats.append(_twist(suspensions))
    seats += entries
    links += [Link(name=name, kind="hold", rows=((len(seats) + k, 1.0),)) for k, name in enumerate(held)]
    return Suspended(
        seats=tuple(seats), held=tuple(held), links=tuple(links), bodies=tuple(bodies), weight=tuple(weight)
    )  # fmt: skip


def _seat(s: Suspension, side: str, sign: int) -> Seat:
    """Movement of the frame above a spring, or carried out to an independent wheel; a torsion bar brings the couple of
    the wheel's arm to its anchor."""
    out = 0.0 if s.axle.kind == "beam" else s.reach(sign)
    bar = s.axle.torsion_bar is not None
    places = tuple(
        (s.axle.seat_name(side, k), (0.0, 0.0, share, 0.0 if bar else share * out, 0.0, 0.0))
        for k, (_, share) in enumerate(s.axle.seats)
    )
    anchor = ((s.axle.anchor_name(side), (0.0, 0.0, 0.0, out, 0.0, 0.0)),) if bar else ()
    return Seat(name=f"{s.axle.name} {side} seat", places=places + anchor)


def _turned(s: Suspension, side: str) -> Seat:
    """Turn about x of the rail at a wheel's arm against that of the anchor of its torsion bar: what reaches the arm
    beside the bar (stops, straps, the anti-roll bar) has its couple on the rail."""
    places = tuple(
        (s.axle.seat_name(side, k), (0.0, 0.0, 0.0, share, 0.0, 0.0)) for k, (_, share) in enumerate(s.axle.seats)
    )
    anchor = ((s.axle.anchor_name(side), (0.0, 0.0, 0.0, -1.0, 0.0, 0.0)),)
    return Seat(name=s.axle.arm_couple_name(side), places=places + anchor)


def _twist(suspensions: Sequence[Suspension]) -> Seat:
    """Angle (rad) of the rails at the front axle against those at the rear one."""
    places: list[tuple[str, tuple[float, ...]]] = []
    for s, sense in zip(suspensions, (1, -1), strict=True):
        for side, sign in SIDES:
            for k, (_, share) in enumerate(s.axle.seats):
                up = sense * sign * share / s.axle.spring_base
                places.append((s.axle.seat_name(side, k), (0.0, 0.0, up, 0.0, 0.0, 0.0)))
    return Seat(name="body", places=tuple(places))


def _axle_links(s: Suspension, seat: int, body: int, turned: int | None) -> list[Link]:
    """Wheels, springs, stops, straps and bar of one axle; its seats and unknowns are numbered from `seat`, `body`, the
    turns of its arms against the anchors of torsion bars from `turned`, None where it has none."""
    out = [link for k in range(2) for link in _side_links(s, k, (seat, body), turned)]
    if s.anti_roll:
        turn = ((body + 1, -s.arm),) if s.axle.kind == "beam" else ((body, 1.0), (body + 1, -1.0))
        rows: Parts = ((seat, -1.0), (seat + 1, 1.0))
        if turned is not None:
            rows = (*rows, (turned, -s.reach(-1)), (turned + 1, s.reach(1)))
        name, soft = f"{s.axle.name} anti-roll bar", s.arm**2 / s.anti_roll
        out.append(Link(name=name, kind="anti-roll bar", axle=s.axle.name, rows=rows, bodies=turn, flexibility=soft))
    return out


def _side_links(s: Suspension, k: int, first: tuple[int, int], turned: int | None) -> list[Link]:
    side, sign = SIDES[k]
    seat, body = first
    wheel, below = _under(s, k, sign, body)

    def link(
        kind: Kind, frame: float, bodies: Parts, rate: float, *, lowest: float = 0.0, gap: float | None = None
    ) -> Link:
        rows: Parts = ((seat + k, frame),) if frame else ()
        if turned is not None and gap is not None:
            rows = (*rows, (turned + k, frame * s.reach(sign)))
        return Link(
            name=f"{s.axle.name} {side} {kind}", kind=kind, axle=s.axle.name, side=side, rows=rows, bodies=bodies,
            flexibility=1 / rate, lowest=lowest, engages=gap is not None, gap=gap or 0.0,
        )  # fmt: skip

    m = s.motion_ratio
    out = [
        link("wheel", 0.0, wheel, s.taken("tyre_rate")),
        link("spring", m, _times(-m, below), s.axle.rate, lowest=-s.taken("pull")),
    ]
    if isfinite(s.bump_gap):
        out.append(link("bump stop", 1.0, _times(-1.0, below), s.taken("bump_rate"), gap=s.bump_gap))
    if isfinite(s.droop):
        out.append(link("droop strap", -1.0, below, s.taken("strap_rate"), gap=s.droop))
    return out


def _under(s: Suspension, k: int, sign: int, body: int) -> tuple[Parts, Parts]:
    """Parts of the axle unknowns in the movement at the wheel, and of what is under the spring."""
    if s.axle.kind == "independent":
        return ((body + k, 1.0),), ((body + k, 1.0),)
    return ((body, 1.0), (body + 1, sign * s.axle.track / 2)), ((body, 1.0), (body + 1, sign * s.axle.spring_base / 2))


def _times(factor: float, parts: Parts) -> Parts:
    return tuple((i, factor * part) for i, part in parts)


def weighed_link_forces(system: Suspended, suspensions: Sequence[Suspension]) -> Array | None:
    """(n,) N in all links when standing as weighed, or None where an axle's wheels were not weighed.

    Wheels carry what was weighed, springs what the balance of the axle asks for, the rest nothing.
    """
    by_axle = {s.axle.name: s for s in suspensions}
    out = np.zeros(len(system.links))
    for i, link in enumerate(system.links):
        if link.kind not in ("wheel", "spring"):
            continue
        axle = by_axle[link.axle].axle
        if axle.wheel_loads is None:
            return None
        left, right = (GRAVITY * w for w in axle.wheel_loads)
        wheel = left if link.side == "left" else right
        if link.kind == "wheel":
            out[i] = wheel
        elif axle.kind == "independent":
            out[i] = (wheel - GRAVITY * axle.unsprung / 2) / by_axle[link.axle].motion_ratio
        else:
            sprung, sign = left + right - GRAVITY * axle.unsprung, -1 if link.side == "left" else 1
            out[i] = sprung / 2 + sign * (right - left) / 2 * axle.track / axle.spring_base
    return out


def raised(system: Suspended, heights: Mapping[str, float]) -> Array:
    """(n,) mm by which the feet of links are raised: heights by name of wheel or stand, 0 for all others."""
    out = np.zeros(len(system.links))
    for name, height in heights.items():
        out[system.index(name)] = height
    return out
