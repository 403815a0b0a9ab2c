"""What is drawn and written about the walls of a frame: greatest values, supports, forces, names, loads, stations."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from ladderfe.cases import LineMass, Spring
from ladderfe.checks import Findings
from ladderfe.mesh.rails import rail_point
from ladderfe.report.frame_walls import VALUES
from ladderfe.report.scene import Load, Mark, Name, Support

__all__ = ["forces", "loads", "marks", "names", "stations", "supports"]

Array = NDArray[np.float64]

#: What a picture shows -> the criteria of the rows that tell its greatest value.
CRITERIA: dict[str, tuple[str, ...]] = {
    "utilisation": ("bending", "web shear", "von Mises"),
    "von-mises": ("von Mises",),
    "bending": ("bending",),
    "shear": (),
}
#: Values this near to the greatest, as a part of it, are alike; places this near, mm, are one.
SAME, NEAR = 1e-9, 1e-6


def marks(
    findings: Findings, case: str, what: str, values: Array, places: tuple[tuple[str, ...], tuple[str, ...], Array]
) -> tuple[Mark, ...]:
    """The corners that the tables tell: where several are alike, the one of the governing row."""
    parts, walls, along = places
    told = next((u for u in findings.utilisations if u.case == case and u.criterion in CRITERIA[what]), None)
    out = []
    for word, sign in (("greatest", 1.0), ("lowest", -1.0))[: 2 if VALUES[what][2] == "signed" else 1]:
        top = float((sign * values).max())
        alike = np.argwhere(sign * values >= top - SAME * abs(top))
        mine = [
            k
            for k, (q, corner) in enumerate(alike)
            if told is not None and (parts[q], walls[q]) == (told.part, told.wall)
            and abs(along[q, corner] - told.along) < NEAR
        ]  # fmt: skip
        wall, corner = alike[mine[0] if mine else 0]
        out.append(Mark(word, int(wall), int(corner)))
    return tuple(out)


def stations(findings: Findings) -> tuple[float, ...]:
    """Both ends of the rails, axles and crossmembers."""
    c = findings.chassis
    rail = c.rails[1]
    marks = {rail.start, rail.end, *(a.station for a in c.axles), *(m.station_right for m in c.crossmembers)}
    return tuple(sorted(marks))


def supports(findings: Findings, case: int) -> tuple[Support, ...]:
    """The seats of all springs; one that pulls the frame down hangs on it."""
    s = findings.solution
    force = s.support_forces[: len(s.springs), case]
    hangs = force < -SAME * float(np.abs(force).max(initial=0.0))
    return tuple(Support(p, hangs=bool(hangs[k])) for k, x in enumerate(s.springs) for p in _seats(findings, x))


def _seats(findings: Findings, spring: Spring) -> list[tuple[float, float, float]]:
    """Where a spring sits on the frame."""
    mesh = findings.solution.mesh
    points = [mesh.nodes[mesh.places[n].node] + mesh.places[n].arm for n, _ in spring.seats]
    return [(float(x), float(y), float(z)) for x, y, z in points]


def forces(findings: Findings, case: int) -> tuple[Name, ...]:
    """What each spring brings in all, told once in the middle between its seats."""
    s, out = findings.solution, []
    for k, spring in enumerate(s.springs):
        seats = np.array(_seats(findings, spring))
        x, y, z = seats.mean(axis=0)
        both = " on both eyes" if len(seats) == 2 else " in all" if len(seats) > 2 else ""
        words = f"{spring.name.removesuffix(' spring')} {s.support_forces[k, case] / 1000:.2f} kN{both}"
        out.append(Name((float(x), float(y), float(z)), words, "force"))
    return tuple(out)


def names(findings: Findings) -> tuple[Name, ...]:
    """Rails by their sides, crossmembers by their names."""
    mesh, out = findings.solution.mesh, []
    ends = mesh.end_points()
    for part in mesh.parts:
        if part.kind == "rail":
            x, y, z = ends[part.first, 0]
            out.append(Name((float(x), float(y), float(z)), part.name.upper(), "side"))
        elif part.kind == "crossmember":
            own = ends[part.first : part.last].reshape(-1, 3)  # from the left rail to the right one
            middle = (own[0, 1] + own[-1, 1]) / 2
            x, z = (float(np.interp(middle, own[:, 1], own[:, i])) for i in (0, 2))
            out.append(Name((x, float(middle), z), part.name))
    return tuple(out)


def loads(findings: Findings, case: int) -> tuple[Load, ...]:
    """The body's weight on the right rail, where it hides nothing, and every listed mass."""
    s, c = findings.solution, findings.chassis
    right = c.rails[1]
    if s.cases[case].gravity == 0:  # a couple alone balances itself: what is left of inertia is rounding
        return ()
    out: list[Load] = []
    for line in s.carried.lines:
        if line.side != right.side:
            continue
        x = np.linspace(line.start, line.end, max(2, round((line.end - line.start) / 150) + 1))
        points = np.array([rail_point(right, float(v)) for v in x])
        mass = np.interp(x, [line.start, line.end], [line.at_start, line.at_end])
        bx, by, bz, ax, ay, az = s.field[:, case]
        y, height = points[:, 1], points[:, 2] if line.height is None else line.height
        q = mass * np.stack([bx + ay * height - az * y, by + az * x - ax * height, bz + ax * y - ay * x])
        if np.abs(q).max() > 0:
            other = next(o for o in s.carried.lines if (o.name, o.side) == (line.name, "left"))
            label = _line_words(line, other)
            out.append(Load(points=points, vectors=q.T, label=label))
    for m in s.carried.masses:
        field = s.field if m.aboard else s.later_field
        force = m.mass * (field[:3, case] + np.cross(field[3:, case], m.centre))
        if np.abs(force).max() > 0:
            label = f"{m.name} {1000 * m.mass:.0f} kg"
            out.append(Load(points=np.array([m.centre]), vectors=force[None], label=label))
    return tuple(out)


def _line_words(right: LineMass, left: LineMass) -> str:
    """A line load in kg/m, as the page has it: that of each rail, or of both where they differ."""
    told = [f"{1e6 * x.at_start:.1f}" + (f" to {1e6 * x.at_end:.1f}" if x.at_end != x.at_start else "")
            for x in (left, right)]  # fmt: skip
    if told[0] == told[1]:
        return f"{right.name}\n{told[0]} kg/m on each rail"
    return f"{right.name}\nleft {told[0]}, right {told[1]} kg/m"
