"""The estimate against 91 T-joints solved in solid elements: tests/data/joints.csv, described in tests/data/README.md.

Source status: own studies with 20-node bricks (a general finite-element library), no published source; their own error
is about 1 %.  Rows marked "fit" gave the constants, rows marked "check" did not but were in view.  Limits are what was
found, rounded up: they guard against getting worse and say how good the estimate is, no more.
"""

from __future__ import annotations

import os

import numpy as np
import pytest

from ladderfe.joints import estimate, meeting
from ladderfe.joints.estimate import WARP_BAND
from ladderfe.joints.kinds import BANDS, LIMITS, TOGETHER, measures, traits, warnings

JUDGED = "wrapped"  # not in the data
GIVEN = 0.005  # bands are kept to two figures


RX = "k_rx"
CHAIN = [  # joints at rails that rack: k_rx at both lengths, then the other springs
    ("box: fit rows", RX, 0.02, 0.04, 0.085), ("box: check rows", RX, 0.025, 0.055, 0.06),
    ("box: fit rows", "k_rx_400", 0.02, 0.045, 0.06), ("box: check rows", "k_rx_400", 0.025, 0.04, 0.05),
    ("box, butted", RX, 0.02, 0.045, 0.06), ("box, butted", "k_rx_400", 0.02, 0.04, 0.06),
    ("box, full depth", RX, 0.025, 0.05, 0.06), ("box, full depth", "k_rx_400", 0.03, 0.05, 0.06),
    ("box, thinned web", RX, 0.015, 0.05, 0.085), ("box, thinned web", "k_rx_400", 0.04, 0.045, 0.045),
    ("box, thinned flanges", RX, 0.03, 0.03, 0.03), ("box, thinned flanges", "k_rx_400", 0.025, 0.04, 0.045),
    ("box, flush with one flange", RX, 0.015, 0.03, 0.035),
    ("box, flush with one flange", "k_rx_400", 0.02, 0.03, 0.035),
    ("box, through both webs", RX, 0.045, 0.06, 0.065), ("box, through both webs", "k_rx_400", 0.035, 0.06, 0.065),
    ("box, doubled web", RX, 0.015, 0.045, 0.06), ("box, doubled web", "k_rx_400", 0.03, 0.04, 0.055),
    ("box, near a free end", RX, 0.035, 0.05, 0.05), ("box, near a free end", "k_rx_400", 0.03, 0.045, 0.05),
    ("box, open crossmember", RX, 0.025, 0.045, 0.06), ("box, open crossmember", "k_rx_400", 0.02, 0.04, 0.05),
    ("box: fit rows", "k_ry", 0.03, 0.10, 0.21), ("box: check rows", "k_ry", 0.025, 0.20, 0.34),
    ("box: fit rows", "k_rz", 0.045, 0.09, 0.20), ("box: check rows", "k_rz", 0.04, 0.10, 0.21),
    ("box, through both webs", "k_rz", 0.065, 0.095, 0.12), ("box, doubled web", "k_rz", 0.09, 0.17, 0.19),
    ("box: fit rows", "k_uy", 0.075, 0.26, 0.36), ("box: check rows", "k_uy", 0.08, 0.25, 0.28),
]


@pytest.mark.parametrize(("kind", "column", "median", "most", "worst"), CHAIN)
def test_joints_at_rails_that_rack(study, kind, column, median, most, worst):
    """Median, 90 % value and largest of the size of chain/solids - 1: an exact member on both sides of the joint."""
    ratio = study.chain_ratios(dict(study.groups())[kind], column)
    found_median, found_most, found_worst = study.errors(ratio)
    assert found_median <= median
    assert found_most <= most
    assert abs(found_worst) <= worst


@pytest.mark.parametrize(
    ("kind", "along_y", "along_z"),
    [("box: fit rows", 0.6, 0.7), ("box: check rows", 0.5, 1.0), ("box, flush with one flange", 0.6, 2.8),
     ("box, through both webs", 1.8, 0.01), ("box, doubled web", 2.2, 0.01), ("box, near a free end", 0.5, 0.01)],
)
def test_axis_of_turning(study, kind, along_y, along_z):
    """Mean distance in mm of the axis about which the end turns from that of the solids, which lies 0 to 45 mm off the
    crossmember's middle.  Nothing was fitted to it."""
    off_y, off_z = study.axes(dict(study.groups())[kind])
    assert abs(off_y).mean() <= along_y
    assert abs(off_z).mean() <= along_z


