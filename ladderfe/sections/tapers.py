"""Shapes between two others: the sections of a taper."""

from __future__ import annotations

from dataclasses import fields
from typing import TypeVar

from ladderfe.errors import ModelError
from ladderfe.sections.plated import Plate, Plated, Shape

__all__ = ["between"]

S = TypeVar("S", bound=Shape)


def between(a: S, b: S, s: float) -> S:
    """The shape at the fraction `s` of a taper from `a` to `b`: every size interpolated linearly.

    Raises ModelError when the two are not of one kind, open toward different sides, are plated unlike, or s is outside
    0 to 1.
    """
    if type(a) is not type(b) or not 0 <= s <= 1:
        raise ModelError("taper", f"no {type(a).__name__.lower()} at {s} of the way to a {type(b).__name__.lower()}",
                         "Taper between two shapes of one kind")
    if isinstance(a, Plated) and isinstance(b, Plated):
        if len(a.plates) != len(b.plates):
            raise ModelError("taper", f"it has {len(a.plates)} plates at one end and {len(b.plates)} at the other",
                             "Give both ends the same plates")
        plates = tuple(_plate(*pair, s) for pair in zip(a.plates, b.plates, strict=True))
        return Plated(base=between(a.base, b.base, s), plates=plates)  # type: ignore[return-value]
    return type(a)(**_sizes(a, b, s))  # type: ignore[arg-type]


def _plate(a: Plate, b: Plate, s: float) -> Plate:
    return Plate(**_sizes(a, b, s))  # type: ignore[arg-type]


def _sizes(a: object, b: object, s: float) -> dict[str, float | str | None]:
    """Fields of two dataclasses of one kind at the fraction s between them."""
    sizes: dict[str, float | str | None] = {}
    for field in fields(a):  # type: ignore[arg-type]
        one, other = getattr(a, field.name), getattr(b, field.name)
        if one != other and not all(isinstance(v, float | int) for v in (one, other)):
            raise ModelError("taper", f"{field.name} is {one} at one end and {other} at the other", "Give both alike")
        sizes[field.name] = one if one == other else one + s * (other - one)
    return sizes
