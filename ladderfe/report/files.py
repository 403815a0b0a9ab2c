"""Writing results: whole or not at all, and never over a file of the user's unasked."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from types import MappingProxyType

from ladderfe.errors import ModelError

__all__ = ["PNG", "STRANGE", "OutputError", "may_write", "write_folder", "write_whole"]

#: The first bytes of every PNG file (PNG specification, third edition, section 5.2).
PNG = b"\x89PNG\r\n\x1a\n"
#: Names of files may hold bytes that are no UTF-8; where they stand in a text they become question marks.
STRANGE = "replace"
NOTHING: Mapping[str, bytes] = MappingProxyType({})
#: Bytes at the head of a file in which its mark is looked for.
HEAD = 65536


class OutputError(ModelError):
    """A result that cannot be written where it was wanted."""


def may_write(
    path: str | os.PathLike[str], overwrite: bool = False, mark: bytes = b"", inputs: Iterable[Path] = ()
) -> None:
    """Look, before anything is calculated, whether a file may be written.

    Parameters
    ----------
    path
        The file.  Its folder must be there.
    overwrite
        Whether a file that is there already may be replaced.  Only one that is empty or has the `mark` at its head may:
        anything else is no earlier result of the same kind.
    inputs
        Files that were read and must stay as they are.

    Raises
    ------
    OutputError
        With the reason, where it may not be written.
    """
    target = Path(path)
    if target.is_dir():
        raise OutputError(str(path), "is a folder", "Name a file in it")
    if not target.parent.exists():
        raise _no_folder(path, target.parent)
    if not target.parent.is_dir():
        raise OutputError(str(path), f"{target.parent} is a file, not a folder", "Choose another folder")
    if not os.path.lexists(target):
        return
    for file in inputs:
        if file.exists() and target.exists() and os.path.samefile(file, target):
            raise OutputError(str(path), "is a file that was read, and stays as it is", "Choose another name")
    if target.exists() and not target.is_file():
        raise OutputError(str(path), "is a device or the like, no plain file", "Name a file")
    if not overwrite:
        raise _there(path)
    if target.exists() and not _marked(target, mark):
        raise OutputError(
            str(path), "is no earlier result of the same kind, so it is not overwritten", "Choose another name"
        )


def write_whole(path: str | os.PathLike[str], data: bytes | str, overwrite: bool = False, mark: bytes = b"") -> Path:
    """Write a file so that it is there whole or not at all; text is written as UTF-8.

    The data go to a hidden file in the same folder, which then takes the name in one step: a reader never sees half a
    file, and what was there stays if anything goes wrong.  Returns the path.

    Raises
    ------
    OutputError
        `may_write` says no, or the system refuses.
    """
    may_write(path, overwrite, mark)
    target = Path(path)
    if target.is_symlink():
        target = target.resolve()
    part = target.with_name(f".{target.name[:80]}.{secrets.token_hex(4)}.part")
    try:
        with open(part, "xb") as file:
            file.write(data.encode(errors=STRANGE) if isinstance(data, str) else data)
        if not _take_name(part, target, overwrite):
            raise _there(path)
    except OSError as error:
        raise _refused(path, error) from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return Path(path)


def write_folder(folder: Path, fill: Callable[[Path], None], marks: Mapping[str, bytes] = NOTHING) -> list[str]:
    """Fill a hidden folder and then move what is in it to `folder`, over files of the same names.

    Results of an earlier run that this one has none of (`marks`: name -> what such a file has at its head) are taken
    away, for beside the new ones they would be read as belonging to them; returns their names.

    Whatever stops `fill`, be it an error or Ctrl-C, leaves `folder` as it was.  The hidden folder lies beside it, or
    in it where it is there already and may be a disk of its own.  Of the folders above it none is made.

    Raises
    ------
    OutputError
        The folder above is missing, or the system refuses.
    """
    if not folder.parent.is_dir():
        raise _no_folder(folder, folder.parent)
    home = folder if folder.is_dir() else folder.parent
    part = home / f".{folder.name[:80]}.{secrets.token_hex(4)}.part"
    try:
        part.mkdir()
        fill(part)
        if not folder.exists():
            part.rename(folder)
            return []
        made = sorted(part.iterdir())
        for file in made:
            os.replace(file, folder / file.name)
        names = {file.name for file in made}
        left = [n for n, mark in marks.items() if n not in names and _earlier(folder / n, mark)]
        for name in left:
            (folder / name).unlink()
        return left
    except OSError as error:
        raise _refused(folder, error) from error
    finally:
        shutil.rmtree(part, ignore_errors=True)


def _earlier(target: Path, mark: bytes) -> bool:
    """True for a plain file that an earlier run wrote."""
    return target.is_file() and target.stat().st_size > 0 and _marked(target, mark)


def _marked(target: Path, mark: bytes) -> bool:
    try:
        with open(target, "rb") as file:
            head = file.read(HEAD)
    except OSError as error:
        raise _refused(target, error) from error
    return not head or mark in head


def _refused(path: str | os.PathLike[str], error: OSError) -> OutputError:
    reason = error.strerror or type(error).__name__
    return OutputError(str(path), f"cannot be written ({reason})", "Choose another folder or file name")


def _no_folder(path: str | os.PathLike[str], parent: Path) -> OutputError:
    return OutputError(str(path), f"the folder {parent} does not exist", "Make it first, or choose another")


def _there(path: str | os.PathLike[str]) -> OutputError:
    return OutputError(str(path), "is there already", "Choose another name or add --overwrite")


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
