"""What the frame must carry: weighed loads turned into masses, and the cases that move them."""

from ladderfe.cases.build import load_cases
from ladderfe.cases.carry import mount_wrenches
from ladderfe.cases.residual import carried_masses
from ladderfe.cases.types import Carried, LineMass, LoadCase, Spring
from ladderfe.cases.weighed import springs, sprung_loads

__all__ = [
    "Carried",
    "LineMass",
    "LoadCase",
    "Spring",
    "carried_masses",
    "load_cases",
    "mount_wrenches",
    "springs",
    "sprung_loads",
]
