"""Beam kernels: arrays in, arrays out; all members at once."""

from ladderfe.elements.beam import Beams, deformation, influence, stiffness
from ladderfe.elements.line_loads import LineLoads, equivalent_loads
from ladderfe.elements.resultants import resultants

__all__ = ["Beams", "LineLoads", "deformation", "equivalent_loads", "influence", "resultants", "stiffness"]
