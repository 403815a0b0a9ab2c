"""What was read on a chassis: thickness readings, and the state as found that they make of it."""

from ladderfe.condition.reading_file import read_readings, readings_csv, readings_from_text
from ladderfe.condition.types import Hole, Reading, Readings, Suspect, Unread

__all__ = [
    "Hole",
    "Reading",
    "Readings",
    "Suspect",
    "Unread",
    "read_readings",
    "readings_csv",
    "readings_from_text",
]
