"""The one-rail beam as on paper: closed forms and exact polynomials, no finite elements.

Here stands the beam itself; the whole hand calculation is in `hand.calculation`, which a check has no need to load.
"""

from ladderfe.hand.beam import BeamResult, TurningPoint, deflection, solve_beam
from ladderfe.hand.loads import Beam, LineLoad, PointLoad, resultant
from ladderfe.hand.piecewise import Piecewise

__all__ = [
    "Beam", "BeamResult", "LineLoad", "Piecewise", "PointLoad", "TurningPoint", "deflection", "resultant", "solve_beam",
]
