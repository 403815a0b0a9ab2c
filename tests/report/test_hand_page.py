"""The page of the hand calculation as text."""

import re

import pytest

from ladderfe.hand.calculation import hand_calculation
from ladderfe.hand.given import HandAxle, HandGiven, ListedMass
from ladderfe.hand.line_loads import Spread
from ladderfe.hand.rail import RailSpan
from ladderfe.report.hand_page import hand_text
from ladderfe.report.table import page_width
from ladderfe.sections import Box, Channel, Section, Wall

BOX = Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=2)
PLAIN = (RailSpan(start=0.0, end=4158.0, shape=BOX),)
VERDICTS = re.compile(r"\b(safe|unsafe|sound|fail(s|ed)?|pass(es|ed)?|roadworthy|legal|ok|adequate|sufficient)\b", re.I)


def text(distribution="two halves", masses=(), spans=PLAIN, title="short frame"):
    front = HandAxle(name="front axle", station=778.0, load=1.223449015944882, unsprung=0.160)
    rear = HandAxle(name="rear axle", station=3318.0, load=1.558533984055118, unsprung=0.175)
    spread = Spread(start=0.0, end=4158.0, distribution=distribution)
    return hand_text(hand_calculation(HandGiven(
        title=title, start=0.0, end=4158.0, axles=(front, rear), spread=spread, spans=spans, masses=masses)))


def test_short_frame_reads_as_on_paper():
    """512 and 665 kg/m on the halves of a 4158 mm frame: the published numbers stand on the page in both units."""
    shown = text()
    for line in (
        "Reactions           10.43 kN (1063.4 kgf) and 13.57 kN (1383.5 kgf)",
        "Greatest shear      -8.09 kN (-824.9 kgf) at 3318 mm",
        "Greatest sagging    2.717 kN m (277.05 kgf m) at 2077 mm",
        "Greatest hogging    -2.301 kN m (-234.61 kgf m) at 3318 mm",
        "Bending             76.0 N/mm2, 46.1 % of 165 N/mm2, at 2077 mm",
        "Average web shear   13.5 N/mm2 over the full depth (peak 16.4), 13.5 % of 100 N/mm2, just ahead of",
        "                    3318 mm",
        "     W = S_A + S_B = 10.429 + 13.568",
        "     x_m1 = s_0 + R_A / w_1 = 0.0000 + 10.429 / 5.021",
        "     sigma_b = M * 10^6 / Z_b = 2.717 * 10^6 / 35.74e3",
    ):
        assert line in shown.splitlines()
    assert re.search(r"Line load on the front part +5\.021 kN/m +512\.0 kg/m", shown)
    assert re.search(r"Line load on the rear part +6\.521 kN/m +665\.0 kg/m", shown)
    assert re.search(r"Shear just behind the rear axle +5\.478 kN +558\.6 kgf", shown)
    row = "3318.0 ahead rear axle -8.090 -824.9 -2.301 -234.61 64.4 -64.4 13.5 16.4 39.0*"
    assert row in [" ".join(line.split()) for line in shown.splitlines()]
    assert "common practice for mild steel, no source" in shown


def test_thinner_of_two_webs_is_told_with_half_of_the_force():
    """V = 8.09 kN: the average over 150 (2 + 1.2) mm2 is 16.9 N/mm2, half of it in the thin one 22.5 N/mm2."""
    thin = Box(depth=150, width=75, top=2, bottom=2, minus=2, plus=1.2)
    shown = text(spans=(RailSpan(start=0.0, end=4158.0, shape=thin),))
    flat = " ".join(shown.split())
    alone = "22.5 in the thinner web, which takes half of the force, 22.5 % of 100 N/mm2, just ahead of 3318 mm"
    assert f"16.9 N/mm2 over the full depth (peak 20.1); {alone}" in flat
    assert "tau_1 = V * 10^3 / 2 / A_1 = 8.090 * 10^3 / 2 / 180.0" in flat
    assert "splits nearly by halves, whatever their thickness" in flat
    assert "where one of two webs is thinner that of the thinner one with half of V" in flat
    assert "thinner" not in text()


LONG = "engine with gearbox and transfer box on their front mounts, dry, and everything that hangs on it besides"


@pytest.mark.parametrize("distribution", ["two halves", "linear"])
@pytest.mark.parametrize("aboard", [True, False])
def test_no_line_is_longer_than_100_columns(distribution, aboard):
    masses = tuple(ListedMass(name=LONG, station=200.0 + 400 * i, mass=0.05, aboard=aboard) for i in range(9))
    channel = Channel(depth=150, width=65, web=4, top=5, bottom=5, opens="+y")
    plates = Section((Wall("web", (0.0, -75.0), (0.0, 75.0), 3.0),))
    spans = (RailSpan(start=0.0, end=1000.0, shape=BOX), RailSpan(start=1000.0, end=3000.0, shape=channel),
             RailSpan(start=3000.0, end=4158.0, shape=plates))
    shown = text(distribution, masses, spans, title=LONG)
    assert max(map(len, shown.splitlines())) <= 100
    for columns in (80, 92):
        with page_width(columns):
            assert max(map(len, text(distribution, masses, spans, title=LONG).splitlines())) <= columns
    assert not re.search(r"-0\.0+\b(?!\d)", shown)
    assert not VERDICTS.search(shown)
    assert all(line == line.rstrip() for line in shown.splitlines())


def test_each_step_is_numbered_once_and_every_number_has_its_unit():
    shown = text()
    numbers = [int(n) for n in re.findall(r"^ {0,2}(\d{1,3})  \S", shown, re.M)]
    assert numbers == list(range(1, len(numbers) + 1))
    for line in re.findall(r"^ {0,2}\d{1,3}  \S.*$", shown, re.M):
        assert re.search(r"\d (kN|kN m|kN/m|m|mm2|mm3|mm4|N/mm2|%)( +-?[\d.]+ (kgf|kgf m|kg/m|mm))?$", line), line
