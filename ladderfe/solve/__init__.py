"""Assemble, hold, factorise once, solve for all cases."""

from ladderfe.solve.analyse import Solution
from ladderfe.solve.band import Factor
from ladderfe.solve.chassis import hanging_of, same_frame, solve_chassis, vary
from ladderfe.solve.frame import Frame, SoftEnd
from ladderfe.solve.members import frame_of, members_of
from ladderfe.solve.on_axles import AS_WEIGHED
from ladderfe.solve.respond import Hanging, Responses

__all__ = [
    "AS_WEIGHED",
    "Factor",
    "Frame",
    "Hanging",
    "Responses",
    "SoftEnd",
    "Solution",
    "members_of",
    "frame_of",
    "hanging_of",
    "same_frame",
    "solve_chassis",
    "vary",
]
