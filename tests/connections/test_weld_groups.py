"""Weld groups against handbook formulas, springs along the lines, and what holds whatever the group and the load."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ladderfe.connections import Applied, in_weld_axes, line_forces, throat_stress, weld_group
from ladderfe.errors import ModelError


def outline(*corners):
    """Lines from corner to corner in the plane z = 0."""
    p = np.array([(*c, 0.0) for c in corners])
    return p[:-1], p[1:]


B, D = 60.0, 100.0
BOX = outline((0, 0), (B, 0), (B, D), (0, D), (0, 0))


@pytest.mark.parametrize(("group", "polar"), [
    (outline((0, 0), (0, D)), D**3 / 12),
    (([(0, 0, 0), (B, 0, 0)], [(0, D, 0), (B, D, 0)]), D * (3 * B**2 + D**2) / 6),
    (BOX, (B + D) ** 3 / 6),
    (outline((B, 0), (0, 0), (0, D)), ((B + D) ** 4 - 6 * B**2 * D**2) / (12 * (B + D))),
    (outline((B, 0), (0, 0), (0, D), (B, D)),
     (8 * B**3 + 6 * B * D**2 + D**3) / 12 - B**4 / (2 * B + D)),
], ids=["line", "two lines", "box", "angle", "channel"])  # fmt: skip
def test_polar_inertia(group, polar):
    """Unit polar moments of inertia of fillet welds, J. E. Shigley, Mechanical Engineering Design, table of torsional
    properties of fillet welds (9-1 in most editions), formulas from memory; exact, hence rounding only."""
    assert weld_group(*group).inertia[2, 2] == pytest.approx(polar, rel=1e-12)


def test_plane_inertias_and_centroid():
    """Box d^2 (3 b + d)/6 about its middle, and the centroid of the channel b^2/(2 b + d): same book, from memory."""
    box = weld_group(*BOX)
    assert box.inertia[0, 0] == pytest.approx(D**2 * (3 * B + D) / 6, rel=1e-12)
    assert box.inertia[1, 1] == pytest.approx(B**2 * (3 * D + B) / 6, rel=1e-12)
    channel = weld_group(*outline((B, 0), (0, 0), (0, D), (B, D)))
    assert channel.centroid == pytest.approx([B**2 / (2 * B + D), D / 2, 0], rel=1e-12)


def test_handbook_fitting_on_a_channel():
    """Welds 56 + 190 + 56 mm, leg 6 mm, 25 kN down at 100 mm before the upright weld: 19.5 MPa direct, J = 7.07e6 mm4,
    37.0 MPa at the legs' ends, 44.0 at the upright weld's.

    Source: J. E. Shigley, Mechanical Engineering Design, example 9-1 in several metric editions (50 kN on a fitting on
    a 200 mm channel), values from memory; throat 0.707 of the leg, three digits: 1 %.
    """
    group = weld_group(*outline((56, 0), (0, 0), (0, 190), (56, 190)))
    throat = 0.707 * 6
    assert 25e3 / group.effective / throat == pytest.approx(19.5, rel=0.01)
    assert throat * group.inertia[2, 2] == pytest.approx(7.07e6, rel=0.002)
    found = line_forces(group, Applied.of([0, -25e3, 0], [-100.0, 95.0, 0.0]))
    stress = found.size / throat
    assert stress[0, 0] == pytest.approx(37.0, rel=0.01)
    assert stress[1] == pytest.approx([44.0, 44.0], rel=0.01)
    assert found.greatest / throat == pytest.approx(44.0, rel=0.01)
    line, end = found.greatest_at
    assert (int(line), int(end)) == (0, 1)


def test_bracket_bent_out_of_its_plane():
    """Two upright welds d = 120 mm, 10 kN down at 80 mm off the wall: q = F/2d and M c/I, I = d^3/6 (closed form)."""
    d = 120.0
    group = weld_group([(0, 0, 0), (50, 0, 0)], [(0, 0, d), (50, 0, d)])
    q = line_forces(group, Applied.of([0, 0, -1e4], [25.0, 80.0, d / 2])).ends
    assert q[..., 2] == pytest.approx(np.full((2, 2), -1e4 / (2 * d)), rel=1e-12)
    # the moment 80 x 10 kN presses the lower ends on the wall (y = 0 plane, part at y > 0), the upper ones pull
    pull = 8e5 * (d / 2) / (d**3 / 6)
    assert q[:, 1, 1] == pytest.approx([pull, pull], rel=1e-12)
    assert q[:, 0, 1] == pytest.approx([-pull, -pull], rel=1e-12)
    assert np.abs(q[..., 0]).max() < 1e-9


@st.composite
def groups(draw, planar=False):
    """Two to five lines of 10 to about 300 mm, not all on one line, with throats; a force and moment at a point."""
    place = st.floats(-150, 150).map(lambda v: round(v, 2))
    n = draw(st.integers(2, 5))
    start = np.array([[draw(place) for _ in range(3)] for _ in range(n)])
    end = start + [[draw(st.sampled_from([-1, 1])) * draw(st.floats(10, 150)) for _ in range(3)] for _ in range(n)]
    if planar:
        start[:, 2] = end[:, 2] = 0
    throat = np.array([draw(st.floats(1, 6)) for _ in range(n)])
    vector = st.lists(st.floats(-1, 1), min_size=3, max_size=3).map(np.array)
    return start, end, throat, 1e4 * draw(vector), 200 * draw(vector), 1e6 * draw(vector)


def usable(start, end, throat):
    group = weld_group(start, end, throat)
    own = np.linalg.eigvalsh(group.inertia)
    assume(own[0] > 1e-4 * own[-1])
    return group


@settings(max_examples=60)
@given(made=groups())
def test_line_forces_add_up_to_what_is_applied(made):
    """Force: length times the mean.  Moment about 0: int r x q ds, both linear, so Simpson's rule is exact."""
    start, end, throat, force, at, moment = made
    group = usable(start, end, throat)
    q = line_forces(group, Applied.of(force, at, moment)).ends
    size = np.abs(q).max() * group.length.sum() + 1
    middle = q.mean(axis=1)
    assert (group.length[:, None] * middle).sum(axis=0) == pytest.approx(force, abs=1e-9 * size)
    turned = sum(w * np.cross(r, f) for w, r, f in (
        (1, start, q[:, 0]), (4, (start + end) / 2, middle), (1, end, q[:, 1])))
    total = (group.length[:, None] / 6 * turned).sum(axis=0)
    assert total == pytest.approx(moment + np.cross(at, force), abs=1e-9 * size * 500)


