"""Thin-walled sections wall by wall: shapes, walls, properties, stress points."""

from ladderfe.sections.points import StressPoints
from ladderfe.sections.properties import Properties, properties, rectangle_torsion
from ladderfe.sections.shapes import Angle, Box, Channel, Flat, Shape, TopHat, Tube, between
from ladderfe.sections.walls import Fillet, Section, Wall, weld

__all__ = [
    "Angle", "Box", "Channel", "Fillet", "Flat", "Properties", "Section", "Shape", "StressPoints", "TopHat", "Tube", "Wall",
    "between", "properties", "rectangle_torsion", "weld",
]
