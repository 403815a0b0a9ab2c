"""Scatter of readings: draws against their distributions, utilisations against a closed form of one random wall.

A wall of n readings is drawn by Student's t of n - 1 degrees of freedom, scale s sqrt(1 + 1/n): what they let expect of
one more (EN 1990 Annex D, D7.2; from memory of the authors); scipy.stats has its distribution.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from ladderfe.advice import governing
from ladderfe.advice.governing import AGREE, COARSE, laid_out
from ladderfe.advice.next_reading import UNREAD
from ladderfe.advice.scatter import Spread, drawn, scatter, wilson
from ladderfe.advice.walls import walls_of
from ladderfe.checks.variants import plain_found
from ladderfe.condition import Options, as_found, k_factor, readings_from_text
from ladderfe.report.scatter_text import histogram, scatter_text

#: The overhang behind the rear axle: whatever the walls are, statics alone give its moment.
REAR, END, SPRUNG = 2600.0, 4000.0, (0.35, 1.45)
DEPTH, WIDTH, WALL = 150.0, 75.0, 2.0
MEAN, S = 1.5, 0.1
LIMIT_AT = 1.42


class Walls:
    """One wall of three readings between the thinnest there is and the one as built."""

    scale, low, high = S * np.sqrt(1 + 1 / 3), 0.3, WALL

    def __init__(self, gauge=0.0):
        self.free = stats.t(2, MEAN, np.hypot(self.scale, gauge / 2))
        self.least = self.free.cdf(self.low)
        self.all = self.free.cdf(self.high) - self.least

    def cdf(self, t):
        return np.clip((self.free.cdf(t) - self.least) / self.all, 0, 1)

    def isf(self, p):
        return self.free.ppf(self.least + (1 - p) * self.all)

    def pdf(self, t):
        return self.free.pdf(t) / self.all


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
    """One wall has the distribution of `Walls`, U = M/(Z(t) limit) falls with it: U's distribution is known.
    Kolmogorov-Smirnov at the 1 % level, seed fixed; quantiles within 3.3 standard errors of a quantile,
    sqrt(p (1 - p)/n)/density; the hand modulus is within 3e-4."""
    walls = Walls()
    limit = result.laid_out.findings.chassis.criteria.bending

    def use(t):
        return moment() / (modulus(t) * limit)

    thickness = np.linspace(walls.low, walls.high, 3401)
    table = np.array([use(t) for t in thickness])

    def below(u):
        """P(U < u) = P(t > t(u))."""
        return 1 - walls.cdf(np.interp(-np.asarray(u), -table, thickness))

    assert stats.kstest(result.ratio, below).pvalue > 0.01
    n = len(result.ratio)
    for p in (0.05, 0.5, 0.95):
        t = walls.isf(p)
        density = walls.pdf(t) / abs((use(t + 1e-4) - use(t - 1e-4)) / 2e-4)
        assert result.quantile(p) == pytest.approx(use(t), abs=3.3 * np.sqrt(p * (1 - p) / n) / density)
    expected = walls.cdf(LIMIT_AT)  # 27 % of the walls are thinner
    assert result.exceeded / n == pytest.approx(expected, abs=3.3 * np.sqrt(expected * (1 - expected) / n))
    low, high = wilson(result.exceeded, n)
    assert low < expected < high
    assert result.laid_out.ratio == pytest.approx(use(MEAN), rel=3e-4)


def test_the_wall_that_is_random_governs_and_the_plain_way_agrees(result):
    assert result.checked < AGREE
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
    """Kolmogorov-Smirnov at the 1 % level, seeds fixed: an error as in `Walls`, the gauge's in its scale, and losses of
    unread walls uniform and independent."""
    walls = walls_of(overhang, by_mean=True).walls
    spread = Spread(draws=4000, seed=5, gauge=0.15)
    t = drawn(walls, spread)
    k = next(k for k, w in enumerate(walls) if w.read)
    assert stats.kstest(t[:, k], Walls(gauge=0.15).cdf).pvalue > 0.01
    others = [j for j in range(len(walls)) if j != k]
    for j in others[:4]:
        assert stats.kstest(t[:, j], stats.uniform(WALL * (1 - UNREAD), WALL * UNREAD).cdf).pvalue > 0.01
    assert abs(np.corrcoef(t[:, others[0]], t[:, others[1]])[0, 1]) < 3.3 / np.sqrt(4000)
    assert np.array_equal(t, drawn(walls, spread))
    assert not np.array_equal(t, drawn(walls, replace(spread, seed=6)))
    together = drawn(walls, replace(spread, together=True))
    assert np.ptp(together[:, others], axis=1).max() == 0
    assert np.array_equal(together[:, k], t[:, k])


def test_five_per_cent_of_what_is_drawn_are_below_the_lower_bound(overhang):
    """mean - k s, k = t_0.95(n - 1) sqrt(1 + 1/n): 3.37 for three readings, 1.64 sqrt(1.5) with two and s known."""
    wall = next(w for w in walls_of(overhang, by_mean=True).walls if w.read)
    spread = Spread(gauge=0.0, scatter=0.2)
    assert spread.freedoms(wall) == 2
    assert -stats.t.ppf(0.05, 2) * spread.scale(wall) == pytest.approx(k_factor(3) * S, rel=1e-9)
    two = replace(wall, read=replace(wall.read, values=wall.read.values[:2]))
    assert spread.freedoms(two) is None
    assert spread.scale(two) == pytest.approx(0.2 * np.sqrt(1.5), rel=1e-12)
    seen = drawn((two,), replace(spread, draws=4000))[:, 0]
    free = stats.truncnorm((0.3 - two.mean) / spread.scale(two), (WALL - two.mean) / spread.scale(two), two.mean,
                           spread.scale(two))  # fmt: skip
    assert stats.kstest(seen, free.cdf).pvalue > 0.01


@pytest.fixture(scope="module")
def tapering(made):
    """Rails that taper to the rear, where they are read at two places, as found."""
    shapes = made.box(160, 75, 2.5), made.box(90, 75, 2.5)
    spans = (made.Span(start=0.0, end=1500.0, shape=shapes[0]),
             made.Span(start=1500.0, end=4000.0, shape=shapes[0], shape_end=shapes[1]))  # fmt: skip
    rails = made.rail("left", spans=spans), made.rail("right", spans=spans)
    cross = tuple(made.cross(n, x) for n, x in (("a", 100.0), ("b", 1900.0), ("c", 3900.0)))
    chassis = made.chassis(rails=rails, crossmembers=cross, cases=(made.STATIC, made.TWICE))
    rows = "left,2600,top,1.9\nleft,2600,top,2.0\nleft,2600,top,2.1\nleft,2900,bottom,2.0\n"
    readings = readings_from_text("side,station,wall,reading\n" + rows, "r.csv", chassis)
    return laid_out(as_found(chassis, readings, Options(reach=300.0)), by_mean=True)


def test_draws_stand_on_fewer_taper_steps_and_say_so(tapering, monkeypatch):
    """Utilisations on few steps against those on the steps of the check, draw by draw."""
    spread = Spread(draws=70, seed=2)
    few = scatter(tapering, spread)
    assert few.laid_out.taper_steps < tapering.findings.taper_steps
    assert few.laid_out.coarse.apart <= COARSE
    assert "stands in " in " ".join(scatter_text(few, "file.toml").split())
    monkeypatch.setattr(governing, "COARSE", 0.0)
    all_steps = scatter(tapering, spread)
    assert all_steps.laid_out.coarse is None
    apart = np.abs(few.ratio / all_steps.ratio - 1).max()
    assert 0 < apart < 3 * COARSE  # as in the first draws; others may be a little further off
    same = [(a.part, a.wall, a.case) == (b.part, b.wall, b.case)
            for a, b in zip(few.governing, all_steps.governing, strict=True)]  # fmt: skip
    assert np.mean(same) > 0.9  # places that tie may change


def test_every_draw_is_what_the_plain_way_says(tapering):
    """Every third draw, those after low cases were left out too, and the extremes, against the whole frame with every
    case."""
    result = scatter(tapering, Spread(draws=70, seed=2))
    states = tapering.walls.states(drawn(tapering.walls.walls, result.spread))
    of = result.laid_out.variants()
    some = sorted({*range(0, len(states), 3), int(result.ratio.argmin()), int(result.ratio.argmax())})
    plain = [plain_found(of.plan, states[k], states[k])[0] for k in some]
    assert result.ratio[some] == pytest.approx(plain, rel=1e-9)


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
    assert sum(int(line.split()[5]) for line in lines) == 777
    assert max(map(len, lines)) <= 100
    assert max(line.count("#") for line in lines) == 50
    assert histogram(np.full(9, 0.5)) == ["all 50.0 %"]
