"""A frame on stands that is cut open: the same vehicle, hung on the frame with its rails cut through.

A cut sets free all that two faces of a rail hold together, the six movements and what warps or racks.  Springs keep the
set-up that they had under the whole frame, and a body that stiffens the frame its own stiffness; the rest goes the way
of every case on stands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ladderfe.cases import LoadCase, Suspended
from ladderfe.chassis import Chassis
from ladderfe.mesh import Mesh
from ladderfe.solve.analyse import Solution, analyse
from ladderfe.solve.chassis import hanging_of
from ladderfe.solve.equilibrium import CasesInBalance, Equilibrium
from ladderfe.solve.on_axles import OnWheels, as_weighed
from ladderfe.solve.on_wheels import problem_of
from ladderfe.solve.respond import Hanging
from ladderfe.solve.supports import Footing

__all__ = ["on_stands"]


def on_stands(chassis: Chassis, mesh: Mesh, cases: Sequence[LoadCase], whole: Solution | None = None) -> Solution:
    """The frame of a mesh in cases on stands, the first case being that as weighed, in which nothing acts.

    whole: the solution (by this function) of the frame without cuts, whose loads and springs a frame with cuts keeps;
    None for the whole frame itself.  A case whose stands cannot hold the vehicle has words in `tips` and a share of 0.
    Raises MechanismError where a piece of the frame is held by nothing.
    """
    hanging = replace(hanging_of(chassis, mesh), cases=(as_weighed(), *cases))
    if whole is not None:
        hanging = replace(hanging, carried=whole.carried)

    def balance(footing: Footing, h: Hanging) -> Equilibrium:
        system, wheels = h.suspended(), None
        if whole is not None:
            system = _own_body(system, whole)
            wheels = _kept(footing, system, whole)
        return CasesInBalance(footing, h.chassis, h.cases, system, h.suspensions, wheels=wheels).hung()

    return analyse(mesh, hanging, balance=balance)


def _kept(footing: Footing, system: Suspended, whole: Solution) -> OnWheels:
    """The axles under a footing with the set-up that they have under the whole frame."""
    before = whole.on_wheels()
    known = {link.name: float(u) for link, u in zip(before.system.links, before.set_up, strict=True)}
    on = system.only(link.name for link in system.links if link.kind != "stand")
    set_up = np.array([known[link.name] for link in on.links])
    return OnWheels(footing, on, problem_of(on, footing.flexibility, footing.lever), set_up, system)


def _own_body(system: Suspended, whole: Solution) -> Suspended:
    """The links with the body as stiff as it is on the whole frame."""
    rows, _ = whole.system.coupling
    soft = {link.name: float(rows[k] @ whole.footing.flexibility @ rows[k]) / (link.stiffens - 1)
            for k, link in enumerate(whole.system.links) if link.stiffens > 1}  # fmt: skip
    links = tuple(replace(x, flexibility=soft[x.name], stiffens=1.0) if x.name in soft else x for x in system.links)
    return replace(system, links=links) if soft else system
