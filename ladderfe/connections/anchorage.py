"""The welds of a plate that carries a share of the member's force: flow along it, and what its ends must anchor.

The member's theory gives N(x) in the plate, tension positive, right up to where the plate stops.  There it must come in
through welds: the end force.  It comes in over a zone at each end, in which the plate carries N(x) times a share that
grows linearly from that of the end's transverse weld to the whole:

    N_plate = r N,  flow = dN_plate/dx,  r from `across` at the end to 1 over `zone` mm

A zone is the taper of a plate that narrows (it cannot carry more at even stress) or, at a square end, the length over
which its edge welds bring the force in.  Within its zone a plate is not fully working: measure what must be covered
from the zone's inner end.  At every cut, end weld and edge welds up to it add up to N_plate.

Flow is positive where it makes the plate's tension grow along x: the weld pulls the plate rearward with it.

Sources: equilibrium of the plate (with V Q/I as dN/dx it is D. J. Jourawski's formula, any text on strength of
materials); even flow over the zone is an assumption: ends carry more while the weld is elastic (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.inputs import Array, numbers, positive
from ladderfe.errors import ModelError

__all__ = ["Anchorage", "PlateEnd", "anchorage", "anchorage_length", "cover_plate_end_length"]

WHERE: Final = "plate"
SUM: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateEnd:
    """One end of the plate: `zone` mm over which edge welds bring the force in, `across` the end weld's share of it.

    across : 0 with no weld across the end (or a point), 1 where the end weld takes all; with `zone` 0 it must be 1.
    tapered : whether the plate narrows over the zone.
    """

    zone: float
    across: float = 0.0
    tapered: bool = False

    def __post_init__(self) -> None:
        numbers("end of the plate", "its zone", self.zone, 0.0)
        numbers("end of the plate", "the end weld's share", self.across, 0.0, 1.0)
        if self.zone == 0 and self.across < 1:
            raise ModelError("end of the plate", f"{1 - self.across:.3g} of its force has no length to come in over",
                             "Give the zone in mm, or an end weld with the share 1")


@dataclass(frozen=True, slots=True, eq=False)
class Anchorage:
    """Forces in the plate and its welds.  n stations (the given ones and the zones' inner ends), k edge welds.

    station (n,) mm.  theory (n,) N that the member's theory gives the plate; carried (n,) N that it carries.
    flow (n - 1, 2, k) N/mm in each weld at both ends of each interval, linear between.  end_force (2,) N to be anchored
    at the first and last station; end_weld (2,) N of it in the welds across the ends, tension in the plate positive.
    """

    station: Array
    theory: Array
    carried: Array
    flow: Array
    end_force: Array
    end_weld: Array

    @property
    def greatest(self) -> Array:
        """(k,) N/mm, the greatest flow in size of each edge weld."""
        out: Array = np.abs(self.flow).max(axis=(0, 1))
        return out


def anchorage(
    station: npt.ArrayLike, force: npt.ArrayLike, shares: npt.ArrayLike, ends: tuple[PlateEnd, PlateEnd]
) -> Anchorage:
    """Flow along the edge welds of a plate and what is anchored at its ends.

    Parameters
    ----------
    station
        (m,) mm, rising, from one end of the plate to the other.
    force
        (m,) N in the plate by the member's theory, linear between stations; it does not jump.
    shares
        (k,) of the flow that each edge weld takes, their sum 1.
    ends
        The ends at the first and the last station.  Raises ModelError where their zones overlap, or numbers do not do.
    """
    x, given, split = _checked(station, force, shares)
    first, last = x[0] + ends[0].zone, x[-1] - ends[1].zone
    if first > last:
        raise ModelError(WHERE, f"zones of {ends[0].zone:g} and {ends[1].zone:g} mm at its ends do not fit its length "
                         f"{x[-1] - x[0]:g} mm", "Give a longer plate or a stronger weld")
    s = np.unique([*x, first, last])
    theory = np.interp(s, x, given)
    # the share r at both ends of each interval: a zone of no length begins with 1
    ramps = []
    for end, away in zip(ends, (s - s[0], s[-1] - s), strict=True):
        grown = away / end.zone if end.zone > 0 else np.ones_like(s)
        ramps.append(end.across + (1 - end.across) * np.minimum(grown, 1.0))
    r = np.minimum(*ramps)
    carried = r * theory
    step = np.diff(s)
    d_theory, d_r = np.diff(theory) / step, np.diff(r) / step
    total = np.stack([d_theory * r[:-1] + theory[:-1] * d_r, d_theory * r[1:] + theory[1:] * d_r], axis=1)
    return Anchorage(s, theory, carried, total[..., None] * split, given[[0, -1]], carried[[0, -1]])


def _checked(station: npt.ArrayLike, force: npt.ArrayLike, shares: npt.ArrayLike) -> tuple[Array, Array, Array]:
    x, given = numbers(WHERE, "a station", station), numbers(WHERE, "the force in it", force)
    split = np.atleast_1d(numbers(WHERE, "a weld's share", shares))
    if x.ndim != 1 or x.size < 2 or x.shape != given.shape or np.any(np.diff(x) <= 0):
        raise ModelError(WHERE, f"{x.size} stations do not rise from end to end with {given.size} forces",
                         "Give each station once, in order, with its force")
    if abs(split.sum() - 1) > SUM:
        raise ModelError(WHERE, f"the shares of its edge welds add up to {split.sum():g}",
                         "Give shares that add up to 1")
    return x, given, split


def anchorage_length(end_force: npt.ArrayLike, strength: npt.ArrayLike, end_weld: npt.ArrayLike = 0.0) -> Array:
    """(...) mm over which the edge welds bring an end force in: (|N| - end weld)/strength, 0 where the end weld does.

    strength : N/mm, of all edge welds together that share it evenly (unlike shares: the most loaded weld's strength
    over its share).  end_weld : N that the transverse weld is counted with.  The flow dN/dx that runs there is on top.
    """
    left = np.abs(numbers(WHERE, "the end force", end_force)) - numbers(WHERE, "the end weld's force", end_weld, 0.0)
    out: Array = np.maximum(left, 0.0) / positive(WHERE, "the welds' strength", strength)
    return out


def cover_plate_end_length(width: float, thickness: float, end_leg: float = 0.0) -> float:
    """How far a cover plate goes on beyond the place where it is no longer needed, mm, by the width of its end.

    1 width with a continuous weld along both edges and across the end of leg 3/4 of the plate or more, 1.5 with a
    lesser one across the end, 2 with none (AISC 360 F13.3, value from memory, text not seen).  The welds over this
    length must still carry the end force.
    """
    b = float(positive(WHERE, "its width", width))
    t = float(positive(WHERE, "its thickness", thickness))
    leg = float(numbers(WHERE, "the end weld's leg", end_leg, 0.0))
    return b if leg >= 0.75 * t else 1.5 * b if leg > 0 else 2 * b
