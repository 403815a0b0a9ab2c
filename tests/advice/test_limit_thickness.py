"""Limit thicknesses put back into the chassis: the check's own way must find the utilisation that was asked for."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from ladderfe.advice import together
from ladderfe.advice.margin import case_margins, margins
from ladderfe.advice.places import (
    ALL,
    Place,
    asked_place,
    grid_cuts,
    grid_places,
    places_of,
    start_of,
    state_of,
    stretches_of,
)
from ladderfe.advice.states import frame_groups, plain_states
from ladderfe.advice.together import answer_states
from ladderfe.chassis import Criteria, read_chassis
from ladderfe.checks import check
from ladderfe.checks.variants import AGREE
from ladderfe.condition import Options, Readings, as_found, read_readings, readings_from_text, with_wall, with_walls
from ladderfe.errors import ModelError
from ladderfe.sections import TopHat

HEAD = "side,station,wall,reading\n"


def put_back(found, place, thickness, case):
    """The greatest utilisation of `check` (all criteria, a case) at the place of a chassis with that wall so thick."""
    if place.wall == ALL:
        chassis = with_walls(found, state_of(found, place, thickness))
    else:
        chassis = with_wall(found, place.side, place.start, place.end, {place.wall: thickness})
    f = check(chassis, assumptions=False)
    mesh, rows, s = f.solution.mesh, f.rows, f.stresses
    middle = mesh.along.mean(axis=1)[rows.member]
    part = np.array([p.name for p in mesh.parts])[mesh.part_of()[rows.member]]
    own = (part == f"{place.side} rail") & (middle > place.start) & (middle < place.end)
    c = f.solution.case(case)
    limits = f.chassis.criteria
    values = [(s.normal, limits.bending), (s.mean, limits.shear), (s.von_mises, limits.von_mises)]
    return max(float(np.abs(stress[own, :, c]).max()) / limit for stress, limit in values)


@pytest.fixture(scope="module")
def demo(demo_file):
    """Readings on both rails of the demo without holes, so that walls of every place can be set; some of its cases."""
    chassis = read_chassis(demo_file)
    chassis = replace(chassis, cases=tuple(c for c in chassis.cases if c.name in (chassis.cases[0].name, *CASES)))
    rows = "left,1240,bottom,1.4\nleft,1240,outer,1.9\nright,300,bottom,2.2\n"
    return as_found(chassis, readings_from_text(HEAD + rows, "r.csv", chassis))


CASES = ("braking", "cornering left", "one wheel bump, front left", "rear axle bounce")


@pytest.fixture(scope="module")
def demo_margins(demo):
    return margins(demo, places_of(demo), cases=CASES)


def test_limits_put_back_give_a_utilisation_of_one(demo, demo_margins):
    """Within 0.1 %, by the whole check with its finer tapers; every place of the readings and all walls alike."""
    crossed = [m for m in demo_margins.margins if m.limit.how == "found"]
    assert len(crossed) >= 4
    assert any(m.place.wall == ALL for m in crossed)
    for m in crossed:
        assert put_back(demo, m.place, m.limit.thickness, m.limit.case) == pytest.approx(1, abs=1e-3), m.place.name


@pytest.mark.parametrize("thinner", ["rear", "front"])
def test_all_walls_alike_are_nowhere_thicker_than_built_where_thickness_tapers(made, thinner):
    thin, thick = made.box(150, 75, 3), made.box(150, 75, 5)
    first, last = (thick, thin) if thinner == "rear" else (thin, thick)
    spans = (
        made.Span(start=0, end=1000, shape=first),
        made.Span(start=1000, end=1400, shape=first, shape_end=last),
        made.Span(start=1400, end=4000, shape=last),
    )
    frame = made.chassis(rails=made.rails(spans=spans))
    found = as_found(frame, readings_from_text(f"{HEAD}left,1200,bottom,3.9\n", "r.csv", frame))
    (place,) = (p for p in places_of(found) if p.wall == ALL)
    state = with_walls(found, state_of(found, place, start_of(found, place)))
    for built, now in zip(found.built.rails[0].spans, state.rails[0].spans, strict=True):
        for one, other in ((built.shape, now.shape), (built.shape_end, now.shape_end)):
            assert one is None or other.top <= one.top + 1e-9


def test_all_walls_count_the_readings_that_speak_for_them(made):
    """Two readings of the top and one of the bottom at 2000 mm, one of the inner wall at 2100 mm, whose reach cuts
    theirs: stretches of walls are no readings."""
    frame = made.chassis()
    rows = "left,2000,top,1.9\nleft,2000,top,1.8\nleft,2000,bottom,1.7\nleft,2100,inner,1.5\nleft,2600,top,1.8\n"
    found = as_found(frame, readings_from_text(f"{HEAD}{rows}", "r.csv", frame), Options(reach=150.0))
    alike = [(p.station, p.n, p.least) for p in places_of(found) if p.wall == ALL]
    assert alike == [(2000, 4, 1.5), (2100, 4, 1.5), (2600, 1, 1.8)]


def test_a_wall_all_round_has_the_onset_of_its_most_slender_part(made):
    """The one wall of a top hat and all its walls alike are the same metal, asked for in two ways."""
    hat = TopHat(depth=140, width=120, wall=2, brim=25, opens="-z")
    frame = made.chassis(rails=made.rails(hat))
    found = as_found(frame, readings_from_text(f"{HEAD}left,2000,wall,1.9\n", "r.csv", frame))
    one, alike = margins(found, places_of(found)).margins
    assert (one.place.wall, alike.place.wall) == ("wall", ALL)
    assert alike.onset.how == "found"
    assert one.onset.thickness == pytest.approx(alike.onset.thickness, abs=1e-5)


def test_the_onset_of_what_is_left_of_a_box_is_looked_for_under_its_new_name(made):
    """Over the whole reach of the top wall the bottom one is gone: the top is the web of a channel."""
    frame = made.chassis()
    rows = "side,station,wall,reading,to,rim\nleft,2000,top,1.9,,\nleft,1750,bottom,hole,2250,0\n"
    found = as_found(frame, readings_from_text(rows, "r.csv", frame))
    (one,) = margins(found, [p for p in places_of(found) if p.wall == "top"]).margins
    assert one.onset.how == "found"
    for share, lost in ((1.001, False), (0.999, True)):
        thinner = with_walls(found, state_of(found, one.place, share * one.onset.thickness))
        kept = {(part, wall): share for part, wall, share in check(thinner, assumptions=False).buckling.kept}
        assert (kept.get(("left rail", "web"), 1.0) < 1) == lost


def test_no_other_case_is_over_at_the_limit(demo, demo_margins):
    m = max((m for m in demo_margins.margins if m.limit.how == "found" and not m.over), key=lambda m: m.limit.thickness)
    (at_limit,) = answer_states(demo, [state_of(demo, m.place, m.limit.thickness)])
    own = [k for k, (name, a, b) in enumerate(at_limit.groups) if name == f"{m.place.side} rail"
           and m.place.start - 1 <= a and b <= m.place.end + 1]  # fmt: skip
    asked = [k for k, c in enumerate(at_limit.cases) if c in CASES]
    assert at_limit.ratio[np.ix_(own, asked)].max() == pytest.approx(1, abs=1e-4)


def test_as_found_is_as_the_check_finds_it(demo, demo_margins):
    f = check(demo.chassis, assumptions=False)
    top = max(u.ratio for u in f.utilisations if u.kind == "rail" and u.case in CASES)
    (now,) = answer_states(demo, [{}])
    asked = [k for k, c in enumerate(now.cases) if c in CASES]
    assert now.ratio[: len(demo.stretches), asked].max() == pytest.approx(top, rel=2e-3)  # the taper's limit
    assert now.cases == tuple(c.name for c in f.solution.cases[1:])


def test_onset_put_back_leaves_the_wall_just_whole(demo, demo_margins):
    """Just above the onset thickness the wall is whole by the check's own table of walls, just below it is not."""
    m = next(m for m in demo_margins.margins if m.onset.how == "found" and m.place.wall == "bottom")
    for share, slender in ((1.002, False), (0.998, True)):
        (a,) = answer_states(demo, [state_of(demo, m.place, share * m.onset.thickness)])
        asked = [k for k, c in enumerate(a.cases) if c in CASES]
        assert bool(a.slender["bottom"][asked].max() > 1) is slender
        near = check(with_wall(demo, m.place.side, m.place.start, m.place.end,
                               {"bottom": share * m.onset.thickness}), assumptions=False)  # fmt: skip
        kept = {(p, w): k for p, w, k in near.buckling.kept}
        if slender:
            assert kept[f"{m.place.side} rail", "bottom"] < 1


