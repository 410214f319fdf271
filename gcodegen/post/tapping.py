"""Speed and feed of a synchronised tap: the feed word must be the speed word times the pitch."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from gcodegen.post.numbers import PER_MINUTE_DIGITS, Numbers, decimal, whole_speed
from gcodegen.units import unit_factor

# A pitch is a short decimal of mm or 25.4 over a whole number: both have small denominators, and two such
# fractions never lie as near to one float as this.
LARGEST_DENOMINATOR = 10_000
SAME_PITCH_MM = 1e-9
# A tap may run slower than wished for, not slower than half.
SLOWEST_PART = 0.5
# Where no whole speed makes the feed exact, more digits keep tap and thread within 0.001 mm over 25 mm.
MORE_DIGITS = 4


@dataclass(frozen=True, slots=True)
class Locked:
    """A whole speed, rev/min, and the feed word that goes with it; ``exact`` is false when it is rounded."""

    speed: int
    feed: str
    exact: bool


def exact_pitch(pitch_mm: float) -> Fraction:
    """Return the pitch as the fraction of a millimetre that it is: 4/5, 127/160."""
    fraction = Fraction(pitch_mm).limit_denominator(LARGEST_DENOMINATOR)
    return fraction if abs(float(fraction) - pitch_mm) < SAME_PITCH_MM else Fraction(pitch_mm)


def floating_feed(wanted_rpm: float, pitch_mm: float, numbers: Numbers, least: float, most: float) -> Locked:
    """Return the speed, and the feed of a holder that floats: the stated share of speed times pitch."""
    speed = whole_speed(wanted_rpm, least, most)
    share = numbers.dialect.floating_feed_share
    return Locked(speed, numbers.per_minute(speed * exact_pitch(pitch_mm) * Fraction(str(share))), exact=False)


def locked_feed(wanted_rpm: float, pitch_mm: float, numbers: Numbers, least: float, most: float) -> Locked:
    """Return the fastest whole speed, not above the wanted one, whose feed is exact in the program's digits.

    Parameters
    ----------
    wanted_rpm, least, most : float
        Speed wished for and the machine's limits, rev/min.
    pitch_mm : float
        Pitch of the thread, mm.
    """
    pitch = exact_pitch(pitch_mm)
    digits, zeros = PER_MINUTE_DIGITS[numbers.unit], numbers.dialect.trailing_zeros
    fastest = whole_speed(wanted_rpm, least, most)
    for speed in range(fastest, max(whole_speed(SLOWEST_PART * wanted_rpm, least, most), 1) - 1, -1):
        feed = speed * pitch / unit_factor(numbers.unit)
        if (feed * 10**digits).denominator == 1:
            return Locked(speed, decimal(feed, digits, zeros=zeros), exact=True)
    feed = fastest * pitch / unit_factor(numbers.unit)
    return Locked(fastest, decimal(feed, MORE_DIGITS, zeros=zeros), exact=False)
