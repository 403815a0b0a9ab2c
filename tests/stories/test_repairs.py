"""What people ask who mend a frame, each answered by the command and beside it by hand.

The hand formulas are those of any textbook on strength of materials: levers, shear and moment of a beam under line
loads, stress M/Z, second moments by rectangles and rings, torsion of thin tubes by Bredt.  They import nothing that
they check.  The plain frame carries 256 and 332.5 kg/m on the halves of each rail (the file tells how).
"""

from __future__ import annotations

import json
from math import pi

import pytest

from ladderfe.cli.main import EXCEEDED, run

#: The plain frame: 150 x 75 mm rails, walls of 2 mm, 4158 mm long; axles at 778 and 3318 mm; mm, kg, m/s2.
H, B, T, G = 150.0, 75.0, 2.0, 9.80665
LENGTH, FRONT, REAR = 4158.0, 778.0, 3318.0
#: What each spring of an axle carries, kg, and kg/mm on the halves of each rail.
SPRINGS, LOADS = (1063.449 / 2, 1383.534 / 2), (0.256, 0.3325)


@pytest.fixture
def told(plans, tmp_path, capsys):
    """The document of a command on the plain frame, an overlay on it, or a plan."""

    def ask(command, text, *others, more=""):
        base = plans.frame(tmp_path, "", more)
        file = plans.plan(tmp_path, text) if text else base
        assert run([command, *map(str, others), str(file), "--json"]) in (0, EXCEEDED)
        return json.loads(capsys.readouterr().out)

    return ask


def rows(document, name):
    table = document[name]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def moment(x, *, front=FRONT, rear=REAR, loads=LOADS, springs=SPRINGS):
    """Sagging moment in N mm of one rail at a station under its line loads and springs, standing."""
    half = LENGTH / 2
    down = loads[0] * (x * x / 2 if x < half else half * (x - half / 2))
    down += loads[1] * max(x - half, 0.0) ** 2 / 2
    up = springs[0] * max(x - front, 0.0) + springs[1] * max(x - rear, 0.0)
    return G * (up - down)


def ring(height, width, wall):
    """I of a box by rectangles."""
    return (width * height**3 - (width - 2 * wall) * (height - 2 * wall) ** 3) / 12


def test_the_spring_hanger_is_rotten_what_comes_into_the_rail_there(told):
    """A leaf spring's load goes to its two eyes by the lever of the axle between them, 2.5 times as much as the axle
    bounces; behind the rear eye the rail carries its overhang alone, so that shear and moment there are w L, w L^2/2,
    and the shear in front of the eye is less by what comes in."""
    eyes = (2800.0, 3700.0)
    axle = f'[[axles]]\nname = "rear"\nspring = "leaf"\neyes = [{eyes[0]}, {eyes[1]}]\n'
    document = told("check", "", more=axle)
    share = [SPRINGS[1] * G * lever / (eyes[1] - eyes[0]) for lever in (eyes[1] - REAR, REAR - eyes[0])]
    seats = [r for r in rows(document, "spring-seats") if r["case"] == "rear axle bounce" and "rear" in r["seat"]]
    assert len(seats) == 4
    for r in seats:
        assert r["force N"] == pytest.approx(2.5 * share[eyes.index(r["along mm"])], rel=1e-6)
    here = [r for r in rows(document, "resultants") if r["case"] == "static" and "rail" in r["part"]
            and r["along mm"] == eyes[1]]  # fmt: skip
    overhang = LENGTH - eyes[1]
    behind = G * LOADS[1] * overhang
    for side in ("left rail", "right rail"):
        shear = sorted(abs(r["Vz N"]) for r in here if r["part"] == side)
        assert [shear[0], shear[-1]] == pytest.approx(sorted([behind, abs(share[1] - behind)]), rel=1e-6)
        assert all(abs(r["My N mm"]) == pytest.approx(behind * overhang / 2, rel=1e-6)
                   for r in here if r["part"] == side)  # fmt: skip
    assert any("where the web itself bends" in words for words in document["not checked"])


