"""Bolts in one row through lapping plates bear at most 1.5 fu d t/gamma_M2 (EN 1993-1-8, 3.6.1(10), from memory)."""

import numpy as np
import pytest

from ladderfe.advice.bolt_uses import _one_row


@pytest.mark.parametrize(("places", "one"), [
    ([(0.0, 0.0)], True),
    ([(0.0, 0.0), (60.0, 0.0)], True),
    ([(0.0, 10.0), (30.0, 30.0), (60.0, 50.0)], True),
    ([(0.0, 0.0), (60.0, 0.0), (60.0, 40.0)], False),
    ([(0.0, 0.0), (60.0, 0.0), (0.0, 40.0), (60.0, 40.0)], False),
])  # fmt: skip
def test_one_row_is_all_holes_on_a_line(places, one):
    assert _one_row(np.array(places)) is one
