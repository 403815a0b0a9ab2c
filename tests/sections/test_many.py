"""Sections worked out together: the same answers as one by one, in their order, kept."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.errors import ModelError
from ladderfe.sections import Angle, Box, Channel, Flat, Section, TopHat, Tube, Wall, lapped_plate, properties_of
from ladderfe.sections.flow import flows_of
from ladderfe.sections.kept import LATEST, MOST, Kept, lately

CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y").section()


def made(size):
    """Boxes, open sections, strips (one of two plates), cells under laps: several of each graph, and one twice."""
    box = [Box(depth=size + i, width=75.0, top=3.0, bottom=2.0 + i, minus=3.0, plus=2.5).section() for i in range(3)]
    hat = TopHat(depth=50.0, width=size, wall=3.0, brim=20.0, opens="-z", radius=6.0).section()
    flat = Flat(depth=size, thickness=5.0).section()
    return [*box, hat, flat, Section(flat.walls[0].split(0.3)), box[0], Tube(diameter=size / 2, wall=3.0).section(),
            Angle(depth=size, width=60.0, wall=4.0, corner="-y-z").section(), box[1].gap("plus", 0.5, 5.0),
            lapped_plate(box[2], "minus", width=50.0, thickness=3.0, throat=3.0),
            lapped_plate(CHANNEL, "web", width=size / 2, thickness=3.0, throat=3.0)]


def numbers(p):
    """All numbers of properties and of their points, in one row."""
    points = p.points
    return np.concatenate([np.ravel(x) for x in (
        p.A, p.yc, p.zc, p.Iyy, p.Izz, p.Iyz, p.J, p.J_plates, p.ys, p.zs, p.shear, p.Iw, p.warp_shear,
        p.warp_coupling, p.Iw_free, p.cells, p.metal, points.index, points.y, points.z, points.modulus, points.tau,
        points.tau_face, points.omega, points.tau_warp)])


def test_together_as_one_by_one():
    """The same sections under other words for their sides are worked out anew, each alone.  1e-12: the same sums."""
    sections = made(140.0)
    together = properties_of(sections)
    alone = [properties_of([replace(section, side_names=("rear", "front"))])[0] for section in sections]
    assert together[6] is together[0]
    for p, q in zip(together, alone, strict=True):
        assert p.points.wall == q.points.wall
        assert numbers(p) == pytest.approx(numbers(q), rel=1e-12, abs=1e-12)
    for section, flow in zip(sections, flows_of(sections), strict=True):
        assert flow.lines.graph.nodes[0] == section.walls[0].start


def test_one_bad_section_is_named():
    loose = Section((Wall("a", (0.0, 0.0), (10.0, 0.0), 1.0), Wall("b", (0.0, 5.0), (10.0, 5.0), 1.0)))
    with pytest.raises(ModelError, match="wall 'b' does not touch wall 'a'"):
        properties_of([CHANNEL, loose])


def test_no_sections():
    assert properties_of([]) == []


def test_what_is_kept():
    """New sections go to the work in one list, each once; when too many are known those known longest are forgotten,
    but none that is asked for."""
    asked = []
    kept = Kept(lambda sections: (asked.append(list(sections)), [s.walls[0].thickness for s in sections])[1])
    many = [Flat(depth=50.0, thickness=1.0 + i / MOST).section() for i in range(MOST)]
    assert kept.one(many[3]) == many[3].walls[0].thickness
    assert kept.each([many[0], many[3], many[0]]) == [1.0, many[3].walls[0].thickness, 1.0]
    assert [len(a) for a in asked] == [1, 1]
    assert len(kept.each(many)) == MOST
    assert len(asked[-1]) == MOST - 2
    other = Flat(depth=50.0, thickness=9.0).section()
    assert kept.each([many[3], other]) == [many[3].walls[0].thickness, 9.0]
    assert asked[-1] == [other]
    assert kept.one(many[3]) == many[3].walls[0].thickness
    assert asked[-1] == [other]  # the one asked for stayed,
    assert kept.one(many[0]) == 1.0
    assert asked[-1] == [many[0]]  # and the one known longest beside it went


def test_what_is_remembered_lately():
    """The same objects are answered once, equal ones anew; the longest known is forgotten first."""
    asked = []
    answer = lately(lambda *given: (asked.append(given), len(asked))[1])
    one, same = [1.0], [1.0]
    assert [answer(one, same), answer(one, same), answer(same, one)] == [1, 1, 2]
    others = [[float(k)] for k in range(LATEST)]
    assert [answer(x) for x in others] == list(range(3, 3 + LATEST))
    assert answer(others[-1]) == 2 + LATEST
    assert answer(one, same) == 3 + LATEST
