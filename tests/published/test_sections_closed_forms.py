"""Boxes and channels against closed forms: sums of rectangles, thin-wall channels, V Q/I, rust tables.

Each test names its source and status.  Tolerance 1e-6 where a closed form is exact and printed to nine figures.
"""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import numpy as np
import pytest

from ladderfe.sections import (
    Box,
    Channel,
    Section,
    Wall,
    boxing_plate,
    flow_of,
    joining_flow,
    lapped_plate,
    properties,
    weld_lines,
)

EXACT = 1e-6


def box(depth, width, wall, **other):
    return Box(depth=depth, width=width, **({"top": wall, "bottom": wall, "minus": wall, "plus": wall} | other))


def lines(*places, t):
    """An open run of walls along mid-line corners."""
    names = ("lip", "top", "web", "bottom", "lip") if len(places) == 6 else ("top", "web", "bottom")
    return Section(tuple(Wall(names[i], places[i], places[i + 1], t) for i in range(len(places) - 1)))


def test_sharp_box():
    """SP-08: sharp box 100 x 60 x 3 mm, outer minus inner rectangle (derived); J by Bredt on mid-lines; a 2D solution
    of J is 1.9 % higher (computed with a general section library)."""
    p = properties(box(100.0, 60.0, 3.0).section())
    assert (p.A, p.Iyy, p.Izz) == pytest.approx((924.0, 1_262_372.0, 566_532.0), rel=EXACT)
    assert p.J == pytest.approx(1_191_032.77, rel=EXACT)
    assert p.J + p.J_plates == pytest.approx(1_214_135.39, rel=0.02)


def test_thin_channel():
    """SP-09: thin channel, mid-lines web 100, flanges 50, t = 3 mm: e = 3 b^2/(6 b + h) from the web,
    Iw = t b^3 h^2 (3 b + 2 h)/(12 (6 b + h)), omega e h/2 at the corner and (b - e) h/2 at the tip.
    Source: thin-wall theory.  Status: from memory, closed form; the walls' own moments across thickness are left
    out."""
    section = lines((50.0, 50.0), (0.0, 50.0), (0.0, -50.0), (50.0, -50.0), t=3.0)
    flow = flow_of(section)
    (Izz, _), (_, Iyy) = flow.lines.moments
    assert flow.lines.area == pytest.approx(600.0, rel=EXACT)
    assert (Iyy, Izz) == pytest.approx((1_000_000.0, 156_250.0), rel=EXACT)
    assert flow.lines.centre == pytest.approx((12.5, 0.0), rel=EXACT, abs=1e-9)
    assert flow.shear_centre == pytest.approx((-18.75, 0.0), rel=EXACT, abs=1e-9)
    assert flow.Iw == pytest.approx(273_437_500.0, rel=EXACT)
    assert abs(flow.omega) == pytest.approx(np.array([[1562.5, 937.5], [937.5, 937.5], [937.5, 1562.5]]), rel=EXACT)


def test_lipped_channel():
    """SP-10: mid-lines web 120, flanges 50, lips 15 mm, t = 2 mm.  Source: Young & Budynas, Roark's Formulas, torsion
    table, C-section with inward lips.  Status: from memory, re-computed by sectorial integrals."""
    section = lines((50.0, 45.0), (50.0, 60.0), (0.0, 60.0), (0.0, -60.0), (50.0, -60.0), (50.0, -45.0), t=2.0)
    flow = flow_of(section)
    assert flow.lines.area == pytest.approx(500.0, rel=EXACT)
    assert flow.lines.moments[1, 1] == pytest.approx(1_174_500.0, rel=EXACT)
    assert flow.J == pytest.approx(666.666667, rel=EXACT)
    assert flow.shear_centre[0] == pytest.approx(-24.3295019, rel=EXACT)
    assert flow.Iw == pytest.approx(591_034_483.0, rel=EXACT)


def test_box_with_bottom_wall_at_half():
    """SP-11: sharp box 100 x 60 x 3 mm, bottom wall 1.5 mm left, loss on the inside; parallel-axis sum (derived)."""
    p = properties(box(100.0, 60.0, 3.0, bottom=1.5).section())
    up = p.zc + 50
    found = (p.A, up, p.Iyy, p.Iyy / up, p.Iyy / (100 - up))
    assert found == pytest.approx((843.0, 54.5880783, 1_059_926.21, 19_416.8075, 23_340.2633), rel=EXACT)


def test_box_with_lapped_plate():
    """SP-12: sharp box 100 x 60 x 3 mm, plate 50 x 4 mm under its bottom, V = 6000 N, two welds: q = V Q/I (derived).

    The thin-wall flow in each weld differs from V Q/(2 I) by the walls' thickness across their mid-lines: 0.2 %.
    """
    section = lapped_plate(box(100.0, 60.0, 3.0).section(), "bottom", width=50.0, thickness=4.0, throat=3.0)
    p = properties(section)
    assert (p.A, p.zc + 54, p.Iyy) == pytest.approx((1124.0, 44.747331, 1_707_210.91), rel=EXACT)
    q = joining_flow(section, ["bottom plate"], (0.0, 6000.0))
    assert abs(q) * p.Iyy / 6000 == pytest.approx(8549.46619, rel=EXACT)
    assert abs(q) / 2 == pytest.approx(15.0235676, rel=EXACT)
    for line in weld_lines(section, ["bottom plate"]):
        assert line.flow[1] * 6000 == pytest.approx(q / 2, rel=0.002)


