"""Load cases in a mirror, turned round and added up; a body that stiffens the frame."""

from dataclasses import replace
from math import inf

import numpy as np
import pytest

from ladderfe.chassis import Links
from ladderfe.solve import solve_chassis

EXACT = 1e-9  # the same sums in another order
SIDES = {"left": "right", "right": "left"}


def other(name):
    """The mirror image's name."""
    return " ".join(SIDES.get(w, w) for w in name.split())


def vehicle(statics, made, *cases):
    """Nothing alike left and right."""
    links = Links(kind="arms", station=1300.0, spacing=700.0, height=-80.0, side_height=-95.0, side_station=640.0,
                  side_y=350.0)  # fmt: skip
    axles = (
        made.axle("front", 700.0, wheel_loads=(0.47, 0.43), spring_base=760.0, pull=inf, links=links),
        made.axle("rear", 3300.0, wheel_loads=(0.44, 0.46), spring_base=840.0, pull=inf, kind="independent"),
    )
    path = ((0, 360, 0), (1000, 390, 0), (4000, 400, 0))
    rails = (made.rail("left", path=path), made.rail("right", made.box(120, 75, 3), path=path))
    load = made.mass("sacks", 0.09, (2200, 90, 330), ("left front pad", "right rear pad"), aboard=False)
    return statics.fitted(made, made.chassis(rails=rails, axles=axles), masses=(load,), cases=cases)


def mirrored(made, c):
    """y turned round everywhere, names of sides with it."""
    left, right = c.rails

    def rail(r):
        spans = tuple(replace(x, shape=x.shape.mirrored()) for x in r.spans)
        return replace(r, side=SIDES[r.side], spans=spans)

    def axle(a):
        links = a.links and replace(a.links, side_y=None if a.links.side_y is None else -a.links.side_y)
        return replace(a, wheel_loads=a.wheel_loads[::-1], links=links)

    def case(k):
        return replace(
            k, side=SIDES[k.side], wheels=tuple(map(other, k.wheels)), angle=-k.angle, at=tuple(map(other, k.at)),
            heights=tuple((other(n), h) for n, h in k.heights),
        )  # fmt: skip

    return replace(
        c, rails=(rail(right), rail(left)), axles=tuple(axle(a) for a in c.axles), cases=tuple(map(case, c.cases)),
        mounts=tuple(replace(m, name=other(m.name), part=other(m.part), y=-m.y) for m in c.mounts),
        masses=tuple(replace(m, centre=(m.centre[0], -m.centre[1], m.centre[2]), mounts=tuple(map(other, m.mounts)))
                     for m in c.masses),
    )  # fmt: skip


def along(s, name):
    """(k, 9, c) resultants at the ends of all members of a part."""
    members = np.array(s.mesh.part(name).members)
    return np.concatenate([s.resultants(members, x) for x in (np.zeros(len(members)), s.mesh.lengths[members])])


def test_every_case_in_a_mirror(statics, made):
    """Turning left on the mirrored chassis is turning right on this one, seen in the mirror, and so for every kind: the
    ground's forces change sides, N, Vz and My of the rails too, Vy, T, Mz turn round."""
    c = vehicle(statics, made, *statics.every_kind())
    a, b = solve_chassis(c), solve_chassis(mirrored(made, c))
    ground = b.ground[[1, 0, 3, 2]] * np.array([1, -1, 1])[:, None]
    assert ground == pytest.approx(a.ground, abs=EXACT * np.abs(a.ground).max())
    assert b.field * np.array([1, -1, 1, -1, 1, -1])[:, None] == pytest.approx(a.field, abs=1e-8)
    assert b.share == pytest.approx(a.share, rel=EXACT)
    assert [set(x) for x in b.lifted] == [set(map(other, x)) for x in a.lifted]
    turned = np.array([1, -1, 1, -1, 1, -1.0])[None, :, None]
    for side in ("left", "right"):
        here, there = along(a, f"{side} rail")[:, :6], turned * along(b, f"{SIDES[side]} rail")[:, :6]
        for block in (slice(0, 3), slice(3, 6)):
            size = np.abs(here[:, block]).max(axis=(0, 1))
            assert (size > 0).all()
            assert np.abs(there[:, block] - here[:, block]).max() < EXACT * size.max()


