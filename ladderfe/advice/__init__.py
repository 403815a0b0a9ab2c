"""Decisions: where a rail may be cut and spliced, what a repair does to fatigue."""

from ladderfe.advice.fatigue_ratio import FatigueRatio, FatigueState, fatigue_ratio
from ladderfe.advice.splice import Splice, splice

__all__ = ["FatigueRatio", "FatigueState", "Splice", "fatigue_ratio", "splice"]
