"""What was read on a chassis: thickness readings, and the state as found that they make of it."""

from ladderfe.condition.found import Found, Stretch, WallState, as_found, shapes_of, with_wall, with_walls
from ladderfe.condition.openings import angles_left, joints_beside, near_hole, plates_in_openings
from ladderfe.condition.places import ENOUGH, ReadPlace, k_factor, read_places
from ladderfe.condition.rails import walls_at
from ladderfe.condition.reading_file import read_readings, readings_csv, readings_from_text
from ladderfe.condition.stations import Feature, features
from ladderfe.condition.types import Hole, Options, Reading, Readings, Suspect, Unread

__all__ = [
    "ENOUGH",
    "Feature",
    "Found",
    "Hole",
    "Options",
    "ReadPlace",
    "Reading",
    "Readings",
    "Stretch",
    "Suspect",
    "Unread",
    "WallState",
    "angles_left",
    "as_found",
    "features",
    "joints_beside",
    "k_factor",
    "near_hole",
    "plates_in_openings",
    "read_places",
    "read_readings",
    "readings_csv",
    "readings_from_text",
    "shapes_of",
    "walls_at",
    "with_wall",
    "with_walls",
]
