"""What every set of findings says beside its numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable

from ladderfe.checks import Findings
from ladderfe.report.page import bullets
from ladderfe.sections import cell_of

__all__ = [
    "CAUTIONS", "NO_INSPECTION", "NO_WELDS", "READ", "RUST", "USUAL", "WORKSHOP", "cautions_text", "not_checked",
]  # fmt: skip

NO_INSPECTION = (
    "They are no inspection, no certificate and no opinion on whether a vehicle may be used on a road."
)
#: Cautions shown whatever the numbers are (common practice; support of vehicles as in HSE leaflet INDG434) ...
USUAL = (
    "Where no thickness was measured the as-built wall is ASSUMED. Sealed boxes rot from inside: measure before you "
    "rely on a wall.",
    "Local law and the inspection rules of your country decide what may be repaired and how; structural welding "
    "belongs to a competent welder, and where the law says so to an authorised engineer or inspector.",
    "Never work under a vehicle held by a jack alone: rated stands, hard level ground, solid metal on them, wheels "
    "chocked. Before cutting, brace what the cut will let move, and do not open both rails between the same supports.",
    "Before welding: tank and lines away and purged, battery and control units disconnected, zinc, wax and underseal "
    "cleaned off, extinguisher at hand and a fire watch of an hour afterwards.",
    "Do not drive to try a repair out.",
)
#: ... and with stresses.
CAUTIONS = (
    "These are stresses under the stated loads and wall thicknesses, compared with the stated limits. " + NO_INSPECTION,
    *USUAL,
)
#: For those who go on to cut and weld by what they read (common practice, no source).
WORKSHOP = (
    "Stands under metal that was read and is thick enough, never under a place that rings dull. A cut under tension "
    "opens or pinches and its ends may spring: straps are tacked across first, one rail at a time.",
    "Engine and body mounts and props stay until the new metal is welded. Coil springs and torsion bars hold energy: "
    "release them before a mount is cut; air springs are vented and propped.",
    "Zinc is cleaned off both faces: its fume brings a fever hours later. The earth clamp sits near the weld, on the "
    "same piece; sealed boxes get a vent hole, and wax inside when they are cold.",
    "High-strength or heat-treated rails lose strength where they are heated: ask their maker before welding. Bulk "
    "heating to take out a bend is no approved method.",
)


def cautions_text(texts: Iterable[str] = CAUTIONS) -> list[str]:
    """Cautions as lines of a page."""
    return bullets("Cautions", texts)


#: What the check of thin walls leaves out.
BUCKLING = (
    "Of buckling: lips that wander with their flange, members as a whole, shear lag, walls that are dented or bent. "
    "Thin walls count as flat plates (EN 1993-1-5, formulas from memory, source text not seen)."
)
NO_WELDS = "Welds, bolts, fatigue, crash behaviour."
RUST = "Rust: walls count as built unless the chassis file or readings state a thinner wall."
READ = (
    "Rust where nobody read: such walls of the rails are ASSUMED (how many metres is told with the readings), and "
    "crossmembers and outriggers count as the chassis file has them."
)
#: How the warning of a joint without an estimate begins.
RIGID = "taken as rigid"
ESTIMATED = (
    "The true stiffness of the joints: it is estimated from the walls that meet, with a range, after own studies in "
    "solid elements. Welds, corner radii, bolts and brackets are not in it; state a joint's stiffness where you know "
    "it."
)


def not_checked(findings: Findings) -> list[str]:
    """What the findings leave out, with the reason."""
    out = [
        "Stress at weld toes, holes, brackets and next to a joint, where the web itself bends: a beam does not know "
        "it. Stress along the rail came within 15 % of the largest from about 50 mm off a crossmember on (box rails in "
        "solids, own studies; channel rails less near), bending of a web from about a rail depth off.",
        BUCKLING,
        NO_WELDS,
        RUST if findings.as_found is None else READ,
    ]
    return [*_level_only(findings), *_in_plan(findings), *_stiff_joints(findings), *_springs_only(findings), *out]


def _in_plan(findings: Findings) -> list[str]:
    """What forces along and across leave out, where some case has them."""
    cases = findings.solution.cases
    out = []
    if any(c.in_plan for c in cases):
        out.append(
            "Of forces along and across: the torque reaction of engine and propshaft, steering gear, and how far "
            "bushes and springs give. They reach the frame where links are stated or assumed, by equilibrium alone."
        )
    if not any(c.pushes for c in cases):
        out.append(
            "Steps and kerbs: pothole and kerb strike are no usual cases, and may ask for more than all of these; add "
            "them under [[cases]]."
        )
    else:
        out.append(
            "What the inertia of the wheel and axle takes out of a strike (pothole, kerb): the frame gets all of it, "
            "balanced by its own inertia at the same instant. Real strikes are shorter and set the frame ringing."
        )
    if any(c.in_plan or c.pulls or c.stands or c.jack for c in cases):
        out.append(
            "The brackets themselves: eyes, arm pivots, track bars, couplings, winch plates, recovery points, jacking "
            "points. What they bring to the frame is checked in the frame, not what they and their bolts or welds bear."
        )
    if any(c.stands or c.jack for c in cases):
        out.append(
            "Whether the flange over jacks, stands and pads dents, and narrow heads: webs of rails are looked at for a "
            "bearing of 50 mm (ASSUMED), as at spring seats; crossmembers and outriggers are not. A jack "
            "may push far harder than any spring, and thin or rusted walls fold under it: set it "
            "under metal that was read and is thick enough, on a block or plate that spreads the force to both webs."
        )
    return out


def _level_only(findings: Findings) -> list[str]:
    """Twist, where no case of these findings has it."""
    if any(case.couple or any(foot.endswith(" wheel") for foot, _ in case.heights) for case in findings.solution.cases):
        return []
    return [
        "Twist: all cases here stand on level ground. One wheel up and the limit couple often stress crossmembers and "
        "joints far more; `ladderfe twist` looks at them."
    ]


def _springs_only(findings: Findings) -> list[str]:
    """Racking, where joints are asked for as springs on box rails."""
    boxes = any(cell_of(span.shape) for rail in findings.chassis.rails for span in rail.spans)
    if findings.chassis.joint_model == "walls" or not boxes:
        return []
    return [
        "Racking of the rails: the chassis file asks for joints as springs, on rails that keep the shape of their "
        "section. The stress that racking brings is left out, and stress at the corners within one rail depth of a "
        "joint is unreliable."
    ]


def _stiff_joints(findings: Findings) -> list[str]:
    """Joints that count as rigid though nobody said so, and what estimates leave out."""
    mesh = findings.solution.mesh
    if math.isinf(findings.chassis.joint_level) and any(not j.given for j in mesh.joints):
        return [
            "Softness of the joints: the chassis file asks for rigid ones. Vertical bending hardly feels it; in twist "
            "a frame of butted crossmembers comes out too stiff by more than half."
        ]
    rigid = [j for j in mesh.joints if any(w.startswith(RIGID) for w in j.warnings)]
    names = ", ".join(dict.fromkeys(mesh.member_name(j.member) for j in rigid))
    out = [f"Softness of joints for which there is no estimate, which count as rigid: {names}."] if names else []
    if any(not j.given and j not in rigid for j in mesh.joints):
        out.append(ESTIMATED)
    return out
