"""Beams: standard formulas against the frame solver.

Source unless a test names another: standard beam formulas (e.g. W. C. Young, R. G. Budynas, Roark's Formulas for Stress
and Strain, beam tables; S. P. Timoshenko, Strength of Materials).  Status: from memory, source text not seen; closed
forms, re-computed.  Steel E = 210000 N/mm2, I = 1.2e6 mm4, shear deformation neglected (infinite shear area).

Tolerance 1e-5 where no other is given: beam theory is exact at the nodes, what is left is rounding and the stand-in
for an infinite area (2e-6 at most).
"""

from itertools import chain, pairwise

import pytest
from scipy.optimize import brentq

EXACT = 1e-5


@pytest.fixture(scope="module")
def steel(frames):
    return frames.Bar(E=210_000.0, G=81_000.0, Iy=1.2e6, Iz=1.2e6)


@pytest.fixture(params=[1, 8, 50], ids=["1 member a span", "8 members a span", "50 members a span"])
def parts(request):
    return request.param


def straight(frames, steel, places, parts):
    """Nodes at `places` on the x axis with `parts` members between two; free in the vertical plane only."""
    m = frames.Model()
    stations = [m.node(x, 0, 0) for x in places]
    spans = [m.chain(a, b, steel, parts)[1] for a, b in pairwise(stations)]
    m.plane(frames.OUT_OF_PLANE_XZ)
    m.hold(stations[0], "ux")
    return m, stations, spans


def load_all(model, spans, w):
    for member in chain(*spans):
        model.line(member, (0, 0, -w))


def test_supported_beam_with_central_force(frames, steel, parts):
    """BM-01: span 2400 mm, 5000 N at the middle."""
    m, (a, c, b), (front, _) = straight(frames, steel, [0, 1200, 2400], parts)
    m.hold((a, b), "uz")
    m.load(c, (0, 0, -5000))
    s = m.solve()
    assert s.reaction(a)[2] == pytest.approx(2500.0, rel=EXACT)
    assert s.M(front[-1], 1200 / parts) == pytest.approx(3.0e6, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-5.71428571, rel=EXACT)
    assert s.move(a)[4] == pytest.approx(0.00714285714, rel=EXACT)  # the rear goes down: positive about y (right)


def test_supported_beam_with_line_load(frames, steel, parts):
    """BM-02: span 2400 mm, 2 N/mm."""
    m, (a, c, b), spans = straight(frames, steel, [0, 1200, 2400], parts)
    m.hold((a, b), "uz")
    load_all(m, spans, 2.0)
    s = m.solve()
    assert s.reaction(a)[2] == pytest.approx(2400.0, rel=EXACT)
    assert s.M(spans[0][-1], 1200 / parts) == pytest.approx(1.44e6, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-3.42857143, rel=EXACT)
    assert s.move(a)[4] == pytest.approx(0.00457142857, rel=EXACT)


def test_cantilever_with_tip_force_and_line_load(frames, steel, parts):
    """BM-03: length 900 mm, 1200 N at the tip, 1.5 N/mm."""
    m, (a, b), spans = straight(frames, steel, [0, 900], parts)
    m.hold(a)
    m.load(b, (0, 0, -1200))
    load_all(m, spans, 1.5)
    s = m.solve()
    root = spans[0][0]
    assert s.V(root, 0) == pytest.approx(2550.0, rel=EXACT)
    assert s.M(root, 0) == pytest.approx(-1_687_500.0, rel=EXACT)  # hogging
    assert s.move(b)[2] == pytest.approx(-1.6453125, rel=EXACT)
    assert s.move(b)[4] == pytest.approx(0.00265178571, rel=EXACT)


@pytest.mark.parametrize(
    ("load", "end", "middle", "deflection"),
    [("central force", -1.5e6, 1.5e6, 1.42857143), ("line load", -0.96e6, 0.48e6, 0.685714286)],
)
def test_built_in_beam(frames, steel, parts, load, end, middle, deflection):
    """BM-04: span 2400 mm, both ends built in, 5000 N at the middle or 2 N/mm."""
    m, (a, c, b), spans = straight(frames, steel, [0, 1200, 2400], parts)
    m.hold((a, b))
    if load == "central force":
        m.load(c, (0, 0, -5000))
    else:
        load_all(m, spans, 2.0)
    s = m.solve()
    assert s.M(spans[0][0], 0) == pytest.approx(end, rel=EXACT)
    assert s.M(spans[1][-1], 1200 / parts) == pytest.approx(end, rel=EXACT)
    assert s.M(spans[1][0], 0) == pytest.approx(middle, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-deflection, rel=EXACT)


