"""Plans the mill: spot, drill and tap at the four places, by tool or by hole."""

from __future__ import annotations

import math
from dataclasses import replace

from gcodegen.design import Design
from gcodegen.operations.steps import Drill, MillOperation, MillPlan, Place, Spot, Tap

# Common practice, no source: a feed begins 2 mm off the work; a tap wants 5 mm to come up to speed.
NEAR = 2.0
PECK_SPARE = 0.003
RUN_IN = 5.0
# Common practice, no source: the spot drill stays until it has turned three times, half a second at least.
DWELL_TURNS = 3.0
LEAST_DWELL_S = 0.5
EVEN_DEG = 1e-6


def plan_mill(design: Design) -> MillPlan:
    """Return the mill's operations, in the order that the job's grouping asks for.

    Parameters
    ----------
    design : Design
        With angles, setback, depths and cuts decided.

    Returns
    -------
    MillPlan
        Twelve operations; heights and depths in mm from the crest, index in degrees from screw 1's mark.
    """
    places = places_of(design)
    spots: list[MillOperation] = [_spot(design, p) for p in places]
    drills: list[MillOperation] = [_drill(design, p) for p in places]
    taps: list[MillOperation] = [_tap(design, p) for p in places]
    if design.job.mill.grouping == "by hole":
        operations = [one for hole in zip(spots, drills, taps, strict=True) for one in hole]
    else:
        operations = [*spots, *drills, *taps]
    clear = design.job.mill.clear_height
    return MillPlan(
        operations=tuple(operations),
        near=min(NEAR, clear),
        run_in=min(RUN_IN, clear),
        clear=clear,
        uneven=any(abs(p.index - 90.0 * (p.number - 1)) > EVEN_DEG for p in places),
        proof=places if design.job.mill.proof_pass else (),
    )


def one_hole(plan: MillPlan, number: int) -> MillPlan:
    """Return the plan for one hole alone, with its cuts in their order."""
    return replace(
        plan,
        operations=tuple(o for o in plan.operations if o.place.number == number),
        proof=tuple(p for p in plan.proof if p.number == number),
    )


def places_of(design: Design) -> tuple[Place, ...]:
    """Return the four places in the order of the index.

    Notes
    -----
    The chuck frame's angle runs counter-clockwise seen from the rear. A positive index turns the tool
    counter-clockwise seen from +X as the work sees it (RS-274, NISTIR 6556, section 2.1.2.2). With the rear
    looking to +X both turn alike; with the rear looking to -X they turn against each other, so an index of
    +90 then shows the angle 90 less than screw 1's.
    """
    sign = design.job.mill.rear_sign
    first = design.layout.angles[0]
    # The millionth of a degree takes off floating-point dust, or 359.9999 would come instead of 0.
    found = sorted(
        (round(sign * (theta - first) % 360.0, 6) % 360.0, screw, theta)
        for screw, theta in enumerate(design.layout.angles, start=1)
    )
    return tuple(
        Place(number=number, index=index, x=-sign * design.layout.setback, screw=screw, theta=theta % 360.0)
        for number, (index, screw, theta) in enumerate(found, start=1)
    )


def _spot(design: Design, place: Place) -> Spot:
    cut = design.mill.spot_cut
    dwell = max(LEAST_DWELL_S, DWELL_TURNS * 60.0 / cut.speed_rpm)
    return Spot(place=place, tool=design.mill.spot, depth=design.depths.spot_tip, dwell=dwell, cut=cut)


def _drill(design: Design, place: Place) -> Drill:
    mill, depth = design.mill, design.depths.drill_tip
    return Drill(place=place, tool=mill.drill, depth=depth, peck=_even(mill.peck, depth + NEAR), cut=mill.drill_cut)


def _even(peck: float | None, stroke: float) -> float | None:
    """Return pecks of one size, none larger than ``peck``: a last one of a few hundredths only rubs."""
    if peck is None:
        return None
    # The spare keeps rounding in the program's unit from leaving a sliver.
    return math.ceil((stroke / math.ceil(stroke / peck - 1e-9) + PECK_SPARE) * 100) / 100


def _tap(design: Design, place: Place) -> Tap:
    thread = design.screw.thread
    return Tap(
        place=place,
        tool=design.mill.tap,
        depth=design.depths.tap_tip,
        pitch=thread.pitch_mm,
        thread=thread.name,
        cut=design.mill.tap_cut,
    )
