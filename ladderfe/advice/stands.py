"""Where the stands stand, what they carry, and what the frame does when it is cut: everything for one page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import inf, isinf

from ladderfe.advice.stand_ground import Ground, bad_metal, ground_of
from ladderfe.advice.stand_places import PropUse, StandUse, hint_for, prop_mounts, proposed, props
from ladderfe.chassis import Chassis, Mount
from ladderfe.chassis.taken import suspension_guess
from ladderfe.checks.cut_faces import Cut, Freed
from ladderfe.checks.proofs import Proof
from ladderfe.checks.stands import (
    Frames,
    Lowered,
    Stage,
    frames_of,
    freed,
    held_together,
    lowered,
    proofs_of,
    rail_stand,
    stage_of,
    stands_case,
    used,
    weight_of,
    with_stands,
)
from ladderfe.checks.utilisation import Utilisation
from ladderfe.checks.web_forces import BEARING
from ladderfe.condition import Found
from ladderfe.errors import ModelError
from ladderfe.mesh.rails import SAME

__all__ = ["Stands", "stands"]

#: The case in which all stands are level, and what a cut beside a cut is called.
LEVEL, OTHER = "stands", "other cut"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stands:
    """All answers.  origin: where the stands come from ("given", "file", "proposed"); weight: N on them; before, after
    (None where nothing is cut or the cut frame falls apart); freed, props: by cut; low: each stand low by some mm;
    free: which stand first comes free when which is low by how many mm; work: greatest utilisation before and after;
    hung: axles for which so many mm of droop are taken; places: pairs of stations for four stands, the best first."""

    chassis: Chassis
    found: Found | None
    origin: str
    ground: tuple[Ground, ...]
    frames: Frames
    weight: float
    before: Stage
    after: Stage | None
    freed: tuple[Freed, ...]
    low: tuple[Lowered, ...]
    free: tuple[str, str, float] | None
    work: tuple[Utilisation | None, Utilisation | None]
    props: tuple[tuple[PropUse, ...], ...]
    places: tuple[StandUse, ...]
    proofs: tuple[Proof, ...]
    hung: tuple[tuple[str, float], ...] = ()

    @property
    def cuts(self) -> tuple[Cut, ...]:
        return self.frames.cuts

    @property
    def proven(self) -> bool:
        """True where every proof holds."""
        return all(p.holds for p in self.proofs)

    @property
    def exceeded(self) -> bool:
        """True where a stress is over its limit, a stand asks more of its web than that bears, level or with
        one of them low, or stands too near a cut, a hole or a doubtful place, or the cut frame falls apart or off its
        stands."""
        placed = any(g.exceeded for g in self.ground)
        falls = bool(self.frames.detached) or (self.after is not None and not self.after.holds)
        stages = [s for s in (self.before, self.after) if s is not None]
        bears = {g.name: g.web.limit for g in self.ground if g.web is not None}
        stages += [x.stage for x in self.low if x.stage.holds]
        pressed = any(force > bears.get(name, force) for s in stages for name, force in s.forces)
        return placed or falls or pressed or any(u is not None and u.ratio > 1 for u in self.work)


def stands(chassis: Chassis, cuts: Sequence[Cut] = (), at: Sequence[Mount] = (), found: Found | None = None) -> Stands:
    """The study of a chassis (as found where `found` is given) on stands: `at`, else those of the file, else proposed.

    Raises ModelError where a cut meets what hangs on the rail or bears on a stand, and where the stands do not hold the
    uncut vehicle.
    """
    cuts = tuple(sorted(set(cuts)))
    for cut in cuts:
        _refuse(chassis, cut, cuts)
    chassis, hung = _hanging(chassis if found is None else found.chassis)
    bad = bad_metal(found)
    places = proposed(chassis, cuts, bad)
    own, origin = _own(chassis, at, places)
    _refuse_under(own, cuts)
    may = [prop_mounts(chassis, c, cuts, bad) for c in cuts]
    stood = with_stands(chassis, [*own, *(m for of in may for m in of.values())])
    frames = held_together(frames_of(stood, cuts))
    names = [m.name for m in own]
    solved = frames.solved([stands_case(LEVEL, names)])
    whole, opened = solved
    before = stage_of(frames, whole, LEVEL)
    if not before.holds:
        raise ModelError("stands", f"on {', '.join(names)}: {before.tips}", hint_for(before))
    after = None if opened is None else stage_of(frames, opened, LEVEL)
    low, free = lowered(frames, names)
    return Stands(
        chassis=stood, found=found, origin=origin, ground=tuple(ground_of(stood, frames, m, found) for m in own),
        frames=frames, weight=weight_of(whole, 1), before=before, after=after, freed=freed(frames, whole, LEVEL),
        low=low, free=free,
        work=(used(frames, whole), used(frames, opened) if opened and after and after.holds else None),
        props=tuple(props(frames, whole, LEVEL, c, m) for c, m in zip(cuts, may, strict=True)),
        hung=hung, places=tuple(p for p in places if p.before.holds), proofs=proofs_of(frames, solved, LEVEL),
    )  # fmt: skip


def _hanging(chassis: Chassis) -> tuple[Chassis, tuple[tuple[str, float], ...]]:
    """The chassis with a travel down, as in cases of its file that hang, for axles whose springs could not hold them up
    and that have none; which axles, and the travel, mm."""
    axles, told = [], []
    for axle in chassis.axles:
        leaf = len(axle.seats) > 1
        pull = (inf if leaf else 0.0) if axle.pull is None else axle.pull
        if isinf(axle.droop) and not isinf(pull):
            axle = replace(axle, droop=suspension_guess("droop", axle.name, leaf=leaf).used)
            told.append((axle.name, axle.droop))
        axles.append(axle)
    return replace(chassis, axles=(axles[0], axles[1])), tuple(told)


def _own(chassis: Chassis, at: Sequence[Mount], places: Sequence[StandUse]) -> tuple[list[Mount], str]:
    """The stands and where they come from."""
    if at:
        return list({m.name: m for m in at}.values()), "given"
    if named := [m for m in chassis.mounts if m.name in _of_file(chassis)]:
        return named, "file"
    if not places:
        raise ModelError("stands", "no two stations are left at which stands could be proposed", "Give --at yourself")
    if not places[0].before.holds:
        first = places[0].before
        raise ModelError("stands", f"no four places hold the vehicle: {first.tips}", hint_for(first))
    return [rail_stand(chassis, r.side, s) for s in places[0].stations for r in chassis.rails], "proposed"


def _of_file(chassis: Chassis) -> tuple[str, ...]:
    """Mounts that the file's first case on stands names, else those under [workshop]."""
    for case in chassis.cases:
        if case.kind == "stands":
            return case.at
    workshop = getattr(getattr(chassis.source, "tables", None), "workshop", None)
    names = getattr(workshop, "stands", None) or ()
    return tuple(full for n in names for full in (n, f"{n} left", f"{n} right"))


