"""Where round the rim the four screws go: the exact best, with no grid.

Four screws 90 degrees apart see every obstacle folded into one quarter turn, and of obstacles that are alike only
the nearest on either side counts, for a wall never falls as its screw leaves (proof in docs/angles.md). So between
two neighbouring places the walls to what lies behind only rise and those to what lies ahead only fall; the least of
the rising ones meets the least of the falling ones at one crossing, which is closed in on from both sides. The best
of all gaps is the exact optimum; where it is a plateau, its middle is taken.

A gap is looked at only where it may still be better than the best so far: a wall known to be too thin at one angle is
too thin at every smaller one, at all places of its kind.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TypeAlias

from gcodegen.design.facing import QUARTER, Facing, facing_walls, least, least_wall
from gcodegen.design.obstacles import Obstacles, Placed
from gcodegen.design.rising import Rising, corner_angle, crossing
from gcodegen.design.walls import ScrewHole, wall_at, wall_at_least, wall_to_cavity

_TIE_MM = 3e-7
_ASIDE_DEG = 1e-5  # a top that is narrower than this has no middle to look for
CURVE_STEP_DEG = 0.5

Side: TypeAlias = list[tuple[Rising, float]]
"""Walls, each with the place that it rises from or falls to, degrees."""


@dataclass(frozen=True, slots=True)
class BestAngle:
    """The best first angle, degrees in 0 to 90, and the least wall there over all placed obstacles, mm."""

    first_angle: float
    wall: float


def best_angle(hole: ScrewHole, placed: Sequence[Placed]) -> BestAngle:
    """Return the angle of screw 1 that leaves the largest least wall for four screws 90 degrees apart.

    Something is always placed: the mounting bolts are.
    """
    period, walls = facing_walls(hole, placed)
    best, tops = float("-inf"), []
    for gap in sorted(_gaps(walls, period), key=lambda gap: gap.a - gap.b):
        if (top := gap.highest(best - _TIE_MM)) is not None:
            best = max(best, top.wall)
            tops.append((gap, top))
    level = best - _TIE_MM
    runs = [gap.above(level, top) for gap, top in tops if top.wall >= level]
    longest = max(_merged(runs, period), key=lambda run: (round(run[1] - run[0], 5), -(run[0] % period)))
    middle = (longest[0] + longest[1]) / 2
    return BestAngle(round(middle % period, 9) % period, best)


def _gaps(walls: Sequence[Facing], period: float) -> list[_Gap]:
    """Return the gaps between all neighbouring places, each with the nearest places of every wall on either side."""
    places = sorted({p for w in walls for p in (*w.rises_from, *w.falls_to)} | _middles(walls, period))
    gaps = []
    for a, b in pairwise((*places, places[0] + period)):
        middle = (a + b) / 2
        rising = [(w.wall, w.behind(middle, period)) for w in walls]
        falling = [(w.wall, w.ahead(middle, period)) for w in walls]
        gaps.append(
            _Gap(
                a,
                b,
                [(wall, place) for wall, place in rising if middle - place < wall.farthest],
                [(wall, place) for wall, place in falling if place - middle < wall.farthest],
            )
        )
    return gaps


def _middles(walls: Sequence[Facing], period: float) -> set[float]:
    """Return where the walls of pockets' corners end, over the middle of each pocket."""
    pockets = (w for w in walls if w.wall.farthest < QUARTER)
    return {round((p + w.wall.farthest) % period, 9) % period for w in pockets for p in w.rises_from}


@dataclass(frozen=True, slots=True)
class Top:
    """Where in a gap the least wall is largest, degrees, and how large, mm."""

    at: float
    wall: float


