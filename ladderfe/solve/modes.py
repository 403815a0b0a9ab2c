"""Natural frequencies and modes: K x = w^2 M x of a frame, free, held or on springs.

K may leave the six motions of a rigid body free and M may leave unknowns without mass, so neither is inverted: with a
shift, K + a M is positive definite and is factorised once.  Its inverse times M is applied to a block of vectors again
and again, each time made orthonormal in M against all before (block Lanczos with full reorthogonalisation; B. N.
Parlett, The Symmetric Eigenvalue Problem, chapter 13, from memory); a block finds equal frequencies, the six zeros of
a free frame among them, which one vector at a time may miss.  How many modes lie below a frequency is counted by
`modes_below` (Sylvester's law of inertia), so that none is missed unnoticed.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ladderfe.errors import MechanismError
from ladderfe.solve.frame import Frame
from ladderfe.solve.mass import FrameMass, sparse

__all__ = ["Modes", "Vibrating", "modes_below", "natural_modes"]

Array = NDArray[np.float64]
IntArray = NDArray[np.int64]

#: Shift a, as a frequency in Hz: between the zeros and the first elastic mode of any vehicle frame.
SHIFT = 5.0
#: Vectors in a block: more than the six modes of equal frequency that a free frame has.
BLOCK = 9
#: A mode has converged when what it lacks is this part of it; blocks at most.
CONVERGED, MOST_BLOCKS = 1e-10, 60
#: Vectors whose mass is below this part of the block's greatest are no vectors of their own.
NO_VECTOR = 1e-13


@dataclass(frozen=True, eq=False)
class Vibrating:
    """A frame that vibrates: its mass; springs: rows (unknowns, s) with their rates (s,) N/mm to what stands still;
    held: unknowns at rest."""

    frame: Frame
    mass: FrameMass
    rows: Array
    rates: Array
    held: IntArray

    @staticmethod
    def free(mass: FrameMass) -> Vibrating:
        """Nothing holds it."""
        none = np.zeros((mass.frame.unknowns, 0))
        return Vibrating(mass.frame, mass, none, np.zeros(0), np.zeros(0, dtype=np.int64))

    @cached_property
    def kept(self) -> IntArray:
        """Unknowns that are not held."""
        return np.setdiff1d(np.arange(self.frame.unknowns), self.held)

    @cached_property
    def matrices(self) -> tuple[Any, Any]:
        """K and M of the unknowns that are not held, each scaled by `scale` from both sides; scipy sparse."""
        from scipy.sparse import csc_array

        springs = csc_array(self.rows) * np.sqrt(self.rates)
        k = sparse(self.frame.blocks, self.frame.unknowns) + springs @ springs.T
        both = csc_array(k), csc_array(self.mass.sparse())
        kept = self.kept
        scale = self.scale
        stiffness, mass = (m[kept][:, kept].multiply(scale[:, None]).multiply(scale[None]).tocsc() for m in both)
        return stiffness, mass

    @cached_property
    def scale(self) -> Array:
        """Size of the unknowns, so that the diagonal of K is 1: movements, turns and warping alike."""
        diagonal = np.zeros(self.frame.unknowns)
        for k, dofs in self.frame.blocks:
            np.add.at(diagonal, dofs, np.einsum("eii->ei", k))
        loose = self.kept[diagonal[self.kept] <= 0]
        if len(loose):
            where = f"unknown {loose[0] + 1} of the frame"
            raise MechanismError(where, "nothing holds it, so it has no frequency", "Join the part to it")
        out: Array = 1 / np.sqrt(diagonal[self.kept])
        return out

    def stiffness_times(self, u: Array) -> Array:
        """K u of movements (unknowns, c), member by member, springs included."""
        out: Array = self.frame.multiply(u) + self.rows @ (self.rates[:, None] * (self.rows.T @ u))
        return out


@dataclass(frozen=True, eq=False)
class Modes:
    """square (k,) w^2 in 1/s2, rising (of rigid motions rounding about 0, of either sign); shapes (unknowns, k) mm and
    rad, of modal mass 1 t; `of` is what vibrates."""

    of: Vibrating
    square: Array
    shapes: Array

    @property
    def frequencies(self) -> Array:
        """(k,) Hz; 0 where w^2 is not above 0."""
        return _hertz(self.square)


def _hertz(square: Array) -> Array:
    out: Array = np.sqrt(np.maximum(square, 0.0)) / (2 * np.pi)
    return out


def natural_modes(of: Vibrating, count: int) -> Modes:
    """The lowest `count` modes, or all where there are fewer; the rigid motions of a free frame count among them.

    Raises MechanismError where some unknown has no stiffness at all.
    """
    stiffness, mass = of.matrices
    shift = (2 * np.pi * SHIFT) ** 2
    soft = _factorised(stiffness + shift * mass)
    ratio, vectors = _lanczos(soft.solve, mass, count)
    square = 1 / ratio - shift
    order = np.argsort(square)
    shapes = np.zeros((of.frame.unknowns, len(order)))
    shapes[of.kept] = vectors[:, order] * of.scale[:, None]
    return Modes(of, square[order], shapes)


def _factorised(matrix: Any) -> Any:
    """A sparse symmetric matrix factorised without pivoting off its diagonal."""
    from scipy.sparse.linalg import splu

    return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})


def _lanczos(solve: Any, mass: Any, count: int) -> tuple[Array, Array]:
    """Greatest `count` ratios m and vectors x, orthonormal in mass, of  (K + a M)^-1 M x = m x."""
    n = mass.shape[0]
    block = np.random.default_rng(1).standard_normal((n, BLOCK))
    basis, images = np.zeros((n, 0)), np.zeros((n, 0))
    for _ in range(MOST_BLOCKS):
        block = _orthonormal(np.asarray(solve(mass @ block)), basis, mass)
        if not block.shape[1]:
            break
        image = np.asarray(solve(mass @ block))
        basis, images = np.concatenate([basis, block], axis=1), np.concatenate([images, image], axis=1)
        projected = basis.T @ (mass @ images)
        ratio, shares = np.linalg.eigh((projected + projected.T) / 2)
        ratio, shares = ratio[::-1][:count], shares[:, ::-1][:, :count]
        lacks = images @ shares - (basis @ shares) * ratio
        size = np.sqrt(np.maximum(np.einsum("ij,ij->j", lacks, mass @ lacks), 0.0))
        if len(ratio) == count and (size < CONVERGED * ratio).all():
            break
        block = image
    return ratio, basis @ shares


def _orthonormal(block: Array, basis: Array, mass: Any) -> Array:
    """The block's own directions, orthonormal in mass and to the basis; none where it brings nothing new."""
    size = np.sqrt(np.einsum("ij,ij->j", block, mass @ block))
    block = block[:, size > 0] / size[size > 0]
    for _ in range(3):
        block = block - basis @ (basis.T @ (mass @ block))
        own, turn = np.linalg.eigh(block.T @ (mass @ block))
        real = own > NO_VECTOR
        block = block @ (turn[:, real] / np.sqrt(own[real]))
    return block


def modes_below(of: Vibrating, frequency: float) -> int:
    """How many modes have a frequency below this one (Hz): the negative pivots of K - w^2 M.

    Sylvester's law of inertia: as many as K - w^2 M has negative eigenvalues (K. J. Bathe, Finite Element Procedures,
    Sturm sequence property, from memory).
    """
    stiffness, mass = of.matrices
    factor = _factorised(stiffness - (2 * np.pi * frequency) ** 2 * mass)
    return int((factor.U.diagonal() < 0).sum())
