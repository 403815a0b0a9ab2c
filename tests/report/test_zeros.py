"""From which zero a bending frame is counted is told in one wording by the page and by pictures, and is true."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.report.frame_scene import frame_scene
from ladderfe.report.movements_text import movements_text
from ladderfe.report.window import window_job
from ladderfe.report.zeros import PICTURE_ZERO, SAG_ZERO


def test_the_page_names_both_zeros(demo_findings):
    words = " ".join(" ".join(movements_text(demo_findings)).split())
    assert SAG_ZERO in words
    assert PICTURE_ZERO in words


def test_the_window_names_its_zero(ladder):
    assert PICTURE_ZERO in window_job(ladder)["heading"]


def test_a_frame_moved_as_a_whole_is_drawn_alike(demo_findings):
    """What is counted has no part of the frame's movement as a whole: 40 mm up and a small turn change nothing."""
    s = demo_findings.solution
    case = s.cases[1].name
    shown = frame_scene(demo_findings, case).greatest_deflection
    moved, start, at = s.movements.copy(), s.frame.start[:-1], s.mesh.nodes
    moved[start + 2] += 40.0 - 1e-3 * at[:, :1]
    moved[start] += 1e-3 * at[:, 2:]
    moved[start + 4] += 1e-3
    again = replace(demo_findings, solution=replace(s, movements=moved))
    assert frame_scene(again, case).greatest_deflection == pytest.approx(shown, rel=1e-6)
    assert not np.allclose(moved, s.movements)
