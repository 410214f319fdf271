"""A wall that never falls as the screw leaves an obstacle, and what is known of it.

Each wall is worked out once. Because it never falls, a wall that is known at one angle is a bound at all others:
most questions are answered from those.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable
from math import atan2, degrees

from gcodegen.design.obstacles import Channel, Placed
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least

_CLOSE_DEG = 1e-9
_CLOSE_MM = 1e-7


def corner_angle(hole: ScrewHole, obstacle: Placed) -> float:
    """Return how far aside of an obstacle the wall to it is least, degrees: 0, or where a pocket has a corner."""
    if isinstance(obstacle, Channel) and obstacle.outer < hole.inner:
        return degrees(atan2(obstacle.half_width, obstacle.outer))
    return 0.0


class Rising:
    """The wall against the angle from where it is least: outwards, or from a pocket's corner in to its middle."""

    def __init__(self, hole: ScrewHole, obstacle: Placed, *, inwards: bool = False) -> None:
        self.corner = corner_angle(hole, obstacle)
        self.obstacle = obstacle
        self.farthest = self.corner if inwards else 180.0 - self.corner
        """Where it ends, degrees: beyond the middle of a pocket another corner is nearer."""
        self._hole, self._way = hole, -1.0 if inwards else 1.0
        self._at: list[float] = []
        self._walls: list[float] = []
        self._bounds: dict[float, float] = {}

    def __call__(self, apart: float) -> float:
        """Return the wall at an angle from the least one, degrees, mm; past the farthest it is another wall."""
        if apart > self.farthest + _CLOSE_DEG:
            return float("inf")
        k = bisect_left(self._at, apart)
        if k < len(self._at) and self._at[k] == apart:
            return self._walls[k]
        wall = wall_at(self._hole, self.obstacle, self.corner + self._way * apart)
        self._at.insert(k, apart)
        self._walls.insert(k, wall)
        return wall

    def at_least(self, apart: float) -> float:
        """Return a lower bound of the wall, mm; the wall itself where it is known."""
        if apart > self.farthest + _CLOSE_DEG:
            return float("inf")
        k = bisect_right(self._at, apart)
        if k and self._at[k - 1] == apart:
            return self._walls[k - 1]
        bound = self._bounds.get(apart)
        if bound is None:
            bound = wall_at_least(self._hole, self.obstacle, self.corner + self._way * apart)
            self._bounds[apart] = bound
        return max(bound, self._walls[k - 1]) if k else bound

    def known_below(self, level: float) -> float:
        """Return the largest angle at which the wall is known to be no more than ``level``; below 0: none."""
        k = bisect_right(self._walls, level)
        return self._at[k - 1] if k else -1.0

    def reaches(self, level: float, by: float) -> float:
        """Return the least angle at which the wall is ``level``, which it has reached at the angle ``by``."""
        k = bisect_left(self._walls, level)
        low = self._at[k - 1] if k else 0.0
        high = min(by, self._at[k]) if k < len(self._at) else by
        if low >= high or self(low) >= level:
            return min(low, high)
        return crossing(lambda apart: self(apart) - level, low, high)[1]


def crossing(f: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Return two places next to each other between which a rising function leaves the negative.

    False position, the weight of an end that stays halved; where two steps have not halved the interval, one
    does. A value within 1e-7 mm is taken as the place itself.
    """
    at_low, at_high, last = f(low), f(high), 0
    widths = [high - low] * 2
    while high - low > _CLOSE_DEG:
        slow = high - low > widths[-2] / 2
        share = 0.5 if slow and len(widths) > 2 else min(max(at_low / (at_low - at_high), 1e-4), 1 - 1e-4)
        widths.append(high - low)
        middle = low + share * (high - low)
        value = f(middle)
        if abs(value) < _CLOSE_MM:
            return middle, middle
        if value < 0:
            low, at_low, at_high, last = middle, value, at_high / 2 if last < 0 else at_high, -1
        else:
            high, at_high, at_low, last = middle, value, at_low / 2 if last > 0 else at_low, 1
    return low, high
