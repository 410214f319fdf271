"""The walls that four screws 90 degrees apart leave, each against the angle of screw 1, and where each is least.

Screws and obstacles are folded into one quarter turn. Of obstacles that are alike only the nearest on either side
counts, for a wall never falls as its screw leaves (docs/angles.md has the proof). As a rule it is least where a
screw stands over the obstacle. The one exception is a pocket that ends inside the recess's radius with a
straight face: its corners reach farther out than its middle. Its wall is least over a corner, and rises from there
outwards and in to the middle: two walls, each with places of its own.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import gcd

from gcodegen.design.obstacles import Placed
from gcodegen.design.rising import Rising, corner_angle
from gcodegen.design.walls import ScrewHole

QUARTER = 90.0
_SAME_DEG = 1e-6
_ROUND = 9  # places of a degree: 1e-9 degrees at a rim of 150 mm are 3e-9 mm


@dataclass(frozen=True, slots=True)
class Facing:
    """One wall, and the angles of screw 1 at which it is least, degrees, in order.

    ``rises_from``: the places from which it rises as screw 1 goes on; ``falls_to``: those towards which it falls.
    """

    wall: Rising
    rises_from: tuple[float, ...]
    falls_to: tuple[float, ...]

    def behind(self, phi: float, period: float) -> float:
        """Return the last place at or before ``phi``, 0 to the period, from which the wall rises, degrees."""
        k = bisect_right(self.rises_from, phi) - 1
        return self.rises_from[k] if k >= 0 else self.rises_from[-1] - period

    def ahead(self, phi: float, period: float) -> float:
        """Return the first place at or after ``phi``, 0 to the period, to which the wall falls, degrees."""
        k = bisect_left(self.falls_to, phi)
        return self.falls_to[k] if k < len(self.falls_to) else self.falls_to[0] + period

    def apart(self, phi: float, period: float) -> float:
        """Return how far ``phi``, 0 to the period, is from the nearest of the places, degrees."""
        return min(phi - self.behind(phi, period), self.ahead(phi, period) - phi)


def facing_walls(hole: ScrewHole, placed: Sequence[Placed]) -> tuple[float, list[Facing]]:
    """Return the angle after which the walls repeat, degrees, and those that can govern the best angle.

    No obstacle leaves more at any angle than half way between two of its kind, so the best least wall is at most
    the least of those. What leaves more even where its wall is least never governs.
    """
    period, kinds = repeats(placed)
    walls = [wall for kind, places in kinds for wall in _walls_of(hole, kind, places, period)]
    most, cap = None, float("inf")
    middles = [(w, _half_way(w.rises_from, period)) for w in walls if w.wall.corner == 0]
    for bound, k in sorted((w.wall.at_least(apart), k) for k, (w, apart) in enumerate(middles)):
        if bound < cap and (wall := middles[k][0].wall(middles[k][1])) < cap:
            most, cap = middles[k][0], wall
    return period, [w for w in walls if w is most or w.wall.at_least(0.0) < cap]


def _half_way(places: Sequence[float], period: float) -> float:
    return max(b - a for a, b in pairwise((*places, places[0] + period))) / 2


def _walls_of(hole: ScrewHole, kind: Placed, places: Sequence[float], period: float) -> list[Facing]:
    corner = corner_angle(hole, kind)
    after, before = _moved(places, corner, period), _moved(places, -corner, period)
    outwards = Facing(Rising(hole, kind), after, before)
    return [outwards, Facing(Rising(hole, kind, inwards=True), before, after)] if corner > 0 else [outwards]


def _moved(places: Iterable[float], by: float, period: float) -> tuple[float, ...]:
    """Return places moved on and folded, in order, each once."""
    return tuple(sorted({round((place + by) % period, _ROUND) % period for place in places}))


def kinds_of(placed: Iterable[Placed]) -> dict[Placed, list[float]]:
    """Return obstacles that differ by their place alone with those places, degrees."""
    kinds: dict[Placed, list[float]] = {}
    for p in placed:
        kinds.setdefault(replace(p, name="", theta=0.0), []).append(p.theta)
    return kinds


def repeats(placed: Sequence[Placed]) -> tuple[float, list[tuple[Placed, tuple[float, ...]]]]:
    """Return the angle after which the folded obstacles repeat, 90 degrees or a part of it, and each kind's places."""
    kinds = {kind: _moved(places, 0.0, QUARTER) for kind, places in kinds_of(placed).items()}
    period = QUARTER
    for times in range(gcd(*(len(places) for places in kinds.values())), 1, -1):
        period = QUARTER / times
        if all(_repeat(places, period) for places in kinds.values()):
            break
        period = QUARTER
    return period, [(kind, places[: round(len(places) * period / QUARTER)]) for kind, places in kinds.items()]


def _repeat(places: Sequence[float], period: float) -> bool:
    step = round(len(places) * period / QUARTER)
    turned = (*places[step:], *(place + QUARTER for place in places[:step]))
    return all(abs(b - a - period) < _SAME_DEG for a, b in zip(places, turned, strict=True))


def least_wall(walls: Sequence[Facing], phi: float, period: float) -> float:
    """Return the least wall with screw 1 at an angle, mm."""
    phi %= period
    return least([(w.wall, w.apart(phi, period)) for w in walls])


def least(walls: Sequence[tuple[Rising, float]], enough: float = float("-inf")) -> float:
    """Return the least of walls, each at its angle, mm, or one that is not above ``enough``.

    A wall whose bound is above the least so far is not worked out.
    """
    if len(walls) == 1:
        wall, apart = walls[0]
        return wall(apart)
    found = float("inf")
    for bound, _, wall, apart in sorted((w.at_least(apart), k, w, apart) for k, (w, apart) in enumerate(walls)):
        if bound >= found or found <= enough:
            break
        found = min(found, wall(apart))
    return found