def test_case_by_case_and_enveloped_agree(demo, demo_margins):
    """Of single cases the greatest limit is that of all together."""
    m = next(m for m in demo_margins.margins if m.limit.how == "found" and not m.over and m.place.wall != ALL)
    single = case_margins(demo, m.place, CASES)
    best = max((x for x in single if x.limit.how == "found"), key=lambda x: x.limit.thickness)
    assert best.limit.thickness == pytest.approx(m.limit.thickness, abs=1e-5)
    assert best.limit.case == m.limit.case
    assert [x.now[1] for x in single] == list(CASES)


def test_many_states_by_processes_are_as_one_by_one(demo):
    """States solved in processes of their own and here: the same numbers."""
    place = places_of(demo)[0]
    states = [state_of(demo, place, t) for t in np.linspace(0.8, 2.2, 9)]
    many, alone = plain_states(demo, states), [plain_states(demo, [s])[0] for s in states[:2]]
    for a, b in zip(many, alone, strict=False):
        assert np.array_equal(a.ratio, b.ratio)


def test_states_together_are_as_one_by_one(demo_file, monkeypatch):
    """Places of the demo's own readings: tapers, holes, mean and least walls of their own, all walls alike.

    Utilisations to 1e-9 of the greatest (`AGREE`); onset thicknesses to 1e-8, as they go by differences of the stress
    at two edges.
    """
    chassis = read_chassis(demo_file)
    chassis = replace(chassis, cases=chassis.cases[:6])
    found = as_found(chassis, read_readings(demo_file.parent / "short-4x4-readings.csv", chassis))
    places = places_of(found)
    states = [state_of(found, p, (0.4 + 0.013 * k) * start_of(found, p)) for k, p in enumerate(places)]
    groups = frame_groups(found)
    near = [[*stretches_of(found, p), len(groups) - 1 - k % 5] for k, p in enumerate(places)]
    monkeypatch.setattr(together, "WORTH_LAYING_OUT", 1)
    fast = answer_states(found, states, near)
    assert all(np.isnan(a.ratio).any() for a in fast)  # none by the plain way
    some = range(0, len(places), 5)
    for k, plain in zip(some, plain_states(found, [states[k] for k in some]), strict=True):
        apart = np.abs(fast[k].ratio[near[k]] - plain.ratio[near[k]]).max()
        assert apart <= AGREE * plain.ratio.max(), places[k].name
        assert set(fast[k].slender) == set(plain.slender)
        for wall, slender in plain.slender.items():
            assert fast[k].slender[wall] == pytest.approx(slender, rel=1e-8), places[k].name


