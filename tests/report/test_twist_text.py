"""The page of twist: its parts, its numbers against the findings, what it says in words, its width."""

import math
import re
from dataclasses import replace

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.checks.twist import check_twist
from ladderfe.report.cautions import CAUTIONS
from ladderfe.report.table import WIDTH, page_width
from ladderfe.report.twist_text import fit_words, twist_text
from ladderfe.report.twist_words import (
    energy_bars,
    knm_per_deg,
    lift_words,
    rigid_words,
    short_words,
    stiff,
    stiffer_words,
)

VERDICTS = r"\b(safe|safely|unsafe|sound|fail|fails|failed|pass|passes|passed|roadworthy|legal|legally|illegal)\b"
PARTS = (
    "Torsional stiffness of the bare frame", "Where it twists", "What works in it", "Each crossmember removed",
    "What the road can ask", "What the springs let through", "Wheels raised by", "Twist cases", "Joints used",
    "Bench test", "Not checked", "Self-check: 15 of 15 proofs hold", "Cautions",
)  # fmt: skip


@pytest.fixture(scope="module")
def page(demo_twist):
    return twist_text(demo_twist, "demo.toml")


@pytest.fixture(scope="module")
def plain_page(plain_twist):
    return twist_text(plain_twist, "frame.toml")


@pytest.fixture(scope="module")
def pick_up(demo_file, coarse_tapers):
    with coarse_tapers():
        return check_twist(read_chassis(demo_file.with_name("pick-up.toml")))


def with_used(t, **changes):
    """The findings with something else at the level of joints that is used."""
    return replace(t, levels={**t.levels, t.used: replace(t.levels[t.used], **changes)})


def flat(page):
    return " ".join(page.split())


def part_of(page, heading):
    """Lines of one part, without its heading."""
    lines = page.splitlines()
    start = next(k for k, line in enumerate(lines) if line.startswith(heading))
    end = next((k for k in range(start + 2, len(lines)) if lines[k] and set(lines[k]) == {"-"}), len(lines) + 1)
    return [line for line in lines[start + 2 : end - 1] if line.strip()]


def numbers(line):
    return [float(x) for x in re.findall(r"[-+]?\d+\.?\d*", line)]


def test_parts_stand_in_their_order(page, plain_page):
    for p in (page, plain_page):
        found = [p.index(f"\n{w}") for w in PARTS]
        assert found == sorted(found)
        assert all(" ".join(c.split()) in flat(p) for c in CAUTIONS)


def test_it_fits_its_width_whatever_the_names(page, plain_page, pick_up, demo_file, plain_twist):
    assert max(map(len, page.splitlines())) <= WIDTH
    assert max(map(len, plain_page.splitlines())) <= WIDTH
    assert max(map(len, twist_text(pick_up, "pick-up.toml").splitlines())) <= WIDTH
    c = plain_twist.chassis
    long = tuple(replace(x, name=f"{x.name} of {'a long story ' * 4}") for x in c.crossmembers)
    named = check_twist(replace(c, crossmembers=long))
    assert max(map(len, twist_text(named, "x.toml").splitlines())) <= WIDTH
    with page_width(80):
        assert max(map(len, twist_text(plain_twist, "frame.toml").splitlines())) <= 80


def test_no_verdict(page, plain_page, pick_up):
    for p in (page, plain_page, twist_text(pick_up, "pick-up.toml")):
        assert re.findall(VERDICTS, p, re.I) == []


def test_stiffness_by_joints(page, demo_twist):
    rows = part_of(page, "Torsional stiffness of the bare frame")[1:5]
    for row, (name, t) in zip(rows, demo_twist.twisted.items(), strict=True):
        assert row.split()[0] == name
        knm, nm = numbers(row)[:2]
        assert knm == pytest.approx(t.stiffness * math.pi / 180 / 1e6, abs=5e-4)
        assert nm == pytest.approx(1000 * knm, abs=1)
    assert "used below" in rows[1]


