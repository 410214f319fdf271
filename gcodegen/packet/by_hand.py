"""The hand sheet: the same cuts by hand wheel, by index plate, or by tape and square, without numeric control."""

from __future__ import annotations

import math
from fractions import Fraction

from gcodegen.design.result import Design
from gcodegen.operations import MillPlan
from gcodegen.packet.figures import Figures, angle, speed
from gcodegen.packet.table import Table

# Worm ratios of dividing heads and rotary tables: common practice, no source. 40 : 1 is the usual one.
RATIOS = (40, 60, 90)
_LARGEST_PLATE = 66


def turns_of_crank(degrees: float, ratio: int) -> Fraction:
    """Return the turns of a dividing head's crank for an angle: ratio x degrees / 360, in millionths of a degree."""
    return Fraction(round(degrees * 1_000_000), 360_000_000) * ratio


def crank(degrees: float, ratio: int) -> str:
    """Return crank turns in words: "10", "22 and 1/2", or to a thousandth where no plate has the circle."""
    turns = turns_of_crank(degrees, ratio)
    whole, part = divmod(turns, 1)
    if part == 0:
        return f"{whole}"
    if part.denominator <= _LARGEST_PLATE:
        return f"{whole} and {part.numerator}/{part.denominator}" if whole else f"{part.numerator}/{part.denominator}"
    return f"{float(turns):.3f}"


def marking(design: Design) -> Table:
    """Return how to mark the four places on the rim with tape and square."""
    show, layout, radius = Figures(design.job.unit), design.layout, design.job.chuck.radius
    rows = []
    for n, theta in enumerate(layout.angles, start=1):
        step = (theta - layout.angles[0]) % 360.0
        chord = 2 * radius * math.sin(math.radians(min(step, 360.0 - step)) / 2)
        rows.append(
            (
                f"screw {n}",
                angle(theta),
                show.coordinate(radius * math.radians(step)),
                show.coordinate(chord) if step else "",
                show.coordinate(layout.setback),
            )
        )
    return Table(
        caption="Marking by tape, dividers and square",
        head=(
            "Place",
            "Angle",
            "Round the body from screw 1, counter-clockwise from the rear",
            "Straight across to screw 1",
            "From the rear face",
        ),
        rows=tuple(rows),
    )


def indexing(plan: MillPlan) -> Table:
    """Return crank turns from place to place for the usual worm ratios."""
    places = sorted({op.place for op in plan.operations}, key=lambda place: place.number)
    rows = []
    for k, place in enumerate(places):
        after = places[(k + 1) % len(places)]
        step = (after.index - place.index) % 360.0 or 360.0
        rows.append(
            (
                f"from screw {place.screw} to screw {after.screw}",
                angle(step),
                *(crank(step, ratio) for ratio in RATIOS),
            )
        )
    return Table(
        caption="Indexing by plate: turns of the crank (ratio x angle / 360)",
        head=("Step", "Angle", *(f"{ratio} : 1" for ratio in RATIOS)),
        rows=tuple(rows),
    )


def drilling(design: Design) -> Table:
    """Return the cuts at each place by the quill's or the knee's dial, zero where the tip touches the crest."""
    show, depths, mill = Figures(design.job.unit), design.depths, design.mill
    peck = f", clear the chips every {show.length(mill.peck)}" if mill.peck else ""
    rows = (
        (
            f"Spot, {show.length(mill.spot.diameter or 0.0)}",
            show.coordinate(depths.spot_tip),
            speed(mill.spot_cut.speed_rpm),
            f"until the mouth is {show.length(depths.spot_diameter)} wide across",
        ),
        (
            f"Drill, {show.length(mill.drill.diameter or 0.0)}",
            show.coordinate(depths.drill_tip),
            speed(mill.drill_cut.speed_rpm),
            f"through the rim{peck}; ease off where it breaks through",
        ),
        (
            f"Tap, {design.screw.thread.name}",
            show.coordinate(depths.tap_tip),
            "by hand",
            "tap held true by a centre in the spindle, a quarter turn back every turn, dry",
        ),
    )
    return Table(
        caption="At each place, spindle over the axis, dial at zero where the tip touches the crest",
        head=("Cut", "Dial at the end", "Speed", "How"),
        rows=rows,
    )
