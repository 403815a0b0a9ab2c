"""Least sizes of fillet welds, stitch welds, long laps, and the throat that a butt weld may be counted with.

Sources: EN 1993-1-8:2005 4.1, 4.3.2.2, 4.5.1, 4.5.2, 4.7, 4.11 (formulas and values from memory, text not seen); what
the trade adds is marked so.
"""

from __future__ import annotations

from dataclasses import replace
from math import sqrt
from typing import Final, Literal, get_args

import numpy as np
import numpy.typing as npt

from ladderfe.connections.inputs import MEMORY, Array, numbers, positive, unknown
from ladderfe.connections.rules import Broken, Rule, broken
from ladderfe.errors import ModelError

__all__ = [
    "OPEN_ROOT_LOSS", "Butt", "butt_throat", "fillet_size_rules", "full_run", "long_lap_factor",
    "stitch_factor", "stitch_rules", "stitch_warnings", "stitched_run",
]

WHERE: Final = "weld"
#: mm that a butt weld from one side without backing or root run is short of the plate (EN 1993-1-8 4.7.3 takes 2 mm
#: off the prepared depth of T-butts unless trials show more; taken here for all such butts; value from memory).
OPEN_ROOT_LOSS: Final = 2.0
Butt = Literal["both sides", "backing strip", "root run", "one side"]
SCOPE: Final = Rule(name="plate thickness", bound="at least", limit=4.0, source="scope of EN 1993-1-8, 4.1",
                   status=MEMORY)
THROAT: Final = Rule(name="throat", bound="at least", limit=3.0, source="EN 1993-1-8 4.5.2", status=MEMORY)
LAP: Final = "lap of the plates"


def fillet_size_rules(
    throat: float, length: float, thinner: float, lap: float | None = None, of: str = "plate"
) -> tuple[Broken, ...]:
    """Rules of size that a fillet weld breaks; all in mm, `length` over which it has its full throat.

    Throat at least 3 mm, length at least 30 mm and 6 a; a weld that is shorter carries no force by the standard.
    Plates below 4 mm are outside of the standard's scope (thin sheet is EN 1993-1-3's), which is told too: on a 3 mm
    wall a leg of the wall's thickness has a throat of 2.1 mm, and the rules of the standard cannot be kept.  `lap`:
    overlap of the plates, at least 5 t and 25 mm (EN 1993-1-8 has 4 t; value from memory of the trade).  `of`: what the
    thinner one is, for the sentence.
    """
    a = float(positive(WHERE, "the throat", throat))
    t = float(positive(WHERE, "the thinner plate's thickness", thinner))
    run = float(positive(WHERE, "the length", length))
    least = Rule(name="length of the weld", bound="at least", limit=max(30.0, 6 * a), source="EN 1993-1-8 4.5.1",
                 status=MEMORY)
    checked = [(replace(SCOPE, name=f"{of} thickness"), t), (THROAT, a), (least, run)]
    if lap is not None:
        five = Rule(name=LAP, bound="at least", limit=max(25.0, 5 * t), source="trade", status=MEMORY)
        checked.append((five, float(positive(WHERE, "the lap", lap))))
    return broken(*checked)


def full_run(run: float, throat: float) -> float:
    """Mm of a run that have the full throat: its length less twice the throat at its ends (EN 1993-1-8 4.5.1, from
    memory).  ModelError where nothing is left."""
    a, length = float(positive(WHERE, "the throat", throat)), float(positive(WHERE, "the run", run))
    if length <= 2 * a:
        raise ModelError(WHERE, f"a run of {length:g} mm has nowhere its full throat of {a:g} mm",
                         f"Give runs longer than {max(30.0, 6 * a):g} mm, or a continuous weld")
    return length - 2 * a


def stitched_run(run: float, throat: float, needed: float) -> float:
    """`full_run` at the throat a stitched weld has, or at what it needs if that is more, for then its ends take more.

    needed : throat times mm of run that the force of one pitch asks for, mm^2.  a (run - 2 a) = needed gives the throat
    that will do; where none does, at a quarter of the run, with which a run carries most.
    """
    will_do = (run - sqrt(max(run**2 - 8 * needed, 0.0))) / 4
    return full_run(run, max(throat, will_do))