def test_rigid_joints_too_stiff_in_words(plain_page, plain_twist):
    """A box ladder with four butted crossmembers: the sentence, its number at least 40."""
    times = stiffer_words(plain_twist.rigid_error)
    found = re.search(rf"Rigid joints come out (\d+) % too stiff: {times}", flat(plain_page))
    assert found
    assert int(found[1]) >= 40
    assert int(found[1]) == round(100 * plain_twist.rigid_error)
    assert "A crossmember butted on a bare web bends that web" in flat(plain_page)


@pytest.mark.parametrize(
    ("share", "words"),
    [(3.2, "more than four times as stiff as"), (1.1, "more than twice as stiff as"),
     (0.6, "more than one and a half times as stiff as"), (0.42, "nearly one and a half times as stiff as"),
     (0.2, "stiffer than")],
)  # fmt: skip
def test_how_many_times(share, words):
    assert stiffer_words(share) == words


def test_where_joints_hardly_matter(pick_up, plain_twist):
    """Rails and crossmembers that give way far more than their joints; and joints that are all given."""
    assert pick_up.rigid_error < 0.1
    assert rigid_words(pick_up).startswith(f"Rigid joints come out {100 * pick_up.rigid_error:.1f} % stiffer than")
    given = replace(plain_twist, joints=tuple(replace(u, estimate=None) for u in plain_twist.joints))
    assert rigid_words(given).startswith("No joint of this frame is estimated")


def test_rigid_where_no_joint_is_estimated(made):
    """Box rails rack but for rigid: then it is another frame, and the words say so; with joints as springs, and with
    rails that keep their shape in any case, all four are the same."""
    def words(**changes):
        t = check_twist(made.chassis(**changes))
        return rigid_words(t), t.twisted

    said, twisted = words()
    assert twisted["low"].stiffness == pytest.approx(twisted["high"].stiffness, rel=1e-12)
    share = 100 * (twisted["rigid"].stiffness / twisted["middle"].stiffness - 1)
    assert share > 1
    assert said.endswith(
        "low, middle and high are the same. With rigid the rails keep the shape of their section too, which makes the "
        f"frame {share:.1f} % stiffer."
    )
    for changes in ({"joint_model": "springs"}, {"rails": made.rails(made.Tube(diameter=100, wall=3))}):
        said, twisted = words(**changes)
        assert said.endswith("low, middle, high and rigid are the same.")
        assert twisted["rigid"].stiffness == pytest.approx(twisted["middle"].stiffness, rel=1e-12)


def test_bays_add_up_on_the_page(page):
    rows = part_of(page, "Where it twists")[1:]
    *bays, whole = (numbers(r)[-6:] for r in rows[:-1])
    for level in range(4):
        assert sum(b[level] for b in bays) == pytest.approx(whole[level], abs=0.002)
    assert sum(b[4] for b in bays) == pytest.approx(100.0, abs=0.2)
    assert rows[0].startswith("front axle to engine")
    assert rows[-3].startswith("kick-up to rear axle")


def test_energy_sums_to_100_percent(page, plain_page, demo_twist, plain_twist):
    for p, t in ((page, demo_twist), (plain_page, plain_twist)):
        assert sum(b.total for b in energy_bars(t)) == pytest.approx(1.0, abs=1e-3)
        rows = part_of(p, "What works in it")[1:]
        end = next(k for k, r in enumerate(rows) if r.startswith("all "))
        shown = [numbers(r)[-7:] for r in rows[: end + 1]]
        assert shown[-1][3:] == [100.0] * 4
        for bending, torsion, joints, total, *_ in shown:
            assert bending + torsion + joints == pytest.approx(total, abs=0.2)
        for level in range(3, 7):
            assert sum(r[level] for r in shown[:-1]) == pytest.approx(100.0, abs=0.5)
    assert any(b.name.startswith("both rails, ") for b in energy_bars(demo_twist))


