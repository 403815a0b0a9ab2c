"""Statics of a vehicle from the types of its chassis alone: masses, levers, Newton and Euler, rigid frames on springs.

Reached through the fixture `statics` (tests/conftest.py).  Nothing here imports the load cases, the solver's load
vectors or its self-check.  Of the mesh only the places and areas of members are taken, of the carried masses only how
large the line masses are.  mm, N, t; wrenches (6,) are force and moment about the datum.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

import numpy as np

from ladderfe.chassis import CaseSpec, Mount, Towing
from ladderfe.sections import properties

G = 9806.65  # mm/s2
WHEELS = ("front left", "front right", "rear left", "rear right")
SIMPSON = ((0.0, 1 / 6), (0.5, 4 / 6), (1.0, 1 / 6))  # exact to the third degree


def wrench(places, forces):
    """(6,) of forces (k, 3) at places (k, 3)."""
    places, forces = np.atleast_2d(places).astype(float), np.atleast_2d(forces).astype(float)
    return np.concatenate([forces.sum(axis=0), np.cross(places, forces).sum(axis=0)])


@dataclass(frozen=True)
class Masses:
    """Points that have the mass (t), centre and inertia of what they stand for."""

    mass: np.ndarray
    place: np.ndarray
    aboard: np.ndarray

    @property
    def total(self):
        return self.mass.sum()

    @property
    def centre(self):
        return self.mass @ self.place / self.total

    @property
    def tensor(self):
        """(3, 3) about the centre: sum of m (r.r 1 - r r)."""
        r = self.place - self.centre
        return np.einsum("k,k,ij->ij", self.mass, (r * r).sum(axis=1), np.eye(3)) - np.einsum(
            "k,ki,kj->ij", self.mass, r, r
        )

    def plus(self, mass, place):
        """With another point that was not aboard."""
        more = np.r_[self.mass, mass], np.vstack([self.place, place]), np.r_[self.aboard, False]
        return Masses(*more)

    def weight(self, g=1.0):
        """(6,) at so many g."""
        return wrench(self.place, np.outer(self.mass, [0, 0, -G * g]))


def masses(chassis, s, *, later=True):
    """Everything above the springs: members, line masses, listed masses (those not aboard when weighed, if `later`)."""
    rows = [*_members(s.mesh), *(p for line in s.carried.lines for p in _line(chassis, line))]
    rows += [(m.mass, *m.centre, m.aboard) for m in chassis.masses if m.aboard or later]
    t = np.array(rows, float)
    return Masses(t[:, 0], t[:, 1:4], t[:, 4] > 0)


def _members(mesh):
    """Straight rods along their centroids."""
    for (a, b), axes, k in zip(mesh.end_points(), mesh.axes, mesh.section_of, strict=True):
        q = properties(mesh.sections[k])
        m = q.metal * np.linalg.norm(b - a) * mesh.material.density
        for f, w in SIMPSON:
            yield m * w, *(a + f * (b - a) + q.yc * axes[1] + q.zc * axes[2]), True


def _line(chassis, line):
    """A line mass between the kinks of its rail, at its own height; it lies `outward`, square to the rail in plan."""
    rail = next(r for r in chassis.rails if r.side == line.side)
    x, half, z = np.array([(p.station, p.half_spacing, p.height) for p in rail.path]).T
    knots = sorted({line.start, line.end, *x[(x > line.start) & (x < line.end)]})
    for a, b in itertools.pairwise(knots):
        slope = (np.interp(b, x, half) - np.interp(a, x, half)) / (b - a)
        away = line.outward * np.array([-slope, 1.0]) / np.hypot(1, slope)
        for f, w in SIMPSON:
            at = a + f * (b - a)
            m = line.at_start + (line.at_end - line.at_start) * (at - line.start) / (line.end - line.start)
            y = rail.sign * (np.interp(at, x, half) + away[1])
            height = np.interp(at, x, z) if line.height is None else line.height
            yield m * w * (b - a), at + away[0], y, height, True


def unsprung(chassis):
    """Mass and place of both axles' own masses."""
    return [(a.unsprung, np.array([a.station, 0, chassis.ground + a.tyre_radius])) for a in chassis.axles]


def vehicle(chassis, s, *, later=True):
    """Sprung and unsprung masses together."""
    out = masses(chassis, s, later=later)
    for m, r in unsprung(chassis):
        out = out.plus(m, r)
    return out


def feet(chassis, *, hub=False):
    """(4, 3) where the ground, or an edge through the wheels' centres, pushes."""
    return np.array(
        [[a.station, y * a.track / 2, chassis.ground + hub * a.tyre_radius] for a in chassis.axles for y in (-1, 1)]
    )


def spring_places(chassis):
    """(4, 3) where the resultant of each side's springs acts, of an independent wheel at the wheel; any height."""
    width = [a.spring_base if a.kind == "beam" else a.track for a in chassis.axles]
    return np.array(
        [[a.station, y * w / 2, 0] for a, w in zip(chassis.axles, width, strict=True) for y in (-1, 1)], float
    )


def newton_euler(body, loads):
    """Body field (b, a) of a free body under loads (6,) beside its weight: force on a mass m at r is m (b + a x r).

    a_c = F/m + g, alpha = I^-1 M_c; the field is g less the acceleration a_c + alpha x (r - c).
    """
    c = body.centre
    acceleration = loads[:3] / body.total + [0, 0, -G]
    alpha = np.linalg.solve(body.tensor, loads[3:] - np.cross(c, loads[:3]))
    return np.concatenate([[0, 0, -G] - acceleration + np.cross(alpha, c), -alpha])


