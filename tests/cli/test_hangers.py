"""Spring hangers in chassis files and plans, through `ladderfe weld` and `ladderfe repair`: forces by the lever, weld
groups by hand, what a moved hanger and a longer overhang do, what is refused."""

from __future__ import annotations

import json
from math import sqrt

import pytest

from ladderfe.checks import check
from ladderfe.cli.main import UNUSABLE, run
from ladderfe.condition.plan_file import read_plan

G = 9.80665
#: Springs of the rear axle carry 1383.534 kg at 3318 mm (header of the test frame), half of it each.
REAR = 1383.534 / 2 * G
LEAF = '[[axles]]\nname = "rear"\nspring = "leaf"\neyes = [{}, 3718]\n'
EYES = LEAF.format(2918)
HANGER = """
[[hangers]]
name = "rear spring, front hanger"
axle = "rear"
rail = "left"
eye = "front"
length = 120
depth = 80
thickness = 5
"""


@pytest.fixture
def told(plans, tmp_path, capsys):
    def ask(text, more=EYES, command="weld"):
        plans.frame(tmp_path, more=more)
        run([command, str(plans.plan(tmp_path, text)), "--json"])
        out = capsys.readouterr()
        assert not out.err
        return json.loads(out.out)

    return ask


def rows(document, table):
    t = document[table]
    return [dict(zip(t["columns"], row, strict=True)) for row in t["rows"]]


def force(document, case="static"):
    return next(r for r in rows(document, "hangers") if r["case"] == case)


def test_the_force_at_its_own_arm(told):
    """The front eye at mid-way takes half of the spring's force, 37.5 mm inside of the outer wall's face: the weld all
    round by hand as lines: V/(2 (120 + 80)), and V x 37.5 x 40/I, I = 80^3/6 + 120 x 80^2/2, on top and bottom."""
    document = told("[repair]\n" + HANGER)
    r = force(document)
    assert r["z N"] == pytest.approx(REAR / 2, rel=1e-6)
    assert (r["x N"], r["y N"]) == (pytest.approx(0, abs=1e-6), pytest.approx(0, abs=1e-6))
    assert (r["station mm"], r["y mm"], r["wall"], r["wall mm"]) == (2918, -400, "outer", 2)
    weld = rows(document, "hanger welds")[0]
    inertia = 80**3 / 6 + 120 * 80**2 / 2
    static = sqrt((REAR / 2 / 400) ** 2 + (REAR / 2 * 37.5 * 40 / inertia) ** 2)
    # the cases of the test frame multiply the static force
    assert weld["force N/mm"] == pytest.approx(static * force(document, weld["case"])["z N"] / r["z N"], rel=1e-6)
    assert weld["length mm"] == 400
    assert weld["leg allowed mm"] == 2
    assert weld["throat mm"] == pytest.approx(weld["force N/mm"] / (360 / sqrt(3)), rel=1e-6)


def test_a_weld_off_its_eye_twists(told):
    """The outline 60 mm behind the eye, two welds along the rail only: M = V x 60 in their plane, by hand as lines:
    polar J = 2 (120^3/12 + 120 x 40^2)."""
    text = HANGER + 'station = 2978\nwelds = "lengthwise"\n'
    document = told("[repair]\n" + text)
    weld = rows(document, "hanger welds")[0]
    V = force(document, weld["case"])["z N"]
    assert V > REAR / 2
    polar = 2 * (120**3 / 12 + 120 * 40**2)
    plane = 2 * 120 * 40**2
    up = V / 240 + V * 60 * 60 / polar
    along, out = V * 60 * 40 / polar, V * 37.5 * 40 / plane
    assert weld["force N/mm"] == pytest.approx(sqrt(up**2 + along**2 + out**2), rel=1e-6)
    assert weld["length mm"] == 240


def test_braking_comes_to_the_fixed_eye_with_its_height(told):
    """Fore-aft force at the fixed eye 150 mm below the rail's middle turns the bracket about y."""
    more = LEAF.format(2918) + 'eye_height = -150\n[[cases]]\nname = "braking"\nkind = "braking"\nacceleration = 0.5\n'
    r = force(told("[repair]\n" + HANGER, more), "braking")
    assert r["x N"] != pytest.approx(0, abs=100)
    assert r["about y N mm"] == pytest.approx(-150 * r["x N"], rel=1e-6)