def test_walls_that_are_gone_and_few_states_take_the_plain_way(demo):
    place = next(p for p in places_of(demo) if p.wall != ALL)
    near = [stretches_of(demo, place)]
    for t, times in ((0.0, 20), (1.0, 2)):
        answers = answer_states(demo, [state_of(demo, place, t)] * times, near * times)
        assert not np.isnan(answers[0].ratio).any()


def test_answers_that_are_not_those_of_the_plain_way_are_found_out(demo, monkeypatch):
    right = together.in_use
    monkeypatch.setattr(together, "in_use", lambda *given: 1.00001 * right(*given))
    monkeypatch.setattr(together, "WORTH_LAYING_OUT", 1)
    with pytest.raises(ModelError, match="apart"):
        margins(demo, places_of(demo)[:1], cases=CASES[:1])


def test_a_state_that_falls_apart_says_why(demo):
    place = replace(places_of(demo)[0], wall="top")
    state = {k: {"top": 0.0, "bottom": 0.0} for k in state_of(demo, place, 1.0)}
    (a,) = plain_states(demo, [state])
    assert "nothing is left" in a.problem
    assert np.isinf(a.ratio).all()


def test_holes_stay_holes(demo_file):
    """A thickness is given to the metal of a place, not to the hole in its reach."""
    chassis = read_chassis(demo_file)
    found = as_found(chassis, read_readings(demo_file.parent / "short-4x4-readings.csv", chassis))
    holed = {k for k, s in enumerate(found.stretches) for w in s.walls if w.basis == "hole"}
    assert holed
    for p in places_of(found):
        for k, walls in state_of(found, p, 1.0).items():
            gone = {w.wall for w in found.stretches[k].walls if w.basis == "hole"}
            assert not gone & set(walls)


