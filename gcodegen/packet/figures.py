"""Figures as a sheet shows them: in the job's unit, rounded once, never a negative zero."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from gcodegen.customary import for_people
from gcodegen.units import in_unit, show_length

# A figure and its unit stay on one line.
NBSP = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True, slots=True)
class Figures:
    """Shows lengths (mm inside), angles, torques, speeds and feeds in the job's unit."""

    unit: Literal["mm", "in"]

    def length(self, mm: float) -> str:
        """Return a length with its unit: 5.70 mm, 0.224 in."""
        return show_length(mm, self.unit).replace(" ", NBSP)

    def bare(self, mm: float) -> str:
        """Return a length without its unit, for drawings that state the unit once."""
        return self.length(mm).partition(NBSP)[0]

    def coordinate(self, mm: float) -> str:
        """Return a length as a program spells it: 3 decimals in mm, 4 in inches, with its sign."""
        return show_length(mm, self.unit, 4 if self.unit == "in" else 3).replace(" ", NBSP)

    def word(self, mm: float) -> str:
        """Return a coordinate without its unit."""
        return self.coordinate(mm).partition(NBSP)[0]

    def torque(self, nmm: float) -> str:
        """Return a torque not to be passed, cut off and never rounded up: 0.91 N m; inch people's figure before it."""
        return for_people(f"{math.floor(nmm / 10 + 1e-9) / 100:.2f} N m", self.unit)

    def feed_per_turn(self, mm: float) -> str:
        """Return a feed per turn."""
        return f"{in_unit(mm, self.unit):.{4 if self.unit == 'in' else 3}f}{NBSP}{self.unit}/rev"

    def amount(self, value: float | str | None, unit: str) -> str:
        """Return a decision's value, limit or margin with its unit; a length is turned into the job's unit."""
        if value is None:
            return ""
        if isinstance(value, str):
            return value
        if unit == "mm":
            return self.length(value)
        if unit == "N mm":  # people set torques in N m
            value, unit = value / 1000, "N m"
        return for_people(f"{plain(value)} {unit}".strip(), self.unit).replace(" ", NBSP)


def speed(rpm: float) -> str:
    """Return a speed in whole rev/min, cut off and never rounded up."""
    return f"{int(rpm)}{NBSP}rev/min"


def signed(axis: str) -> str:
    """Return a direction such as -X with a minus sign that no line breaks after."""
    return axis.replace("-", "\N{MINUS SIGN}")


def plain(value: float) -> str:
    """Return a number with as many decimals as its size deserves: 2500, 22.57, 0.123."""
    size = abs(value)
    if float(value).is_integer():
        text = f"{value:.0f}"
    elif size < 10:
        text = f"{value:.3g}"
    else:
        text = f"{value:.2f}" if size < 100 else f"{value:.1f}"
    return text.lstrip("-") if float(text) == 0 else text


def angle(degrees: float) -> str:
    """Return an angle: 15.00 deg."""
    return f"{round(degrees, 2) + 0.0:.2f}\N{DEGREE SIGN}"