def test_left_and_right_turn_of_a_like_sided_chassis(statics, made):
    turns = [made.CaseSpec(name=s, kind="cornering", side=s, acceleration=0.5) for s in ("left", "right")]
    s = solve_chassis(statics.fitted(made, cases=(made.STATIC, *turns)))
    left, right = (s.ground[:, :, s.case(n)] for n in ("left", "right"))
    assert right[[1, 0, 3, 2]] * [1, -1, 1] == pytest.approx(left, rel=EXACT, abs=1e-6)
    assert left[1, 2] > left[0, 2] + 2000  # turning left loads the right wheels
    assert (left[:, 1] < 0).all()  # and the ground pushes to the left


PULLS = (("ball", (1500.0, 400.0, -300.0)), ("winch", (-2500.0, 600.0, 200.0)))


def test_pulls_turn_round_and_add_up(statics, made):
    """Contact unchanged, so all is linear: a pull the other way does the opposite, two at once what each does alone.
    Held fore-aft by one axle, sideways on beam axles and both wheels of an axle together: what goes by the loads of
    both axles, or of single wheels, is not linear."""
    one, two = (made.CaseSpec(name=str(k), kind="drive-off", axle="rear", forces=(p,)) for k, p in enumerate(PULLS))
    back = replace(one, name="back", forces=(("ball", tuple(-x for x in PULLS[0][1])),))
    both = replace(one, name="both", forces=PULLS)
    c = vehicle(statics, made, made.STATIC, one, two, back, both)
    s = solve_chassis(replace(c, axles=tuple(replace(a, kind="beam") for a in c.axles)))
    assert not any(s.lifted)
    ground = s.ground.copy()
    ground[:, 1] = np.repeat(ground[::2, 1] + ground[1::2, 1], 2, axis=0)

    def beside(values, name):
        return values[..., s.case(name)] - values[..., s.case("static")]

    for values in (ground, s.support_forces, s.end_forces, s.movements):
        a, b, c, d = (beside(values, n) for n in ("0", "1", "back", "both"))
        size = np.abs(a).max()
        assert size > 0
        assert c == pytest.approx(-a, abs=1e-8 * size)
        assert d == pytest.approx(a + b, abs=1e-8 * size)


def test_a_pull_against_inertia_is_linear(statics, made):
    """No contact at all: twice and minus once, beside the static springs."""
    pulls = [made.CaseSpec(name=str(f), kind="recovery", at=("left eye",), force=f * 1e4, angle=20.0, up=10.0,
                           against="inertia") for f in (1, 2, -1)]  # fmt: skip
    none = replace(pulls[0], name="none", force=0.0)
    s = solve_chassis(vehicle(statics, made, made.STATIC, none, *pulls))
    for values in (s.field, s.support_forces, s.end_forces):
        base = values[..., s.case("none")]
        one, two, back = (values[..., s.case(n)] - base for n in ("1", "2", "-1"))
        size = np.abs(one).max()
        assert two == pytest.approx(2 * one, abs=EXACT * size)
        assert back == pytest.approx(-one, abs=EXACT * size)
    assert s.field[:, s.case("none")] == pytest.approx([0, 0, -9806.65, 0, 0, 0], abs=1e-5)


# --- a body that stiffens the frame ---------------------------------------------------------------------------------


def stiffened(statics, made, f):
    c = vehicle(statics, made, *statics.every_kind())
    return solve_chassis(replace(c, body=replace(c.body, stiffening=f)))


def twist(c, s, name):
    """Angle of the frame between the axles' springs: rise of each seat by the node's own movement and rotation."""
    k, out = s.case(name), []
    for a in c.axles:
        rise = []
        for side in ("left", "right"):
            place = s.mesh.places[a.seat_name(side, 0)]
            first = s.frame.start[place.node]
            u = s.movements[first : first + 6, k]
            rise.append(u[2] + np.cross(u[3:], place.arm)[2])
        out.append((rise[1] - rise[0]) / a.spring_base)
    return out[0] - out[1]


