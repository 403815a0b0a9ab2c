"""Thin-walled sections wall by wall: shapes, walls, properties, stress points."""

from ladderfe.sections.corners import box_torsion, corner_factor
from ladderfe.sections.flow import Flow, flow_of, rectangle_torsion
from ladderfe.sections.plates import WeldLine, boxing_plate, joining_flow, lapped_plate, weld_lines
from ladderfe.sections.points import StressPoints
from ladderfe.sections.properties import Properties, properties, properties_of
from ladderfe.sections.sectorial import sectorial
from ladderfe.sections.shapes import Angle, Box, Channel, Flat, Shape, TopHat, Tube, between
from ladderfe.sections.thinned import faces, thinned, wall_thickness
from ladderfe.sections.walls import Fillet, Section, Wall, weld

__all__ = [
    "Angle", "Box", "Channel", "Fillet", "Flat", "Flow", "Properties", "Section", "Shape", "StressPoints", "TopHat",
    "Tube", "Wall", "WeldLine", "between", "box_torsion", "boxing_plate", "corner_factor", "faces", "flow_of",
    "joining_flow", "lapped_plate", "properties", "properties_of", "rectangle_torsion", "sectorial",
    "thinned", "wall_thickness", "weld", "weld_lines",
]
