"""Thin-walled sections wall by wall: shapes, walls, properties, stress points."""

from ladderfe.sections.cell import Cell, cell_of, open_channel
from ladderfe.sections.corners import box_torsion, corner_factor
from ladderfe.sections.flow import Flow, flow_of, rectangle_torsion
from ladderfe.sections.plated import Plate, Plated, Shape
from ladderfe.sections.plates import WeldLine, boxing_plate, joining_flow, lapped_plate, weld_lines
from ladderfe.sections.plating import let_in, plated, sleeved
from ladderfe.sections.points import StressPoints
from ladderfe.sections.properties import Properties, properties, properties_of
from ladderfe.sections.sectorial import sectorial
from ladderfe.sections.shapes import Angle, Box, Channel, Flat, TopHat, Tube
from ladderfe.sections.tapers import between
from ladderfe.sections.thinned import faces, thinned, wall_thickness
from ladderfe.sections.walls import Fillet, Section, Wall, weld

__all__ = [
    "Angle", "Box", "Cell", "Channel", "Fillet", "Flat", "Flow", "Plate", "Plated", "Properties", "Section", "Shape",
    "StressPoints", "TopHat", "Tube", "Wall", "WeldLine", "between", "box_torsion", "boxing_plate", "cell_of",
    "corner_factor", "faces", "flow_of", "joining_flow", "lapped_plate", "let_in", "open_channel", "plated",
    "properties", "properties_of", "rectangle_torsion", "sectorial", "sleeved", "thinned", "wall_thickness", "weld",
    "weld_lines",
]
