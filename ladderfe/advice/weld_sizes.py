"""What welds must be: throat and leg for the force in them, whether they fit the thickness that is there, seam or
stitch, full penetration or not.

Sources of strength: EN 1993-1-8 4.5.3 (simplified and directional method), 4.7 (butt welds), all from memory, text not
seen, or a permissible stress on the throat (`connections.fillets.PERMISSIBLE`).  Walls below 4 mm are outside of the
scope of EN 1993-1-8; its formulas are carried on to them here as the trade does.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf, sqrt
from typing import Final, Literal, get_args

import numpy as np
from numpy.typing import NDArray

from ladderfe.advice.slot_sizes import SlotSize, slot_size
from ladderfe.checks.weld_butts import ButtDemand
from ladderfe.checks.weld_demands import WeldDemands
from ladderfe.checks.weld_gussets import GussetDemand
from ladderfe.checks.weld_hangers import HangerDemand
from ladderfe.checks.weld_joints import JointDemand
from ladderfe.checks.weld_plates import EndDemand, LineDemand, PlateDemand
from ladderfe.connections import (
    Broken,
    WeldSteel,
    anchorage_length,
    butt_throat,
    directional_throat,
    fillet_shear_strength,
    fillet_size_rules,
    full_run,
    leg_for,
    long_lap_factor,
    needed_throat,
    permissible_stress,
    stitch_factor,
    stitched_run,
    wall_shear,
)
from ladderfe.connections.cuts import CutStress, butt_use

__all__ = ["METHODS", "ButtSize", "FilletSize", "Method", "WeldSizes", "weld_sizes"]

Array = NDArray[np.float64]
Method = Literal["simplified", "directional", "permissible"]
METHODS: Final = get_args(Method)
#: The permissible stress that is taken.
PERMITTED: Final = "mild steel"
#: A fillet over the whole edge of a plate: throat by thickness.
FULL: Final = 0.7
#: Length of a run when stitching is weighed, mm (common practice, no source).
RUN: Final = 50.0
#: Least throat that is told, mm: what carries nothing needs none.
NONE: Final = 1e-9
WALL: Final = "rail's wall"
#: A lap so long that less than this is left of it is told with this: nothing fits it anyhow.
LEAST_LAP: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class FilletSize:
    """One fillet: force N/mm, greatest, with case and place; throat and leg it asks for, and the leg that the thinner
    plate's thickness allows, mm; planned: throat the plan has (None: not stated); wall: N/mm that the thinner wall
    carries in shear at yield; broken: rules of size at the throat that is planned or fits.

    length: mm of weld; anchor: mm along the edges over which their welds would bring an end's force in without a weld
    across (0: none).  share: of the seam that is weld of full throat, 1 but where the plan has it stitched, for a run's
    ends have none over a throat each; `force` is in the runs so shortened.  lap: what a long lap leaves of its strength
    (EN 1993-1-8 4.11); `force` is over it.
    """

    about: str
    weld: str
    kind: str
    force: float
    case: str
    place: str
    throat: float
    leg: float
    limit: float
    wall: float
    planned: float | None
    length: float
    anchor: float
    broken: tuple[Broken, ...]
    share: float = 1.0
    lap: float = 1.0

    @property
    def fits(self) -> bool:
        return self.leg <= self.limit * (1 + 1e-9)

    @property
    def enough(self) -> bool:
        """Whether the throat that the plan has will do; True where none is stated."""
        return self.planned is None or self.throat <= self.planned * (1 + 1e-9)

    @property
    def larger(self) -> bool:
        """Whether the plan has a larger leg than the thinner plate's edge can take: what is over melts away."""
        return self.planned is not None and sqrt(2) * self.planned > self.limit * (1 + 1e-9)

    @property
    def wrong(self) -> bool:
        """Whether it has not the room it asks for, or is planned too small or larger than there is room for."""
        return not (self.fits and self.enough) or self.larger

    @property
    def made(self) -> float:
        """Throat that can be made of what is planned, mm."""
        room = FULL * self.limit
        return min(self.planned or room, room)

    @property
    def use(self) -> float:
        """Needed throat over that planned, or over that of the leg that fits where that is less or none is planned."""
        return self.throat / self.made

    @property
    def continuous(self) -> float:
        """The same where the seam is not stitched."""
        return self.use * self.share

    @property
    def pitch(self) -> float:
        """Mm from run to run of RUN mm at which a stitched weld would still do by force alone; inf where none flows."""
        full = max(RUN - 2 * self.made, 0.0)
        return full / self.continuous if self.continuous > 0 else inf


