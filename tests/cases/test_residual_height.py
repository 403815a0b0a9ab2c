"""Height of what was weighed and is not listed: the whole vehicle's centre of gravity comes out as stated, forces in
plan have their exact moments, and vertical loads know nothing of it."""

from dataclasses import replace

import numpy as np
import pytest

from ladderfe.solve import solve_chassis

EXACT = 1e-9  # statics, rounding only
G = 9806.65  # mm/s2


def odd(statics, made, **changes):
    """A frame with weight, a kick-up, uneven wheels, an engine aboard and sacks that came later."""
    path = ((0, 360, 40), (900, 400, 0), (2500, 410, 0), (3000, 410, 120), (4000, 380, 120))
    rungs = tuple(replace(x, height_left=h, height_right=h) for x, h in zip(made.LADDER, (40.0, -10.0, 120.0),
                                                                           strict=True))  # fmt: skip
    axles = (made.axle("front", 700.0, wheel_loads=(0.47, 0.43), pull=np.inf, tyre_radius=380.0),
             made.axle("rear", 3300.0, wheel_loads=(0.44, 0.46), pull=np.inf))  # fmt: skip
    c = made.chassis(rails=made.rails(path=path), crossmembers=rungs, axles=axles,
                     mounts=(made.mount("a", "middle", 1900, 80, -20), made.mount("b", "left rail", 1000, -300, 400)),
                     body=made.Body(start=50, end=3950, split=1900, y=30.0))  # fmt: skip
    masses = (made.mass("engine", 0.18, (800, -30, 200), ("a", "b")),
              made.mass("sacks", 0.09, (2200, 190, 630), ("a", "b"), aboard=False))  # fmt: skip
    turn = made.CaseSpec(name="turn", kind="cornering", acceleration=0.4)
    stop = made.CaseSpec(name="stop", kind="braking", acceleration=0.6)
    return replace(statics.fitted(made, c, masses=masses, cases=(made.STATIC, turn, stop)), **changes)


@pytest.mark.parametrize(("ground", "height"), [(-550.0, 700.0), (-640.0, 820.0), (-480.0, 610.0)])
def test_the_whole_vehicle_as_weighed_is_as_high_as_stated(statics, made, ground, height):
    """Members, lines, engine and axles, sacks left out: sum of m z over sum of m is the stated height above ground."""
    c = odd(statics, made, ground=ground, centre_height=height)
    s = solve_chassis(c)
    body = statics.vehicle(c, s, later=False)
    assert body.total == pytest.approx(sum(a.load for a in c.axles), rel=EXACT)
    assert body.centre[2] == pytest.approx(ground + height, abs=EXACT * 1000)
    front = body.mass @ (3300 - body.place[:, 0]) / 2600
    assert front == pytest.approx(c.axles[0].load, rel=EXACT)
    heights = {line.height for line in s.carried.lines}
    assert len(heights) == 1  # one body
    assert body.mass @ body.place[:, 1] == pytest.approx(
        sum((a.wheel_loads[1] - a.wheel_loads[0]) * a.track / 2 for a in c.axles), abs=1e-8
    )


def test_residual_by_hand(made):
    """Nothing listed, a weightless frame: 1.5 t above the springs, 0.3 t of axles 180 mm under the rails; whole centre
    at 150: (1.8 x 150 + 0.3 x 180)/1.5 = 216 mm."""
    s = solve_chassis(made.chassis(material=made.WEIGHTLESS, cases=(made.STATIC,)))
    assert [line.height for line in s.carried.lines] == pytest.approx([216.0] * 4, rel=EXACT)


@pytest.mark.parametrize("way", range(6))
def test_a_unit_field_has_the_resultant_of_the_masses(statics, made, way):
    """What the frame is loaded with per unit acceleration along and about x, y and z, taken at the true places of
    nodes: force and moment of masses at their own heights."""
    c = odd(statics, made)
    s = solve_chassis(c)
    body = statics.masses(c, s)
    unit = np.eye(6)[way]
    wanted = statics.wrench(body.place, body.mass[:, None] * (unit[:3] + np.cross(unit[3:], body.place)))
    field = np.r_[unit, unit]
    got = s.footing.resultant(field[:, None])[:, 0]
    size = np.r_[[np.abs(wanted[:3]).max() or 1] * 3, [np.abs(wanted[3:]).max()] * 3]
    assert (got - wanted) / size == pytest.approx(np.zeros(6), abs=EXACT)


def test_vertical_loads_know_nothing_of_heights(statics, made):
    """Standing: a centre 200 mm higher changes no resultant of any member."""
    low, high = (solve_chassis(odd(statics, made, centre_height=h)) for h in (650.0, 850.0))
    k = low.case("static")
    assert high.end_forces[..., k] == pytest.approx(low.end_forces[..., k], rel=EXACT, abs=1e-4)
    assert high.ground[..., k] == pytest.approx(low.ground[..., k], rel=EXACT, abs=1e-6)
    for name in ("turn", "stop"):
        assert np.abs(high.end_forces[..., high.case(name)] - low.end_forces[..., k]).max() > 1e4


def test_transfer_grows_by_the_height_alone(statics, made):
    """200 mm more of the vehicle as weighed: 1.8 t x a x 200 mm over track and wheelbase."""
    low, high = (solve_chassis(odd(statics, made, centre_height=h)) for h in (650.0, 850.0))
    moved = {n: (high.ground[:, 2, high.case(n)] - low.ground[:, 2, low.case(n)]) for n in ("turn", "stop")}
    z = moved["turn"]
    assert (z[1] + z[3] - z[0] - z[2]) / 2 * 1480 == pytest.approx(1.8 * 0.4 * G * 200, rel=EXACT)
    z = moved["stop"]
    assert (z[0] + z[1]) * 2600 == pytest.approx(1.8 * 0.6 * G * 200, rel=EXACT)


def test_a_body_presses_as_a_rigid_one_on_even_support(made):
    """Straight rails, one uniform body 300 mm above them: sideways inertia f presses the rails by +-f h/b, spread
    as the mass; rearward inertia by 12 f h (x - middle)/l^2 per unit length.  Own arithmetic on rigid bodies."""
    c = made.chassis(material=made.WEIGHTLESS, joint_model="springs", centre_height=700.0,
                     cases=(made.STATIC, made.CaseSpec(name="turn", kind="cornering", acceleration=0.3),
                            made.CaseSpec(name="stop", kind="braking", acceleration=0.3)))  # fmt: skip
    s = solve_chassis(c)
    height, half = s.carried.lines[0].height, 1.5 / 2 / 4000  # t per mm of one rail
    part = s.mesh.part("left rail")
    last = part.members[-1]
    length = s.mesh.lengths[last]

    def shear(name, side):
        m = s.mesh.part(f"{side} rail").members[-1]
        r = s.resultants(np.array([m]), np.array([0.0]))[0, :, s.case(name)]
        return r[2] / length

    weight, a = half * G, 0.3 * G
    for side, sign in (("left", -1), ("right", 1)):
        press = weight + sign * 2 * half * a * height / 800
        # Vz on the face that looks rearward holds what hangs behind it: resultant of a pressing load is positive down
        assert shear("turn", side) == pytest.approx(-press, rel=EXACT)
        middle = 4000 - length / 2 - 2000
        press = weight - 12 * half * a * height * middle / 4000**2
        assert shear("stop", side) == pytest.approx(-press, rel=EXACT)
