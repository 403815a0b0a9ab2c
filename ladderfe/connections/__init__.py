"""What joins a part to the frame: welds, bolts and rivets, ends of lapped plates, fatigue beside the frame as was.

Arrays in, frozen results out; no member, mesh or case is known here.  Every formula names its source and whether it was
seen; most of them are from memory.
"""

from ladderfe.connections.anchorage import (
    Anchorage,
    PlateEnd,
    anchorage,
    anchorage_length,
    cover_plate_end_length,
)
from ladderfe.connections.applied import Applied
from ladderfe.connections.bolt_groups import bolt_forces, bolt_group
from ladderfe.connections.bolt_rules import RailHole, hole_rules, spacing_rules
from ladderfe.connections.bolts import (
    BOLT_CLASSES,
    HoleInWall,
    bearing,
    bolt,
    pull_out,
    rivet,
    shear_and_pull_use,
    tear_out,
)
from ladderfe.connections.categories import CATEGORIES, Category, category
from ladderfe.connections.fatigue import Cycle, damage, damage_ratio, stress_ranges, worst_ratio
from ladderfe.connections.fillets import (
    PERMISSIBLE,
    STEELS,
    WeldSteel,
    directional_throat,
    directional_use,
    fillet_shear_strength,
    leg_for,
    needed_throat,
    permissible_stress,
    throat_stress,
    wall_shear,
    weld_steel,
)
from ladderfe.connections.rules import Broken, Rule
from ladderfe.connections.slots import (
    plug_strength,
    slot_area,
    slot_fillet_strength,
    slot_forces,
    slot_girth,
    slot_rules,
)
from ladderfe.connections.weld_details import (
    butt_throat,
    fillet_size_rules,
    full_run,
    long_lap_factor,
    stitch_factor,
    stitch_rules,
    stitch_warnings,
    stitched_run,
)
from ladderfe.connections.weld_groups import in_weld_axes, line_forces, weld_group

__all__ = [
    "BOLT_CLASSES", "CATEGORIES", "PERMISSIBLE", "STEELS",
    "Anchorage", "Applied", "Broken", "Category", "Cycle", "HoleInWall", "PlateEnd", "RailHole", "Rule", "WeldSteel",
    "anchorage", "anchorage_length", "bearing", "bolt", "bolt_forces", "bolt_group", "butt_throat", "category",
    "cover_plate_end_length", "damage", "damage_ratio", "directional_throat", "directional_use",
    "fillet_shear_strength", "fillet_size_rules", "full_run", "hole_rules", "in_weld_axes", "leg_for", "line_forces",
    "long_lap_factor", "needed_throat", "permissible_stress", "plug_strength", "pull_out", "rivet",
    "shear_and_pull_use", "slot_area", "slot_fillet_strength", "slot_forces", "slot_girth", "slot_rules",
    "spacing_rules", "stitch_factor", "stitch_rules", "stitch_warnings", "stitched_run", "stress_ranges", "tear_out",
    "throat_stress", "wall_shear", "weld_group", "weld_steel", "worst_ratio",
]
