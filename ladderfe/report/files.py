"""Writing results: whole or not at all, and never over a file of the user's unasked."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from ladderfe.errors import ModelError

__all__ = ["OutputError", "write_whole"]


class OutputError(ModelError):
    """A result that cannot be written where it was wanted."""


def write_whole(path: str | os.PathLike[str], data: bytes | str, overwrite: bool = False) -> Path:
    """Write a file so that it is there whole or not at all; text is written as UTF-8.

    The data go to a hidden file in the same folder (made if it is missing), which then takes the name in one step: a
    reader never sees half a file, and what was there stays if anything goes wrong.  Returns the path.

    Raises
    ------
    OutputError
        The file is there and `overwrite` was not asked for, the path is a folder, or the system refuses.
    """
    target = Path(path)
    if target.is_symlink():
        target = target.resolve()
    if target.is_dir():
        raise OutputError(str(path), "is a folder", "Name a file in it")
    if target.exists() and not overwrite:
        raise _there(path)
    part = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with open(part, "xb") as file:
            file.write(data.encode() if isinstance(data, str) else data)
        if not _take_name(part, target, overwrite):
            raise _there(path)
    except OSError as error:
        reason = error.strerror or type(error).__name__
        raise OutputError(str(path), f"cannot be written ({reason})", "Choose another folder or file name") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return Path(path)


def _there(path: str | os.PathLike[str]) -> OutputError:
    return OutputError(str(path), "is there already", "Choose another name, or ask for it to be overwritten")


def _take_name(part: Path, target: Path, overwrite: bool) -> bool:
    """Give the finished file its name; without `overwrite` a file that appeared meanwhile is kept: then False."""
    if not overwrite:
        try:
            os.link(part, target)
            return True
        except OSError:  # the name is taken, or the file system has no links
            if target.exists():
                return False
    os.replace(part, target)
    return True
