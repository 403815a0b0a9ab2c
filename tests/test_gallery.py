"""Every chassis in models/ is checked as a user would check it, and the invented vehicles are such as there are."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.cli.main import run
from ladderfe.sections import Channel

MODELS = Path(__file__).parent.parent / "models"
FILES = sorted(MODELS.glob("*.toml"))
#: Sizes of vehicles of each kind, values from memory: wheelbase, track, rails apart (middle to middle), depth, width,
#: wall of the rails, rates of the rear springs (N/mm; for the lorry none known, ours is told), unsprung kg, all-up kg.
RANGES = {
    "pick-up": {
        "wheelbase": (2200, 3900),
        "track": (1300, 1700),
        "apart": (700, 1100),
        "depth": (95, 180),
        "width": (50, 75),
        "wall": (2.5, 4),
        "rear rate": (60, 120),
        "unsprung": (120, 220),
        "all-up": (1900, 3000),
    },
    "light-lorry": {
        "wheelbase": (2200, 3900),
        "track": (1300, 1700),
        "apart": (700, 1100),
        "depth": (130, 200),
        "width": (60, 70),
        "wall": (4, 6),
        "rear rate": (120, 250),
        "unsprung": (200, 450),
        "all-up": (3500, 5000),
    },
}


@pytest.fixture(scope="module", params=FILES, ids=lambda p: p.stem)
def page(request):
    """Path, exit status and page of a check."""
    import contextlib
    import io

    text = io.StringIO()
    with contextlib.redirect_stdout(text):
        status = run(["check", str(request.param), "--quick"])
    return request.param, status, text.getvalue()


def test_there_are_as_many_as_the_tests_think():
    assert len(FILES) >= 6


def test_it_opens_with_what_it_shows(page):
    comment = re.match(r"((?:# .*\n)+)", page[0].read_text(encoding="utf-8"))
    assert comment
    assert len(comment[1].split()) >= 30


def test_it_is_checked_and_every_proof_holds(page):
    _, status, text = page
    assert status in (0, 1)
    held = re.search(r"Self-check: (\d+) of (\d+) proofs hold", text)
    assert held
    assert held[1] == held[2]
    assert (status == 1) == (" OVER" in text)


def test_no_line_load_is_negative(page):
    """Or next to nothing: 1 kg/m, where the steel alone is not weightless."""
    _, _, text = page
    loads = re.findall(r"(?m)^body, .* ([-\d.]+) +([-\d.]+)$", text)
    assert loads
    assert min(float(v) for pair in loads for v in pair) >= 1


@pytest.mark.parametrize("name", RANGES)
def test_the_channel_rail_vehicles_are_such_as_there_are(name):
    c, ranges = read_chassis(MODELS / f"{name}.toml"), RANGES[name]
    front, rear = c.axles
    shapes = [s for span in c.rails[1].spans for s in (span.shape, span.shape_end) if s is not None]
    assert all(isinstance(s, Channel) and s.opens == "-y" for s in shapes)  # toward the middle of the vehicle
    assert any(span.shape_end is not None for span in c.rails[0].spans)  # tapering
    assert all(len(a.seats) == 2 for a in c.axles)  # leaf springs
    assert any(not m.aboard for m in c.masses)
    later = sum(m.mass for m in c.masses if not m.aboard)
    found = {
        "wheelbase": [rear.station - front.station],
        "track": [a.track for a in c.axles],
        "apart": [2 * p.half_spacing for p in c.rails[0].path],
        "depth": [s.depth for s in shapes],
        "width": [s.width for s in shapes],
        "wall": [s.web for s in shapes],
        "rear rate": [rear.rate],
        "unsprung": [1000 * a.unsprung for a in c.axles],
        "all-up": [1000 * (front.load + rear.load + later)],
    }
    for what, (low, high) in ranges.items():
        assert all(low <= v <= high for v in found[what]), what
    assert len(c.crossmembers) in {"pick-up": (6, 7), "light-lorry": (6, 7, 8)}[name]


def test_the_pick_up_rises_over_its_rear_axle():
    c = read_chassis(MODELS / "pick-up.toml")
    at = {p.station: p.height for p in c.rails[0].path}
    assert at[3450] > at[3100]
    assert at[4050] > at[4450]
    assert 3450 < c.axles[1].station < 4050
    assert len({type(m.shape).__name__ for m in c.crossmembers}) == 3
