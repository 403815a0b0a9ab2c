"""Which chassis file was probably meant by the name of one that is not there."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Final

from ladderfe.chassis.faults import closest
from ladderfe.chassis.schema import ChassisFile

__all__ = ["file_meant", "is_chassis"]

#: How alike the names must be spelt, without their endings: "farme" finds "frame", "short" finds "short-4x4".
ALIKE: Final = 0.7


def file_meant(path: Path, leave_out: str = "") -> str:
    """Name of the chassis file in the same folder that is spelt most like `path`, "" where there is none."""
    beside = {p.stem: p for p in sorted(path.parent.glob("*.toml")) if p.name != leave_out}
    while stem := closest(path.stem, beside, ALIKE):
        if _holds_a_chassis(found := beside.pop(stem)):
            return found.name
    return ""


def _holds_a_chassis(file: Path) -> bool:
    try:
        return file.is_file() and is_chassis(tomllib.loads(file.read_text(encoding="utf-8-sig")))
    except (OSError, ValueError, RecursionError):  # not there any more, no text, no TOML
        return False


def is_chassis(tables: dict[str, object]) -> bool:
    """Whether these tables have a key of a chassis file or an overlay."""
    return any(key in tables for key in (*ChassisFile.model_fields, "base"))