def test_a_moved_hanger_moves_what_it_carries(told, plans, tmp_path):
    """By the lever: the front eye 400, then 600 mm ahead of the axle, the rear one 400 mm behind it."""
    first = force(told("[repair]\n" + HANGER))
    moved = force(told("[repair]\n" + LEAF.format(2718) + HANGER))
    assert first["z N"] == pytest.approx(REAR * 400 / 800, rel=1e-6)
    assert moved["z N"] == pytest.approx(REAR * 400 / 1000, rel=1e-6)
    assert moved["station mm"] == 2718
    # as both rails run level the moment just behind the axle follows: rear eye's force by its arm is less or more
    rear = HANGER.replace('"rear spring, front hanger"', '"rear hanger"').replace('eye = "front"', 'eye = "rear"')
    assert force(told("[repair]\n" + LEAF.format(2718) + rear))["z N"] == pytest.approx(REAR * 600 / 1000, rel=1e-6)


def test_a_longer_rear_overhang_moves_the_line_loads(plans, tmp_path):
    """The axles weigh what they weighed.  From 0 to the split at 2079 mm and from there to the end: two line loads
    whose sum and moment about the front axle are those of what the springs carry, by hand."""
    plans.frame(tmp_path)
    long = 4658
    text = (
        "[repair]\n[rails]\npath = [{ station = 0, half_spacing = 400, height = 0 }, "
        f"{{ station = {long}, half_spacing = 400, height = 0 }}]\n[body]\nto = {long}\n"
    )
    read = read_plan(plans.plan(tmp_path, text))
    assert [r.end for r in read.base.rails] == [4158, 4158]
    assert [r.end for r in read.over.rails] == [long, long]
    front, rear = 1063.449, 1383.534
    for chassis, end in ((read.base, 4158), (read.over, long)):
        found = check(chassis, assumptions=False)
        assert found.proven
        solution = found.solution
        k = solution.case("static")
        for axle, kg in (("front", front), ("rear", rear)):
            assert solution.axle_forces(axle)[k] == pytest.approx(kg * G, rel=1e-6)
        # w1 a + w2 b = sum, w1 a (a/2) + w2 b (a + b/2) = front x 778 + rear x 3318, per metre of both rails
        a, b = 2079, end - 2079
        total, moment = front + rear, front * 778 + rear * 3318
        w2 = (moment - total * a / 2) / (b * (a + b) / 2)
        w1 = (total - w2 * b) / a
        overhang = w2 * (end - 3318) * G  # shear just behind the rear axle, both rails
        assert _shear_behind(solution, 3318, k) == pytest.approx(overhang, rel=1e-3)
        assert (w1 * 1000, w2 * 1000) == pytest.approx((512, 665) if end == 4158 else (w1 * 1000, w2 * 1000), rel=1e-3)


def _shear_behind(solution, station, case):
    """Upward shear of both rails just behind a station, N."""
    mesh, total = solution.mesh, 0.0
    for part in (p for p in mesh.parts if p.kind == "rail"):
        m = next(m for m in part.members if abs(mesh.nodes[mesh.ends[m, 0], 0] - station) < 0.01)
        total += abs(float(solution.end_forces[m, 2, case]))
    return total


def test_zero_change_gives_the_same_numbers(plans, tmp_path, capsys):
    """A plan that only describes brackets, and moves an eye to where it is: as repaired as built, to 1e-9."""
    plans.frame(tmp_path, more=LEAF.format(2918))
    run(["repair", str(plans.plan(tmp_path, "[repair]\n" + LEAF.format(2918) + HANGER)), "--json"])
    document = json.loads(capsys.readouterr().out)
    for table in ("cases", "parts", "stretches"):
        for row in document[table]["rows"]:
            assert row[3] == pytest.approx(row[1], rel=1e-9), row
    assert document["frame mass kg"]["as repaired"] == document["frame mass kg"]["as built"]


