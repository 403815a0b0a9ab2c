"""Scatter of readings: draws against their distributions, utilisations against a closed form of one random wall."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from ladderfe.advice.governing import laid_out
from ladderfe.advice.next_reading import UNREAD
from ladderfe.advice.scatter import Spread, drawn, scatter, wilson
from ladderfe.advice.walls import walls_of
from ladderfe.condition import Options, as_found, readings_from_text
from ladderfe.report.scatter_text import histogram, scatter_text

#: The overhang behind the rear axle: whatever the walls are, statics alone give its moment.
REAR, END, SPRUNG = 2600.0, 4000.0, (0.35, 1.45)
DEPTH, WIDTH, WALL = 150.0, 75.0, 2.0
MEAN, S = 1.5, 0.1
LIMIT_AT = 1.42


def moment():
    """N mm per rail at the rear axle: the rear half of the load beyond it.  The halves are such that the axles carry
    what they carry: a + b = all, 1000 a + 3000 b = moment of the axles about the front end."""
    front, rear = SPRUNG
    b = (front * 700 + rear * REAR - 1000 * (front + rear)) / 2000
    return b / 2000 * 9806.65 * (END - REAR) ** 2 / 2 / 2


def modulus(top):
    """Elastic modulus (mm3) of the box's top edge, its top wall so thick, from rectangles."""
    inside = DEPTH - WALL - top
    parts = [(WIDTH * top, DEPTH - top / 2, top), (WIDTH * WALL, WALL / 2, WALL)]
    parts += [(2 * WALL * inside, WALL + inside / 2, inside)]
    area = sum(a for a, _, _ in parts)
    centre = sum(a * z for a, z, _ in parts) / area
    inertia = sum(a * h**2 / 12 + a * (z - centre) ** 2 for a, z, h in parts)
    return inertia / (DEPTH - centre)


@pytest.fixture(scope="module")
def overhang(made):
    """A weightless ladder whose rear overhang governs by bending, over its limit below 1.42 mm of one top wall."""
    limit = moment() / modulus(LIMIT_AT)
    axles = (made.axle("front", 700.0, SPRUNG[0] + 0.15), made.axle("rear", REAR, SPRUNG[1] + 0.15))
    chassis = made.chassis(
        material=made.WEIGHTLESS, crossmembers=made.LADDER[:2], cases=(made.STATIC,), axles=axles,
        criteria=made.Criteria(bending=limit, shear=1e6, von_mises=1e6),
    )  # fmt: skip
    rows = "".join(f"left,{REAR:g},top,{v}\n" for v in (MEAN, MEAN + S, MEAN - S))
    readings = readings_from_text("side,station,wall,reading\n" + rows, "r.csv", chassis)
    return as_found(chassis, readings, Options(reach=1000.0))


@pytest.fixture(scope="module")
def result(overhang):
    return scatter(laid_out(overhang, by_mean=True), Spread(draws=400, seed=3, gauge=0.0, unread=0.0))


def test_utilisations_have_the_distribution_of_the_closed_form(result):
    """One wall is normal, U = M/(Z(t) limit) falls with it: U's distribution is known.  Kolmogorov-Smirnov at the 1 %
    level, seed fixed; quantiles within 3.3 standard errors of a quantile, sqrt(p (1 - p)/n)/density.  Truncation at
    2.0 mm, five standard deviations away, is below what 400 draws show; the hand modulus is within 3e-4."""
    limit = result.laid_out.findings.chassis.criteria.bending

    def use(t):
        return moment() / (modulus(t) * limit)

    thickness = np.linspace(MEAN - 6 * S, MEAN + 4.99 * S, 2001)
    table = np.array([use(t) for t in thickness])

    def below(u):
        """P(U < u) = P(t > t(u))."""
        return stats.norm.sf(np.interp(-np.asarray(u), -table, thickness), MEAN, S)

    assert stats.kstest(result.ratio, below).pvalue > 0.01
    n = len(result.ratio)
    for p in (0.05, 0.5, 0.95):
        t = stats.norm.isf(p, MEAN, S)
        density = stats.norm.pdf(t, MEAN, S) / abs((use(t + 1e-4) - use(t - 1e-4)) / 2e-4)
        assert result.quantile(p) == pytest.approx(use(t), abs=3.3 * np.sqrt(p * (1 - p) / n) / density)
    expected = stats.norm.cdf(LIMIT_AT, MEAN, S)  # 21 % of the walls are thinner
    assert result.exceeded / n == pytest.approx(expected, abs=3.3 * np.sqrt(expected * (1 - expected) / n))
    low, high = wilson(result.exceeded, n)
    assert low < expected < high
    assert result.laid_out.ratio == pytest.approx(use(MEAN), rel=3e-4)