def test_propped_cantilever(frames, steel, parts):
    """BM-05: built in at the left, propped at the right, span 2400 mm, 2 N/mm; greatest deflection w L4/(184.6 EI)
    at 0.4215 L from the prop (2e-5: 184.6 is rounded)."""
    m, (a, c, b), spans = straight(frames, steel, [0, 2400 * (1 - 0.4215), 2400], parts)
    m.hold(a)
    m.hold(b, "uz")
    load_all(m, spans, 2.0)
    s = m.solve()
    assert s.reaction(b)[2] == pytest.approx(1800.0, rel=EXACT)
    assert s.M(spans[0][0], 0) == pytest.approx(-1.44e6, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-1.42614219, rel=2e-5)
    assert abs(s.move(c)[4]) < 1e-6  # 0.4215 is rounded too: no slope there but for that
    turning = next(k for k in chain(*spans) if s.V(k, 0) > 0 >= s.V(k, s.frame.beams.length[k]))
    zero = brentq(lambda x: s.V(turning, x), 0, s.frame.beams.length[turning])
    assert 2400 - (m.nodes[s.frame.ends[turning, 0]][0] + zero) == pytest.approx(900.0, rel=1e-4)
    assert s.M(turning, zero) == pytest.approx(810_000.0, rel=1e-4)


def test_overhanging_rail_under_two_line_loads(frames, steel):
    """BM-06: rail of 4200 mm on axles at 700 and 3300 mm, 2.4 N/mm on the front half and 1.6 N/mm on the rear half, so
    that one line load ends and the other begins inside the middle member.  Source: statics, derived here."""
    m, (_, a, b, _), spans = straight(frames, steel, [0, 700, 3300, 4200], 1)
    m.hold((a, b), "uz")
    front, middle, rear = (s[0] for s in spans)
    m.line(front, (0, 0, -2.4))
    m.line(middle, (0, 0, -2.4), end=1400.0)
    m.line(middle, (0, 0, -1.6), start=1400.0)
    m.line(rear, (0, 0, -1.6))
    s = m.solve()
    assert s.reaction(a)[2] == pytest.approx(4555.38462, rel=EXACT)
    assert s.reaction(b)[2] == pytest.approx(3844.61538, rel=EXACT)
    assert s.M(middle, 0) == pytest.approx(-588_000.0, rel=EXACT)
    assert s.M(middle, 2600) == pytest.approx(-648_000.0, rel=EXACT)
    assert s.M(middle, 1400) == pytest.approx(1_085_538.46, rel=EXACT)
    shears = [s.V(front, 700), s.V(middle, 0), s.V(middle, 2600), s.V(rear, 0)]
    assert shears == pytest.approx([-1680.0, 2875.38462, -2404.61538, 1440.0], rel=EXACT)
    top = brentq(lambda x: s.V(middle, x), 0, 2600)
    assert 700 + top == pytest.approx(1898.07692, rel=EXACT)
    assert s.M(middle, top) == pytest.approx(1_134_465.98, rel=EXACT)
    assert 700 + brentq(lambda x: s.M(middle, x), 0, top) == pytest.approx(925.766112, rel=EXACT)
    assert 700 + brentq(lambda x: s.M(middle, x), top, 2600) == pytest.approx(3000.71921, rel=EXACT)
    assert abs(s.M(front, 0)) + abs(s.M(rear, 900)) < 1e-3 * 588_000 * 1e-6  # free ends: rounding only


def test_beam_on_two_unequal_springs(frames, steel, parts):
    """BM-08: span 2400 mm on 200 and 350 N/mm, 6000 N at 800 mm.  Source: beam formula and settlement, derived here."""
    m, (a, c, b), _ = straight(frames, steel, [0, 800, 2400], parts)
    left, right = m.spring(a, "uz", 200.0), m.spring(b, "uz", 350.0)
    m.load(c, (0, 0, -6000))
    s = m.solve()
    assert s.reaction(left)[2] == pytest.approx(4000.0, rel=EXACT)
    assert s.reaction(right)[2] == pytest.approx(2000.0, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-20.6560847, rel=EXACT)
    assert s.move(a)[2] == pytest.approx(-20.0, rel=EXACT)  # 4000/200


def test_elastic_middle_support(frames, steel, parts):
    """BM-09: simple supports at 0 and 3000 mm, 150 N/mm at the middle, 1 N/mm.  Source: force method, derived here."""
    m, (a, c, b), spans = straight(frames, steel, [0, 1500, 3000], parts)
    m.hold((a, b), "uz")
    ground = m.spring(c, "uz", 150.0)
    load_all(m, spans, 1.0)
    s = m.solve()
    assert s.reaction(ground)[2] == pytest.approx(470.317726, rel=EXACT)
    assert s.move(c)[2] == pytest.approx(-3.13545151, rel=EXACT)
    assert s.reaction(a)[2] == pytest.approx(1264.84114, rel=EXACT)
    assert s.M(spans[1][0], 0) == pytest.approx(772_261.706, rel=EXACT)