def test_a_crack_at_a_mount_will_it_return(told):
    """A lapped plate under both rails: the nominal stress right outside its end is M/Z by hand, 1.5 times that as the
    load goes between half and twice; the detail falls from the seam of the box (100) to a thick cover plate's end (50),
    so the cycles hurt (100/50)^3 = 8 times as much.  The step of stiffness at its end is by rectangles."""
    plate = ('[repair]\nsupport = "unloaded"\n[[plates]]\nkind = "doubler"\nrail = "both"\nwall = "bottom"\n'
             "from = 1700\nto = 2300\nthickness = 2\n")  # fmt: skip
    document = told("repair", plate, more='[[cases]]\nname = "amplified"\nfactor = 2\n')
    for r in rows(document, "details in fatigue"):
        stress = moment(r["station mm"]) * (H / 2) / ring(H, B, T)
        assert float(r["ranges MPa as built"]) == pytest.approx(1.5 * stress, rel=1e-3)
        assert r["over as built"] == pytest.approx((100 / 50) ** 3, rel=0.01)
    lap = B - 2 * T / 2  # as wide as the flat between the side walls' mid-lines
    area, own = B * H - (B - 2 * T) * (H - 2 * T), ring(H, B, T)
    low = (H + 2) / 2
    shift = lap * 2 * low / (area + lap * 2)
    both = own + area * shift**2 + lap * 2**3 / 12 + lap * 2 * (low - shift) ** 2
    for r in rows(document, "steps"):
        assert r["EI over that beyond"] == pytest.approx(both / own, rel=0.01)  # mid-lines against rectangles


def test_lap_butt_or_sleeve_on_a_box_without_access_inside(told):
    """A butt weld from one side, category 36 after a seam's 100, hurts (100/36)^3 = 21.4 times as much; a sleeve of the
    wall's thickness inside takes stress off it by I over I with the sleeve, by rectangles; on a backing strip (71) the
    butt alone comes to 2.8."""
    cut = '[[splices]]\nrail = "both"\nstation = 2000\ncut = "square"\nmade = "{}"\n'
    sleeve = '[[plates]]\nkind = "sleeve"\nrail = "both"\nfrom = 1850\nto = 2150\nthickness = 2\n'

    def worst(text):
        found = rows(told("repair", '[repair]\nsupport = "unloaded"\n' + text), "details in fatigue")
        return max(r["over as built"] for r in found if "splice in bottom" in r["detail"])

    one = worst(cut.format("one side"))
    assert one == pytest.approx((100 / 36) ** 3, rel=1e-6)
    assert worst(cut.format("backing strip")) == pytest.approx((100 / 71) ** 3, rel=1e-6)
    ratio = ring(H, B, T) / (ring(H, B, T) + ring(H - 2 * T, B - 2 * T, T))
    assert worst(sleeve + cut.format("one side")) == pytest.approx(one * ratio**3, rel=0.03)  # cubed mid-lines


def test_i_plan_to_move_an_axle_what_happens(told, plans, tmp_path):
    """The rear axle 200 mm further back: what is weighed stays, so the body's two halves follow from two equations,
    and the greatest sagging moment from the place where shear is nil; utilisation goes with it."""
    moved = 'base = "frame.toml"\n[[axles]]\nname = "rear"\nstation = 3518\n'
    (tmp_path / "moved.toml").write_text(moved)
    plans.frame(tmp_path)
    document = told("compare", "", tmp_path / "moved.toml")
    (static,) = (r for r in document["greatest utilisation by case"] if r["name"] == "static")
    half, (first, second), rear = LENGTH / 2, SPRINGS, REAR + 200
    behind = (first * FRONT + second * rear - (first + second) * half / 2) / half**2
    loads = ((first + second) / half - behind, behind)
    nil = half + (first - loads[0] * half) / loads[1] if first > loads[0] * half else first / loads[0]
    new, old = moment(nil, rear=rear, loads=loads), max(moment(x) for x in range(2000, 2160))
    assert static["values"][0] / static["values"][1] == pytest.approx(new / old, rel=1e-4)
    assert static["values"][1] == pytest.approx(old * (H / 2) / ring(H, B, T) / (235 / 1.5), rel=1e-3)


def figures(kind, sizes):
    """I in vertical bending, J and area of a box by rectangles and by Bredt, or of a tube as a ring."""
    if kind == "tube":
        d, t = sizes
        inertia = pi / 64 * (d**4 - (d - 2 * t) ** 4)
        return inertia, 2 * inertia, pi / 4 * (d**2 - (d - 2 * t) ** 2)
    h, b, t = sizes
    around = 2 * (h + b - 2 * t)
    return ring(h, b, t), 4 * t * ((h - t) * (b - t)) ** 2 / around, t * around