def test_the_wall_that_is_random_governs_and_the_plain_way_agrees(result):
    assert result.checked < 1e-6
    ((number, count),) = result.by_wall
    wall = result.laid_out.walls.walls[number]
    assert (wall.side, wall.wall, wall.station, count) == ("left", "top", REAR, 400)
    known = {(o.where.part, o.where.case, o.where.criterion) for o in result.often}
    assert known == {("left rail", "static", "bending")}
    assert not result.failed


def test_the_page_fits_and_says_what_it_is(result):
    page = scatter_text(result, "file.toml")
    assert max(map(len, page.splitlines())) <= 100
    words = " ".join(page.split())
    assert "400 draws, seed 3." in words
    assert f"Draws over a limit: {result.exceeded} of 400" in words
    assert "no failure probability of the vehicle" in words
    assert "ASSUMED: walls that nobody read have lost between nothing and 0 %" in words


def test_walls_are_drawn_as_stated(overhang):
    """Kolmogorov-Smirnov at the 1 % level, seeds fixed: a normal error of sqrt(s^2 + (gauge/2)^2), and losses of unread
    walls uniform and independent."""
    walls = walls_of(overhang, by_mean=True).walls
    spread = Spread(draws=4000, seed=5, gauge=0.15)
    t = drawn(walls, spread)
    k = next(k for k, w in enumerate(walls) if w.read)
    sd = np.hypot(S, 0.15 / 2)
    free = stats.truncnorm((0.3 - MEAN) / sd, (WALL - MEAN) / sd, MEAN, sd)
    assert stats.kstest(t[:, k], free.cdf).pvalue > 0.01
    others = [j for j in range(len(walls)) if j != k]
    for j in others[:4]:
        assert stats.kstest(t[:, j], stats.uniform(WALL * (1 - UNREAD), WALL * UNREAD).cdf).pvalue > 0.01
    assert abs(np.corrcoef(t[:, others[0]], t[:, others[1]])[0, 1]) < 3.3 / np.sqrt(4000)
    assert np.array_equal(t, drawn(walls, spread))
    assert not np.array_equal(t, drawn(walls, replace(spread, seed=6)))
    together = drawn(walls, replace(spread, together=True))
    assert np.ptp(together[:, others], axis=1).max() == 0
    assert np.array_equal(together[:, k], t[:, k])


def test_draws_stay_between_the_thinnest_wall_and_the_one_as_built(overhang):
    walls = walls_of(overhang, by_mean=True).walls
    wide = drawn(walls, Spread(draws=2000, gauge=4.0, unread=0.8))
    assert wide.min() >= 0.3
    assert wide.max() <= WALL
    k = next(k for k, w in enumerate(walls) if w.read)
    assert len(np.unique(wide[:, k])) == 2000  # truncated, not piled up at the limits


@pytest.mark.parametrize(
    ("count", "n", "low", "high"), [(0, 10, 0.0, 0.27754), (5, 10, 0.23659, 0.76341), (81, 263, 0.25529, 0.36621)]
)
def test_wilson_interval(count, n, low, high):
    """81 of 263: R. G. Newcombe, Two-sided confidence intervals for the single proportion, Stat. Med. 17 (1998), worked
    examples 0.2553 to 0.3662 (from memory); the others as roots of (p' - p)^2 = z^2 p (1 - p)/n."""
    assert wilson(count, n) == pytest.approx((low, high), abs=2e-5)
    z = stats.norm.ppf(0.975)
    roots = np.roots([1 + z**2 / n, -(2 * count / n + z**2 / n), (count / n) ** 2])
    assert wilson(count, n) == pytest.approx(sorted(roots), abs=1e-9)


def test_histogram_counts_every_draw_and_fits():
    ratio = np.random.default_rng(0).normal(0.8, 0.05, 777)
    lines = histogram(ratio)
    assert sum(int(line.split()[3]) for line in lines) == 777
    assert max(map(len, lines)) <= 100
    assert max(line.count("#") for line in lines) == 50
    assert histogram(np.full(9, 0.5)) == ["all 50.0%"]
