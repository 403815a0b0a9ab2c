"""Derivatives of the greatest utilisation against finite differences of the plain way."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks.sensitivities import sensitivities
from ladderfe.checks.variants import Stretch, Variants, plain_found

BOX, CHANNEL = ("outer", "inner", "top", "bottom"), ("web", "top", "bottom")
#: Central differences of the plain way, extrapolated, lose some eleven digits less those of the step; beside the
#: greatest derivative 1e-5 is asked for.
CLOSE = 1e-5


def plainly(of, t, i, h):
    """Utilisation with one wall changed by a part h of its thickness."""
    changed = t.copy()
    changed[i] *= 1 + h
    return plain_found(of.plan, changed, changed)[0]


def central(of, t, i, h=2e-3):
    a, b = ((plainly(of, t, i, s) - plainly(of, t, i, -s)) / (2 * s * t[i]) for s in (h, h / 2))
    return (4 * b - a) / 3


@pytest.mark.parametrize(
    ("model", "stations", "walls", "wall", "every"),
    [
        ("short-4x4", (900.0, 1900.0), BOX, 2.2, 1),
        ("light-lorry", (1500.0, 2600.0), CHANNEL, 4.5, 2),
        ("pick-up", (300.0, 1500.0), CHANNEL, 3.6, 2),
    ],
)
def test_derivatives_are_those_of_the_plain_way(demo_file, model, stations, walls, wall, every):
    """Of the larger frames of every other wall: one of each kind, both rails."""
    chassis = read_chassis(demo_file.parent / f"{model}.toml")
    chassis = replace(chassis, cases=chassis.cases[:8])
    of = Variants.of(chassis, [Stretch(s, *stations, w) for s in ("left", "right") for w in walls[:3]])
    t = wall * np.linspace(0.9, 1.0, 6)
    found = sensitivities(of, t)
    expected = np.array([central(of, t, i) for i in range(0, len(t), every)])
    assert found.up[::every] == pytest.approx(expected, abs=CLOSE * np.abs(expected).max())
    assert found.apart < 1e-3 * np.abs(expected).max()  # before extrapolation: the square of the step


def test_a_kink_has_two_sides(made):
    """Both rails alike tie: thinning one makes it govern, thickening it leaves the other one.  A step of 3e-5 of the
    wall is small against the curvature and large against rounding: 1e-3 is asked for."""
    of = Variants.of(made.chassis(), [Stretch(s, 500.0, 3500.0, "bottom") for s in ("left", "right")])
    t = np.array([2.0, 2.0])
    found = sensitivities(of, t)
    assert len({p.member for p in found.places}) >= 2
    h = 3e-5
    base = plain_found(of.plan, t, t)[0]
    for i in (0, 1):
        up, down = ((plainly(of, t, i, s) - base) / (s * t[i]) for s in (h, -h))
        size = np.abs(found.each).max()
        assert found.up[i] == pytest.approx(up, abs=1e-3 * size)
        assert found.down[i] == pytest.approx(down, abs=1e-3 * size)
        assert found.up[i] - found.down[i] > 0.1 * size


def test_the_derivative_holds_at_the_place_asked_for(made):
    """At a place that does not govern: against the same place of the plain way."""
    of = Variants.of(made.chassis(), [Stretch("left", 500.0, 3500.0, "bottom")])
    t = np.array([2.0])
    place = replace(sensitivities(of, t).places[0], case=1)
    found = sensitivities(of, t, [place])
    assert found.each[0, 0] == pytest.approx(sensitivities(of, t).each[0, 0] / 2, rel=1e-6)  # the static case is half
