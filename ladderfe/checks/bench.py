"""A twist test on the bare frame, simulated, and one factor on the joints fitted to what the gauges read."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import BenchPoint, BenchTest, Chassis
from ladderfe.errors import ModelError
from ladderfe.mesh import Mesh, SoftJoint, build_mesh, joined
from ladderfe.solve import Factor, Frame, frame_of

__all__ = ["BenchFit", "counted_from", "fit_joints", "scaled_joints", "simulate"]

Array = NDArray[np.float64]

#: The factor on the joints is sought between a hundredth and a hundredfold.
REACH = 100.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BenchFit:
    """The factor on the estimated joints that brings simulated and read movements nearest (least squares), what was
    read and simulated with it, without it and with rigid joints (mm), and the root mean square that is left.

    bounded: the factor sits at the end of its range, so that the joints cannot explain the readings; flat: no factor
    changes anything (all joints are given), and it is 1.
    """

    test: BenchTest
    factor: float
    read: Array
    fitted: Array
    estimated: Array
    rigid: Array
    left_over: float
    bounded: bool
    flat: bool


def simulate(chassis: Chassis, test: BenchTest, factor: float = 1.0) -> Array:
    """(gauges,) mm upward movement at the dial gauges of the bare frame; its own weight was there before and is out.

    factor : on the stiffness of all estimated joints, see `scaled_joints`.  Raises ModelError where the three points
    held do not hold the frame.
    """
    return _movements(scaled_joints(_mesh(chassis, test), factor), test)


def _mesh(chassis: Chassis, test: BenchTest) -> Mesh:
    """The chassis with nodes where it is held, loaded and read."""
    return build_mesh(chassis, extra=[p.station for p in (*test.held, *test.loads, *test.gauges)])


def _movements(mesh: Mesh, test: BenchTest) -> Array:
    """(gauges,) mm upward movement at the dial gauges."""
    frame = frame_of(mesh)
    held = _held(mesh, frame, test)
    loads = np.zeros((frame.unknowns, 1))
    for p in test.loads:
        loads[_vertical(mesh, frame, p), 0] += p.value
    u = Factor(frame, held).solve(loads)
    return np.array([u[_vertical(mesh, frame, p), 0] for p in test.gauges])


def _node(mesh: Mesh, point: BenchPoint) -> int:
    part = mesh.part(f"{point.side} rail")
    nodes = np.append(mesh.ends[part.first : part.last, 0], mesh.ends[part.last - 1, 1])
    return int(nodes[np.argmin(np.abs(mesh.nodes[nodes, 0] - point.station))])


def _vertical(mesh: Mesh, frame: Frame, point: BenchPoint) -> int:
    return int(frame.start[_node(mesh, point)]) + 2


def _held(mesh: Mesh, frame: Frame, test: BenchTest) -> NDArray[np.int64]:
    """Up and down at the three points; the first also along and sideways, the one farthest along from it sideways."""
    nodes = [_node(mesh, p) for p in test.held]
    x = mesh.nodes[nodes]
    area = np.linalg.norm(np.cross(x[1] - x[0], x[2] - x[0])[2:]) if len(nodes) == 3 else 0.0
    if area < 1.0:
        raise ModelError(
            f"bench test {test.name}",
            "is not held at three points that form a triangle",
            "Give three points, not all on one rail, where the frame rests",
        )
    first = int(frame.start[nodes[0]])
    far = int(frame.start[nodes[1 + int(np.argmax(np.abs(x[1:, 0] - x[0, 0])))]])
    return np.array([*(int(frame.start[n]) + 2 for n in nodes), first, first + 1, far + 1])


def scaled_joints(mesh: Mesh, factor: float) -> Mesh:
    """The same mesh with the stiffness of every estimated joint times `factor`: of all by which the walls hold the
    part's end, on racking and on warping too; given joints stay."""

    def scaled(joint: SoftJoint) -> SoftJoint:
        if joint.given:
            return joint
        springs, met = tuple(k * factor for k in joint.stiffness), joint.meeting
        meeting = None if met is None else met.times(factor)
        return replace(joint, stiffness=springs, meeting=meeting, warping=joint.warping * factor)

    return replace(mesh, joints=tuple(scaled(j) for j in mesh.joints))


def counted_from(chassis: Chassis) -> Chassis:
    """The chassis whose joints the factor of a fit multiplies: those in the middle of their range where they were to be
    rigid."""
    return replace(chassis, joint_level=0.0) if np.isinf(chassis.joint_level) else chassis


def fit_joints(chassis: Chassis, test: BenchTest) -> BenchFit:
    """Fit one factor on all estimated joints to the readings of a bench test.

    It counts from the chassis' own level in their range, from the middle where that is rigid.
    """
    from scipy.optimize import minimize_scalar

    chassis = counted_from(chassis)
    mesh = _mesh(chassis, test)
    read = np.array([p.value for p in test.gauges])

    def simulated(log_factor: float) -> Array:
        return _movements(scaled_joints(mesh, float(np.exp(log_factor))), test)

    def misfit(log_factor: float) -> float:
        return float(np.sum((simulated(log_factor) - read) ** 2))

    ends = np.log(REACH)
    soft, stiff = simulated(-ends), simulated(ends)
    flat = bool(np.abs(soft - stiff).max() <= 1e-9 * np.abs(soft).max())
    options = {"bounds": (-ends, ends), "method": "bounded", "options": {"xatol": 1e-6}}
    best = 0.0 if flat else float(minimize_scalar(misfit, **options).x)
    fitted = simulated(best)
    return BenchFit(
        test=test,
        factor=float(np.exp(best)),
        read=read,
        fitted=fitted,
        estimated=simulated(0.0),
        rigid=simulate(joined(chassis, np.inf), test),
        left_over=float(np.sqrt(np.mean((fitted - read) ** 2))),
        bounded=bool(abs(abs(best) - ends) < 0.01),
        flat=flat,
    )