@dataclass(frozen=True, slots=True, kw_only=True)
class ButtSize:
    """One group of walls of a butt weld: use with full penetration and welded from one side on an open root (inf where
    nothing of a thin wall counts), with wall, case and thickness where it is greatest; made: as the plan has it."""

    piece: str
    where: str
    group: str
    full: float
    one_side: float
    wall: str
    case: str
    thickness: float
    made: str

    @property
    def needed(self) -> float:
        """Mm that must be fused through for the force alone: the throat at which the use is 1."""
        return self.full * self.thickness

    @property
    def use(self) -> float:
        """As the plan has it."""
        return self.one_side if self.made == "one side" else self.full


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WeldSizes:
    """Answers beside the demands they are for; strength: MPa on the throat (of the directional method that along the
    weld)."""

    demands: WeldDemands
    steel: WeldSteel
    method: Method
    strength: float
    plates: tuple[FilletSize, ...]
    slots: tuple[SlotSize, ...]
    butts: tuple[ButtSize, ...]
    joints: tuple[FilletSize, ...]
    hangers: tuple[FilletSize, ...]
    gussets: tuple[FilletSize, ...]

    def by_plate(self) -> list[tuple[PlateDemand, tuple[FilletSize, ...]]]:
        """Every plate with its fillets, edges first; two plates may bear one name."""
        out, rest = [], self.plates
        for p in self.demands.plates:
            n = len(p.edges) + len(p.ends)
            out.append((p, rest[:n]))
            rest = rest[n:]
        return out

    @property
    def exceeded(self) -> bool:
        """Whether some weld has not the room that it asks for or is planned with, is planned too small, or has no wall
        to be on."""
        small = any(f.wrong for f in (*self.plates, *self.joints, *self.hangers, *self.gussets))
        bare = any(h.why for h in self.demands.hangers)
        return bare or small or any(b.use > 1 for b in self.butts) or not all(s.enough for s in self.slots)


@dataclass(frozen=True, slots=True)
class _Rule:
    """How a line force becomes a throat."""

    steel: WeldSteel
    method: Method
    yields: float

    @property
    def strength(self) -> float:
        permitted = self.method == "permissible"
        return permissible_stress(PERMITTED).stress if permitted else fillet_shear_strength(self.steel)

    def throat(self, force: Array) -> float:
        """Greatest throat of line forces (..., 3), mm."""
        if self.method == "directional":
            return float(directional_throat(force, self.steel, either_side=True).max())
        return float(needed_throat(force, self.strength).max())

    def leg(self, throat: float, thinner: float) -> tuple[float, float]:
        found = leg_for(max(throat, NONE), thinner)
        return float(found.leg), float(found.limit)


def weld_sizes(demands: WeldDemands, steel: WeldSteel, method: Method = "simplified") -> WeldSizes:
    """Answers to all demands."""
    given = demands.findings.chassis.material.yield_stress
    rule = _Rule(steel, method, given or float(steel.name.lstrip("S")))
    plates = [f for p in demands.plates for f in _plate(p, rule, demands)]
    butts = [b for d in demands.butts for b in _butt(d, steel)]
    joints = [_joint(j, rule) for j in demands.joints if not j.why]
    return WeldSizes(demands=demands, steel=steel, method=method, strength=rule.strength, plates=tuple(plates),
                     slots=tuple(slot_size(s, rule.strength, rule.yields, FULL) for s in demands.slots),
                     butts=tuple(butts), joints=tuple(joints),
                     hangers=tuple(_hanger(h, rule) for h in demands.hangers if not h.why),
                     gussets=tuple(f for g in demands.gussets for f in _gusset(g, rule)))  # fmt: skip