def stitch_factor(run: npt.ArrayLike, pitch: npt.ArrayLike) -> Array:
    """Pitch over run, by which the mean line force grows where a weld is stitched: runs of `run` mm at `pitch` mm.

    By statics; the run's ends have no full throat, so give the run without them (`full_run`).  ModelError where runs
    overlap.
    """
    length, step = positive(WHERE, "the run", run), positive(WHERE, "the pitch", pitch)
    if np.any(length > step):
        raise ModelError(WHERE, f"the run of {np.max(length):g} mm is longer than the pitch of {np.min(step):g} mm",
                         "Give the pitch from the middle of one run to the middle of the next, or a continuous weld")
    out: Array = step / length
    return out


def stitch_rules(run: float, pitch: float, thinner: float, width: float) -> tuple[Broken, ...]:
    """Rules of EN 1993-1-8 4.3.2.2 that a stitched weld breaks: gaps of at most 12 t, b/4 and 200 mm; end runs 3/4 b.

    `width` b : of the narrower part between its two welds, mm; the end runs are taken to be as long as the others.  The
    gap's limit is that for parts in compression or shear, the tighter of the two; values from memory.
    """
    stitch_factor(run, pitch)
    t = float(positive(WHERE, "the thinner plate's thickness", thinner))
    b = float(positive(WHERE, "the plate's width", width))
    source = "EN 1993-1-8 4.3.2.2"
    gap = Rule(name="gap between runs", bound="at most", limit=min(12 * t, 0.25 * b, 200.0), source=source,
               status=MEMORY)
    end = Rule(name="length of the end runs", bound="at least", limit=0.75 * b, source=source, status=MEMORY)
    return broken((gap, pitch - run), (end, run))


def stitch_warnings(*, wet: bool = True, repair: bool = True, fatigue: bool = True) -> tuple[str, ...]:
    """Why stitch welds are out of place here; nothing where none of these holds.

    wet : rain or road salt reaches the joint.  repair : it replaces metal that was rusted.  fatigue : loads vary.
    """
    told = (
        (wet, f"the gaps let water between the plates: no stitch welds in the wet (EN 1993-1-8 4.3.2.2; {MEMORY})"),
        (repair, "inspectors of some countries take stitched patches only where the original panel was spot-welded and "
                 "has been removed: weld repairs all round (inspection manual as a magazine quotes it)"),
        (fatigue, f"every run has two ends where cracks start: category 80 and not 100 (EN 1993-1-9; {MEMORY})"),
    )  # fmt: skip
    return tuple(sentence for holds, sentence in told if holds)


def long_lap_factor(length: npt.ArrayLike, throat: npt.ArrayLike) -> Array:
    """(...) beta_Lw = 1.2 - 0.2 L/(150 a), at most 1: what is left of the resistance of side fillets on a long lap.

    EN 1993-1-8 4.11, from memory.  For laps that pass the force of one plate to another; not where the flow along the
    weld follows that of the member beside it, as along a cover plate.  Never below 0.
    """
    length = positive(WHERE, "the length", length)
    a = positive(WHERE, "the throat", throat)
    return np.clip(1.2 - 0.2 * length / (150 * a), 0.0, 1.0)


def butt_throat(thinner: npt.ArrayLike, made: Butt, penetration: npt.ArrayLike | None = None) -> Array:
    """Throat in mm that a butt weld counts with: the thinner plate's thickness if it fuses all through it.

    Parameters
    ----------
    thinner
        Thickness of the thinner plate in mm, as measured.
    made
        "both sides", "backing strip" or "root run" (a second run from the back): full penetration.  "one side":
        welded from one side on an open root that nobody saw, OPEN_ROOT_LOSS less, at least 0.
    penetration
        For "one side": mm that trials show to be reached every time, in place of that.
    """
    t = positive(WHERE, "the thinner plate's thickness", thinner)
    if made not in get_args(Butt):
        raise unknown("butt weld", made, get_args(Butt))
    if made != "one side":
        return t
    if penetration is None:
        return np.maximum(t - OPEN_ROOT_LOSS, 0.0)
    return np.minimum(numbers(WHERE, "the penetration", penetration, 0.0), t)
