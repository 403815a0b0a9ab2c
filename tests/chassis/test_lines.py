"""The line scanner beside tomllib: the same keys, and the lines on which they were written."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.chassis.lines import scan

NASTY = """\
# comment = 1
title = QQQ
first = 1
'' two' QQQ
"quoted key" = 'x # no comment'  # comment

[a.b]
list = [1, 2,
  # between
  [3, { deep = 4 }], { one = 1, two.three = 2 },

  "]",
]
text = QQQ
]QQQ' # ends with a quote of its own
"esc\\"aped\\u0041" = "a\\\\"

[[parts]]
name = "first"
[[parts.holes]]
x = 1
[[parts]]
name = "second"
[[parts.holes]]
x = 2
[[parts.holes]]
x = 3
[parts.holes.rim]
wide = true
[a]
late = 1979-05-27 07:32:00
""".replace("QQQ", "'''")


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_a_nasty_file(newline):
    lines = scan(NASTY.replace("\n", newline))
    expected = {
        ("title",): 2, ("quoted key",): 5, ("a", "b"): 7, ("a", "b", "list"): 8, ("a", "b", "list", 0): 8,
        ("a", "b", "list", 1): 8, ("a", "b", "list", 2): 10, ("a", "b", "list", 2, 0): 10,
        ("a", "b", "list", 2, 1): 10, ("a", "b", "list", 2, 1, "deep"): 10, ("a", "b", "list", 3): 10,
        ("a", "b", "list", 3, "one"): 10, ("a", "b", "list", 3, "two"): 10, ("a", "b", "list", 3, "two", "three"): 10,
        ("a", "b", "list", 4): 12, ("a", "b", "text"): 14, ("a", "b", 'esc"apedA'): 16, ("parts",): 18,
        ("parts", 0): 18, ("parts", 0, "name"): 19, ("parts", 0, "holes"): 20, ("parts", 0, "holes", 0): 20,
        ("parts", 0, "holes", 0, "x"): 21, ("parts", 1): 22, ("parts", 1, "name"): 23, ("parts", 1, "holes"): 24,
        ("parts", 1, "holes", 0): 24, ("parts", 1, "holes", 0, "x"): 25, ("parts", 1, "holes", 1): 26,
        ("parts", 1, "holes", 1, "x"): 27, ("parts", 1, "holes", 1, "rim"): 28,
        ("parts", 1, "holes", 1, "rim", "wide"): 29, ("a",): 30, ("a", "late"): 31,
    }  # fmt: skip
    assert lines.table == expected
    assert set(lines.table) == paths_of(tomllib.loads(NASTY))


def test_what_is_not_written_out_falls_back():
    lines = scan("\n[x.y]\nz = 1\n")
    assert lines.of(("x",)) == 2  # only implied by the header
    assert lines.of(("x", "y", "missing")) == 2
    assert lines.of(("missing",)) == 1


def paths_of(node, path=()):
    """Every path of keys and indices in parsed TOML."""
    found = {path} - {()}
    for key, value in node.items() if isinstance(node, dict) else enumerate(node) if isinstance(node, list) else ():
        found |= paths_of(value, (*path, key))
    return found


KEYS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=5) | st.sampled_from(
    ["a", "b", "a.b", "", '"', "'", "#", "]"]
)
TEXTS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\r"), max_size=12) | st.text(
    "\"'\\\n#]}=,[ a", max_size=8
)
SCALARS = st.integers(-99, 99) | st.floats(allow_nan=False, allow_infinity=False) | st.booleans() | TEXTS


class Writer:
    """Writes data as TOML in freely chosen ways and notes on which line each key was written."""

    def __init__(self, data):
        self.data, self.text, self.lines = data, "", {}

    def pick(self, *choices):
        return self.data.draw(st.sampled_from(choices))

    @property
    def line(self):
        return self.text.count("\n") + 1

    def blank(self):
        self.text += self.pick("", "", " ", "\t")

    def gap(self):
        """Blank space where line breaks and comments may stand."""
        self.text += self.pick("", "", " ", "\n", " # ]}\"'''\n", "\n\n\t")

    def key(self, key):
        bare = key and all(c.isascii() and (c.isalnum() or c in "-_") for c in key)
        literal = "'" not in key
        style = self.pick(*(["bare"] if bare else []), *(["literal"] if literal else []), "basic")
        self.text += {"bare": key, "literal": f"'{key}'", "basic": self.basic(key)}[style]

    @staticmethod
    def basic(text):
        short = {'"': '\\"', "\\": "\\\\", "\n": "\\n"}
        return (
            '"' + "".join(short.get(c) or (f"\\u{ord(c):04X}" if ord(c) < 32 or c == "\x7f" else c) for c in text) + '"'
        )

    def value(self, path, value):
        if isinstance(value, dict):
            self.inline(path, value)
        elif isinstance(value, list):
            self.array(path, value)
        elif isinstance(value, str):
            self.string(value)
        else:
            self.text += str(value).lower() if isinstance(value, bool) else repr(value)

    def string(self, text):
        plain = all(ord(c) >= 32 and c != "\x7f" for c in text.replace("\n", "").replace("\t", ""))
        styles = ["basic"]
        if plain and "\\" not in text and '"""' not in text and not text.startswith("\n"):
            styles.append("long")
        if plain and "'''" not in text and not text.startswith("\n"):
            styles.append("long literal")
        style = self.pick(*styles)
        first = self.pick("", "\n") if style != "basic" else ""
        self.text += {
            "basic": self.basic(text),
            "long": f'"""{first}{text}"""',
            "long literal": f"'''{first}{text}'''",
        }[style]

    def array(self, path, items):
        self.text += "["
        self.gap()
        for i, item in enumerate(items):
            self.lines[*path, i] = self.line
            self.value((*path, i), item)
            self.gap()
            if i + 1 < len(items) or self.pick(True, False):
                self.text += ","
                self.gap()
        self.text += "]"

    def inline(self, path, table):
        self.text += "{"
        self.blank()
        for i, (key, value) in enumerate(table.items()):
            self.text += ", " if i else ""
            self.pair(path, key, value)
        self.blank()
        self.text += "}"

    def pair(self, path, key, value):
        self.lines[*path, key] = self.line
        self.key(key)
        while isinstance(value, dict) and len(value) == 1 and self.pick(True, False):  # a dotted key
            path, (key, value) = (*path, key), next(iter(value.items()))
            self.blank()
            self.text += "."
            self.blank()
            self.lines[*path, key] = self.line
            self.key(key)
        self.blank()
        self.text += "="
        self.blank()
        self.value((*path, key), value)

    def table(self, path, keys, table):
        """A table's own pairs first, then tables under headers of their own."""
        later = []
        for key, value in table.items():
            tables = isinstance(value, dict) or (
                isinstance(value, list) and value and all(isinstance(v, dict) for v in value)
            )
            if tables and self.pick(True, False):
                later.append((key, value))
            else:
                self.blank()
                self.pair(path, key, value)
                self.text += self.pick("\n", " # x = 1\n", "\n\n")
        for key, value in later:
            for i, one in enumerate(value if isinstance(value, list) else [value]):
                place = (*path, key, i) if isinstance(value, list) else (*path, key)
                self.lines.setdefault((*path, key), self.line)
                self.lines[place] = self.line
                self.header([*keys, key], "[[" if isinstance(value, list) else "[")
                self.table(place, [*keys, key], one)

    def header(self, keys, opening):
        self.text += opening
        for i, key in enumerate(keys):
            self.text += "." if i else ""
            self.blank()
            self.key(key)
            self.blank()
        self.text += {"[": "]", "[[": "]]"}[opening] + self.pick("\n", "  # end\n")


NAMES = st.sampled_from("abc") | KEYS
TABLES = st.recursive(
    SCALARS | st.lists(SCALARS, max_size=3),
    lambda v: (
        st.lists(v, max_size=3)
        | st.dictionaries(NAMES, v, max_size=3)
        | st.lists(st.dictionaries(NAMES, v, max_size=3), max_size=3)
    ),
    max_leaves=12,
)
TREES = st.dictionaries(NAMES, TABLES, max_size=4)


@settings(max_examples=100, deadline=None)
@given(TREES, st.data())
def test_every_key_is_found_on_its_line(tree, data):
    writer = Writer(data)
    writer.table((), [], tree)
    assert tomllib.loads(writer.text) == tree  # the writer writes what it was given
    assert scan(writer.text).table == writer.lines
    assert set(writer.lines) == paths_of(tree)
