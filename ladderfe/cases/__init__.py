"""What the frame must carry: weighed loads turned into masses, and the cases that move them."""

from ladderfe.cases.axle_links import raised, suspended, weighed_link_forces
from ladderfe.cases.build import load_cases
from ladderfe.cases.carry import mount_wrenches
from ladderfe.cases.from_axle import suspension_of, suspensions
from ladderfe.cases.residual import carried_masses
from ladderfe.cases.suspension import Suspended, Suspension
from ladderfe.cases.types import Carried, LineMass, LoadCase, Spring
from ladderfe.cases.weighed import springs, sprung_loads, wheel_loads

__all__ = [
    "Carried",
    "LineMass",
    "LoadCase",
    "Spring",
    "Suspended",
    "Suspension",
    "carried_masses",
    "load_cases",
    "mount_wrenches",
    "raised",
    "springs",
    "sprung_loads",
    "suspended",
    "suspension_of",
    "suspensions",
    "weighed_link_forces",
    "wheel_loads",
]
