"""Where round the rim the four screws go: the exact best, with no grid.

Four screws 90 degrees apart see every obstacle folded into one quarter turn: an obstacle at theta is met by
the nearest screw at |fold(phi - theta)| of at most 45 degrees, and its wall never falls as that grows. Between
two neighbouring breakpoints (theta and theta + 45 degrees, modulo 90) each wall therefore only rises or only
falls; the least of the rising ones meets the least of the falling ones at one crossing, which bisection finds.
The best of all intervals is the exact optimum; where it is a plateau, its middle is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from gcodegen.design.obstacles import Obstacles, Placed
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least, wall_to_cavity

QUARTER = 90.0
_TIE_MM = 1e-7
_HALVINGS = 40  # 90 degrees halved 40 times: 8e-11 degrees
CURVE_STEP_DEG = 0.5


@dataclass(frozen=True, slots=True)
class BestAngle:
    """The best first angle, degrees in 0 to 90, and the least wall there over all placed obstacles, mm."""

    first_angle: float
    wall: float


def fold(angle: float) -> float:
    """Return the distance to the nearest multiple of 90 degrees, 0 to 45."""
    rest = angle % QUARTER
    return min(rest, QUARTER - rest)


def best_angle(hole: ScrewHole, placed: Sequence[Placed]) -> BestAngle:
    """Return the angle of screw 1 that leaves the largest least wall for four screws 90 degrees apart."""
    if not placed:
        return BestAngle(0.0, float("inf"))
    walls = [_Wall(hole, p) for p in placed]
    points = sorted({round(b % QUARTER, 9) for p in placed for b in (p.theta, p.theta + QUARTER / 2)})
    sides = [_Sides(a, b, walls) for a, b in zip(points, [*points[1:], points[0] + QUARTER], strict=True)]
    best = float("-inf")
    for side in sorted(sides, key=lambda side: -side.at_most):
        if side.at_most > best:
            best = max(best, side.peak())
    level = best - _TIE_MM
    runs = [run for side in sides if side.at_most >= level and (run := side.above(level)) is not None]
    longest = max(_merged(runs), key=lambda run: (round(run[1] - run[0], 6), -(run[0] % QUARTER)))
    middle = (longest[0] + longest[1]) / 2
    return BestAngle(round(middle % QUARTER, 9) % QUARTER, best)


class _Wall:
    """The wall to one obstacle against the folded angle, each angle worked out once."""

    def __init__(self, hole: ScrewHole, obstacle: Placed):
        self.theta = obstacle.theta
        self._hole, self._obstacle = hole, obstacle
        self._known: dict[float, float] = {}

    def bound(self, phi: float) -> float:
        return wall_at_least(self._hole, self._obstacle, fold(phi - self.theta))

    def __call__(self, phi: float) -> float:
        apart = fold(phi - self.theta)
        if apart not in self._known:
            self._known[apart] = wall_at(self._hole, self._obstacle, apart)
        return self._known[apart]


def _least_of(walls: Sequence[_Wall], phi: float) -> float:
    """Return the least wall at an angle; a wall whose bound is above the least so far is not worked out."""
    least = float("inf")
    for bound, _, wall in sorted((w.bound(phi), k, w) for k, w in enumerate(walls)):
        if bound >= least:
            break
        least = min(least, wall(phi))
    return least


class _Sides:
    """One interval between breakpoints, with the walls that rise in it and those that fall."""

    def __init__(self, a: float, b: float, walls: Sequence[_Wall]):
        self.a, self.b = a, b
        middle = (a + b) / 2
        self._rising = [w for w in walls if (middle - w.theta) % QUARTER < QUARTER / 2]
        self._falling = [w for w in walls if (middle - w.theta) % QUARTER >= QUARTER / 2]
        self.at_most = min(self.rise(b), self.fall(a))

    def rise(self, phi: float) -> float:
        return _least_of(self._rising, phi)

    def fall(self, phi: float) -> float:
        return _least_of(self._falling, phi)

    def peak(self) -> float:
        """Return the largest least wall in the interval."""
        if self.rise(self.b) <= self.fall(self.b):
            return self.rise(self.b)
        if self.rise(self.a) >= self.fall(self.a):
            return self.fall(self.a)
        low, high = self.a, self.b
        for _ in range(_HALVINGS):
            phi = (low + high) / 2
            low, high = (phi, high) if self.rise(phi) < self.fall(phi) else (low, phi)
        return max(min(self.rise(phi), self.fall(phi)) for phi in (low, high))

    def above(self, level: float) -> tuple[float, float] | None:
        """Return the part of the interval where the least wall reaches ``level``; None where it never does."""
        start = _first_true(lambda phi: self.rise(phi) >= level, self.a, self.b)
        end = _first_true(lambda phi: self.fall(self.a + self.b - phi) >= level, self.a, self.b)
        if start is None or end is None:
            return None
        end = self.a + self.b - end
        return (start, end) if end >= start - 1e-6 else None


def _first_true(test: Callable[[float], bool], low: float, high: float) -> float | None:
    """Return where a test that turns true once does so; None when it never does."""
    if test(low):
        return low
    if not test(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if test(middle) else (middle, high)
    return high


def _merged(runs: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Join runs that touch, also across the seam of the quarter turn."""
    joined: list[tuple[float, float]] = []
    for start, end in sorted(runs):
        if joined and start <= joined[-1][1] + 1e-6:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    if len(joined) > 1 and joined[-1][1] >= joined[0][0] + QUARTER - 1e-6:
        first = joined.pop(0)
        joined[-1] = (joined[-1][0], first[1] + QUARTER)
    return joined


@dataclass(frozen=True, slots=True)
class ScrewWall:
    """The least wall at one screw, mm, and the obstacle that governs it."""

    wall: float
    feature: str


def screw_walls(hole: ScrewHole, around: Obstacles, angles: Sequence[float]) -> tuple[ScrewWall, ...]:
    """Return the least wall at each screw over every obstacle, cavities included."""
    cavities = [ScrewWall(wall_to_cavity(hole, c), c.name) for c in around.round]
    found = []
    for angle in angles:
        walls = [ScrewWall(wall_at(hole, p, angle - p.theta), p.name) for p in around.placed]
        found.append(min([*walls, *cavities], key=lambda w: w.wall))
    return tuple(found)


def margin_curve(hole: ScrewHole, around: Obstacles) -> tuple[tuple[float, float], ...]:
    """Return the least wall of the set against screw 1's angle over 0 to 90 degrees: ((deg, mm), ...)."""
    cap = min((wall_to_cavity(hole, c) for c in around.round), default=float("inf"))
    walls = [_Wall(hole, p) for p in around.placed]
    steps = round(QUARTER / CURVE_STEP_DEG)
    return tuple((k * CURVE_STEP_DEG, min(cap, _least_of(walls, k * CURVE_STEP_DEG))) for k in range(steps + 1))
