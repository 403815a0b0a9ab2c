"""Beam on elastic foundation with shear flexibility: matrix exponential, closed forms, any length, any kind of
roots."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.linalg import expm

from ladderfe.elements.foundation import Foundation, end_stiffness, inverse_rates
from ladderfe.elements.foundation_inside import inside

KD, EI = 5.711e4, 205e3 * 3.067e9  # rail 150x75x3
BETA = (KD / EI) ** 0.25
#: Shear flexibility as S KD/(4 beta²) and plate twist as P/(beta² EI): none, a rail's, equal roots, real ones, mixed.
KINDS = {"bare": (0, 0), "rail": (0.034, 0.02), "equal": (1, 0), "nearly equal": (1 + 1e-9, 0), "real": (2, 0),
         "plates": (0, 2), "mixed": (0.5, 0.4)}  # fmt: skip


def of(kind, n=1):
    eps, plate = kind
    one = np.ones(n)
    return Foundation(one * KD, one * EI, one * eps * 4 * BETA**2 / KD, one * plate * BETA**2 * EI)


def rates(c):
    """Derivative of g f R B from the state, as the module's head has it."""
    s, p, rho = c.shear[0], c.plate[0], c.rho[0]
    return np.array([
        [0, -2 * rho, rho * s, 0], [0, 0, 0, 1 / EI], [KD, 0, 0, 0], [0, 4 * rho * p, 2 * rho, 0],
    ])  # fmt: skip


def scaled(k):
    size = np.sqrt(np.diag(k))
    return k / np.outer(size, size)


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("bl", [0.01, 0.3, 1.0, 2.0])
def test_against_the_matrix_exponential(kind, bl):
    """End forces from scipy.linalg.expm of the state equations; 1e-9: the reference loses digits as exp(2 bl) grows."""
    c, length = of(kind), bl / BETA
    m = expm(rates(c) * length)
    soft = np.linalg.inv(m[:2, 2:])
    start = np.hstack([-soft @ m[:2, :2], soft])
    end = m[2:, :2] @ np.eye(2, 4) + m[2:, 2:] @ start
    k = end_stiffness(c, np.array([length]))[0]
    expected = np.vstack([-start, end])
    size = np.sqrt(np.diag(k))
    assert k / np.outer(size, size) == pytest.approx(expected / np.outer(size, size), abs=1e-9)
    at = 0.3 * length
    state = inside(c, np.array([length]), np.array([at]), k[None])[0]
    there = expm(rates(c) * at) @ np.vstack([np.eye(2, 4), start])
    reach = np.abs(there).max(axis=0)
    assert np.abs((state - there) / np.maximum(np.abs(there).max(axis=1), 1e-30)[:, None]).max() < 1e-8, reach


@pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
@pytest.mark.parametrize("bl", [1e-6, 1e-3, 1.0, 50.0, 1e3, 1e6])
def test_two_members_equal_one_at_any_length(kind, bl):
    """A part of 0.3 and one of 0.7, the node between condensed away; 1e-12 of the diagonal: rounding from beta L =
    1e-6 to 1e6, nothing overflows.  The parts' far ends meet at twice rounding of the ends' own size."""
    c, length = of(kind), np.array([bl / BETA])
    a, b, whole = (end_stiffness(c, f * length)[0] for f in (0.3, 0.7, 1.0))
    both = np.zeros((6, 6))
    both[:4, :4] += a
    both[2:, 2:] += b
    keep = [0, 1, 4, 5]
    size = 1 / np.sqrt(np.diag(both))
    both = both * np.outer(size, size)
    found = both[np.ix_(keep, keep)] - both[np.ix_(keep, [2, 3])] @ np.linalg.solve(both[2:4, 2:4], both[2:4][:, keep])
    found = found / np.outer(size[keep], size[keep])
    size = np.sqrt(np.diag(whole))
    assert np.abs((found - whole) / np.outer(size, size)).max() < 1e-12 * (1 if bl > 1e-2 else 100)


@settings(max_examples=40, deadline=None)
@given(
    eps=st.floats(0, 3), plate=st.floats(0, 3), power=st.floats(-3, 3), share=st.floats(0, 1),
)  # fmt: skip
def test_symmetric_positive_and_smooth_inside(eps, plate, power, share):
    """Positive definite for any numbers (KD > 0: no free motion, though short members come near two); `inside` meets
    the ends and R, B there are the end forces; the state follows from its own derivative (inverse_rates)."""
    c, length = of((eps, plate)), np.array([10**power / BETA])
    k = end_stiffness(c, length)[0]
    assert np.array_equal(k, k.T)
    assert np.linalg.eigvalsh(scaled(k)).min() > 0
    first, last = (inside(c, length, x * length, k[None])[0] for x in (0.0, 1.0))
    reach = np.sqrt(np.diag(k))
    assert first[:2] == pytest.approx(np.eye(2, 4), abs=1e-9 * max(1.0, 10**power))
    assert np.abs((first[2:] + k[:2]) / np.outer(reach[:2], reach)).max() < 1e-10 * max(1.0, 10**power)
    assert np.abs((last[2:] - k[2:]) / np.outer(reach[2:], reach)).max() < 1e-10 * max(1.0, 10**power)
    assert inverse_rates(c)[0] @ rates(c) == pytest.approx(np.eye(4), abs=1e-9)
    assert np.isfinite(inside(c, length, share * length, k[None])).all()


def test_without_foundation_it_is_a_timoshenko_beam():
    """KD = P = 0: g is the movement, -2 f the slope of normals, EI/4 the bending stiffness, 1/S the shear stiffness:
    the 4 x 4 matrix with Phi = 12 (EI/4) S/L², standard."""
    L, S = 500.0, 2e-11
    c = Foundation(*(np.array([v]) for v in (0.0, EI, S, 0.0)))
    k = end_stiffness(c, np.array([L]))[0]
    b = EI / 4
    phi = 12 * b * S / L**2
    plane = b / (1 + phi) / L**3 * np.array([
        [12, 6 * L, -12, 6 * L], [6 * L, (4 + phi) * L**2, -6 * L, (2 - phi) * L**2],
        [-12, -6 * L, 12, -6 * L], [6 * L, (2 - phi) * L**2, -6 * L, (4 + phi) * L**2],
    ])  # fmt: skip
    slope = np.array([1, -2, 1, -2])  # slope of the normals = -2 f
    assert k == pytest.approx(plane * np.outer(slope, slope), rel=1e-12)


def test_long_member_members_of_all_sizes_together():
    """Short and long members in one call do not disturb each other: same as one by one, to rounding."""
    lengths = np.array([1e-3, 1.0, 300.0, 5e4, 1e8])
    c = of(KINDS["rail"], 5)
    together = end_stiffness(c, lengths)
    for i, length in enumerate(lengths):
        alone = end_stiffness(c.take(np.array([i])), np.array([length]))[0]
        size = np.sqrt(np.diag(alone))
        assert np.abs((together[i] - alone) / np.outer(size, size)).max() < 1e-13
