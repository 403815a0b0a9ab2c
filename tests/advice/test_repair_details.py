"""Details that fatigue is judged by, of plans on the plain test frame."""

from __future__ import annotations

import pytest

from ladderfe.advice.repair_details import details

DOUBLER = """[[plates]]
kind = "doubler"
rail = "left"
wall = "bottom"
from = 1700
to = 2300
thickness = {}
"""
READ = "left,{},bottom,{},,\n"


@pytest.mark.parametrize(
    ("thickness", "reading", "category"),
    [(1.8, None, 56), (2.0, None, 50), (1.8, 1.9, 56), (1.8, 1.8, 50), (1.8, 1.7, 50)],
)
def test_ends_of_plates_are_thick_beside_the_wall_as_it_is(plans, tmp_path, thickness, reading, category):
    """EN 1993-1-9:2005 Table 8.5 (from memory): 56 where the cover plate is thinner than the plate under it, else 50.
    The wall of 2 mm as built counts as thick as it was read: (56/50)^3, 40 % more damage at a plate of 1.8 on 1.7."""
    plans.frame(tmp_path)
    readings = "".join(READ.format(x, reading) for x in (1700, 2000, 2300)) if reading else ""
    found = details(plans.planned(tmp_path, DOUBLER.format(thickness), readings=readings))
    assert [d.station for d in found] == [1700, 2300]
    assert [d.category.stress_range for d in found] == [category] * 2


def test_ends_on_a_piece_let_in_go_by_that(plans, tmp_path):
    """Under the rear end 2 mm are let in where 1.7 mm were read."""
    plans.frame(tmp_path)
    let_in = '[[inserts]]\nrail = "left"\nwall = "bottom"\nfrom = 2000\nto = 2500\nthickness = 2\n'
    readings = "".join(READ.format(x, 1.7) for x in (1700, 2000, 2300))
    states = plans.planned(tmp_path, let_in + DOUBLER.format(1.8), readings=readings)
    ends = {d.station: d.category.stress_range for d in details(states) if d.what.startswith("end of doubler")}
    assert ends == {1700: 50, 2300: 56}


@pytest.mark.parametrize("ends", ["", "end_weld = false", 'ends = "tapered"', 'ends = "spear"'])
def test_leaving_out_the_weld_across_makes_no_better_end(plans, tmp_path, ends):
    """EN 1993-1-9:2005 Table 8.5, detail 6 (from memory): end zones of cover plates with or without transverse end weld
    have one category by thickness; neither cutting it to a point nor leaving the weld out raises it."""
    plans.frame(tmp_path)
    for thickness, category in ((2.0, 50), (1.8, 56)):
        states = plans.planned(tmp_path, DOUBLER.format(thickness) + ends, name=f"{thickness}")
        assert [d.category.stress_range for d in details(states)] == [category] * 2
