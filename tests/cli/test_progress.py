"""What commands tell of how far they are: as a bar on a terminal, else a plain line now and then."""

from __future__ import annotations

import io
import sys

import pytest

from ladderfe.cli.progress import Progress


@pytest.fixture
def told(monkeypatch):
    """A progress with a clock to be set, and where it tells."""

    def make(*, terminal):
        stream, now = io.StringIO(), [0.0]
        monkeypatch.setattr(stream, "isatty", lambda: terminal)
        monkeypatch.setattr(sys, "stderr", stream)
        return Progress(lambda: now[0]), stream, now

    return make


def test_a_file_gets_a_plain_line_now_and_then(told):
    tell, stream, now = told(terminal=False)
    for second in range(13):
        now[0] = float(second)
        tell("draws", second / 13)
    assert stream.getvalue() == (
        "... draws, 38 % done, about 8 s left (5 s)\n... draws, 77 % done, about 3 s left (10 s)\n"
    )


def test_what_is_quick_says_nothing_in_a_file(told):
    tell, stream, now = told(terminal=False)
    tell("solving")
    now[0] = 4.9
    tell("proving")
    assert stream.getvalue() == ""


def test_a_terminal_gets_lines_and_a_bar_in_one_line(told):
    tell, stream, now = told(terminal=True)
    tell("solving")
    tell("draws", 0.1)  # too soon for a bar
    now[0] = 2.0
    tell("draws 1 to 500", 0.5)
    tell("draws", 1.0)
    tell("proving")
    first, bar, last = stream.getvalue().split("\n")[:3]
    assert (first, last) == ("... solving", "... proving")
    _, half, full = bar.split("\r")
    assert half == f"... [{'#' * 15}{' ' * 15}]  50 % draws 1 to 500"
    assert full.rstrip() == f"... [{'#' * 30}] 100 % draws"
    assert len(full) == len(half)  # nothing of the longer line stays


def test_what_is_left_goes_by_the_pace_since_the_share_was_first_told(told):
    """20 s before, 10 s for the first twentieth: 19 times as long for the rest, in minutes; nothing where there is no
    share, and a new count where it begins again."""
    tell, stream, now = told(terminal=False)
    tell("solving")
    for seconds, share in ((20.0, 0.0), (30.0, 0.05), (40.0, None), (50.0, 0.5), (60.0, 0.75)):
        now[0] = seconds
        tell("limits", share)
    assert stream.getvalue().splitlines() == [
        "... limits, 0 % done (20 s)", "... limits, 5 % done, about 3 min left (30 s)", "... limits (40 s)",
        "... limits, 50 % done (50 s)", "... limits, 75 % done, about 10 s left (60 s)",
    ]  # fmt: skip


def test_without_a_stream_nothing_happens(monkeypatch):
    monkeypatch.setattr(sys, "stderr", None)
    Progress(lambda: 0.0)("solving", 0.5)
