"""Rough sizes of what members carry, against what they carry at many places between their ends."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks.variant_rough import rough_sizes
from ladderfe.checks.variant_rows import every_varying, long_ones
from ladderfe.checks.variants import Stretch, Variants

#: Places between the ends that are looked at.
PLACES = np.linspace(0, 1, 11)


def walls(model, demo_file, cases, stations):
    """The members of a frame whose rails' walls vary, in three states."""
    chassis = read_chassis(demo_file.with_name(f"{model}.toml"))
    chassis = replace(chassis, cases=chassis.cases[:cases])
    names = ("outer", "inner", "top", "bottom")
    of = Variants.of(chassis, [Stretch(s, *stations, w) for s in ("left", "right") for w in names])
    thickness = np.random.default_rng(3).uniform(1.4, 2.5, (3, len(of.plan.varied.stretches)))
    return every_varying(of.plan.solve(thickness))


@pytest.mark.parametrize(("model", "stations"), [("short-4x4", (100.0, 3600.0)), ("test-frame", (0.0, 4158.0))])
def test_nothing_between_the_ends_passes_them(model, stations, demo_file):
    """At eleven places of every member, save for rounding: forces and moments, and where members are long beside the
    length over which racking dies out, B, R and g too (in others these run straight but for a few parts in a
    hundred, which rough sizes leave out as the finer ones do)."""
    stack = walls(model, demo_file, 6, stations)
    size, holds = rough_sizes(stack, by_case=True)
    n, length = len(holds), stack.mesh.lengths
    found = stack.resultants(np.repeat(np.arange(n), len(PLACES)), (length[:, None] * PLACES).ravel())
    found = np.abs(found.reshape(n, len(PLACES), 9, -1)).max(axis=1)
    scale = found.max(axis=(0, 2))[:, None]
    long = np.isin(np.arange(n), long_ones(stack)) & holds
    assert long.sum() > 10
    over = found - size > 1e-9 * scale
    assert not over[holds, :6].any()
    assert not over[long].any()


def test_the_greatest_of_all_cases_is_no_less_than_that_of_each(demo_file):
    stack = walls("short-4x4", demo_file, 6, (700.0, 1900.0))
    (each, holds), (together, alike) = (rough_sizes(stack, by_case=by_case) for by_case in (True, False))
    assert (holds == alike).all()
    assert (each[holds, :, 1:] <= together[holds] * (1 + 1e-9) + 1e-12).all()


def test_of_boxes_much_longer_than_racking_carries_nothing_is_said(demo_file):
    """Thirty times as long they could do anything between their ends."""
    stack = walls("short-4x4", demo_file, 2, (700.0, 1900.0))
    kernels = stack.frame.kernels.pieces(np.arange(len(stack.mesh.lengths)), 30 * stack.mesh.lengths)
    far = replace(stack, mesh=replace(stack.mesh, lengths=30 * stack.mesh.lengths), frame=type(stack.frame)(kernels))
    _, holds = rough_sizes(far, by_case=True)
    assert not holds[long_ones(stack)].any()
