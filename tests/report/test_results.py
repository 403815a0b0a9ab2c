"""The VTU file of real findings, read back by a general reader: the same numbers as on the page."""

import meshio
import numpy as np
import pytest

from ladderfe.report.results import write_frame


@pytest.fixture(scope="module")
def read(demo_findings, tmp_path_factory):
    path = tmp_path_factory.mktemp("vtu") / "frame.vtu"
    write_frame(demo_findings, path)
    return meshio.read(path)


@pytest.fixture(scope="module")
def cases(demo_findings):
    return [c.name for c in demo_findings.solution.cases]


def test_beams_and_walls_are_cells(read, demo_findings):
    mesh = demo_findings.solution.mesh
    kinds = {block.type: len(block.data) for block in read.cells}
    assert kinds["line"] == len(mesh.lengths)
    assert kinds["quad"] > 4 * len(mesh.lengths)
    beams = read.points[read.cells_dict["line"]]
    assert beams == pytest.approx(mesh.end_points(), abs=1e-9)


def test_every_case_has_its_fields(read, cases):
    for case in cases:
        for name in ("displacement [mm]", "von Mises [N/mm2]", "normal stress [N/mm2]", "utilisation"):
            assert f"{case}: {name}" in read.point_data
        for name in ("N [N]", "Vy [N]", "Vz [N]", "T [N mm]", "My [N mm]", "Mz [N mm]"):
            assert f"{case}: {name}" in read.cell_data


def test_the_greatest_values_are_the_printed_ones(read, demo_findings):
    """Greatest von Mises stress and utilisation of every case; the walls hold every stress that was found."""
    for case in [c.name for c in demo_findings.solution.cases[1:]]:
        own = [u for u in demo_findings.utilisations if u.case == case]
        stress = max(u.stress for u in own if u.criterion == "von Mises")
        assert np.nanmax(read.point_data[f"{case}: von Mises [N/mm2]"]) == pytest.approx(stress, rel=1e-9)
        assert np.nanmax(read.point_data[f"{case}: utilisation"]) == pytest.approx(max(u.ratio for u in own), rel=1e-9)
        bending = max(abs(u.stress) for u in own if u.criterion == "bending")
        assert np.nanmax(np.abs(read.point_data[f"{case}: normal stress [N/mm2]"])) == pytest.approx(bending, rel=1e-9)


def test_resultants_are_those_of_the_members_middles(read, demo_findings):
    s = demo_findings.solution
    n = len(s.mesh.lengths)
    middle = s.resultants(np.arange(n), s.mesh.lengths / 2)
    for k, case in enumerate(s.cases):
        for i, name in enumerate(("N [N]", "Vy [N]", "Vz [N]", "T [N mm]", "My [N mm]", "Mz [N mm]")):
            blocks = dict(zip([b.type for b in read.cells], read.cell_data[f"{case.name}: {name}"], strict=True))
            assert blocks["line"] == pytest.approx(middle[:, i, k], rel=1e-9, abs=1e-6)
            assert np.isnan(blocks["quad"]).all()


def test_displacements_are_true_ones_springs_included(read, demo_findings):
    """Nodes of beams move as the solution says; the walls at their ends move with them."""
    s = demo_findings.solution
    c = s.case("static")
    n = 2 * len(s.mesh.lengths)
    moved = read.point_data["static: displacement [mm]"]
    for m in range(0, len(s.mesh.lengths), 9):
        node = int(s.mesh.ends[m, 0])
        if not s.mesh.arms[m, 0].any():
            u = s.movements[s.frame.start[node] : s.frame.start[node] + 3, c]
            assert moved[2 * m] == pytest.approx(u, rel=1e-9, abs=1e-9)
    assert moved[:n, 2].min() == pytest.approx(moved[n:, 2].min(), rel=0.05)


def test_parts_are_numbered_alike_on_beams_and_walls(read, demo_findings):
    blocks = dict(zip([b.type for b in read.cells], read.cell_data["part"], strict=True))
    assert set(blocks["line"]) == set(blocks["quad"]) == set(range(len(demo_findings.solution.mesh.parts)))
    walls = dict(zip([b.type for b in read.cells], read.cell_data["wall"], strict=True))
    assert not walls["line"].any()
    assert walls["quad"].all()
