"""What acts on a group of welds or bolts: forces and moments of many cases at one point."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from ladderfe.connections.inputs import Array, vectors

__all__ = ["Applied"]


@dataclass(frozen=True, slots=True, eq=False)
class Applied:
    """Force (..., 3) N and moment (..., 3) N mm that the attached part brings to the group at the point `at` (3,) mm.

    Axes are the group's own; moments are right-handed.  The leading axes of force and moment are cases and broadcast.
    """

    force: Array
    at: Array
    moment: Array

    @classmethod
    def of(cls, force: npt.ArrayLike, at: npt.ArrayLike, moment: npt.ArrayLike = (0.0, 0.0, 0.0)) -> Applied:
        """From anything like arrays; ModelError where a shape or a number does not do."""
        where = "load on a group"
        return cls(vectors(where, "the force", force, 3), vectors(where, "the point", at, 3),
                   vectors(where, "the moment", moment, 3))

    def about(self, point: Array) -> Array:
        """(..., 3) moment about a point (3,), N mm."""
        out: Array = self.moment + np.cross(self.at - point, self.force)
        return out
