r"""The files that a record was made from, carried in it so that everything can be worked out again.

They stand in one `<script type="application/json" id="inputs">` block: {"options": {...}, "files": [{"name", "sha256",
"text"}, ...]}, in which "<" is written as \u003c, so that no text can end the block.  A file that is no UTF-8 has
"base64" instead of "text".  `inputs_of` reads them back and compares the sums.
"""

from __future__ import annotations

import base64
import json
import os
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path, PurePosixPath
from typing import Any

from ladderfe.errors import ModelError

__all__ = ["InputFile", "inputs_json", "inputs_of", "read_inputs", "script_json"]

BLOCK = re.compile(r'<script type="application/json" id="inputs">(.*?)</script>', re.DOTALL)


@dataclass(frozen=True, slots=True)
class InputFile:
    """A file that was read: its name beside the others, with / between folders, and its bytes."""

    name: str
    data: bytes

    @property
    def sha256(self) -> str:
        """SHA-256 of the bytes (FIPS 180-4), in hexadecimal digits."""
        return sha256(self.data).hexdigest()

    @property
    def text(self) -> str | None:
        """The bytes as UTF-8 text; None where they are none."""
        try:
            return self.data.decode("utf-8")
        except UnicodeDecodeError:
            return None

    @property
    def shown(self) -> str:
        """The text to be looked at: without byte order mark, strange bytes replaced."""
        return self.data.decode("utf-8", errors="replace").removeprefix("\ufeff")


def read_inputs(paths: Sequence[Path]) -> tuple[InputFile, ...]:
    """The files by their places beside each other; what lies above the folder they share is not told."""
    full = [p.resolve() for p in paths]
    home = Path(os.path.commonpath([p.parent for p in full]))
    return tuple(InputFile(p.relative_to(home).as_posix(), p.read_bytes()) for p in full)


def script_json(data: Any) -> str:
    """JSON that may stand in a script block: no sign of HTML in it; the same data give the same text."""
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    for sign in "<>&\u2028\u2029":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return text.encode("utf-8", errors="backslashreplace").decode("utf-8")


def inputs_json(files: Sequence[InputFile], options: Mapping[str, Any]) -> str:
    """The contents of the block."""
    told = []
    for f in files:
        text = f.text
        own = {"base64": base64.b64encode(f.data).decode()} if text is None else {"text": text}
        told.append({"name": f.name, "sha256": f.sha256, **own})
    return script_json({"options": dict(options), "files": told})


def inputs_of(page: str, source: str) -> tuple[tuple[InputFile, ...], dict[str, Any]]:
    """The files and the options in a record's HTML text; `source` names it.

    Raises
    ------
    ModelError
        It is no record, a name leads out of a folder or stands there twice, or a file is not what its sum says.
    """
    found = BLOCK.search(page)
    try:
        block = json.loads(found[1]) if found else None
        files = tuple(InputFile(str(f["name"]), _data(f)) for f in block["files"]) if block else ()
        sums = [f["sha256"] for f in block["files"]] if block else []
        options = dict(block.get("options", {})) if block else {}
    except (ValueError, KeyError, TypeError, AttributeError) as error:
        raise ModelError(source, "its block of inputs cannot be read", "Take a report as it was written") from error
    if block is None or not files:
        raise ModelError(source, "holds no inputs", "Name an HTML file that `ladderfe report` wrote")
    for f, told in zip(files, sums, strict=True):
        parts = PurePosixPath(f.name).parts
        hostile = ".." in parts or any(sign in f.name for sign in "\\:") or any(map(_controls, f.name))
        if not parts or f.name.startswith("/") or hostile:
            raise ModelError(source, f"the input {f.name!r} is no name inside of a folder", "Take it out by hand")
        if f.sha256 != told:
            raise ModelError(source, f"the input {f.name!r} was changed: its SHA-256 differs", "Find the first copy")
    _fit_beside_each_other(source, [PurePosixPath(f.name) for f in files])
    arguments = options.get("arguments", [])
    if not isinstance(arguments, list) or not all(isinstance(a, str) for a in arguments):
        raise ModelError(source, "the command that made it cannot be read", "Take a report as it was written")
    if arguments:
        options |= {"arguments": ["".join("\ufffd" if _controls(sign) else sign for sign in a) for a in arguments]}
    return files, options


def _controls(sign: str) -> bool:
    """True for signs that command a terminal instead of being shown (C0, DEL, C1)."""
    return ord(sign) < 32 or 127 <= ord(sign) < 160


def _fit_beside_each_other(source: str, names: Sequence[PurePosixPath]) -> None:
    """ModelError where two are one name, or one is the folder of another: they could not all be written."""
    for n in names:
        if names.count(n) > 1 or any(n in other.parents for other in names):
            raise ModelError(source, f"the input {str(n)!r} stands in it twice, or is the folder of another one",
                             "Take a report as it was written")


def _data(told: Mapping[str, str]) -> bytes:
    return base64.b64decode(told["base64"]) if "base64" in told else told["text"].encode("utf-8")
