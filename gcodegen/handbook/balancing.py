"""Balance of a rigid body off its axis: grades, the speed at which one is reached, what the offset pulls with."""

from __future__ import annotations

import math
from typing import Literal, TypeAlias, get_args

from gcodegen.verdict import Source

BALANCE_SOURCE = Source(
    "ISO 21940-11", "grade G = e w; e in um = 9549 G / n; grades of Table 1, G6.3 for parts of machine tools"
)
GradeName: TypeAlias = Literal["G1", "G2.5", "G6.3", "G16", "G40"]
GRADES: tuple[GradeName, ...] = get_args(GradeName)
GRAVITY = 9.81
"""Acceleration of a falling body, m/s2."""


def grade_mm_s(name: GradeName) -> float:
    """Return a grade's product of offset and angular speed, mm/s: "G6.3" is 6.3."""
    return float(name[1:])


def allowed_offset_mm(grade: float, speed_rpm: float) -> float:
    """Return the offset of the mass that a grade in mm/s allows at a speed in rev/min, mm."""
    return grade / _angular(speed_rpm)


def allowed_unbalance_gmm(grade: float, speed_rpm: float, mass_kg: float) -> float:
    """Return the unbalance that a grade in mm/s allows a mass in kg at a speed in rev/min, g mm."""
    return 1000.0 * mass_kg * allowed_offset_mm(grade, speed_rpm)


def unbalance_gmm(mass_kg: float, offset_mm: float) -> float:
    """Return the unbalance of a mass in kg whose centre is off the axis by ``offset_mm``, g mm."""
    return 1000.0 * mass_kg * offset_mm


def speed_at_grade_rpm(grade: float, offset_mm: float) -> float:
    """Return the speed in rev/min up to which an offset keeps a grade in mm/s; infinite without an offset."""
    return math.inf if offset_mm <= 0.0 else grade / offset_mm * 30.0 / math.pi


def centrifugal_n(mass_kg: float, offset_mm: float, speed_rpm: float) -> float:
    """Return the force in N with which a mass off its axis pulls as it turns: m e w^2."""
    return mass_kg * offset_mm / 1000.0 * _angular(speed_rpm) ** 2


def _angular(speed_rpm: float) -> float:
    """Return the angular speed in rad/s."""
    if not speed_rpm > 0.0:
        raise ValueError(f"speed {speed_rpm:g} rev/min is not above zero")
    return speed_rpm * math.pi / 30.0
