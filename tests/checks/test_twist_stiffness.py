"""Torsional stiffness of bare frames, made as chassis: closed forms, bays, energy, crossmembers removed and scaled."""

from dataclasses import replace
from math import degrees, inf, nan, pi, sqrt, tanh

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.chassis import Joint
from ladderfe.checks.twist_stiffness import crossmember_effects, twist_frame
from ladderfe.mesh import build_mesh, joined
from ladderfe.sections import properties
from ladderfe.solve import frame_of
from ladderfe.solve.frame import JointEnergy
from ladderfe.solve.supports import factorised

EXACT = 1e-9  # closed forms without truncation; rounding only
E, G = 205_000.0, 205_000.0 / 2.6
L, HALF, WIDTH = 2400.0, 400.0, 75.0
B, CLEAR = 2 * HALF, 2 * HALF - WIDTH  # between the rails' middles, and between the webs that crossmembers meet
RAIL, CROSS = (150.0, 75.0, 2.0), (80.0, 60.0, 2.0)


def second(depth, width, wall):
    """I of a sharp box, outer less inner rectangle."""
    return (width * depth**3 - (width - 2 * wall) * (depth - 2 * wall) ** 3) / 12


def torsion(depth, width, wall):
    """4 A^2 t/perimeter of the mid-line (Bredt), less t (1 - 0.5588) at sharp corners; and t^3/3 of the walls.

    A corner of the field between two outlines stands for (2/pi) (pi/2 - ln 2) = 0.5588 squares (value from memory)."""
    d, w = depth - wall, width - wall
    around = 2 * (d + w)
    squares = 2 / np.pi * (np.pi / 2 - np.log(2))
    return 4 * (d * w) ** 2 * wall / (around - 4 * wall * (1 - squares)) + around * wall**3 / 3


def shear_factor(made, size, length):
    """12 E I/(G A_s L^2); the box's shear area from the section, checked in tests/sections."""
    soft = properties(made.box(*size).section()).shear[1, 1]
    return 12 * E * second(*size) / (G / soft * length**2)


def ladder(made, stations, **more):
    """Box rails from 0 to L that do not rack (all rigid), crossmembers rigidly joined, axles at the rails' ends."""
    rungs = tuple(made.cross(f"at {x:.0f}", x, made.box(*CROSS)) for x in stations)
    usual = {
        "rails": made.rails(made.box(*RAIL), path=((0, HALF, 0), (L, HALF, 0))), "crossmembers": rungs,
        "axles": (made.axle("front", 0.0), made.axle("rear", L)), "body": made.Body(start=0, end=L, split=L / 2),
        "joint_level": inf,
    }  # fmt: skip
    return made.chassis(**(usual | more))


def slope_deflection(made):
    """Ladder of two rails and two end crossmembers under opposite corner forces F: corner lift w, rail end twist phi,
    rail end slope psi (grillage slope deflection, derived for these tests; with shear and with crossmembers that begin
    at the webs).  Returns K = F b^2/(4 w), N mm/rad.

    Crossmember end moment at the rail's middle: (6 E I/c)(b/c)^2/(1 + Phi) (2 w/b - phi), c the clear width, balances
    the rail's torque 2 G J phi/L; crossmember torque 2 G J psi/c balances the rail's end moment
    (6 E I/L)/(1 + Phi)(2 w/L - psi); corner force F = 2 T_c/L + 2 T_r/b.  The crossmember's torque acts on the arm to
    the rail's middle about y alone.
    """
    rail, cross = 6 * E * second(*RAIL) / L, 6 * E * second(*CROSS) / CLEAR * (B / CLEAR) ** 2
    rail /= 1 + shear_factor(made, RAIL, L)
    cross /= 1 + shear_factor(made, CROSS, CLEAR)
    twist_rail, twist_cross = 2 * G * torsion(*RAIL) / L, 2 * G * torsion(*CROSS) / CLEAR
    w = 1.0
    phi = 2 * w / B * cross / (cross + twist_rail)
    psi = 2 * w / L * rail / (rail + twist_cross)
    force = 2 * twist_cross * psi / L + 2 * twist_rail * phi / B
    return force * B**2 / (4 * w)


def test_two_end_crossmembers(made):
    """The way of TR-09 (tests/published/test_ladder_twist.py), here with a chassis' sections.  There three corners are
    held and the fourth is pushed; here the couple acts at both ends and balances itself, so that it does not matter
    where the frame is held."""
    t = twist_frame(ladder(made, (0.0, L)))
    assert t.stiffness == pytest.approx(slope_deflection(made), rel=EXACT)


