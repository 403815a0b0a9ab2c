"""Frames on stands with rails cut through: by statics and beams on paper, by what is put back, by symmetry.

Sources: statics; slopes of a simply supported beam with overhangs (S. P. Timoshenko, Strength of Materials, Part I,
deflections by superposition, formulas from memory of the authors: q L^3/(24 EI) under even load, P a b (L + a)/(6 L EI)
under a point load, m L/(2 EI) under equal end moments).
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ladderfe.advice.stand_ground import bad_metal
from ladderfe.advice.stand_places import height_of, proposed
from ladderfe.advice.stands import stands
from ladderfe.cases.types import GRAVITY
from ladderfe.chassis import Body, CaseSpec, read_chassis
from ladderfe.checks.cut_faces import Cut, put_back
from ladderfe.checks.stands import frames_of, lowered, rail_stand, stage_of, stands_case, with_stands
from ladderfe.condition import as_found, read_readings
from ladderfe.errors import ModelError
from ladderfe.sections import properties
from ladderfe.solve import solve_chassis

#: Rounding of a solution of a few dozen members.
ROUNDING = 1e-9


def on(chassis, *places):
    """Stands under the rails at (side, station)."""
    return [rail_stand(chassis, side, station) for side, station in places]


def four(chassis, front=900.0, rear=3000.0):
    return on(chassis, *((side, s) for s in (front, rear) for side in ("left", "right")))


def solved(chassis, cuts, at):
    frames = frames_of(with_stands(chassis, at), cuts)
    return frames, *frames.solved([stands_case("stands", [m.name for m in at])])


@pytest.fixture(scope="module")
def plain(made):
    """The plain ladder with pads, stood on them in a case of its own."""
    return made.worked_chassis(CaseSpec(name="stands", kind="stands", at=made.PADS))


def test_the_overhang_by_statics(made):
    """What hangs on a free rail end is what its cut sets free: shear the weight, moment weight times arm.  Statics."""
    size, arm = 0.05, 500.0
    crossmembers = (*made.LADDER[:2], made.cross("rear", 3000.0))
    tip = made.mount("tip", "left rail", 3400.0 + arm, -made.HALF)
    chassis = made.chassis(
        material=made.WEIGHTLESS, crossmembers=crossmembers, mounts=(tip,), body=Body(start=0, end=3000, split=1500),
        axles=(made.axle("front", 500.0, droop=100.0), made.axle("rear", 2500.0, droop=100.0)),
        cases=(),
        masses=(made.mass("box", size, (3400 + arm, -made.HALF, 0), ["tip"], aboard=False),),
    )  # fmt: skip
    s = stands(chassis, [Cut("left", 3400.0)], four(chassis, 800.0, 2600.0))
    weight = size * GRAVITY
    freed = s.freed[0]
    assert [freed.Vz, freed.My] == pytest.approx([-weight, weight * arm], rel=ROUNDING)
    assert [freed.N, freed.Vy, freed.T / arm, freed.Mz / arm] == pytest.approx([0] * 4, abs=ROUNDING * weight)
    assert s.after is None
    assert s.frames.detached == "the left rail from 3400 to 4000 mm"
    assert s.exceeded


def test_two_pieces_on_two_stands_each_turn_as_beams_on_paper(made):
    """Each piece of the left rail on two stands of its own, with crossmembers that hold it upright by next to nothing:
    two beams with overhangs under even load and a hanging axle.  Shear does not turn the faces: it has no mean between
    supports with equal end moments.  The weak joints (0.01 N/mm) take less than 1e-4 of the load."""
    weak = made.sprung(z=1e-2, ry=1e-2, rx=1e-2)
    crossmembers = tuple(made.cross(n, x, joint_left=weak) for n, x in (
        ("a", 100.0), ("b", 1900.0), ("c", 2100.0), ("d", 3900.0)))  # fmt: skip
    axles = tuple(replace(a, droop=100.0) for a in made.AXLES)
    chassis = made.chassis(
        crossmembers=crossmembers, material=made.WEIGHTLESS, joint_model="springs", cases=(), axles=axles
    )
    # one crossmember of each piece keeps it from rolling over
    upright = made.sprung(z=1e-2, ry=1e-2)
    held = tuple(replace(c, joint_left=upright) if c.name in "ad" else c for c in crossmembers)
    chassis = replace(chassis, crossmembers=held)
    e, span, half = 400.0, 1200.0, 2000.0
    left = [("left", s) for s in (e, half - e, half + e, 2 * half - e)]
    at = on(chassis, *left, ("right", e), ("right", 2 * half - e))
    frames, _, opened = solved(chassis, [Cut("left", half)], at)
    stage = stage_of(frames, opened, "stands")
    q = (1.8 - 0.3) * GRAVITY / (2 * made.LENGTH)
    P, a = 0.15 / 2 * GRAVITY, made.FRONT - e
    stiff = chassis.material.youngs_modulus * properties(made.RAIL.section(("inner", "outer"))).Iyy
    hung = P * a * (span - a) * (span + a) / (6 * span)
    slope = (q * span**3 / 24 - q * e**2 * span / 4 - q * e**3 / 6 + hung) / stiff
    faces = stage.faces[0]
    assert faces.turn[1] == pytest.approx(np.degrees(2 * slope), rel=1e-3)
    assert faces.top - faces.bottom == pytest.approx(2 * slope * made.RAIL.depth, rel=1e-3)
    assert faces.up == pytest.approx(0, abs=1e-3 * abs(slope) * e)  # both faces drop alike
    loads = dict(stage.forces)
    assert loads["left rail at 1600 mm"] == pytest.approx(q * half / 2 + P * a / span, rel=1e-3)
    assert loads["left rail at 400 mm"] == pytest.approx(q * half / 2 + P * (span - a) / span, rel=1e-3)


@settings(max_examples=15, deadline=None)
@given(station=st.floats(150, 3850), side=st.sampled_from(("left", "right")))
def test_what_a_cut_sets_free_closes_it_again(made, station, side):
    """The brace's forces as loads on both faces bring the movements before the cut back.  Superposition."""
    chassis, cut = made.worked_chassis(STANDS), Cut(side, round(station, 1))
    _, whole, opened = solved(chassis, [cut], four(chassis))
    if opened is not None:
        assert put_back(whole, opened, (cut,), 1) < ROUNDING


