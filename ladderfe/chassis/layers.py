"""Tables of a file in which every entry knows where it was written, so that one file can be laid over another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from ladderfe.chassis.lines import Lines, Path

__all__ = ["Entry", "grown", "lines_of", "named", "raw_of", "together"]


@dataclass(frozen=True, slots=True)
class Entry:
    """A plain value, a table (dict of entries) or a list (of entries), and where it was written."""

    value: Any
    file: str
    line: int

    @property
    def is_table(self) -> bool:
        return isinstance(self.value, dict)

    @property
    def is_list(self) -> bool:
        return isinstance(self.value, list)

    def get(self, key: str) -> Entry | None:
        """What a table has at a key; None where it has nothing or this is no table."""
        found: Entry | None = self.value.get(key) if self.is_table else None
        return found


def grown(raw: Any, lines: Lines, file: str, path: Path = ()) -> Entry:
    """The entries of what was read from a file."""
    value = raw
    if isinstance(raw, Mapping):
        value = {k: grown(v, lines, file, (*path, k)) for k, v in raw.items()}
    elif isinstance(raw, list):
        value = [grown(v, lines, file, (*path, i)) for i, v in enumerate(raw)]
    return Entry(value, file, lines.of(path))


def raw_of(entry: Entry) -> Any:
    """Plain tables, lists and values of entries."""
    if entry.is_table:
        return {k: raw_of(v) for k, v in entry.value.items()}
    return [raw_of(v) for v in entry.value] if entry.is_list else entry.value


def lines_of(entry: Entry) -> Lines:
    """Line and file of everything in an entry."""
    lines = Lines({}, {})
    for path, inner in _walk(entry, ()):
        lines.table[path] = inner.line
        lines.files[path] = inner.file
    return lines


def _walk(entry: Entry, path: Path) -> Iterator[tuple[Path, Entry]]:
    inner = entry.value.items() if entry.is_table else enumerate(entry.value) if entry.is_list else ()
    for key, value in inner:
        yield (*path, key), value
        yield from _walk(value, (*path, key))


def together(under: Entry, over: Entry) -> Entry:
    """`over` laid on `under`: tables entry by entry, anything else instead; the place is that of `over`."""
    if not (under.is_table and over.is_table):
        return over
    value = dict(under.value)
    for key, entry in over.value.items():
        value[key] = together(value[key], entry) if key in value else entry
    return Entry(value, over.file, over.line)


def named(entry: Entry) -> str:
    """The name that a table gives itself, as it is read; "" where it gives none."""
    name = entry.get("name")
    return " ".join(name.value.split()) if name is not None and isinstance(name.value, str) else ""