def test_all_walls_alike_are_never_thicker_than_built(stepped_found):
    place = next(p for p in grid_places(stepped_found) if p.wall == ALL and p.start >= 1500 and p.end <= 2500)
    assert place.nominal == 4
    (walls,) = state_of(stepped_found, place, 3.5).values()
    assert walls == {"top": 3, "web": 3.5, "bottom": 3}


@pytest.fixture(scope="module")
def stepped_found(made):
    """Boxes of 2.5 mm to 1500, channels with a web of 4 and flanges of 3 mm to 2500, boxes of 2 mm behind."""
    spans = (
        made.Span(start=0, end=1500, shape=made.box(150, 75, 2.5)),
        made.Span(start=1500, end=2500, shape=made.Channel(depth=150, width=75, web=4, top=3, bottom=3, opens="-y")),
        made.Span(start=2500, end=4000, shape=made.box(150, 75, 2)),
    )
    chassis = made.chassis(rails=made.rails(spans=spans))
    return as_found(chassis, Readings(source=""), cuts=grid_cuts(chassis))


def test_the_grid_covers_both_rails_once(stepped_found):
    for side in ("left", "right"):
        own = [p for p in grid_places(stepped_found) if p.side == side and p.wall == "top"]
        assert (own[0].start, own[-1].end) == (0, 4000)
        assert all(a.end == b.start and b.end - b.start <= 400 for a, b in pairwise(own))
    assert {p.wall for p in grid_places(stepped_found)} == {"top", "bottom", "outer", "inner", "web", ALL}


def test_a_place_of_readings_speaks_for_its_reach(demo):
    place = asked_place(demo, "left", "bottom", 1300.0, 250.0)
    assert (place.station, place.n, place.least) == (1240, 1, 1.4)
    with pytest.raises(ModelError, match="no wall called 'web'"):
        asked_place(demo, "left", "web", 1300.0, 250.0)


def test_unknown_cases_are_refused(demo):
    with pytest.raises(ModelError, match="is not one of this chassis"):
        margins(demo, places_of(demo)[:1], cases=["statick"])


def test_what_is_over_already_says_so_and_counts_the_others(demo):
    """Permissible stresses between the cases' utilisations: some over, and a limit of the others."""
    place = places_of(demo)[0]
    (now,) = margins(demo, [place], cases=CASES).margins
    half = replace(demo, chassis=replace(demo.chassis, criteria=scaled(demo.chassis.criteria, 0.999 * now.now[0])))
    (m,) = margins(half, [place], cases=CASES).margins
    assert [c for c, _ in m.over] == [now.now[1]]
    assert m.limit.case != now.now[1]
    assert m.limit.how == "found"
    assert m.left is None


def scaled(c: Criteria, by: float) -> Criteria:
    """Permissible stresses at which utilisations are that much lower."""
    return replace(c, bending=c.bending * by, shear=c.shear * by, von_mises=c.von_mises * by)


