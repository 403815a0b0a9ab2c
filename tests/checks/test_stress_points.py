"""Stress at named wall points by hand: My/Z, V over the webs, Bredt, unsymmetric bending, warping, racking.

Sources: any text on strength of materials (formulas from memory); the box of 150 x 75 x 2 mm with 13.5 and 76.0 N/mm2
under 825 kgf and 277 kgf m is the worked example that was asked for (common practice, no source).
"""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.checks.coefficients import coefficients, coefficients_of, normal_coefficients
from ladderfe.checks.stress import point_table
from ladderfe.sections import Angle, Box, Channel, Plate, TopHat, Tube, plated, properties

KG = 9.80665
EXACT = 1e-9
N, VY, VZ, T, MY, MZ, B, LAST = range(8)
SQUARE = Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=2)
BOX = SQUARE.section(("inner", "outer"))
SECOND = (75 * 150**3 - 71 * 146**3) / 12


def at(section, label):
    return properties(section).points.label.index(label)


def test_normal_stress_of_the_box_by_hand():
    """277 kgf m sagging: Z = I/75 = 35.74e3 mm3, 76.0 N/mm2 tension below, compression above, in between nothing."""
    c = normal_coefficients(properties(BOX))
    moment = 277 * KG * 1000
    assert moment / (SECOND / 75) == pytest.approx(76.0, rel=1e-3)
    my = -moment  # sagging is positive in diagrams, My = -M
    assert c[at(BOX, "bottom, outer edge"), MY] * my == pytest.approx(moment * 75 / SECOND, rel=EXACT)
    assert c[at(BOX, "top, inner edge"), MY] * my == pytest.approx(-moment * 75 / SECOND, rel=EXACT)
    assert c[at(BOX, "outer, middle"), MY] * my == pytest.approx(0, abs=EXACT)
    assert c[:, N] == pytest.approx(1 / (150 * 75 - 146 * 71), rel=EXACT)
    assert c[:, [VY, VZ, T, LAST]] == pytest.approx(0)


def test_sideways_bending_has_its_own_sign():
    """Mz = -int s y dA: positive Mz presses the +y side."""
    c = normal_coefficients(properties(BOX))
    wide = (150 * 75**3 - 146 * 71**3) / 12
    assert c[at(BOX, "outer, middle"), MZ] == pytest.approx(-37.5 / wide, rel=EXACT)
    assert c[at(BOX, "inner, middle"), MZ] == pytest.approx(37.5 / wide, rel=EXACT)


def test_average_web_shear_of_the_box_by_hand():
    """825 kgf over two webs of 150 x 2 mm: 13.5 N/mm2 average; 16.4 at the middle by V Q/(I t)."""
    force = 825 * KG
    found = coefficients(SQUARE, BOX)
    names, mean = found.mean_walls, found.mean
    webs = [abs(mean[names.index(n), VZ]) * force for n in ("inner", "outer")]
    assert webs == pytest.approx([force / 600] * 2, rel=EXACT)
    assert webs[0] == pytest.approx(13.5, rel=2e-3)  # 13.48, printed as 13.5
    first = 73 * 2 * 74 + 2 * 74 * 2 * 37  # of half the mid-lines about the middle: flange and two half webs
    lines = 2 * 73 * 2 * 74**2 + 2 * 2 * 148**3 / 12
    peak = abs(found.shear[at(BOX, "outer, middle"), VZ]) * force
    assert peak == pytest.approx(force * first / (lines * 4), rel=EXACT)
    assert peak == pytest.approx(16.4, rel=5e-3)  # by the outside rectangles it is 16.4, by mid-lines 16.37


def test_torsion_of_the_box_is_bredts():
    """tau = T/(2 Am t) in every wall, Am = 148 x 73 mm2."""
    c = coefficients(SQUARE, BOX).shear
    assert np.abs(c[:, T]) == pytest.approx(1 / (2 * 148 * 73 * 2), rel=EXACT)


SHAPES = {
    "box": Box(depth=140, width=70, top=2, bottom=3, minus=1.5, plus=4),
    "channel": Channel(depth=120, width=50, web=3, top=4, bottom=2.5, opens="+y"),
    "channel up": Channel(depth=60, width=120, web=3, top=3, bottom=3, opens="+z"),
    "lipped": Channel(depth=120, width=60, web=2, top=2, bottom=2, opens="-y", lip=20),
    "top hat": TopHat(depth=60, width=140, wall=3, brim=25, opens="-z"),
    "angle": Angle(depth=70, width=50, wall=5, corner="-y-z"),
}


