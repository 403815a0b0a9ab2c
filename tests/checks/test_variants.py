"""Many states of one frame against the plain way, state by state.

The plain way has tests of its own; here both must say the same to 1e-9 of the greatest utilisation (`AGREE`), in every
case: what differs is the order of the arithmetic, and condensation costs a few digits of sixteen.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from ladderfe.chassis import CaseSpec, Joint, read_chassis
from ladderfe.checks import variants as module
from ladderfe.checks.variants import AGREE, Stretch, Variants, plain_found
from ladderfe.errors import ModelError
from ladderfe.mesh.build import SIDES
from ladderfe.sections.thinned import thinned
from ladderfe.solve import variant_contact

BOX, CHANNEL = ("outer", "inner", "top", "bottom"), ("web", "top", "bottom")
TWIST = CaseSpec(name="twist", kind="cross-axle", wheels=("front left", "rear right"), height=150.0)
WIND = CaseSpec(name="bend", kind="cornering", side="left", acceleration=3.0)


def of_model(model, models, stations, walls, sides=("left", "right"), cases=8):
    """A model file with stretches."""
    chassis = read_chassis(models / f"{model}.toml")
    chassis = replace(chassis, cases=chassis.cases[:cases])
    return chassis, [Stretch(s, *stations, w) for s in sides for w in walls]


@pytest.fixture
def models(demo_file):
    return demo_file.parent


def agree(of, thickness, least=None, **more):
    """Answers, all of them also worked out the plain way."""
    found = of.answer(thickness, least, check=0, **more)
    for k, t in enumerate(thickness):
        _, by_case, _ = plain_found(of.plan, t, t if least is None else least[k])
        assert np.abs(found.by_case[k] - by_case).max() <= AGREE * by_case.max()
    return found


def drawn(of, low, high, n=3, seed=0):
    return np.random.default_rng(seed).uniform(low, high, (n, len(of.plan.varied.stretches)))


@pytest.mark.parametrize(
    ("model", "stations", "walls", "low", "high"),
    [
        ("short-4x4", (700.0, 1900.0), BOX, 1.5, 2.5),
        ("short-4x4", (100.0, 3600.0), ("outer", "bottom"), 1.5, 2.5),  # tapers at both ends
        ("light-lorry", (1500.0, 3200.0), CHANNEL, 3.0, 5.0),
        ("pick-up", (200.0, 1500.0), CHANNEL, 2.5, 4.0),  # a taper; crossmembers that stand on the web
        ("test-frame", (0.0, 4158.0), ("top", "inner"), 1.2, 2.0),  # every member of the rails
    ],
)
def test_models_agree_with_the_plain_way(models, model, stations, walls, low, high):
    of = Variants.of(*of_model(model, models, stations, walls))
    found = agree(of, drawn(of, low, high))
    assert not found.plain
    assert not found.failed


def test_all_cases_of_the_demo_agree(models):
    """Jacks, stands, tow and winch cases too."""
    of = Variants.of(*of_model("short-4x4", models, (900.0, 1500.0), ("top", "inner"), ("left",), cases=99))
    t = drawn(of, 1.5, 2.5, n=2)
    agree(of, t)
    assert of.plan.balance(None).plainly == []
    assert of.plan.solve(t).searched == []


def test_cases_that_tip_agree(models):
    """Cornering so hard that the vehicle tips: taken just short of what it bears, which walls move."""
    chassis, stretches = of_model("short-4x4", models, (900.0, 1500.0), ("top", "inner"), ("left",))
    hard = [CaseSpec(name=f"to the {s}", kind="cornering", side=s, acceleration=1.6) for s in ("left", "right")]
    of = Variants.of(replace(chassis, cases=(*chassis.cases[:1], *hard)), stretches)
    t = drawn(of, 1.5, 2.5)
    agree(of, t)
    balance = of.plan.balance(None)
    tip = {balance.hanging.cases[s.case].name for s in balance.steps if s.carrying is not None}
    assert tip == {c.name for c in hard}
    assert balance.plainly == []
    assert of.plan.solve(t).searched == []


@pytest.mark.parametrize("wheels", ["beam", "independent"])
def test_wheels_that_come_off_the_ground_agree(statics, made, wheels):
    """A hard pull to the side lifts a wheel that was to hold part of it, so that the case is taken again; a nose weight
    that tips the vehicle over; pushes that go by the height of the centre of gravity."""
    fitted = statics.fitted(made)
    axles = tuple(replace(a, kind=wheels, anti_roll=bar) for a, bar in zip(fitted.axles, (4e9, 0.0), strict=True))
    pull = CaseSpec(name="pull", kind="winch", at=("winch",), force=1.05e4, angle=-80.0)
    whip = CaseSpec(name="whip", kind="rear overhang whip", factor=2.0, at=("ball",), mass=0.1)
    kerb = CaseSpec(name="kerb", kind="kerb strike", side="right")
    sacks = made.mass("sacks", 0.2, (2200, 0, 630), ("ball", "winch"), aboard=False)  # which raise the centre
    specs = (made.STATIC, pull, whip, replace(whip, name="tips", mass=9.0), kerb)
    of = Variants.of(
        replace(fitted, axles=axles, cases=specs, masses=(sacks,)),
        [Stretch("left", 1500.0, 2500.0, w) for w in ("top", "inner")],
    )
    agree(of, drawn(of, 1.5, 2.5, n=2))
    balance, names = of.plan.balance(None), [c.name for c in of.plan.hanging.cases]
    assert [names[k] for k in balance.plainly] == ["tips"]


def test_members_may_be_divided(models):
    of = Variants.of(*of_model("pick-up", models, (900.0, 1500.0), CHANNEL, ("right",)), refine=2, taper_steps=8)
    agree(of, drawn(of, 2.5, 4.0, n=2))


@pytest.mark.parametrize(
    ("wall", "beside"), [("bottom", "outer"), ("top", "inner"), ("outer", "top"), ("inner", "bottom")]
)
def test_boxes_beside_an_opening_and_its_own_walls_agree(models, wall, beside):
    """A hole of a wall's whole width: a channel in the run of boxes, whose edges the walls beside hold together."""
    chassis, _ = of_model("test-frame", models, (0.0, 0.0), ())
    left, right = chassis.rails
    (span,) = left.spans
    hole = replace(span, start=1200.0, end=1300.0, shape=thinned(span.shape, {wall: 0.0}, SIDES["left"]))
    left = replace(left, spans=(replace(span, end=1200.0), hole, replace(span, start=1300.0)))
    chassis = replace(chassis, rails=(left, right))
    stretches = [Stretch("left", 1000.0, 1200.0, beside), Stretch("left", 1200.0, 1300.0, "web")]
    stretches.append(Stretch("left", 1200.0, 1300.0, beside))
    of = Variants.of(chassis, stretches)
    found = agree(of, drawn(of, 1.2, 2.0))
    assert of.plan.varied.bridges == (0,)
    assert not found.plain


