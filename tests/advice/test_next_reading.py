"""Where to measure next: derivatives against differences of the plain way, orders, what is uncertain, how many."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from ladderfe.advice.governing import laid_out, only_cases
from ladderfe.advice.next_reading import Doubt, next_reading, readings_needed
from ladderfe.advice.walls import walls_of
from ladderfe.chassis import read_chassis
from ladderfe.checks.peaks import peaks
from ladderfe.checks.rows import look_at
from ladderfe.condition import Options, as_found, read_readings, readings_from_text
from ladderfe.errors import ModelError
from ladderfe.mesh.varied import thickened
from ladderfe.report.next_text import next_text
from ladderfe.solve import solve_chassis

ROWS = """side,station,wall,reading,to
left,1240,bottom,1.4,
left,1240,bottom,1.2,
left,1240,bottom,1.5,
left,2310,bottom,1.6,
left,2310,outer,1.7,
left,2400,bottom,hole,2430
"""


@pytest.fixture(scope="module")
def demo(demo_file):
    """Some readings of the demo, a hole among them, in one case; long reaches, so that there are few walls."""
    chassis = only_cases(read_chassis(demo_file), ("one wheel bump, front right",))
    found = as_found(chassis, readings_from_text(ROWS, "r.csv", chassis), Options(reach=2000.0))
    return next_reading(laid_out(found))


def governing(found, k, change):
    """The greatest utilisation by the plain way with wall k so much thicker, mm."""
    laid = found.laid_out
    state = laid.base.copy()
    state[k] += change
    thickness = laid.walls.states(state)[0].tolist()
    chassis = thickened(laid.findings.chassis, laid.walls.stretches, thickness)
    solution = solve_chassis(chassis, taper_steps=laid.findings.taper_steps)
    c = chassis.criteria
    greatest = peaks(solution, look_at(solution))[:, 1:].max(axis=1)
    return float((greatest / [c.bending, c.shear, c.von_mises]).max())


def test_derivatives_are_those_of_the_plain_way(demo):
    """Central differences of 0.002 mm, extrapolated: their error is some 1e-7 of the derivative."""
    assert demo.exact
    assert len(demo.ties) >= 1
    order = [demo.rows.index(r) for r in demo.by_change]
    read = [k for k in order if demo.rows[k].wall.read]
    for k in dict.fromkeys((*order[:2], *read[:2])):
        h = 2e-3
        wide, narrow = ((governing(demo, k, x) - governing(demo, k, -x)) / (2 * x) for x in (2 * h, h))
        expected = (4 * narrow - wide) / 3
        assert -demo.rows[k].thinner == pytest.approx(expected, rel=1e-5, abs=1e-7), demo.rows[k].wall.name


def test_states_with_thinner_walls_are_those_of_the_plain_way(demo):
    row = demo.by_change[0]
    k = demo.rows.index(row)
    assert [s.by for s in row.states] == [0.1, 0.3]
    assert row.states[0].ratio == pytest.approx(governing(demo, k, -0.1), rel=1e-6)


def test_orders_and_what_matters(demo):
    change, moved = ([abs(r.thinner) for r in demo.by_change], [r.moved for r in demo.by_doubt])
    assert change == sorted(change, reverse=True)
    assert moved == sorted(moved, reverse=True)
    for r in demo.rows:
        if r.wall.read is None:
            assert r.half == pytest.approx(0.2 * r.wall.nominal)
        if r.thinner:
            assert abs(r.thinner) * r.matters == pytest.approx(0.01)
    three = next(r for r in demo.rows if r.wall.n == 3)
    s = np.std([1.4, 1.2, 1.5], ddof=1)
    assert three.half == pytest.approx(2 * np.sqrt(0.05**2 + s**2 / 3))
    one = next(r for r in demo.rows if r.wall.n == 1)
    assert one.half == pytest.approx(2 * np.sqrt(0.05**2 + 0.1**2))


def test_the_page_fits_and_tells_what_is_assumed(demo):
    page = next_text(demo, "demo.toml", 1.0)
    assert max(map(len, page.splitlines())) <= 100
    words = " ".join(page.split())
    assert "ASSUMED: walls that nobody read may have lost up to 20 %" in words
    assert "another place, wall or case governs there" in words


def test_lengths_cover_every_wall_once(demo_file):
    """All metres of all walls, less the holes', belong to one wall that varies; read places keep their reach."""
    chassis = read_chassis(demo_file)
    readings = read_readings(demo_file.with_name("short-4x4-readings.csv"), chassis)
    found = as_found(chassis, readings)
    walls = walls_of(found)
    assert not walls.fixed
    whole = sum(s.length for s in found.stretches for w in s.walls if w.basis != "hole")
    assert sum(s.end - s.start for s in walls.stretches) == pytest.approx(whole)
    assert sum(1 for w in walls.walls if w.read) == len(found.places)
    assert max(w.end - w.start for w in walls.walls if w.read is None) <= 2 * found.options.reach + 1e-6
    webs = [(s, walls.walls[k]) for s, k in zip(walls.stretches, walls.owner, strict=True) if s.wall == "web"]
    assert {w.wall for _, w in webs} == {"top"}  # over a hole in the bottom the top wall is the web that is left
    left = sorted((s.start, s.end) for s, _ in webs if s.side == "left")
    assert (left[0][0], left[-1][1]) == (2385.0, 2445.0)


