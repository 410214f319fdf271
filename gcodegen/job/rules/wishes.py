"""Rules of what is wanted: the adjustment and the run-out as found."""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.adjustment import Adjustment
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import Chuck
from gcodegen.job.rules.plate import THINNEST_SPIGOT_WALL
from gcodegen.job.rules.telling import not_below, outside, told

LARGEST_TRAVEL = 5.0
LARGEST_RUN_OUT = 5.0
LARGEST_RELIEF = 20.0
LEAST_WALL = 1.0
LARGEST_EDGE_BREAK = 2.0


def float_can_be_known(wish: Adjustment, _unit: str) -> Iterator[Problem]:
    """Refuse a job that says neither what is wanted nor what was found."""
    if wish.travel is None and not wish.reading:
        yield Problem(
            key="adjustment.travel",
            says="is not given, and there is no reading either: how far the chuck must float is not known",
            do='Write travel = "0.3 mm", or the run-out as found under [[adjustment.reading]]',
        )


def angles_are_a_cross(wish: Adjustment, _unit: str) -> Iterator[Problem]:
    """Refuse four angles that are no cross within the spacing tolerance, and angles given twice."""
    if wish.angles is None:
        return
    if wish.first_angle is not None:
        do = "Keep angles for uneven places, or first_angle for places 90 degrees apart"
        yield Problem(key="adjustment.first_angle", says="stands beside angles", read=f"{wish.first_angle:g}", do=do)
    first, *_ = wish.angles
    off = [(a - first - 90.0 * k + 180.0) % 360.0 - 180.0 for k, a in enumerate(wish.angles)]
    away = (max(off) - min(off)) / 2
    if away > wish.spacing_tolerance_deg + 1e-9:
        yield Problem(
            key="adjustment.angles",
            says=f"leave their places of a cross by {away:.3f} degrees",
            read=", ".join(f"{a:g}" for a in wish.angles),
            allowed=f"at most adjustment.spacing_tolerance_deg, {wish.spacing_tolerance_deg:g}",
            do="Write them in turn from screw 1, growing by about 90; allow more in spacing_tolerance_deg if meant",
        )


def wishes_are_small(wish: Adjustment, unit: str) -> Iterator[Problem]:
    """Refuse movements that no truing of a chuck has."""
    if wish.travel is not None:
        yield from outside(
            "adjustment.travel",
            wish.travel,
            unit,
            most=LARGEST_TRAVEL,
            says="is more than a chuck is ever pushed",
            do="Give the travel each way from the centre",
        )
    for index, reading in enumerate(wish.reading, start=1):
        yield from outside(
            f"adjustment.reading[{index}].run_out",
            reading.run_out,
            unit,
            most=LARGEST_RUN_OUT,
            says="is no run-out of a chuck in working order",
            do="Give the full movement of the indicator over one turn; a chuck so far out is damaged",
        )
    if wish.relief is not None:
        yield from outside(
            "adjustment.relief",
            wish.relief,
            unit,
            most=LARGEST_RELIEF,
            says="takes far too much off the spigot",
            do="Give what comes off its diameter; about 1 mm is usual",
        )
    yield from outside(
        "adjustment.edge_break",
        wish.edge_break,
        unit,
        most=LARGEST_EDGE_BREAK,
        says="takes away what the screws bear on",
        do="Give the leg of the broken edge; 0.3 mm is usual",
    )


def wall_is_iron(wish: Adjustment, unit: str) -> Iterator[Problem]:
    """Refuse a least wall that a drill breaks through by itself."""
    if wish.least_wall < LEAST_WALL:
        yield Problem(
            key="adjustment.least_wall",
            says="is so thin that a drill breaks into the next hole",
            read=told(wish.least_wall, unit),
            allowed=f"at least {told(LEAST_WALL, unit)}",
            do="Leave the key out for 2 mm",
        )


def wishes_fit_the_chuck(pair: tuple[Chuck, Adjustment], unit: str) -> Iterator[Problem]:
    """Refuse wishes that lie outside of the chuck."""
    chuck, wish = pair
    length = f"the chuck's length is {told(chuck.length, unit)}"
    if wish.setback is not None:
        says, do = "puts the screw in front of the chuck", f"It counts from the rear face; {length}"
        yield from not_below("adjustment.setback", wish.setback, chuck.length, unit, says=says, do=do)
    if wish.spigot_length is not None:
        says, do = "is as long as the chuck", f"It must stay clear of the recess bottom; {length}"
        yield from not_below("adjustment.spigot_length", wish.spigot_length, chuck.length, unit, says=says, do=do)
    if wish.screw_length is not None:
        says, do = "reaches the middle of the chuck", "It must stay under the surface of the rim"
        yield from not_below("adjustment.screw_length", wish.screw_length, chuck.radius, unit, says=says, do=do)
    if chuck.rim > 0:
        says, do = "is more than the whole rim", "Give the least iron between a screw and the next hole"
        yield from not_below("adjustment.least_wall", wish.least_wall, chuck.rim, unit, says=says, do=do)
    for index, reading in enumerate(wish.reading, start=1):
        key = f"adjustment.reading[{index}].clamped_diameter"
        says, do = "is more than the chuck can clamp", "Give the diameter of the bar that was clamped"
        yield from outside(key, reading.clamped_diameter, unit, most=chuck.diameter, says=says, do=do)


def relief_leaves_a_spigot(pair: tuple[Backplate, Adjustment], unit: str) -> Iterator[Problem]:
    """Refuse a relief that turns the spigot away."""
    plate, wish = pair
    most = plate.spigot_diameter - plate.bore - 2 * THINNEST_SPIGOT_WALL
    if wish.relief is not None and 0 < most < wish.relief:
        yield Problem(
            key="adjustment.relief",
            says=f"leaves less than {told(THINNEST_SPIGOT_WALL, unit)} of spigot wall round the bore",
            read=told(wish.relief, unit),
            allowed=f"at most {told(most, unit)} off the diameter",
            do="Give what comes off the spigot's diameter; about 1 mm is usual",
        )


RULES = (float_can_be_known, angles_are_a_cross, wishes_are_small, wall_is_iron)
RULES_WITH_CHUCK = (wishes_fit_the_chuck,)
RULES_WITH_PLATE = (relief_leaves_a_spigot,)
