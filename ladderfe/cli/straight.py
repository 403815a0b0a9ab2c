"""Rounds of measuring a frame with tape and level, worked out for its record."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from ladderfe.advice.straightness import Errors, straightness, what_moved
from ladderfe.advice.tolerances import chosen
from ladderfe.chassis import Chassis
from ladderfe.condition.alignment_file import read_alignment
from ladderfe.report.record.straight import Straight

__all__ = ["rounds_of"]


def rounds_of(chassis: Chassis, files: Sequence[Path], names: Sequence[str]) -> Straight | None:
    """The rounds in files, under the names that the record has for these, judged as `ladderfe square` does unless told
    otherwise; None where nothing was measured."""
    if not files:
        return None
    rounds = [replace(read_alignment(f, chassis), source=n) for f, n in zip(files, names, strict=True)]
    limits = chosen("body-over-frame", None, None)
    own = tuple(straightness(chassis, a, limits, Errors()) for a in rounds)
    return Straight(chassis=chassis, rounds=own, moved=tuple(what_moved(chassis, a, b) for a, b in pairwise(own)))
