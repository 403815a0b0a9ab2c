"""The whole frame against the statics of its rails: line loads in, reactions, shear and moment out."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.checks import along_part
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # closed forms; what is left is rounding
KG = 9.80665  # N
STATIC = "static"


def sums(solution, station):
    """(V, M) of both rails together just behind a station, kg and kg m, case static."""
    c = solution.case(STATIC)
    out = np.zeros(2)
    for name in ("left rail", "right rail"):
        k = next(m for m in solution.mesh.part(name).members if solution.mesh.along[m, 1] > station)
        x = station - solution.mesh.along[k, 0]
        r = solution.resultants(np.array([k]), np.array([x]))[0, :, c]
        out += -r[2] / KG, -r[4] / KG / 1000
    return out


@pytest.fixture(scope="module")
def plain(plain_findings):
    return plain_findings.solution


def test_reactions_of_the_test_frame(plain):
    """512 kg/m on the front half, 665 kg/m on the rear half of 4158 mm, axles at 778 and 3318 mm: 1063.4 and 1383.5 kg.
    Statics; the rounded numbers are those asked for, the frame's file states its axle loads to 1 g."""
    c = plain.case(STATIC)
    assert plain.axle_forces("front")[c] / KG == pytest.approx(1063.4, abs=0.05)
    assert plain.axle_forces("rear")[c] / KG == pytest.approx(1383.5, abs=0.05)
    rear = (512 * 2.079 * (1.0395 - 0.778) + 665 * 2.079 * (3.1185 - 0.778)) / 2.540
    assert plain.axle_forces("rear")[c] / KG == pytest.approx(rear, rel=1e-6)
    assert plain.axle_forces("front")[c] / KG == pytest.approx((512 + 665) * 2.079 - rear, rel=1e-6)


@pytest.mark.parametrize(("station", "moment"), [(2077.0, 277.05), (778.0, -155.0), (3318.0, -234.6)])
def test_moments_of_both_rails_together(plain, station, moment):
    """Greatest sagging and hogging over both axles of the beam; rounded as stated, so to half a digit."""
    assert sums(plain, station)[1] == pytest.approx(moment, abs=0.005 if moment > 0 else 0.05)


@pytest.mark.parametrize(("asked", "root"), [(1036.6, 1036.74), (2990.2, 2990.32)])
def test_contraflexures_of_the_test_frame(plain, asked, root):
    """The stations asked for come from a table with a step of 0.2079 mm (a 20 000th of the rail), which stops short of
    the roots; the roots of the quadratics are 1036.74 and 2990.32 mm."""
    assert sums(plain, root - 0.02)[1] * sums(plain, root + 0.02)[1] < 0
    assert root == pytest.approx(asked, abs=0.2079 + 0.05)


def test_shear_beside_the_rear_axle(plain):
    assert sums(plain, 3318.0)[0] == pytest.approx(558.6, abs=0.05)
    assert sums(plain, 3318.0 - 1e-6)[0] == pytest.approx(-824.9, abs=0.05)


def beam(x, q=(256.0e-3, 332.5e-3), axles=(778.0, 3318.0), length=4158.0):
    """V and M of one rail at stations x in N and N mm, by hand: loads ahead of x less what the axles push up."""
    half = length / 2
    front = (q[0] * half * (axles[1] - half / 2) + q[1] * half * (axles[1] - 1.5 * half)) / (axles[1] - axles[0])
    up = (front, (q[0] + q[1]) * half - front)
    ahead, behind = np.minimum(x, half), np.maximum(x - half, 0)
    v = -q[0] * ahead - q[1] * behind
    m = -q[0] * ahead * (x - ahead / 2) - q[1] * behind**2 / 2
    for r, a in zip(up, axles, strict=True):
        v = v + r * (x > a)
        m = m + r * np.maximum(x - a, 0)
    return v * KG, m * KG


