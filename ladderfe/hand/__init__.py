"""The one-rail beam as on paper: closed forms and exact polynomials, no finite elements."""

from ladderfe.hand.beam import BeamResult, TurningPoint, deflection, solve_beam
from ladderfe.hand.calculation import HandCalculation, hand_calculation
from ladderfe.hand.given import HandAxle, HandGiven, ListedMass
from ladderfe.hand.line_loads import Spread, centre_of_gravity, line_loads_from_reactions
from ladderfe.hand.loads import Beam, LineLoad, PointLoad, resultant
from ladderfe.hand.piecewise import Piecewise
from ladderfe.hand.rail import Permissible, RailSpan, StressRow, governing_rows, stress_rows
from ladderfe.hand.section import HandSection, hand_section
from ladderfe.hand.steps import Quantity, Step

__all__ = [
    "Beam", "BeamResult", "HandAxle", "HandCalculation", "HandGiven", "HandSection", "LineLoad", "ListedMass",
    "Permissible", "Piecewise", "PointLoad", "Quantity", "RailSpan", "Spread", "Step", "StressRow", "TurningPoint",
    "centre_of_gravity", "deflection", "governing_rows", "hand_calculation", "hand_section",
    "line_loads_from_reactions", "resultant", "solve_beam", "stress_rows",
]