def left_over(chassis, s, name, *, outside=(), hub=False):
    """(6,) of the whole vehicle in a case on the ground, over weight and weight x wheelbase: masses in a uniform field,
    the ground's forces and those from `outside`, pairs of place and force; `hub`: the ground holds at wheel centres."""
    k = s.case(name)
    body = vehicle(chassis, s)
    total = wrench(body.place, np.outer(body.mass, s.field[:3, k])) + wrench(feet(chassis, hub=hub), s.ground[:, :, k])
    total += sum((wrench(p, f) for p, f in outside), np.zeros(6))
    size = body.total * G
    return total / np.r_[[size] * 3, [size * (chassis.axles[1].station - chassis.axles[0].station)] * 3]


def mount(chassis, name):
    m = next(m for m in chassis.mounts if m.name == name)
    return np.array([m.station, m.y, m.height])


def entry(s, name):
    """(6,) resultant of a unit of a row of the frame about the datum, by the unknowns that the row really moves."""
    k = s.supports.index(name)
    return s.footing.motions.T @ s.footing.rows[:, k]


def rigid(chassis):
    """The same with steel so stiff that the frame does not bend (1e9 times), for closed forms of a rigid body.  Joints
    must be rigid too."""
    return replace(chassis, material=replace(chassis.material, youngs_modulus=1e9 * chassis.material.youngs_modulus))


def fitted(made, chassis=None, **changes):
    """A plain ladder with coupling, winch, two recovery eyes and four pads, on springs that hold both ways."""
    end = chassis or made.chassis(axles=tuple(made.axle(n, x, pull=np.inf) for n, x in ENDS))
    half = {r.side: (lambda x, r=r: np.interp(x, *np.array([(p.station, p.half_spacing) for p in r.path]).T))
            for r in end.rails}  # fmt: skip
    mounts = [
        Mount(name="ball", part="rear", station=end.crossmembers[-1].station_left + 90, y=0.0, height=-60.0),
        Mount(name="winch", part="front", station=end.crossmembers[0].station_left - 60, y=0.0, height=40.0),
    ]
    for name, x, z in (("eye", 60.0, 10.0), ("front pad", 1100.0, -75.0), ("rear pad", 2900.0, -75.0)):
        mounts += [
            Mount(name=f"{side} {name}", part=f"{side} rail", station=x, y=float(sign * half[side](x)), height=z)
            for side, sign in (("left", -1), ("right", 1))
        ]
    kept = tuple(m for m in end.mounts if m.name not in [x.name for x in mounts])
    return replace(end, **({"mounts": (*kept, *mounts), "towing": Towing(coupling="ball", winch=("winch",))} | changes))


ENDS = (("front", 700.0), ("rear", 3300.0))
PADS = ("left front pad", "right front pad", "left rear pad", "right rear pad")


def every_kind():
    """One case at least of every kind, gentle enough that a vehicle of usual height stands through."""
    c = CaseSpec
    return (
        c(name="static", kind="static"),
        c(name="amplified", kind="amplified", factor=2.0),
        c(name="bounce", kind="bounce", factor=2.5),
        c(name="front bounce", kind="bounce", factor=2.5, axle="front"),
        c(name="limit twist", kind="limit twist", wheels=("front left",)),
        c(name="bump", kind="one wheel bump", factor=1.3, wheels=("rear right",)),
        c(name="raised", kind="raised", wheels=("rear left",), height=60.0),
        c(name="cross-axle", kind="cross-axle", wheels=("front left", "rear right"), height=80.0),
        c(name="left turn", kind="cornering", side="left", acceleration=0.4),
        c(name="right turn", kind="cornering", side="right", acceleration=1.5),
        c(name="braking", kind="braking", acceleration=0.8),
        c(name="drive-off", kind="drive-off", acceleration=0.5, axle="rear"),
        c(name="pothole", kind="pothole", factor=4.5, wheels=("front left",), height=150.0),
        c(name="kerb", kind="kerb strike", factor=1.4, axle="both", side="right"),
        c(name="one kerb", kind="kerb strike", factor=1.4, axle="rear", side="left"),
        c(name="nose", kind="nose weight", at=("ball",), mass=0.08, factor=2.5),
        c(name="drawbar", kind="drawbar pull", at=("ball",), force=9e3),
        c(name="drawbar push", kind="drawbar pull", at=("ball",), force=-9e3),
        c(name="winch", kind="winch", at=("winch",), force=6e3, angle=30.0),
        c(name="dug in", kind="winch", at=("winch",), force=9e3, angle=-30.0, against="dug in"),
        c(name="recovery", kind="recovery", at=("left eye",), force=2e4, angle=15.0, against="inertia"),
        c(name="bridle", kind="recovery", at=("left eye", "right eye"), force=2e4, angle=10.0, up=8.0,
          against="inertia", bridle=700.0),
        c(name="to the ball", kind="recovery", at=("winch",), force=5e3, against="ball"),
        c(name="jack", kind="jack", at=("left front pad",), factor=1.1),
        c(name="lift", kind="two-post lift", at=PADS, factor=1.1),
        c(name="stands", kind="stands", at=PADS, heights=(("left front pad", -0.5),)),
        c(name="whip", kind="rear overhang whip", factor=3.5, at=("ball",), mass=0.08),
        c(name="both", kind="combination", of=(("braking", 1.0), ("left turn", 0.5), ("bounce", 1.2))),
    )  # fmt: skip
