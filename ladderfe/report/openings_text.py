"""What every page says of holes beside that their wall is gone: joints, diaphragms and angles that are left."""

from __future__ import annotations

from collections.abc import Iterable

from ladderfe.checks import Utilisation
from ladderfe.condition import Found, angles_left, joints_beside, near_hole, plates_in_openings
from ladderfe.condition.openings import as_channel

__all__ = ["NEAR", "NEAR_WORDS", "is_near", "opening_words"]

#: Sign of a utilisation near a hole, and what it means.
NEAR = "~"
NEAR_WORDS = (
    "~ within one rail depth of a hole's rim: stress is rough there, as the beam does not know the hole's corners and "
    "walls bend across beside it. Measure and judge the place itself; strengthening it or letting in new metal removes "
    "the question."
)

CHANNEL = "as between the flanges of a channel of these walls, of which there are no data: far from sure"


def opening_words(found: Found) -> list[str]:
    """A sentence or two for each kind of place; none where there is none."""
    return [*_joints(found), *_plates(found), *_angles(found)]


def is_near(found: Found, u: Utilisation) -> bool:
    """Whether a utilisation lies in a hole of a rail or within one rail depth of its rim."""
    return u.kind == "rail" and near_hole(found, u.side, u.along)


def _joints(found: Found) -> list[str]:
    boxed, channels = list[str](), list[str]()
    for hole, joint in joints_beside(found):
        at_wall = f"{joint.side} rail at {joint.station:g} mm, where a hole takes the {hole.wall} wall"
        (channels if as_channel(found, joint) else boxed).append(f"{joint.name} ({at_wall})")
    out = []
    if boxed:
        out.append(f"ASSUMED: {_listed(boxed)}: the joint is estimated as on the whole box: too stiff.")
    if channels:
        out.append(f"ASSUMED: {_listed(channels)}: the joint is estimated {CHANNEL}.")
    return out


def _plates(found: Found) -> list[str]:
    plates = plates_in_openings(found)
    if not plates:
        return []
    names = _listed(f"{_called(d.name)} ({d.side} rail at {d.station:g} mm)" for d in plates)
    return [
        f"ASSUMED: {names}: a wall of the box is gone there, and the plate counts as holding nothing; in truth it "
        "still holds the walls that are left."
    ]


def _angles(found: Found) -> list[str]:
    places = [f"{side} rail from {a:g} to {b:g} mm" for side, a, b in angles_left(found)]
    if not places:
        return []
    return [
        f"CAUTION: two neighbouring walls are gone, an angle is left: {_listed(places)}. The beam takes the section as "
        "held in shape at both ends of such a stretch and knows no warping of an angle: beside it the rail reads too "
        "stiff in twist, and stress in twist there reads low."
    ]


def _called(name: str) -> str:
    return name if "diaphragm" in name else f"diaphragm {name}"


def _listed(words: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(words))