def test_what_comes_over_elsewhere_first_is_told_apart(made):
    """With answers by formula: the place at 0.6 x 2.5/t, a stretch elsewhere at 0.8 x 2.5/t, another over all along."""
    chassis = made.chassis()
    found = as_found(chassis, Readings(source=""), cuts=[1600.0, 2200.0])
    place = Place(side="left", wall="bottom", station=1900, start=1600, end=2200, nominal=2.5, least=2.4, n=3)
    inside = {k for k, s in enumerate(found.stretches) if s.side == "left" and s.start == 1600}
    (real,) = answer_states(found, [{}])

    def by_formula(_, states, near):
        out = []
        for state in states:
            t = max(next(iter(w.values())) for w in state.values()) if state else 2.5
            ratio = np.zeros_like(real.ratio)
            ratio[list(inside)] = 0.6 * 2.5 / t if t else np.inf
            ratio[-1], ratio[-2] = 0.8 * 2.5 / t if t else np.inf, 1.7
            slender = {"bottom": np.full(len(real.cases), 1.5 / t if t else np.inf)}
            out.append(replace(real, ratio=ratio, slender=slender))
        return out

    m = margins(found, [place], answer=by_formula)
    (one,) = m.margins
    assert one.limit.thickness == pytest.approx(1.5, abs=1e-5)
    assert one.left == pytest.approx(0.9, abs=1e-5)
    assert one.onset.thickness == pytest.approx(1.5, abs=1e-5)
    assert one.first is not None
    beside, thickness = one.first
    assert thickness == pytest.approx(2.0, abs=1e-5)
    assert (beside.name, beside.found) == (real.groups[-1][0], pytest.approx(0.8))
    assert not one.over
    assert m.worst == ((real.groups[-2][0], real.cases[0], 1.7),)
    assert one.elsewhere is not None
    assert one.elsewhere.ratio == pytest.approx(1.7)


@pytest.fixture(scope="module")
def small(made):
    """Makes small frames as found: rails of a wall thickness, one place on the left rail, a limit in N/mm2."""

    @cache
    def maker(wall, station, limit):
        chassis = made.chassis(
            rails=made.rails(made.box(150, 75, wall)), crossmembers=(made.cross("one", 300), made.cross("two", 3700)),
            cases=(made.STATIC, made.TWICE), criteria=Criteria(bending=limit, shear=limit, von_mises=1.2 * limit),
        )  # fmt: skip
        cuts = [station - 200, station + 200]
        return as_found(chassis, Readings(source=""), cuts=cuts)

    return maker


@example(wall=1.5, station=2100.0, name="top", share=0.9921875)
@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(
    wall=st.sampled_from([1.5, 2.0, 3.0]), station=st.sampled_from([900.0, 1500.0, 2100.0, 3000.0]),
    name=st.sampled_from(["top", "bottom", "outer", "inner", ALL]), share=st.floats(0.3, 1.2),
)  # fmt: skip
def test_small_frames_put_back(small, wall, station, name, share):
    """Any wall, limits below and above what is there: put back it is 1 within 0.1 %; "none" and "gone" hold as well."""
    (now,) = answer_states(small(wall, station, 100.0), [{}])
    limit = 100.0 * now.ratio[: len(small(wall, station, 100.0).stretches)].max() / share
    found = small(wall, station, round(limit, 3))
    place = asked_place(found, "left", name, station, 200.0)
    (m,) = margins(found, [place]).margins
    over = {c for c, _ in m.over}
    left = [c for c in ("static", "twice") if c not in over]
    if m.limit.how == "found":
        assert m.limit.case in left
        assert put_back(found, place, m.limit.thickness, m.limit.case) == pytest.approx(1, abs=1e-3)
    elif m.limit.how == "jumps":  # at the step that begins where the wall becomes thinner than the ones beside it
        assert m.limit.case in left
        assert put_back(found, place, m.limit.thickness, m.limit.case) < 1
        assert put_back(found, place, m.limit.thickness - 1e-3, m.limit.case) >= 1
    elif m.limit.how == "none":
        thin = 0.0 if name != ALL else 0.03 * start_of(found, place)
        assert all(put_back(found, place, thin, c) < 1 for c in left)
    elif m.limit.how == "gone":
        assert any(put_back(found, place, 0.0, c) >= 1 for c in left)
        assert all(put_back(found, place, 0.03 * wall, c) < 1 for c in left)
    else:
        assert m.limit.how == "already over"
        assert not left