@pytest.mark.parametrize(
    ("mean", "s", "target"), [(1.87, 0.15, 1.5), (2.0, 0.2, 1.6), (2.0, 0.1, 1.5), (2.0, 0.3, 1.6)]
)
def test_how_many_readings_a_lower_bound_takes(mean, s, target):
    """By hand: the first n with mean - t_0.95(n - 1) sqrt(1 + 1/n) s >= target (EN 1990 Annex D, scatter unknown)."""
    expected = next(
        (n for n in range(3, 201) if mean - stats.t.ppf(0.95, n - 1) * np.sqrt(1 + 1 / n) * s >= target), None
    )
    assert readings_needed(mean, s, target) == expected


def test_no_number_of_readings_proves_what_scatter_forbids():
    assert readings_needed(2.0, 0.3, 1.6) is None  # 2.0 - 1.645 x 0.3 = 1.51
    assert readings_needed(2.0, 0.1, 1.5) == 3  # 2.0 - 3.37 x 0.1 = 1.66


def test_a_better_gauge_and_more_readings_narrow_what_may_be_off(demo):
    wall = next(r.wall for r in demo.rows if r.wall.n == 3)
    assert Doubt(gauge=0.0).half(wall) < Doubt().half(wall) < Doubt(gauge=0.3).half(wall)


def test_what_governs_at_an_edge_between_two_lengths_is_told_of_the_one_it_lies_in(made):
    """The greatest moment is where two places meet, at 2000 mm: the thinner wall of the two governs."""
    frame = made.chassis()
    rows = "side,station,wall,reading\nleft,1950,bottom,1.9\nleft,2050,bottom,1.7\n"
    found = next_reading(laid_out(as_found(frame, readings_from_text(rows, "r.csv", frame))))
    (tie,) = found.ties
    assert (tie.along, tie.wall) == (2000, "bottom")
    wall = found.laid_out.walls.walls[tie.number]
    assert (wall.station, wall.start, wall.used) == (2050, 2000, 1.7)
    assert found.by_change[0].wall is wall


def test_without_derivatives_the_same_place_is_not_told_as_another(demo, monkeypatch):
    """Where there are no derivatives, those of the check that govern tell whether another place does."""

    def none(*_):
        raise ModelError("sensitivities", "no derivative there", "Ask for another state")

    monkeypatch.setattr("ladderfe.advice.next_reading.sensitivities", none)
    found = next_reading(demo.laid_out)
    assert (found.exact, found.why, found.ties) == (False, "no derivative there", ())
    by_name = {r.wall.name: r for r in demo.rows}
    both = [(r, by_name[r.wall.name]) for r in found.rows if r.states and by_name[r.wall.name].states]
    assert len(both) >= 3
    for r, exact in both:
        assert [s.elsewhere for s in r.states] == [s.elsewhere for s in exact.states], r.wall.name
        assert r.thinner == pytest.approx((r.states[0].ratio - demo.laid_out.ratio) / 0.1, rel=1e-6, abs=1e-9)
