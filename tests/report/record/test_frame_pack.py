"""The frame packed for the viewer: what is left out, what bytes say, and that the break at the limit is kept."""

from __future__ import annotations

import base64
import zlib

import numpy as np
import pytest

from ladderfe.report.frame_walls import corner_values, wall_strips
from ladderfe.report.record.frame_pack import band_of, deflated, frame_data, per_cent
from ladderfe.report.record.thinned import NEAR, kept_rows, thinned_strips


def test_per_cent_never_crosses_the_limit():
    """Values within a rounding of 100 % stay on their side of it."""
    assert per_cent(np.array([0.0, 0.994, 0.9999999, 1.0, 1.0000001, 1.001, 1.5, 2.0, 9.0])).tolist() == [
        0, 99, 100, 100, 101, 101, 150, 200, 255,
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("ratio", "band"), [(0.0, 0), (0.2, 0), (0.3, 1), (0.6, 2), (0.8, 3), (1.0, 3), (1.01, 4), (1.6, 5), (9.0, 5)]
)
def test_bands_of_single_values(ratio, band):
    """The same bands as the pictures have: 25, 50, 75, 100, 150 %."""
    assert band_of(ratio) == band


def test_straight_runs_are_left_out():
    """Ends of runs and bends stay; what lies within 1 % of the limit and 1 mm of a straight line goes."""
    run = np.array([0, 0, 0, 0, 0, 1, 1, 1])
    x = np.array([0.0, 1.0, 2.0, 3.0, 4.0, 0.0, 1.0, 2.0])
    flat = np.zeros((8, 3))
    straight = np.array([0.1, 0.2, 0.3, 0.4, 0.5, 0.5, 0.505, 0.5])
    assert kept_rows(run, x, straight[:, None], flat).tolist() == [0, 4, 5, 7]
    bent = straight.copy()
    bent[2] = 0.5
    assert 2 in kept_rows(run, x, bent[:, None], flat)
    over = np.array([0.99, 0.995, 1.0005, 0.995, 0.99, 0.1, 0.1, 0.1])  # by 0.0105 only, but over the limit
    assert 2 in kept_rows(run, x, over[:, None], flat)
    kinked = flat.copy()
    kinked[3, 1] = 1.01
    assert kept_rows(run, x, straight[:, None], kinked).tolist() == [0, 3, 4, 5, 7]


def test_what_is_left_out_is_seen_to_be_straight(demo_findings):
    """Every value of the whole frame against the straight line between the sections kept, in all cases."""
    strips = thinned_strips(demo_findings)
    assert len(strips.rows) < 0.8 * len(wall_strips(demo_findings).rows)
    st, c = demo_findings.stresses, demo_findings.chassis.criteria
    use = np.nan_to_num(np.maximum(np.abs(st.normal) / c.bending, st.von_mises / c.von_mises))[:, :, 1:]
    along = demo_findings.rows.along
    worst, seen = 0.0, 0
    for a, b in np.unique(strips.rows[:, [0, 2]], axis=0):
        own = np.arange(a, b + 1)
        share = (along[own] - along[a]) / (along[b] - along[a])
        line = use[a] + share[:, None, None] * (use[b] - use[a])
        worst = max(worst, float((np.abs(line - use[own]) / np.maximum(use[own], 1)).max()))
        seen += len(own) - 2
    assert seen > 100
    assert 0 < worst <= NEAR + 1e-12


def test_all_walls_are_there(demo_findings):
    """The same area of walls as without thinning, within 1 %."""

    def area(corners):
        across = np.cross(corners[:, 2] - corners[:, 0], corners[:, 3] - corners[:, 1])
        return float(np.linalg.norm(across, axis=1).sum())

    whole, thin = (area(s.corners) for s in (wall_strips(demo_findings), thinned_strips(demo_findings)))
    assert thin == pytest.approx(whole, rel=0.01)  # members that lean or taper are a little longer than their lines


def unpacked(text, kind):
    return np.frombuffer(zlib.decompress(base64.b64decode(text), wbits=-15), dtype=kind)


def test_the_pack_holds_the_frame(demo_findings):
    """Corners to half a step of 1/8 mm, utilisations to half a per cent (up to a whole one beside the limit)."""
    data = frame_data(demo_findings)
    (state,) = data["states"]
    strips = thinned_strips(demo_findings)
    steps = unpacked(state["places"], "<i2").reshape(3, -1)
    places = np.cumsum(steps, axis=1, dtype=np.int16).T * data["step"]
    corners = np.cumsum(unpacked(state["corners"], "<u2"), dtype=np.uint16)
    assert np.abs(places[corners] - strips.corners.reshape(-1, 3)).max() <= data["step"] / 2 + 1e-9
    values = corner_values(demo_findings, strips, "utilisation").reshape(len(corners), -1)[:, 1:]
    use = unpacked(state["use"], "u1").reshape(-1, 1 + len(data["cases"]))[corners]
    capped = np.minimum(100 * values, 255)
    assert np.abs(use[:, 1:] - capped).max() <= 1
    assert ((use[:, 1:] > 100) == (values > 1)).all()
    assert (use[:, 0] == use[:, 1:].max(axis=1)).all()
    part = [state["parts"][k] for k in unpacked(state["part"], "<u2")]
    mesh = demo_findings.solution.mesh
    assert part == [mesh.parts[k].name for k in mesh.part_of()[strips.member]]


def test_packing_is_deflate():
    """Source: RFC 1951, by zlib's own reader."""
    assert zlib.decompress(base64.b64decode(deflated(b"abc" * 99)), wbits=-15) == b"abc" * 99
