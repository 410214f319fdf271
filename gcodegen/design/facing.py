"""The walls that four screws 90 degrees apart leave, each against the angle of screw 1, and where each turns.

Between two neighbouring turns every wall only rises or only falls; docs/angles.md has the proof. As a rule an
obstacle is met by whichever screw is nearest to it, and its wall rises as that screw goes away: it turns at the
obstacle's place and half a period on. The one exception is a pocket that ends inside the recess's radius with a
straight face: its corners reach farther out than its middle. Its wall falls until the screw stands over a
corner and rises from there, and each of the four screws has a wall to it of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import atan2, degrees, gcd

from gcodegen.design.obstacles import Channel, Placed
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least

QUARTER = 90.0
_SAME_DEG = 1e-6


def fold(angle: float, period: float = QUARTER) -> float:
    """Return the distance to the nearest multiple of the period, degrees."""
    rest = angle % period
    return min(rest, period - rest)


def corner_angle(hole: ScrewHole, obstacle: Placed) -> float:
    """Return how far aside of an obstacle the wall to it is least, degrees: 0, or where a pocket has a corner."""
    if isinstance(obstacle, Channel) and obstacle.outer < hole.inner:
        return degrees(atan2(obstacle.half_width, obstacle.outer))
    return 0.0


class FacingWall:
    """The wall to one obstacle against the angle of screw 1, each angle worked out once."""

    def __init__(self, hole: ScrewHole, obstacle: Placed, period: float) -> None:
        self._theta, self._period = obstacle.theta, period
        self._hole, self._obstacle = hole, obstacle
        self._known: dict[float, float] = {}
        self._bounds: dict[float, float] = {}

    @property
    def turns(self) -> tuple[float, ...]:
        """Where the wall turns from falling to rising or back, degrees; the first is where it is least."""
        return self._theta, self._theta + self._period / 2

    def rises(self, phi: float) -> bool:
        """Return whether the wall rises at an angle between its turns; else it falls."""
        return (phi - self._theta) % self._period < self._period / 2

    def apart(self, phi: float) -> float:
        """Return the angle between the obstacle and the screw that it faces, degrees."""
        return fold(phi - self._theta, self._period)

    def bound(self, phi: float) -> float:
        """Return a lower bound of the wall, mm; the wall itself where it is known."""
        apart = self.apart(phi)
        if apart in self._known:
            return self._known[apart]
        if apart not in self._bounds:
            self._bounds[apart] = wall_at_least(self._hole, self._obstacle, apart)
        return self._bounds[apart]

    def __call__(self, phi: float) -> float:
        """Return the wall with screw 1 at ``phi`` degrees, mm."""
        apart = self.apart(phi)
        if apart not in self._known:
            self._known[apart] = wall_at(self._hole, self._obstacle, apart)
        return self._known[apart]


class _CornerWall(FacingWall):
    """The wall of one screw to a pocket whose corners face the recess wall."""

    def __init__(self, hole: ScrewHole, obstacle: Placed, screw: int) -> None:
        super().__init__(hole, replace(obstacle, theta=obstacle.theta - QUARTER * screw), QUARTER)
        self._corner = corner_angle(hole, obstacle)

    @property
    def turns(self) -> tuple[float, ...]:
        t = self._theta
        return t + self._corner, t - self._corner, t, t + 180.0

    def rises(self, phi: float) -> bool:
        signed = (phi - self._theta + 180.0) % 360.0 - 180.0
        return (abs(signed) > self._corner) == (signed > 0)

    def apart(self, phi: float) -> float:
        return abs((phi - self._theta + 180.0) % 360.0 - 180.0)


def facing_walls(hole: ScrewHole, placed: Sequence[Placed]) -> tuple[float, list[FacingWall]]:
    """Return the angle after which the walls repeat, degrees, and those that can govern the best angle.

    An obstacle that is met by the nearest screw leaves no more at any angle than it has half a period away, so
    the best least wall is at most the least of those. What leaves more even where its wall is least never governs.
    """
    cornered = [p for p in placed if corner_angle(hole, p) > 0]
    plain = [p for p in placed if corner_angle(hole, p) == 0]
    period, alike = repeats(plain) if not cornered else (QUARTER, _alike(plain))
    walls = [FacingWall(hole, p, period) for p in alike]
    most, cap = None, float("inf")
    for bound, k in sorted((w.bound(w.turns[1]), k) for k, w in enumerate(walls)):
        if bound < cap and (wall := walls[k](walls[k].turns[1])) < cap:
            most, cap = walls[k], wall
    walls += [_CornerWall(hole, p, screw) for p in _alike(cornered) for screw in range(4)]
    return period, [w for w in walls if w is most or w.bound(w.turns[0]) < cap]


def _alike(placed: Sequence[Placed]) -> list[Placed]:
    """Return the obstacles folded into a quarter turn, like ones on one place once."""
    return list(dict.fromkeys(replace(p, name="", theta=round(p.theta % QUARTER, 9) % QUARTER) for p in placed))


def repeats(placed: Sequence[Placed]) -> tuple[float, list[Placed]]:
    """Return the angle after which the folded obstacles repeat, 90 degrees or a part of it, and one set of them."""
    kinds: dict[Placed, list[float]] = {}
    for p in _alike(placed):
        kinds.setdefault(replace(p, theta=0.0), []).append(p.theta)
    period = QUARTER
    for times in range(gcd(*(len(places) for places in kinds.values())), 0, -1):
        period = QUARTER / times
        if all(_repeat(places, period) for places in kinds.values()):
            break
    return period, [
        replace(kind, theta=theta)
        for kind, places in kinds.items()
        for theta in sorted(places)[: round(len(places) * period / QUARTER)]
    ]


def _repeat(places: Sequence[float], period: float) -> bool:
    return all(any(fold(a + period - b) < _SAME_DEG for b in places) for a in places)


def least_of(walls: Sequence[FacingWall], phi: float, enough: float = float("-inf")) -> float:
    """Return the least wall at an angle, mm, or one that is not above ``enough``.

    A wall whose bound is above the least so far is not worked out.
    """
    least = float("inf")
    for bound, _, wall in sorted((w.bound(phi), k, w) for k, w in enumerate(walls)):
        if bound >= least or least <= enough:
            break
        least = min(least, wall(phi))
    return least