def test_five_crossmembers_rigid_in_bending(made):
    """TR-10's upper bound: all twist at the rate theta', K = 2 G J_r/L + n G J_c b^2/(c L^2), the crossmembers' length
    c being the clear width.  Bending times 1e6 and no shear comes within 1e-5 of it."""
    c = ladder(made, np.linspace(0, L, 5))
    mesh = build_mesh(c)
    frame = frame_of(mesh)
    stiff = replace(frame.beams, bending=1e6 * frame.beams.bending, shear=0 * frame.beams.shear)
    assert not frame.extras.any(), "six unknowns a node: nothing racks"
    t = twist_frame(c, mesh, factorised(replace(frame, members=stiff)))
    bound = 2 * G * torsion(*RAIL) / L + 5 * G * torsion(*CROSS) * B**2 / (CLEAR * L**2)
    assert t.stiffness == pytest.approx(bound, rel=1e-5)
    assert twist_frame(c).stiffness < bound
    racking = replace(c, joint_level=0.0)
    assert twist_frame(racking).stiffness < 0.9 * twist_frame(c).stiffness


def test_as_measured_on_a_bench(made):
    """TR-11's definition: couple over atan((lift + drop)/b), read at the shear centres of both rails at one axle while
    the other is level.  The angle of 1 N mm is so small that it is its own tangent."""
    t = twist_frame(ladder(made, (0.0, 900.0, L)))
    z = [t.movements[t.frame.start[node] + 2, 0] for node in _corners(t.mesh)]
    level = (z[3] - z[2]) / B
    right, left = z[1] - level * HALF, z[0] + level * HALF
    assert t.stiffness == pytest.approx(1 / np.arctan((right - left) / B), rel=EXACT)
    assert degrees(1e6 / t.stiffness) == pytest.approx(1e6 / (t.stiffness * pi / 180), rel=EXACT)


def _corners(mesh):
    """Nodes front left, front right, rear left, rear right."""
    ends = {}
    for side in ("left", "right"):
        part = mesh.part(f"{side} rail")
        ends[side] = int(mesh.ends[part.first, 0]), int(mesh.ends[part.last - 1, 1])
    return ends["left"][0], ends["right"][0], ends["left"][1], ends["right"][1]


# --- what any frame must obey ---------------------------------------------------------------------------------------


def soft(made, **more):
    """The plain ladder with estimated joints, crossmembers of three kinds, axles between them."""
    shapes = (made.box(*CROSS), made.Tube(diameter=70, wall=3), made.channel(90, 45, 3, "-y"), made.box(100, 60, 2.5))
    places = (("front", 100.0), ("second", 1300.0), ("third", 2400.0), ("rear", 3900.0))
    rungs = tuple(
        made.cross(name, x, shape, joint_left=Joint(), joint_right=Joint())
        for (name, x), shape in zip(places, shapes, strict=True)
    )
    return made.chassis(**({"crossmembers": rungs} | more))


FRAMES = {
    "boxes": {},
    "channels": {"rail": "channel"},
    "tapering": {"path": ((0, 330, 0), (1500, 330, 60), (2500, 420, 0), (4000, 420, 120))},
    "unlike rails": {"right": 4.0},
    "slanting": {"slant": 180.0},
}


@pytest.fixture(params=FRAMES, ids=list(FRAMES))
def frame(made, request):
    more = FRAMES[request.param]
    c = soft(made)
    if more.get("rail"):
        c = replace(c, rails=made.rails(made.channel(160, 60, 4, "-y")))
    if more.get("path"):
        c = replace(c, rails=made.rails(made.box(*RAIL), path=more["path"]))
    if more.get("right"):
        c = replace(c, rails=(made.rail("left"), made.rail("right", made.box(150, 75, more["right"]))))
    if more.get("slant"):
        third = replace(c.crossmembers[2], station_right=c.crossmembers[2].station_right + more["slant"])
        c = replace(c, crossmembers=(*c.crossmembers[:2], third, c.crossmembers[3]))
    return c


def test_bays_add_up_and_energy_is_all_there(frame):
    """Bay twists add up to the whole; shares sum to 1; the couple's work is the strain energy (Clapeyron)."""
    t = twist_frame(frame)
    assert sum(b.twist for b in t.bays) == pytest.approx(1 / t.stiffness, rel=EXACT)
    assert [b.end for b in t.bays[:-1]] == [b.start for b in t.bays[1:]]
    assert (t.bays[0].start, t.bays[-1].end) == tuple(a.station for a in frame.axles)
    assert sum(s.total for s in t.energy) == pytest.approx(1.0, rel=EXACT)
    assert 2 * t.strain_energy == pytest.approx(1 / t.stiffness, rel=EXACT)
    assert all(min(s.bending, s.torsion, s.joints) >= -1e-12 for s in t.energy)


