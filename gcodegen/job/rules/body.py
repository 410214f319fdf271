"""Rules of the chuck's body, its recess and its cover."""

from __future__ import annotations

import math
from collections.abc import Iterator

from gcodegen.errors import Problem
from gcodegen.job.chuck import Chuck
from gcodegen.job.rules.telling import not_below, outside, told

THINNEST_RIM = 3.0
FASTEST_RIM = 100.0  # m/s; common practice keeps iron rims near 30, so that this is a slip of the pen
STEEL = 7.85e-6  # kg/mm3: no chuck is heavier than a steel one without any hole, jaws allowed for


def sizes_are_a_chucks(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a body that is no chuck's."""
    says, do = "is no size of a lathe chuck", "Measure it again, and check the file's unit"
    yield from outside("chuck.diameter", chuck.diameter, unit, least=40, most=800, says=says, do=do)
    yield from outside("chuck.length", chuck.length, unit, least=15, most=500, says=says, do=do)


def recess_is_inside(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a recess that is as large as the body, or leaves next to no rim."""
    most = chuck.diameter - 2 * THINNEST_RIM
    if chuck.recess_diameter > most:
        large = chuck.recess_diameter >= chuck.diameter
        says = "is as large as the body" if large else f"leaves a rim of {told(chuck.rim, unit)}"
        yield Problem(
            key="chuck.recess_diameter",
            says=f"{says}: a screw needs at least {told(THINNEST_RIM, unit)} of iron round the recess",
            read=told(chuck.recess_diameter, unit),
            allowed=f"at most {told(most, unit)}" if most > 0 else "",
            do="Measure the recess and the body again; a rim so thin takes no set screw",
        )
    yield from not_below(
        "chuck.recess_depth",
        chuck.recess_depth,
        chuck.length,
        unit,
        says="goes right through the body",
        do="Give the depth from the rear seating face to the bottom of the recess",
    )


def chamfer_fits(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a mouth chamfer that leaves no seat, or no wall."""
    if chuck.rim > 0:
        yield from not_below(
            "chuck.recess_chamfer",
            chuck.recess_chamfer,
            min(chuck.rim, chuck.recess_depth),
            unit,
            says="takes away the whole rear face or the whole recess wall",
            do="Give the leg of the chamfer at the recess mouth, 0 when it is sharp",
        )


def cover_fits(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a cover that does not go into the recess, and a plan that does not say all."""
    cover = chuck.cover
    if cover is None:
        return
    yield from not_below(
        "chuck.cover.thickness",
        cover.thickness,
        chuck.recess_depth,
        unit,
        says="fills the recess: no spigot could enter",
        do="Measure the cover and the recess depth again (to the bottom under the cover)",
    )
    after = cover.thickness_after
    key = "chuck.cover.thickness_after"
    if cover.plan == "thinned" and after is None:
        do = "Write the thickness that will stay, or another plan"
        yield Problem(key=key, says="is missing: the plan is to thin the cover", do=do)
    elif cover.plan != "thinned" and after is not None:
        yield Problem(
            key=key,
            says=f'stands beside plan = "{cover.plan}", which leaves nothing to thin',
            read=told(after, unit),
            do='Write plan = "thinned", or take the line out',
        )
    elif after is not None:
        says = "is not thinner than the cover is now"
        do = "Write the thickness that will stay after the work"
        yield from not_below(key, after, cover.thickness, unit, says=says, do=do)


def speed_is_a_chucks(chuck: Chuck, _unit: str) -> Iterator[Problem]:
    """Refuse a marked speed that no iron stands."""
    if chuck.speed_limit_rpm is None:
        return
    rim_speed = math.pi * chuck.diameter / 1000 * chuck.speed_limit_rpm / 60
    if rim_speed > FASTEST_RIM:
        yield Problem(
            key="chuck.speed_limit_rpm",
            says=f"is a rim speed of {rim_speed:.0f} m/s, far more than iron is marked for",
            read=f"{chuck.speed_limit_rpm:g} rev/min",
            allowed="the speed marked on the body",
            do="Read the mark on the body again; leave the key out when there is none",
        )


def mass_is_a_chucks(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a mass that a body of this size cannot have."""
    if chuck.mass_kg is None:
        return
    solid = STEEL * math.pi / 4 * chuck.diameter**2 * chuck.length
    least, most = 0.2 * solid, 1.3 * solid
    if not least <= chuck.mass_kg <= most:
        yield Problem(
            key="chuck.mass_kg",
            says=f"does not fit a body of {told(chuck.diameter, unit)} by {told(chuck.length, unit)}",
            read=f"{chuck.mass_kg:g} kg",
            allowed=f"{least:.2g} to {most:.2g} kg (solid steel would be {solid:.2g} kg)",
            do="Weigh it again, in kilograms, or leave the key out",
        )


RULES = (
    sizes_are_a_chucks,
    recess_is_inside,
    chamfer_fits,
    cover_fits,
    speed_is_a_chucks,
    mass_is_a_chucks,
)
