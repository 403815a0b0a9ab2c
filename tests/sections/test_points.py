"""Stress points: where they lie, what they are called, and the stress they give."""

import numpy as np
import pytest

from ladderfe.sections import Box, Channel, Flat, Section, Tube, Wall, properties
from ladderfe.sections.plating import sleeved

SIDES = ("minus", "plus")
BOX = Box(depth=150.0, width=75.0, top=2.0, bottom=2.5, minus=3.0, plus=3.5).section(("inner", "outer"))
CHANNEL = Channel(depth=103.0, width=51.5, web=3.0, top=3.0, bottom=3.0, opens="+y").section(("inner", "outer"))


def places(section):
    points = properties(section).points
    return dict(zip(points.label, zip(points.y.tolist(), points.z.tolist(), strict=True), strict=True))


def test_points_of_a_box_are_the_outlines_corners_and_middles():
    found = places(BOX)
    assert set(found) == {
        "top, inner edge", "top, outer edge", "top, middle", "inner, top edge", "inner, bottom edge", "inner, middle",
        "bottom, inner edge", "bottom, outer edge", "bottom, middle", "outer, top edge", "outer, bottom edge",
        "outer, middle"}
    assert found["top, inner edge"] == found["inner, top edge"] == pytest.approx((-37.5, 75))
    assert found["bottom, outer edge"] == found["outer, bottom edge"] == pytest.approx((37.5, -75))
    assert found["outer, middle"] == pytest.approx((37.5, (74 - 73.75) / 2))  # between the flanges' mid-lines
    assert [properties(BOX).points.wall.count(name) for name in ("top", "bottom", "inner", "outer")] == [3, 3, 3, 3]


def test_points_of_a_channel_lie_on_both_faces():
    found = places(CHANNEL)
    assert len(found) == 18
    assert found["top, free edge, upper face"] == pytest.approx((25.75, 51.5))
    assert found["top, free edge, lower face"] == pytest.approx((25.75, 48.5))
    assert found["top, web edge, lower face"] == found["web, top edge, outer face"] == pytest.approx((-22.75, 48.5))
    assert found["web, bottom edge, inner face"] == pytest.approx((-25.75, -51.5))


def test_points_of_a_flat():
    assert set(places(Flat(depth=60.0, thickness=4.0).section())) == {
        f"plate, {place}, {face} face" for place in ("upper edge", "lower edge", "middle") for face in SIDES}
    assert "plate, plus edge, upper face" in places(Flat(depth=4.0, thickness=60.0).section())


def test_order_is_start_end_middle_on_each_face():
    """Other rooms take the average along a wall by Simpson's rule from these three."""
    for section in (BOX, CHANNEL):
        p = properties(section).points
        for first in range(0, len(p.y), 3):
            assert len({p.index[first], p.index[first + 1], p.index[first + 2]}) == 1
            assert "middle" in p.label[first + 2]
            ends = np.array([p.y[first:first + 2], p.z[first:first + 2]])
            wall = section.walls[p.index[first]]
            assert (ends[:, 1] - ends[:, 0]) @ np.subtract(wall.end, wall.start) > 0


def test_curved_walls_have_points_on_their_curved_face():
    tube = properties(Tube(diameter=60.0, wall=3.0).section(("rear", "front"))).points
    assert len(tube.y) == 20
    assert tube.z[tube.label.index("top, middle")] == pytest.approx(30)
    assert tube.z[tube.label.index("front, next to top")] == pytest.approx(30 * np.sin(np.pi / 5))
    assert tube.y[tube.label.index("rear, middle")] == pytest.approx(-30)
    rounded = Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0, radius=9.0)
    box = properties(rounded.section()).points
    corner = [i for i, label in enumerate(box.label) if "next to" in label]
    assert len(corner) == 8
    centre = np.array([37.5 - 9, 75 - 9])
    reach = np.hypot(abs(box.y[corner]) - centre[0], abs(box.z[corner]) - centre[1])
    assert reach == pytest.approx(9.0, abs=0.05)  # chords turned from the arc by a few degrees
    assert box.z[box.label.index("top, plus edge")] == 75


