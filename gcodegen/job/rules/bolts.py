"""Rules of the mounting bolts: through the plate, into the chuck's rim."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import Chuck
from gcodegen.job.rules.features import twice
from gcodegen.job.rules.telling import not_below, outside, told

WIDEST_HOLE = 2.0  # times the thread; under a hole so wide no head finds a seat
LARGEST_POSITION_ERROR = 2.0


def holes_go_through_the_plate(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse clearance holes that miss the plate, run into each other or do not take the bolt."""
    bolts = plate.bolts
    yield from not_below(
        "backplate.bolts.circle",
        bolts.circle,
        max(plate.diameter - bolts.hole_diameter, 0.0),
        unit,
        says="puts the holes through the edge of the plate, or outside of it",
        do="Measure the circle, the holes and the plate again",
    )
    places = sorted(bolts.places_deg)
    step = min(b - a for a, b in zip(places, [*places[1:], places[0] + 360], strict=True))
    apart = bolts.circle * math.sin(math.radians(step) / 2)
    if len(places) > 1 and step > 0 and apart < bolts.hole_diameter:
        yield Problem(
            key="backplate.bolts.hole_diameter",
            says=f"makes the holes run into each other: they stand {told(apart, unit)} apart",
            read=told(bolts.hole_diameter, unit),
            allowed=f"less than {told(apart, unit)}",
            do="Check count, circle and hole diameter",
        )
    major = bolts.row.major_mm
    yield from outside(
        "backplate.bolts.hole_diameter",
        bolts.hole_diameter,
        unit,
        least=major,
        most=WIDEST_HOLE * major,
        says=f"is no clearance hole for {bolts.thread}",
        do="Give the plain hole in the plate; the float of the bolts comes from it",
    )


def bolt_reaches(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse a bolt that does not come out of the plate, or a head that hangs in the air."""
    bolts = plate.bolts
    if bolts.under_head > plate.thickness:
        yield Problem(
            key="backplate.bolts.under_head",
            says="is more than the plate is thick",
            read=told(bolts.under_head, unit),
            allowed=f"at most {told(plate.thickness, unit)}, backplate.thickness",
            do="Give the iron between the head's seat and the face that the chuck sits on",
        )
    if bolts.length <= bolts.under_head:
        yield Problem(
            key="backplate.bolts.length",
            says="does not come out of the plate: no thread would hold the chuck",
            read=told(bolts.length, unit),
            allowed=f"more than {told(bolts.under_head, unit)}, under_head",
            do="Give the length under the head, not of the thread alone",
        )


def bolt_does_not_bottom(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse a bolt that stands on the end of its thread before it clamps."""
    bolts = plate.bolts
    reach = bolts.length - bolts.under_head
    if reach > bolts.thread_depth:
        yield Problem(
            key="backplate.bolts.thread_depth",
            says=f"is less than the bolt reaches, {told(reach, unit)}: it would bottom and clamp nothing",
            read=told(bolts.thread_depth, unit),
            allowed=f"at least {told(reach, unit)}",
            do="Measure the full thread with a screw; if it is so, shorten the bolts first",
        )


def places_agree(plate: Backplate, _unit: str) -> Iterator[Problem]:
    """Refuse places given in two ways that differ, the same place twice, and a lone bolt."""
    bolts = plate.bolts
    if bolts.angles is not None:
        if "angle" in bolts.model_fields_set:
            do = "Keep angles for uneven places, or count and angle for equal steps"
            yield Problem(key="backplate.bolts.angle", says="stands beside angles", read=f"{bolts.angle:g}", do=do)
        if bolts.count != len(bolts.angles):
            yield Problem(
                key="backplate.bolts.count",
                says=f"does not agree with angles, which has {len(bolts.angles)}",
                read=str(bolts.count),
                allowed=str(len(bolts.angles)),
                do="Take count out, or put angles right",
            )
        yield from twice("backplate.bolts.angles", bolts.places_deg)
    if len(bolts.places_deg) < 2:
        do = "Count the bolts that hold the chuck to the plate"
        yield Problem(
            key="backplate.bolts.count", says="is too few to hold a chuck", read="1", allowed="2 to 24", do=do
        )


def position_error_is_one(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse a position error that is no error but another bolt circle."""
    if plate.bolts.position_error is not None:
        yield from outside(
            "backplate.bolts.position_error",
            plate.bolts.position_error,
            unit,
            most=LARGEST_POSITION_ERROR,
            says="is no error of position but another circle",
            do="Give how far the hole circle and the bolts may miss each other, radially",
        )


def threads_lie_in_the_rim(pair: tuple[Chuck, Backplate], unit: str) -> Iterator[Problem]:
    """Refuse tapped holes that cut into the recess wall or out of the rim, or go through the body."""
    chuck, plate = pair
    bolts = plate.bolts
    major = bolts.row.major_mm
    low, high = chuck.recess_diameter + major, chuck.diameter - major
    if not low < bolts.circle < high:
        place = "the recess wall" if bolts.circle <= low else "the outside of the body"
        room = f"more than {told(low, unit)} and less than {told(high, unit)}" if low < high else ""
        yield Problem(
            key="backplate.bolts.circle",
            says=f"makes the {bolts.thread} holes of the chuck cut {place}",
            read=told(bolts.circle, unit),
            allowed=room or f"no circle: a rim of {told(chuck.rim, unit)} takes no {bolts.thread}",
            do="Measure the circle, the recess and the body again",
        )
    yield from not_below(
        "backplate.bolts.thread_depth",
        bolts.thread_depth,
        chuck.length,
        unit,
        says="goes through the whole chuck",
        do="Give the full thread in the chuck, from its rear face",
    )


RULES = (
    holes_go_through_the_plate,
    bolt_reaches,
    bolt_does_not_bottom,
    places_agree,
    position_error_is_one,
)
RULES_WITH_CHUCK = (threads_lie_in_the_rim,)
