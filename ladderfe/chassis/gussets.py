"""Gussets of a chassis file, checked against the crossmembers and rails between which they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import isnan
from typing import Any, Final, Literal

from ladderfe.chassis.drafts import RailDraft, Rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.gusset_types import Gusset
from ladderfe.chassis.hangers import THROAT
from ladderfe.chassis.lines import Path
from ladderfe.chassis.types import Crossmember, Joint

__all__ = ["gusseted", "read_gussets"]

#: A gusset may reach over this part of the distance between the rails.
MOST: Final = 0.5


def read_gussets(faults: Faults, tables: list[Any], rails: Rails, crossmembers: Sequence[Crossmember]) -> list[Gusset]:
    """All gussets that can be read, those of both ends as two; faults are noted."""
    out: list[Gusset] = []
    for i, t in enumerate(tables):
        path: Path = ("gussets", i)
        member = next((c for c in crossmembers if c.name == t.member), None)
        if t.leg is not None and t.throat is not None:
            faults.add((*path, "throat"), "is given beside leg", "Give one of the two")
        if member is None:
            if t.member:
                names = [c.name for c in crossmembers]
                faults.unknown((*path, "member"), t.member, ("crossmembers",), names, "no crossmember has this name")
            continue
        for rail in (r for r in rails if (t.end or "both") in (r.side, "both")):
            made = _gusset(t, rail.side, faults.lines.of(path))
            if not faults.checked:
                _check(faults, path, made, member, rail)
                _check_room(faults, path, made, member, rails)
            if any((g.member, g.side) == (made.member, made.side) for g in out):
                rule = f"stand at the {made.side} end of {made.member}, which has gussets already"
                faults.add(path, rule, "Describe one pair for each end", value=f'"{made.name}"')
            out.append(made)
    return out


def gusseted(crossmembers: Sequence[Crossmember], gussets: Sequence[Gusset]) -> list[Crossmember]:
    """The crossmembers with joints that are estimated with their gussets."""
    by = {(g.member, g.side): g for g in gussets if g.thickness}

    def joint(c: Crossmember, side: Literal["left", "right"]) -> Joint:
        own = c.joint_left if side == "left" else c.joint_right
        g = by.get((c.name, side))
        return own if g is None or own.given else replace(own, kind=g.kind, gusset=g.web_leg)

    return [replace(c, joint_left=joint(c, "left"), joint_right=joint(c, "right")) for c in crossmembers]


def _gusset(t: Any, side: Literal["left", "right"], line: int) -> Gusset:
    return Gusset(
        name=f"{t.name} {side}" if (t.end or "both") == "both" else t.name, member=t.member, side=side, way=t.way,
        web_leg=t.web_leg, reach=t.reach, thickness=t.thickness, line=line,
        throat=t.throat if t.throat is not None else None if t.leg is None else THROAT * t.leg,
    )  # fmt: skip


def _check(faults: Faults, path: Path, g: Gusset, member: Crossmember, rail: RailDraft) -> None:
    """Note gussets at joints that say something else, and legs that leave the web."""
    left = g.side == "left"
    joint = member.joint_left if left else member.joint_right
    if joint.given:
        hint = "Leave its stiffness out so that it is estimated with the gussets, or leave the gussets out"
        faults.add((*path, "member"), f"has a {g.side} joint whose stiffness is given", hint)
    elif joint.kind != "butted":
        hint = 'Leave its kind out: gussets are estimated on a joint that is butted on the web'
        faults.add((*path, "member"), f'has a {g.side} joint that is "{joint.kind}"', hint)
    shape: Any = member.shape  # None where a fault of it is noted
    if shape is None:
        return
    station, height = (member.station_left, member.height_left) if left else (member.station_right, member.height_right)
    middle, depth = rail.height(station), rail.outline(station)[1]
    if g.way == "upright" and abs(height - middle) + shape.depth / 2 + g.web_leg > depth / 2 + 1e-6:
        room = depth / 2 - abs(height - middle) - shape.depth / 2
        if not isnan(room):
            rule = f"reaches beyond the {g.side} rail: {max(room, 0.0):g} mm are left between crossmember and its edge"
            faults.add((*path, "web_leg"), rule, 'Take a shorter leg, or way = "in plan"')
    for end in (-1, 1):
        tip = station + end * (shape.width / 2 + g.web_leg)
        if g.way == "in plan" and rail.misses(tip):
            rule = f"reaches to {tip:g} mm, off the {g.side} rail, from {rail.start:g} to {rail.end:g} mm"
            faults.add((*path, "web_leg"), rule, "Take a shorter leg")


def _check_room(faults: Faults, path: Path, g: Gusset, member: Crossmember, rails: Rails) -> None:
    apart = rails[0].half(member.station_left) + rails[1].half(member.station_right)
    if g.reach > MOST * apart:
        rule = f"is more than half of the way between the rails, {apart:g} mm"
        faults.add((*path, "reach"), rule, "Give the leg along the crossmember")
