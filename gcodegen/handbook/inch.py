"""Inch and pound figures as their pages give them, turned into the units used inside."""

from __future__ import annotations

from gcodegen.units import MM_PER_INCH

NEWTONS_PER_POUND = 4.4482216152605  # exact by definition of pound and standard gravity
NMM_PER_IN_LB = NEWTONS_PER_POUND * MM_PER_INCH
MPA_PER_KSI = 1000.0 * NEWTONS_PER_POUND / MM_PER_INCH**2
M_PER_FOOT = 0.3048


def mm(inches: float) -> float:
    """Return inches as millimetres; the pages stop at four decimals, the rounding drops binary noise."""
    return round(inches * MM_PER_INCH, 6)


def m_min(feet_per_minute: float) -> float:
    """Return a surface speed in feet per minute as m/min."""
    return round(feet_per_minute * M_PER_FOOT, 3)


def newtons(pounds: float) -> float:
    """Return a force in pounds as newtons."""
    return round(pounds * NEWTONS_PER_POUND, 1)


def nmm(inch_pounds: float) -> float:
    """Return a torque in inch-pounds as N mm."""
    return round(inch_pounds * NMM_PER_IN_LB, 1)


def mpa(ksi: float) -> float:
    """Return a stress in thousands of pounds per square inch as MPa."""
    return round(ksi * MPA_PER_KSI, 1)