@pytest.mark.parametrize("part", ["second", "third", "rear", "left rail"], ids=["tube", "channel", "box", "rail"])
@pytest.mark.parametrize("rail", ["box", "channel"])
def test_energy_tells_what_a_part_is_worth(made, rail, part):
    """dK/K of a part that gets stiffer by a small share is that share of its energy (Castigliano): of the joints too.
    A share of 1e-5 is followed to 1e-4 of itself."""
    c = joined(soft(made))
    if rail == "channel":
        c = replace(c, rails=made.rails(made.channel(160, 60, 4, "-y")))
    t = twist_frame(c)
    own = [s for s in t.energy if s.part == part]
    k = np.ones(len(t.frame.ends))
    k[list(t.mesh.part(part).members)] = 1 + 1e-5

    def gained(**changes):
        return twist_frame(c, t.mesh, factorised(replace(t.frame, **changes))).stiffness / t.stiffness - 1

    close = {"rel": 1e-4, "abs": 2e-12}  # rounding of the stiffness
    share = sum(s.bending + s.torsion for s in own)
    assert gained(members=t.frame.kernels.stiffened(k)) == pytest.approx(1e-5 * share, **close)
    joints = {
        "soft": tuple(replace(s, stiffness=s.stiffness * k[s.member]) for s in t.frame.soft),
        "energies": tuple(replace(e, stiffness=e.stiffness * k[e.member]) for e in t.frame.energies),
    }
    assert gained(**joints) == pytest.approx(1e-5 * sum(s.joints for s in own), **close)
    assert share > 1e-4


def test_crossmembers_removed_are_frames_rebuilt(frame):
    """The table against chassis built anew without the crossmember; 1e-9."""
    effects = crossmember_effects(joined(frame), build_mesh(frame))
    for c in frame.crossmembers:
        rest = replace(frame, crossmembers=tuple(x for x in frame.crossmembers if x.name != c.name))
        assert effects[c.name][0] == pytest.approx(twist_frame(rest).stiffness, rel=EXACT)


@pytest.mark.parametrize(("place", "factor"), [(1, 0.5), (2, 2.0)], ids=["halved", "doubled"])
def test_crossmembers_scaled_are_other_steel(frame, place, factor):
    """Half and twice as stiff against the same walls of a steel with half or twice the modulus; the joint, which is the
    rail's web, stays."""
    effects = crossmember_effects(joined(frame), build_mesh(frame))
    for c in frame.crossmembers:
        mesh = build_mesh(frame)
        own = list(mesh.part(c.name).members)
        walls = mesh.sections[int(mesh.section_of[own[0]])].walls
        other = replace(mesh.sections[int(mesh.section_of[own[0]])], walls=tuple(
            replace(w, modulus=w.modulus * factor) for w in walls))  # fmt: skip
        of = mesh.section_of.copy()
        of[own] = len(mesh.sections)
        shapes = (*mesh.shapes, mesh.shapes[int(mesh.section_of[own[0]])])
        changed = replace(mesh, sections=(*mesh.sections, other), shapes=shapes, section_of=of)
        assert effects[c.name][place] == pytest.approx(twist_frame(frame, changed).stiffness, rel=EXACT)


def test_stiffer_parts_never_make_it_softer(frame):
    whole = twist_frame(frame).stiffness
    for removed, halved, doubled in crossmember_effects(joined(frame), build_mesh(frame)).values():
        assert removed <= halved * (1 + EXACT) <= whole * (1 + 2 * EXACT) <= doubled * (1 + 3 * EXACT)


def test_a_frame_that_falls_apart_has_no_number(made):
    c = ladder(made, (0.0, L))
    only = replace(c, crossmembers=c.crossmembers[:1])
    removed = crossmember_effects(only, build_mesh(only))["at 0"][0]
    assert removed == pytest.approx(nan, nan_ok=True)


def test_mounts_and_masses_on_a_removed_crossmember_go_with_it(made):
    c = soft(made)
    hung = replace(c, mounts=(made.mount("hook", "second", 1300, 0.0),),
                   masses=(made.mass("box", 0.1, (1300, 0, 0), ("hook",)),))  # fmt: skip
    plain, own = (crossmember_effects(joined(x), build_mesh(x))["second"][0] for x in (c, hung))
    assert own == pytest.approx(plain, rel=EXACT)


