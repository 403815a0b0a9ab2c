"""Lapped plates, boxing plates, gaps and missing walls; the flow in the lines that join them."""

# ruff: noqa: SIM300 - upper-case textbook symbols are no constants

import pickle

import pytest

from ladderfe.errors import ModelError
from ladderfe.sections import (
    Box,
    Channel,
    Section,
    Tube,
    Wall,
    boxing_plate,
    joining_flow,
    lapped_plate,
    properties,
    weld_lines,
)

BOX = Box(depth=100.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0).section()
CHANNEL = Channel(depth=150.0, width=65.0, web=4.0, top=4.0, bottom=4.0, opens="+y").section()


def test_lapped_plate_lies_outside_or_inside():
    """A sum of rectangles: plate 50 x 4 at the outer face or the inner face of the top wall."""
    for inside, place in ((False, 52.0), (True, 45.0)):
        p = properties(lapped_plate(BOX, "top", width=50.0, thickness=4.0, throat=3.0, inside=inside))
        assert (p.A, p.zc) == pytest.approx((924 + 200, 200 * place / 1124))
        assert p.Iyy == pytest.approx(1_262_372 + 50 * 4**3 / 12 + 924 * p.zc**2 + 200 * (place - p.zc) ** 2)


def test_lapped_plate_off_centre_and_as_wide_as_the_wall():
    """Where it reaches the corners the weld sits at the end of the mid-line, and the plate keeps its true width."""
    wide = lapped_plate(BOX, "plus", width=100.0, thickness=3.0, throat=3.0)
    p = properties(wide)
    assert (p.A, p.yc) == pytest.approx((924 + 300, 300 * 31.5 / 1224))
    off = lapped_plate(BOX, "plus", width=30.0, thickness=3.0, throat=3.0, centre=70.0)
    low, high = sorted(z for wall in off.named("plus plate") for _, z in (wall.start, wall.end))
    start = BOX.named("plus")[0].start[1]
    assert (low, high) == pytest.approx((start + 55, start + 85))


def test_flow_into_a_lapped_plate_is_that_of_its_welds():
    """V Q/I over both welds together: thin-wall flow within the walls' thickness (0.5 %); a plate off the middle
    loads the welds unequally, and both together still carry V Q/I."""
    for centre in (None, 20.0):
        plated = lapped_plate(BOX, "bottom", width=30.0, thickness=3.0, throat=3.0, centre=centre)
        whole = joining_flow(plated, ["bottom plate"], (0.0, 1000.0))
        welds = [line.flow[1] * 1000 for line in weld_lines(plated, ["bottom plate"])]
        assert sum(welds) == pytest.approx(whole, rel=0.005)
    assert abs(welds[0] - welds[1]) > 0.01 * abs(whole)


def test_joining_flow_of_all_walls_is_nothing():
    assert joining_flow(BOX, ["top", "bottom", "minus", "plus"], (300.0, 1000.0)) == pytest.approx(0, abs=1e-9)


def test_joining_flow_of_an_unsymmetric_section():
    """Z of three plates under Vz alone: against the bending stress's growth summed over the flange at two stations."""
    z = Section((Wall("top", (0.0, 50.0), (40.0, 50.0), 3.0), Wall("web", (0.0, -50.0), (0.0, 50.0), 3.0),
                 Wall("bottom", (-40.0, -50.0), (0.0, -50.0), 3.0)))
    p = properties(z)
    det = p.Iyy * p.Izz - p.Iyz**2
    growth = 120 * ((50 - p.zc) * p.Izz - (20 - p.yc) * p.Iyz) / det  # d/dx of the flange's force for dMy/dx = 1
    assert joining_flow(z, ["top"], (0.0, 1.0)) == pytest.approx(growth)


def test_boxing_plate_over_or_between_the_flanges():
    between, over = (boxing_plate(CHANNEL, "top", "bottom", 3.0, over=over) for over in (False, True))
    assert properties(between).A == pytest.approx(properties(CHANNEL).A + 142 * 3)
    assert properties(over).A == pytest.approx(properties(CHANNEL).A + 150 * 3)
    assert max(properties(between).points.y) == pytest.approx(32.5)
    assert max(properties(over).points.y) == pytest.approx(35.5)


def test_gap_opens_the_cell_and_keeps_the_rest():
    """A gap of 20 mm takes 60 mm2 from a 3 mm wall; two halves of it stand out with free edges."""
    p, q = properties(BOX.gap("top", 0.5, 20.0)), properties(BOX)
    assert (p.cells, p.A) == (0, pytest.approx(q.A - 60))
    assert p.J == pytest.approx(((57 - 20) + 57 + 2 * 97) * 27 / 3)
    assert sum("free edge" in label for label in p.points.label) == 4


def test_walls_left_alone_end_at_their_plates_edges():
    """A box without a side wall is the channel of the same outline, warping included; one without its web is two
    plates, whose flanges no longer reach the web's middle."""
    p = properties(BOX.without(["plus"]))
    q = properties(Channel(depth=100.0, width=57.0, web=3.0, top=3.0, bottom=3.0, opens="+y").section())
    assert (p.A, p.Iyy, p.Izz) == pytest.approx((q.A, q.Iyy, q.Izz))
    assert (p.Iw, p.J, p.ys - p.yc) == pytest.approx((q.Iw, q.J, q.ys - q.yc))
    (top,) = CHANNEL.without(["web", "bottom"]).walls
    assert (top.length, top.grow_start, top.grow_end) == (61.0, 0.0, 0.0)


