"""Utilisation of unrolled walls, held against other ways through the results; walls gone in the picture in space."""

import numpy as np
import pytest

from ladderfe.checks.found import check_found
from ladderfe.condition import as_found, readings_from_text
from ladderfe.report.colours import BAND_EDGES, BANDS
from ladderfe.report.frame_scene import frame_scene, wall_strips
from ladderfe.report.unrolled import unrolled
from ladderfe.report.unrolled_marks import peak_words
from ladderfe.report.unrolled_strips import Peak, band_of, used_strips

ROWS = """side,station,wall,reading,to,rim
left,1200,bottom,hole,1230,20
left,2600,outer,1.1,,
right,2000,top,0.9,,
right,1300,inner,hole,1400,10
"""


@pytest.fixture(scope="module")
def found(made):
    """The plain ladder with limits so low that some walls are over them and some are not."""
    chassis = made.chassis(criteria=made.Criteria(bending=45.0, shear=30.0, von_mises=50.0))
    return as_found(chassis, readings_from_text(ROWS, "r.csv", chassis))


@pytest.fixture(scope="module")
def findings(found):
    return check_found(found, assumptions=False)


@pytest.fixture(scope="module")
def strips(found, findings):
    return used_strips(found, findings)


@pytest.fixture(scope="module")
def drawing(found, findings):
    return unrolled(found, findings)


def test_the_greatest_of_every_wall_is_that_of_the_page(strips, findings):
    """Peaks against the table of utilisations (`checks/utilisation.py`), which groups by part and wall; the web of the
    channel that is left is the top on the left rail and the outer wall on the right one."""
    for s in strips:
        part = f"{s.side} rail"
        own = {s.wall} | ({"web"} if (s.side, s.wall) in (("left", "top"), ("right", "outer")) else set())
        top = max(u.ratio for u in findings.utilisations if u.part == part and u.wall in own)
        assert max(p.ratio for p in s.peaks) == pytest.approx(top, rel=1e-9)
        assert max(r.band for r in s.runs) == band_of(top)


def test_runs_cover_the_wall_but_for_its_holes(strips):
    for s in strips:
        gone = sum(h.reach[1] - h.reach[0] for h in s.holes)
        assert sum(r.end - r.start for r in s.runs) == pytest.approx(4000 - gone, abs=0.1)
        for h in s.holes:
            assert not any(r.start < h.end and r.end > h.start for r in s.runs)


def test_bands_along_a_wall_are_those_of_the_stresses(strips, findings):
    """At every section looked at of the left rail's bottom wall, from the tables of stress by hand."""
    rows, s, c = findings.rows, findings.stresses, findings.chassis.criteria
    mesh = findings.solution.mesh
    (strip,) = [t for t in strips if (t.side, t.wall) == ("left", "bottom")]
    part = mesh.part("left rail")
    checked = 0
    for row in np.flatnonzero((rows.member >= part.first) & (rows.member < part.last)):
        walls, mean_walls = s.table.walls[s.section[row]], s.table.mean_walls[s.section[row]]
        if "bottom" not in walls:
            continue
        points = [k for k, w in enumerate(walls) if w == "bottom"]
        ratio = max(
            np.abs(s.normal[row, points, 1:]).max() / c.bending,
            s.von_mises[row, points, 1:].max() / c.von_mises,
            np.abs(s.mean[row, mean_walls.index("bottom"), 1:]).max() / c.shear,
        )
        near = {r.band for r in strip.runs if r.start - 1 <= rows.along[row] <= r.end + 1}
        assert near & {band_of(ratio * (1 - 1e-6)), band_of(ratio * (1 + 1e-6))}
        checked += 1
    assert checked > 20


def test_over_the_limit_has_a_second_sign(drawing, strips):
    """Bands over 100 % lie between heavy lines; their numbers have a triangle and are bold, the others have neither."""
    over = [r for s in strips for r in s.runs if r.band >= 4]
    under = [r for s in strips for r in s.runs if r.band < 4]
    assert over
    assert under
    assert len(drawing.segments("over")) == len(over)
    numbers = drawing.words("utilisation")
    bold = [w for w in numbers if w.bold]
    assert bold
    assert len(bold) < len(numbers)
    assert len(drawing.areas("over sign")) == len(bold)
    assert all(float(w.words.strip(">")) >= 100 for w in bold)
    assert all(float(w.words) <= 100 for w in numbers if not w.bold)


@pytest.mark.parametrize(
    ("ratio", "words"),
    [(0.5, "50"), (0.999, "100"), (1.0, "100"), (1.0001, ">100"), (1.003, "100.3"), (1.006, "101"), (2.0, "200")],
)
def test_no_number_over_the_limit_looks_as_if_it_were_not(ratio, words):
    assert peak_words(Peak(0.0, ratio)) == (words, ratio > 1)


def test_bands_break_where_the_map_does():
    """100 % itself is not over; beyond the last edge the last band."""
    assert [band_of(e) for e in BAND_EDGES] == [0, 0, 1, 2, 3, 4, 5]
    assert band_of(1 + 1e-9) == 4
    assert band_of(50.0) == len(BANDS) - 1


def test_what_nobody_read_is_hatched_at_the_foot(drawing):
    assert len(drawing.segments("hatch")) >= 8
    assert sum(w.words == "ASSUMED" for w in drawing.words("label")) >= 8


def test_in_space_a_wall_that_is_gone_is_not_drawn(findings):
    """Quads of walls as found: none of the bottom within the hole and its rims, those of the other walls all there."""
    strips = wall_strips(findings)
    mesh = findings.solution.mesh
    along = findings.rows.along[strips.rows].mean(axis=1)
    part = np.array([p.name for p in mesh.parts])[mesh.part_of()[strips.member]]
    inside = (part == "left rail") & (along > 1180) & (along < 1250)
    assert inside.any()
    low = strips.corners[..., 2].max(axis=1) < -74 + 1.5  # the bottom wall's middle is at -74
    assert not (inside & low).any()
    assert ((part == "left rail") & low & (along > 1000) & (along < 1180)).any()
    assert len({strips.walls[k] for k in np.flatnonzero(inside)}) == 3
    scene = frame_scene(findings, "static")
    assert len(scene.quads) == len(strips.corners)
    assert scene.title == "plain ladder, as found"
