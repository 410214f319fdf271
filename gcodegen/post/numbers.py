"""Numbers as a program spells them: the one place that rounds, and it rounds once."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from gcodegen.errors import GcodegenError
from gcodegen.units import unit_factor

LENGTH_DIGITS = {"mm": 3, "in": 4}
PER_MINUTE_DIGITS = {"mm": 1, "in": 2}
PER_TURN_DIGITS = {"mm": 3, "in": 4}
ANGLE_DIGITS = 3
SECOND_DIGITS = 2
# A speed a hair below a whole number (2499.9999999) is that whole number.
DUST = 1e-6

UNIT_WORD = {"mm": "G21", "in": "G20"}
"""The word that states a program's unit (NISTIR 6556, section 3.5.7)."""


def decimal(value: float | Fraction, digits: int) -> str:
    """Return a number with a decimal point and at most ``digits`` (at least one) after it.

    Never an exponent, never a negative zero, no needless zeros: 5.0, -2.746, 0.0.

    Raises
    ------
    GcodegenError
        When the value is not finite: no program may carry it.
    """
    if not math.isfinite(value):
        raise GcodegenError(f"a program cannot carry the number {value}", do="Check the job's figures")
    if isinstance(value, Fraction):
        # round() on a Fraction is exact; a float in between could fall on the other side of a half.
        value = float(round(value, digits))
    text = f"{value:.{digits}f}"
    whole, _, part = text.partition(".")
    text = f"{whole}.{part.rstrip('0') or '0'}"
    return "0.0" if text == "-0.0" else text


def whole_speed(rpm: float, least: float, most: float) -> int:
    """Return whole rev/min, not faster than ``rpm``, yet inside ``least`` to ``most`` if it can be."""
    slowest, fastest = math.ceil(least - DUST), math.floor(most + DUST)
    return max(min(max(math.floor(rpm + DUST), slowest), fastest), 1)


@dataclass(frozen=True, slots=True)
class Numbers:
    """Spells lengths (mm inside), feeds (mm inside), angles, seconds for programs in ``unit``."""

    unit: Literal["mm", "in"]

    def length(self, mm: float) -> str:
        """Return a coordinate or a length."""
        return decimal(self._in_unit(mm), LENGTH_DIGITS[self.unit])

    def angle(self, degrees: float) -> str:
        """Return an angle in degrees."""
        return decimal(degrees, ANGLE_DIGITS)

    def seconds(self, seconds: float) -> str:
        """Return a dwell in seconds."""
        return decimal(seconds, SECOND_DIGITS)

    def per_minute(self, mm_per_minute: float | Fraction) -> str:
        """Return a feed per minute; a feed that would be written as zero is refused."""
        return self._feed(mm_per_minute, PER_MINUTE_DIGITS[self.unit])

    def per_turn(self, mm_per_turn: float) -> str:
        """Return a feed per revolution; a feed that would be written as zero is refused."""
        return self._feed(mm_per_turn, PER_TURN_DIGITS[self.unit])

    def show(self, mm: float) -> str:
        """Return a length for a comment, with the unit's name: ``4.2 MM``, ``0.1654 IN``."""
        return f"{self.length(mm)} {self.unit.upper()}"

    def _feed(self, mm: float | Fraction, digits: int) -> str:
        text = decimal(self._in_unit(mm), digits)
        if float(text) <= 0:
            raise GcodegenError(
                f"a feed of {float(mm):.6f} mm is nothing when written with {digits} digits in {self.unit}",
                do="Raise the feed or the speed",
            )
        return text

    def _in_unit(self, mm: float | Fraction) -> float | Fraction:
        factor = unit_factor(self.unit)
        return mm / factor if isinstance(mm, Fraction) else mm / float(factor)