def _plate(p: PlateDemand, rule: _Rule, demands: WeldDemands) -> list[FilletSize]:
    alike = sum(other.plate.name == p.plate.name for other in demands.plates)
    seam = sum(r.length for r in demands.runs if r.piece == p.plate.name and r.kind == "seam") / alike
    return [*(_edge(p, k, rule, seam / len(p.edges)) for k in range(len(p.edges))), *(_end(p, e, rule) for e in p.ends)]


def _edge(p: PlateDemand, k: int, rule: _Rule, length: float) -> FilletSize:
    weld, factor, run = p.plate.weld, 1.0, length
    e, lap = _lapped(p, k)
    if weld.pitch:
        needed = rule.throat(np.array([e.flow, 0.0, 0.0])) * weld.pitch
        run = stitched_run(weld.run, _planned(p), needed)
        factor = float(stitch_factor(run, weld.pitch))
    force = e.flow * factor
    throat = rule.throat(np.array([force, 0.0, 0.0]))
    found = _fillet(p, e.name, "edge", rule, force=force, throat=throat, case=e.case, place=f"{e.station:.0f} mm",
                    length=length, run=run)  # fmt: skip
    return replace(found, share=1 / factor, lap=lap)


def _lapped(p: PlateDemand, k: int) -> tuple[LineDemand, float]:
    """The greatest flow in an edge weld with that at ends over what a long lap leaves of its strength, and this factor:
    where no weld runs across an end its whole force comes in there.  Along the rest, and along tapered ends, the
    flow follows that of the wall beside it, which the rule leaves alone."""
    e, s = p.edges[k], p.flows.station
    middle, left = (s[:-1] + s[1:]) / 2, np.ones(len(s) - 1)
    for end, away in zip(p.ends, (middle - s[0], s[-1] - middle), strict=True):
        if p.plate.welded == p.plate.whole and end.zone:
            left[away < end.zone] = np.maximum(long_lap_factor(end.zone, _planned(p)), LEAST_LAP)
    flow = np.abs(p.flows.flow[:, :, k, 1:]) / left[:, None, None]
    i, end_of, c = (int(v) for v in np.unravel_index(int(flow.argmax()), flow.shape))
    if left[i] == 1:
        return e, 1.0
    own = replace(e, flow=float(flow[i, end_of, c]), case=p.cases[c + 1], station=float(s[i + end_of]))
    return own, float(left[i])


def _planned(p: PlateDemand) -> float:
    """The throat that the plan has, mm; as large as fits where it states none."""
    return p.plate.weld.throat or FULL * p.thinner


def _end(p: PlateDemand, e: EndDemand, rule: _Rule) -> FilletSize:
    """The weld across an end; where there is none no force is told, only what its edges have to bring in."""
    throat = rule.throat(np.array([0.0, e.flow, 0.0]))
    planned, weld = _planned(p), p.plate.weld
    share = full_run(weld.run, planned) / weld.pitch if weld.pitch else 1.0
    made = min(planned, FULL * p.thinner)
    worse = abs(e.force) + 2 * abs(e.couple) / p.width  # twice what the more loaded edge brings in
    anchor = float(anchorage_length(worse, 2 * made * rule.strength * share))
    name, place = f"end at {e.station:.0f} mm", "across" if e.length else "none"
    return _fillet(p, name, "end", rule, force=e.flow, throat=throat, case=e.case, place=place,
                   length=e.length, run=e.length, anchor=anchor)  # fmt: skip


def _fillet(
    p: PlateDemand, weld: str, kind: str, rule: _Rule, *, force: float, throat: float, case: str, place: str,
    length: float, run: float, anchor: float = 0.0,
) -> FilletSize:  # fmt: skip
    leg, limit = rule.leg(throat, p.thinner)
    planned = _planned(p)
    broken = fillet_size_rules(planned, run, p.thinner, of=_thin(p.thinner, p.plate.thickness)) if run else ()
    return FilletSize(about=p.plate.name, weld=weld, kind=kind, force=force, case=case, place=place, throat=throat,
                      leg=leg, limit=limit, wall=float(wall_shear(p.thinner, rule.yields)), planned=planned,
                      length=length, anchor=anchor, broken=broken)  # fmt: skip


