"""What tows, winches, recovers, lifts and supports a vehicle, and how high it stands, in a chassis file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from ladderfe.chassis.assumed import MEMORY, Assumed, Guess
from ladderfe.chassis.drafts import Rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.mount_names import MountNames
from ladderfe.chassis.on_a_line import on_a_line
from ladderfe.chassis.types import Towing
from ladderfe.chassis.uses import Uses
from ladderfe.units import tonnes

__all__ = ["Workshop", "read_standing", "read_towing", "read_workshop"]

NOSE: Final = (0.04, 0.07, 0.10)  # parts of the trailer's mass
RAILS_ABOVE: Final = (450.0, 550.0, 700.0)  # mm above the ground
CENTRE: Final = Guess(
    "height of the whole vehicle's centre of gravity above the ground, as weighed", 600.0, 700.0, 800.0, "mm", MEMORY
)
NEEDS: Final = {
    "trailer": ("coupling", "the mount of the coupling"),
    "nose_weight": ("coupling", "the mount of the coupling"),
    "line_pull": ("winch", "the mount of the winch"),
}


@dataclass(frozen=True, slots=True)
class Workshop:
    """Mounts where the vehicle is lifted and supported; none where the file names none."""

    jack: tuple[str, ...] = ()
    pads: tuple[str, ...] = ()
    stands: tuple[str, ...] = ()


def read_standing(file: Any, rails: Rails, uses: Uses, assumed: Assumed) -> tuple[float, float]:
    """Height of the ground in the heights of the file, and of the centre of gravity above the ground, mm."""
    middle = sum((r.start + r.end) / 2 for r in rails) / 2
    level = sum(r.height(middle) for r in rails) / 2
    low, used, high = (above - level for above in RAILS_ABOVE)
    meaning = "height above the ground of what the file's heights count from: the middle of the rails taken as "
    datum = Guess(f"{meaning}{RAILS_ABOVE[1]:g} mm above it", low, used, high, "mm", MEMORY)
    above = assumed.take_if(uses.level, "height_above_ground", file.height_above_ground, datum)
    return -above, assumed.take_if(uses.level, "centre_of_gravity", file.centre_of_gravity, CENTRE)


def read_towing(faults: Faults, table: Any, names: MountNames, uses: Uses, assumed: Assumed) -> Towing:
    """Coupling, winch and recovery points; faults are noted."""
    if table is None:
        return Towing()
    _check_towing(faults, table, names)
    trailer = table.trailer or 0.0
    nose = table.nose_weight
    if nose is None:
        nose = 0.0
        if trailer and table.coupling:
            low, used, high = (part * trailer for part in NOSE)
            meaning = f"what the trailer's drawbar weighs on the coupling: {100 * NOSE[1]:g} % of its mass"
            nose = assumed.take_if(uses.nose, "towing.nose_weight", None, Guess(meaning, low, used, high, "kg", MEMORY))
    return Towing(
        coupling=names.one(table.coupling),
        trailer=tonnes(trailer),
        nose=tonnes(nose),
        winch=names.all([table.winch] if table.winch else None),
        line_pull=1e3 * (table.line_pull or 0.0),
        recovery=names.all(table.recovery),
    )


def _check_towing(faults: Faults, table: Any, names: MountNames) -> None:
    names.check_one(faults, ("towing", "coupling"), table.coupling)
    names.check_all(faults, ("towing", "winch"), [table.winch] if table.winch else None)
    for key, (other, what) in NEEDS.items():
        if getattr(table, key) is not None and getattr(table, other) is None:
            faults.add(("towing", key), f"has no meaning without {other}", f"Give {other}, {what}, or leave {key} out")
    if table.winch is not None and table.line_pull is None:
        hint = 'Give the rated pull on the winch\'s plate, as in line_pull = "36 kN", or leave winch out'
        faults.add(("towing", "line_pull"), "is missing", hint)
    if table.trailer is not None and table.nose_weight is not None and table.nose_weight >= table.trailer:
        rule = f"must be less than the trailer, {table.trailer:g} kg"
        faults.add(("towing", "nose_weight"), rule, "Give what the drawbar weighs on the coupling, in kg")
    path = ("towing", "recovery")
    names.check_all(faults, path, table.recovery)
    if table.recovery is not None and not 1 <= len(names.all(table.recovery) or table.recovery) <= 2:
        faults.add(path, "must be one or two mounts", 'Write recovery = ["left tow eye", "right tow eye"]')


def read_workshop(faults: Faults, table: Any, names: MountNames) -> Workshop:
    """Where jacks, pads and stands are put; faults are noted."""
    if table is None:
        return Workshop()
    for key, least, most, words in (("jack", 1, 99, ""), ("pads", 4, 4, "four"), ("stands", 3, 99, "three or more")):
        path, given = ("workshop", key), getattr(table, key)
        names.check_all(faults, path, given)
        found = names.all(given)
        if given is None or not all(names.meant(n) for n in given):
            continue
        if not least <= len(found) <= most:
            rule = f"must be {words} mounts" if words else "names no mount"
            faults.add(path, rule, f"Name mounts of this file, or leave {key} out")
        elif least > 1 and on_a_line(names, found):
            faults.add(path, "lie on one line: the vehicle would tip over", "Name mounts on both sides, well apart")
    return Workshop(*(names.all(getattr(table, key)) for key in ("jack", "pads", "stands")))