STANDS = CaseSpec(name="stands", kind="stands", at=("front left pad", "front right pad", "rear left pad"))


@pytest.mark.parametrize("name", ["short-4x4", "pick-up", "light-lorry", "test-frame"])
def test_it_closes_on_rails_that_taper_warp_and_rack(demo_file, name):
    chassis = read_chassis(demo_file.with_name(f"{name}.toml"))
    cuts = tuple(Cut(side, rail.start + part * (rail.end - rail.start) + 63)
                 for rail, side, part in zip(chassis.rails, ("left", "right"), (0.33, 0.7), strict=True))  # fmt: skip
    s = stands(chassis, cuts, [])
    assert s.proven
    assert put_back(*solved(s.chassis, cuts, [m for m in s.chassis.mounts if m.name in dict(s.before.forces)])[1:],
                    cuts, 1) < ROUNDING  # fmt: skip


def test_an_uncut_frame_stands_as_in_the_case_of_its_file(plain):
    """The uncut frame is the product's own case on stands, which balance and contact tests hold."""
    whole = solve_chassis(plain)
    own = [float(whole.support_forces[whole.supports.index(n), 1]) for n in plain.cases[0].at]
    s = stands(plain, [Cut("left", 2000.0)])
    assert s.origin == "file"
    assert [f for _, f in s.before.forces] == pytest.approx(own, rel=ROUNDING)


def test_stands_carry_the_weight_whole_and_cut(plain):
    """1.8 t, axles and wheels among them."""
    s = stands(plain, [Cut("left", 2000.0)])
    for stage in (s.before, s.after):
        assert sum(f for _, f in stage.forces) == pytest.approx(1.8 * GRAVITY, rel=ROUNDING)


def test_a_cut_where_nothing_is_carried_moves_nothing(made):
    """In front of the first stands nothing hangs and the steel has no weight.  Statics."""
    axles = (made.axle("front", made.FRONT, unsprung=0.0, droop=100.0),
             made.axle("rear", made.REAR, unsprung=0.0, droop=100.0))  # fmt: skip
    chassis = made.chassis(material=made.WEIGHTLESS, axles=axles, body=Body(start=1400, end=2600, split=2000), cases=())
    s = stands(chassis, [Cut("left", 1000.0)], four(chassis, 1300.0, 2700.0))
    assert [f for _, f in s.after.forces] == pytest.approx([f for _, f in s.before.forces], rel=ROUNDING)
    # the free ends keep the slope of the rails behind, so that nothing parts
    assert s.after.faces[0].greatest < 1e-9
    assert abs(s.freed[0].Vz) + abs(s.freed[0].My) / 1000 < 1e-6