@pytest.mark.parametrize("shape", SHAPES.values(), ids=SHAPES)
@pytest.mark.parametrize("direction", [VY, VZ])
def test_average_shear_of_all_walls_adds_up_to_the_shear_force(shape, direction):
    """Each wall's average times its true area along its direction: equilibrium of the section."""
    section = shape.section()
    walls = [w for w in section.walls if w.true_length > 0]
    mean = coefficients(shape, section).mean
    along = np.array([np.subtract(w.end, w.start) / w.length for w in walls])
    force = (mean[:, direction] * [w.area for w in walls]) @ along
    assert force == pytest.approx([1.0, 0.0] if direction == VY else [0.0, 1.0], abs=EXACT)


@given(st.floats(1.5, 6), st.floats(1.5, 6), st.floats(1.5, 6), st.floats(1.5, 6))
def test_webs_of_a_rusted_box_carry_the_shear_between_them(top, bottom, minus, plus):
    box = Box(depth=150, width=75, top=top, bottom=bottom, minus=minus, plus=plus)
    section = box.section()
    found = coefficients(box, section)
    names, mean = found.mean_walls, found.mean
    up = {"minus": -1, "plus": 1}  # the walls run around the box: minus downward, plus upward
    total = sum(s * mean[names.index(n), VZ] * section.named(n)[0].area for n, s in up.items())
    assert total == pytest.approx(1, rel=EXACT)


@pytest.mark.parametrize("shape", [SHAPES["angle"], SHAPES["box"], SHAPES["channel"]], ids=["angle", "box", "channel"])
def test_unsymmetric_bending_by_principal_axes(shape):
    """Turn to principal axes, two plain bendings there, add: what the formula with Iyz must give at every point."""
    q = properties(shape.section())
    values, vectors = np.linalg.eigh(np.array([[q.Iyy, -q.Iyz], [-q.Iyz, q.Izz]]))  # inertia tensor about y, z
    place = np.stack([q.points.y - q.yc, q.points.z - q.zc], axis=1)
    my, mz = 3.0e5, -1.7e5
    stress = np.zeros(len(place))
    for value, axis in zip(values, vectors.T, strict=True):
        m = np.array([my, mz]) @ axis  # moment about this principal axis
        arm = place @ np.array([-axis[1], axis[0]])  # distance from it, toward the side that m stretches
        stress += m / value * arm
    c = normal_coefficients(q)
    assert c[:, MY] * my + c[:, MZ] * mz == pytest.approx(stress, rel=1e-9, abs=1e-9 * np.abs(stress).max())


def test_an_angle_bends_sideways_under_a_vertical_moment():
    """Equal legs: the neutral axis is not level; at the heel and the tips the stress differs from M z/I."""
    section = Angle(depth=60, width=60, wall=6, corner="-y-z").section()
    q = properties(section)
    c = normal_coefficients(q)[:, MY]
    plain = (q.points.z - q.zc) / q.Iyy
    assert np.abs(c - plain).max() > 0.5 * np.abs(plain).max()
    # no resulting sideways moment: int s y dA = 0 is what distinguishes it, checked on the plates' stress in the middle
    assert abs(q.Iyz) > 0.4 * q.Iyy


# --- warping and racking -------------------------------------------------------------------------------------------


def walls_of(shape):
    """Of every straight wall: start, direction and thickness of its mid-line, and the points of its outer or left
    face: start, end, middle."""
    section = shape.section()
    index = properties(section).points.index
    for k, w in enumerate(section.walls):
        yield np.array(w.start), np.subtract(w.end, w.start), w.thickness, np.nonzero(index == k)[0]


def flow_forces(shape, column):
    """Force along y and z and torque about the shear centre of the shear flow per unit resultant, in the middle of the
    walls: Simpson's rule, exact for parabolas.  Open walls have points on both faces, whose mean is the middle."""
    shear, q = coefficients(shape, shape.section()).shear, properties(shape.section())
    out = np.zeros(3)
    for start, along, thickness, own in walls_of(shape):
        flow = thickness * shear[own, column].reshape(-1, 3).mean(axis=0)  # start, end, middle
        force = (flow[0] + 4 * flow[2] + flow[1]) / 6 * along
        arm = start - (q.ys, q.zs)
        out += [*force, arm[0] * force[1] - arm[1] * force[0]]
    return out


OPEN = ("channel", "channel up", "top hat")


