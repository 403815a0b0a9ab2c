"""Parts that a plan makes anew while the frame stands loaded: the name stays, the metal is new."""

from __future__ import annotations

import numpy as np
import pytest

import ladderfe.checks.repair_staged as room
from ladderfe.checks.repair import check_repair

ANEW = '[repair]\nsupport = "twist"\n[[crossmembers]]\nname = "third"\nstation = 2720\n'
INSERT = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 1700\nto = 2300\n'


@pytest.fixture
def kept(monkeypatch):
    """The stresses in stages that were made."""
    made = []

    def staged_stresses(*args, **options):
        made.append(plain(*args, **options))
        return made[-1]

    plain = room.staged_stresses
    monkeypatch.setattr(room, "staged_stresses", staged_stresses)
    return made


def test_a_crossmember_made_anew_carries_nothing_of_the_case_it_is_welded_in(plans, tmp_path, kept):
    """Put in anew 20 mm further back, of the same section, while the frame stands twisted it is free of stress as long
    as the frame stands so, and has all of any other case less that.  Crossmembers that stay keep what they had."""
    plans.frame(tmp_path, "", plans.TWIST)
    found = check_repair(plans.planned(tmp_path, ANEW + INSERT)).repaired
    (s,) = kept
    solution = found.solution
    twist = [c.name for c in solution.cases].index("twist")

    def greatest(stress, part):
        own = np.isin(found.rows.member, list(solution.mesh.part(part).members))
        return np.abs(stress.normal[own][..., twist]).max(), stress.von_mises[own][..., twist].max()

    loaded = greatest(found.stresses, "third")
    assert min(loaded) > 1.0  # MPa, were it all welded unloaded
    assert greatest(s, "third") == pytest.approx((0, 0), abs=1e-6 * max(loaded))
    assert min(greatest(s, "second")) > 1.0
    own = np.isin(found.rows.member, list(solution.mesh.part("third").members))
    wanted = found.stresses.normal[own] - found.stresses.normal[own][..., twist, None]
    assert s.normal[own] == pytest.approx(wanted, abs=1e-6 * loaded[0])


def test_a_crossmember_that_anchors_torsion_bars_is_made_anew_unloaded(plans, tmp_path):
    """Without it the bars hold nothing, so how the frame stands meanwhile is not known; the rest of the page is."""
    bars = '[[axles]]\nname = "front"\nsuspension = "independent"\ntorsion_bar = "third"\n'
    plans.frame(tmp_path, "", plans.TWIST + bars)
    staged = check_repair(plans.planned(tmp_path, ANEW + INSERT)).staged
    assert staged.why == "the front torsion bars are anchored on third, which is taken out"
    assert staged.worst is None
    assert staged.pieces[0].new_unloaded is not None
