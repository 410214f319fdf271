"""What the machinist wants of the adjustment, and the run-out as found.

A key that is left out, or says "choose", is None here: the design chooses it, and puts the choice in its
place on a copy.
"""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field

from gcodegen.handbook import GradeName
from gcodegen.job.fields import (
    Angle,
    Choose,
    ChosenAngle,
    ChosenAngles,
    ChosenLength,
    ChosenLengthOrZero,
    ChosenScrew,
    Force,
    Length,
    LengthOrZero,
    Number,
    PlainLength,
    PlainLengthOrZero,
    Section,
)

_Corner: TypeAlias = Literal["fillet", "undercut"]


def _corner(value: object) -> object:
    return None if value == "choose" else value


class Reading(Section):
    """Run-out as found: full indicator movement at one clamped diameter."""

    clamped_diameter: Length
    """Diameter of the bar that was clamped, file's unit."""
    run_out: LengthOrZero
    """Full indicator movement over one turn, file's unit."""
    from_jaws: LengthOrZero | None = None
    """How far from the jaws it was read, file's unit; two readings of one bar tell its drift."""
    high_spot_deg: Angle | None = None
    """Where the high spot was, degrees, chuck frame; left out, changes are only known within bounds."""


class Adjustment(Section):
    """What is wanted; every choice may be given, and is then checked, never changed."""

    travel: ChosenLengthOrZero = None
    """Travel wanted, each way from the centre, file's unit; left out, the readings tell it."""
    screw: ChosenScrew = None
    """Thread of the four set screws, such as "M5" or "#8-32"; "choose" takes the largest that fits."""
    screw_length: ChosenLength = None
    """Length of the set screws, file's unit."""
    setback: ChosenLength = None
    """From the rear seating face to the axes of the screws, file's unit."""
    first_angle: ChosenAngle = None
    """Angle of screw 1, degrees, chuck frame (counter-clockwise seen from the rear)."""
    angles: ChosenAngles = None
    """Angles of all four screws, degrees, chuck frame, in turn from screw 1; for uneven places."""
    relief: ChosenLength = None
    """What is turned off the spigot's diameter, file's unit."""
    spigot_length: ChosenLength = None
    """Length of the spigot after the work, file's unit."""
    least_wall: PlainLength = 2.0
    """Least iron between a screw and anything it could meet, file's unit; left out: 2 mm."""
    edge_break: PlainLengthOrZero = 0.3
    """Broken edge at the end of the new spigot, its leg, file's unit; left out: 0.3 mm."""
    corner: Annotated[_Corner | None, BeforeValidator(_corner, json_schema_input_type=_Corner | Choose)] = None
    """The corner of spigot and seat: with the fillet of the tool's nose, or undercut; "choose" undercuts it only where
    a relief as given leaves no room beside the fillet."""
    spacing_tolerance_deg: Annotated[float, Field(ge=0, le=20, allow_inf_nan=False), Number] = 0.0
    """How far a screw may leave its 90 degree place, degrees."""
    balance_grade: GradeName = "G6.3"
    """Balance wished for, a grade of ISO 21940-11 from "G1" to "G40"; left out: "G6.3"."""
    heaviest_cut_n: Force | None = None
    """Force of the heaviest cut, newtons; left out, the lathe's full power in a roughing cut is taken."""
    heaviest_cut_diameter: PlainLength | None = None
    """Diameter at which the heaviest cut is taken, file's unit; left out: that of the chuck."""
    reading: tuple[Reading, ...] = Field(default=(), max_length=100)
    """Run-out as found, one table for each clamped diameter."""

    @property
    def worst_run_out(self) -> float:
        """Largest run-out as found, full indicator movement, mm; 0 when none was read."""
        return max((r.run_out for r in self.reading), default=0.0)

    @property
    def screw_angles(self) -> tuple[float, ...] | None:
        """Angles of the four screws, degrees in 0 to 360, screw 1 first; None while they are left to choose."""
        if self.angles is not None:
            return tuple(a % 360.0 for a in self.angles)
        if self.first_angle is None:
            return None
        return tuple((self.first_angle + 90.0 * k) % 360.0 for k in range(4))