@pytest.mark.parametrize("name", ["left rail", "right rail"])
def test_each_rail_is_the_beam_everywhere(plain, name):
    """Springs under the rails, symmetric and weightless: each rail is the beam on two supports with half the load."""
    a = along_part(plain, name, spacing=40.0)
    v, m = beam(a.station)
    free = np.abs(a.station - 778) * np.abs(a.station - 3318) > 1  # V jumps at the axles
    # axle loads stated to 1 g give line loads right to 1e-6
    assert a.shear(plain.case(STATIC))[free] == pytest.approx(v[free], abs=2e-6 * np.abs(v).max())
    assert a.moment(plain.case(STATIC)) == pytest.approx(m, abs=2e-6 * np.abs(m).max())
    others = np.delete(a.resultants[:, :, plain.case(STATIC)], [2, 4], axis=1)
    assert np.abs(others).max() < EXACT * np.abs(m).max()


def test_crossmembers_of_the_test_frame_carry_nothing(plain):
    for name in ("front", "second", "third", "rear"):
        r = along_part(plain, name).resultants
        assert np.abs(r).max() < EXACT * 2.7e6


def test_leaf_springs_push_at_their_eyes(made):
    """Eyes at 300 and 1200 mm of an axle at 700 mm: by the lever 5/9 and 4/9 of the spring's force, as jumps of V."""
    seats = ((300.0, 5 / 9), (1200.0, 4 / 9))
    c = made.chassis(axles=(made.axle("front", 700.0, seats=seats), made.axle("rear", 3300.0)))
    s = solve_chassis(c)
    case = s.case(STATIC)
    for station, share in seats:
        part = s.mesh.part("left rail")
        after = next(m for m in part.members if s.mesh.along[m, 0] == station)
        r = s.resultants(np.array([after - 1, after]), np.array([s.mesh.lengths[after - 1], 0.0]))[:, :, case]
        assert r[0, 2] - r[1, 2] == pytest.approx(share * s.support_forces[0, case], rel=EXACT)


def test_point_masses_hang_by_the_lever(made):
    """500 kg added at station 1200 by two mounts right under it: the axles take 2100/2600 and 500/2600 of it more."""
    mounts = (made.mount("a", "left rail", 1200, -400), made.mount("b", "right rail", 1200, 400))
    load = made.mass("load", 0.5, (1200, 0, 100), ("a", "b"), aboard=False)
    s = solve_chassis(made.chassis(mounts=mounts, masses=(load,)))
    before, after = (s.case(n) for n in ("as weighed", STATIC))
    grown = [s.axle_forces(n)[after] - s.axle_forces(n)[before] for n in ("front", "rear")]
    assert grown == pytest.approx([500 * KG * 2100 / 2600, 500 * KG * 500 / 2600], rel=EXACT)


def odd(made, **changes):
    """A frame with kicked, spreading, tapering rails, a mass off the centre line and eyes: nothing is easy here."""
    path = ((0, 340, 0), (800, 400, 0), (2500, 420, 0), (2800, 420, 130), (4000, 380, 110))
    spans = (
        made.Span(start=0, end=1000, shape=made.box(90, 70, 2), shape_end=made.box(140, 70, 2)),
        made.Span(start=1000, end=4000, shape=made.box(140, 70, 2)),
    )
    usual = {
        "rails": made.rails(path=path, spans=spans),
        "mounts": (
            made.mount("a", "left rail", 610, -420, 90), made.mount("b", "right rail", 650, 420, 90),
            made.mount("c", "middle", 1900, 80, -20), made.mount("d", "rear", 3900, -150, 160),
        ),
        "masses": (
            made.mass("engine", 0.19, (600, -35, 260), ("a", "b", "c")),
            made.mass("spare", 0.03, (4100, -150, 400), ("d",)),
            made.mass("sacks", 0.12, (3000, 60, 500), ("c", "d"), aboard=False),
        ),
        "crossmembers": (
            made.cross("front", 100), made.cross("middle", 1900, right=1960), made.cross("rear", 3900, height=112),
        ),
        "axles": (
            made.axle("front", 700.0, seats=((250.0, 0.5), (1150.0, 0.5)), spring_base=760.0),
            made.axle("rear", 3300.0, seats=((2800.0, 0.5), (3800.0, 0.5)), spring_base=900.0),
        ),
        "body": made.Body(start=50, end=3950, split=1800),
    }  # fmt: skip
    return made.chassis(**(usual | changes))