def test_walls_for_strength_of_their_own(models):
    """Stiffness by one set of walls, stress by thinner ones."""
    for model, walls, low, high in (("short-4x4", BOX, 1.8, 2.5), ("light-lorry", CHANNEL, 3.5, 5.0)):
        of = Variants.of(*of_model(model, models, (900.0, 1900.0), walls))
        mean = drawn(of, low, high)
        least = mean * drawn(of, 0.7, 1.0, seed=1)
        both, alike = agree(of, mean, least, by_stretch=True), of.answer(mean, check=0, by_stretch=True)
        assert (both.ratio >= alike.ratio).all()
        assert (both.by_stretch > alike.by_stretch).any()


def test_springs_in_place_of_walls_and_rigid_joints(models):
    chassis, stretches = of_model("short-4x4", models, (900.0, 1900.0), BOX)
    for changed in (replace(chassis, joint_model="springs"), replace(chassis, joint_level=1.0),
                    replace(chassis, joint_level=np.inf)):  # fmt: skip
        of = Variants.of(changed, stretches)
        agree(of, drawn(of, 1.5, 2.5, n=2))


def test_the_greatest_in_every_stretch_is_that_of_its_members(models):
    of = Variants.of(*of_model("light-lorry", models, (1500.0, 2500.0), CHANNEL))
    t = drawn(of, 3.0, 5.0, n=2)
    found = agree(of, t, by_stretch=True)
    for k in range(len(t)):
        solution = of.plan.plain(t[k].tolist())
        rows = module.look_at(solution)
        ratio, _ = module.ratios(module.stresses(solution, rows), of.plan)
        for own, value in zip(of.of_stretch, found.by_stretch[k], strict=True):
            expected = ratio[:, own[rows.member], 1:].max()
            assert value == pytest.approx(expected, rel=AGREE)


