"""What compares two frames, or the left half of one with the right, sees diaphragms and the model of joints."""

from dataclasses import replace
from math import inf

import pytest

from ladderfe.chassis import Diaphragm
from ladderfe.checks import check
from ladderfe.checks.influence import _same_parts

PLATE = Diaphragm(name="plate", side="left", station=1000.0, thickness=3.0)
MIRROR = "left and right answer alike"


@pytest.mark.parametrize(
    ("plates", "mirrored"),
    [
        ((PLATE,), False),
        ((PLATE, replace(PLATE, side="right")), True),
        ((PLATE, replace(PLATE, side="right", thickness=4.0)), False),
        ((PLATE, replace(PLATE, side="right", station=1200.0)), False),
        ((replace(PLATE, station=500.0), PLATE, replace(PLATE, side="right"),
          replace(PLATE, side="right", station=500.0)), True),
    ],
    ids=["one side", "both sides", "another thickness", "another place", "in another order"],
)  # fmt: skip
def test_left_and_right_are_compared_only_where_diaphragms_are_alike(made, plates, mirrored):
    found = check(made.chassis(diaphragms=plates), assumptions=False)
    assert found.proven
    assert any(p.what == MIRROR for p in found.proofs) == mirrored


def test_frames_of_other_diaphragms_or_model_are_not_the_same(made):
    plain = made.chassis(diaphragms=(PLATE,))
    assert _same_parts(plain, replace(plain, title="other"))
    assert not _same_parts(plain, replace(plain, diaphragms=()))
    assert not _same_parts(plain, replace(plain, joint_model="springs"))
    assert not _same_parts(plain, replace(plain, joint_level=inf))


def test_joints_as_springs_are_proven_too(made):
    assert check(made.chassis(joint_model="springs", diaphragms=(PLATE,)), assumptions=False).proven
