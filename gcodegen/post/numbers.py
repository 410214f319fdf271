"""Numbers as a program spells them: the one place that rounds, and it rounds once."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from gcodegen.errors import GcodegenError
from gcodegen.job import Dialect
from gcodegen.units import unit_factor

SHOWN_DIGITS = {"mm": 3, "in": 4}
PER_MINUTE_DIGITS = {"mm": 1, "in": 2}
PER_TURN_DIGITS = {"mm": 3, "in": 4}
ANGLE_DIGITS = 3
SECOND_DIGITS = 2
# A speed a hair below a whole number (2499.9999999) is that whole number.
DUST = 1e-6

UNIT_WORD = {"mm": "G21", "in": "G20"}
"""The word that states a program's unit (NISTIR 6556, section 3.5.7)."""


def decimal(value: float | Fraction, digits: int, *, zeros: bool = False, plus: bool = False) -> str:
    """Return a number with a decimal point and at most ``digits`` (at least one) after it.

    Never an exponent, never a negative zero, no needless zeros: 5.0, -2.746, 0.0. With ``zeros`` all digits
    stand, with ``plus`` a sign before what is not negative.

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
    text = text if zeros else f"{whole}.{part.rstrip('0') or '0'}"
    text = text.removeprefix("-") if float(text) == 0 else text
    return f"+{text}" if plus and not text.startswith("-") else text


def whole_speed(rpm: float, least: float, most: float) -> int:
    """Return whole rev/min, not faster than ``rpm``, yet inside ``least`` to ``most`` if it can be."""
    slowest, fastest = math.ceil(least - DUST), math.floor(most + DUST)
    return max(min(max(math.floor(rpm + DUST), slowest), fastest), 1)


@dataclass(frozen=True, slots=True)
class Numbers:
    """Spells lengths (mm inside), feeds (mm inside), angles, seconds for programs in ``unit``, as a dialect wants.

    Every place is given absolutely and rounded once, so the error of a whole program is that of one number: half
    of the last digit, 0.0005 mm.
    """

    unit: Literal["mm", "in"]
    dialect: Dialect = field(default_factory=Dialect)

    @property
    def digits(self) -> int:
        """Digits after the point of a length."""
        return self.dialect.mm_decimals if self.unit == "mm" else self.dialect.inch_decimals

    def length(self, mm: float) -> str:
        """Return a coordinate."""
        return self._spelled(self._in_unit(mm), self.digits, plus=self.dialect.plus_signs)

    def size(self, mm: float) -> str:
        """Return a length that has no sign, such as that of a peck."""
        return self._spelled(self._in_unit(mm), self.digits)

    def across(self, mm: float) -> str:
        """Return a lathe's X for a diameter; one digit more where X counts in radius, or the halving would show."""
        if self.dialect.x_values == "diameter":
            return self.length(mm)
        return self._spelled(self._in_unit(mm / 2), self.digits + 1, plus=self.dialect.plus_signs)

    def angle(self, degrees: float) -> str:
        """Return an angle of the work, degrees, in the sense of the machine's own rotary."""
        turned = -degrees if self.dialect.rotary_sense == "reversed" else degrees
        return self._spelled(turned, ANGLE_DIGITS, plus=self.dialect.plus_signs)

    def seconds(self, seconds: float) -> str:
        """Return a dwell in seconds."""
        return self._spelled(seconds, SECOND_DIGITS)

    def per_minute(self, mm_per_minute: float | Fraction) -> str:
        """Return a feed per minute; a feed that would be written as zero is refused."""
        return self._feed(mm_per_minute, PER_MINUTE_DIGITS[self.unit])

    def per_turn(self, mm_per_turn: float) -> str:
        """Return a feed per revolution; a feed that would be written as zero is refused."""
        return self._feed(mm_per_turn, PER_TURN_DIGITS[self.unit])

    def show(self, mm: float) -> str:
        """Return a length for a comment, with the unit's name: ``4.2 MM``, ``0.1654 IN``."""
        return f"{decimal(self._in_unit(mm), SHOWN_DIGITS[self.unit])} {self.unit.upper()}"

    def _feed(self, mm: float | Fraction, digits: int) -> str:
        text = self._spelled(self._in_unit(mm), digits)
        if float(text) <= 0:
            raise GcodegenError(
                f"a feed of {float(mm):.6f} mm is nothing when written with {digits} digits in {self.unit}",
                do="Raise the feed or the speed",
            )
        return text

    def _spelled(self, value: float | Fraction, digits: int, *, plus: bool = False) -> str:
        return decimal(value, digits, zeros=self.dialect.trailing_zeros, plus=plus)

    def _in_unit(self, mm: float | Fraction) -> float | Fraction:
        factor = unit_factor(self.unit)
        return mm / factor if isinstance(mm, Fraction) else mm / float(factor)
