"""From which zero pictures and pages count how far a frame bends, in one wording for both."""

from __future__ import annotations

__all__ = ["PICTURE_ZERO", "SAG_ZERO"]

_SPRINGS = "movement on the springs left out"
#: Of the deflection that pictures draw.
PICTURE_ZERO = f"counted in any direction from the frame's own mean position, {_SPRINGS}"
#: Of the sag of the rails.
SAG_ZERO = f"counted up and down from the straight line between the axles, {_SPRINGS}"
