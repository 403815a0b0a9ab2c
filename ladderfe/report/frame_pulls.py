"""What a case applies to the frame beside weight, as arrows: pulls at mounts, jacks, stands, pads, links of axles."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.checks import Findings
from ladderfe.checks.ground import held_up
from ladderfe.report.scene import Load, Name

__all__ = ["applied", "lifted"]

Array = NDArray[np.float64]
#: Forces below this part of the greatest drawn are left out.
SMALL = 1e-3


def applied(findings: Findings, case: int) -> tuple[Load, ...]:
    """One arrow for every place where a pull, a support or a link acts, with its force in kN; couples and what springs
    bring are told elsewhere."""
    s = findings.solution
    at: dict[tuple[float, float, float], tuple[str, Array]] = {}
    named = {name for c in s.cases for name in c.stands}
    for k in range(len(s.springs), len(s.system.seats)):
        seat, force = s.system.seats[k], s.support_forces[k, case]
        if seat.name == "body" or not force:
            continue
        label = seat.name if seat.name in named else _label(seat.name)
        for place, wrench in seat.places:
            if not any(wrench[:3]):  # a couple
                continue
            p = s.mesh.places[place]
            x, y, z = (float(v) for v in s.mesh.nodes[p.node] + np.array(p.arm))
            before = at.get((x, y, z), (label, np.zeros(3)))
            at[x, y, z] = (before[0] if before[1].any() else label, before[1] + force * np.array(wrench[:3]))
    top = max((float(np.abs(f).max()) for _, f in at.values()), default=0.0)
    return tuple(
        Load(
            points=np.array([point]),
            vectors=f[None],
            label=f"{label} {np.linalg.norm(f) / 1000:.2f} kN",
            applied=True,
        )
        for point, (label, f) in at.items()
        if float(np.abs(f).max()) > SMALL * top
    )


def lifted(findings: Findings, case: int) -> tuple[Name, ...]:
    """Stands that the frame has come off, which have no arrow."""
    mesh, out = findings.solution.mesh, []
    for h in held_up(findings.solution):
        if h.case == case and h.lifted:
            p = mesh.places[h.place]
            x, y, z = (float(v) for v in mesh.nodes[p.node] + np.array(p.arm))
            out.append(Name((x, y, z), f"{h.place} lifted", "force"))
    return tuple(out)


def _label(entry: str) -> str:
    """What an entry is called in a picture: the mount of a pull, or the axle's link, whatever it brings there."""
    if ", along " in entry:
        return entry.split(", along ")[0]
    axle, *_, side = entry.split()
    kind = next((k for k in ("stop", "damper") if f" {k} " in entry), "link")
    return f"{axle} {side} {kind}" if side in ("left", "right") else f"{axle} track bar"
