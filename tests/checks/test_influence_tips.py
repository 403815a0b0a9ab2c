"""An assumption whose low or high value has no answer costs only its own cell of the table."""

import pytest

from ladderfe.checks import influence
from ladderfe.errors import ModelError


def test_a_trial_without_an_answer_leaves_the_others(monkeypatch, demo_file):
    from ladderfe.chassis import read_chassis
    from ladderfe.checks import check

    chassis = read_chassis(demo_file)
    plain = {i.assumption.key: i for i in check(chassis).influences}
    vary = influence.vary
    lost = next(a for a in chassis.assumptions if a.key == "axles.front.unsprung")

    def tipping(solution, hangings):
        for h in hangings:
            if abs(h.suspensions[0].axle.unsprung * 1000 - lost.low) < 1e-6:
                raise ModelError("case static", "tips over", "Move a support")
        return vary(solution, hangings)

    monkeypatch.setattr(influence, "vary", tipping)
    found = {i.assumption.key: i for i in check(chassis).influences}
    assert found[lost.key].at_low is None
    assert found[lost.key].at_high == pytest.approx(plain[lost.key].at_high, rel=1e-9)
    others = [k for k in plain if k != lost.key]
    lows = [plain[k].at_low for k in others]
    assert [found[k].at_low for k in others] == pytest.approx(lows, rel=1e-9)  # alone or together: rounding only
