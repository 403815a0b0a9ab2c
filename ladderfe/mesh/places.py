"""Named places of a mesh: where mounts and springs hold on to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Axle, Chassis
from ladderfe.mesh import walls
from ladderfe.mesh.rails import rail_point
from ladderfe.mesh.types import Mesh, Place

__all__ = ["moved_places", "points_of", "with_places"]

Array = NDArray[np.float64]


def points_of(chassis: Chassis) -> dict[str, Array]:
    """(3,) true point of every mount, and of every spring seat, stop and bracket of an axle, vehicle axes, mm."""
    out = {m.name: np.array([m.station, m.y, m.height]) for m in chassis.mounts}
    for axle in chassis.axles:
        for rail in chassis.rails:
            y = rail.sign * axle.spring_base / 2
            for k, (station, _) in enumerate(axle.seats):
                out[axle.seat_name(rail.side, k)] = np.array([station, y, rail_point(rail, station)[2]])
            out[axle.stop_name(rail.side)] = np.array([axle.station, y, rail_point(rail, axle.station)[2]])
        out |= _anchors(chassis, axle)
        out |= {name: np.array(place) for name, _, place in axle.brackets()}
    return out


def _anchors(chassis: Chassis, axle: Axle) -> dict[str, Array]:
    """Where torsion bars are anchored: on the line of their crossmember, under the springs' places."""
    c = next((c for c in chassis.crossmembers if c.name == axle.torsion_bar), None)
    if c is None:
        return {}
    out = {}
    for rail in chassis.rails:
        y = rail.sign * axle.spring_base / 2
        line = [(-1e9, c.height_left), *c.via, (1e9, c.height_right)]
        height = float(np.interp(y, [p for p, _ in line], [z for _, z in line])) if c.via else (
            c.height_left + c.height_right) / 2
        station = (c.station_left + c.station_right) / 2
        out[axle.anchor_name(rail.side)] = np.array([station, y, height])
    return out


def with_places(mesh: Mesh, places: Mapping[str, tuple[int, Array]]) -> Mesh:
    """The same mesh with these places, given by their node and true point."""
    runs_on = mesh.kind[:, None] == mesh.extras[mesh.ends]
    for j in mesh.joints:
        runs_on[j.member, j.end] = False
    last = np.full(len(mesh.nodes), -1)
    np.maximum.at(last, mesh.ends[runs_on], np.nonzero(runs_on)[0])
    return replace(mesh, places={name: _place(mesh, last, *at) for name, at in places.items()})


def moved_places(mesh: Mesh, chassis: Chassis) -> Mesh:
    """The same mesh with the places of a chassis that differs in its mounts' heights or its springs' distance only,
    so that they hang on the same nodes."""
    return with_places(mesh, {name: (mesh.places[name].node, p) for name, p in points_of(chassis).items()})


def _place(mesh: Mesh, last: NDArray[np.int64], node: int, point: Array) -> Place:
    """The place at a point; last (n,): of every node the last member that carries all its unknowns beside the six."""
    arm = point - mesh.nodes[node]
    x, y, z = (float(v) for v in arm)
    if not mesh.extras[node]:
        return Place(node, (x, y, z))
    m = int(last[node])
    k, axes = int(mesh.section_of[m]), mesh.axes[m]
    own = walls.place_follow(mesh.shapes[k], mesh.sections[k], mesh.origin[m], int(mesh.kind[m]), (axes @ arm)[1:])
    follow = np.concatenate([own[:, :3] @ axes, own[:, 3:] @ axes], axis=1)
    return Place(node, (x, y, z), tuple(tuple(float(v) for v in row) for row in follow))
