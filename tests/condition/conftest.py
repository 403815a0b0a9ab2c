"""A small chassis whose rails have a wall of each kind to read, and the way from a table to its readings."""

from __future__ import annotations

import pytest

from ladderfe.condition import readings_from_text


@pytest.fixture(scope="session")
def stepped(made):
    """The plain ladder on boxes of 150 x 75 x 2.5 mm to 1500, channels (web 4, flanges 3 mm) that open inward to 2500
    and a taper from 150 to 100 mm behind."""
    spans = (
        made.Span(start=0, end=1500, shape=made.box(150, 75, 2.5)),
        made.Span(start=1500, end=2500, shape=made.Channel(depth=150, width=75, web=4, top=3, bottom=3, opens="-y")),
        made.Span(start=2500, end=4000, shape=made.box(150, 75, 2), shape_end=made.box(100, 75, 2)),
    )
    return made.chassis(rails=made.rails(spans=spans))


@pytest.fixture
def read(stepped):
    """From the rows of a table, its first row given or not, to Readings on the stepped chassis."""

    def reader(text, chassis=None, head="side,station,wall,reading,to,rim,note\n"):
        return readings_from_text(head + text, "readings.csv", chassis or stepped)

    return reader
