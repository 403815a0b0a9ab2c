"""The axles in the chassis file: what was weighed, springs, and what holds them against forces along and across."""

from typing import Annotated, Literal

from ladderfe.chassis.readers import (
    AxleLoad,
    BarStiffness,
    LineForce,
    Load,
    Name,
    Offset,
    Pull,
    Rate,
    Ratio,
    Spacing,
    Station,
    Table,
    Track,
    Travel,
    TyreRadius,
    TyreRate,
    given,
    required,
    spare,
)

__all__ = ["ArmsTable", "AxleTable", "DamperTable", "PivotsTable", "TrackBarTable", "WheelsTable"]


class WheelsTable(Table):
    """What the wheels of an axle weighed."""

    left: Load = required("weighed under the left wheel")
    right: Load = required("weighed under the right wheel")


class ArmsTable(Table):
    """Pivots on the frame of the arms that lead a beam axle."""

    station: Station | None = given("their station")
    spacing: Spacing | None = given("from the left to the right one; that of the rails there when left out")
    height: Offset | None = given("their height")


class PivotsTable(Table):
    """Pivots on the frame of the arms of independent wheels."""

    spacing: Spacing | None = given("from the left to the right ones; that of the rails there when left out")
    height: Offset | None = given("their height")


class TrackBarTable(Table):
    """The track bar's bracket on the frame."""

    station: Station | None = given("its station; that of the axle when left out")
    y: Offset = required("distance from the centre line, negative on the left")
    height: Offset = required("its height")


class DamperTable(Table):
    """Upper brackets of the dampers."""

    station: Station | None = given("their station; that of the axle when left out")
    spacing: Spacing | None = given("from the left to the right one; that of the springs when left out")
    height: Offset | None = given("their height; that of the rails there when left out")
    force: LineForce = required(
        "force of one damper on the frame as the axle is thrown up; of an independent wheel taken to push as hard at it"
    )


class AxleTable(Table):
    """An axle as weighed."""

    name: Name | None = given("front or rear, for who reads the file; the stations decide")
    station: Station | None = given("its station; or give the wheelbase")
    load: AxleLoad = required("what the axle weighed")
    track: Track = required("distance between the middles of its tyres")
    unsprung: Load | None = given("mass below the springs: axle, wheels, brakes, half the springs")
    spring_base: Track | None = given("distance between its left and right spring")
    rate: Rate | None = given("rate of one spring")
    spring: Annotated[Literal["coil", "leaf"], spare("coil")] | None = given(
        "kind of spring, leaf where eyes are given; coil when left out"
    )
    eyes: Annotated[list[Station], spare([])] | None = given("stations of a leaf spring's front and rear eye")
    suspension: Annotated[Literal["beam", "independent"], spare("beam")] | None = given(
        "beam axle or independent wheels; beam when left out"
    )
    wheel_loads: Annotated[WheelsTable | None, spare(None)] = given(
        "what its wheels weighed, left and right; of both axles or of none"
    )
    motion_ratio: Ratio | None = given("spring movement over wheel movement, of independent wheels")
    anti_roll: BarStiffness | None = given("couple of the anti-roll bar over its roll angle; no bar when left out")
    bump_gap: Travel | None = given(
        "travel up from standing as weighed until a bump stop takes hold; none when left out"
    )
    bump_rate: Rate | None = given("rate of one bump stop")
    droop: Travel | None = given("travel down from standing as weighed until a strap takes hold; none when left out")
    strap_rate: Rate | None = given("rate of one strap")
    pull: Pull | None = given("what one spring can pull before it comes loose")
    tyre_rate: TyreRate | None = given("rate of one tyre")
    tyre_radius: TyreRadius | None = given("height of the wheel's centre above the ground")
    fixed_eye: Annotated[Literal["front", "rear"], spare("front")] | None = given(
        "the eye of a leaf spring that has no shackle; front when left out"
    )
    eye_height: Offset | None = given("height of a leaf spring's eyes")
    arms: Annotated[ArmsTable | None, spare(None)] = given("arms that lead a beam axle on coils")
    pivots: Annotated[PivotsTable | None, spare(None)] = given("pivots of the arms of independent wheels")
    roll_centre: Offset | None = given(
        "height above the ground where side forces reach the frame, without a track bar; that of eyes or arms when "
        "left out of a beam axle"
    )
    track_bar: Annotated[TrackBarTable | None, spare(None)] = given("bracket of a beam axle's track bar")
    damper: Annotated[DamperTable | None, spare(None)] = given("its dampers; they do nothing when left out")
    torsion_bar: Name | None = given(
        "the crossmember that holds the torsion bars of independent wheels; spring_base is then that of stated pivots"
    )
