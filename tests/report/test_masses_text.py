"""A body on eight rubber mounts, people and luggage in it, and a load along the rails: from the file to the page.

The body is a rigid body on springs; the expected loads are worked out here by statics and by hand.
"""

import re

import numpy as np
import pytest

from ladderfe.chassis import chassis_from_text
from ladderfe.checks import check
from ladderfe.report.data import csv_tables
from ladderfe.report.findings_text import findings_text
from ladderfe.report.masses_text import listed_words, mount_rows
from ladderfe.report.table import WIDTH

KG = 9.80665  # N
FRAME = """\
wheelbase = 2400
[rails]
path = [{ station = 0, half_spacing = 400, height = 0 }, { station = 3900, half_spacing = 400, height = 0 }]
sections = [{ shape = "box", depth = 140, width = 70, wall = 3 }]
[material]
density = 0
[[axles]]
station = 700
load = 1100
track = 1470
unsprung = 150
spring_base = 800
[[axles]]
load = 1000
track = 1470
unsprung = 150
spring_base = 800
"""
CROSSMEMBERS = "".join(
    f'[[crossmembers]]\nname = "{name}"\nstation = {x}\nshape = "box"\ndepth = 80\nwidth = 60\nwall = 2.5\n'
    for name, x in (("front", 100), ("middle", 1500), ("hanger", 2600), ("rear", 3800))
)
OUTRIGGERS = "".join(
    f'[[outriggers]]\nname = "{name}"\nrail = "both"\nstation = {x}\nlength = 200\nshape = "box"\n'
    "depth = 60\nwidth = 50\nwall = 2.5\n"
    for name, x in (("bulkhead", 1100), ("sill", 2100))
)
#: Four on outriggers, two on rails, two on a crossmember: x, y and rate of the right ones.
MOUNTS = {
    "bulkhead mount": ('on = "bulkhead"\ny = 600', 1100, 600, 500),
    "sill mount": ('on = "sill"\ny = 600', 2100, 600, 400),
    "wheel arch mount": ('on = "both rails"\nstation = 3000', 3000, 400, 300),
}
BODY = "".join(f'[[mounts]]\nname = "{n}"\n{where}\nrate = {k}\n' for n, (where, _, _, k) in MOUNTS.items())
BODY += "".join(
    f'[[mounts]]\nname = "tail mount {s}"\non = "rear"\ny = {y}\nrate = 200\n'
    for s, y in (("left", -250), ("right", 250))
)
ON = 'on = ["bulkhead mount", "sill mount", "wheel arch mount", "tail mount left", "tail mount right"]'
MASSES = f"""
[[masses]]
name = "body"
mass = 480
at = {{ station = 2200, y = 0, height = 550 }}
{ON}
aboard = true
[[masses]]
name = "passengers"
people = 2
at = {{ station = 2100, y = 0, height = 500 }}
{ON}
aboard = false
[[masses]]
name = "roof load"
mass = 40
at = {{ station = 2300, y = 0, height = 1500 }}
{ON}
aboard = false
[[masses]]
name = "ballast"
mass = 240
at = {{ station = 1550, y = 100, height = 300 }}
spread = {{ from = 1000, to = 2000 }}
aboard = false
"""


@pytest.fixture(scope="module")
def findings():
    text = FRAME + CROSSMEMBERS + OUTRIGGERS + BODY + MASSES
    return check(chassis_from_text(text), assumptions=False)


@pytest.fixture(scope="module")
def page(findings):
    return findings_text(findings, "frame.toml")


@pytest.fixture(scope="module")
def loads(findings):
    """Mount -> N down at 1 g of all masses on it."""
    out = {}
    for row in mount_rows(findings.chassis):
        out[row[1]] = out.get(row[1], 0.0) + row[-1]
    return out


def test_every_proof_holds(findings):
    assert findings.proven