def weighed(made, front, rear):
    return (
        made.axle("front", 700.0, wheel_loads=front, seats=((250.0, 0.5), (1150.0, 0.5)), spring_base=760.0),
        made.axle("rear", 3300.0, wheel_loads=rear, spring_base=900.0),
    )


@pytest.mark.parametrize(
    "changes",
    [
        lambda made: {},
        lambda made: {"body": made.Body(start=50, end=3950, split=1800, distribution="linear")},
        lambda made: {"body": made.Body(start=50, end=3950, split=1800, y=120.0)},
        lambda made: {"axles": weighed(made, (0.47, 0.43), (0.44, 0.46))},
        lambda made: {
            "axles": weighed(made, (0.47, 0.43), (0.44, 0.46)),
            "body": made.Body(start=50, end=3950, split=1800, y=-60.0, distribution="linear"),
        },
    ],
    ids=["two halves", "linear", "outward", "wheels weighed", "wheels weighed, linear, inward"],
)
def test_what_was_weighed_comes_out_of_the_whole_solution(made, changes):
    """Axle loads, and wheel loads where given: with the roll moment of the frame about its springs, the wheel loads are
    half the axle +- (right - left spring) x spring base / track / 2."""
    c = odd(made, **changes(made))
    s = solve_chassis(c)
    for k, axle in enumerate(c.axles):
        assert s.axle_forces(axle.name)[0] / KG / 1000 + axle.unsprung == pytest.approx(axle.load, rel=EXACT)
        if axle.wheel_loads:
            left, right = s.support_forces[2 * k : 2 * k + 2, 0] / KG / 1000
            shift = (right - left) * axle.spring_base / axle.track / 2
            found = (axle.load / 2 - shift, axle.load / 2 + shift)
            assert found == pytest.approx(axle.wheel_loads, rel=EXACT)


def test_the_frames_own_forces_close_in_every_case(made):
    """Both ends of all members that meet a node, with what hangs there, add up to nothing: K u = loads."""
    s = solve_chassis(odd(made))
    gap = s.frame.multiply(s.movements) - s.all_loads
    assert np.abs(gap).max() < EXACT * np.abs(s.all_loads).max()


def test_holds_in_the_plane_carry_nothing(made):
    s = solve_chassis(odd(made))
    assert [n for n in s.supports if n.startswith("hold")] == list(s.supports[4:])
    assert len(s.supports) == 7
    assert np.abs(s.support_forces[4:]).max() < EXACT * s.support_forces[:4].max()


def test_on_a_stiff_frame_four_springs_share_like_a_rigid_body(made):
    """F_i = k_i (d + a x_i + b y_i) with sums and moments of the load; frame 2000 times stiffer than the springs are,
    so that 0.1 % is left.  Statics of a rigid body on springs, derived here."""
    stiff = made.chassis(
        rails=made.rails(made.box(600, 400, 30)),
        crossmembers=tuple(replace(c, shape=made.box(500, 400, 30)) for c in made.LADDER),
        material=made.WEIGHTLESS,
        axles=(made.axle("front", 700.0, rate=20.0, spring_base=760.0), made.axle("rear", 3300.0, rate=50.0)),
        mounts=(made.mount("a", "left rail", 1500, -400), made.mount("b", "right rail", 1500, 400)),
        masses=(made.mass("load", 0.4, (1500, 170, 0), ("a", "b"), aboard=False),),
    )
    s = solve_chassis(stiff)
    rate = np.array([20.0, 20, 50, 50])
    place = np.array([(1, 700, -380), (1, 700, 380), (1, 3300, -400), (1, 3300, 400)], float)
    wanted = 400 * KG * np.array([1.0, 1500, 170])
    body = np.linalg.solve(place.T @ (rate[:, None] * place), wanted)
    grown = s.support_forces[:4, s.case(STATIC)] - s.support_forces[:4, 0]
    assert grown == pytest.approx(rate * (place @ body), rel=1e-3)
