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
_LEAST_SHARE = 1e-4  # of a stretch: a place is never looked for nearer to its ends


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
        """Return the wall at an angle from the least one, up to the farthest, degrees, mm."""
        k = bisect_left(self._at, apart)
        if k < len(self._at) and self._at[k] == apart:
            return self._walls[k]
        wall = wall_at(self._hole, self.obstacle, self.corner + self._way * apart)
        self._at.insert(k, apart)
        self._walls.insert(k, wall)
        return wall

    def at_least(self, apart: float) -> float:
        """Return a lower bound of the wall, mm; the wall itself where it is known; past the farthest it is another."""
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


def crossing(
    f: Callable[[float], float], low: float, high: float, given_up: Callable[[], bool] | None = None
) -> tuple[float, float]:
    """Return two places next to each other between which a rising function leaves the negative.

    Inverse parabolas through the last three places where they can be trusted, halves where they cannot (T. R.
    Chandrupatla, Advances in Engineering Software 28, 1997, pages 145 to 149; from memory). A value within 1e-7 mm is
    taken as the place itself. ``given_up`` is asked after each value: when true, the two places so far are returned.
    """
    (a, fa), (b, fb) = (low, f(low)), (high, f(high))
    share = fa / (fa - fb)
    while abs(b - a) > _CLOSE_DEG and not (given_up and given_up()):
        place = a + min(max(share, _LEAST_SHARE), 1 - _LEAST_SHARE) * (b - a)
        value = f(place)
        if abs(value) < _CLOSE_MM:
            return place, place
        if (value < 0) == (fa < 0):
            (c, fc), (a, fa) = (a, fa), (place, value)
        else:
            (c, fc), (b, fb), (a, fa) = (b, fb), (a, fa), (place, value)
        along, up = (a - b) / (c - b), (fa - fb) / (fc - fb)
        share = 0.5
        if up * up < along and (1 - up) ** 2 < 1 - along:
            share = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
    return min(a, b), max(a, b)
