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
_PROBED: Final = range(5061, 5071)
_SHIFT: Final = 5211
_SYSTEM: Final = 5220
_FIRST_ORIGIN: Final = 5221
_STEP: Final = 20
_LAST: Final = _FIRST_ORIGIN + _STEP * len(SYSTEMS) - 1


def look_up(modes: Modes, number: int) -> float:
    """Return the value of a parameter.

    Raises
    ------
    Refusal
        When the text does not tell it.
    """
    value = _stored(modes, number)
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
        if first in _REFERENCE_POINTS and axis:
            modes.homes[_REFERENCE_POINTS[first]][axis] = value * (1.0 if axis == "a" else modes.scale)
        elif _SHIFT <= number <= _LAST or number in _PROBED:
            says = f"#{number} is kept by the machine, and when a value set here would act is not told"
            raise Refusal("parameter", says, do="Use G10 L2, G92 or G54 to G59.3.")
        else:
            modes.parameters[number] = value


def _stored(modes: Modes, number: int) -> float | None:
    first, axis = _place(number)
    factor = 1.0 if axis == "a" else modes.scale
    if axis and first in _REFERENCE_POINTS:
        value = modes.homes[_REFERENCE_POINTS[first]].get(axis)
    elif axis and first == _SHIFT:
        value = None if modes.kept_shift is None else modes.kept_shift[AXES.index(axis)]
    elif axis:
        value = modes.origins.get(SYSTEMS[(first - _FIRST_ORIGIN) // _STEP], {}).get(axis)
    elif number == _SYSTEM:
        return SYSTEMS.index(modes.system) + 1.0 if modes.system_stated else None
    else:
        return modes.parameters.get(number)
    return None if value is None else value / factor


def _place(number: int) -> tuple[int, str]:
    """Return the first number of a group of places and the axis, (0, "") where the number holds no place."""
    for first in (*_REFERENCE_POINTS, _SHIFT):
        if first <= number < first + len(AXES):
            return first, AXES[number - first]
    turn, axis = divmod(number - _FIRST_ORIGIN, _STEP)
    if 0 <= turn < len(SYSTEMS) and axis < len(AXES):
        return _FIRST_ORIGIN + turn * _STEP, AXES[axis]
    return 0, ""
