"""How hard may I pull at this point? Limits that `ladderfe tow` tells, put back as a case of `ladderfe check`, and what
the pull does to the rail beside the point, by hand."""

from __future__ import annotations

import contextlib
import io
import json
from math import cos, radians, sin
from pathlib import Path

import pytest

from ladderfe.cli.main import EXCEEDED, run

DEMO = Path(__file__).resolve().parents[2] / "models" / "short-4x4.toml"
#: The plain frame's rails: depth, width, wall, mm; hooks and the front crossmember on them, mm.
H, B, T = 150.0, 75.0, 2.0
HOOK, HERE = 40.0, 90.0
#: Half of what its rails carry in front, t per mm of rail, and all that is moved, t: loads and unsprung masses.
LOAD, WHOLE = 0.256e-3, (1063.449 + 1383.534 + 160 + 170) / 1000
G = 9806.65


def told(*args):
    """The document that a command gives."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert run([*map(str, args), "--json"]) in (0, EXCEEDED)
    return json.loads(out.getvalue())


@pytest.fixture(scope="module")
def limits():
    return told("tow", DEMO)["limits"]


def rows(document, name):
    table = document[name]
    return [dict(zip(table["columns"], row, strict=True)) for row in table["rows"]]


def pull(name, at, force, angle):
    return (f'[[cases]]\nname = "{name}"\nkind = "recovery"\nat = ["{at}"]\nforce = "{force!r} kN"\nangle = {angle}\n'
            'up = 0\nagainst = "inertia"\n')  # fmt: skip


@pytest.mark.parametrize(("load", "at", "angle"), [
    ("recovery eye left, straight", "recovery eye left", 0),
    ("recovery eye left, 30 degrees right", "recovery eye left", 30),
])  # fmt: skip
def test_the_greatest_pull_at_an_eye_put_back_as_a_case(limits, tmp_path, load, at, angle):
    """With the pull that is told the governing stress of the demo is at its limit, with a tenth less or more that far
    off: everything but the vehicle's own weight goes with the pull."""
    limit = next(x for x in limits if x["load"] == load)
    assert limit["unit"] == "kN"
    file = tmp_path / "pulls.toml"
    more = "".join(pull(f"pull {f:g}", at, f * limit["greatest"], angle) for f in (0.9, 1.0, 1.1))
    file.write_text(f'base = "{DEMO.as_posix()}"\n{more}')
    found = {r["case"]: r for r in reversed(rows(told("check", file, "--quick"), "utilisations"))}  # greatest first
    place = found["pull 1"]
    assert place["utilisation"] == pytest.approx(1, abs=2e-3)
    assert (place["part"], place["wall"]) == (limit["governing"]["part"], limit["governing"]["wall"])
    at_rest = limit["utilisation without"]
    for f in (0.9, 1.1):
        assert abs(found[f"pull {f:g}"]["utilisation"] - f) <= 0.1 * at_rest
        assert (found[f"pull {f:g}"]["utilisation"] > 1) == (f > 1)


@pytest.mark.parametrize(("angle", "below"), [(0, 60.0), (30, 0.0)])
def test_what_a_pull_at_a_hook_does_to_the_rail_beside_it(plans, tmp_path, angle, below):
    """50 mm behind a hook in front of all crossmembers the rail carries F cos a along and bends by F cos a times how
    far the hook lies below its middle, and by F sin a x 50 mm in plan, less what its own load's inertia takes (mass
    times F over the whole mass; that the vehicle turns as well is 1 % here).  At its corners N/A + My z/I + Mz y/I, by
    rectangles.  A pull to the side at the middle of the rail alone, for off it the section racks too.  F is the
    greatest pull that `tow` tells."""
    hook = (f'[[mounts]]\nname = "hook"\non = "both rails"\nstation = {HOOK}\nheight = {-below}\n'
            f'[[mounts]]\nname = "gauge"\non = "left rail"\nstation = {HERE}\nheight = 0\n[towing]\n'
            'recovery = ["hook"]\n')  # fmt: skip
    base = plans.frame(tmp_path, "", hook)
    name = "hook left, 30 degrees right" if angle else "hook left, straight"
    force = next(x for x in told("tow", base)["limits"] if x["load"] == name)["greatest"]
    file = tmp_path / "pull.toml"
    file.write_text(f'base = "frame.toml"\n{pull("pull", "hook left", force, angle)}')
    document = told("check", file, "--quick")
    here = [r for r in rows(document, "resultants") if r["case"] == "pull" and r["part"] == "left rail"
            and r["along mm"] == HERE]  # fmt: skip
    along, aside = 1000 * force * cos(radians(angle)), 1000 * force * sin(radians(angle))
    own = LOAD * HERE  # the rail's own load in front of the section
    there = min(here, key=lambda r: abs(r["N N"] - along))
    assert there["N N"] == pytest.approx(along * (1 - own / WHOLE), rel=0.01)
    upright = abs(along * below - own * G * HERE / 2)
    assert abs(there["My N mm"]) == pytest.approx(upright, rel=0.01)
    sideways = aside * (HERE - HOOK) - aside / WHOLE * own * HERE / 2
    assert abs(there["Mz N mm"]) == pytest.approx(sideways, rel=0.02, abs=2e4)
    area = H * B - (H - 2 * T) * (B - 2 * T)
    i_up = (B * H**3 - (B - 2 * T) * (H - 2 * T) ** 3) / 12
    i_side = (H * B**3 - (H - 2 * T) * (B - 2 * T) ** 3) / 12
    greatest = along / area + upright * H / 2 / i_up + sideways * B / 2 / i_side
    told_there = [r for r in rows(document, "stresses") if r["case"] == "pull" and r["part"] == "left rail"
                  and r["along mm"] == HERE]  # fmt: skip
    assert max(r["normal N/mm2"] for r in told_there) == pytest.approx(greatest, rel=0.03)
