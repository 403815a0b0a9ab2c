"""Parts that a plan makes anew while the frame stands loaded: the name stays, the metal is new."""

from __future__ import annotations

import numpy as np
import pytest

import ladderfe.checks.repair_staged as room
from ladderfe.checks.repair import check_repair
from ladderfe.report.repair_words import summary_words

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


def test_old_metal_carried_more_while_the_wall_was_cut_out(plans, tmp_path):
    """A bottom let in standing: the webs' feet keep what the open box carried, and share the rest with the new bottom.
    By hand, 138.5 kg m of sagging in each rail at mid-length (512 and 665 kg/m on both rails), amplified twice that."""
    plans.frame(tmp_path)
    text = '[repair]\nsupport = "static"\n[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 1950\nto = 2200\n'
    found = check_repair(plans.planned(tmp_path, text))
    old = found.staged.pieces[0].old_stated
    depth, width, t = 150.0, 75.0, 2.0
    inside = (width - 2 * t) * (depth - 2 * t)
    whole = (width * depth**3 - (width - 2 * t) * (depth - 2 * t) ** 3) / 12
    strip, at = (width - 2 * t) * t, -(depth - t) / 2
    area = width * depth - inside - strip
    up = -strip * at / area  # where the centroid goes when the strip between the webs is cut out
    gone = whole - (width - 2 * t) * t**3 / 12 - strip * at**2 - area * up**2
    moment = (138.525 - 128 * ((old.along - 2077) / 1000) ** 2) * 9806.65
    by_hand = moment * (depth / 2 + up) / gone + moment * depth / 2 / whole
    assert old.case == "amplified"
    assert old.stress == pytest.approx(by_hand, rel=0.02)  # shear in von Mises, and what the other rail takes over
    assert found.staged.bare.case == "static"
    assert found.staged.bare.ratio > found.found.utilisations[0].ratio / 2
    assert found.staged.worst.ratio > found.repaired.utilisations[0].ratio
    (told,) = [w for w in summary_words(found) if w.startswith("Welded while it stands (static)")]
    assert f"{100 * found.staged.worst.ratio:.1f} %" in told
