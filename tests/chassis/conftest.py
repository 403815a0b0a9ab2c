"""A small chassis file that reads without a fault, for tests to spoil."""

from __future__ import annotations

import pytest

MINIMAL = """\
title = "Small frame"
wheelbase = 2300

[rails]
path = [
    { station = 0, half_spacing = 380, height = 0 },
    { station = 3600, half_spacing = 380, height = 0 },
]
sections = [{ shape = "box", depth = 120, width = 65, wall = 2.5 }]

[[crossmembers]]
name = "front"
station = 100
shape = "box"
depth = 80
width = 60
wall = 2

[[crossmembers]]
name = "rear"
station = 3500
shape = "tube"
diameter = 60
wall = 3

[[mounts]]
name = "engine mount"
on = "both rails"
station = 700

[[masses]]
name = "engine"
mass = 180
on = ["engine mount"]
aboard = true

[[axles]]
station = 600
load = 800
track = 1450

[[axles]]
load = 750
track = 1440
"""


@pytest.fixture(scope="session")
def minimal() -> str:
    return MINIMAL
