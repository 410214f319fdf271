"""Numbered parameters: which values the program can read, and which it may set (NISTIR 6556, section 3.2.1).

Places among them (reference points, origins, shifts) are kept elsewhere in millimetres and are read in the
length unit in force. A parameter whose value the text does not tell is refused, not taken as zero.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import AXES, SYSTEMS, Modes

# Table 2 of the report: the first of six numbers for X, Y, Z, A, B, C.
_REFERENCE_POINTS: Final = {5161: 280, 5181: 300}
_PROBED: Final = 5061
_SHIFT: Final = 5211
_SYSTEM: Final = 5220
_ORIGINS: Final = {5221 + 20 * place: system for place, system in enumerate(SYSTEMS)}
FREE: Final = range(1, _PROBED)  # which the machine keeps for nothing of its own
_FIRSTS: Final = (_PROBED, *_REFERENCE_POINTS, _SHIFT, *_ORIGINS)
_PLACES: Final = {first + place: (first, axis) for first in _FIRSTS for place, axis in enumerate("xyzabc")}


def look_up(modes: Modes, number: int) -> float:
    """Return the value of a parameter.

    Raises
    ------
    Refusal
        When the text does not tell it.
    """
    value = modes.parameters.get(number)  # no place is among these
    if value is None:
        value = _stored_place(modes, number)
    if value is None:
        says = f"#{number} is used and neither the program nor the machine's table has given it a value"
        raise Refusal("parameter", says, do="Set it in the program before it is used.")
    return value


def settle(modes: Modes, settings: Iterable[tuple[int, float]]) -> None:
    """Set parameters; of two settings of one parameter the last counts (sections 3.3.3 and 3.3.6).

    Raises
    ------
    Refusal
        For a number that only G10, G92, a system code or a probe sets.
    """
    for number, value in settings:
        first, axis = _place(number)
        if first in _REFERENCE_POINTS:
            modes.homes[_REFERENCE_POINTS[first]][axis] = value * _scale(modes, axis)
        elif first or number == _SYSTEM:
            says = f"#{number} is kept by the machine, and when a value set here would act is not told"
            raise Refusal("parameter", says, do="Use G10 L2, G92 or G54 to G59.3.")
        else:
            modes.parameters[number] = value


def _stored_place(modes: Modes, number: int) -> float | None:
    first, axis = _place(number)
    if number == _SYSTEM:
        return SYSTEMS.index(modes.system) + 1.0 if modes.system_stated else None
    value: float | None = None
    if first in _REFERENCE_POINTS:
        value = modes.homes[_REFERENCE_POINTS[first]].get(axis)
    elif first in _ORIGINS:
        value = modes.origins.get(_ORIGINS[first], {}).get(axis)
    elif first == _SHIFT and modes.kept_shift is not None and axis in AXES:
        value = modes.kept_shift[AXES.index(axis)]
    return None if value is None else value / _scale(modes, axis)


def _scale(modes: Modes, axis: str) -> float:
    return modes.scale if axis in "xyz" else 1.0  # degrees do not follow the length unit


def _place(number: int) -> tuple[int, str]:
    """Return the first number of a group of places and the axis, (0, "") where the number holds no place."""
    return _PLACES.get(number, (0, ""))
