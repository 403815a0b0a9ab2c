"""Gussets of crossmembers' joints in the chassis file."""

from typing import Annotated, Literal

from ladderfe.chassis.readers import Name, Number, Size, Table, Text, given, required, spare
from ladderfe.chassis.schema_hangers import Leg, Throat
from ladderfe.units import LENGTH

__all__ = ["GussetsTable"]

#: A plate of no thickness is a plate that is not there.
PlateThickness = Annotated[float, Number(LENGTH, least=0, most=50)]


class GussetsTable(Table):
    """Two three-cornered plates at the end of a crossmember, above and below it or before and behind it, welded on both
    sides.  The joint's stiffness is estimated as that of a gusseted joint."""

    name: Name = required("its name")
    member: Text = required("name of the crossmember")
    end: Annotated[Literal["left", "right", "both"], spare("both")] | None = given("which end; both when left out")
    way: Annotated[Literal["upright", "in plan"], spare("upright")] = required(
        "upright: above and below the crossmember; in plan: before and behind it"
    )
    web_leg: Size = required("leg along the rail's web")
    reach: Size = required("leg along the crossmember")
    thickness: PlateThickness = required("of its plates; of none with 0")
    leg: Leg | None = given("leg of its fillets; the thinner of plate and wall when left out")
    throat: Throat | None = given("their throat, instead of leg")
