"""Body load, material, criteria and joints of a chassis file, with the usual ones where the file is silent."""

from __future__ import annotations

from math import inf
from typing import Any, Final

from ladderfe.chassis.assumed import COMMON, MEMORY, Assumed, Guess
from ladderfe.chassis.drafts import SAME, Rails
from ladderfe.chassis.faults import Faults
from ladderfe.chassis.types import Body, Criteria, JointModel, Material

__all__ = ["read_body", "read_criteria", "read_joint_level", "read_joint_model", "read_material"]

BENDING: Final = Guess(
    "permissible bending stress of mild steel",
    132.0,
    165.0,
    172.0,
    "N/mm2",
    f"{COMMON}; range 0.66 x yields of 200 to 260, {MEMORY}",
)
SHEAR: Final = Guess(
    "permissible average shear stress of mild steel",
    80.0,
    100.0,
    104.0,
    "N/mm2",
    f"{COMMON}; range 0.4 x yields of 200 to 260, {MEMORY}",
)
YIELD: Final = Guess(
    "yield stress: unknown, taken as that of plain mild steel",
    200.0,
    235.0,
    260.0,
    "N/mm2",
    f"EN 10025-2 grade S235, {MEMORY}",
)
MODULUS: Final = Guess(
    "modulus of elasticity; moves deflections, hardly stresses", 200_000.0, 205_000.0, 210_000.0, "N/mm2", MEMORY
)
OFFSET: Final = Guess("how far outward from the rails' middle the body's weight acts", 0.0, 0.0, 150.0, "mm", COMMON)
LEVELS: Final = {"low": -1.0, "middle": 0.0, "high": 1.0, "rigid": inf}
LEVEL: Final = Guess(
    "stiffness of joints that the file does not describe, estimated from the walls that meet: "
    "-1 low end, 0 middle, 1 high end of the spread",
    -1.0,
    0.0,
    1.0,
    "level",
    "own studies in solids, no published source",
)
BODY: Final = "station where the body's weight"
LIGHTEST: Final = 500.0  # kg/m3; a smaller density was written in another unit
SAFETY: Final = 1.5  # yield over permissible von Mises stress


def read_material(faults: Faults, table: Any, criteria: Any, assumed: Assumed) -> Material:
    """The steel; its yield stress may stand under [criteria] too."""
    plain = Material()
    density = getattr(table, "density", None)
    if density is not None and 0 < density < LIGHTEST:
        rule = f"must be 0 or at least {LIGHTEST:g} kg/m3"
        faults.add(("material", "density"), rule, 'Steel has 7850; another unit goes in quotes, as in "7.85 t/m3"')
    return Material(
        name=getattr(table, "name", None) or plain.name,
        youngs_modulus=assumed.take("material.youngs_modulus", getattr(table, "youngs_modulus", None), MODULUS),
        poissons_ratio=getattr(table, "poissons_ratio", None) or plain.poissons_ratio,
        density=density * 1e-12 if density is not None else plain.density,
        yield_stress=_yield(table, criteria),
    )


def _yield(table: Any, criteria: Any) -> float | None:
    own = getattr(table, "yield_stress", None)
    return own if own is not None else getattr(criteria, "yield_stress", None)


def read_criteria(faults: Faults, table: Any, material: Any, assumed: Assumed) -> Criteria:
    """Permissible stresses; von Mises is compared with yield over 1.5 unless the file says otherwise."""
    one, other = getattr(material, "yield_stress", None), getattr(table, "yield_stress", None)
    if one is not None and other is not None and one != other:
        faults.add(("criteria", "yield_stress"), f"differs from the {one:g} N/mm2 under [material]", "Give it once")
    stated = {k: getattr(table, k, None) for k in ("bending", "shear", "von_mises")}
    bending = assumed.take("criteria.bending", stated["bending"], BENDING)
    shear = assumed.take("criteria.shear", stated["shear"], SHEAR)
    if stated["von_mises"] is not None:
        von_mises, basis = stated["von_mises"], "von Mises as given"
    else:
        known = _yield(material, table)
        von_mises = assumed.take("material.yield_stress", known, YIELD) / SAFETY
        basis = f"von Mises yield {von_mises * SAFETY:g} over {SAFETY:g}" + (
            "" if known is not None else " (yield unknown)"
        )
    usual = [
        f"{name} {value:g} N/mm2 {COMMON}"
        for name, value in (("bending", bending), ("average shear", shear))
        if stated[name.split()[-1]] is None
    ]
    source = getattr(table, "source", None)
    return Criteria(
        bending=bending,
        shear=shear,
        von_mises=von_mises,
        source="; ".join([*([source] if source else []), *usual, basis]),
    )


def read_body(faults: Faults, table: Any, rails: Rails, assumed: Assumed) -> Body:
    """Where the rest of the weight lies; the whole of the rails when left out."""
    first, last = max(r.start for r in rails), min(r.end for r in rails)
    tenth, source = (last - first) / 10, f"{COMMON}: the rails' ends"
    from_first = Guess(f"{BODY} begins: the rails' front end", first, first, first + tenth, "mm", source)
    to_last = Guess(f"{BODY} ends: the rails' rear end", last - tenth, last, last, "mm", source)
    start = assumed.take("body.from", getattr(table, "start", None), from_first)
    end = assumed.take("body.to", getattr(table, "end", None), to_last)
    linear = getattr(table, "distribution", None) == "linear"
    split, middle, tenth = getattr(table, "split", None), (start + end) / 2, (end - start) / 10
    if split is None and linear:
        split = middle
    in_middle = Guess(f"{BODY} is split: the middle", middle - tenth, middle, middle + tenth, "mm", COMMON)
    split = assumed.take("body.split", split, in_middle)
    offset = assumed.take("body.offset", getattr(table, "offset", None), OFFSET)
    _check_body(faults, (start, split, end), (first, last))
    return Body(
        start=start, end=end, split=split, y=offset, distribution="linear" if linear else "two halves",
        stiffening=getattr(table, "stiffening", None) or 1.0,
    )  # fmt: skip


def _check_body(faults: Faults, reach: tuple[float, float, float], rails: tuple[float, float]) -> None:
    start, split, end = reach
    for key, value in (("from", start), ("to", end)):
        if value < rails[0] - SAME or value > rails[1] + SAME:
            rule = f"lies off the rails, which reach from {rails[0]:g} to {rails[1]:g} mm"
            faults.add(("body", key), rule, f"Leave {key} out for the rails' own end")
    if end <= start:
        rule = f"must be more than where the body begins, {start:g} mm"
        faults.add(("body", "to"), rule, "Give from and to from front to rear")
    elif end > start and (split <= start or split >= end):
        faults.add(("body", "split"), f"must lie between {start:g} and {end:g} mm", "Leave split out for the middle")


def read_joint_level(table: Any, assumed: Assumed, *, estimated: bool) -> float:
    """Where in its spread the estimate of joints is taken; assumed only where some joint is `estimated`."""
    stated = LEVELS.get(getattr(table, "estimate", None) or "")
    return assumed.take("joints.level", stated, LEVEL) if estimated or stated is not None else 0.0


def read_joint_model(table: Any) -> JointModel:
    """What rails and joints do to each other."""
    return "springs" if getattr(table, "model", None) == "springs" else "walls"
