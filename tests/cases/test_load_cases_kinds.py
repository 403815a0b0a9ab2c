"""Cases as asked for in the chassis file."""

import pytest

from ladderfe.cases import load_cases
from ladderfe.errors import ModelError


def specs(made, *cases):
    return load_cases(made.chassis(cases=tuple(made.CaseSpec(**c) for c in cases)))


def test_static_stands_at_1_g(made):
    (case,) = specs(made, {"name": "laden", "kind": "static"})
    assert (case.name, case.gravity, case.static_factors) == ("laden", 1.0, None)
    assert case.about == "laden, standing, 1 g"


def test_amplified_multiplies_gravity(made):
    (case,) = specs(made, {"name": "track", "kind": "amplified", "factor": 2.5})
    assert (case.gravity, case.static_factors) == (2.5, None)
    assert case.about == "all static loads and reactions times 2.5"


@pytest.mark.parametrize(
    ("axle", "factors"),
    [("front", (2.5, 1.0)), ("rear", (1.0, 2.5)), ("both", (2.5, 2.5))],
)
def test_bounce_pushes_the_springs_of_one_axle_or_both(made, axle, factors):
    (case,) = specs(made, {"name": "hole", "kind": "bounce", "factor": 2.5, "axle": axle})
    assert case.gravity == 1.0
    assert case.static_factors == (("front", factors[0]), ("rear", factors[1]))


def test_cases_keep_the_order_of_the_file(made):
    found = specs(made, {"name": "b", "kind": "amplified", "factor": 3.0}, {"name": "a", "kind": "static"})
    assert [c.name for c in found] == ["b", "a"]


def test_every_case_says_where_it_comes_from(made):
    found = specs(made, {"name": "a", "kind": "static"}, {"name": "b", "kind": "bounce", "factor": 2.0})
    assert all(c.source for c in found)


def test_an_unknown_kind_is_refused(made):
    with pytest.raises(ModelError) as caught:
        specs(made, {"name": "rocks", "kind": "twisted"})
    known = (
        "static, amplified, bounce, limit twist, one wheel bump, raised, cross-axle, combination, cornering, braking, "
        "drive-off, pothole, kerb strike, rear overhang whip, nose weight, drawbar pull, winch, recovery, jack, "
        "two-post lift, stands"
    )
    assert str(caught.value) == f"case rocks: kind twisted is not known. Use {known}."
