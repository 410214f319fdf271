"""The keys of a reading and of the set it belongs to: what each may hold, in plain words where it may not."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from gcodegen.dial.readings import Reading, Spot
from gcodegen.units import length_mm

ALWAYS = ("angle_deg", "value")
LARGEST_LEVER_DEG = 60.0
"""A lever that stands further off the surface than this shows half of what it should, and sticks."""
STEPS_OF_INDICATORS_MM = (1e-6, 1.0)
WEIGHTS = (0.1, 100.0)
_DEGREES = re.compile(r"[+-]?(?:\d{1,4}(?:\.\d{0,12})?|\.\d{1,12})")
_T = TypeVar("_T")
EXAMPLE = "angle_deg = 90 and value = 0.02 under [[reading]]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What a file says of the whole set: mm and degrees; None where it says nothing."""

    resolution: float | None = None
    lever_angle_deg: float | None = None
    clamped_diameter: float | None = None


def read_reading(place: str, row: Mapping[str, object], unit: str, problems: list[str]) -> Reading | None:
    """Return one reading; what is wrong with it is added to ``problems``."""
    before = len(problems)
    problems += [f"{place}: {unknown(key, READING_KEYS)}" for key in row if key not in READING_KEYS]
    problems += [f"{place}: {key} is missing; write {EXAMPLE}" for key in ALWAYS if key not in row]
    numbers = _found(f"{place}: ", row, _NUMBERS, unit, problems)
    spot = _found(f"{place}: ", row, {"spot": _spot}, unit, problems)
    if len(problems) > before:
        return None
    return Reading(
        angle_deg=numbers["angle_deg"],
        value=numbers["value"],
        plane=numbers.get("plane"),
        weight=numbers.get("weight", 1.0),
        spot=spot.get("spot"),
    )


def read_settings(row: Mapping[str, object], unit: str, problems: list[str]) -> Settings:
    """Return what a file says of the whole set; keys of other things are left alone."""
    return Settings(**_found("", row, SETTINGS, unit, problems))


def _found(
    place: str,
    row: Mapping[str, object],
    readers: Mapping[str, Callable[[object, str], _T]],
    unit: str,
    problems: list[str],
) -> dict[str, _T]:
    found: dict[str, _T] = {}
    for key, reader in readers.items():
        if key in row:
            try:
                found[key] = reader(row[key], unit)
            except ValueError as error:
                problems.append(f"{place}{key} {error}; read {shown(row[key])}")
    return found


def _degrees(value: object) -> float:
    if isinstance(value, str):
        if not _DEGREES.fullmatch(value):
            raise ValueError("is not a number of degrees; write one such as 90 or 22.5")
        value = float(value)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("is not a number of degrees; write one such as 90 or 22.5")
    return value


def _angle(value: object, _unit: str) -> float:
    angle = _degrees(value)
    if not abs(angle) <= 360:  # so turned about, it refuses "not a number" too
        raise ValueError("is out of range; allowed: -360 to 360")
    return float(angle)


def lever_angle(value: object, _unit: str = "") -> float:
    """Return a lever's angle, degrees, 0 to 60.

    Raises
    ------
    ValueError
        When it is no number, or out of range.
    """
    angle = _degrees(value)
    if not 0 <= angle <= LARGEST_LEVER_DEG:
        raise ValueError(f"is out of range; allowed: 0 to {LARGEST_LEVER_DEG:g}, off the tangent of the surface")
    return float(angle)


def _length(value: object, unit: str) -> float:
    if unit == "mm" and isinstance(value, str) and "/" in value and value.strip()[-1:].isdigit():
        # As a rule an inch is meant, and nobody said so.
        raise ValueError('is a fraction without its unit; write a text with its unit, such as "1/64 in"')
    return length_mm(value, unit)


def _plane(value: object, unit: str) -> float:
    plane = _length(value, unit)
    if plane < 0:
        raise ValueError("is behind the jaws; allowed: 0 or more, the distance in front of them")
    return plane


def positive_length(value: object, unit: str) -> float:
    """Return a length above nought, mm.

    Raises
    ------
    ValueError
        When it is no length, or not above nought.
    """
    length = _length(value, unit)
    if length <= 0:
        raise ValueError("is not more than 0")
    return length


def checked_step(step: float) -> float:
    """Return the least step of an indicator, mm, as it is.

    Raises
    ------
    ValueError
        When no indicator is read in such steps.
    """
    finest, coarsest = STEPS_OF_INDICATORS_MM
    if not finest <= step <= coarsest:
        raise ValueError(f"is no step of an indicator; allowed: {finest:f} to {coarsest:g} mm")
    return step


def _resolution(value: object, unit: str) -> float:
    return checked_step(_length(value, unit))


def _weight(value: object, _unit: str) -> float:
    weight = _degrees(value) if not isinstance(value, bool) else 0.0
    low, high = WEIGHTS
    if not low <= weight <= high:
        raise ValueError(f"is out of range; allowed: {low:g} to {high:g}, how many readings it stands for")
    return float(weight)


def _spot(value: object, _unit: str) -> Spot | None:
    if value == "":  # an empty cell of a CSV column
        return None
    for spot in Spot:
        if value == spot.value:
            return spot
    raise ValueError('is no spot; allowed: "high", "low"')


_NUMBERS: dict[str, Callable[[object, str], float]] = {
    "angle_deg": _angle,
    "value": _length,
    "plane": _plane,
    "weight": _weight,
}
READING_KEYS = (*_NUMBERS, "spot")
SETTINGS: dict[str, Callable[[object, str], float]] = {
    "resolution": _resolution,
    "lever_angle_deg": lever_angle,
    "clamped_diameter": positive_length,
}


def unknown(key: str, allowed: tuple[str, ...]) -> str:
    """Return what to say of a key that does not exist: the nearest that does."""
    near = difflib.get_close_matches(key[:60].lower(), allowed, n=1, cutoff=0.0)[0]
    return f"{shown(key)} is no key here; the nearest is {near}"


def shown(value: object) -> str:
    """Return a value as a message shows it: short, and never a flood of digits."""
    match value:
        case int() if value.bit_length() > 200:  # its digits would fill the page, or be refused altogether
            return "a whole number of more than 60 digits"
        case list() | dict():
            return "a list or table"
        case str():
            text = repr(value[:61])
        case _:
            text = repr(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