def test_short_deep_cantilever(frames, parts):
    """BM-10: length 300 mm, I = 3.0e6 mm4, G = 81000 N/mm2, shear area 480 mm2 (two webs 80 x 3), 20 kN at the tip.
    Source: Timoshenko beam theory, P L3/(3EI) + P L/(G As).  Status: from memory; closed form."""
    bar = frames.Bar(E=210_000.0, G=81_000.0, Iy=3.0e6, Iz=3.0e6, Asz=480.0)
    m, (a, b), _ = straight(frames, bar, [0, 300], parts)
    m.hold(a)
    m.load(b, (0, 0, -20_000))
    tip = m.solve().move(b)
    assert tip[2] == pytest.approx(-0.440035273, rel=EXACT)
    assert tip[2] + 20_000 * 300**3 / (3 * 210_000 * 3.0e6) == pytest.approx(-0.154320988, rel=EXACT)
    assert tip[4] == pytest.approx(0.00142857143, rel=EXACT)


def kicked_up(frames, steel, parts):
    m = frames.Model()
    places = [m.node(x, 0, z) for x, z in ((0, 0), (1200, 0), (1500, 150), (2400, 150))]
    for a, b in pairwise(places):
        m.chain(a, b, steel, parts)
    m.plane(frames.OUT_OF_PLANE_XZ)
    m.hold(places[0], "ux uz")
    m.hold(places[-1], "uz")
    m.load(places[1], (0, 0, -4000))
    return m, places


def test_kicked_up_rail_on_pin_and_roller(frames, steel, parts):
    """BM-12 (a): rail points (x, z) (0,0) (1200,0) (1500,150) (2400,150), 4000 N down at the second; stretchless.
    Source: virtual work, derived here.  2e-5: the published check itself stands on a very large area."""
    m, places = kicked_up(frames, steel, parts)
    s = m.solve()
    assert s.reaction(places[0])[2] == pytest.approx(2000.0, rel=2e-5)
    assert s.move(places[1])[2] == pytest.approx(-4.72740206, rel=2e-5)
    assert s.move(places[3])[0] == pytest.approx(-0.200117134, rel=2e-5)


def test_kicked_up_rail_on_two_pins(frames, steel, parts):
    """BM-12 (b): the rear end pinned too, so that it is pulled straight by the horizontal force of the pins."""
    m, places = kicked_up(frames, steel, parts)
    m.hold(places[3], "ux")
    s = m.solve()
    assert s.reaction(places[3])[0] == pytest.approx(13_592.1467, rel=2e-5)  # the roller moved forward
    assert s.reaction(places[0])[2] == pytest.approx(1150.49083, rel=2e-5)
    assert s.move(places[1])[2] == pytest.approx(-4.0473967, rel=2e-5)


def test_two_equal_spans(frames, steel, parts):
    """BM-14: supports at 0, 1500, 3000 mm, 2 N/mm.  Source: three-moment equation (Clapeyron).  Status: from memory."""
    m, (a, c, b), spans = straight(frames, steel, [0, 1500, 3000], parts)
    m.hold((a, c, b), "uz")
    load_all(m, spans, 2.0)
    s = m.solve()
    assert [s.reaction(n)[2] for n in (a, c, b)] == pytest.approx([1125.0, 3750.0, 1125.0], rel=EXACT)
    assert s.M(spans[1][0], 0) == pytest.approx(-562_500.0, rel=EXACT)


def test_dog_legged_rail_bends_and_twists(frames, parts):
    """BM-15: built in at (0,0), to (800,0), (800,150), (1400,150) mm in plan, J = 8.0e5 mm4, 1500 N upright at the tip.
    Source: Castigliano, derived here."""
    bar = frames.Bar(E=210_000.0, G=81_000.0, Iy=1.2e6, Iz=1.2e6, J=8.0e5)
    m = frames.Model()
    places = [m.node(x, y, 0) for x, y in ((0, 0), (800, 0), (800, 150), (1400, 150))]
    runs = [m.chain(a, b, bar, parts)[1] for a, b in pairwise(places)]
    m.hold(places[0])
    m.load(places[-1], (0, 0, -1500))
    s = m.solve()
    assert s.move(places[-1])[2] == pytest.approx(-7.11780754, rel=EXACT)
    root = s.section(runs[0][0], 0)
    assert root[3] == pytest.approx(-225_000.0, rel=EXACT)  # weight on the right turns the rail left-handed about x
    assert root[4] == pytest.approx(2_100_000.0, rel=EXACT)  # hogging: top in tension
