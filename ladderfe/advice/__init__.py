"""Decisions: how thin walls may get, how long a hole may be, where a rail may be cut, what a repair does to fatigue."""

from ladderfe.advice.fatigue_ratio import FatigueRatio, FatigueState, fatigue_ratio
from ladderfe.advice.hole_length import HoleCurve, hole_curve
from ladderfe.advice.margin import Limit, Margin, Margins, margins
from ladderfe.advice.places import Place, asked_place, grid_places, places_of
from ladderfe.advice.splice import Splice, splice

__all__ = [
    "FatigueRatio",
    "FatigueState",
    "HoleCurve",
    "Limit",
    "Margin",
    "Margins",
    "Place",
    "Splice",
    "asked_place",
    "fatigue_ratio",
    "grid_places",
    "hole_curve",
    "margins",
    "places_of",
    "splice",
]
