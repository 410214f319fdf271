"""Rules of the features that a radial hole could meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from gcodegen.errors import Problem
from gcodegen.job.chuck import AxialHole, Box, Chuck, Feature, RadialHole, Ring, Slot
from gcodegen.job.rules.telling import not_below, told

SAME_ANGLE = 1e-6


def features(chuck: Chuck) -> Iterator[tuple[str, Feature]]:
    """Yield each feature with its place in the file."""
    for index, feature in enumerate(chuck.feature, start=1):
        yield f"chuck.feature[{index}]", feature


def depths_are_in_order(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse a feature that ends before it begins, or outside of the body."""
    for key, feature in features(chuck):
        if isinstance(feature, RadialHole):
            yield from _radial_is_within(key, feature, chuck, unit)
            continue
        low, high = feature.from_depth, feature.to_depth
        if low >= high:
            yield Problem(
                key=f"{key}.to_depth",
                says=f"{_name(feature)} ends at or before its from_depth, {told(low, unit)}",
                read=told(high, unit),
                allowed=f"more than {told(low, unit)}",
                do="Both count from the rear seating face into the body",
            )
        if high > chuck.length:
            yield Problem(
                key=f"{key}.to_depth",
                says=f"{_name(feature)} goes past the front of the body",
                read=told(high, unit),
                allowed=f"at most {told(chuck.length, unit)}, the chuck's length",
                do="Measure from the rear seating face",
            )


def _radial_is_within(key: str, hole: RadialHole, chuck: Chuck, unit: str) -> Iterator[Problem]:
    half = hole.diameter / 2
    if not half <= hole.depth <= chuck.length - half:
        low, high = told(half, unit), told(chuck.length - half, unit)
        room = hole.diameter <= chuck.length
        yield Problem(
            key=f"{key}.depth",
            says=f"{_name(hole)} does not lie wholly between the rear face and the front of the body",
            read=told(hole.depth, unit),
            allowed=f"{low} to {high} for its axis" if room else "none: the bore is wider than the chuck",
            do="depth is that of the bore's axis, from the rear seating face",
        )


def holes_lie_in_the_body(chuck: Chuck, unit: str) -> Iterator[Problem]:
    """Refuse what lies outside of the body in plan."""
    for key, feature in features(chuck):
        match feature:
            case AxialHole():
                yield from not_below(
                    f"{key}.circle",
                    feature.circle,
                    max(chuck.diameter - feature.diameter, 0.0),
                    unit,
                    says=f"{_name(feature)} breaks out of the rim, or lies outside of the body",
                    do="Measure the hole and its circle again",
                )
            case RadialHole():
                yield from _begins_within(key, feature, chuck, unit)
            case Slot():
                yield from _begins_within(key, feature, chuck, unit)
                yield from not_below(
                    f"{key}.width",
                    feature.width,
                    chuck.diameter,
                    unit,
                    says=f"{_name(feature)} is as wide as the body",
                    do="Measure the slot across its flanks",
                )
            case Box():
                yield from _box_is_within(key, feature, chuck, unit)
            case Ring():
                yield from _ring_is_within(key, feature, chuck, unit)
            case _:
                assert_never(feature)


def _begins_within(key: str, feature: RadialHole | Slot, chuck: Chuck, unit: str) -> Iterator[Problem]:
    yield from not_below(
        f"{key}.inner_radius",
        feature.inner_radius,
        chuck.radius,
        unit,
        says=f"{_name(feature)} begins outside of the body",
        do="It runs from inner_radius out to the rim; a radius, not a diameter",
    )


def _box_is_within(key: str, box: Box, chuck: Chuck, unit: str) -> Iterator[Problem]:
    yield from not_below(
        f"{key}.inner_radius",
        box.inner_radius,
        box.outer_radius,
        unit,
        says=f"{_name(box)} ends where it begins, or inside of that",
        do="It runs from inner_radius out to outer_radius; radii, not diameters",
    )
    if box.corner_radius > chuck.radius:
        yield Problem(
            key=f"{key}.outer_radius",
            says=f"{_name(box)} breaks out of the rim: its outer corners lie at {told(box.corner_radius, unit)}",
            read=told(box.outer_radius, unit),
            allowed=f"corners within {told(chuck.radius, unit)}",
            do='Measure it again; what is open at the rim is kind = "slot"',
        )


def _ring_is_within(key: str, ring: Ring, chuck: Chuck, unit: str) -> Iterator[Problem]:
    if ring.inner_diameter >= ring.outer_diameter:
        yield Problem(
            key=f"{key}.outer_diameter",
            says=f"{_name(ring)} is not larger outside than inside ({told(ring.inner_diameter, unit)})",
            read=told(ring.outer_diameter, unit),
            allowed=f"more than {told(ring.inner_diameter, unit)}",
            do="Exchange the two, or measure again",
        )
    if ring.outer_diameter > chuck.diameter:
        yield Problem(
            key=f"{key}.outer_diameter",
            says=f"{_name(ring)} is larger than the body",
            read=told(ring.outer_diameter, unit),
            allowed=f"at most {told(chuck.diameter, unit)}, the chuck's diameter",
            do="Measure it again; a diameter, not a radius",
        )


def places_are_said_once(chuck: Chuck, _unit: str) -> Iterator[Problem]:
    """Refuse angles given in two ways, and the same angle twice."""
    for key, feature in features(chuck):
        if isinstance(feature, Ring) or feature.angles is None:
            continue
        also = [name for name in ("count", "angle") if getattr(feature, name) is not None]
        if also:
            yield Problem(
                key=f"{key}.angles",
                says=f"{_name(feature)} gives its places twice: by angles, and by {' and '.join(also)}",
                do="Keep angles for uneven places, or count and angle for equal steps",
            )
        yield from twice(f"{key}.angles", feature.places_deg)


def twice(key: str, places: tuple[float, ...]) -> Iterator[Problem]:
    """Yield a problem when one place (degrees) stands in a list two times."""
    ordered = sorted(places)
    for low, high in zip(ordered, [*ordered[1:], ordered[0] + 360], strict=True):
        if len(ordered) > 1 and high - low < SAME_ANGLE:
            do = "Angles count round the whole circle: 360 is 0, -90 is 270. Take one out"
            yield Problem(key=key, says=f"has the place {low:g} degrees twice", do=do)
            return


def names_stand_for_one(chuck: Chuck, _unit: str) -> Iterator[Problem]:
    """Refuse the same feature entered two times."""
    seen: dict[tuple[str, str], list[tuple[str, Feature]]] = {}
    for key, feature in features(chuck):
        earlier = seen.setdefault((feature.kind, feature.name.casefold()), [])
        for first, other in earlier:
            if _share_a_place(feature, other):
                do = "Take one out, or give it a name of its own"
                yield Problem(key=f"{key}.name", says=f"{_name(feature)} is already {first}, at the same place", do=do)
                break
        earlier.append((key, feature))


def _share_a_place(one: Feature, other: Feature) -> bool:
    if isinstance(one, Ring) or isinstance(other, Ring):
        return True
    return any(min((a - b) % 360, (b - a) % 360) < SAME_ANGLE for a in one.places_deg for b in other.places_deg)


def _name(feature: Feature) -> str:
    return f'the {feature.kind} "{feature.name}"'


RULES = (depths_are_in_order, holes_lie_in_the_body, places_are_said_once, names_stand_for_one)
