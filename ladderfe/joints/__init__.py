"""Joints that give: springs of a crossmember on a rail's web, with range and warnings, from walls as they are."""

from ladderfe.joints.estimate import estimate, warping_link
from ladderfe.joints.from_shapes import from_shapes
from ladderfe.joints.meeting import Meeting, meeting
from ladderfe.joints.racking import Racking, racking
from ladderfe.joints.springs import k_rx_closed
from ladderfe.joints.types import JointEstimate, JointGeometry, WarpingLink
from ladderfe.joints.web import local_stiffness

__all__ = [
    "JointEstimate", "JointGeometry", "Meeting", "Racking", "WarpingLink", "estimate", "from_shapes", "k_rx_closed",
    "local_stiffness", "meeting", "racking", "warping_link",
]
