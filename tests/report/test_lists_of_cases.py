"""Names of cases may have commas, as those of `twist` do: no list on a page or in a message makes two of one."""

from __future__ import annotations

from types import SimpleNamespace as Made

import numpy as np
import pytest

from ladderfe.advice.margin import _numbers
from ladderfe.checks.staged import _case
from ladderfe.connections.fatigue import Cycle, stress_ranges
from ladderfe.errors import ModelError
from ladderfe.report.governing_text import beside_words
from ladderfe.report.margin_text import _narrower

BUMP, TWIST = "one wheel bump, front left", "limit twist, front left up"


def test_cases_that_bring_places_over():
    one = Made(place=Made(wall="top", side="left", station=1000.0), over=((BUMP, 0.0), (TWIST, 0.0)))
    two = Made(place=Made(wall="top", side="left", station=2000.0), over=((BUMP, 0.0),))
    words = _narrower(Made(margins=(one, two), cases=("static", BUMP, TWIST)))
    assert f"(at so many places): {BUMP} (2); {TWIST} (1). What is left" in words


def test_what_is_over_beside_the_stresses():
    use = [Made(ratio=1.2, together=1.2, part="left rail", case=name) for name in (BUMP, TWIST)]
    found = Made(buckling=Made(effective=use[:1], shear=use[1:], seats=[], seat_ratio=0.0))
    words = " ".join(" ".join(beside_words(found)).split())
    assert f"left rail, {BUMP}); and the shear of a slender web (" in words


@pytest.mark.parametrize("ask", [
    lambda: _numbers(Made(cases=("static", BUMP)), ["bump"]),
    lambda: _case(Made(cases=[Made(name="static"), Made(name=BUMP)]), "bump"),
    lambda: stress_ranges(["static", BUMP], np.zeros(2), [Cycle(first="static", second="bounce, hard", share=1.0)]),
])  # fmt: skip
def test_cases_that_are_known(ask):
    with pytest.raises(ModelError) as caught:
        ask()
    assert any(words in str(caught.value) for words in (f'"static" and "{BUMP}"', f"{BUMP}; static"))
