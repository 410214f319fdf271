"""Readings of an indicator round the turn, and what is known of the indicator.

A value is positive when the stylus is pushed outward: the part's surface lies nearer to the indicator there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from gcodegen.units import in_unit

STEPS_MM = (0.01, 0.005, 0.002, 0.001)
"""Steps an indicator is read to, mm, the coarsest first (common practice, no source)."""
STEPS_IN = (0.001, 0.0005, 0.0002, 0.0001)
"""The same in inches."""
_SAME = 1e-4  # of a step: values that went through binary fractions still count as its multiples


class Spot(StrEnum):
    """A place found by turning the chuck until the needle turns back."""

    HIGH = "high"
    LOW = "low"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One reading: degrees from screw 1 the way the chuck frame runs, mm, and mm from the jaws if told.

    ``weight`` is how many readings it stands for: 3 when it is the mean of three.
    """

    angle_deg: float
    value: float
    plane: float | None = None
    weight: float = 1.0
    spot: Spot | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSet:
    """Readings taken with one indicator at one setting of the screws, in the order in which they were taken.

    ``resolution`` is the least step that was read, mm; None when it was not told. ``lever_angle_deg`` is how
    far the lever of the stylus stands off the tangent of the surface. ``clamped_diameter`` is the bar's, mm.
    """

    readings: tuple[Reading, ...]
    resolution: float | None = None
    lever_angle_deg: float = 0.0
    clamped_diameter: float | None = None

    @property
    def share(self) -> float:
        """What a reading is worth: a lever at an angle shows 1/cos too much."""
        return math.cos(math.radians(self.lever_angle_deg))

    @property
    def square(self) -> tuple[Reading, ...]:
        """The readings as a stylus square to the surface would have shown them, mm."""
        return tuple(replace(r, value=r.value * self.share) for r in self.readings)

    def step(self, unit: str) -> float:
        """Return the least step read, square to the surface, mm: as told, else assumed."""
        told = self.resolution
        return (assumed_resolution([r.value for r in self.readings], unit) if told is None else told) * self.share


def assumed_resolution(values: Sequence[float], unit: str = "mm") -> float:
    """Return the step to reckon with when none is told, mm: the coarsest usual one that all values share.

    Values finer than any usual step count as read to the finest.
    """
    steps = STEPS_IN if unit == "in" else STEPS_MM
    counted = [in_unit(v, unit) for v in values]
    for step in steps:
        if all(abs(v / step - round(v / step)) < _SAME for v in counted):
            break
    return step / in_unit(1.0, unit)
