"""The beam on two supports with overhangs: reactions, shear and moment as exact polynomials, deflection.

Convention: x rearward, loads positive downward, reactions positive upward.  V at a station is the sum of the upward
forces ahead of it less the downward ones, so dV/dx = -q; M is positive where the beam sags, and V = dM/dx.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Literal

import numpy as np

from ladderfe.errors import ModelError
from ladderfe.hand.loads import Beam, resultant
from ladderfe.hand.piecewise import Array, Piecewise, sign_changes

__all__ = ["BeamResult", "TurningPoint", "deflection", "solve_beam"]

ROUNDING = 1e-12  # of the sum of all forces (times the length): about 4000 times the spacing of doubles


@dataclass(frozen=True, slots=True)
class TurningPoint:
    """A station where the moment turns: "V = 0" inside the polynomial, or where V "jumps" through nothing."""

    station: float
    moment: float
    kind: Literal["V = 0", "V jumps"]


@dataclass(frozen=True, eq=False)
class BeamResult:
    """Forces in a beam on two supports.

    `reactions` (front, rear) in N, upward positive; `load`, `shear` and `moment` are piecewise polynomials along the
    beam in N/mm, N and N mm, with knots at its ends, supports, point loads and where line loads begin or end.
    """

    beam: Beam
    reactions: tuple[float, float]
    load: Piecewise
    shear: Piecewise
    moment: Piecewise

    @cached_property
    def _scale(self) -> float:
        """N: the size of all forces together, against which rounding is judged."""
        loads = [abs(load.force) for load in self.beam.point_loads]
        loads += [max(abs(q.q_start), abs(q.q_end)) * (q.end - q.start) for q in self.beam.line_loads]
        return ROUNDING * (sum(loads) + sum(map(abs, self.reactions)))

    @property
    def _small_moment(self) -> float:
        """N mm: a moment that is only rounding."""
        return self._scale * (self.beam.end - self.beam.start)

    def shear_beside(self, station: float) -> tuple[float, float]:
        """V just ahead of and just behind a station; beyond the ends of the beam it is nothing."""
        ahead, behind = float(self.shear(station, "ahead")), float(self.shear(station, "behind"))
        return (0.0 if station <= self.beam.start else ahead, 0.0 if station >= self.beam.end else behind)

    @cached_property
    def turning_points(self) -> tuple[TurningPoint, ...]:
        """Every place inside the beam where V changes sign, front to rear."""
        found = []
        for x in sign_changes(self.shear, self._scale):
            jumps = max(map(abs, self.shear_beside(x))) > 1e3 * self._scale
            found.append(TurningPoint(x, float(self.moment(x)), "V jumps" if jumps else "V = 0"))
        return tuple(found)

    @cached_property
    def contraflexure(self) -> tuple[float, ...]:
        """Stations where the moment changes sign, between the supports and on the overhangs."""
        return tuple(sign_changes(self.moment, self._small_moment))

    @cached_property
    def support_moments(self) -> tuple[float, float]:
        front, rear = self.beam.supports
        return float(self.moment(front)), float(self.moment(rear))

    @cached_property
    def greatest_sagging(self) -> TurningPoint:
        """The highest moment; the front end where the beam sags nowhere."""
        return max(self._candidates, key=lambda p: p.moment)

    @cached_property
    def greatest_hogging(self) -> TurningPoint:
        """The lowest moment, negative; the front end where the beam hogs nowhere."""
        return min(self._candidates, key=lambda p: p.moment)

    @cached_property
    def greatest_shear(self) -> tuple[float, float]:
        """(station, V) where V is greatest in size."""
        stations = [*map(float, self.load.knots), *sign_changes(self.load, 0.0)]
        places = [(x, v) for x in stations for v in self.shear_beside(x)]
        return max(places, key=lambda place: abs(place[1]))

    @cached_property
    def _candidates(self) -> tuple[TurningPoint, ...]:
        ends = [TurningPoint(x, float(self.moment(x)), "V jumps") for x in (self.beam.start, self.beam.end)]
        still = TurningPoint(self.beam.start, 0.0, "V jumps")
        return (still, *self.turning_points, *(p for p in ends if abs(p.moment) > self._small_moment))


def solve_beam(beam: Beam) -> BeamResult:
    """Reactions by moments about the supports, then V and M by integrating the load from the front end.

    At the rear end M is that just ahead of it: what the couple of a load that hangs behind it brings.

    Source: statics of a rigid body and the differential relations dV/dx = -q, dM/dx = V (any text on strength of
    materials); no approximation.
    """
    front, rear = beam.supports
    reactions = (-resultant(beam.loads, rear)[1] / beam.span, resultant(beam.loads, front)[1] / beam.span)
    knots = np.unique(
        [beam.start, beam.end, front, rear, *(p.station for p in beam.point_loads)]
        + [x for q in beam.line_loads for x in (q.start, q.end)]
    )
    load = Piecewise(knots, _load_pieces(beam, knots))
    jumps = np.zeros(len(knots))
    upward = [*zip(beam.supports, reactions, strict=True), *((p.station, -p.force) for p in beam.point_loads)]
    for station, force in upward:
        jumps[np.searchsorted(knots, station)] += force
    shear = load.scaled(-1.0).integral(jumps=jumps[:-1])
    couples = np.zeros(len(knots))
    for p in beam.point_loads:
        couples[np.searchsorted(knots, p.station)] += p.couple
    return BeamResult(beam, reactions, load, shear, shear.integral(jumps=couples[:-1]))


def _load_pieces(beam: Beam, knots: Array) -> Array:
    """(pieces, 2): value at the start of each piece in N/mm and slope in N/mm2."""
    pieces = np.zeros((len(knots) - 1, 2))
    for q in beam.line_loads:
        first, last = np.searchsorted(knots, (q.start, q.end))
        slope = (q.q_end - q.q_start) / (q.end - q.start)
        pieces[first:last, 0] += q.q_start + slope * (knots[first:last] - q.start)
        pieces[first:last, 1] += slope
    return pieces


def deflection(result: BeamResult, stiffness: float | Sequence[tuple[float, float, float]]) -> Piecewise:
    """Deflection along the beam in mm, downward positive, by integrating -M/EI twice; nothing at the supports.

    Parameters
    ----------
    stiffness
        EI in N mm2, one number or (start, end, EI) end to end over the whole beam.  Shear strain is left out.
    """
    beam = result.beam
    spans = [(beam.start, beam.end, float(stiffness))] if isinstance(stiffness, int | float) else sorted(stiffness)
    joined = all(a[1] == b[0] for a, b in pairwise(spans))
    covered = spans and spans[0][0] <= beam.start and spans[-1][1] >= beam.end
    if not (joined and covered and all(ei > 0 for _, _, ei in spans)):
        raise ModelError("beam", "its bending stiffness is not given end to end, or not positive",
                         "Give EI for every stretch")
    moment = result.moment.refined([s for s, _, _ in spans])
    stretch = np.searchsorted([s for s, _, _ in spans], moment.knots[:-1], side="right") - 1
    bent = moment.scaled(-1 / np.array([ei for _, _, ei in spans])[stretch]).integral().integral()
    at_front, at_rear = bent(beam.supports[0]), bent(beam.supports[1])
    tilt = (at_rear - at_front) / beam.span
    line = np.zeros_like(bent.coefficients)
    line[:, 0] = at_front + tilt * (bent.knots[:-1] - beam.supports[0])
    line[:, 1] = tilt
    return Piecewise(bent.knots.copy(), bent.coefficients - line)
