"""Placing words: inside the sheet, never over one another, away from the frame where there is room."""

from itertools import combinations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.report.labels import Box, Clutter

SHEET = Box(0, 0, 400, 300)


def empty():
    return Clutter.of(SHEET, np.zeros((300, 400)), [])


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.floats(20, 380), st.floats(20, 280), st.floats(10, 120)), min_size=1, max_size=12))
def test_words_keep_clear_of_one_another(anchors):
    """Whatever the anchors, placed boxes lie in the sheet and do not overlap."""
    clutter = empty()
    boxes = [b for x, y, width in anchors if (b := clutter.place(np.array([x, y]), width, 14.0)) is not None]
    assert all(b.left >= 0 and b.top >= 0 and b.right <= 400 and b.bottom <= 300 for b in boxes)
    assert not any(a.meets(b) for a, b in combinations(boxes, 2))


def test_alone_on_the_sheet_words_stay_close():
    """With nothing in the way the box is at the nearest reach."""
    box = empty().place(np.array([200.0, 150.0]), 60.0, 14.0)
    assert np.hypot(*(box.nearest(np.array([200.0, 150.0])) - (200, 150))) < 20


def test_words_avoid_the_frame_and_lines():
    """Right half covered by the frame, a line above: the words go to the left and below."""
    covered = np.zeros((300, 400))
    covered[:, 200:] = 1.0
    clutter = Clutter.of(SHEET, covered, [np.array([(0.0, 140.0), (400.0, 140.0)])])
    box = clutter.place(np.array([200.0, 150.0]), 60.0, 14.0)
    assert box.right <= 201
    assert box.top >= 143 or box.bottom <= 137


def test_no_room_is_said():
    """Words larger than the sheet find no place."""
    assert empty().place(np.array([200.0, 150.0]), 500.0, 14.0) is None