def test_places_are_those_of_the_plain_way(models):
    of = Variants.of(*of_model("short-4x4", models, (700.0, 1900.0), BOX))
    t = drawn(of, 1.5, 2.5)
    found, greatest = of.answer(t), of.answer(t, by_case=False)
    assert found.places == greatest.places == tuple(plain_found(of.plan, own, own)[2] for own in t)
    assert of.utilisation(t[0].tolist()).ratio == pytest.approx(found.ratio[0], rel=AGREE)
    assert np.isnan(greatest.by_case).all()


@pytest.mark.parametrize("model", ["short-4x4", "pick-up"])
def test_the_greatest_of_all_alone_is_that_of_the_cases(models, model):
    """Fewer members are looked at; none that governs may be left out."""
    of = Variants.of(*of_model(model, models, (200.0, 1500.0), BOX if model == "short-4x4" else CHANNEL, cases=99))
    t = drawn(of, 1.2, 3.5, n=24)
    by_case, alone = of.answer(t, check=0), of.answer(t, check=0, by_case=False)
    assert np.abs(alone.ratio / by_case.by_case.max(axis=1) - 1).max() <= AGREE
    assert alone.places == by_case.places


@pytest.fixture
def ladder(made):
    """A ladder of boxes, left and right unlike, whose joints are estimated, and stretches on both rails."""
    walls = made.box(150, 75, 2.5, top=3.0)
    cross = tuple(
        made.cross(n, x, joint_left=Joint(), joint_right=Joint())
        for n, x in (("a", 100.0), ("b", 1900.0), ("c", 3900.0))
    )
    taper = (made.Span(start=0.0, end=1500.0, shape=made.box(110, 75, 2.5), shape_end=walls),
             made.Span(start=1500.0, end=4000.0, shape=walls))  # fmt: skip
    rails = made.rail("left", walls), made.rail("right", spans=taper)
    chassis = made.chassis(rails=rails, crossmembers=cross, cases=(made.STATIC, made.TWICE, TWIST, WIND))
    stretches = [Stretch("left", 1500.0, 2500.0, w) for w in BOX] + [Stretch("right", 500.0, 2000.0, w) for w in BOX]
    return Variants.of(chassis, stretches).prepare()


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.floats(0.5, 6.0), min_size=8, max_size=8))
def test_any_thickness_agrees(ladder, walls):
    agree(ladder, np.array([walls]))


def test_two_processes_say_the_same(ladder):
    t = drawn(ladder, 1.0, 3.0, n=40)
    one, two = ladder.answer(t, check=0), ladder.answer(t, check=0, processes=2)
    assert np.array_equal(one.by_case, two.by_case)
    assert one.places == two.places


def test_supports_that_change_are_searched_for_again(ladder, monkeypatch):
    """Where a sign is not sure the state takes the plain search; here none is."""
    t = drawn(ladder, 1.0, 3.0, n=2)
    usual = ladder.answer(t, check=0)
    monkeypatch.setattr(variant_contact, "SURE", 10.0)
    assert ladder.plan.solve(t).searched == [0, 1]
    again = ladder.answer(t, check=0)
    assert np.abs(again.by_case - usual.by_case).max() <= AGREE * usual.ratio.max()


