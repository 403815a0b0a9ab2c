"""Results as one VTU file (the XML format of VTK for unstructured grids): beams as lines, walls as quads, all cases.

Every array is named after its case, "static laden: displacement [mm]", so that one file holds all of them.  There are
no strings in the file: readers of the format stumble over them.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import ModelError
from ladderfe.report.files import write_whole
from ladderfe.report.scene import Array

__all__ = ["CaseFields", "write_vtu"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CaseFields:
    """What one case gives, for `write_vtu`: n nodes, k beams, q walls.

    `node_displacements` (n, 3) and `wall_displacements` (q, 4, 3) in mm.  `member_values`: named arrays (k,) of the
    beams, such as "M [N mm]".  `wall_values`: named arrays (q, 4) at the corners of the walls, such as "normal stress
    [N/mm2]"; nan where not checked.
    """

    name: str
    node_displacements: Array
    wall_displacements: Array
    member_values: Mapping[str, Array] = field(default_factory=dict)
    wall_values: Mapping[str, Array] = field(default_factory=dict)


def write_vtu(
    path: str | os.PathLike[str],
    nodes: Array,
    members: NDArray[np.integer],
    quads: Array,
    cases: Sequence[CaseFields],
    *,
    part_numbers: tuple[NDArray[np.integer], NDArray[np.integer]] | None = None,
    overwrite: bool = False,
) -> Path:
    """Write beams and walls with the fields of all cases, whole or not at all.

    Parameters
    ----------
    nodes, members
        (n, 3) in mm and (k, 2) node numbers of the beams.
    quads
        (q, 4, 3) corners of the walls in mm, undeformed.
    cases
        Their fields, see CaseFields.
    part_numbers
        (k,) and (q,): which part each beam and each wall belongs to, written as the cell array "part".

    Values of beams stand as cell arrays (nan on walls), values of walls as point arrays (nan on nodes of beams),
    displacements as vectors on all points.  The cell array "wall" is 0 on beams and 1 on walls.

    Raises
    ------
    ModelError
        The shapes do not match.
    OutputError
        The file is there already and `overwrite` was not asked for, or cannot be written.
    """
    import meshio

    n, k, q = len(nodes), len(members), len(quads)
    corners = np.arange(n, n + 4 * q).reshape(q, 4)
    points = np.concatenate([nodes, quads.reshape(-1, 3)])
    cell_data = {"wall": [np.zeros(k, dtype=np.int64), np.ones(q, dtype=np.int64)]}
    if part_numbers is not None:
        beams, walls = part_numbers
        cell_data["part"] = [_shaped("part numbers", beams, (k,)), _shaped("part numbers", walls, (q,))]
    point_data: dict[str, Array] = {}
    for case in cases:
        for name, values in _point_fields(case, n, q).items():
            point_data[f"{case.name}: {name}"] = values
        for name, values in case.member_values.items():
            known = _shaped(f"{case.name}: {name}", values, (k,))
            cell_data[f"{case.name}: {name}"] = [known, np.full(q, np.nan)]
    mesh = meshio.Mesh(
        points, [("line", members), ("quad", corners)],
        point_data={_escaped(name): values for name, values in point_data.items()},
        cell_data={_escaped(name): values for name, values in cell_data.items()},
    )
    with tempfile.TemporaryDirectory(prefix="ladderfe-") as folder:
        whole = Path(folder, "whole.vtu")
        meshio.write(whole, mesh, file_format="vtu")
        return write_whole(path, whole.read_bytes(), overwrite, b"<VTKFile")


def _escaped(name: str) -> str:
    """The name as it may stand in an XML attribute; meshio 5.3 writes names as they are, in the locale's encoding."""
    one_line = " ".join(name.split())
    return escape(one_line, {'"': "&quot;"}).encode("ascii", "xmlcharrefreplace").decode()


def _point_fields(case: CaseFields, n: int, q: int) -> dict[str, Array]:
    """Displacements of all points and values at the walls' corners, each for n nodes and then 4 q corners."""
    moved = _shaped(f"{case.name}: displacements of nodes", case.node_displacements, (n, 3))
    walls = _shaped(f"{case.name}: displacements of walls", case.wall_displacements, (q, 4, 3))
    fields = {"displacement [mm]": np.concatenate([moved, walls.reshape(-1, 3)])}
    for name, values in case.wall_values.items():
        known = _shaped(f"{case.name}: {name}", values, (q, 4))
        fields[name] = np.concatenate([np.full(n, np.nan), known.ravel()])
    return fields


def _shaped(what: str, values: NDArray[Any], shape: tuple[int, ...]) -> NDArray[Any]:
    """The values, refused where their shape is another."""
    if values.shape != shape:
        raise ModelError(what, f"the array has shape {values.shape}", f"It must be {shape}")
    return values
