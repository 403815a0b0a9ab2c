"""The section by hand, against the outline's own closed forms."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.checks.coefficients import VZ, T, coefficients
from ladderfe.errors import ModelError
from ladderfe.hand.section import hand_section
from ladderfe.sections import Angle, Box, Channel, Flat, Section, TopHat, Tube, Wall, properties

thickness = st.floats(1.5, 6.0)


@settings(max_examples=40, deadline=None)
@given(depth=st.floats(60, 200), width=st.floats(40, 100), t=st.tuples(thickness, thickness, thickness, thickness))
def test_box_with_four_walls(depth, width, t):
    """Outer rectangle less inner rectangle, parallel-axis theorem; Q as the flange and the webs above the axis."""
    top, bottom, minus, plus = t
    s = hand_section(Box(depth=depth, width=width, top=top, bottom=bottom, minus=minus, plus=plus))
    inner_depth, inner_width = depth - top - bottom, width - minus - plus
    hole, at = inner_depth * inner_width, (bottom - top) / 2
    area = depth * width - hole
    level = -hole * at / area
    inertia = width * depth**3 / 12 + width * depth * level**2
    inertia -= inner_width * inner_depth**3 / 12 + hole * (at - level) ** 2
    under_flange = depth / 2 - top - level
    first = width * top * (depth / 2 - top / 2 - level) + (minus + plus) * under_flange**2 / 2
    assert s.area == pytest.approx(area, rel=1e-12)
    assert s.inertia == pytest.approx(inertia, rel=1e-12)
    assert s.Z_top == pytest.approx(inertia / (depth / 2 - level), rel=1e-12)
    assert s.Z_bottom == pytest.approx(inertia / (depth / 2 + level), rel=1e-12)
    assert s.web_area == pytest.approx(depth * (minus + plus), rel=1e-12)
    assert s.first_moment == pytest.approx(first, rel=1e-12)
    assert s.peak_shear(-1000.0) == pytest.approx(1000 * first / inertia / (minus + plus), rel=1e-12)


@pytest.mark.parametrize(("minus", "plus"), [(2.0, 1.2), (1.8, 3.4), (2.5, 1.5)])
def test_thinner_web_takes_half_of_a_force_in_the_middle(minus, plus):
    """Against the shear flow round the closed section, the force in the middle between the webs (bending and torsion
    together): within 8 % of it, which is what the flanges carry across; the average is a fifth less at least."""
    box = Box(depth=140, width=70, top=2, bottom=2, minus=minus, plus=plus)
    q, c = properties(box.section()), coefficients(box, box.section())
    thin = c.mean_walls.index("minus" if minus < plus else "plus")
    flow = abs(c.mean[thin, VZ] + ((minus - plus) / 2 / 2 - q.ys) * c.mean[thin, T])
    s = hand_section(box)
    assert s.webs == pytest.approx((minus, plus), rel=1e-12)
    assert s.thinner_shear(-1.0) == pytest.approx(1 / 2 / (140 * min(minus, plus)), rel=1e-12)
    assert s.thinner_shear(1.0) == pytest.approx(flow, rel=0.08)
    assert s.web_shear(1.0) == s.thinner_shear(1.0)
    assert s.average_shear(1.0) < 0.81 * flow


def test_no_web_is_thinner_where_they_are_alike_or_not_two():
    """Alike webs share by halves anyhow; lapped plates are one web; a channel has one."""
    lapped = Section((
        Wall("web", (0.0, -50.0), (0.0, 50.0), 3.0), Wall("top", (0.0, 50.0), (40.0, 50.0), 2.0),
        Wall("other web", (40.0, 50.0), (40.0, -50.0), 4.0), Wall("lap", (0.0, 50.0), (2.5, 50.0), 2.0),
        Wall("plate", (2.5, 50.0), (2.5, -40.0), 2.0),
    ))  # fmt: skip
    assert hand_section(lapped).webs == pytest.approx((5.0, 4.0), rel=1e-12)
    for shape in (Box(depth=120, width=60, top=3, bottom=2, minus=3, plus=3), Tube(diameter=60, wall=2),
                  Channel(depth=150, width=65, web=4, top=5, bottom=5, opens="+y")):
        s = hand_section(shape)
        assert s.thinner_shear(1000.0) is None
        assert s.web_shear(-1000.0) == s.average_shear(1000.0)


def test_rectangle_and_tube():
    """Peak over average shear: 3/2 on a rectangle, 2 on a thin tube (textbook); the tube is drawn by chords, 1 %."""
    flat = hand_section(Flat(depth=100, thickness=10))
    assert flat.peak_shear(1000.0) == pytest.approx(1.5 * 1000 / 1000, rel=1e-12)
    tube = hand_section(Tube(diameter=60, wall=2))
    assert tube.peak_shear(1000.0) == pytest.approx(2000 / (pi * 58 * 2), rel=1e-2)
    assert tube.Z_least == pytest.approx(pi * (60**4 - 56**4) / 64 / 30, rel=1e-3)


@pytest.mark.parametrize(
    ("shape", "web"),
    [
        (Channel(depth=150, width=65, web=4, top=5, bottom=5, opens="+y"), 4.0),
        (Channel(depth=60, width=100, web=4, top=3, bottom=3, opens="+z"), 6.0),
        (TopHat(depth=50, width=100, wall=2, brim=20, opens="-z"), 4.0),
        (Angle(depth=60, width=40, wall=5, corner="-y-z"), 5.0),
        (Box(depth=120, width=60, top=3, bottom=3, minus=3, plus=3, radius=6), 6.0),
    ],
    ids=["channel", "upturned channel", "top-hat", "angle", "rounded box"],
)
def test_first_moments_cancel_about_the_level_axis(shape, web):
    """Q above and below the centroid are the same; the walls that the axis cuts are the upright ones."""
    s, turned = hand_section(shape), hand_section(_upside_down(shape.section()))
    assert s.web == pytest.approx(web, rel=1e-12)
    assert turned.first_moment == pytest.approx(s.first_moment, rel=1e-9)
    assert turned.top == pytest.approx(s.bottom, rel=1e-9)


def _upside_down(section):
    walls = tuple(
        Wall(w.name, (w.start[0], -w.start[1]), (w.end[0], -w.end[1]), w.thickness, w.grow_start, w.grow_end)
        for w in section.walls
    )
    fillets = tuple(type(f)(f.y, -f.z, f.area) for f in section.fillets)
    return Section(walls, fillets)


def test_bending_signs():
    """Sagging: the top is pressed, the bottom pulled."""
    s = hand_section(Box(depth=100, width=50, top=2, bottom=4, minus=3, plus=3))
    top, bottom = s.bending(1e6)
    assert top < 0 < bottom
    assert np.array(s.bending(-1e6)) == pytest.approx([-top, -bottom])
    assert abs(top) > bottom  # the thinner flange lies farther from the axis


def test_nothing_upright_at_the_axis():
    """Two separate lying plates joined by nothing the level axis could cut are refused where they do not connect."""
    with pytest.raises(ModelError):
        hand_section(Section((Wall("a", (0.0, 20.0), (50.0, 20.0), 2.0), Wall("b", (0.0, -20.0), (50.0, -20.0), 2.0))))
