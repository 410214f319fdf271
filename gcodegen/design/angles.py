"""Where round the rim the four screws go: the exact best, with no grid.

Four screws 90 degrees apart see every obstacle folded into one quarter turn: an obstacle at theta is met by
the nearest screw at |fold(phi - theta)| of at most 45 degrees, and its wall never falls as that grows (proof in
docs/angles.md). Between two neighbouring breakpoints (theta and theta + 45 degrees, modulo 90) each wall
therefore only rises or only falls; the least of the rising ones meets the least of the falling ones at one
crossing, which is closed in on from both sides. The best of all intervals is the exact optimum; where it is a
plateau, its middle is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gcodegen.design.facing import QUARTER, FacingWall, facing_walls, least_of
from gcodegen.design.obstacles import Obstacles, Placed
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least, wall_to_cavity

_TIE_MM = 3e-7
_HALVINGS = 22  # of an interval of 45 degrees: 1e-5 degrees; where a plateau ends need not be known closer
_ASIDE_DEG = 1e-5  # a top that is narrower than this has no middle to look for
_CLOSE_DEG = 1e-9
_CLOSE_MM = 1e-7
CURVE_STEP_DEG = 0.5


@dataclass(frozen=True, slots=True)
class BestAngle:
    """The best first angle, degrees in 0 to 90, and the least wall there over all placed obstacles, mm."""

    first_angle: float
    wall: float


def best_angle(hole: ScrewHole, placed: Sequence[Placed]) -> BestAngle:
    """Return the angle of screw 1 that leaves the largest least wall for four screws 90 degrees apart."""
    if not placed:
        return BestAngle(0.0, float("inf"))
    period, walls = facing_walls(hole, placed)
    points = sorted({round(b % period, 9) for w in walls for b in w.turns})
    sides = [_Sides(a, b, walls) for a, b in zip(points, [*points[1:], points[0] + period], strict=True)]
    best, looked = float("-inf"), []
    for side in sorted(sides, key=lambda side: -side.hope):
        if side.may_reach(best - _TIE_MM):
            best = max(best, side.peak)
            looked.append(side)
    level = best - _TIE_MM
    runs = [side.above(level) for side in looked if side.peak >= level]
    longest = max(_merged(runs, period), key=lambda run: (round(run[1] - run[0], 5), -(run[0] % period)))
    middle = (longest[0] + longest[1]) / 2
    return BestAngle(round(middle % period, 9) % period, best)


class _Sides:
    """One interval between breakpoints, with the walls that rise in it and those that fall."""

    def __init__(self, a: float, b: float, walls: Sequence[FacingWall]) -> None:
        self.a, self.b = a, b
        middle = (a + b) / 2
        self._rising = [w for w in walls if w.rises(middle)]
        self._falling = [w for w in walls if not w.rises(middle)]
        self._top: float | None = None
        self._most = float("inf")
        # A quick guess of the top; it only sets the order in which intervals are looked at.
        bounds = [w.bound(b) for w in self._rising] + [w.bound(a) for w in self._falling]
        self.hope = min(bounds, default=float("inf"))

    def may_reach(self, level: float) -> bool:
        """Return whether the least wall may be above ``level`` somewhere in the interval."""
        return all(
            least_of(walls, end, level) > level for walls, end in ((self._rising, self.b), (self._falling, self.a))
        )

    def rise(self, phi: float) -> float:
        return min(self._most, least_of(self._rising, phi))

    def fall(self, phi: float) -> float:
        return min(self._most, least_of(self._falling, phi))

    @property
    def top(self) -> float:
        """Where in the interval the least wall is largest, degrees."""
        if self._top is None:
            # No wall matters here that is nowhere below what the others leave at most.
            self._most = min(self.rise(self.b), self.fall(self.a))
            self._rising = [w for w in self._rising if w.bound(self.a) < self._most]
            self._falling = [w for w in self._falling if w.bound(self.b) < self._most]
            self._top = self._highest()
        return self._top

    def _highest(self) -> float:
        if self.rise(self.b) <= self.fall(self.b):
            return self.b
        if self.rise(self.a) >= self.fall(self.a):
            return self.a
        ends = crossing(lambda phi: self.rise(phi) - self.fall(phi), self.a, self.b)
        return max(ends, key=lambda phi: min(self.rise(phi), self.fall(phi)))

    @property
    def peak(self) -> float:
        """The largest least wall in the interval, mm."""
        return min(self.rise(self.top), self.fall(self.top))

    def above(self, level: float) -> tuple[float, float]:
        """Return the part of the interval where the least wall reaches ``level``, which its top does."""
        start = end = self.top
        before, after = max(self.a, start - _ASIDE_DEG), min(self.b, end + _ASIDE_DEG)
        if self.rise(before) >= level:
            start = _first_true(lambda phi: self.rise(phi) >= level, self.a, before)
        if self.fall(after) >= level:
            end = self.b + after - _first_true(lambda phi: self.fall(self.b + after - phi) >= level, after, self.b)
        return start, end


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


def _first_true(test: Callable[[float], bool], low: float, high: float) -> float:
    """Return where a test that turns true once, and is true at ``high``, does so."""
    if test(low):
        return low
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if test(middle) else (middle, high)
    return high


def _merged(runs: list[tuple[float, float]], period: float) -> list[tuple[float, float]]:
    """Join runs that touch, also across the seam from the period's end to its start."""
    joined: list[tuple[float, float]] = []
    for start, end in sorted(runs):
        if joined and start <= joined[-1][1] + 1e-6:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    if len(joined) > 1 and joined[-1][1] >= joined[0][0] + period - 1e-6:
        first = joined.pop(0)
        joined[-1] = (joined[-1][0], first[1] + period)
    return joined


