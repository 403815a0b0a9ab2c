"""The window: what its child is given, and the words where there is no display."""

import numpy as np
import pytest

from ladderfe.report.window import WindowError, show, window_job


def test_no_display_is_said_in_words(ladder, monkeypatch):
    """Without a display the error says so and what to do instead."""
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(WindowError) as caught:
        show(ladder)
    assert str(caught.value) == "window: there is no display. Write a PNG file instead."


def test_display_that_does_not_answer_is_an_error_of_ours(ladder, monkeypatch, tmp_path):
    """A child that crashes becomes a WindowError with the package line."""
    stub = tmp_path / "stub"
    stub.write_text("#!/bin/sh\necho bad display >&2\nkill -SEGV $$\n")
    stub.chmod(0o755)
    monkeypatch.setenv("DISPLAY", ":987")
    monkeypatch.setattr("sys.executable", str(stub))
    with pytest.raises(WindowError, match=r"could not be opened \(bad display\).*apt-get install"):
        show(ladder)


def test_job_is_true_to_the_scene(ladder, utilisation):
    """Legend ends at the extremes; utilisation counts in per cent; arrows end where loads act; nothing is pickled."""
    job = window_job(ladder)
    assert tuple(job["limits"]) == (ladder.lowest, ladder.highest)
    assert job["triangles"].shape == (4 * len(ladder.quads), 3, 3)
    assert "deflection x 40" in job["heading"]
    assert all(np.asarray(value).dtype != object for value in job.values())
    engine = ladder.carried(ladder.loads[-1].points)[0]
    assert (np.abs(job["arrows"][:, 1] - engine).max(axis=1) < 1e-9).any()
    assert (np.abs(job["heads"][:, 0] - engine).max(axis=1) < 1e-9).any()
    share = window_job(utilisation)
    assert tuple(share["limits"]) == (0.0, 200.0)
    assert share["values"].max() == pytest.approx(100 * utilisation.highest)