def test_rules_of_the_trade(told):
    """80 mm in the middle of 150 mm leaves 35 mm to the flanges; 130 mm leaves 10; across the bottom two welds."""
    high = HANGER.replace("depth = 80", "depth = 130")
    cut = '[[splices]]\nrail = "left"\nstation = 3078\ncut = "square"\n'
    document = told("[repair]\n" + high + cut, command="repair")
    found = {r["rule"]: r for r in rows(document, "rules") if r["piece"] == "rear spring, front hanger"}
    rest = found["distance of its weld from the outside of the flange"]
    assert (rest["found"], rest["limit"], rest["kept"]) == (10, 19, False)
    near = found["distance to the next weld across the rail"]
    assert (near["found"], near["kept"]) == (pytest.approx(3078 - 2978), False)
    low = HANGER.replace("depth = 80", 'depth = 60\non = "bottom"')
    for welds, count in (("all round", 2), ("lengthwise", 0)):
        document = told(f'[repair]\n{low}welds = "{welds}"\n', command="repair")
        across = next(r for r in rows(document, "rules") if r["rule"] == "welds across a flange")
        assert (across["found"], across["kept"]) == (count, count == 0)


def test_the_page(plans, tmp_path, capsys):
    plans.frame(tmp_path, more=LEAF.format(2918))
    text = "[repair]\n" + HANGER.replace('rail = "left"', 'rail = "both"\nleg = 4')
    run(["weld", str(plans.plan(tmp_path, text))])
    page = capsys.readouterr().out
    assert max(len(line) for line in page.splitlines() if str(tmp_path) not in line) <= 100
    words = " ".join(page.split())
    assert "Spring hangers on the rails: fillets on the bracket's outline" in words
    assert "rear spring, front hanger left: bracket 5 mm on the outer wall of 2.00 mm, 400 mm of weld" in words
    assert "2.80" in page  # the throat of a leg of 4 mm


FAULTY = """
[[hangers]]
name = "one"
axle = "front"
eye = "front"
length = 100
depth = 80
thickness = 5
leg = 3
throat = 2
[[hangers]]
name = "two"
axle = "rear"
length = 100
depth = 80
thickness = 5
[[hangers]]
name = "three"
axle = "rear"
eye = "rear"
station = 3300
length = 100
depth = 80
thickness = 5
[[hangers]]
name = "four"
axle = "rear"
eye = "front"
on = "bottom"
height = 3
length = 100
depth = 90
thickness = 5
[[hangers]]
name = "five"
axle = "rear"
eye = "front"
length = 100
depth = 160
thickness = 5
"""


def test_what_does_not_fit_is_refused_at_once(plans, tmp_path, capsys):
    plans.frame(tmp_path, more=LEAF.format(2918))
    assert run(["weld", str(plans.plan(tmp_path, "[repair]\n" + FAULTY))]) == UNUSABLE
    told = capsys.readouterr().err
    for words in (
        'hanger "one", eye: has no meaning: the front spring has one seat',
        'hanger "one", throat: is given beside leg',
        'hanger "two", eye: is missing: the rear spring has two eyes',
        'hanger "three", station: is 418 mm from the spring\'s place at 3718 mm, which it is to carry (got 3300). '
        "A moved hanger moves its eye: add [[axles]]",
        'hanger "four", height: has no meaning on the bottom',
        'hanger "four", depth: is wider than the left rail, 75 mm',
        'hanger "five", depth: reaches beyond the upright wall of the left rail, -75 to 75 mm',
        'carries the same place of the rear spring on the left rail as "four left"',
    ):
        assert words in told, words
    # an axle moved without its eyes, rails cut shorter than what stands on them, a wheelbase beside both stations
    for text, words in (
        ('[[axles]]\nname = "rear"\nstation = 2800\n', "must lie before and behind the axle at 2800 mm"),
        ("[rails]\npath = [{ station = 0, half_spacing = 400, height = 0 }, "
         "{ station = 3600, half_spacing = 400, height = 0 }]\n", "lies off the rails"),
        ('wheelbase = 2600\n[repair]\n', "differs from the distance between the axles' stations, 2540 mm"),
    ):  # fmt: skip
        file = plans.plan(tmp_path, text if "wheelbase" in text else "[repair]\n" + text)
        assert run(["repair", str(file)]) == UNUSABLE
        assert words in capsys.readouterr().err, words
