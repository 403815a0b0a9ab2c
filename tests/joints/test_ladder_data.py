"""The ladders' rows (tests/data/ladders.csv, described in tests/data/README.md) are well formed and in equilibrium.

No solids are run: the resultants recorded on the cuts must balance the loads, piece by piece, by statics alone.
"""

from __future__ import annotations

import csv
import tomllib
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

DATA = Path(__file__).parents[1] / "data"
with (DATA / "ladders.toml").open("rb") as file:
    LADDERS = {entry["name"]: entry for entry in tomllib.load(file)["ladder"]}
with (DATA / "ladders.csv").open(newline="") as file:
    ROWS = list(csv.DictReader(file))
SOLVED = list(dict.fromkeys(row["ladder"] for row in ROWS))
SIX = ("N", "Vy", "Vz", "T", "My", "Mz")
PATCH = 40.0  # mm, length of the loads along the rail
FORCE = 1000.0  # N, of the cases twist and side
ROUNDED = 3e-4  # five figures are kept: 5e-5 of each value at most, of four parts with their arms


def six(name, case, part, station=None):
    """Point and resultants recorded on a cut; those left out vanish."""
    rows = [r for r in ROWS if (r["ladder"], r["case"], r["part"]) == (name, case, part) and r["quantity"] in SIX]
    rows = [r for r in rows if station is None or float(r["x"]) == pytest.approx(station, abs=0.01)]
    found = {row["quantity"]: float(row["value"]) for row in rows}
    point = np.array([float(rows[0][axis]) for axis in "xyz"]) if rows else np.zeros(3)
    return point, np.array([found.get(name, 0.0) for name in SIX])


def spread(values):
    """Force and moment from resultants whose member axes are the vehicle's."""
    return values[:3], values[3:]


def turned(values):
    """Force and moment in vehicle axes from a crossmember's resultants (x' = y, y' = -x)."""
    normal, vy, vz, torque, my, mz = values
    return np.array([-vy, normal, vz]), np.array([-my, torque, mz])


def load_points(ladder, case):
    """(point, force) of the loads on the right rail."""
    rail, length = ladder["rail"], ladder["length"]
    y = ladder["spacing"] / 2 + (rail["web"] - rail.get("far", rail["web"])) / 4
    if case == "twist":
        return [(np.array([x, y, 0.0]), np.array([0, 0, f])) for x, f in ((20, FORCE), (length - 20, -FORCE))]
    places = ((20, -FORCE / 2), (length / 2, FORCE), (length - 20, -FORCE / 2))
    z = (rail["bottom"] - rail["top"]) / 4
    return [(np.array([x, y, z]), np.array([0, f, 0])) for x, f in places]


@pytest.mark.parametrize("case", ["twist", "side"])
@pytest.mark.parametrize("name", SOLVED)
def test_pieces_of_rail_are_in_equilibrium(name, case):
    """Between two cuts: rail behind less rail before less crossmembers plus loads = 0, six equations.  Statics.

    A cut through the load in the middle is left out: how much of it lies on either side is a matter of the mesh.
    """
    ladder = LADDERS[name]
    parts = ladder["crossmembers"]
    clear = [(a["station"] + a["width"] / 2, b["station"] - b["width"] / 2) for a, b in pairwise(parts)]
    cuts = [sum(span) / 2 for span in clear]
    cuts = [x for x in cuts if case == "twist" or abs(x - ladder["length"] / 2) > PATCH / 2]
    for start, end in pairwise([None, *cuts, None]):
        sides = [(x, sign) for x, sign in ((start, -1.0), (end, 1.0)) if x is not None]
        parts = [(point, *(sign * v for v in spread(values)))
                 for x, sign in sides for point, values in [six(name, case, "right rail", x)]]
        low, high = start or 0.0, end or ladder["length"]
        own = [k for k, c in enumerate(ladder["crossmembers"], 1) if low < c["station"] < high]
        parts += [(point, *(-v for v in turned(values)))
                  for k in own for point, values in [six(name, case, f"crossmember {k}")]]
        parts += [(at, force, np.zeros(3)) for at, force in load_points(ladder, case) if low < at[0] < high]
        about = np.array([ladder["crossmembers"][own[0] - 1]["station"], ladder["spacing"] / 2, 0.0])
        forces = np.array([force for _, force, _ in parts])
        moments = np.array([moment + np.cross(at - about, force) for at, force, moment in parts])
        assert abs(forces.sum(axis=0)).max() <= ROUNDED * abs(forces).max()
        assert abs(moments.sum(axis=0)).max() <= ROUNDED * abs(moments).max()


@pytest.mark.parametrize("name", SOLVED)
def test_end_moments_follow_from_the_cuts(name):
    """Antisymmetry: no bending moment of a crossmember on the ladder's middle, so My = Vz y and Mz = -Vy y."""
    for case, moment, shear, sign in (("twist", "end My", 2, 1), ("side", "end Mz", 1, -1)):
        ends = [r for r in ROWS if (r["ladder"], r["case"], r["quantity"]) == (name, case, moment)]
        most = max(abs(float(row["value"])) for row in ends)
        for row in ends:
            by_shear = sign * six(name, case, row["part"])[1][shear] * float(row["y"])
            assert float(row["value"]) == pytest.approx(by_shear, abs=ROUNDED * most)


@pytest.mark.parametrize("name", SOLVED)
def test_every_case_is_there_and_errors_are_small(name):
    """One sag, three stiffnesses, one loss that fits them; errors of a few per cent of the largest of their kind."""
    def one(case, quantity):
        (row,) = [r for r in ROWS if (r["ladder"], r["case"], r["quantity"]) == (name, case, quantity)]
        return float(row["value"]), float(row["error"])

    assert one("bending", "sag")[0] > 0
    whole, without = one("twist", "stiffness")[0], one("without", "stiffness")[0]
    assert one("without", "loss")[0] == pytest.approx(1 - without / whole, abs=1e-3)
    for case, quantity in (("bending", "sag"), ("twist", "stiffness"), ("side", "stiffness")):
        value, error = one(case, quantity)
        assert error < 0.02 * value
    for case in ("bending", "twist"):
        rows = [r for r in ROWS if (r["ladder"], r["case"], r["quantity"]) == (name, case, "edge stress")]
        assert max(float(r["error"]) for r in rows) < 0.05 * max(abs(float(r["value"])) for r in rows)


def test_ladders_of_every_kind_are_described():
    """At least four box and three channel ladders; at least half kept for later; sizes unlike each other."""
    kinds = [entry["rail"]["kind"] for entry in LADDERS.values()]
    assert kinds.count("box") >= 4
    assert kinds.count("channel") >= 3
    assert [e["set"] for e in LADDERS.values()].count("blind") * 2 >= len(LADDERS)
    assert all(0 < e["removed"] <= len(e["crossmembers"]) for e in LADDERS.values())
    assert {row["ladder"] for row in ROWS} <= set(LADDERS)