def test_shear_flow_in_a_channel():
    """SP-14: channel of SP-09 under 10 kN along the web: flow at the corner and the neutral axis, flange force, e.
    Source: q = V Q/I.  Status: from memory, closed form."""
    flow = flow_of(lines((50.0, 50.0), (0.0, 50.0), (0.0, -50.0), (50.0, -50.0), t=3.0))
    top = [flow.at(0, xi)[1] * 1e4 for xi in (0.0, 0.5, 1.0)]
    flange = 50.0 * (top[0] + 4 * top[1] + top[2]) / 6  # Simpson is exact for a second-degree flow
    assert abs(top[2]) == pytest.approx(75.0, rel=1e-5)
    assert abs(flow.at(1, 0.5)[1]) * 1e4 == pytest.approx(112.5, rel=1e-5)
    assert abs(flange) == pytest.approx(1875.0, rel=1e-5)
    assert abs(flange) * 100 / 1e4 == pytest.approx(18.75, rel=1e-5)


def test_box_150_75_2():
    """Box 150 x 75 x 2 mm: I = 2.6803e6, Z = 35.74e3, J = 2.113e6 (centre-line), webs 600 mm2; 825 kgf gives 13.5
    average and 16.4 N/mm2 peak web shear by V Q/(I t), 277 kgf m gives 76.0 N/mm2.  Source: hand calculation; limits of
    165 and 100 N/mm2 beside it are common practice, no source.  Tolerance 1e-3: printed to three or four figures."""
    section = box(150.0, 75.0, 2.0).section()
    p = properties(section)
    webs = sum(wall.area for name in ("minus", "plus") for wall in section.named(name))
    shear, moment = 825 * 9.80665, 277 * 9.80665 * 1000
    found = (p.Iyy, p.Iyy / 75, p.J, webs, moment / (p.Iyy / 75))
    assert found == pytest.approx((2.6803e6, 35.74e3, 2.113e6, 600.0, 76.0), rel=1e-3)
    assert shear / webs == pytest.approx(13.5, rel=2e-3)  # 13.48, printed to three figures
    assert max(abs(p.points.tau[:, 1])) * shear == pytest.approx(16.4, rel=2e-3)  # 16.42


@pytest.mark.parametrize(("wall", "bottom", "row"), [
    (2.4, 2.4, (0.80, 0.81, 0.81, 0.82)), (1.5, 1.5, (0.51, 0.52, 0.52, 0.52)), (3.0, 1.5, (0.92, 0.85, 0.78, 0.86)),
])
def test_rust_on_a_box(wall, bottom, row):
    """Box 150 x 75 x 3 mm: share of A, I, weakest Z and J left.  Source: own arithmetic, printed to two figures."""
    new, worn = (properties(box(150.0, 75.0, t, bottom=b).section()) for t, b in ((3.0, 3.0), (wall, bottom)))
    weakest = worn.Iyy / (75 + abs(worn.zc)) / (new.Iyy / 75)
    assert (worn.A / new.A, worn.Iyy / new.Iyy, weakest, worn.J / new.J) == pytest.approx(row, abs=0.006)


def test_box_that_lost_its_bottom_or_is_slit():
    """Box 150 x 75 x 3 mm without its bottom: A 0.84, I 0.66, weakest Z 0.56, J about 1/1000; a full-length slit
    takes J from 3.07e6 to 3.9e3 mm4, a factor near 780.  Source: own arithmetic, printed to two or three figures."""
    whole = box(150.0, 75.0, 3.0).section()
    new, gone, slit = (properties(s) for s in (whole, whole.without(["bottom"]), whole.gap("bottom", 0.5, 1e-3)))
    weakest = gone.Iyy / (75 + gone.zc) / (new.Iyy / 75)
    assert (gone.A / new.A, gone.Iyy / new.Iyy, weakest) == pytest.approx((0.84, 0.66, 0.56), abs=0.006)
    assert 900 < new.J / gone.J < 1100
    assert (new.J, slit.J, new.J / slit.J) == pytest.approx((3.07e6, 3.94e3, 780.0), rel=0.005)


def test_boxing_a_channel():
    """Channel 150 x 65 x 4 mm: J 5.8e3, with a 3 mm closing plate 2.8e6 mm4 (x 480).  Source: own arithmetic, printed
    to two figures (1 %)."""
    channel = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y").section()
    open_, closed = properties(channel), properties(boxing_plate(channel, "top", "bottom", 3.0))
    assert (open_.J, closed.J, closed.J / open_.J) == pytest.approx((5.8e3, 2.78e6, 480.0), rel=0.01)
    assert closed.A == pytest.approx(open_.A + (150 - 8) * 3)
    assert closed.Iw == 0 < open_.Iw
