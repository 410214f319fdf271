"""Figures as a sheet shows them: in the job's unit, rounded once, never a negative zero."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gcodegen.units import MM_PER_INCH, in_unit, show_length

# 1 lbf is 4.4482216152605 N exactly: the pound of 0.45359237 kg times standard gravity, 9.80665 m/s2.
NMM_PER_INCH_POUND = 4.4482216152605 * MM_PER_INCH


@dataclass(frozen=True, slots=True)
class Figures:
    """Shows lengths (mm inside), angles, torques, speeds and feeds in the job's unit."""

    unit: Literal["mm", "in"]

    def length(self, mm: float) -> str:
        """Return a length with its unit: 5.70 mm, 0.224 in."""
        return show_length(mm, self.unit)

    def bare(self, mm: float) -> str:
        """Return a length without its unit, for drawings that state the unit once."""
        return self.length(mm).partition(" ")[0]

    def coordinate(self, mm: float) -> str:
        """Return a length as a program spells it: 3 decimals in mm, 4 in inches, with its sign."""
        return show_length(mm, self.unit, 4 if self.unit == "in" else 3)

    def torque(self, nmm: float) -> str:
        """Return a torque: 0.91 N m, and in inch pounds too where the job is in inches."""
        text = f"{nmm / 1000:.2f} N m"
        return f"{text} ({nmm / NMM_PER_INCH_POUND:.1f} lbf in)" if self.unit == "in" else text

    def feed_per_turn(self, mm: float) -> str:
        """Return a feed per turn."""
        return f"{in_unit(mm, self.unit):.{4 if self.unit == 'in' else 3}f} {self.unit}/rev"

    def feed_per_minute(self, mm: float) -> str:
        """Return a feed per minute."""
        return f"{in_unit(mm, self.unit):.{2 if self.unit == 'in' else 1}f} {self.unit}/min"

    def amount(self, value: float | str | None, unit: str) -> str:
        """Return a decision's value, limit or margin with its unit; a length is turned into the job's unit."""
        if value is None:
            return ""
        if isinstance(value, str):
            return value
        if unit == "mm":
            return self.length(value)
        return f"{plain(value)} {unit}".rstrip()


def plain(value: float) -> str:
    """Return a number with as many decimals as its size deserves: 2500, 22.57, 0.123."""
    text = f"{value:.0f}" if abs(value) >= 100 or float(value).is_integer() else f"{value:.3g}"
    if abs(value) >= 10 and not float(value).is_integer() and abs(value) < 100:
        text = f"{value:.2f}"
    return text.lstrip("-") if float(text) == 0 else text


def angle(degrees: float) -> str:
    """Return an angle: 15.00 deg."""
    return f"{round(degrees, 2) + 0.0:.2f}\N{DEGREE SIGN}"
