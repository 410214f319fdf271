"""Four screws that may each leave their place of a common cross by a little: the best least wall, by bisection.

Less wall forbids less, so halving finds the largest that four screws within the tolerance can leave.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gcodegen.design.angles import best_angle
from gcodegen.design.arcs import Cross, cross_beside, kinds
from gcodegen.design.facing import QUARTER
from gcodegen.design.obstacles import Placed
from gcodegen.design.walls import ScrewHole

_CLOSE_MM = 1e-6
_ROUGH_MM = 2e-2
ROUNDING_DEG = 0.001  # angles are rounded to a thousandth afterwards


@dataclass(frozen=True, slots=True)
class BestSet:
    """The best angles of four screws, degrees in 0 to 360, screw 1 first, and the least wall there, mm."""

    angles: Cross
    wall: float


def best_set(hole: ScrewHole, placed: Sequence[Placed], tolerance_deg: float, enough: float = 0.0) -> BestSet:
    """Return the angles, each within the tolerance of a common cross, that leave the largest least wall.

    Where that is less than ``enough`` (mm) it is known to two hundredths of a millimetre only, not to a millionth.
    """
    even = best_angle(hole, placed)
    cross = _cross(even.first_angle)
    tolerance = tolerance_deg - ROUNDING_DEG
    if tolerance <= 0:
        return BestSet(cross, even.wall)
    around = kinds(hole, placed)
    low, high = even.wall, min(kind.most(tolerance) for kind in around)
    middle = enough if low < enough < high else (low + high) / 2
    best = None
    while high - low > (_CLOSE_MM if low >= enough else _ROUGH_MM):
        found = cross_beside([kind.forbidden(middle) for kind in around], tolerance)
        low, high, best = (middle, high, found) if found else (low, middle, best)
        middle = (low + high) / 2
    return BestSet(best, low) if best else BestSet(cross, even.wall)


def _cross(first: float) -> Cross:
    """Return the cross of an angle of screw 1 within 0 to 90 degrees."""
    a, b, c, d = (first + QUARTER * k for k in range(4))
    return a, b, c, d
