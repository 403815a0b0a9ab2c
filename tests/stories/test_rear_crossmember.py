"""The rear crossmember is rusted away: what does it do, and what changes without it?"""

from __future__ import annotations

import json

import pytest

from ladderfe.cli.main import EXCEEDED, run

#: The plain frame: rails 150 x 75 x 2 mm, 800 mm apart from middle to middle; crossmembers 80 x 60 x 2 mm, the last two
#: at 2700 and 4058 mm.
H, B, T = 150.0, 75.0, 2.0
APART, THIRD, REAR = 800.0, 2700.0, 4058.0
E, NU = 205000.0, 0.3


def rows(document, name):
    table = document[name]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


@pytest.fixture
def told(plans, tmp_path, capsys):
    """The document of `check` on the plain frame with more in its file."""

    def ask(more):
        base = plans.frame(tmp_path, "", more)
        assert run(["check", str(base), "--quick", "--json"]) in (0, EXCEEDED)
        return json.loads(capsys.readouterr().out)

    return ask


GONE = '[[remove]]\ncrossmember = "rear"\n'
ENDS = f'[[mounts]]\nname = "end"\non = "both rails"\nstation = {REAR}\nheight = 0\n'


def at(document, name, station, part=None):
    return [r for r in rows(document, name) if r["along mm"] == station and part in (None, r["part"])]


def brought(document, part, station, what):
    """What the case with a load has more than the static one, at a section of a rail: (front, rear) of the station."""
    own = {case: [r[what] for r in at(document, "resultants", station, part) if r["case"] == case]
           for case in ("static", "load")}  # fmt: skip
    return [a - b for a, b in zip(own["load"], own["static"], strict=True)]


def load(*forces):
    told = ", ".join(f'{{ at = "{mount}", {way} = "{newton} N" }}' for mount, way, newton in forces)
    return f'[[cases]]\nname = "load"\nkind = "static"\nforces = [{told}]\n'


@pytest.mark.parametrize("off", [0.0, 200.0])
def test_a_nose_weight_is_shared_by_both_rails_through_it(told, off):
    """A coupling on the crossmember `off` mm left of its middle, its ends free to turn: a beam on two supports, the
    rails' webs 725 mm apart, so that P (1/2 + off/725) goes into the left rail and the rest into the right one, and
    each bends by that times its lever to the axle.  Without it the coupling hangs on one rail, which carries all."""
    force, lever = 2000.0, REAR - 3318.0
    hinged = '[[crossmembers]]\nname = "rear"\njoint_left = { rx = 0, ry = 0 }\njoint_right = { rx = 0 }\n'
    ball = f'[[mounts]]\nname = "ball"\non = "rear"\ny = {-off}\nheight = 0\n'
    with_it = told(hinged + ball + load(("ball", "z", -force)))
    left = force * (0.5 + off / (APART - B))
    gone = told(GONE + ENDS + load(("end left", "z", -force)))
    for document, shares in ((with_it, (left, force - left)), (gone, (force, 0.0))):
        for part, share in zip(("left rail", "right rail"), shares, strict=True):
            shear = max(map(abs, brought(document, part, REAR, "Vz N")))
            assert shear == pytest.approx(share, rel=1e-5, abs=1e-3)
            bending = brought(document, part, 3318.0, "My N mm")
            assert [abs(m) for m in bending] == pytest.approx([share * lever] * 2, rel=1e-5, abs=1.0)


def test_it_keeps_the_rails_apart(told):
    """Both rail ends pushed outward by Q: without it each is a cantilever behind the third crossmember, whose end goes
    Q L^3/(3 E I) + Q L/(G A) beyond what its root moves and turns, A that of the lying walls; with it Q goes through it
    as a pull (its joints rigid), all but what a tie of its area lets the ends give: X = Q d/(d + l/(2 E A))."""
    force, length = 500.0, REAR - THIRD
    case = load(("end left", "y", -force), ("end right", "y", force))
    inertia = (H * B**3 - (H - 2 * T) * (B - 2 * T) ** 3) / 12
    shear = 2 * T * (B - T) * E / 2 / (1 + NU)
    free = length**3 / (3 * E * inertia) + length / shear

    def moved(document, station, way):
        found = {name: {r["y mm"] > 0: r for r in rows(document, "movements")
                        if r["case"] == name and r["x mm"] == station and abs(abs(r["y mm"]) - APART / 2) < 1}
                 for name in ("static", "load")}  # fmt: skip
        return {side: found["load"][side][way] - found["static"][side][way] for side in (False, True)}

    gone = told(GONE + ENDS + case)
    for right, sign in ((True, 1.0), (False, -1.0)):
        tip, root, turn = (moved(gone, x, way)[right] for x, way in ((REAR, "uy mm"), (THIRD, "uy mm"),
                                                                    (THIRD, "rz rad")))  # fmt: skip
        assert tip - root - turn * length == pytest.approx(sign * force * free, rel=0.01)  # mid-lines in I and A
    tied = told('[[crossmembers]]\nname = "rear"\njoint = "rigid"\n' + ENDS + case)
    area = 80.0 * 60 - 76.0 * 56
    stays = moved(tied, REAR, "uy mm")[True]
    pull = [r["N N"] for r in rows(tied, "resultants") if r["case"] == "load" and "rear" in r["part"]]
    wanted = force * free / (free + (APART - B) / 2 / (E * area))
    assert pull == pytest.approx([wanted] * len(pull), rel=0.01)
    assert 0 < stays < 0.01 * force * free
