"""Figures in inch people's units, beside those that the work is reckoned in: the job in inches shows both.

Inside, and in files for other programs, quantities are metric. Where a job counts in inches, text for people gets the
customary figure in front: ``7583 N`` becomes ``1700 lbf (7583 N)``. Lengths are no matter of this file: they are shown
in the job's unit alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from gcodegen.units import MM_PER_INCH

_LBF = 4.4482216152605  # N, exactly: 0.45359237 kg times standard gravity, 9.80665 m/s2
_POUND = 0.45359237  # kg, exactly
_HORSEPOWER = 550 * 12 * _LBF * MM_PER_INCH / 1e6  # kW: 550 foot pounds a second
_OUNCE = _POUND * 1000 / 16  # g

_PER_UNIT: Mapping[str, tuple[float, str]] = {
    "N": (_LBF, "lbf"),
    "N m": (_LBF * MM_PER_INCH / 1000, "lbf in"),
    "N mm": (_LBF * MM_PER_INCH, "lbf in"),
    "kg": (_POUND, "lb"),
    "g": (_OUNCE, "oz"),
    "g mm": (_OUNCE * MM_PER_INCH, "oz in"),
    "kW": (_HORSEPOWER, "hp"),
    "MPa": (_LBF / MM_PER_INCH**2 * 1000, "ksi"),
    "mm2": (MM_PER_INCH**2, "in2"),
    "m/min": (12 * MM_PER_INCH / 1000, "ft/min"),
    "um": (MM_PER_INCH, "thou"),
}
"""How much of the metric unit one of the customary unit is."""
_LARGE_TORQUE = 120.0  # lbf in; from there on in lbf ft
_SMALL_LENGTH = 0.1  # thou; below that in millionths of an inch, as a finish is told

_NUMBER = r"\d+(?:\.\d+)?"
_UNITS = "|".join(sorted(map(re.escape, _PER_UNIT), key=len, reverse=True))
_FIGURE = re.compile(
    rf"(?<![\w.,/-])(?P<low>{_NUMBER})(?: to (?P<high>{_NUMBER}))? (?P<unit>{_UNITS})(?![\w/]|\.\w| in 100 mm)"
)
_LENGTH = re.compile(rf"(?<![\w.,/])(?P<low>-?{_NUMBER})(?: to (?P<high>-?{_NUMBER}))? (?P<unit>mm)(?![\w/]|\.\w)")
_TYPED = re.compile(rf"({_NUMBER}) ?(lbs?|hp)", re.IGNORECASE)


def for_people(text: str, unit: str, *, lengths: bool = False) -> str:
    """Return a text with each metric figure of force, torque, mass, power and the like in inch people's units too.

    Parameters
    ----------
    text : str
        Plain text with figures such as ``0.33 N m`` or ``418 to 1266 N``.
    unit : str
        The job's: "mm" leaves the text as it is.
    lengths : bool
        Whether lengths in mm are shown in inches too: in the words of a dry run, which reckons in mm.

    Returns
    -------
    str
        For "in" with ``2.92 lbf in (0.33 N m)``: three figures, cut off and never rounded up, for most are limits.
    """
    if unit != "in":
        return text
    told = _FIGURE.sub(_both, text)
    return _LENGTH.sub(_in_inches, told) if lengths else told


def metric_of(typed: str, unit: str) -> str:
    """Return a mass or a power as typed, ``33 lb`` or ``2 hp``, as a plain number of ``unit``, "kg" or "kW".

    What is typed in no such unit is returned as it is.
    """
    found = _TYPED.fullmatch(typed.strip())
    if not found or unit != ("kg" if found[2].lower().startswith("lb") else "kW"):
        return typed
    return f"{float(found[1]) * _PER_UNIT[unit][0]:.4g}"


def _in_inches(found: re.Match[str]) -> str:
    low, high = (None if part is None else float(part) / MM_PER_INCH for part in (found["low"], found["high"]))
    told = " to ".join(f"{part:.4f}" for part in (low, high) if part is not None)
    return f"{told} in ({found[0]})"


def _both(found: re.Match[str]) -> str:
    size, name = _PER_UNIT[found["unit"]]
    low, high = (None if part is None else float(part) / size for part in (found["low"], found["high"]))
    largest = high if high is not None else low
    if name == "lbf in" and largest is not None and largest >= _LARGE_TORQUE:
        name, low, high = "lbf ft", *(None if part is None else part / 12 for part in (low, high))
    if name == "thou" and largest is not None and largest < _SMALL_LENGTH:
        name, low, high = "uin", *(None if part is None else part * 1000 for part in (low, high))
    told = " to ".join(_three_figures(part) for part in (low, high) if part is not None)
    return f"{told} {name} ({found[0]})"


def _three_figures(value: float) -> str:
    """Return a number with three figures, cut off: 0.0123, 2.92, 36.1, 1700."""
    if value == 0:
        return "0"
    places = 2 - math.floor(math.log10(value))
    cut = math.floor(value * 10.0**places + 1e-9) / 10.0**places
    return f"{cut:.{max(places, 0)}f}" if places > 0 else f"{cut:.0f}"
