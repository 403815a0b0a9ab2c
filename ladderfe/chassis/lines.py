"""Where each key of a TOML text stands: a scanner beside tomllib, which tells values but no places.

It reads text that tomllib has accepted, so it need not judge: it only walks over keys and values and notes lines.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_left
from dataclasses import dataclass, field
from typing import Final

__all__ = ["Lines", "Path", "scan"]

Path = tuple[str | int, ...]

BLANK: Final = re.compile(r"(?:[ \t\n]+|#[^\n]*)*")
SPACE: Final = re.compile(r"[ \t]*")
KEY: Final = re.compile(r"""[A-Za-z0-9_-]+|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""")
SCALAR: Final = re.compile(
    r'''"""(?:[^"\\]|\\.|"{1,2}(?!"))*"{3,5}|'{3}(?:[^']|'{1,2}(?!'))*'{3,5}'''
    r"""|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'|[^,\]}#\n]+""",
    re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Lines:
    """1-based line of every key and array element of a file, by its path of keys and indices; `files` names the file
    of those that stand in another one (a file laid over another)."""

    table: dict[Path, int]
    files: dict[Path, str] = field(default_factory=dict)

    def of(self, path: Path) -> int:
        """The line of `path`, else of the nearest table above it that is written out, else 1."""
        for end in range(len(path), 0, -1):
            if (line := self.table.get(path[:end])) is not None:
                return line
        return 1

    def file(self, path: Path, own: str) -> str:
        """The file that the line of `path` is in; `own` is the name of the file itself."""
        for end in range(len(path), 0, -1):
            if path[:end] in self.table:
                return self.files.get(path[:end], own)
        return own


def scan(text: str) -> Lines:
    """Lines of all keys, table headers and array elements of valid TOML text.

    A table that is only implied (`x` in `[x.y]`) stands at the first line that implies it.
    """
    return Lines(_Scanner(text.replace("\r\n", "\n")).document())


class _Scanner:
    """Walks once over the text; `at` is the place reached, `table` what was found."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.breaks = [m.start() for m in re.finditer("\n", text)]
        self.table: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # elements so far of each array of tables

    def document(self) -> dict[Path, int]:
        prefix: Path = ()
        self._take(BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                prefix = self._header()
            else:
                self._pair(prefix)
            self._take(BLANK)
        return self.table

    def _take(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        self.at = match.end() if match else self.at + 1
        return match.group() if match else ""

    def _line(self) -> int:
        return bisect_left(self.breaks, self.at) + 1

    def _keys(self) -> list[str]:
        """A key, dotted or not, with the blanks around its parts."""
        keys = []
        while True:
            self._take(SPACE)
            keys.append(_plain(self._take(KEY)))
            self._take(SPACE)
            if self.text[self.at] != ".":
                return keys
            self.at += 1

    def _header(self) -> Path:
        line = self._line()
        repeated = self.text.startswith("[[", self.at)
        self.at += 2 if repeated else 1
        *above, last = self._keys()
        self.at += 2 if repeated else 1
        path: Path = ()
        for key in above:
            path = (*path, key)
            self.table.setdefault(path, line)
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
        path = (*path, last)
        if repeated:
            self.table.setdefault(path, line)
            index = self.counts.get(path, 0)
            self.counts[path] = index + 1
            path = (*path, index)
        self.table[path] = line
        return path

    def _pair(self, prefix: Path) -> None:
        line = self._line()
        *above, last = self._keys()
        self.at += 1  # the equals sign
        for key in above:
            prefix = (*prefix, key)
            self.table.setdefault(prefix, line)
        self.table[*prefix, last] = line
        self._take(SPACE)
        self._value((*prefix, last))

    def _value(self, path: Path) -> None:
        opening = self.text[self.at]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline(path)
        else:
            self._take(SCALAR)

    def _array(self, path: Path) -> None:
        self.at += 1
        self._take(BLANK)
        index = 0
        while self.text[self.at] != "]":
            self.table[*path, index] = self._line()
            self._value((*path, index))
            index += 1
            self._comma()
        self.at += 1

    def _inline(self, path: Path) -> None:
        self.at += 1
        self._take(BLANK)
        while self.text[self.at] != "}":
            self._pair(path)
            self._comma()
        self.at += 1

    def _comma(self) -> None:
        self._take(BLANK)
        if self.text[self.at] == ",":
            self.at += 1
            self._take(BLANK)


def _plain(key: str) -> str:
    """A key without its quotes and escapes."""
    return next(iter(tomllib.loads(f"{key} = 0"))) if key[:1] in {'"', "'"} else key