def test_mirrored_and_moved_frames_are_as_stiff(made):
    """Left for right, and 777 mm farther back."""
    c = replace(soft(made), rails=(made.rail("left"), made.rail("right", made.box(150, 75, 4.0))))
    mirrored = replace(c, rails=(made.rail("left", made.box(150, 75, 4.0)), made.rail("right")))
    assert twist_frame(mirrored).stiffness == pytest.approx(twist_frame(c).stiffness, rel=EXACT)

    def moved(station):
        return station + 777.0

    back = made.chassis(
        rails=made.rails(path=((moved(0), HALF, 0), (moved(4000), HALF, 0))),
        crossmembers=tuple(
            replace(x, station_left=moved(x.station_left), station_right=moved(x.station_right))
            for x in soft(made).crossmembers
        ),
        axles=tuple(made.axle(n, moved(x)) for n, x in (("front", made.FRONT), ("rear", made.REAR))),
        body=made.Body(start=moved(0), end=moved(4000), split=moved(2000)),
    )
    assert twist_frame(back).stiffness == pytest.approx(twist_frame(soft(made)).stiffness, rel=EXACT)


@settings(max_examples=5, deadline=None)
@given(extra=st.lists(st.floats(10, 3990), max_size=6))
def test_more_nodes_change_nothing(made, extra):
    c = soft(made)
    plain, finer = twist_frame(c), twist_frame(c, build_mesh(c, extra=extra))
    assert finer.stiffness == pytest.approx(plain.stiffness, rel=EXACT)
    for a, b in zip(plain.bays, finer.bays, strict=True):
        assert b.twist == pytest.approx(a.twist, rel=1e-7)  # a bay is a difference of angles


@pytest.mark.parametrize("warping", ["free", "held"])
def test_in_open_rails_the_couple_acts_at_shear_centres(made, warping):
    """Channels that do not bend (times 1e5) between crossmembers at both ends that bend as little and do not resist
    twist; axles a = 1200 mm apart in the open bay.  The frame turns as w = theta' x y, only the rails' twist works:
    T a theta' = 2 GJ theta'^2 L, so K = 2 GJ L/a^2.  Crossmembers at the middle of the webs, where nothing warps along
    the rail, leave warping free; where it is held at the ends of the rails a rail is stiffer by 1/(1 - tanh(kL/2)/
    (kL/2)), k^2 = GJ/E Iw (V. Z. Vlasov's theory; closed form as in tests/published/test_warping_torsion.py).  Forces
    beside the shear centres would twist the rails in the bay.  Bending leaves some 1e-5."""
    ends = {
        "rails": made.rails(made.channel(150, 60, 4, "-y"), path=((0, HALF, 0), (L, HALF, 0))),
        "axles": (made.axle("front", 600.0), made.axle("rear", 1800.0)),
    }
    c = ladder(made, (0.0, L), **ends)
    mesh = build_mesh(c)
    frame = frame_of(mesh)
    cross = np.array([mesh.parts[p].kind != "rail" for p in mesh.part_of()])
    beams = replace(
        frame.beams,
        GJ=np.where(cross, 1e-6 * frame.beams.GJ, frame.beams.GJ),
        bending=1e5 * frame.beams.bending,
        shear=0 * frame.beams.shear,
    )
    known = frame.kernels
    rails = replace(
        known.open, beams=beams.take(known.open_at), warp_shear=0 * known.open.warp_shear,
        coupling=0 * known.open.coupling,
    )  # fmt: skip
    holds = [JointEnergy(-1, (), n, (0,), np.array([[1e25]])) for n in _corners(mesh)] if warping == "held" else []
    changed = replace(frame, members=replace(known, beams=beams, open=rails), energies=(*frame.energies, *holds))
    t = twist_frame(c, mesh, factorised(changed))
    q = properties(mesh.sections[int(mesh.section_of[0])])
    half = sqrt(G * q.J / (E * q.Iw)) * L / 2
    stiffer = 1 / (1 - tanh(half) / half) if warping == "held" else 1.0
    assert t.stiffness == pytest.approx(2 * G * q.J * L / 1200**2 * stiffer, rel=1e-4)


def test_a_crossmember_that_anchors_torsion_bars_is_removed_like_any_other(made):
    """Bare, the frame knows nothing of its axles: the same stiffness without it as with plain axles."""
    stations = (0.0, 1200.0, L)
    plain = ladder(made, stations)
    front = replace(plain.axles[0], kind="independent", torsion_bar="at 1200", spring_base=600.0)
    barred = replace(plain, axles=(front, plain.axles[1]))
    wanted = crossmember_effects(plain, build_mesh(plain))
    found = crossmember_effects(barred, build_mesh(barred))
    assert not np.isnan(found["at 1200"][0])
    for name, values in wanted.items():
        assert found[name] == pytest.approx(values, rel=EXACT)