def test_crossmembers_removed_halved_doubled(page, demo_twist):
    rows = part_of(page, "Each crossmember removed")[1:6]
    for row, (name, values) in zip(rows, demo_twist.effects.items(), strict=True):
        assert row.startswith(name)
        found = numbers(row.replace(" %", ""))[-6:]
        for value, percent, wanted in zip(found[::2], found[1::2], values, strict=True):
            assert value == pytest.approx(knm_per_deg(wanted), abs=5e-4)
            assert percent == pytest.approx(100 * (wanted / demo_twist.stiffness - 1), abs=0.05)


def test_a_frame_that_falls_apart_says_so(plain_twist):
    effects = {**plain_twist.effects, "front": (math.nan, *plain_twist.effects["front"][1:])}
    rows = part_of(twist_text(with_used(plain_twist, effects=effects), "x"), "Each crossmember removed")
    assert re.match(r"front +falls apart +\d", rows[1])
    assert re.match(r"front +-\d+\.\d % +falls apart +-\d", rows[-4])


def test_removed_by_joints(page, demo_twist):
    """Rigid joints tell another loss."""
    rows = part_of(page, "Each crossmember removed")
    for row, name in zip(rows[-5:], demo_twist.effects, strict=True):
        wanted = [100 * (x.effects[name][0] / x.twisted.stiffness - 1) for x in demo_twist.levels.values()]
        assert numbers(row.replace(" %", ""))[-4:] == pytest.approx(wanted, abs=0.05)


def test_limit_couple_with_its_arithmetic(plain_page, plain_twist):
    """The product in numbers, and the one that leaves unsprung weight out, marked as not used."""
    found = re.search(
        r"Limit couple: (\S+) kN x (\S+) m / 2 = (\S+) kN m, at the front axle.*"
        r"without it (\S+) kN x (\S+) m / 2 would come to (\S+) kN m, which is NOT used",
        flat(plain_page),
    )
    load, track, couple, sprung, _, wrong = (float(x) for x in found.groups())
    g = plain_twist.ground[0]
    assert load * track / 2 == pytest.approx(couple, abs=0.01)
    assert sprung * track / 2 == pytest.approx(wrong, abs=0.01)
    assert couple == pytest.approx(plain_twist.couple / 1e6, abs=0.005)
    assert load - sprung == pytest.approx(g.unsprung / 1000, abs=0.01)


def test_series_and_raised_wheels(page, demo_twist):
    text = flat(page)
    assert "1/K = 1/K front + 1/K rear + 1/K frame" in text
    rows = part_of(page, "What the springs let through")[1:5]
    assert sum(numbers(r)[-1] for r in rows[:3]) == pytest.approx(100.0, abs=0.2)
    raised = part_of(page, "Wheels raised by 200 mm")
    row = next(r for r in raised if r.startswith("front left, rear right"))
    lift = demo_twist.lifts[4]
    at = lift.at(200.0)
    wheels = [at[f"{w} wheel"] / 1000 for w in ("front left", "front right", "rear left", "rear right")]
    assert numbers(row)[-4:] == pytest.approx(wheels, abs=0.005)
    assert numbers(row)[1] == pytest.approx(abs(lift.couple_at(200.0)) / 1e6, abs=0.005)


def test_couples_by_joints(page, demo_twist):
    rows = part_of(page, "Wheels raised by 200 mm")
    start = next(k for k, r in enumerate(rows) if r.startswith("by joints"))
    for row, (name, level) in zip(rows[start + 1 : start + 5], demo_twist.levels.items(), strict=True):
        series, one, pair, height = numbers(row)
        assert row.split()[0] == name
        K = 1 / (1 / demo_twist.series.front + 1 / demo_twist.series.rear + 1 / level.twisted.stiffness)
        assert series == pytest.approx(knm_per_deg(K), abs=5e-4)  # three decimals
        couples = [abs(x.couple_at(200.0)) / 1e6 for x in level.lifts]
        assert (one, pair) == pytest.approx((max(couples[:4]), max(couples[4:])), abs=0.005)
        assert height == pytest.approx(min(c.height for x in level.lifts for c in x.lifting), abs=0.5)


