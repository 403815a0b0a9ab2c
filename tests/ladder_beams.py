"""The ladders of tests/data/ladders.toml as beams, loaded and read as scripts/ladder-solids does its solids.

Reached through the fixture `ladder_beams` (tests/conftest.py).  N, mm, rad.
"""

from __future__ import annotations

import csv
import tomllib
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

import numpy as np

from ladderfe.chassis import (
    Axle,
    Body,
    Chassis,
    Criteria,
    Crossmember,
    Material,
    PathPoint,
    Rail,
    Span,
)
from ladderfe.checks.coefficients import coefficients
from ladderfe.elements import LineLoads, Members
from ladderfe.mesh import build_mesh
from ladderfe.sections import Box, Channel, properties, sectorial
from ladderfe.solve import frame_of
from ladderfe.solve.supports import factorised

DATA = Path(__file__).parent / "data"
PATCH = 40.0
BENDING, TWIST, SIDE = 10000.0, 1000.0, 1000.0
SIX = ("N", "Vy", "Vz", "T", "My", "Mz")
CROSS = {"channel rearward": "-y", "channel downward": "-z"}  # y' of a crossmember points forward


def entries(data: Path = DATA) -> dict[str, dict]:
    """Name -> sizes of every ladder."""
    with (data / "ladders.toml").open("rb") as file:
        return {entry["name"]: entry for entry in tomllib.load(file)["ladder"]}


def solved_rows(data: Path = DATA) -> dict[str, list[dict]]:
    """Name -> rows that the solids gave, numbers as floats."""
    out: dict[str, list[dict]] = {}
    with (data / "ladders.csv").open(newline="") as file:
        for row in csv.DictReader(file):
            for key in ("x", "y", "z", "value", "error"):
                row[key] = float(row[key]) if row[key] else np.nan
            out.setdefault(row["ladder"], []).append(row)
    return out


def rail_shape(rail: dict) -> Box | Channel:
    """The right rail's shape."""
    sizes = {k: rail[k] for k in ("depth", "width", "top", "bottom")}
    if rail["kind"] == "box":
        return Box(**sizes, minus=rail["web"], plus=rail["far"])
    return Channel(**sizes, web=rail["web"], opens="-y")


def cross_shape(c: dict) -> Box | Channel:
    if c["kind"] == "box":
        walls = dict.fromkeys(("top", "bottom", "minus", "plus"), c["wall"])
        return Box(depth=c["depth"], width=c["width"], **walls)
    walls = dict.fromkeys(("web", "top", "bottom"), c["wall"])
    return Channel(depth=c["depth"], width=c["width"], **walls, opens=CROSS[c["kind"]])


def chassis(entry: dict, *, without: int | None = None) -> Chassis:
    """The ladder as a chassis; `without` leaves out a crossmember, counted from 1."""
    shape, half = rail_shape(entry["rail"]), entry["spacing"] / 2
    if isinstance(shape, Channel):
        half += entry["rail"]["web"] / 2 - entry["rail"]["width"] / 2  # spacing is that of the webs
    path = (PathPoint(0.0, half, 0.0), PathPoint(float(entry["length"]), half, 0.0))

    def rail(side: str, own: Box | Channel) -> Rail:
        return Rail(side=side, path=path, spans=(Span(start=0.0, end=float(entry["length"]), shape=own),))

    kept = [c for k, c in enumerate(entry["crossmembers"], 1) if k != without]
    axle = {"load": 0.0, "unsprung": 0.0, "track": 1000.0, "spring_base": 2 * half, "rate": 1.0}
    seats = (PATCH / 2, entry["length"] - PATCH / 2)
    return Chassis(
        title=entry["name"],
        rails=(rail("left", shape.mirrored()), rail("right", shape)),
        crossmembers=tuple(
            Crossmember(
                name=f"crossmember {k}", station_left=c["station"], station_right=c["station"],
                height_left=c.get("height", 0.0), height_right=c.get("height", 0.0), shape=cross_shape(c),
            ) for k, c in enumerate(kept, 1)
        ),
        outriggers=(), mounts=(), masses=(),
        axles=tuple(
            Axle(name=n, station=s, seats=((s, 1.0),), **axle) for n, s in zip(("front", "rear"), seats, strict=True)
        ),
        body=Body(start=0.0, end=float(entry["length"]), split=entry["length"] / 2),
        material=Material(), cases=(), criteria=Criteria(),
    )  # fmt: skip


