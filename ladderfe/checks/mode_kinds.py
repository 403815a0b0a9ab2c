"""What a mode is: its movement compared with that of rails whose cross-sections stay rigid, in words.

Both rails are looked at in pairs of points of equal station, weighted by the mass that lies on the rails there.  From
their movement the nearest motion of a rigid body is taken off (least squares): bounce, pitch, roll and so on.  The rest
is split by left and right: vertical movement alike is vertical bending, opposite is twist; sideways alike is lateral
bending, opposite spreads the rails; lengthwise opposite is the lozenge, alike a stretch; and rails that turn about
themselves.  All parts are squares that add up to 1.  A mode in which the rails hardly move is local.

Modes of one kind are counted from the lowest.  Where two kinds lie close together neither has a mode of its own: what
would be one mode is shared by several.  It counts as one all the same, so that "second twist" is the second shape of
twist and not the first mode that happens to have a majority.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.mesh import Mesh
from ladderfe.solve.modes import Modes

__all__ = [
    "ELASTIC", "LATERAL", "LOCAL", "MIXED", "RIGID", "TWIST", "VERTICAL", "Mode", "classify", "numbered",
]  # fmt: skip

Array = NDArray[np.float64]

RIGID = ("fore and aft", "sideways", "bounce", "roll", "pitch", "yaw")
TWIST, VERTICAL, LATERAL = "twist", "vertical bending", "lateral bending"
#: Half-sum and half-difference of the rails along z, y, x, then rails turning about themselves.
ELASTIC = (VERTICAL, TWIST, LATERAL, "rails apart", "stretch", "lozenge", "rails turning")
LOCAL, MIXED = "local", "mixed"
#: Judgement, no source: a mode is named by the part that has NAMED of its bending, or CLEAR of it and CLEARLY times as
#: much as the next; else by the two greatest.  A next part of BESIDE or more is told with it.  Motions as a whole are
#: named alone from ALONE on ...
NAMED, CLEAR, CLEARLY, BESIDE, ALONE = 0.5, 0.35, 1.3, 0.25, 0.75
#: ... a mode is shared where others than those named by it have PART or more of it and together this much: what is one
#: mode adds up to about 1 ...
PART, SHARED = 0.3, 0.75
#: ... and by how the frame bends rather than by its motion as a whole from this share of bending on; less of it will
#: do in a free frame, whose motion as a whole is only what balances the masses.
BENDS, BENDS_FREE = 0.5, 0.25
#: The rails hardly move where their root mean square is below this part of that of all mass (judgement, no source).
HARDLY = 0.5
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """A mode in words.

    frequency in Hz; kind: one of RIGID, ELASTIC, LOCAL or MIXED; name: the kind, with its number among those of its
    kind where the frame bends ("first twist"), or what is mixed; beside: a second kind with a good part in it, or "".
    within: names of the modes that it and others share.  shares: of RIGID and ELASTIC in the rails' movement, together
    1 (all 0 where the rails rest); rails: their root mean square movement over that of all mass; moving: part or listed
    mass -> share of the kinetic energy, the greatest first.
    """

    frequency: float
    kind: str
    name: str
    beside: str = ""
    within: tuple[str, ...] = ()
    shares: Mapping[str, float]
    rails: float
    moving: Mapping[str, float]

    @property
    def called(self) -> str:
        """The name with what is beside it: "first twist, with lozenge"."""
        return f"{self.name}, with {self.beside}" if self.beside else self.name

    @property
    def elastic(self) -> float:
        """Share of all bending."""
        return sum(self.shares[name] for name in ELASTIC)


@dataclass(frozen=True, slots=True, eq=False)
class _Pairs:
    """Pairs of rail points of equal station: place (k, 2, 3) left and right, weight (k,), gyration (k,) mm, movement
    (k, 2, 4, c) along x, y, z and about x."""

    place: Array
    weight: Array
    gyration: Array
    move: Array


def classify(mesh: Mesh, modes: Modes, skip: int = 0) -> tuple[Mode, ...]:
    """All modes from number `skip` on, named; a frame with rigid motions to skip is free."""
    pairs = _pairs(mesh, modes)
    total, moving = modes.of.mass.total, _moving(mesh, modes)
    bends = BENDS_FREE if skip else BENDS
    found = []
    for k in range(skip, len(modes.square)):
        shares, square = _shares(pairs, pairs.move[..., k])
        rails = float(np.sqrt(square * total))
        kind, name, beside = _named(shares, bends) if rails >= HARDLY else (LOCAL, LOCAL, "")
        found.append(Mode(frequency=float(modes.frequencies[k]), kind=kind, name=name, beside=beside, shares=shares,
                          rails=rails, moving=moving[k]))  # fmt: skip
    return numbered(found)


def numbered(modes: Sequence[Mode]) -> tuple[Mode, ...]:
    """Modes by frequency, those of a kind with their number; one that others share has a number too, see `Mode`."""
    out = list(modes)
    for kind in ELASTIC:
        count, sharing = 0, list[int]()
        for k, mode in enumerate([*modes, None]):
            if (mode is None or mode.kind == kind) and sum(_share(modes[i], kind) for i in sharing) >= SHARED:
                for i in sharing:
                    out[i] = replace(out[i], within=(*out[i].within, f"{_ordinal(count + 1)} {kind}"))
                count, sharing = count + 1, []
            if mode is not None and mode.kind == kind:
                count, sharing = count + 1, []
                out[k] = replace(out[k], name=f"{_ordinal(count)} {mode.name}")
            elif mode is not None and mode.kind in (MIXED, *ELASTIC) and _share(mode, kind) >= PART:
                sharing.append(k)
    return tuple(out)


def _share(mode: Mode, kind: str) -> float:
    """Of a kind in all bending."""
    return mode.shares[kind] / mode.elastic


def _ordinal(number: int) -> str:
    return ORDINALS[number - 1] if number <= len(ORDINALS) else f"{number}th"


def _named(shares: Mapping[str, float], bends: float) -> tuple[str, str, str]:
    """Kind, name without its number, and what is beside it."""
    elastic = sum(shares[name] for name in ELASTIC)
    bent = elastic >= bends
    first, second = sorted(ELASTIC if bent else RIGID, key=lambda name: -shares[name])[:2]
    if bent:
        one, two = shares[first] / elastic, shares[second] / elastic
        if one >= NAMED or (one >= CLEAR and one >= CLEARLY * two):
            return first, first, second if two >= BESIDE else ""
        return MIXED, f"{first} and {second}", ""
    alone = shares[first] >= ALONE * (1 - elastic)
    return first, first if alone else f"{first} and {second}", ""


def _pairs(mesh: Mesh, modes: Modes) -> _Pairs:
    frame, mass = modes.of.frame, modes.of.mass
    sides = []
    for side in ("left", "right"):
        part = mesh.part(f"{side} rail")
        own = np.arange(part.first, part.last)
        nodes = np.append(mesh.ends[own, 0], mesh.ends[own[-1], 1])
        station = np.append(mesh.along[own, 0], mesh.along[own[-1], 1])
        ends = mass.members[own][:, [0, 8]][:, :, [0, 8]].sum(axis=2)  # along the member: what each end bears
        turn = mass.members[own][:, [3, 11]][:, :, [3, 11]].sum(axis=2)
        weight, polar = np.zeros(len(nodes)), np.zeros(len(nodes))
        for lump, of in ((weight, ends), (polar, turn)):
            lump[:-1] += of[:, 0]
            lump[1:] += of[:, 1]
        first = frame.start[nodes]
        move = np.stack([modes.shapes[first + i] for i in (0, 1, 2, 3)], axis=1)
        sides.append((station, mesh.nodes[nodes], weight, polar, move))
    stations = np.concatenate([s[0] for s in sides])
    weight = np.concatenate([s[2] for s in sides])
    turning = np.maximum(np.concatenate([s[3] for s in sides]), 0.0)
    gyration = np.sqrt(turning / np.maximum(weight, 1e-300))
    if not weight.any():
        weight = np.ones_like(weight)
    at = [(_along(s[0], s[1], stations), _along(s[0], s[4], stations)) for s in sides]
    return _Pairs(np.stack([a[0] for a in at], 1), weight / weight.sum(), gyration, np.stack([a[1] for a in at], 1))


def _along(x: Array, values: Array, at: Array) -> Array:
    """(k, ...) values (n, ...) at stations x (n,), linear in between."""
    flat = values.reshape(len(x), -1)
    out = np.stack([np.interp(at, x, column) for column in flat.T], axis=1)
    return out.reshape(len(at), *values.shape[1:])


def _shares(pairs: _Pairs, move: Array) -> tuple[dict[str, float], float]:
    """Shares of all parts, and the mean square movement of the rails; move (k, 2, 4)."""
    weight = np.repeat(pairs.weight / 2, 2)
    place = pairs.place.reshape(-1, 3)
    arm = place - weight @ place
    zero, one = np.zeros(len(arm)), np.ones(len(arm))
    x, y, z = arm.T
    motion = np.array(
        [[one, zero, zero], [zero, one, zero], [zero, zero, one], [zero, -z, y], [z, zero, -x], [-y, x, zero]]
    ).transpose(2, 1, 0)  # (2k, 3, 6)
    gram = np.einsum("k,kdi,kdj->ij", weight, motion, motion)
    work = np.einsum("k,kdi,kd->i", weight, motion, move[..., :3].reshape(-1, 3))
    rigid = np.linalg.lstsq(gram, work, rcond=1e-12)[0]
    rest = move[..., :3] - (motion @ rigid).reshape(-1, 2, 3)
    turned = move[..., 3] - rigid[3]
    same, other = (rest[:, 1] + rest[:, 0]) / 2, (rest[:, 1] - rest[:, 0]) / 2
    square = [pairs.weight @ own**2 for way in (2, 1, 0) for own in (same[:, way], other[:, way])]
    square.append(pairs.weight * pairs.gyration**2 @ (turned**2).mean(axis=1))
    parts = np.array([*np.maximum(rigid * work, 0.0), *square])
    whole = float(parts.sum())
    return dict(zip((*RIGID, *ELASTIC), (parts / (whole or 1.0)).tolist(), strict=True)), whole


def _moving(mesh: Mesh, modes: Modes) -> list[dict[str, float]]:
    """Per mode the parts' and masses' shares of the kinetic energy, greatest first; both rails as one."""
    members, points, above = modes.of.mass.energy(modes.shapes)
    out = []
    for k in range(len(modes.square)):
        own: dict[str, float] = {"rails": float(above[k])}
        for part in mesh.parts:
            name = "rails" if part.kind == "rail" else part.called
            own[name] = own.get(name, 0.0) + float(members[part.first : part.last, k].sum())
        for name, value in zip(modes.of.mass.names, points[:, k], strict=True):
            own[name] = own.get(name, 0.0) + float(value)
        whole = sum(own.values())
        out.append({name: v / whole for name, v in sorted(own.items(), key=lambda item: -item[1])})
    return out