class _Gap:
    """The angles between two neighbouring places, with the walls that rise there and those that fall."""

    def __init__(self, a: float, b: float, rising: Side, falling: Side) -> None:
        self.a, self.b = a, b
        self._rising, self._falling = rising, falling

    def rise(self, phi: float, enough: float = float("-inf")) -> float:
        """Return the least of the rising walls, mm, or one that is not above ``enough``."""
        return least([(wall, phi - place) for wall, place in self._rising], enough)

    def fall(self, phi: float, enough: float = float("-inf")) -> float:
        """Return the least of the falling walls, mm, or one that is not above ``enough``."""
        return least([(wall, place - phi) for wall, place in self._falling], enough)

    def highest(self, level: float) -> Top | None:
        """Return where the least wall is largest; None when it is nowhere above ``level``."""
        low = max(self.a, max(place + wall.known_below(level) for wall, place in self._rising))
        high = min(self.b, min(place - wall.known_below(level) for wall, place in self._falling))
        if low >= high:
            return None
        at_high = self.rise(high, level)
        if at_high <= level or (at_low := self.fall(low, level)) <= level:
            return None
        # No wall matters here that is nowhere below what the others leave at most.
        most = min(at_high, at_low)
        self._rising = [(wall, place) for wall, place in self._rising if wall.at_least(low - place) < most]
        self._falling = [(wall, place) for wall, place in self._falling if wall.at_least(place - high) < most]
        if self.rise(high) <= self.fall(high):
            return Top(high, most)
        if self.rise(low) >= self.fall(low):
            return Top(low, most)
        top = self._meeting(low, high, level)
        return Top(top.at, min(top.wall, most)) if top.wall > level else None

    def _meeting(self, low: float, high: float, level: float) -> Top:
        """Return where the rising walls meet the falling ones; any angle between where that is not above ``level``."""
        before, after = self.fall(low), self.rise(high)  # the fall where the rise is still less, and the other way

        def over(phi: float) -> float:
            nonlocal before, after
            rise, fall = self.rise(phi), self.fall(phi)
            before, after = (fall, after) if rise < fall else (before, rise)
            return rise - fall

        ends = crossing(over, low, high, lambda: min(before, after) <= level)
        return max((Top(phi, min(self.rise(phi), self.fall(phi))) for phi in ends), key=lambda top: top.wall)

    def above(self, level: float, top: Top) -> tuple[float, float]:
        """Return the part of the gap where the least wall reaches ``level``, which its top does."""
        start = end = top.at
        if self.rise(max(self.a, start - _ASIDE_DEG)) >= level:
            start = max((self.a, *(place + wall.reaches(level, top.at - place) for wall, place in self._rising)))
        if self.fall(min(self.b, end + _ASIDE_DEG)) >= level:
            end = min((self.b, *(place - wall.reaches(level, place - top.at) for wall, place in self._falling)))
        return start, end


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
    rings = (ScrewWall(wall_to_cavity(hole, c), c.name) for c in around.round)
    round_ = min(rings, key=lambda w: w.wall, default=ScrewWall(float("inf"), "none"))
    kinds: dict[Placed, list[Placed]] = {}
    for p in around.placed:
        kinds.setdefault(replace(p, name="", theta=0.0), []).append(p)
    cornered = {kind for kind in kinds if corner_angle(hole, kind) > 0}
    return tuple(
        _screw_wall(
            hole,
            [p for kind, alike in kinds.items() for p in (alike if kind in cornered else [_nearest(alike, angle)])],
            round_,
            angle,
        )
        for angle in angles
    )


def _nearest(alike: Sequence[Placed], angle: float) -> Placed:
    return min(alike, key=lambda p: abs((angle - p.theta + 180.0) % 360.0 - 180.0))


def _screw_wall(hole: ScrewHole, around: Sequence[Placed], least: ScrewWall, angle: float) -> ScrewWall:
    """Return the least wall of one screw to obstacles, at most ``least``."""
    bounds = sorted((wall_at_least(hole, p, angle - p.theta), k) for k, p in enumerate(around))
    for bound, k in bounds:
        if bound >= least.wall:
            break
        placed = around[k]
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
        period, walls = facing_walls(hole, around.placed)
        return tuple((phi, min(cap, least_wall(walls, phi, period))) for phi in steps)
    placed = Obstacles(around.placed, ())
    turned = [[phi + QUARTER * (quarters + k) + o for k, o in enumerate(off)] for phi in steps]
    return tuple(
        (phi, min(cap, *(w.wall for w in screw_walls(hole, placed, set_))))
        for phi, set_ in zip(steps, turned, strict=True)
    )