@dataclass(frozen=True, eq=False)
class Beams:
    """A ladder as beams: as they are "used", with "six unknowns" and six springs a joint, or "rigid, six unknowns"."""

    entry: dict
    model: str = "used"
    without: int | None = None

    @cached_property
    def mesh(self):
        """With nodes at both ends of the load patches: mean movements are read off the nodes, so that what a load bends
        inside its own member must be small."""
        extra = [x + d for x in self.places.values() for d in (-PATCH / 2, PATCH / 2)]
        built = chassis(self.entry, without=self.without)
        if self.model.startswith("rigid"):
            built = replace(built, joint_level=np.inf)
        if self.model == "six unknowns":
            built = replace(built, joint_model="springs")
        return build_mesh(built, extra=extra)

    @cached_property
    def factor(self):
        frame = frame_of(self.mesh)
        if "six unknowns" in self.model:
            none, soft = np.zeros(0, dtype=np.int64), tuple(s for s in frame.soft if s.direction < 6)
            frame = replace(
                frame, members=Members.of(frame.beams), extra_unknowns=none, follow=None, soft=soft, energies=()
            )
        return factorised(frame)

    @cached_property
    def shape(self):
        return rail_shape(self.entry["rail"])

    @cached_property
    def y_ref(self) -> float:
        """y of the right rail's reference line."""
        return float(self.mesh.nodes[self.mesh.ends[self.mesh.part("right rail").first, 0], 1])

    @cached_property
    def webs(self) -> list[float]:
        """y of the right rail's web mid-lines from its reference line."""
        s = self.shape
        if isinstance(s, Box):
            return [-(s.width - s.minus) / 2, (s.width - s.plus) / 2]
        return [(s.width - s.web) / 2]

    @cached_property
    def load_y(self) -> float:
        return self.y_ref + float(np.mean(self.webs))

    def patch(self, middle: float, direction: int, side: int) -> LineLoads:
        """A unit force along the vehicle's y (1) or z (2) over a patch on a rail (side 1 right, -1 left)."""
        part = self.mesh.part("right rail" if side > 0 else "left rail")
        s = self.shape
        if direction == 2:
            points = [(side * y, 0.0) for y in self.webs]
        else:
            points = [(0.0, (s.depth - s.top) / 2), (0.0, -(s.depth - s.bottom) / 2)]
        a, b = middle - PATCH / 2, middle + PATCH / 2
        rows = []
        for m in part.members:
            lo, hi = self.mesh.along[m]
            if min(hi, b) > max(lo, a):
                rows += [(m, max(lo, a) - lo, min(hi, b) - lo, p) for p in points]
        force = np.zeros((len(rows), 3, 3, 1))
        force[:, 0, direction, 0] = 1 / PATCH / len(points)
        m, start, end, point = zip(*rows, strict=True)
        return LineLoads(np.array(m), np.array(start), np.array(end), np.array(point), force)

    @cached_property
    def places(self) -> dict[str, float]:
        n = self.entry["length"]
        return {"front": PATCH / 2, "middle": n / 2, "rear": n - PATCH / 2}

    @cached_property
    def unit(self) -> dict[str, tuple[np.ndarray, LineLoads]]:
        """Unit patch loads: nodal vector and line loads; "front up right" and so on."""
        out = {}
        for name, x in self.places.items():
            for way, direction in (("up", 2), ("right", 1)):
                for side in (1, -1):
                    lines = self.patch(x, direction, side)
                    ends = np.zeros((len(self.mesh.ends), 16, 1))
                    np.add.at(ends, lines.member, self.factor.frame.kernels.each_equivalent(lines))
                    vector = self.factor.frame.gather(ends)[:, 0]
                    out[f"{name} {way} {'right' if side > 0 else 'left'}"] = vector, lines, ends
        return out

    def combined(self, parts: dict[str, float]) -> Answer:
        vector = sum(f * self.unit[n][0] for n, f in parts.items())
        ends = sum(f * self.unit[n][2] for n, f in parts.items())
        lines = LineLoads.join([replace(self.unit[n][1], force=f * self.unit[n][1].force) for n, f in parts.items()])
        u = self.factor.solve(vector[:, None])
        u = u + self.factor.refinement(vector[:, None], u)
        moved = self.factor.frame.member_movements(u)
        return Answer(self, u[:, 0], moved, self.factor.frame.end_forces(moved, ends), lines)

    def both(self, parts: dict[str, float], left: float) -> Answer:
        """The same on both rails, on the left times `left`."""
        return self.combined(
            {f"{n} right": f for n, f in parts.items()} | {f"{n} left": left * f for n, f in parts.items()}
        )

    @cached_property
    def bending(self) -> Answer:
        return self.both({"front up": BENDING / 2, "rear up": BENDING / 2, "middle up": -BENDING}, 1.0)

    @cached_property
    def twist(self) -> Answer:
        return self.both({"front up": TWIST, "rear up": -TWIST}, -1.0)

    @cached_property
    def side(self) -> Answer:
        return self.both({"front right": -SIDE / 2, "rear right": -SIDE / 2, "middle right": SIDE}, 1.0)


