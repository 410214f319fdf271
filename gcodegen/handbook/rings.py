"""Thin rings under equal radial loads evenly spaced: moments and movements, and a ring of rectangular section."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gcodegen.verdict import Source

RING_SOURCE = Source(
    "Roark's Formulas for Stress and Strain", "Table 9.2 case 7, equal radial loads, from memory; rederived"
)


def ring_moment(loads: int) -> float:
    """Return the bending moment under each of ``loads`` equal radial loads, in W R: (1/a - cot a)/2, a = pi/loads."""
    a = _half_spacing(loads)
    return (1.0 / a - 1.0 / math.tan(a)) / 2.0


def ring_movement(loads: int) -> float:
    """Return how far each load moves along itself, in W R^3/(E I); two opposed loads: pi/8 - 1/pi."""
    a = _half_spacing(loads)
    sine = math.sin(a)
    return ((a / 2.0 + sine * math.cos(a) / 2.0) / sine**2 - 1.0 / a) / 2.0


def _half_spacing(loads: int) -> float:
    if loads < 2:
        raise ValueError(f"{loads} loads do not balance on a ring; allowed: 2 or more")
    return math.pi / loads


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring of rectangular section: mean radius, radial thickness and width along the axis, mm."""

    mean_radius: float
    thickness: float
    width: float

    @property
    def inertia_mm4(self) -> float:
        """Second moment of the section about the ring's own middle line, mm4."""
        return self.width * self.thickness**3 / 12

    def bending_stress(self, load: float, loads: int = 2) -> float:
        """Return the highest bending stress under equal radial loads, MPa."""
        moment = ring_moment(loads) * load * self.mean_radius
        return moment * (self.thickness / 2) / self.inertia_mm4

    def load_at(self, stress: float) -> float:
        """Return the two opposed loads that bend it to this stress, N."""
        return stress / self.bending_stress(1.0)

    def movement(self, load: float, modulus_gpa: float, loads: int = 2) -> float:
        """Return how far the ring gives under each load, mm."""
        return ring_movement(loads) * load * self.mean_radius**3 / (1000.0 * modulus_gpa * self.inertia_mm4)
