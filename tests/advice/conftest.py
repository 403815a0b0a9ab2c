"""A straight plain ladder under an even load, whose moments and windows are known by hand."""

from __future__ import annotations

from types import SimpleNamespace

import pytest

from ladderfe.advice import splice
from ladderfe.checks import check

#: Of the plain ladder: box rails 150 x 75 x 2 mm, 4000 mm long, on springs at 700 and 3300 mm.
DEPTH, BENDING = 150.0, 100.0


def moment(x: float) -> float:
    """M/q of a beam of 4000 mm under an even load q on supports at 700 and 3300 mm, mm2, sagging positive."""
    return -(x**2) / 2 + 2000.0 * (max(0.0, x - 700.0) + max(0.0, x - 3300.0))


@pytest.fixture(scope="session")
def even(made):
    """The ladder with only bending judged, and its hand numbers: `use(M/q)` in the case of twice the load."""
    chassis = made.chassis(
        material=made.WEIGHTLESS, criteria=made.Criteria(bending=BENDING, shear=1e6, von_mises=1e6)
    )  # fmt: skip
    q = 2 * 750.0 * 9.80665 / 2 / 4000.0  # both axles' 900 kg less 150 kg unsprung, on two rails
    inertia = (75 * 150**3 - 71 * 146**3) / 12
    return SimpleNamespace(
        chassis=chassis,
        findings=check(chassis, assumptions=False),
        moment=moment,
        stress=lambda m: abs(m) * q * 75 / inertia,
        use=lambda m: 2 * abs(m) * q * 75 / inertia / BENDING,
    )


@pytest.fixture(scope="session")
def even_splice(even):
    return splice(even.chassis, even.findings, at=[("left", 2000.0), ("right", 280.0)])