def test_the_other_rail_moves_as_in_a_mirror(plain):
    left, right = (stands(plain, [Cut(side, 2000.0)]) for side in ("left", "right"))
    a, b = left.after.faces[0], right.after.faces[0]
    assert [*b.gaps.values(), b.up, -b.right] == pytest.approx([*a.gaps.values(), a.up, a.right], rel=1e-7, abs=1e-9)
    assert [-b.turn[0], b.turn[1], -b.turn[2]] == pytest.approx(a.turn, rel=1e-7, abs=1e-9)
    swapped = {n.replace("left", "x").replace("right", "left").replace("x", "right"): f for n, f in right.after.forces}
    assert swapped == pytest.approx(dict(left.after.forces), rel=1e-7)


def test_props_set_up_snug_carry_nothing_before_the_cut(plain):
    """At the height where the rail stands they take nothing over, and push once it is cut."""
    s = stands(plain, [Cut("left", 2300.0)])
    best = s.props[0][0]
    own = list(best.stands)
    whole, _ = s.frames.solved([stands_case("stands", [n for n, _ in s.before.forces])])
    heights = [(n, height_of(whole, n, 1)) for n in own]
    again, _ = s.frames.solved([stands_case("snug", [*dict(s.before.forces), *own], heights)])
    forces = dict(stage_of(s.frames, again, "snug").forces)
    assert max(abs(forces[n]) for n in own) < 1e-7 * s.weight
    assert best.after.faces[0].greatest <= s.after.faces[0].greatest
    assert max(dict(best.after.forces)[n] for n in own) > 0


def test_the_height_at_which_a_stand_comes_free(plain):
    """Found from a slight difference of height; a solution with contact at just that height has nothing left on it."""
    at = [m for m in plain.mounts if m.name in plain.cases[0].at]
    frames = frames_of(with_stands(plain, at), [])
    _, (free, low, height) = lowered(frames, [m.name for m in at])
    cases = [stands_case(f"{part}", [m.name for m in at], [(low, -part * height)]) for part in (0.99, 1.0, 1.01)]
    whole, _ = frames.solved(cases)
    before, just, after = (dict(stage_of(frames, whole, c.name).forces) for c in cases)
    assert before[free] > 0
    assert just[free] < 1e-5 * sum(just.values())
    assert after[free] == 0


def test_three_stands_share_the_load_whatever_their_heights(plain):
    at = [m for m in plain.mounts if m.name in plain.cases[0].at][:3]
    frames = frames_of(with_stands(plain, at), [])
    low, free = lowered(frames, [m.name for m in at])
    assert free is None
    level = stage_of(frames, frames.solved([stands_case("level", [m.name for m in at])])[0], "level")
    for x in low:
        assert dict(x.stage.forces) == pytest.approx(dict(level.forces), rel=1e-7)


def test_a_proposal_keeps_off_cuts_and_loads_every_stand(plain):
    """Each stand at least a tenth of the load before and after the cut, where the first of them says so."""
    cut = Cut("left", 2600.0)
    found = proposed(replace(plain, cases=()), [cut], ())
    assert found == tuple(sorted(found, key=lambda u: (u.rank, u.stations)))
    assert all(abs(s - cut.station) >= 150 for u in found for s in u.stations)
    kind, moves = found[0].rank
    assert kind == 0
    assert min(found[0].before.least, found[0].after.least) >= 0.1
    assert moves == min(u.rank[1] for u in found if u.rank[0] == 0)


def test_stands_keep_off_what_readings_call_bad(demo_file):
    """Holes, thin and doubtful places of the readings are no place for a proposal, and are told where a stand is."""
    chassis = read_chassis(demo_file)
    found = as_found(chassis, read_readings(demo_file.with_name("short-4x4-readings.csv"), chassis))
    bad = bad_metal(found)
    assert bad
    for use in proposed(chassis, [], bad):
        assert all(not a <= s <= b for s in use.stations for _, a, b in bad)
    side, first, last = bad[0]
    s = stands(chassis, [], [*four(chassis, 1110.0, 3000.0), rail_stand(chassis, side, (first + last) / 2)], found)
    assert s.ground[-1].metal


def test_a_cut_at_a_joint_is_refused(plain):
    with pytest.raises(ModelError, match=r"crossmember middle is joined to the rail there. Cut beside it, before 1860"):
        stands(plain, [Cut("left", 1900.0)])
