"""Sections of one shape with other walls, many at once, against the same sections one by one."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.errors import ModelError
from ladderfe.sections import Box, Channel, Flat, properties
from ladderfe.sections.alike import WALLS, families
from ladderfe.sections.flow import solve_flows
from ladderfe.sections.graph import graph_of
from ladderfe.sections.plated import Plate, Plated
from ladderfe.sections.rings import ring_flows, ring_of

SIDES = ("outer", "inner")
BOX = Box(depth=140, width=70, top=2.5, bottom=2.4, minus=2.3, plus=2.6)
CHANNEL = Channel(depth=150, width=65, web=4, top=5, bottom=4.5, opens="+y")
SHAPES = {
    "boxes": [BOX, replace(BOX, depth=110)],
    "rounded box": [replace(BOX, radius=6.0)],
    "hardly rounded box": [replace(BOX, radius=0.5)],
    "channels": [CHANNEL, replace(CHANNEL, depth=180)],
    "lying channel": [replace(CHANNEL, opens="-z")],
    "lipped channel": [replace(CHANNEL, opens="-y", lip=15.0)],
}
#: Both do the same arithmetic in another order: rounding of a few operations on numbers that lose two digits.
ROUNDING = 1e-12


def states(shapes, n=6):
    """A family, shape numbers and thicknesses of n states of each."""
    ((_, alike),) = families(shapes, [SIDES] * len(shapes))
    which = np.tile(np.arange(len(shapes)), n)
    return (
        alike,
        which,
        alike.thickness[which]
        * np.random.default_rng(1).uniform(0.5, 1.1, (len(which), 3 + (len(alike.thickness[0]) > 3))),
    )


@pytest.mark.parametrize("shapes", SHAPES.values(), ids=SHAPES)
def test_properties_are_those_of_each_section(shapes):
    alike, which, thickness = states(shapes)
    many = alike.at(thickness, which)
    for i, (k, t) in enumerate(zip(which, thickness, strict=True)):
        shape = replace(shapes[k], **dict(zip(WALLS[type(shapes[k])], t.tolist(), strict=True)))
        q = properties(shape.section(SIDES))
        expected = {
            "metal": q.metal, "A": q.A, "centroid": [q.yc, q.zc], "J": q.J, "J_plates": q.J_plates, "shear": q.shear,
            "moments": [[q.Izz, q.Iyz], [q.Iyz, q.Iyy]], "shear_centre": [q.ys, q.zs], "Iw": q.Iw,
            "warp_shear": q.warp_shear, "coupling": q.warp_coupling, "y": q.points.y, "z": q.points.z,
            "tau": q.points.tau, "tau_face": q.points.tau_face, "omega": q.points.omega, "tau_warp": q.points.tau_warp,
        }  # fmt: skip
        for name, value in expected.items():
            value = np.asarray(value)
            size = max(np.abs(value).max(), 1e-9)
            assert np.abs(getattr(many, name)[i] - value).max() <= ROUNDING * size, name
        assert many.wall.tolist() == q.points.index.tolist()
    assert alike.labels == properties(shapes[0].section(SIDES)).points.label


def test_walls_grow_evenly_but_for_bends():
    """Bends beyond the walls move their chords' ends on arcs: drawn one by one; all else by even growth."""
    even = {name: families(own, [SIDES] * len(own))[0][1].evenly for name, own in SHAPES.items()}
    assert [name for name, found in even.items() if not found] == ["rounded box"]


def test_a_bend_that_becomes_a_corner_is_refused():
    alike, which, thickness = states([replace(BOX, radius=3.0)])
    thickness[:, :] = 2.0
    thickness[3] = 3.5  # thicker than the radius
    with pytest.raises(ModelError, match="corners"):
        alike.at(thickness, which)


def test_shapes_of_one_thickness_cannot_be_changed_wall_by_wall():
    with pytest.raises(ModelError, match="flat"):
        families([Flat(depth=80, thickness=6)], [SIDES])


@pytest.mark.parametrize("name", ["boxes", "hardly rounded box", "rounded box"])
def test_a_ring_of_walls_in_closed_form_is_the_general_problem_of_its_graph(name):
    """Against the linear equations of the warping of all nodes, which know no way round."""
    alike, which, thickness = states(SHAPES[name])
    lines = alike.at(thickness, which).flows.lines
    assert alike.ring is not None
    assert sorted(s.wall for s in alike.ring) == list(range(lines.length.shape[1]))
    found = ring_flows(lines, alike.ring)
    assert found is not None
    for part, expected in zip(found[1:], solve_flows(lines)[1:], strict=True):
        assert part.shape == expected.shape
        assert np.abs(part * 1.0 - expected).max() <= ROUNDING * max(np.abs(expected).max(), 1e-9)


def test_open_and_branched_sections_are_no_ring():
    assert ring_of(graph_of(CHANNEL.section(SIDES))) is None
    lapped = Plated(base=BOX, plates=(Plate(wall="top", thickness=3.0, width=40.0),))
    assert ring_of(graph_of(lapped.section(SIDES))) is None