def test_lapped_plate_twists_with_its_wall():
    """A plate as thick as the wall under it, edges welded: together a strip of 2 t, J = b (2 t)^3/3 by Bredt's flow
    (4 (b t)^2/(2 b/t) = 3/4 of it) and the plates' own t^3/3 (1/4).  Both count, and so does their stress: together
    2 t/J per unit torque, as on the faces of the strip."""
    strip = Section((Wall("strip", (0.0, -50.0), (0.0, 50.0), 3.0), Wall("arm", (0.0, 50.0), (90.0, 50.0), 3.0)))
    p = properties(lapped_plate(strip, "strip", width=100.0, thickness=3.0, throat=1e3))
    assert (p.cells, p.J_plates) == (1, 0)
    assert p.J == pytest.approx((100 * 6**3 + 90 * 3**3) / 3, rel=2e-3)  # welds 3 mm long at a throat of 1000 mm
    for i, label in enumerate(p.points.label):
        if "plate" in label and "middle" in label:
            assert abs(p.points.tau[i, 2] + p.points.tau_face[i]) == pytest.approx(6 / p.J, rel=2e-3)


def test_small_cell_on_an_open_section_leaves_the_walls_their_own_torsion():
    """A square of 14 mm on the edge of a flange: Bredt's 4 A^2/(U/t) of it, and t^3/3 of all walls, its own too."""
    channel = [Wall("top", (50.0, 100.0), (0.0, 100.0), 3.0), Wall("web", (0.0, 100.0), (0.0, 0.0), 3.0),
               Wall("bottom", (0.0, 0.0), (50.0, 0.0), 3.0)]
    corners = [(50.0, 0.0), (64.0, 0.0), (64.0, 14.0), (50.0, 14.0)]
    square = [Wall("square", corners[i], corners[(i + 1) % 4], 2.0) for i in range(4)]
    p = properties(Section((*channel, *square)))
    assert (p.cells, p.J_plates) == (1, 0)
    assert p.J == pytest.approx(4 * 14**4 / (4 * 14 / 2) + (200 * 3**3 + 56 * 2**3) / 3)
    assert p.Iw > 0
    assert abs(p.points.tau_face).min() > 0


def test_plates_and_gaps_keep_to_the_flat_between_bends():
    rounded = Box(depth=100.0, width=60.0, top=3.0, bottom=3.0, minus=3.0, plus=3.0, radius=9.0).section()
    assert rounded.flat("top").length == pytest.approx(60 - 2 * 9)
    plain = properties(rounded)
    plated = properties(lapped_plate(rounded, "top", width=30.0, thickness=3.0, throat=2.0))
    assert (plated.cells, plated.A) == (2, pytest.approx(plain.A + 90))
    opened = properties(rounded.gap("top", 0.5, 10.0))
    assert (opened.cells, opened.A) == (0, pytest.approx(plain.A - 30))
    with pytest.raises(ModelError, match="it is curved all along"):
        Tube(diameter=60.0, wall=3.0).section().gap("top", 0.5, 2.0)


def test_a_stored_section_finds_its_equal_again():
    """Its hash rests on strings, whose hashes differ from one process to the next: it is not stored."""
    assert hash(BOX) == hash(pickle.loads(pickle.dumps(BOX)))
    assert b"_hash" not in pickle.dumps(BOX)
    assert pickle.loads(pickle.dumps(BOX)) == BOX


@pytest.mark.parametrize(("make", "words"), [
    (lambda: BOX.named("floor"), "no wall is called 'floor'. The walls are bottom, plus, top, minus"),
    (lambda: BOX.gap("top", 0.1, 20.0), "a gap of 20.0 mm at 0.1 of 57 mm does not fit"),
    (lambda: BOX.without(["top", "bottom", "minus", "plus"]), "it has no wall with metal"),
    (lambda: lapped_plate(BOX, "top", width=30.0, thickness=3.0, throat=3.0, centre=200.0), "is not on its flat part"),
    (lambda: lapped_plate(BOX, "top", width=55.0, thickness=3.0, throat=3.0, inside=True),
     "a plate inside runs into the wall beside it. Between the walls beside it there are 54 mm"),
    (lambda: boxing_plate(BOX, "top", "bottom", 3.0), "wall top: it has no free edge"),
    (lambda: Wall("a", (0.0, 0.0), (0.0, 0.0), 1.0), "wall a: starts and ends at (0.0, 0.0)"),
    (lambda: Wall("a", (0.0, 0.0), (9.0, 0.0), 0.0), "thickness 0.0 mm"),
    (lambda: Wall("a", (0.0, 0.0), (9.0, 0.0), 1.0, grow_start=-10.0), "its plate is -1.0 mm long"),
])
def test_refusals(make, words):
    with pytest.raises(ModelError) as caught:
        make()
    assert words in str(caught.value)
