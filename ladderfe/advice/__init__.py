"""Decisions: how thin walls may get, how long a hole may be."""

from ladderfe.advice.hole_length import HoleCurve, hole_curve
from ladderfe.advice.margin import Limit, Margin, Margins, margins
from ladderfe.advice.places import Place, asked_place, grid_places, places_of

__all__ = [
    "HoleCurve",
    "Limit",
    "Margin",
    "Margins",
    "Place",
    "asked_place",
    "grid_places",
    "hole_curve",
    "margins",
    "places_of",
]
