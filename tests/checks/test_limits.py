"""The search for the magnitude at which a number reaches 1, on numbers whose answer is known by algebra."""

from dataclasses import dataclass
from math import hypot, sqrt

import pytest

from ladderfe.checks.limits import search, together


@dataclass(frozen=True)
class Known:
    """A state whose answers along a straight line come from two components, as stresses do."""

    magnitude: float
    parts: tuple[float, float]
    tips: str = ""

    @property
    def ratio(self):
        return hypot(*self.parts)

    def at(self, magnitude, other):
        t = (magnitude - self.magnitude) / (other.magnitude - self.magnitude)
        return hypot(*((1 - t) * p + t * q for p, q in zip(self.parts, other.parts, strict=True)))


def run(*parts, start=0.1, most=1000.0, tip=float("inf")):
    """Reaches of several loads with parts as functions of the magnitude, and how many states were asked for."""
    asked = []

    def solve(points):
        asked.extend(points)
        return [
            Known(min(size, tip), parts[k](min(size, tip)), "tips over" if size > tip else "") for k, size in points
        ]

    return together([search(start, most) for _ in parts], solve), asked


@pytest.mark.parametrize(
    ("parts", "root"),
    [
        (lambda f: (0.2 + 0.05 * f, 0.0), 16.0),
        (lambda f: (0.2 - 0.05 * f, 0.0), 24.0),  # it falls to nothing first
        (lambda f: (0.5, 0.1 * f), sqrt(0.75) / 0.1),
        (lambda f: (0.6 - 0.2 * f, 0.3 * f), (0.12 + sqrt(0.12**2 + 0.13 * 0.64)) / 0.13),  # normal and shear
        (lambda f: (0.999, 0.001 * f), sqrt(1 - 0.999**2) / 0.001),
    ],
)
def test_straight_answers_are_found_at_once(parts, root):
    """Roots of |a + b F| = 1 and of quadratics; beyond the look for a bracket two states and one proof are enough."""
    (reach,), asked = run(parts)
    assert reach.how == "found"
    assert reach.magnitude == pytest.approx(root, rel=1e-9)
    assert reach.ratio == pytest.approx(1, abs=1e-9)
    assert reach.without == pytest.approx(hypot(*parts(0.0)))
    assert len(asked) <= 16


def test_where_contact_changes_it_is_solved_anew():
    """0.1 + 0.02 F up to 10, then 0.3 + 0.07 (F - 10) from where a support lets go, with a bend at 15: the root of the
    last stretch, 0.65 + 0.01 (F - 15) = 1."""

    def bent(f):
        size = 0.1 + 0.02 * f if f < 10 else 0.3 + 0.07 * (f - 10) if f < 15 else 0.65 + 0.01 * (f - 15)
        return size, 0.0

    (reach,), asked = run(bent)
    assert reach.magnitude == pytest.approx(50, rel=1e-8)
    assert len(asked) < 40


def test_a_jump_over_the_limit_is_bracketed():
    """A number that jumps over 1, which none should, ends the search just before the jump, with what it is there."""
    (reach,), _ = run(lambda f: (0.2 if f < 7 else 3.0, 0.0))
    assert reach.magnitude == pytest.approx(7, rel=1e-12)
    assert reach.ratio == 0.2


@pytest.mark.parametrize(("slope", "how", "magnitude"), [(0.1, "tips over", 7.0), (0.15, "found", 1 / 0.15)])
def test_what_bears_more_than_a_share_of_a_greater_load_is_closed_in_on(slope, how, magnitude):
    """It tips over beyond 7, but of greater loads it seems to bear 5.5 only: the limit may lie between both."""

    def solve(points):
        borne = [min(size, 5.5) if size > 7.0 else size for _, size in points]
        words = ["tips over" if size > 7.0 else "" for _, size in points]
        return [Known(size, (slope * size, 0.0), w) for size, w in zip(borne, words, strict=True)]

    (reach,) = together([search(0.1, 1000.0)], solve)
    assert (reach.how, reach.magnitude) == (how, pytest.approx(magnitude, rel=1e-5))
    assert reach.ratio == pytest.approx(min(slope * 7.0, 1), rel=1e-5)


def test_already_over_none_and_tipping():
    already, none, found = run(lambda f: (1.2 - f, 0.0), lambda f: (0.5, 1e-4 * f), lambda f: (f, 0.0))[0]
    assert (already.how, already.magnitude, already.without) == ("already over", 0.0, 1.2)
    assert (none.how, none.magnitude) == ("none", 1000.0)
    assert none.ratio == pytest.approx(hypot(0.5, 0.1))
    assert found.magnitude == pytest.approx(1.0, rel=1e-9)
    (tips,), _ = run(lambda f: (0.1 * f, 0.0), tip=7.0)
    assert (tips.how, tips.magnitude, tips.ratio) == ("tips over", 7.0, pytest.approx(0.7))
    (before,), _ = run(lambda f: (0.1 * f, 0.0), tip=11.0)
    assert (before.how, before.magnitude) == ("found", pytest.approx(10.0))