def test_levels_reach_the_solids(study):
    """Nine of ten box joints' k_rx lie between the chain at the low and at the high level, or within the 4 % by which
    the rail itself may be off (full depth: all of it is the rail)."""
    inside = []
    for row in study.rows():
        if row["rail"] != "box":
            continue
        joint = study.geometry(row)
        for column in ("k_rx", "k_rx_400"):
            soft, stiff = (
                1 / study.flexibility(joint, study.half(row, column), study.place(row), meeting(joint, level))[3, 3]
                for level in (-1.0, 1.0)
            )
            inside.append(soft * 0.96 <= study.number(row, column) <= stiff * 1.04)
    assert np.mean(inside) >= 0.9


@pytest.mark.parametrize(
    ("kind", "column", "median", "most"),
    [
        ("box: fit rows", "k_rx", 0.02, 0.045), ("box: fit rows", "k_rz", 0.045, 0.10),
        ("box: check rows", "k_rx", 0.03, 0.05), ("box: check rows", "k_rz", 0.045, 0.12),
        ("box, near a free end", "k_rx", 0.035, 0.06), ("box, near a free end", "k_rz", 0.04, 0.055),
        ("box, flush with one flange", "k_rx", 0.03, 0.03), ("box, flush with one flange", "k_rz", 0.07, 0.12),
        ("box, through both webs", "k_rx", 0.07, 0.085), ("box, through both webs", "k_rz", 0.065, 0.095),
        ("box, doubled web", "k_rx", 0.015, 0.045), ("box, doubled web", "k_rz", 0.10, 0.17),
        ("box, thinned web", "k_rx", 0.015, 0.045), ("box, thinned web", "k_rz", 0.04, 0.07),
        ("box, full depth", "k_rx", 0.03, 0.07), ("box, full depth", "k_rz", 0.12, 0.21),
        ("box, open crossmember", "k_rx", 0.025, 0.05), ("box, open crossmember", "k_rz", 0.05, 0.10),
        ("channel: fit rows", "k_rx", 0.045, 0.065), ("channel: fit rows", "k_rz", 0.06, 0.075),
        ("channel: check rows", "k_rx", 0.015, 0.04), ("channel: check rows", "k_rz", 0.06, 0.09),
        ("channel, flush with one flange", "k_rx", 0.06, 0.07), ("channel, flush with one flange", "k_rz", 0.07, 0.10),
        ("channel, open crossmember", "k_rx", 0.05, 0.10), ("channel, open crossmember", "k_rz", 0.07, 0.08),
        ("channel, doubled web", "k_rx", 0.16, 0.16), ("channel, doubled web", "k_rz", 0.32, 0.32),
    ],
)
def test_median_and_most_of_the_errors(study, kind, column, median, most):
    """Springs alone: median and 90 % value of the size of estimate/solids - 1."""
    found_median, found_most, _ = study.errors(study.ratios(dict(study.groups())[kind], column))
    assert found_median <= median
    assert found_most <= most


def test_bands_are_those_of_the_data(study):
    """Each band is recomputed from the rows of its rail and trait."""
    groups = dict(study.groups())
    columns = list(study.COMPONENTS)
    for (rail, trait), bands in BANDS.items():
        if trait == JUDGED:
            continue
        chosen = groups[f"{rail}, {trait}"]
        found = [*(study.ratios(chosen, column) for column in columns), study.webs_ratios(chosen)]
        for ratio, given in zip(found, bands, strict=True):
            assert (given is None) == (len(ratio) == 0)
            if given is not None:
                assert given == pytest.approx(study.band(ratio), abs=GIVEN)
    known = {f"{rail}, {trait}" for rail, trait in BANDS if trait != JUDGED}
    assert known == {name for name in groups if "rows" not in name}
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
    assert all(f"{rail}, {trait}" in text for rail, trait in BANDS if trait != JUDGED)
    assert os.access(study.CLONE / "scripts/joint-accuracy", os.X_OK)
