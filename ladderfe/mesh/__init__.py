"""Chassis -> nodes, members, true joint places and names."""

from ladderfe.mesh.build import build_mesh
from ladderfe.mesh.joined import JointUse, joined, joint_uses
from ladderfe.mesh.places import moved_places
from ladderfe.mesh.types import Bridge, Mesh, Part, Place, Plate, SoftJoint
from ladderfe.mesh.walls import OPEN, RACKING, box_walls, pole_of, warped
from ladderfe.mesh.weight import MassMoments, frame_mass

__all__ = [
    "OPEN", "RACKING", "Bridge", "JointUse", "MassMoments", "Mesh", "Part", "Place", "Plate", "SoftJoint", "build_mesh",
    "box_walls", "frame_mass", "joined", "joint_uses", "moved_places", "pole_of", "warped",
]