@dataclass(frozen=True, eq=False)
class Answer:
    """One case: movements, member movements and end forces."""

    beams: Beams
    u: np.ndarray
    moved: np.ndarray
    forces: np.ndarray
    lines: LineLoads

    def mean(self, name: str, left: float) -> float:
        """Mean movement of a patch; right and left averaged with the sign that the case has."""
        unit = self.beams.unit
        return float(unit[f"{name} right"][0] @ self.u + left * unit[f"{name} left"][0] @ self.u) / 2

    @property
    def sag(self) -> float:
        return (self.mean("front up", 1) + self.mean("rear up", 1)) / 2 - self.mean("middle up", 1)

    @property
    def twist_stiffness(self) -> float:
        y = self.beams.load_y
        return TWIST * 2 * y / ((self.mean("front up", -1) - self.mean("rear up", -1)) / y)

    @property
    def side_stiffness(self) -> float:
        ends = (self.mean("front right", 1) + self.mean("rear right", 1)) / 2
        return 2 * SIDE / (self.mean("middle right", 1) - ends)

    def eight(self, part: str, along: float) -> tuple[int, np.ndarray]:
        """Member and its resultants at a place along a part."""
        mesh = self.beams.mesh
        m = next(m for m in mesh.part(part).members if mesh.along[m, 0] - 1e-6 <= along <= mesh.along[m, 1] + 1e-6)
        x = (along - mesh.along[m, 0]) / (mesh.along[m, 1] - mesh.along[m, 0]) * mesh.lengths[m]
        kernels = self.beams.factor.frame.kernels
        return m, kernels.resultants(self.moved, self.forces, self.lines, np.array([m]), np.array([x]))[0, :, 0]

    def resultants(self, part: str, along: float, y_from_ref: float) -> dict[str, float]:
        """N Vy Vz T My Mz about a point of the section `y_from_ref` from the reference line."""
        m, r = self.eight(part, along)
        q = properties(self.beams.mesh.sections[int(self.beams.mesh.section_of[m])])
        n, vy, vz, t, my, mz = r[:6]
        torque = t + (q.ys - y_from_ref) * vz - q.zs * vy
        return dict(zip(SIX, (n, vy, vz, torque, my + q.zc * n, mz - (q.yc - y_from_ref) * n), strict=True))

    def stress(self, x: float, y: float, z: float) -> float:
        """Axial stress at a place (y from the middle of the ladder) of the right rail's mid-lines."""
        m, r = self.eight("right rail", x)
        b, mesh = self.beams, self.beams.mesh
        section = mesh.sections[int(mesh.section_of[m])]
        q = properties(section)
        at = np.array([y - b.y_ref, z])
        if isinstance(b.shape, Box):
            c = coefficients(b.shape, section).normal
            p = q.points
            basis = np.stack([np.ones(len(p.y)), p.y, p.z, p.y * p.z], axis=1)
            fit = np.linalg.lstsq(basis, c, rcond=None)[0]
            return float(np.array([1, at[0], at[1], at[0] * at[1]]) @ fit @ r[:8])
        inverse = np.linalg.inv(np.array([[q.Iyy, q.Iyz], [q.Iyz, q.Izz]]))
        a, c = inverse @ [r[4], -r[5]]
        plane = r[0] / q.A + a * (at[1] - q.zc) + c * (at[0] - q.yc)
        return float(plane + r[6] * sectorial(section, [at])[0] / q.Iw)

    def _inside(self, part: str, x: float) -> np.ndarray:
        """(8,) movement of a rail's reference line at a station: ux uy uz rx ry rz and what follows."""
        mesh = self.beams.mesh
        m = next(m for m in mesh.part(part).members if mesh.along[m, 0] <= x <= mesh.along[m, 1])
        at = self.beams.factor.frame.kernels.influence(np.array([m]), np.array([x - mesh.along[m, 0]]))[0]
        return at @ self.moved[m, :, 0]

    def greatest_moment(self) -> float:
        """Greatest bending moment of the right rail in the vertical plane, by size, over all member ends."""
        return max(
            abs(self.resultants("right rail", x, 0.0)["My"])
            for m in self.beams.mesh.part("right rail").members
            for x in self.beams.mesh.along[m] + np.array([1e-3, -1e-3])
        )

    def rigid(self, case: str) -> tuple[float, float]:
        """Turn about x, and height, that the study takes off: in twist where the rail's ends lie level, in bending at
        the ends."""
        if case == "twist":
            return (self.mean("front up", -1) + self.mean("rear up", -1)) / 2 / self.beams.load_y, 0.0
        return 0.0, (self.mean("front up", 1) + self.mean("rear up", 1)) / 2

    def turn(self, case: str, x: float) -> float:
        """Turn of the right rail's web about x."""
        return self._symmetric(case, x)[3] - self.rigid(case)[0]

    def height(self, case: str, x: float, y: float) -> float:
        """Vertical movement of a place y from the ladder's middle that turns with the right rail."""
        own, (turn, ends) = self._symmetric(case, x), self.rigid(case)
        return own[2] + (y - self.beams.y_ref) * own[3] - turn * y - ends

    def _symmetric(self, case: str, x: float) -> np.ndarray:
        """The right rail's movement at a station with the case's symmetry and level ends: (8,), only uz and rx kept."""
        right, left = self._inside("right rail", x), self._inside("left rail", x)
        same = 1.0 if case == "bending" else -1.0
        out = np.zeros(8)
        out[2], out[3] = (right[2] + same * left[2]) / 2, (right[3] - same * left[3]) / 2
        return out