def test_a_wheel_that_lifts_in_some_states_only(made):
    """On stiff springs a raised diagonal lifts a wheel of stiff frames, soft ones follow the ground."""
    cross = tuple(made.cross(n, x) for n, x in (("a", 100.0), ("b", 1900.0), ("c", 3900.0)))
    axles = tuple(replace(a, rate=100.0) for a in made.AXLES)
    of = Variants.of(
        made.chassis(crossmembers=cross, axles=axles, cases=(made.STATIC, TWIST)),
        [Stretch(s, 0.0, 4000.0, w) for s in ("left", "right") for w in BOX],
    )
    t = np.repeat(np.linspace(0.6, 8.0, 6)[:, None], 8, axis=1)
    assert of.plan.solve(t).searched == [3, 4, 5]  # the first state's supports are tried
    agree(of, t)


def test_joints_that_change_their_kind_take_the_plain_way(made):
    """A crossmember between flanges that fills the channel where these are thick and not where they are thin."""
    rail = made.channel(150, 65, 4.0, "-y")
    fills = made.cross("b", 1900.0, made.box(142, 60, 3), joint_left=Joint(), joint_right=Joint())
    rails = made.rail("left", rail), made.rail("right", rail)
    chassis = made.chassis(rails=rails, crossmembers=(made.LADDER[0], fills, made.LADDER[2]))
    of = Variants.of(chassis, [Stretch(s, 1500.0, 2500.0, w) for s in ("left", "right") for w in ("top", "bottom")])
    found = agree(of, np.array([[3.5] * 4, [4.5] * 4]))
    assert found.plain == (1,)


def test_states_without_an_answer_are_told(ladder):
    t = drawn(ladder, 1.0, 3.0, n=3)
    t[1, :2] = 40.0  # both uprights of a box 75 mm wide
    found = ladder.answer(t, check=0)
    assert list(found.failed) == [1]
    assert "no room" in found.failed[1]
    assert np.isnan(found.ratio).tolist() == [False, True, False]


def test_both_ways_must_agree(ladder, monkeypatch):
    """A table of stress coefficients that is a little off is found out."""
    right = module.stacked_table

    def off(*given):
        table = right(*given)
        parts = [replace(p, four=(1.00001 * p.four[0], *p.four[1:])) for p in table.parts]
        return replace(table, parts=tuple(parts))

    t = drawn(ladder, 1.0, 3.0, n=4)
    assert ladder.answer(t).checked <= AGREE
    monkeypatch.setattr(module, "stacked_table", off)
    with pytest.raises(ModelError, match="apart"):
        ladder.answer(t)


@pytest.mark.parametrize(
    ("stretch", "words"),
    [
        (Stretch("left", 100.0, 900.0, "web"), "no wall 'web'"),
        (Stretch("left", -100.0, 900.0, "top"), "off the rail"),
        (Stretch("left", 900.0, 900.0, "top"), "no metal"),
    ],
)
def test_stretches_that_are_none(made, stretch, words):
    with pytest.raises(ModelError, match=words):
        Variants.of(made.chassis(), [stretch])


def test_torsion_bars_beside_an_anti_roll_bar_and_stops_agree(made):
    """Couples of arms that stay on the rails, in cases that stand and in those with given forces."""
    front = made.axle(
        "front", made.FRONT, kind="independent", torsion_bar="middle", spring_base=600.0, anti_roll=1.2e7,
        bump_gap=15.0, droop=15.0,
    )  # fmt: skip
    bump = CaseSpec(name="bump", kind="one wheel bump", wheels=("front right",), factor=1.3)
    cross = CaseSpec(name="cross", kind="cross-axle", wheels=("front left", "rear right"), height=150.0)
    of = Variants.of(
        made.chassis(axles=(front, made.AXLES[1]), cases=(made.STATIC, bump, cross)),
        [Stretch("left", 1500.0, 2500.0, w) for w in ("top", "inner")],
    )
    agree(of, drawn(of, 1.5, 2.5, n=2))
    assert of.plan.balance(None).plainly == []
