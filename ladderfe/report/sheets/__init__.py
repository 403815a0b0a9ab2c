"""Engineering drawings of a report page as SVG with real text."""

from ladderfe.report.sheets.chassis_sheet import chassis_drawing
from ladderfe.report.sheets.plan_plates import plan_drawings, undrawn
from ladderfe.report.sheets.plate_sheet import plate_sheet
from ladderfe.report.sheets.plates import PlateDrawing, PlateHole, PlateWeld
from ladderfe.report.sheets.rail_sheet import rail_diagrams
from ladderfe.report.sheets.section_sheet import section_count, section_sheet

__all__ = [
    "PlateDrawing", "PlateHole", "PlateWeld", "chassis_drawing", "plan_drawings", "plate_sheet",
    "rail_diagrams", "section_count", "section_sheet", "undrawn",
]  # fmt: skip