@pytest.mark.parametrize("name", OPEN)
def test_st_venants_torque_acts_on_the_faces_of_open_walls(name):
    """T t/J on one face, as much against it on the other, nothing in the middle (any text on strength of materials)."""
    shape = SHAPES[name]
    c, q = coefficients(shape, shape.section()).shear[:, T], properties(shape.section())
    for _, _, thickness, own in walls_of(shape):
        one, other = c[own].reshape(2, 3)
        assert one == pytest.approx(-other, rel=EXACT)
        assert np.abs(one) == pytest.approx(thickness / q.J, rel=EXACT)
    assert flow_forces(shape, T) == pytest.approx([0, 0, 0], abs=EXACT)


@pytest.mark.parametrize("name", OPEN)
def test_warping_torque_is_a_flow_in_the_middle_of_open_walls(name):
    """The last column is what a torque that is warping's brings less what it would as St-Venant's: with T both faces
    are alike again, and the flow turns about the shear centre with that torque and pushes nowhere."""
    shape = SHAPES[name]
    c = coefficients(shape, shape.section()).shear
    for _, _, _, own in walls_of(shape):
        one, other = (c[own, T] + c[own, LAST]).reshape(2, 3)
        assert one == pytest.approx(other, rel=1e-9, abs=1e-15)
    assert flow_forces(shape, LAST) == pytest.approx([0, 0, 1], abs=1e-9)


def along_walls(shape):
    """Of every wall its start, middle and end (3, 2) on the mid-line, the area that each stands for (Simpson), its
    points and thickness."""
    for start, along, thickness, own in walls_of(shape):
        share = np.array([0, 0.5, 1])[:, None]
        yield start + share * along, np.array([1, 4, 1]) / 6 * thickness * np.hypot(*along), own, thickness


def swept(shape):
    """Sectorial coordinate at the walls' starts and ends, by its definition: along the walls it grows by twice the area
    that a ray from the shear centre sweeps; counted from the first wall's start."""
    q = properties(shape.section())
    known, left = {}, [(start, start + along) for start, along, _, _ in walls_of(shape)]
    known[tuple(left[0][0])] = 0.0
    while left:
        p, q2 = next((a, b) for a, b in left if tuple(a) in known or tuple(b) in known)
        left = [pair for pair in left if pair[0] is not p]
        (y1, z1), (y2, z2) = p - (q.ys, q.zs), q2 - (q.ys, q.zs)
        grown = y1 * (z2 - z1) - z1 * (y2 - y1)
        if tuple(p) in known:
            known[tuple(q2)] = known[tuple(p)] + grown
        else:
            known[tuple(p)] = known[tuple(q2)] - grown
    return known


@pytest.mark.parametrize("name", OPEN)
def test_bimoment_of_open_walls_has_no_other_force(name):
    """B stretches with int s dA = int s y dA = int s z dA = 0 and int s w dA = 1, w found anew from its definition."""
    shape = SHAPES[name]
    stress, omega, sums = coefficients(shape, shape.section()).normal[:, B], swept(shape), np.zeros(4)
    for places, area, own, _ in along_walls(shape):
        s = stress[own].reshape(2, 3).mean(axis=0)[[0, 2, 1]]  # told start, end, middle
        w = np.interp([0, 0.5, 1], [0, 1], [omega[tuple(places[0])], omega[tuple(places[2])]])
        sums += [area @ s, area @ (s * places[:, 0]), area @ (s * places[:, 1]), area @ (s * w)]
    size = np.abs(stress).max() * properties(shape.section()).A
    assert sums[:3] / size == pytest.approx([0, 0, 0], abs=1e-7)
    assert sums[3] == pytest.approx(1, rel=1e-9)


RACKING = {
    "equal walls": SQUARE,
    "four walls": SHAPES["box"],
    "worn on one side": Box(depth=150, width=75, top=2, bottom=1.2, minus=3, plus=1),
}


def middle_of(box):
    """Middle of the mid-lines."""
    corners = np.array([start for start, _, _, _ in walls_of(box)])
    return (corners.max(axis=0) + corners.min(axis=0)) / 2


@pytest.mark.parametrize("box", RACKING.values(), ids=RACKING)
def test_bimoment_of_racking_has_no_other_force(box):
    """s = c0 + c1 y + c2 z + c3 y z on the whole outline, so told by its corners; int s dA = int s y dA = int s z dA =
    0, and int s y z dA = 1 about the middle of the mid-lines, as B works on the warping u = f y z."""
    q, stress = properties(box.section()), coefficients(box, box.section()).normal[:, B]
    y, z = (np.stack([q.points.y, q.points.z], axis=1) - middle_of(box)).T
    c, *_ = np.linalg.lstsq(np.stack([0 * y + 1, y, z, y * z], axis=1), stress, rcond=None)
    assert c @ [0 * y + 1, y, z, y * z] == pytest.approx(stress, rel=1e-9, abs=1e-15)
    sums = np.zeros(4)
    for places, area, _, _ in along_walls(box):
        y, z = (places - middle_of(box)).T
        s = c @ [0 * y + 1, y, z, y * z]
        sums += [area @ s, area @ (s * y), area @ (s * z), area @ (s * y * z)]
    size = np.abs(stress).max() * q.A
    assert sums[:3] / size == pytest.approx([0, 0, 0], abs=1e-7)
    assert sums[3] == pytest.approx(1, rel=1e-9)


