"""Values that look unusual: slips of the pen that a file may hold and no rule forbids.

Nothing is refused here and nothing accepted.  A value in its usual range may be wrong, one outside may be right.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from ladderfe.chassis.types import Chassis
from ladderfe.chassis.unusual_cases import unusual_cases, unusual_links
from ladderfe.chassis.unusual_loads import unusual_loads
from ladderfe.chassis.unusual_places import unusual_places
from ladderfe.chassis.unusual_steel import unusual_steel
from ladderfe.chassis.usual import Unusual

__all__ = ["Unusual", "unusual"]

SIDE: Final = re.compile(r"\b(?:left|right)\b")


def unusual(chassis: Chassis) -> tuple[Unusual, ...]:
    """All values of a chassis that look unusual; what is alike left and right is told once.

    Values that were assumed, not given, are left out.
    """
    looks = (unusual_steel, unusual_places, unusual_loads, unusual_links, unusual_cases)
    return _told_once(u for look in looks for u in look(chassis))


def _told_once(found: Iterable[Unusual]) -> tuple[Unusual, ...]:
    known, out = dict.fromkeys(found), []
    for one in known:
        left, right = (replace(one, where=SIDE.sub(side, one.where)) for side in ("left", "right"))
        if left != right and left in known and right in known:
            if one == left:
                out.append(replace(one, where=_both(one.where)))
        else:
            out.append(one)
    return tuple(out)


def _both(where: str) -> str:
    if "left rail" in where:
        return where.replace("left rail", "both rails")
    return where.replace(" left", ", both sides", 1)
