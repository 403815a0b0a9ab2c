"""Which known word is meant: other words of the trade for a wall go before words that only look alike."""

import pytest

from ladderfe.chassis.faults import closest

WALLS = ("top", "bottom", "outer", "inner")


@pytest.mark.parametrize(("word", "meant"), [
    ("lower", "bottom"), ("Upper", "top"), ("underside", "bottom"), ("outside", "outer"), ("inboard", "inner"),
    ("botom", "bottom"), ("oter", "outer"), ("zzz", ""),
])  # fmt: skip
def test_walls(word, meant):
    assert closest(word, WALLS) == meant


def test_other_tables_are_not_touched():
    """Where no such wall is known the word most alike counts."""
    assert closest("lower", ("slower", "tower")) in ("slower", "tower")