@pytest.mark.parametrize("radius", [0.0, 6.0, 9.0])
def test_points_of_a_sleeved_box_lie_in_mirror_image(radius):
    """A section alike to both sides, and up and down, has its points so, whatever order its walls are in: beside a weld
    at the end of a flat no curved wall has one of its own."""
    box = Box(depth=150.0, width=75.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0, radius=radius)
    p = properties(sleeved(box, 2.0).section()).points

    def sorted_at(y, z):
        return np.array(sorted(zip(np.round(y, 6) + 0.0, np.round(z, 6) + 0.0, strict=True)))

    assert np.allclose(sorted_at(-p.y, p.z), sorted_at(p.y, p.z))
    assert np.allclose(sorted_at(p.y, -p.z), sorted_at(p.y, p.z))


def test_wall_between_two_cells_has_points_on_both_faces():
    a, b, c, d, e, f = (0.0, 0.0), (80.0, 0.0), (120.0, 0.0), (120.0, 60.0), (80.0, 60.0), (0.0, 60.0)
    walls = [("lower 1", a, b), ("lower 2", b, c), ("right", c, d), ("upper 2", d, e), ("upper 1", e, f),
             ("left", f, a), ("common", b, e)]
    found = places(Section(tuple(Wall(name, start, end, 2.0) for name, start, end in walls)))
    assert {label for label in found if label.startswith("common")} == {
        f"common, {place}, {face} face" for place in ("lower 1 edge", "upper 2 edge", "middle") for face in SIDES}
    assert found["common, middle, plus face"] == (81, 30)


def test_stress_signs_on_a_box():
    """Under Vz the webs' shear stress points up and sums to the force; under torque it runs counter-clockwise
    around."""
    p = properties(BOX)
    for name in ("inner", "outer"):
        i = p.points.label.index(f"{name}, middle")
        wall = BOX.walls[p.points.index[i]]
        up = np.sign(wall.end[1] - wall.start[1])
        assert p.points.tau[i, 1] * up > 0
        outward = 1 if name == "outer" else -1
        assert p.points.tau[i, 2] * up * outward > 0
    assert not p.points.tau_face.any()
    assert not p.points.omega.any()


def test_open_walls_carry_torque_on_their_faces_and_warping_as_flow():
    """t/J per unit torque (common theory); sectorial coordinates of the thin channel, e h/2 and (b - e) h/2 with e =
    18.75 (closed form, from memory); warping torque's flow vanishes at the free edges."""
    p = properties(CHANNEL)
    assert abs(p.points.tau_face) == pytest.approx(3 / 1800)
    for label, tau, wall in zip(p.points.label, p.points.tau_face, p.points.index, strict=True):
        way = np.subtract(CHANNEL.walls[wall].end, CHANNEL.walls[wall].start) * tau  # turns about +x': y to z
        if label.startswith("top"):
            assert way[0] * (1 if "lower" in label else -1) > 0
        elif label.startswith("web"):
            assert way[1] * (1 if "inner" not in label else -1) > 0
    omega = dict(zip(p.points.label, abs(p.points.omega), strict=True))
    assert omega["top, free edge, upper face"] == pytest.approx(1562.5)
    assert omega["web, top edge, outer face"] == pytest.approx(937.5)
    free = [i for i, label in enumerate(p.points.label) if "free" in label]
    assert p.points.tau_warp[free] == pytest.approx(0, abs=1e-15)
    assert abs(p.points.tau_warp).max() > 1e-5


def test_warping_stress_and_bimoment_agree_in_sign():
    """s = B omega/Iw must give back B = int s omega dA and no N, My, Mz, with the flow's balance dq/ds = -t ds/dx."""
    p = properties(CHANNEL)
    top = [i for i, label in enumerate(p.points.label) if label.startswith("top") and "upper" in label]
    start, end, middle = top
    length = 50.0
    slope = (p.points.tau_warp[end] - p.points.tau_warp[start]) / length
    mean = (p.points.omega[start] + 4 * p.points.omega[middle] + p.points.omega[end]) / 6 / p.Iw
    assert slope == pytest.approx(-mean)


def test_arrays_are_read_only():
    p = properties(BOX)
    for array in (p.points.y, p.points.tau, p.shear):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1


def test_equal_sections_share_one_answer():
    again = Box(depth=150.0, width=75.0, top=2.0, bottom=2.5, minus=3.0, plus=3.5).section(("inner", "outer"))
    assert properties(again) is properties(BOX)