def _thin(thinner: float, own: float, name: str = "plate", wall: str = WALL) -> str:
    """Which of the two that are joined is the thinner one: the piece of thickness `own`, or the wall it is on."""
    return wall if thinner < own else name


def _joint(j: JointDemand, rule: _Rule) -> FilletSize:
    lines = np.zeros((1, 1, 3)) if j.lines is None else j.lines[1:]
    throat = rule.throat(lines)
    leg, limit = rule.leg(throat, j.thinner)
    broken = fillet_size_rules(FULL * limit, j.length, j.thinner, of=_thin(j.thinner, j.own, "part's wall"))
    return FilletSize(about=j.part, weld=j.rail, kind="joint", force=j.flow, case=j.case, place=j.place, throat=throat,
                      leg=leg, limit=limit, wall=float(wall_shear(j.thinner, rule.yields)), planned=None,
                      length=j.length, anchor=0.0, broken=broken)  # fmt: skip


def _hanger(h: HangerDemand, rule: _Rule) -> FilletSize:
    throat = rule.throat(h.lines[1:])
    leg, limit = rule.leg(throat, h.thinner)
    planned = h.hanger.throat
    broken = fillet_size_rules(FULL * limit if planned is None else planned, h.length, h.thinner,
                               of=_thin(h.thinner, h.hanger.thickness, "bracket"))  # fmt: skip
    return FilletSize(about=h.hanger.name, weld=f"{h.hanger.side} rail", kind="hanger", force=h.flow, case=h.case,
                      place=h.place, throat=throat, leg=leg, limit=limit,
                      wall=float(wall_shear(h.thinner, rule.yields)), planned=planned, length=h.length, anchor=0.0,
                      broken=broken)  # fmt: skip


def _gusset(g: GussetDemand, rule: _Rule) -> list[FilletSize]:
    """The fillets on the web and on the crossmember, each side of each plate."""
    t, own = g.gusset.thickness, g.gusset
    legs = (("on the web", g.on_web, own.web_leg, min(t, g.joint.thickness), WALL),
            ("on the crossmember", g.on_member, own.reach, min(t, g.joint.own), "crossmember's wall"))  # fmt: skip
    out = []
    for weld, lines, length, thinner, wall in legs:
        size = np.linalg.norm(lines[1:], axis=-1).max(axis=-1)
        c, n = np.unravel_index(int((size >= size.max() * (1 - 1e-9)).argmax()), size.shape)
        throat = rule.throat(lines[1:])
        leg, limit = rule.leg(throat, thinner)
        plates = ("top", "bottom") if own.way == "upright" else ("front", "rear")
        broken = fillet_size_rules(FULL * limit if own.throat is None else own.throat, length, thinner,
                                   of=_thin(thinner, t, wall=wall))  # fmt: skip
        out.append(FilletSize(about=own.name, weld=weld, kind="gusset", force=float(size[c, n]),
                              case=g.cases[int(c) + 1], place=plates[int(n) // 2], throat=throat, leg=leg, limit=limit,
                              wall=float(wall_shear(thinner, rule.yields)), planned=own.throat, length=4 * length,
                              anchor=0.0, broken=broken))  # fmt: skip
    return out


def _butt(d: ButtDemand, steel: WeldSteel) -> list[ButtSize]:
    """Of every group of walls of a butt weld."""
    if not len(d.thickness):
        return []
    stress = CutStress(d.stress.across[:, 1:], d.stress.along[:, 1:])
    t = d.thickness[:, None]
    full, one = (butt_use(stress, t, butt_throat(t, made), steel) for made in ("both sides", "one side"))
    out = []
    for group in dict.fromkeys(d.groups):
        own = np.flatnonzero([g == group for g in d.groups])
        n, c = np.unravel_index(int(full[own].argmax()), full[own].shape)
        at = int(own[n])
        out.append(ButtSize(piece=d.piece, where=d.where, group=group, full=float(full[own].max()),
                            one_side=float(one[own].max()), wall=d.walls[at], case=d.cases[int(c) + 1],
                            thickness=float(d.thickness[at]), made=d.made))  # fmt: skip
    return out
