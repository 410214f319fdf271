"""Rules of the backplate and of its spigot in the chuck's recess."""

from __future__ import annotations

from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.backplate import Backplate
from gcodegen.job.chuck import Chuck
from gcodegen.job.rules.telling import not_below, outside, told

THINNEST_SPIGOT_WALL = 3.0
LOOSEST_REGISTER = 0.1  # of the recess's diameter; looser is a plate of another chuck


def sizes_are_a_plates(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse a plate that is no backplate of a lathe chuck."""
    says, do = "is no size of a backplate", "Measure it again, and check the file's unit"
    yield from outside("backplate.diameter", plate.diameter, unit, least=40, most=800, says=says, do=do)
    yield from outside("backplate.thickness", plate.thickness, unit, least=5, most=200, says=says, do=do)
    yield from not_below(
        "backplate.spigot_diameter",
        plate.spigot_diameter,
        plate.diameter,
        unit,
        says="leaves no seat round the spigot",
        do="Measure the spigot and the plate again",
    )
    yield from not_below(
        "backplate.spigot_length",
        plate.spigot_length,
        plate.thickness,
        unit,
        says="is as long as the plate is thick",
        do="The spigot stands in front of the seat; thickness runs from the seat to the rear of the plate",
    )


def bore_leaves_a_spigot(plate: Backplate, unit: str) -> Iterator[Problem]:
    """Refuse a bore that leaves the screws nothing to push on."""
    most = plate.spigot_diameter - 2 * THINNEST_SPIGOT_WALL
    if plate.bore > most:
        wall = told(THINNEST_SPIGOT_WALL, unit)
        yield Problem(
            key="backplate.bore",
            says=f"leaves less than {wall} of spigot wall, and four screws push on that wall",
            read=told(plate.bore, unit),
            allowed=f"at most {told(most, unit)}" if most > 0 else "",
            do="Measure the bore again; 0 stands for a plate without a bore",
        )


def spigot_enters_the_recess(pair: tuple[Chuck, Backplate], unit: str) -> Iterator[Problem]:
    """Refuse a spigot that does not go into the recess as measured, or hardly knows it."""
    chuck, plate = pair
    key = "backplate.spigot_diameter"
    if plate.spigot_diameter >= chuck.recess_diameter:
        yield Problem(
            key=key,
            says="is not smaller than the recess: the chuck could not go on",
            read=told(plate.spigot_diameter, unit),
            allowed=f"less than {told(chuck.recess_diameter, unit)}, chuck.recess_diameter",
            do="Measure spigot and recess again, with the micrometer and not with the calliper",
        )
    least = (1 - LOOSEST_REGISTER) * chuck.recess_diameter
    if plate.spigot_diameter < least:
        yield Problem(
            key=key,
            says="is far smaller than the recess: this plate was made for another chuck",
            read=told(plate.spigot_diameter, unit),
            allowed=f"at least {told(least, unit)} for a recess of {told(chuck.recess_diameter, unit)}",
            do="Measure both again",
        )


def chuck_seats_on_the_plate(pair: tuple[Chuck, Backplate], unit: str) -> Iterator[Problem]:
    """Refuse a plate on which the chuck, as measured, does not come to its seat."""
    chuck, plate = pair
    free = chuck.recess_depth - (chuck.cover.thickness if chuck.cover else 0.0)
    if free > 0:
        yield from not_below(
            "backplate.spigot_length",
            plate.spigot_length,
            free,
            unit,
            says="is as long as the recess is deep (less its cover): the chuck would not seat",
            do="Measure the spigot's length and the recess depth again",
        )
    if plate.diameter <= chuck.recess_diameter:
        yield Problem(
            key="backplate.diameter",
            says="is not larger than the recess: the chuck has no seat on it",
            read=told(plate.diameter, unit),
            allowed=f"more than {told(chuck.recess_diameter, unit)}, chuck.recess_diameter",
            do="Measure the plate again",
        )


RULES = (sizes_are_a_plates, bore_leaves_a_spigot)
RULES_WITH_CHUCK = (spigot_enters_the_recess, chuck_seats_on_the_plate)
