"""What every formula of this room asks of its numbers: finite, in shape, within bounds; one sentence if not."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from math import inf

import numpy as np
import numpy.typing as npt

from ladderfe.errors import ModelError

__all__ = ["COMMON", "MEMORY", "Array", "numbers", "positive", "unknown", "vectors"]

Array = npt.NDArray[np.float64]
MEMORY = "value from memory, text not seen"
COMMON = "common practice, no source"


def numbers(where: str, what: str, values: npt.ArrayLike, low: float = -inf, high: float = inf) -> Array:
    """The values as an array of floats; ModelError where one is not finite or not between `low` and `high`, inclusive.

    >>> numbers("weld", "share", [0.25, 0.75], 0, 1)
    array([0.25, 0.75])
    """
    out = np.asarray(values, dtype=np.float64)
    bad = ~(np.isfinite(out) & (out >= low) & (out <= high))
    if bad.any():
        limits = [f"at least {low:g}"] * (low > -inf) + [f"at most {high:g}"] * (high < inf)
        allowed = " and ".join(limits) or "that is finite"
        raise ModelError(where, f"{what} is {out[bad].flat[0]:g}", f"Give a number {allowed}")
    return out


def positive(where: str, what: str, values: npt.ArrayLike) -> Array:
    """The values as an array of floats; ModelError where one is not finite and above 0.  `inf` is not allowed."""
    out = np.asarray(values, dtype=np.float64)
    bad = ~(np.isfinite(out) & (out > 0))
    if bad.any():
        raise ModelError(where, f"{what} is {out[bad].flat[0]:g}", "Give a number above 0")
    return out


def vectors(where: str, what: str, values: npt.ArrayLike, parts: int) -> Array:
    """(..., parts) finite numbers; ModelError where the last axis has another length."""
    out = numbers(where, what, values)
    if out.ndim == 0 or out.shape[-1] != parts:
        raise ModelError(where, f"{what} has the shape {out.shape}", f"Give {parts} numbers on the last axis")
    return out


def unknown(where: str, name: str, known: Iterable[str]) -> ModelError:
    """The error for a name that no table holds, with the nearest one that is there."""
    names = sorted(known)
    close = get_close_matches(name, names, n=1, cutoff=0.5)
    hint = f'Did you mean "{close[0]}"? ' if close else ""
    apart = "; " if any("," in n for n in names) else ", "  # names of cases may have commas of their own
    return ModelError(where, f'"{name}" is not known', f"{hint}Known: {apart.join(names)}")
