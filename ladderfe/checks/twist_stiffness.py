"""Torsional stiffness of the bare frame, where along its length it twists and what works in it.

Defined once: a couple T, as equal and opposite vertical forces at both rails' shear centres, at the front axle's
station and its opposite at the rear axle's; the frame is held at three points, so that nothing else acts.  The
stiffness is T over the difference of (dz right - dz left)/spacing between the two stations.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.errors import LadderFEError
from ladderfe.mesh import Mesh, build_mesh
from ladderfe.sections import properties
from ladderfe.solve import Factor, Frame, frame_of
from ladderfe.solve.supports import factorised

__all__ = ["Bay", "EnergyShare", "Twisted", "crossmember_effects", "twist_frame"]

Array = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """A stretch of the frame between neighbouring stations (mm) and how far it twists, rad per N mm of couple."""

    start: float
    end: float
    twist: float


@dataclass(frozen=True, slots=True, kw_only=True)
class EnergyShare:
    """Shares of the strain energy in a crossmember, a rail's bay or a joint: in bending (with shear and stretch), in
    torsion, and in the springs of its joints (of a rail in its diaphragms); the shares of all parts sum to 1."""

    part: str
    start: float
    end: float
    bending: float
    torsion: float
    joints: float

    @property
    def total(self) -> float:
        return self.bending + self.torsion + self.joints


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Twisted:
    """A frame under a unit couple: stiffness in N mm/rad; stations (k,) mm and angle (k,) rad per N mm of couple;
    bays between the axles; energy shares, largest first, of the strain energy (N mm per (N mm)^2); movements
    (unknowns, 1) per N mm."""

    stiffness: float
    stations: Array
    angle: Array
    bays: tuple[Bay, ...]
    energy: tuple[EnergyShare, ...]
    strain_energy: float
    mesh: Mesh
    frame: Frame
    movements: Array

    def angle_at(self, station: float) -> float:
        """Angle in rad per N mm of couple at a station, mm."""
        return float(np.interp(station, self.stations, self.angle))


def twist_frame(chassis: Chassis, mesh: Mesh | None = None, factor: Factor | None = None) -> Twisted:
    """Twist the bare frame by a unit couple between the axle stations."""
    mesh = build_mesh(chassis) if mesh is None else mesh
    factor = factorised(frame_of(mesh)) if factor is None else factor
    frame = factor.frame
    front, rear = (a.station for a in chassis.axles)
    f = np.zeros((frame.unknowns, 1))
    for station, sign in ((front, 1.0), (rear, -1.0)):
        rows, spacing = _verticals(mesh, frame, station)
        f[:, 0] += sign * (rows[1] - rows[0]) / spacing
    u = factor.solve(f)
    u = u + factor.refinement(f, u)  # soft frames lose digits, and energy is made of small differences
    stations = _common_stations(mesh)
    angle = np.array([_angle(mesh, frame, x, u) for x in stations])
    at = {float(x): float(a) for x, a in zip(stations, angle, strict=True)}
    twist = at[_nearest(stations, front)] - at[_nearest(stations, rear)]
    energy, strain_energy = _energy(chassis, mesh, frame, u)
    return Twisted(
        stiffness=1 / twist,
        stations=stations,
        angle=angle,
        bays=_bays(chassis, stations, angle),
        energy=energy,
        strain_energy=strain_energy,
        mesh=mesh,
        frame=frame,
        movements=u,
    )


def _nearest(stations: Array, x: float) -> float:
    return float(stations[np.argmin(np.abs(stations - x))])


def _rail_nodes(mesh: Mesh, name: str) -> tuple[Array, NDArray[np.int64]]:
    """Stations and node numbers of a rail."""
    part = mesh.part(name)
    nodes = np.append(mesh.ends[part.first : part.last, 0], mesh.ends[part.last - 1, 1])
    return mesh.nodes[nodes, 0], nodes


def _common_stations(mesh: Mesh) -> Array:
    left, right = (np.round(_rail_nodes(mesh, f"{side} rail")[0], 3) for side in ("left", "right"))
    return np.intersect1d(left, right)


def _verticals(mesh: Mesh, frame: Frame, station: float) -> tuple[tuple[Array, Array], float]:
    """Unknown rows (unknowns,) of the vertical movement of the left and the right shear centre, and their spacing."""
    rows, y = [], []
    for side in ("left", "right"):
        part = mesh.part(f"{side} rail")
        x, nodes = _rail_nodes(mesh, part.name)
        k = int(np.argmin(np.abs(x - station)))
        member = part.first + min(k, part.last - part.first - 1)
        q = properties(mesh.sections[int(mesh.section_of[member])])
        arm = q.ys * mesh.axes[member, 1] + q.zs * mesh.axes[member, 2]
        row = np.zeros(frame.unknowns)
        unknown, coefficient = frame.row(int(nodes[k]), arm, np.array([0, 0, 1.0, 0, 0, 0]))
        row[unknown] = coefficient
        rows.append(row)
        y.append(mesh.nodes[nodes[k], 1] + arm[1])
    return (rows[0], rows[1]), float(y[1] - y[0])


def _angle(mesh: Mesh, frame: Frame, station: float, u: Array) -> float:
    rows, spacing = _verticals(mesh, frame, station)
    return float((rows[1] - rows[0]) @ u[:, 0] / spacing)


def _bays(chassis: Chassis, stations: Array, angle: Array) -> tuple[Bay, ...]:
    """Between the axles, cut at the middle of every crossmember; the parts add up to the whole exactly."""
    front, rear = (a.station for a in chassis.axles)
    inside = {(c.station_left + c.station_right) / 2 for c in chassis.crossmembers}
    cuts = [front, *sorted(x for x in inside if front < x < rear), rear]
    at = np.interp(cuts, stations, angle)
    return tuple(
        Bay(start=a, end=b, twist=float(p - q)) for a, b, p, q in zip(cuts[:-1], cuts[1:], at[:-1], at[1:], strict=True)
    )


def _energy(chassis: Chassis, mesh: Mesh, frame: Frame, u: Array) -> tuple[tuple[EnergyShare, ...], float]:
    """Shares of the strain energy by part, crossmembers whole, rails bay by bay; and all of it."""
    bending, torsion = frame.kernels.energy(frame.member_movements(u)[:, :, 0]).T
    joint = _joint_energy(frame, u[:, 0])
    whole = float(bending.sum() + torsion.sum() + joint.sum())
    cuts = {
        "left": sorted({c.station_left for c in chassis.crossmembers}),
        "right": sorted({c.station_right for c in chassis.crossmembers}),
    }
    out = []
    for part in mesh.parts:
        for start, end, own in _stretches(mesh, part.first, part.last, cuts[part.side] if part.kind == "rail" else []):
            out.append(
                EnergyShare(
                    part=part.name,
                    start=start,
                    end=end,
                    bending=float(bending[own].sum()) / whole,
                    torsion=float(torsion[own].sum()) / whole,
                    joints=float(joint[own].sum()) / whole,
                )
            )
    return tuple(sorted(out, key=lambda s: -s.total)), whole


def _joint_energy(frame: Frame, u: Array) -> Array:
    """(m,) strain energy of the joints, by the member whose ends they hold."""
    out = np.zeros(len(frame.ends))
    for k, s in enumerate(frame.soft):
        out[s.member] += s.stiffness * float(u[int(frame.start[-1]) + k]) ** 2 / 2
    for e, own in zip(frame.energies, frame.layout.energy_unknowns, strict=True):
        d = u[own]
        out[e.member] += float(d @ e.stiffness @ d) / 2
    return out


def _stretches(mesh: Mesh, first: int, last: int, cuts: list[float]) -> list[tuple[float, float, NDArray[np.int64]]]:
    """Runs of members between cuts: (start, end, member numbers)."""
    member = np.arange(first, last)
    middle = mesh.along[member].mean(axis=1)
    bay = np.searchsorted(np.array(cuts), middle) if cuts else np.zeros(len(member), dtype=np.int64)
    return [
        (float(mesh.along[own[0], 0]), float(mesh.along[own[-1], 1]), own)
        for b in np.unique(bay)
        if len(own := member[bay == b])
    ]


def crossmember_effects(chassis: Chassis, mesh: Mesh) -> dict[str, tuple[float, float, float]]:
    """Crossmember -> torsional stiffness (N mm/rad) with it removed, with half and with twice its own stiffness (its
    joints as they are).  Removed is not a number where the frame then falls apart."""
    out = {}
    for c in chassis.crossmembers:
        without = replace(chassis, crossmembers=tuple(x for x in chassis.crossmembers if x is not c))
        rest = _removed(without, c.name)
        out[c.name] = (rest, _scaled(chassis, mesh, c.name, 0.5), _scaled(chassis, mesh, c.name, 2.0))
    return out


def _removed(chassis: Chassis, name: str) -> float:
    front, rear = (replace(a, torsion_bar=None) if a.torsion_bar == name else a for a in chassis.axles)
    kept = replace(
        chassis,
        mounts=tuple(m for m in chassis.mounts if m.part != name),
        masses=(),
        axles=(front, rear),
    )
    try:
        return twist_frame(kept).stiffness
    except LadderFEError:
        return float("nan")


def _scaled(chassis: Chassis, mesh: Mesh, name: str, factor: float) -> float:
    """Torsional stiffness with a part's members `factor` times as stiff."""
    frame = frame_of(mesh)
    k = np.ones(len(mesh.ends))
    k[list(mesh.part(name).members)] = factor
    stiffer = replace(frame, members=frame.kernels.stiffened(k))
    return twist_frame(chassis, mesh, factorised(stiffer)).stiffness