def _refuse(chassis: Chassis, cut: Cut, cuts: Sequence[Cut]) -> None:
    """ModelError where something is joined to the rail at a cut, or two cuts are one."""
    rail = next(r for r in chassis.rails if r.side == cut.side)
    s, side = cut.station, cut.side
    reach = [(c.station_left if side == "left" else c.station_right, c.shape.width / 2, f"crossmember {c.name}")
             for c in chassis.crossmembers]  # fmt: skip
    reach += [(o.station, o.shape.width / 2, f"outrigger {o.name}") for o in chassis.outriggers if o.side == side]
    reach += [(d.station, d.thickness, f"diaphragm {d.name}") for d in chassis.diaphragms if d.side == side]
    reach += [(m.station, 1.0, f"mount {m.name}") for m in chassis.mounts if m.part == rail.name and not m.spread]
    reach += [(v, 1.0, f"spring seat of the {a.name} axle") for a in chassis.axles for v, _ in a.seats]
    reach += [(a.station, 1.0, f"bump stop of the {a.name} axle") for a in chassis.axles]
    reach += [(p[0], 1.0, f"bracket of the {a.name} axle") for a in chassis.axles for _, of, p in a.brackets()
              if of == side]  # fmt: skip
    reach += [(c.station, 10.0, OTHER) for c in cuts if c != cut and c.side == side]
    for station, half, name in reach:
        if abs(s - station) <= max(half, SAME):
            away = max(half, SAME) + 10
            words = "another cut is there" if name == OTHER else f"the {name} is joined to the rail there"
            beside = f"Cut beside it, before {station - away:.0f} or behind {station + away:.0f} mm"
            raise ModelError(f"cut through the {cut.name}", words, beside)


def _refuse_under(own: Sequence[Mount], cuts: Sequence[Cut]) -> None:
    """ModelError where a stand would bear on both faces of a cut: which of them it carries then decides everything."""
    for mount, cut in ((m, c) for m in own for c in cuts if m.part == f"{c.side} rail"):
        if abs(mount.station - cut.station) < BEARING / 2:
            words = f"the stand {mount.name} bears on {BEARING:g} mm of the rail, on both sides of the cut"
            beside = f"before {cut.station - BEARING:.0f} or behind {cut.station + BEARING:.0f} mm"
            raise ModelError(f"cut through the {cut.name}", words, f"Put it wholly on one side, {beside}")
