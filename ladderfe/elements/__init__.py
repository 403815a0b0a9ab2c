"""Beam kernels: arrays in, arrays out; all members at once."""

from ladderfe.elements.beam import Beams, deformation, influence, stiffness
from ladderfe.elements.line_loads import LineLoads, each_equivalent, equivalent_loads, merged
from ladderfe.elements.resultants import resultants

__all__ = [
    "Beams",
    "LineLoads",
    "each_equivalent",
    "deformation",
    "equivalent_loads",
    "merged",
    "influence",
    "resultants",
    "stiffness",
]
