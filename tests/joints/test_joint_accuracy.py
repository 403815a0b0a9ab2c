"""The estimate against 91 T-joints solved in solid elements: tests/data/joints.csv, described in tests/data/README.md.

Source status: own studies with 20-node bricks (a general finite-element library), no published source; their own error
is about 1 %.  Rows marked "fit" gave the constants, rows marked "check" did not but were in view.  Limits are what was
found, rounded up: they guard against getting worse and say how good the estimate is, no more.
"""

from __future__ import annotations

import os

import numpy as np
import pytest

from ladderfe.joints import estimate
from ladderfe.joints.estimate import WARP_BAND
from ladderfe.joints.kinds import BANDS, LIMITS, TOGETHER, measures, traits, warnings

GIVEN = 0.005  # bands are kept to two figures


@pytest.mark.parametrize(
    ("kind", "column", "median", "most"),
    [
        ("box: fit rows", "k_rx", 0.03, 0.06), ("box: fit rows", "k_rz", 0.045, 0.10),
        ("box: check rows", "k_rx", 0.03, 0.06), ("box: check rows", "k_rz", 0.045, 0.12),
        ("box, near a free end", "k_rx", 0.025, 0.08), ("box, near a free end", "k_rz", 0.04, 0.055),
        ("box, flush with one flange", "k_rx", 0.03, 0.05), ("box, flush with one flange", "k_rz", 0.07, 0.12),
        ("box, through both webs", "k_rx", 0.17, 0.45), ("box, through both webs", "k_rz", 0.18, 0.35),
        ("box, doubled web", "k_rx", 0.05, 0.08), ("box, doubled web", "k_rz", 0.10, 0.17),
        ("box, thinned web", "k_rx", 0.03, 0.055), ("box, thinned web", "k_rz", 0.04, 0.07),
        ("box, full depth", "k_rx", 0.06, 0.11), ("box, full depth", "k_rz", 0.12, 0.21),
        ("box, open crossmember", "k_rx", 0.035, 0.055), ("box, open crossmember", "k_rz", 0.05, 0.10),
        ("channel: fit rows", "k_rx", 0.03, 0.07), ("channel: fit rows", "k_rz", 0.06, 0.075),
        ("channel: check rows", "k_rx", 0.07, 0.085), ("channel: check rows", "k_rz", 0.06, 0.09),
        ("channel, flush with one flange", "k_rx", 0.03, 0.11), ("channel, flush with one flange", "k_rz", 0.07, 0.10),
        ("channel, open crossmember", "k_rx", 0.05, 0.15), ("channel, open crossmember", "k_rz", 0.07, 0.08),
        ("channel, doubled web", "k_rx", 0.12, 0.12), ("channel, doubled web", "k_rz", 0.32, 0.32),
    ],
)
def test_median_and_most_of_the_errors(study, kind, column, median, most):
    """Median and 90 % value of the size of estimate/solids - 1."""
    found_median, found_most, _ = study.errors(study.ratios(dict(study.groups())[kind], column))
    assert found_median <= median
    assert found_most <= most


def test_bands_are_those_of_the_data(study):
    """Each band is recomputed from the rows of its rail and trait."""
    groups = dict(study.groups())
    columns = list(study.COMPONENTS)
    for (rail, trait), bands in BANDS.items():
        for column, given in zip(columns, bands, strict=True):
            ratio = study.ratios(groups[f"{rail}, {trait}"], column)
            assert (given is None) == (len(ratio) == 0)
            if given is not None:
                assert given == pytest.approx(study.band(ratio), abs=GIVEN)
    assert {f"{rail}, {trait}" for rail, trait in BANDS} == {name for name in groups if "rows" not in name}
    assert study.band(study.warping_ratios()) == pytest.approx(WARP_BAND, abs=GIVEN)


@pytest.mark.parametrize("column", ["k_rx", "k_ry", "k_rz", "k_uy"])
def test_nine_of_ten_lie_between_low_and_high(study, column):
    """The range as users get it, over all rows."""
    place = study.COMPONENTS[column]
    inside = []
    for row in study.rows():
        ours, solid = estimate(study.geometry(row)), study.number(row, column)
        if np.isfinite(solid) and np.isfinite(ours.stiffness[place]):
            inside.append(ours.low[place] <= solid <= ours.high[place])
    assert np.mean(inside) >= 0.9


def test_where_the_data_resolve_nothing_the_estimate_is_rigid_or_stiff(study):
    """Blank about x: flanges that meet, and channel rails near their end (not settled, warned of); blank along y: no
    bare web left."""
    for row in study.rows():
        joint = study.geometry(row)
        ours = estimate(joint).stiffness
        assert np.all(np.isinf(ours[[0, 2]]))
        assert np.isinf(ours[4]) == (not row["k_ry"]) or row["id"] in ("J106", "J109")  # box crossmembers, blank
        if not row["k_rx"]:
            assert np.isinf(ours[3]) or any("near its end" in w for w in warnings(joint))
        if not row["k_uy"]:
            assert np.isinf(ours[1])


def test_limits_and_pairs_are_those_of_the_data(study):
    """No row is warned of for its sizes, and no limit lies more than 3 % beyond the rows (rounded outward)."""
    joints = [study.geometry(row) for row in study.rows()]
    assert not [w for joint in joints for w in warnings(joint) if w.startswith(("outside", "not together", "no data:"))]
    for rail, limits in LIMITS.items():
        for name, (low, high) in limits.items():
            values = [measures(joint)[name] for joint in joints if joint.rail == rail]
            assert low == pytest.approx(min(values), rel=0.03)
            assert high == pytest.approx(max(values), rel=0.03)
    assert {(j.rail, *traits(j)) for j in joints if len(traits(j)) > 1} == TOGETHER


def test_links_of_open_crossmembers(study):
    """Sign of the rail's twist rate in the warping spring, as the solids show it."""
    for row in study.rows():
        joint = study.geometry(row)
        if row["k_w"] and not joint.flanges_meet:
            assert study.warping_link(joint).link == study.number(row, "link")


def test_script_prints_every_kind(study):
    lines: list[str] = []
    study.main(lines.append)
    text = "\n".join(lines)
    assert all(f"{rail}, {trait}" in text for rail, trait in BANDS)
    assert os.access(study.CLONE / "scripts/joint-accuracy", os.X_OK)
