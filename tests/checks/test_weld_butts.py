"""Butt joints of a plan: both ways in which an angled cut may lean, and pieces whose walls bear other names later."""

from __future__ import annotations

import numpy as np
import pytest

from ladderfe.advice.weld_sizes import weld_sizes
from ladderfe.checks.stress import stresses
from ladderfe.checks.wall_groups import GROUPS, wall_groups
from ladderfe.checks.weld_butts import rows_at
from ladderfe.checks.weld_demands import weld_demands
from ladderfe.connections import weld_steel

#: Flanges unlike each other, so that the two ways of an angled cut do not give the same.
UNEQUAL = '{ shape = "channel", opens = "inward", depth = 150, width = 65, top = 3, bottom = 8, web = 4, radius = 0 }'
SPLICE = '[[splices]]\nrail = "{side}"\nstation = {x}\ncut = "angled"\nangle = {angle}\nmade = "both sides"\n'


@pytest.mark.parametrize(("side", "x", "angle"), [("left", 1000, 30), ("left", 2500, 30), ("right", 1600, 45)])
def test_an_angled_cut_may_lean_either_way(plans, tmp_path, side, x, angle):
    """The web's use is the greater of the two leans', by stresses turned by the angle (Mohr) and 0.9 fu/gamma_M2 or
    fu/(beta_w gamma_M2), S235: EN 1993-1-8 4.5.3.2, from memory."""
    plans.frame(tmp_path, UNEQUAL)
    d = weld_demands(plans.planned(tmp_path, SPLICE.format(side=side, x=x, angle=angle)))
    s = stresses(d.findings.solution, rows_at(d.findings.solution, side, x))
    group = wall_groups(d.findings.solution.mesh, s.table).point
    flat = [(r, p) for r, k in enumerate(s.section.tolist()) for p in range(len(s.table.walls[k]))
            if GROUPS[group[k, p]] == "webs"]  # fmt: skip
    a, uses = np.deg2rad(angle), []
    for r, p in flat:
        for lean in (a, -a):
            n, t = s.normal[r, p, 1:], s.shear[r, p, 1:]
            across = n * np.sin(lean) ** 2 - t * np.sin(2 * lean)
            along = n * np.sin(2 * lean) / 2 - t * np.cos(2 * lean)
            both = np.sqrt(across**2 + 3 * along**2) * 0.8 * 1.25 / 360, np.abs(across) * 1.25 / (0.9 * 360)
            uses.append(float(np.maximum(*both).max()))
    told = {b.group: b.full for b in weld_sizes(d, weld_steel("S235")).butts}
    assert told["webs"] == pytest.approx(max(uses), rel=1e-9)