def test_the_body_and_what_is_in_it_share_by_their_mounts_rates(loads):
    """An elastic bolt group with unlike bolts, all level: W_i = W k_i (1/sum k + e x_i/sum k x^2) about the centre of
    the rates; masses on the centre line, whose heights do nothing while they only weigh."""
    x, k = np.array([(1100, 500), (2100, 400), (3000, 300), (3800, 200)]).T
    weight = np.array([480.0, 150.0, 40.0])
    centre = weight @ [2200, 2100, 2300] / weight.sum()
    middle = k @ x / k.sum()
    d = x - middle
    each = weight.sum() * KG * k * (1 / k.sum() + (centre - middle) * d / (k @ d**2)) / 2
    found = {n: v for n, v in loads.items() if "mount" in n}
    assert len(found) == 8
    for name, value in zip((*MOUNTS, "tail mount"), each, strict=True):
        assert [found[f"{name} {side}"] for side in ("left", "right")] == pytest.approx([value] * 2, rel=1e-9)


def test_an_outrigger_carries_what_its_mount_bears(findings, loads):
    """Shear just outside the rail: all that hangs on the tip.  Statics."""
    s = findings.solution
    m = s.mesh.part("sill right").first
    shear = s.resultants(np.array([m]), np.array([1.0]))[0, 2, s.case("static")]
    assert abs(shear) == pytest.approx(loads["sill mount right"], rel=1e-9)


def test_a_spread_load_lies_more_where_its_centre_is_nearer(loads):
    """10 places a rail, 50 mm behind their middle and 100 of 400 mm to the right: 1/20 + 50 x/sum x^2 + 100 y/sum y^2
    of it each, and 5/8 of it on the right rail."""
    x, y = np.arange(10) * 100.0 - 450, 400.0
    for side, sign in (("left", -1), ("right", 1)):
        by_hand = 240 * KG * (1 / 20 + 50 * x / (2 * (x @ x)) + 100 * sign * y / (20 * y**2))
        found = [loads[f"ballast {side} {k}"] for k in range(1, 11)]
        assert found == pytest.approx(by_hand, rel=1e-9)
        assert sum(found) == pytest.approx(240 * KG * (1 / 2 + sign / 8), rel=1e-9)


def test_the_page_tells_each_in_trade_words(findings, page):
    words = " ".join(page.split())
    assert (
        "body 480 kg, passengers 150 kg (2 people; added after weighing), roof load 40 kg (added after weighing), "
        "ballast 240 kg (spread from 1000 to 2000 mm; added after weighing)."
    ) in words
    assert listed_words(findings.chassis.masses[0]) == "body 480 kg"
    assert max(map(len, page.splitlines())) <= WIDTH


def test_the_page_tells_what_every_mount_bears(page, loads):
    told = re.findall(r"(?m)^.* mount (?:left|right) +(\d+) +(\d+) +(\d+) +([\d.]+)$", page)
    assert len(told) == 8
    assert {r[:3] for r in told} == {(k, k, k) for k in ("500", "400", "300", "200")}
    assert [float(r[3]) for r in told] == pytest.approx(
        [loads[f"{n} {s}"] / 1000 for n in (*MOUNTS, "tail mount") for s in ("left", "right")], abs=0.005
    )


def test_the_page_tells_spread_masses_as_line_loads(page):
    """90 kg left, 150 kg right over 1 m: kg/m in the middle; at the ends 50 mm x 500 mm/sum x^2 of 240 kg more or less
    a place, which stands for 0.1 m: 240 x 50 x 500/(2 x 825000)/0.1 = 36.4."""
    more = 240 * 50 * 500 / (2 * 825_000) / 0.1
    rows = re.findall(r"(?m)^ballast +(left|right) +1000 to 2000 +(\d+) +([\d.]+) +([\d.]+)$", page)
    assert [(r[0], float(r[1])) for r in rows] == [("left", 90), ("right", 150)]
    for _, kg, start, end in rows:
        assert (float(start), float(end)) == pytest.approx((float(kg) - more, float(kg) + more), abs=0.06)


def test_all_mounts_are_in_the_tables(findings):
    (table,) = [text for name, text in csv_tables(findings) if name == "mounts.csv"]
    lines = table.splitlines()
    assert len(lines) == 1 + 3 * 8 + 20
    assert lines[1].startswith("body,bulkhead mount left,bulkhead left,1100.0,-600.0,0.0,500.0,500.0,500.0,")


def test_a_frame_without_such_masses_says_nothing_of_them(demo_findings):
    text = findings_text(demo_findings, "demo.toml")
    assert "mounts with a rate" not in text
    assert "lie along the rails:" not in text.replace("The rest lies along the rails:", "")