#: Case, quantity of the solids' rows -> what is compared.
COMPARED = {
    ("bending", "sag"): "sag",
    ("bending", "mean stress"): "flange stress in bending",
    ("bending", "edge stress"): "edge stress in bending",
    ("bending", "uz"): "flange tips in bending",
    ("twist", "stiffness"): "torsional stiffness",
    ("twist", "My"): "rail moment in twist",
    ("twist", "T"): "crossmember torque",
    ("twist", "end My"): "crossmember end moment",
    ("twist", "edge stress"): "edge stress in twist",
    ("twist", "uz"): "flange tips in twist",
    ("side", "stiffness"): "lateral stiffness",
    ("without", "loss"): "loss without a crossmember",
}
CROSS_ONLY, RAIL_ONLY = {"crossmember torque"}, {"rail moment in twist"}


@dataclass(frozen=True)
class Comparison:
    """Worst difference of a quantity, beam over solid, in % of the largest value (of the loss in points), how much of
    it the solids' own error may be, and where."""

    quantity: str
    worst: float
    own: float
    place: tuple[float, float, float]

    @property
    def beyond(self) -> float:
        """Size of the difference beyond the solids' own error."""
        return max(0.0, abs(self.worst) - self.own)


def compare(entry: dict, rows: list[dict], model: str = "used") -> list[Comparison]:
    """The beams of a ladder against its solids, quantity by quantity."""
    whole, without = Beams(entry, model), Beams(entry, model, entry["removed"])
    channel = entry["rail"]["kind"] == "channel"
    found: dict[str, list[tuple[float, float, float, tuple[float, float, float]]]] = {}
    for row in rows:
        name = COMPARED.get((row["case"], row["quantity"]))
        rail = row["part"] == "right rail"
        if name is None or (name in CROSS_ONLY and rail) or (name in RAIL_ONLY and not rail):
            continue
        if channel and name == "crossmember end moment":  # small; and where flanges meet the end is elsewhere
            continue
        place = (row["x"], row["y"], row["z"])
        found.setdefault(name, []).append((beam_value(whole, without, row), row["value"], row["error"], place))
    out = []
    for name, values in found.items():
        size = 1.0 if name.startswith("loss") else max(abs(v[1]) for v in values)
        if name in RAIL_ONLY:  # the largest stands at the joints, where no cut was taken
            size = max(size, whole.twist.greatest_moment())
        beam, solid, error, place = max(values, key=lambda v: abs(v[0] - v[1]) - v[2])
        out.append(Comparison(name, 100 * (beam - solid) / size, 100 * error / size, place))
    return out


def beam_value(whole: Beams, without: Beams, row: dict) -> float:
    """What the beams say to a row of the solids."""
    case, quantity, place = row["case"], row["quantity"], (row["x"], row["y"], row["z"])
    if case == "without":
        return 1 - without.twist.twist_stiffness / whole.twist.twist_stiffness
    answer: Answer = getattr(whole, case)
    if quantity == "stiffness":
        return answer.twist_stiffness if case == "twist" else answer.side_stiffness
    if quantity == "sag":
        return answer.sag
    if quantity == "uz":
        return answer.height(case, *place[:2])
    if quantity.endswith("stress"):
        return answer.stress(*place)
    six = quantity.removeprefix("end ")
    if row["part"] == "right rail":
        return answer.resultants("right rail", place[0], whole.entry["spacing"] / 2 - whole.y_ref)[six]
    return answer.resultants(row["part"], place[1], 0.0)[six]