@settings(max_examples=25)
@given(made=groups())
def test_springs_along_the_lines(made):
    """The same by numbers: alike springs at 4000 midpoints of each line under a rigid part, six equations.

    1e-6 of the greatest: midpoints miss the inertia of a line by 1/n^2.
    """
    start, end, throat, force, at, moment = made
    group = usable(start, end, throat)
    n = 4000
    share = (np.arange(n) + 0.5) / n
    r = (start[:, None] + share[:, None] * (end - start)[:, None]).reshape(-1, 3)
    stiff = np.repeat(throat * np.linalg.norm(end - start, axis=1) / n, n)
    zero = np.zeros(len(r))
    x, y, z = r.T
    cross = np.array([[zero, -z, y], [z, zero, -x], [-y, x, zero]]).transpose(2, 0, 1)
    move = np.concatenate([np.broadcast_to(np.eye(3), cross.shape), -cross], axis=2)  # u + theta x r
    matrix = np.einsum("p,pia,pib->ab", stiff, move, move)
    rigid = np.linalg.solve(matrix, np.concatenate([force, moment + np.cross(at, force)]))
    ends = np.stack([start, end], axis=1)
    expected = throat[:, None, None] * (rigid[:3] + np.cross(rigid[3:], ends))
    found = line_forces(group, Applied.of(force, at, moment)).ends
    assert found == pytest.approx(expected, abs=1e-6 * np.abs(expected).max() + 1e-9)


