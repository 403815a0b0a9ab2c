"""Beam kernels: arrays in, arrays out; all members at once."""

from ladderfe.elements.beam import Beams, deformation, influence, stiffness
from ladderfe.elements.inside import inside
from ladderfe.elements.line_loads import LineLoads, alike, each_equivalent, equivalent_loads
from ladderfe.elements.members import PLACES, Members
from ladderfe.elements.open_beam import OpenBeams
from ladderfe.elements.racking_beam import RackingBeams
from ladderfe.elements.racking_walls import BoxWalls
from ladderfe.elements.resultants import resultants

__all__ = [
    "PLACES",
    "Beams",
    "BoxWalls",
    "LineLoads",
    "Members",
    "OpenBeams",
    "RackingBeams",
    "alike",
    "each_equivalent",
    "deformation",
    "equivalent_loads",
    "influence",
    "inside",
    "resultants",
    "stiffness",
]
