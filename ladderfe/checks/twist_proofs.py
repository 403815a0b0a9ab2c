"""Proofs that the numbers about twist hold, beside those of the solution itself."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from ladderfe.chassis import Chassis
from ladderfe.checks.proofs import Proof
from ladderfe.checks.selfcheck import PRISMATIC_LIMIT, TAPER_LIMIT
from ladderfe.checks.twist_lifts import Lift, balance_gap
from ladderfe.checks.twist_stiffness import Twisted, twist_frame
from ladderfe.mesh import build_mesh
from ladderfe.solve import Solution

__all__ = ["twist_proofs"]

Array = NDArray[np.float64]


def twist_proofs(
    chassis: Chassis, twisted: Mapping[str, Twisted], used: str, lifts: tuple[Lift, ...], solution: Solution
) -> tuple[Proof, ...]:
    """All proofs: of the bare frame in twist by joint level, of the raised wheels, of the cases that raise them."""
    return (
        _work(twisted),
        _halved(chassis, twisted[used]),
        _balance(chassis, lifts),
        _opposite(lifts),
        _cases_on_paths(lifts, solution),
    )


def _work(twisted: Mapping[str, Twisted]) -> Proof:
    return Proof(
        what="strain energy of all parts against the couple's work",
        difference=max(abs(2 * t.strain_energy * t.stiffness - 1) for t in twisted.values()),
        limit=PRISMATIC_LIMIT,
        why="what the couple puts in is in the parts (Clapeyron); rounding only",
    )


def _halved(chassis: Chassis, t: Twisted) -> Proof:
    tapers = bool(t.mesh.tapered.any())
    halved = twist_frame(chassis, build_mesh(chassis, refine=2)).stiffness
    return Proof(
        what="torsional stiffness with every member halved",
        difference=abs(halved / t.stiffness - 1),
        limit=TAPER_LIMIT if tapers else PRISMATIC_LIMIT,
        why="tapered stretches stand as steps" if tapers else "prismatic members are exact; rounding only",
    )


def _balance(chassis: Chassis, lifts: tuple[Lift, ...]) -> Proof:
    return Proof(
        what="raised wheels: loads against the balance of axles",
        difference=max(balance_gap(chassis, lift) for lift in lifts),
        limit=PRISMATIC_LIMIT,
        why="springs and own weight of an axle decide its wheel loads by statics; rounding only",
    )


def _opposite(lifts: tuple[Lift, ...]) -> Proof:
    """Couple added at the front against that at the rear, in terms of the moment of all wheels."""
    apart = [
        float(np.abs(lift.couple + lift.rear_couple).max() / np.abs(lift.couple).max())
        for lift in lifts
        if np.abs(lift.couple).max(initial=0.0) > 0
    ]
    return Proof(
        what="raised wheels: couple in front against the rear one",
        difference=max(apart, default=math.nan),
        limit=PRISMATIC_LIMIT,
        why="nothing else turns the frame about its length; rounding only",
    )


def _cases_on_paths(lifts: tuple[Lift, ...], solution: Solution) -> Proof:
    """Spring forces of the cases that raise wheels, each solved alone, against those found on the way up."""
    n, apart = len(solution.springs), []
    for lift in lifts:
        raised = {f"{w} wheel" for w in lift.wheels}
        for k, case in enumerate(solution.cases):
            heights = dict(case.heights)
            if set(heights) == raised and len(set(heights.values())) == 1:
                height = next(iter(heights.values()))
                on_path = np.array([np.interp(height, lift.height, f) for f in lift.spring_forces])
                alone = solution.support_forces[:n, k]
                apart.append(float(np.abs(on_path - alone).max() / np.abs(alone).max()))
    return Proof(
        what="raised wheels: solved alone against followed up",
        difference=max(apart, default=math.nan),
        limit=PRISMATIC_LIMIT,
        why="two ways to the same set of supports; rounding only",
    )
