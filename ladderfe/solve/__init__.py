"""Assemble, hold, factorise once, solve for all cases."""

from ladderfe.solve.analyse import AS_WEIGHED, Solution
from ladderfe.solve.band import Factor
from ladderfe.solve.chassis import solve_chassis
from ladderfe.solve.frame import Frame, SoftEnd
from ladderfe.solve.members import beams_of, frame_of

__all__ = ["AS_WEIGHED", "Factor", "Frame", "SoftEnd", "Solution", "beams_of", "frame_of", "solve_chassis"]