def test_replace_a_crossmember_by_a_tube_what_wall(told):
    """A tube of 60 x 3 and a box of 80 x 60 x 2 are gone; of every size told in their place I, J and mass over theirs
    are those by hand, and the first for the tube is about as stiff as it."""
    tube = '[[crossmembers]]\nname = "second"\nshape = "tube"\ndiameter = 60\nwall = 3\n'
    gone = '[repair]\n[[remove]]\ncrossmember = "second"\n[[remove]]\ncrossmember = "third"\n'
    found = rows(told("repair", gone, more=tube), "sizes instead")
    was = {"second": figures("tube", (60, 3)), "third": figures("box", (80, 60, 2))}
    assert {r["crossmember"] for r in found} == set(was)
    for r in found:
        kind, _, size = r["size mm"].partition(" ")
        own = figures(kind, tuple(float(v) for v in size.split(" x ")))
        near = 0.01 if kind == "tube" else 0.08  # corners of two walls outside take so much of a box
        for value, now, before in zip(("I over", "J over", "mass over"), own, was[r["crossmember"]], strict=True):
            assert r[value] == pytest.approx(now / before, rel=near), (r, value)
    first = next(r for r in found if r["crossmember"] == "second")
    assert first["size mm"].startswith("tube")
    assert first["I over"] == pytest.approx(1, abs=0.15)


def test_a_recovery_point_on_a_rusty_rail(plans, tmp_path, capsys):
    """40 kN on a bridle between both rails' front ends, against the rear crossmember: each rail carries 20 kN along,
    beside what bends it as it stands; where both bottoms read 1 of 2 mm the pull runs past the centroid of what is
    left, so that it bends the rail too.  Stress at the edges N/A + M z/I, by rectangles."""
    pull = 40_000.0
    hooks = '[[mounts]]\nname = "hook"\non = "both rails"\nstation = 60\nheight = 0\n'
    anchor = '[[mounts]]\nname = "anchor"\non = "rear"\nheight = 0\n'
    case = '[[cases]]\nname = "pull"\nkind = "recovery"\nat = ["hook left", "hook right"]\nagainst = "anchor"\n'
    base = plans.frame(tmp_path, "", f'{hooks}{anchor}{case}force = "40 kN"\nangle = 0\nup = 0\n')
    (tmp_path / "rust.csv").write_text(plans.HEAD + "left,1000,bottom,1.0,,\nright,1000,bottom,1.0,,\n")
    run(["check", str(base), "--readings", str(tmp_path / "rust.csv"), "--quick", "--json"])
    document = json.loads(capsys.readouterr().out)
    walls = [(B * T, (H - T) / 2, B * T**3 / 12), (B * 1.0, (1.0 - H) / 2, B / 12)]
    walls += [(2 * T * (H - T - 1.0), (1.0 - T) / 2, 2 * T * (H - T - 1.0) ** 3 / 12)]
    area = sum(a for a, *_ in walls)
    shift = sum(a * z for a, z, _ in walls) / area
    inertia = sum(own + a * (z - shift) ** 2 for a, z, own in walls)
    bending = moment(FRONT) - pull / 2 * -shift  # the pull lies below the centroid by the shift, and sags the rail
    told = [r for r in rows(document, "stresses") if r["case"] == "pull" and "rail" in r["part"]
            and r["along mm"] == FRONT and r["wall"] in ("top", "bottom")]  # fmt: skip
    assert len({(r["part"], r["wall"]) for r in told}) == 4
    for r in told:
        z = (H / 2 if r["wall"] == "top" else -H / 2) - shift
        wanted = pull / 2 / area - bending * z / inertia
        assert r["normal N/mm2"] == pytest.approx(wanted, abs=0.6)  # mid-lines; what bends it sideways is less
    along = {r["N N"] for r in rows(document, "resultants")
             if r["case"] == "pull" and "rail" in r["part"] and 700 < r["along mm"] < 1300}  # fmt: skip
    assert all(n == pytest.approx(pull / 2, rel=1e-6) for n in along)
