"""Slot and plug welds: slots through one part, welded to the part behind it, filled or with a fillet round their edge.

A slot is `length` mm over all and `width` mm wide with round ends; a round hole is as long as it is wide.  They carry
shear between the two parts and nothing that pulls these apart.

Sources, all formulas and values from memory, text not seen: EN 1993-1-8 4.3.5 and 4.6 (plug welds: the hole's area
times f_vw,d, at least 8 mm wider than the part is thick), 4.3.3 (fillets in holes, at least 4 thicknesses wide); AISC
360 J2.2b and J2.3b (length of a fillet in a slot, at most the hole's area; slots at least two lengths apart, at most 10
thicknesses long).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, sqrt
from typing import Final

import numpy as np
import numpy.typing as npt

from ladderfe.connections.inputs import COMMON, MEMORY, Array, positive, vectors
from ladderfe.connections.rules import Broken, Rule, broken
from ladderfe.errors import ModelError

__all__ = ["SlotForces", "plug_strength", "slot_area", "slot_fillet_strength", "slot_forces", "slot_girth",
           "slot_rules"]  # fmt: skip

WHERE: Final = "slot weld"
PLUG: Final = "EN 1993-1-8 4.3.5"
#: How much wider than the part that has it a hole to be filled must be, mm (EN 1993-1-8 4.3.5, from memory).
WIDER: Final = 8.0
#: Filled slots of so many widths are let be on walls too thin for the rule (common practice, no source).
USUAL: Final = 3.0
#: A component that slots leave, as part of the whole load, below which it is rounding.
LEFT: Final = 1e-6
#: Singular values below this part of the greatest are none; so much less ready is contact for forces than for couples.
SMALL: Final = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class SlotForces:
    """force (c, n, 2) N on the inner part in each slot, along x and along its wall; held (6,): which of Fx Fy Fz Mx My
    Mz nothing is left of for contact of parts that fit closely."""

    force: Array
    held: npt.NDArray[np.bool_]

    @property
    def size(self) -> Array:
        """(c, n) N."""
        out: Array = np.linalg.norm(self.force, axis=-1)
        return out


def slot_forces(at: npt.ArrayLike, way: npt.ArrayLike, load: npt.ArrayLike) -> SlotForces:
    """Shear in slots that hold a part inside another one, as an elastic group: the part stiff, all slots alike.

    Statics with the usual elastic sharing of bolt groups (any text on structural steel), in three dimensions.  What
    slots cannot hold by where they are is left to contact, as a couple where that does, so that they keep the force.

    Parameters
    ----------
    at
        (n, 3) mm, the slots' middles from the point that the load is taken about.
    way
        (n, 3) unit vectors along the wall and square to x: a slot holds along x and along this.
    load
        (c, 6) N and N mm on the part: Fx Fy Fz Mx My Mz.
    """
    place, along = vectors(WHERE, "a slot's place", at, 3), vectors(WHERE, "a wall's direction", way, 3)
    w = vectors(WHERE, "the load", load, 6)
    lever = max(float(np.abs(place).max(initial=0.0)), 1.0)
    x = np.broadcast_to([1.0, 0.0, 0.0], place.shape)
    rows = [np.concatenate([v, np.cross(place, v) / lever], axis=1) for v in (x, along)]
    b = np.stack(rows, axis=1).reshape(-1, 6)
    scaled = w / [1, 1, 1, lever, lever, lever]
    to_contact = _contact(b)
    force = -(scaled - scaled @ to_contact.T) @ np.linalg.pinv(b.T, rcond=SMALL).T
    held = np.abs(to_contact).max(axis=1) < LEFT
    return SlotForces(force.reshape(len(w), len(place), 2), held)


def _contact(b: Array) -> Array:
    """(6, 6) what contact takes of unit loads, from the slots' directions (2 n, 6): no more than makes them hold the
    rest, by couples before forces."""
    _, size, ways = np.linalg.svd(b, full_matrices=True)
    free = ways[int((size > SMALL * max(size.max(initial=0.0), 1.0)).sum()) :].T  # movements that no slot hinders
    ready = np.diag([SMALL] * 3 + [1.0] * 3)
    out: Array = ready @ free @ np.linalg.solve(free.T @ ready @ free, free.T)
    return out


def slot_girth(length: npt.ArrayLike, width: npt.ArrayLike) -> Array:
    """Length of a slot's edge, mm; ModelError where it is shorter than wide."""
    long, wide = _sizes(length, width)
    return 2 * (long - wide) + pi * wide


def slot_area(length: npt.ArrayLike, width: npt.ArrayLike) -> Array:
    """Area of a slot, mm2; ModelError where it is shorter than wide."""
    long, wide = _sizes(length, width)
    return (long - wide) * wide + pi * wide**2 / 4


def plug_strength(length: npt.ArrayLike, width: npt.ArrayLike, strength: npt.ArrayLike) -> Array:
    """Shear in N that one filled slot carries: its area times the strength, MPa."""
    return slot_area(length, width) * positive(WHERE, "the strength", strength)


def slot_fillet_strength(
    length: npt.ArrayLike, width: npt.ArrayLike, throat: npt.ArrayLike, strength: npt.ArrayLike
) -> Array:
    """Shear in N that a fillet round the edge of one slot carries: throat a times the line through the throat's middle,
    at most the slot's area, times the strength, MPa."""
    a = positive(WHERE, "the throat", throat)
    line = slot_girth(length, width) - pi * a / sqrt(2)
    out: Array = np.minimum(np.maximum(line, 0.0) * a, slot_area(length, width))
    return out * positive(WHERE, "the strength", strength)


def slot_rules(length: float, width: float, pitch: float, wall: float, *, filled: bool) -> tuple[Broken, ...]:
    """Rules of size and place that slots in a wall of that thickness break; all in mm."""
    t = float(positive(WHERE, "the wall's thickness", wall))
    _sizes(length, width)
    wide = _rule("at least", t + WIDER, PLUG) if filled else _rule("at least", 4 * t, "EN 1993-1-8 4.3.3")
    apart = _rule("at least", 2 * length, "AISC 360 J2.3b", "distance of slots from middle to middle")
    far = _rule("at most", 200.0, f"{PLUG} with Table 3.3", apart.name)
    checked = [(wide, width), (apart, pitch), (far, pitch)]
    if filled and length > width:
        most = max(10 * t, USUAL * width)
        checked.append((_rule("at most", most, "AISC 360 J2.3b: 10 thicknesses; on thin walls 3 widths are let be",
                              "length of a filled slot", f"{MEMORY}; the 3 widths are {COMMON}"), length))  # fmt: skip
    return broken(*checked)


def _rule(bound: str, limit: float, source: str, name: str = "width of the slots", status: str = MEMORY) -> Rule:
    return Rule(name=name, bound=bound, limit=limit, source=source, status=status)  # type: ignore[arg-type]


def _sizes(length: npt.ArrayLike, width: npt.ArrayLike) -> tuple[Array, Array]:
    long, wide = positive(WHERE, "the slot's length", length), positive(WHERE, "the slot's width", width)
    if np.any(long < wide * (1 - 1e-9)):
        raise ModelError(
            WHERE,
            f"it is {float(np.min(long)):g} mm long and {float(np.max(wide)):g} mm wide",
            "Give its length over all, at least its width; a round hole is as long as wide",
        )
    return long, wide
