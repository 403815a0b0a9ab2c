"""The chassis files in models/: they read without a fault and are what their opening comments say."""

from __future__ import annotations

from pathlib import Path

import pytest

from ladderfe.chassis import read_chassis
from ladderfe.sections import Tube

MODELS = Path(__file__).parents[2] / "models"


@pytest.fixture(scope="module")
def demo():
    return read_chassis(MODELS / "short-4x4.toml")


@pytest.mark.parametrize("path", sorted(MODELS.glob("*.toml")), ids=lambda p: p.name)
def test_every_model_opens_with_a_comment_and_reads(path):
    assert path.read_text(encoding="utf-8").startswith("# ")
    assert read_chassis(path).title


def test_the_demo_is_a_short_4x4(demo):
    """Within the ranges for small four-wheel drives (values from memory): wheelbase from 2.2 m, track 1.3 to 1.7 m,
    rails 0.7 to 1.1 m apart, boxes of 100 to 150 by 60 to 80 by 2 to 3 mm, unsprung 120 to 220 kg an axle."""
    front, rear = demo.axles
    assert rear.station - front.station == 2360
    assert demo.rails[0].end - demo.rails[0].start == 3900
    assert len(demo.crossmembers) == 5
    assert [c.name for c in demo.crossmembers if c.via] == ["gearbox"]
    assert [c.name for c in demo.crossmembers if isinstance(c.shape, Tube)] == ["engine"]
    assert all(1300 <= a.track <= 1700 and 0.12 <= a.unsprung <= 0.22 for a in demo.axles)
    assert all(2 * p.half_spacing - 70 >= 700 or 2 * p.half_spacing >= 690 for p in demo.rails[0].path)
    assert max(p.height for p in demo.rails[0].path) == 150  # the kick-up over the rear axle
    assert demo.rails[0].path[4].station < rear.station < demo.rails[0].path[5].station


def test_the_demo_has_stops_a_bar_and_a_lever_test(demo):
    """Travels of 50 to 150 mm up and down, a bar about as stiff as the springs of its axle (values from memory)."""
    front, rear = demo.axles
    assert all(50 <= travel <= 150 for a in demo.axles for travel in (a.bump_gap, a.droop))
    assert 0.5 <= front.anti_roll / (front.rate * front.spring_base**2 / 2) <= 2
    assert rear.anti_roll == 0
    (test,) = demo.bench_tests
    assert [p.value for p in test.loads] == [pytest.approx(-150 * 9.80665)]
    assert {p.station for p in (*test.held, *test.loads)} == {front.station, rear.station}
    assert min(test.gauges, key=lambda p: p.value).station == demo.crossmembers[0].station_left  # ahead of the weight


def test_the_demo_stands_tows_and_winches(demo):
    """Trade figures: centre of gravity 0.6 to 0.8 m, nose weight 4 to 10 % of the trailer (values from memory);
    leaf eyes above the wheels' centres and below the rails; a coupling behind the rails, a winch on both ahead of
    their first crossmember."""
    assert 600 <= demo.centre_height <= 800
    for axle in demo.axles:
        level = min(p.height for p in demo.rails[0].path)
        assert demo.ground + axle.tyre_radius < axle.links.height < level
        assert axle.links.station == axle.seats[0][0]  # the front eye is fixed
    towing, mounts = demo.towing, {m.name: m for m in demo.mounts}
    assert 0.04 <= towing.nose / towing.trailer <= 0.10
    assert mounts[towing.coupling].station > demo.rails[0].end
    assert 300 <= mounts[towing.coupling].height - demo.ground <= 500
    assert [mounts[w].part for w in towing.winch] == ["left rail", "right rail"]
    assert mounts[towing.winch[0]].station < demo.crossmembers[0].station_left
    assert towing.line_pull == 36_000
    assert len(towing.recovery) == 2
    kinds = {c.kind for c in demo.cases}
    assert {"nose weight", "drawbar pull", "winch", "recovery", "jack", "two-post lift", "stands"} <= kinds
    assert all(len(c.name) <= 28 for c in demo.cases)


def test_the_pick_up_tows():
    towing = read_chassis(MODELS / "pick-up.toml").towing
    assert (towing.trailer, towing.nose) == (2.0, 0.09)
    assert not towing.winch


def test_the_rails_of_the_demo_mirror_each_other(demo):
    left, right = demo.rails
    assert left.path == right.path
    assert [(s.shape.mirrored(), s.start, s.end) for s in left.spans] == [
        (s.shape, s.start, s.end) for s in right.spans
    ]


def test_the_test_frame_gives_its_line_loads():
    """512 and 665 kg/m on the halves of 4158 mm and the springs' loads are in balance: sum and moment about the front
    axle, worked out here from statics alone."""
    c = read_chassis(MODELS / "test-frame.toml")
    front, rear = c.axles
    sprung = [(a.load - a.unsprung) * 1000 for a in c.axles]
    assert sprung == pytest.approx([1063.4, 1383.5], abs=0.05)  # rounded to 0.1 kg
    loads = [(512 * 2.079, 1039.5), (665 * 2.079, 3118.5)]
    moment = sum(m * (x - front.station) for m, x in loads)
    assert sprung[1] == pytest.approx(moment / (rear.station - front.station), abs=1e-3)  # written to a gram
    assert sum(sprung) == pytest.approx(sum(m for m, _ in loads), abs=1e-3)
    assert c.material.density == 0  # all weight is in the line loads
    assert (c.body.start, c.body.split, c.body.end) == (0, 2079, 4158)