@pytest.mark.parametrize("box", RACKING.values(), ids=RACKING)
def test_racking_force_is_a_flow_that_works_on_racking_alone(box):
    """Its flow pushes nowhere and turns nothing, and works 1 on unit racking, which moves the webs up and down by y/2
    and the flanges sideways by z/2 about the middle of the mid-lines."""
    shear, work = coefficients(box, box.section()).shear[:, LAST], 0.0
    for places, _, own, thickness in along_walls(box):
        side = places[2] - places[0]
        y, z = (places - middle_of(box)).T
        moved = np.stack([z, y], axis=1) @ side / 2  # g/2 (z, y) along the wall, times its length
        work += np.array([1, 4, 1]) / 6 * thickness * shear[own][[0, 2, 1]] @ moved
    assert work == pytest.approx(1, rel=1e-9)
    assert flow_forces(box, LAST) == pytest.approx([0, 0, 0], abs=1e-9)


def test_tables_of_sections_with_unlike_points_are_padded_with_nothing():
    shapes = (SQUARE, SHAPES["channel"], Tube(diameter=60, wall=3))
    sections = tuple(s.section() for s in shapes)
    table = point_table(SimpleNamespace(shapes=shapes, sections=sections, least_shapes=shapes, least_sections=sections))
    for k, section in enumerate(sections):
        n = len(properties(section).points.y)
        assert table.real[k].tolist() == [True] * n + [False] * (table.real.shape[1] - n)
        assert not table.normal[k, n:].any()
        assert len(table.walls[k]) == len(table.labels[k]) == n


def test_tube_in_bending_and_torsion_by_hand():
    """Outside diameter 76, wall 3: extreme fibre M r/I on the true outline, tau = T/(2 pi r^2 t) on the mid-line."""
    tube = Tube(diameter=76, wall=3)
    found = coefficients(tube, tube.section())
    second = np.pi / 64 * (76**4 - 70**4)
    # the round is sixteen or more flats: 1 - cos(pi/16) and less, half of it after the flats are set right
    assert np.abs(found.normal[:, MY]).max() == pytest.approx(38 / second, rel=5e-3)
    assert np.abs(found.shear[:, T]) == pytest.approx(1 / (2 * np.pi * 36.5**2 * 3), rel=1e-2)
    assert not found.normal[:, B].any()
    assert not found.shear[:, LAST].any()


@settings(max_examples=25)
@given(
    order=st.permutations(range(7)), size=st.floats(90, 200), wall=st.floats(2, 6), radius=st.sampled_from([0.0, 9.0]),
    sides=st.tuples(*[st.sampled_from(["inner", "outer", "front", "rear"])] * 2).filter(lambda s: s[0] != s[1]),
)  # fmt: skip
def test_sections_together_as_one_by_one(order, size, wall, radius, sides):
    """Boxes with and without plates, open sections that warp or not, round ones, in any order; other names of the
    sides make sections that are worked out alone.  1e-12: the same sums."""
    box = Box(depth=size, width=75, top=wall, bottom=wall + 1, minus=wall, plus=2, radius=radius)
    shapes = [
        box, plated(box, [Plate(wall="bottom", thickness=5, width=40, centre=4)]), Tube(diameter=size / 2, wall=wall),
        Channel(depth=size, width=65, web=wall, top=wall, bottom=2, opens="+y", radius=radius), SHAPES["top hat"],
        Angle(depth=size, width=60, wall=wall, corner="-y-z"), replace(box, plus=wall + 2),
    ]  # fmt: skip
    shapes = [shapes[k] for k in order]
    together = coefficients_of([(s, s.section(("a", "b"))) for s in shapes])
    for shape, found in zip(shapes, together, strict=True):
        alone = coefficients(shape, shape.section(sides))
        for name in ("normal", "shear", "mean", "across"):
            one, other = getattr(alone, name), getattr(found, name)
            assert other == pytest.approx(one, rel=1e-12, abs=1e-12 * np.abs(one).max())
        assert (len(found.walls), len(found.mean_walls)) == (len(alone.walls), len(alone.mean_walls))