@settings(max_examples=40)
@given(made=groups(), turn=st.lists(st.floats(-1, 1), min_size=4, max_size=4).filter(lambda v: np.linalg.norm(v) > 0.1))
def test_turning_the_group_turns_the_answer(made, turn):
    start, end, throat, force, at, moment = made
    usable(start, end, throat)
    w, x, y, z = np.array(turn) / np.linalg.norm(turn)
    R = np.array([
        [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
        [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
        [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
    ])  # fmt: skip
    before = line_forces(weld_group(start, end, throat), Applied.of(force, at, moment)).ends
    after = line_forces(weld_group(start @ R.T, end @ R.T, throat), Applied.of(R @ force, R @ at, R @ moment)).ends
    assert after == pytest.approx(before @ R.T, abs=1e-7 * (np.abs(before).max() + 1))


@settings(max_examples=30)
@given(made=groups(planar=True))
def test_size_is_greatest_at_an_end(made):
    start, end, throat, force, at, moment = made
    group = usable(start, end, throat)
    found = line_forces(group, Applied.of(force, at, moment))
    share = np.linspace(0, 1, 21)[:, None, None]
    inside = found.ends[:, 0] * (1 - share) + found.ends[:, 1] * share
    assert np.linalg.norm(inside, axis=-1).max() <= found.greatest * (1 + 1e-12)


def test_cutting_a_line_in_two_changes_nothing():
    whole = weld_group(*BOX, 3.0)
    start, end = (np.array(p) for p in BOX)
    middle = (start + end) / 2
    cut = weld_group(np.concatenate([start, middle]), np.concatenate([middle, end]), 3.0)
    load = Applied.of([1e3, 2e3, -5e2], [10.0, 300.0, 40.0], [1e5, 0, 2e5])
    assert cut.inertia == pytest.approx(whole.inertia)
    assert line_forces(cut, load).ends[:4, 0] == pytest.approx(line_forces(whole, load).ends[:, 0])


def test_many_cases_at_once():
    group = weld_group(*BOX)
    force = np.arange(18.0).reshape(2, 3, 3)
    found = line_forces(group, Applied.of(force, [10.0, 20.0, 30.0]))
    one = line_forces(group, Applied.of(force[1, 2], [10.0, 20.0, 30.0]))
    assert found.ends.shape == (2, 3, 4, 2, 3)
    assert found.ends[1, 2] == pytest.approx(one.ends)
    assert found.greatest[1, 2] == pytest.approx(one.greatest)
    assert found.greatest_at[0].shape == (2, 3)


def test_axes_of_the_welds():
    """Lines run anticlockwise round a plate on top of a wall: a plate pulled toward +x pushes on the weld at x = B
    and pulls off that at x = 0; lifting it opens both throats."""
    group = weld_group(*BOX)
    pulled = in_weld_axes(group, line_forces(group, Applied.of([320.0, 0, 0], [B / 2, D / 2, 0])), [0, 0, 2.0])
    assert pulled[:, 0] == pytest.approx(np.array([[1, 0, 0], [0, 1, 0], [-1, 0, 0], [0, -1, 0]]), abs=1e-12)
    lifted = in_weld_axes(group, line_forces(group, Applied.of([0, 0, 320.0], [B / 2, D / 2, 0])), [0, 0, 1.0])
    assert lifted[..., 2] == pytest.approx(np.ones((4, 2)))
    assert (throat_stress(lifted, 2.0).sigma_perp > 0).all()


def test_one_line_holds_no_moment_about_itself():
    group = weld_group([(0, 0, 0)], [(100, 0, 0)])
    bent = line_forces(group, Applied.of([0, 0, 0], [0, 0, 0], [0, 1e5, 0])).ends
    assert abs(bent[0, 0, 2]) == pytest.approx(1e5 * 50 / (100**3 / 12), rel=1e-12)
    with pytest.raises(ModelError, match="about the line on which all welds lie"):
        line_forces(group, Applied.of([0, 0, 0], [0, 0, 0], [1e5, 1e5, 0]))


@pytest.mark.parametrize(("call", "said"), [
    (lambda: weld_group([(0, 0, 0)], [(0, 0, 0)]), "weld group: the length of a line is 0. Give a number above 0."),
    (lambda: weld_group([(0, 0, 0)], [(1, 0, 0), (2, 0, 0)]), "starts have the shape (1, 3) and ends (2, 3)."),
    (lambda: weld_group(*BOX, [1.0, 2.0]), "2 throats for 4 lines."),
    (lambda: Applied.of([1, 2], [0, 0, 0]), "load on a group: the force has the shape (2,)."),
    (lambda: in_weld_axes(weld_group(*BOX), line_forces(weld_group(*BOX), Applied.of([1, 0, 0], [0, 0, 0])), [0, 1, 0]),
     "line 2 is not square to the normal of its plate."),
])  # fmt: skip
def test_errors_are_one_sentence(call, said):
    with pytest.raises(ModelError) as error:
        call()
    assert said in str(error.value)
