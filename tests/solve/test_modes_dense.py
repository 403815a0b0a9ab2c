"""Frequencies of a free ladder against text-book beam matrices, assembled here and solved densely."""

import numpy as np
import pytest
from scipy.linalg import eigh

E, G, RHO = 205e3, 79e3, 7.85e-9
RAIL = {"A": 1200.0, "Iy": 3.0e6, "Iz": 4.0e5, "J": 9.0e5}
RUNG = {"A": 700.0, "Iy": 6.0e5, "Iz": 4.0e5, "J": 5.0e5}


def plane(stiff: float, move: float, turn: float, L: float) -> tuple[np.ndarray, np.ndarray]:
    """Stiffness and mass of a beam in one plane, unknowns v, dv/dx at both ends (J. S. Przemieniecki, Theory of Matrix
    Structural Analysis, 1968, from memory)."""
    k = stiff / L**3 * np.array([
        [12, 6 * L, -12, 6 * L], [6 * L, 4 * L**2, -6 * L, 2 * L**2],
        [-12, -6 * L, 12, -6 * L], [6 * L, 2 * L**2, -6 * L, 4 * L**2],
    ])  # fmt: skip
    m = move * L / 420 * np.array([
        [156, 22 * L, 54, -13 * L], [22 * L, 4 * L**2, 13 * L, -3 * L**2],
        [54, 13 * L, 156, -22 * L], [-13 * L, -3 * L**2, -22 * L, 4 * L**2],
    ])  # fmt: skip
    m += turn / (30 * L) * np.array([
        [36, 3 * L, -36, 3 * L], [3 * L, 4 * L**2, -3 * L, -(L**2)],
        [-36, -3 * L, 36, -3 * L], [3 * L, -(L**2), -3 * L, 4 * L**2],
    ])  # fmt: skip
    return k, m


def member(start, end, bar) -> tuple[np.ndarray, np.ndarray]:
    """(12, 12) stiffness and mass in vehicle axes; z' upright."""
    L = float(np.linalg.norm(end - start))
    x = (end - start) / L
    y = np.cross((0, 0, 1), x)
    y /= np.linalg.norm(y)
    turn = np.kron(np.eye(4), np.array([x, y, np.cross(x, y)]))
    k, m = np.zeros((12, 12)), np.zeros((12, 12))
    pull, spread = np.array([[1, -1], [-1, 1]]) / L, L / 6 * np.array([[2, 1], [1, 2]])
    for at, stiff, mass in ((0, E * bar["A"], bar["A"]), (3, G * bar["J"], bar["Iy"] + bar["Iz"])):
        k[np.ix_((at, at + 6), (at, at + 6))] = stiff * pull
        m[np.ix_((at, at + 6), (at, at + 6))] = RHO * mass * spread
    for at, sign, second in (((1, 5, 7, 11), 1, bar["Iz"]), ((2, 4, 8, 10), -1, bar["Iy"])):
        s = np.outer((1, sign, 1, sign), (1, sign, 1, sign))
        for out, own in zip((k, m), plane(E * second, RHO * bar["A"], RHO * second, L), strict=True):
            out[np.ix_(at, at)] = s * own
    return turn.T @ k @ turn, turn.T @ m @ turn


def test_a_free_ladder(frames, vibrating):
    """Two rails with a kick-up, four crossmembers, no shear strain: the same model assembled by hand, 1e-7 (rounding of
    stiffness: w^2 of the softest mode is 1e-9 of the highest)."""
    bars = [frames.Bar(E=E, G=G, **own) for own in (RAIL, RUNG)]
    stations, heights = [0, 700, 1300, 2000, 2800], [0, 0, 120, 120, 90]
    lad = frames.ladder(stations, 380.0, *bars, heights=heights)
    frame = lad.model.frame()
    n = len(frame.nodes)
    k, m = np.zeros((6 * n, 6 * n)), np.zeros((6 * n, 6 * n))
    for number, (a, b) in enumerate(frame.ends):
        own = member(frame.nodes[a], frame.nodes[b], RAIL if number in lad.rails else RUNG)
        at = np.r_[6 * a : 6 * a + 6, 6 * b : 6 * b + 6]
        for out, part in zip((k, m), own, strict=True):
            out[np.ix_(at, at)] += part
    want = np.sqrt(np.abs(eigh(k, m, eigvals_only=True))) / (2 * np.pi)

    rail = np.isin(np.arange(len(frame.ends)), lad.rails)
    sections = vibrating.even(frame, RHO, 1.0, np.eye(2))
    for name, size in (("per_length", "A"), ("second", "Iz")):
        values = np.where(rail, RAIL[size], RUNG[size]) * RHO
        getattr(sections, name)[:] = values if name == "per_length" else values[:, None, None] * np.eye(2)
    sections.second[:, 1, 1] = RHO * np.where(rail, RAIL["Iy"], RUNG["Iy"])
    found = vibrating.frequencies(vibrating.mass(frame, sections), count=30)
    assert found[6:] == pytest.approx(want[6:30], rel=1e-7)