def test_what_happens_on_the_way_up(page, plain_page, demo_twist):
    text = flat(page)
    for lift in demo_twist.lifts:
        assert lift_words(lift) in text
    assert "takes hold" in text
    assert "the front right wheel lifts off the ground." in text
    assert "On the way up to 600 mm no wheel lifts (joints middle)." in flat(plain_page)
    assert "The file gives no bump stops and no droop straps" in flat(plain_page)
    assert "The file gives no bump stops" not in text


def test_stops_that_carry_at_the_height_asked_for(demo_twist):
    text = flat(twist_text(replace(demo_twist, height=420.0), "x"))
    force = demo_twist.lifts[4].at(420.0)["rear right bump stop"] / 1000
    assert "With front left and rear right raised by 420 mm carry: front left bump stop" in text
    assert f"rear right bump stop {force:.2f} kN" in text


def test_one_that_tips_over_says_where(demo_twist):
    lift = demo_twist.lifts[0]
    gone = replace(lift, tipping="tips over about the line through this and that")
    assert lift_words(gone).endswith("above 600 mm it tips over about the line through this and that.")
    short = tuple(replace(x, height=x.height / 4, tipping="tips over") for x in demo_twist.lifts)
    rows = part_of(twist_text(with_used(demo_twist, lifts=short), "x"), "Wheels raised by")
    assert "none" in rows[1]


def test_cases_by_joints_and_where_they_govern(page, demo_twist):
    text, t = flat(page), demo_twist
    rows = part_of(page, "Twist cases")
    bump = next(r for r in rows if r.startswith("one wheel bump, 1.3 x limit couple"))
    shown = [float(x) for x in re.findall(r"(\d+\.\d) %", bump)]
    names = [c.name for c in t.findings.chassis.cases if c.kind == "one wheel bump"]
    assert shown == pytest.approx([100 * max(r[n] for n in names) for r in t.ratios.values()], abs=0.05)
    u = next(u for u in t.findings.utilisations if u.case in names)
    assert f"{u.case} {u.part}" in text
    assert f"{u.stress:.1f} of {u.limit:.0f} {u.point}: {u.criterion}" in text
    assert "OVER" in bump


def test_joints_with_range_and_warnings(page, demo_twist):
    rows = part_of(page, "Joints used")
    front = next(r for r in rows if r.startswith("front "))
    u = demo_twist.joints[0]
    wanted = [f"{v / 1e6:.1f}" for k in (3, 5) for v in (u.joint.stiffness[k], u.estimate.low[k], u.estimate.high[k])]
    assert front.split()[1:7] == wanted
    assert "engine: tube: taken as a square box of equal area" in flat(page)
    assert "hold 90 % of the joints of that kind" in flat(page)


def test_given_joints_and_those_without_estimate(plain_twist):
    u = plain_twist.joints[0]
    given = replace(u, estimate=None, joint=replace(u.joint, given=True))
    none = replace(u, rail="right rail", estimate=None, joint=replace(u.joint, stiffness=(math.inf,) * 6))
    rows = part_of(twist_text(replace(plain_twist, joints=(given, none, *plain_twist.joints[2:])), "x"), "Joints used")
    assert rows[1].startswith("front, left")
    assert rows[1].endswith("as the file states it")
    assert re.match(r"front, right +rigid +rigid +no estimate: rigid", rows[2])


def test_the_bench_test_read_estimated_rigid_fitted(page, demo_twist):
    (fit,) = demo_twist.bench
    rows = part_of(page, "Bench test: weight on the right front")
    shown = [numbers(r) for r in rows[1:7]]
    for row, *wanted in zip(shown, fit.read, fit.estimated, fit.rigid, fit.fitted, strict=True):
        assert row[-4:] == pytest.approx(wanted, abs=0.005)
    assert f"All estimated joints times {fit.factor:.2f} come nearest" in flat(page)
    assert f"the torsional stiffness is {knm_per_deg(demo_twist.fitted[0]):.3f} kN m/deg" in flat(page)


