"""What governs the places of which a margin is asked: wall and criterion, as found and at the limit thickness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from ladderfe.advice.margin import Margin, Margins, Tell, silent
from ladderfe.advice.places import ALL, Place, state_of, stretches_of
from ladderfe.advice.states import Looked, group_of_member, looked_at
from ladderfe.checks.utilisation import entry, tables
from ladderfe.condition import Found, with_walls
from ladderfe.mesh.build import TAPER_STEPS

__all__ = ["Governs", "PlaceGoverns", "governs"]


@dataclass(frozen=True, slots=True)
class Governs:
    """Utilisation of a place in a case, with the wall that it is in, what it is of, and where it is, mm."""

    ratio: float
    case: str
    wall: str
    criterion: str
    station: float


@dataclass(frozen=True, slots=True)
class PlaceGoverns:
    """now: as found, in the case that governs the place; limit: at the limit thickness, in the case that governs there,
    None where there is no such thickness."""

    now: Governs
    limit: Governs | None


def governs(
    m: Margins, *, taper_steps: int = TAPER_STEPS, progress: Tell = silent
) -> dict[Place, PlaceGoverns]:
    """Of every single wall what governs it; each state at its limit is solved once more, the plain way."""
    found = looked_at(m.found.chassis, taper_steps)
    wanted = [x for x in m.margins if x.place.wall != ALL]
    out = {}
    for k, x in enumerate(wanted):
        progress(f"what governs: place {k + 1} of {len(wanted)}", k / len(wanted))
        now = _greatest(m.found, found, x.place, x.now[1])
        out[x.place] = PlaceGoverns(now, _at_limit(m.found, x, taper_steps))
    return out


def _at_limit(found: Found, x: Margin, taper_steps: int) -> Governs | None:
    if x.limit.how not in ("found", "jumps") or not x.limit.case:
        return None
    chassis = with_walls(found, state_of(found, x.place, x.limit.thickness))
    return _greatest(found, looked_at(chassis, taper_steps), x.place, x.limit.case)


def _greatest(found: Found, looked: Looked, place: Place, case: str) -> Governs:
    """What is greatest over the reach of a place in one case, of all criteria and walls."""
    solution = looked.solution
    groups = group_of_member(found, solution.mesh)[looked.rows.member]
    own = np.flatnonzero(np.isin(groups, stretches_of(found, place)))
    c = solution.case(case)
    criteria = tables(looked.stresses, found.chassis.criteria)
    sizes = [np.abs(stress[own, :, c]) / limit for _, stress, _, limit in criteria]
    k = int(np.argmax([float(f"{s.max():.9g}") for s in sizes]))  # the first of what is alike but for rounding
    r, p = np.unravel_index(int(sizes[k].argmax()), sizes[k].shape)
    name, stress, _, limit = criteria[k]
    u = entry(solution, looked.rows, looked.stresses, (int(own[r]), int(p), c), name, stress, limit)
    return Governs(u.ratio, case, u.wall, name, u.along)
