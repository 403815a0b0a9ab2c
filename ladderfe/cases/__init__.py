"""What the frame must carry: weighed loads turned into masses, and the cases that move them."""

from ladderfe.cases.axle_links import raised, suspended, weighed_link_forces
from ladderfe.cases.build import load_cases
from ladderfe.cases.carry import mount_wrenches
from ladderfe.cases.entries import axle_entries, pull_entries, pull_name
from ladderfe.cases.from_axle import suspension_of, suspensions
from ladderfe.cases.residual import carried_masses
from ladderfe.cases.suspension import Suspended, Suspension
from ladderfe.cases.transmit import damped, transmit, vertical
from ladderfe.cases.types import Carried, LineMass, LoadCase, Push, Spring
from ladderfe.cases.weighed import springs, sprung_loads, wheel_loads

__all__ = [
    "Carried",
    "LineMass",
    "LoadCase",
    "Push",
    "Spring",
    "Suspended",
    "Suspension",
    "axle_entries",
    "carried_masses",
    "damped",
    "load_cases",
    "mount_wrenches",
    "pull_entries",
    "pull_name",
    "raised",
    "springs",
    "sprung_loads",
    "suspended",
    "suspension_of",
    "suspensions",
    "transmit",
    "vertical",
    "weighed_link_forces",
    "wheel_loads",
]
