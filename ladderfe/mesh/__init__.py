"""Chassis -> nodes, members, true joint places and names."""

from ladderfe.mesh.build import build_mesh
from ladderfe.mesh.joined import joined
from ladderfe.mesh.types import Mesh, Part, Place
from ladderfe.mesh.weight import MassMoments, frame_mass

__all__ = ["MassMoments", "Mesh", "Part", "Place", "build_mesh", "frame_mass", "joined"]
