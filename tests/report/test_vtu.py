"""VTU files read back by two general readers: meshio, and pyvista (VTK itself)."""

import meshio
import numpy as np
import pytest
import pyvista

from ladderfe.errors import ModelError
from ladderfe.report.files import OutputError
from ladderfe.report.vtu import CaseFields, write_vtu

CASES = ["static laden", 'odd "name" & <é>']
NODES = np.array([(x, -380.0, 600.0) for x in np.linspace(0, 4000, 11)])
MEMBERS = np.stack([np.arange(10), np.arange(1, 11)], axis=1)


@pytest.fixture
def cases(ladder):
    return [
        CaseFields(
            name=name, node_displacements=factor * np.ones((11, 3)),
            wall_displacements=factor * ladder.displacements,
            member_values={"My [N mm]": factor * np.arange(10.0)},
            wall_values={"stress [N/mm2]": factor * ladder.values},
        )
        for factor, name in enumerate(CASES, start=1)
    ]


@pytest.fixture
def written(ladder, cases, tmp_path):
    parts = (np.zeros(10, dtype=np.int64), np.arange(len(ladder.quads)))
    return write_vtu(tmp_path / "r.vtu", NODES, MEMBERS, ladder.quads, cases, part_numbers=parts)


def test_meshio_reads_it_back(written, ladder):
    """Points, cells and every field of both cases come back as they were."""
    mesh = meshio.read(written)
    n, q = len(NODES), len(ladder.quads)
    assert np.array_equal(mesh.points, np.concatenate([NODES, ladder.quads.reshape(-1, 3)]))
    assert [(b.type, len(b.data)) for b in mesh.cells] == [("line", 10), ("quad", q)]
    assert np.array_equal(mesh.points[mesh.cells[1].data], ladder.quads)
    for factor, name in enumerate(CASES, start=1):
        stress = mesh.point_data[f"{name}: stress [N/mm2]"]
        assert np.isnan(stress[:n]).all()
        assert np.array_equal(stress[n:].reshape(q, 4), factor * ladder.values)
        moved = mesh.point_data[f"{name}: displacement [mm]"]
        assert np.array_equal(moved[:n], factor * np.ones((11, 3)))
        assert np.array_equal(moved[n:].reshape(q, 4, 3), factor * ladder.displacements)
        beams, walls = mesh.cell_data[f"{name}: My [N mm]"]
        assert np.array_equal(beams, factor * np.arange(10.0))
        assert np.isnan(walls).all()


def test_vtk_reads_it_back(written, ladder):
    """VTK's own reader sees beams and walls, the extremes of the stress, and arrays named per case."""
    grid = pyvista.read(written)
    assert (grid.n_points, grid.n_cells) == (11 + 4 * len(ladder.quads), 10 + len(ladder.quads))
    assert set(grid.celltypes) == {3, 9}  # VTK_LINE, VTK_QUAD
    assert grid.get_data_range(f"{CASES[1]}: stress [N/mm2]") == (2 * ladder.lowest, 2 * ladder.highest)
    assert sorted(grid.array_names) == sorted(
        ["wall", "part", *(f"{c}: {f}" for c in CASES for f in ("displacement [mm]", "stress [N/mm2]", "My [N mm]"))]
    )
    assert grid.cell_data["wall"].sum() == len(ladder.quads)


def test_the_source_arrays_are_left_alone(ladder, cases, tmp_path):
    """Writing changes none of the arrays that were given."""
    before = ladder.quads.copy()
    write_vtu(tmp_path / "a.vtu", NODES, MEMBERS, ladder.quads, cases)
    assert np.array_equal(before, ladder.quads)


def test_not_overwritten_unasked(written, ladder, cases):
    """A second run keeps the first file unless it is told otherwise."""
    with pytest.raises(OutputError, match="is there already"):
        write_vtu(written, NODES, MEMBERS, ladder.quads, cases)
    write_vtu(written, NODES, MEMBERS, ladder.quads, cases, overwrite=True)
    assert [p.name for p in written.parent.iterdir()] == ["r.vtu"]


def test_arrays_that_do_not_match_are_named(ladder, cases, tmp_path):
    """The message names the case and the array, and nothing is written."""
    with pytest.raises(ModelError, match=r"static laden: displacements of nodes: the array has shape \(11, 3\)"):
        write_vtu(tmp_path / "a.vtu", NODES[:5], MEMBERS[:4], ladder.quads, cases)
    assert list(tmp_path.iterdir()) == []