@pytest.mark.parametrize("f", [1.25, 2.0, 4.0])
def test_torsional_stiffness_is_f_times_that_of_the_bare_frame(statics, made, f):
    """Limit twist: the same couple, twist between the springs 1/f; seats on rigid joints of an unracked frame, beam
    axles, so that the couple enters by vertical forces at the springs alone."""
    axles = tuple(made.axle(n, x, spring_base=700.0, pull=inf) for n, x in statics.ENDS)
    case = made.CaseSpec(name="twist", kind="limit twist", wheels=("front left",))
    c = made.chassis(axles=axles, cases=(made.STATIC, case), joint_model="springs")
    bare, body = (solve_chassis(replace(c, body=replace(c.body, stiffening=x))) for x in (1.0, f))
    assert abs(twist(c, bare, "twist")) > 1e-3
    assert twist(c, body, "twist") == pytest.approx(twist(c, bare, "twist") / f, rel=EXACT)
    assert body.support_forces[:4] == pytest.approx(bare.support_forces[:4], rel=EXACT)
    held = body.support_forces[body.supports.index("body"), body.case("twist")]
    couple = 0.9 * 9806.65 * 740
    assert abs(held) == pytest.approx(couple * (1 - 1 / f), rel=EXACT)  # the body takes what the frame does not


def test_a_raised_wheel_finds_the_stiffer_frame(statics, made):
    """Springs, frame and body: couple = height/track over 1/K_front + 1/K_rear + 1/(f K_frame), with K_frame from the
    limit twist of the bare frame; every share of the couple by statics."""
    axles = tuple(made.axle(n, x, rate=30.0, pull=inf) for n, x in statics.ENDS)
    cases = (made.STATIC, made.CaseSpec(name="twist", kind="limit twist", wheels=("front left",)),
             made.CaseSpec(name="up", kind="raised", wheels=("front left",), height=60.0))  # fmt: skip
    c = made.chassis(axles=axles, cases=cases, joint_model="springs")
    frame = 0.9 * 9806.65 * 740 / abs(twist(c, solve_chassis(c), "twist"))
    roll = 30.0 * 800**2 / 2
    for f in (1.0, 3.0):
        s = solve_chassis(replace(c, body=replace(c.body, stiffening=f)))
        z = s.ground[:, 2, s.case("up")]
        wanted = 60 / 1480 / (2 / roll + 1 / (f * frame))
        assert (z[0] - z[1]) * 740 == pytest.approx(wanted, rel=1e-8)


def test_a_factor_of_one_changes_nothing(statics, made):
    """To the last bit, in every kind of case."""
    one = stiffened(statics, made, 1.0)
    bare = solve_chassis(vehicle(statics, made, *statics.every_kind()))
    assert "body" not in one.supports
    for name in ("movements", "end_forces", "support_forces", "ground", "field"):
        assert np.array_equal(getattr(one, name), getattr(bare, name))


def test_a_body_moves_no_wheel_load_by_itself(statics, made):
    """The limit couple beside the static springs stays; sums of standing cases stay; the twist of all is less."""
    bare, body = stiffened(statics, made, 1.0), stiffened(statics, made, 3.0)
    moved = [s.support_forces[:4, s.case("bump")] - s.support_forces[:4, s.case("static")] for s in (bare, body)]
    assert moved[1] == pytest.approx(moved[0], rel=1e-8)
    for name in ("static", "cross-axle", "left turn", "braking", "winch"):
        sums = [s.ground[:, 2, s.case(name)].sum() for s in (bare, body)]
        assert sums[1] == pytest.approx(sums[0], rel=EXACT)
    c = vehicle(statics, made)
    for name in ("bump", "cross-axle", "jack"):
        assert abs(twist(c, body, name)) < 0.8 * abs(twist(c, bare, name))