@dataclass(frozen=True, slots=True)
class ScrewWall:
    """The least wall at one screw, mm, and the obstacle that governs it."""

    wall: float
    feature: str


def screw_walls(hole: ScrewHole, around: Obstacles, angles: Sequence[float]) -> tuple[ScrewWall, ...]:
    """Return the least wall at each screw over every obstacle, cavities included."""
    cavities = [ScrewWall(wall_to_cavity(hole, c), c.name) for c in around.round]
    return tuple(_screw_wall(hole, around, cavities, angle) for angle in angles)


def _screw_wall(hole: ScrewHole, around: Obstacles, cavities: Sequence[ScrewWall], angle: float) -> ScrewWall:
    least = min(cavities, key=lambda w: w.wall, default=ScrewWall(float("inf"), "none"))
    bounds = sorted((wall_at_least(hole, p, angle - p.theta), k) for k, p in enumerate(around.placed))
    for bound, k in bounds:
        if bound >= least.wall:
            break
        placed = around.placed[k]
        if (wall := wall_at(hole, placed, angle - placed.theta)) < least.wall:
            least = ScrewWall(wall, placed.name)
    return least


def margin_curve(hole: ScrewHole, around: Obstacles, angles: Sequence[float]) -> tuple[tuple[float, float], ...]:
    """Return the least wall of the set turned round as it is, screw 1 over 0 to 90 degrees: ((deg, mm), ...)."""
    cap = min((wall_to_cavity(hole, c) for c in around.round), default=float("inf"))
    off = [((a - angles[0] - QUARTER * k + 180) % 360) - 180 for k, a in enumerate(angles)]
    quarters = round((angles[0] - angles[0] % QUARTER) / QUARTER)
    steps = [k * CURVE_STEP_DEG for k in range(round(QUARTER / CURVE_STEP_DEG) + 1)]
    if max(off) - min(off) < 1e-9:
        _, walls = facing_walls(hole, around.placed)
        return tuple((phi, min(cap, least_of(walls, phi))) for phi in steps)
    placed = Obstacles(around.placed, ())
    turned = [[phi + QUARTER * (quarters + k) + o for k, o in enumerate(off)] for phi in steps]
    return tuple(
        (phi, min(cap, *(w.wall for w in screw_walls(hole, placed, set_))))
        for phi, set_ in zip(steps, turned, strict=True)
    )