def test_fits_that_say_little():
    assert fit_words(True, False, 1.0, 0.3, 1.0).startswith("No joint of this frame is estimated")
    assert "joints alone do not explain the readings" in fit_words(False, True, 100.0, 3.0, 1.0)


def test_without_a_bench_test(plain_page):
    assert "The file holds no bench test." in flat(plain_page)


def test_open_rails_are_no_lower_bound(pick_up, page):
    """Warping is in the stiffness and in the stresses of open rails: nothing of theirs is left out of the twist page,
    which tells of the same things not checked as that of a frame of boxes."""
    text = flat(twist_text(pick_up, "pick-up.toml"))
    for words in ("Open rails", "open section", "lower bound", "stresses below as not checked"):
        assert words not in text
    told = [part_of(p, "Not checked") for p in (twist_text(pick_up, "pick-up.toml"), page)]
    assert told[0] == told[1]


def test_short_of_proof_there_are_no_findings(plain_twist):
    broken = replace(plain_twist.proofs[0], difference=1.0)
    page = twist_text(replace(plain_twist, proofs=(broken, *plain_twist.proofs[1:])), "frame.toml")
    assert "The self-check fell short (strain energy of all parts" in flat(page)
    assert "SHORT" in page
    for part in (*PARTS[:10], "kN m/deg"):
        assert part not in page


def with_stiffness(t, factor):
    """The findings with another torsional stiffness, all else as it is."""
    soft = replace(t.levels[t.used].twisted, stiffness=t.stiffness * factor)
    return with_used(t, twisted=soft)


def test_a_couple_beyond_reach(plain_twist):
    """Couple over stiffness is the twist it needs: beyond 30 degrees it does not govern alone."""
    assert plain_twist.beyond_reach == {}
    assert "WARNING" not in short_words(plain_twist)
    soft = with_stiffness(plain_twist, 1e-3)
    angle = math.degrees(soft.couple / soft.stiffness)
    kinds = ("limit twist", "one wheel bump")
    wanted = {c.name: c.factor * angle for c in soft.findings.chassis.cases if c.kind in kinds}
    assert angle > 30
    assert soft.beyond_reach == pytest.approx(wanted)
    words = short_words(soft)
    assert f"twist by {min(wanted.values()):.0f} to {max(wanted.values()):.0f} degrees" in words
    assert f"Worst of the cases within reach: {soft.worst_within_reach.case}" in words
    assert soft.worst_within_reach.case not in wanted
    assert "see whether the crossmembers really meet the web only" in words
    assert "measure the wall" not in words
    text = twist_text(soft, "x")
    assert "WARNING: beyond reach" in flat(text)
    assert max(map(len, text.splitlines())) <= WIDTH


def test_only_cases_within_reach_are_over(plain_twist):
    soft = with_stiffness(plain_twist, 1e-3)
    f = soft.findings
    low = tuple(replace(u, ratio=2.0 if u.case in soft.beyond_reach else 0.5) for u in f.utilisations)
    thin = replace(f.buckling, effective=(), shear=(), seats=())
    soft = replace(soft, findings=replace(f, utilisations=low, buckling=thin))
    assert soft.findings.exceeded
    assert not soft.exceeded


def test_rigid_that_is_softer_or_the_same(plain_twist):
    for factor, words in ((0.786, "21.4 % softer than"), (1.0, "as stiff as")):
        level = plain_twist.levels["rigid"]
        turned = replace(level.twisted, stiffness=plain_twist.twisted["middle"].stiffness * factor)
        t = replace(plain_twist, levels={**plain_twist.levels, "rigid": replace(level, twisted=turned)})
        assert rigid_words(t).startswith(f"With rigid joints the frame comes out {words} with those")


def test_rigid_asked_for_in_the_headline(plain_twist):
    words = short_words(replace(plain_twist, used="rigid"))
    assert "with joints rigid as the file asks; as estimated they give" in words


def test_soft_frames_keep_three_figures():
    assert [stiff(x) for x in (1.2345, 0.0164, 0.00888, 0.0)] == ["1.234", "0.0164", "0.00888", "0.000"]
