"""Four screws that may each leave their place of a common cross by a little: the best least wall, by bisection.

For a wall T each obstacle forbids an arc round its place: the screws that would leave less than T. The arcs are
joined round the whole circle. A screw may leave its place by the tolerance, so a cross is possible where each of
its four places is within the tolerance of what is free: shorten each arc by the tolerance at both ends, fold the
rest modulo 90, and see whether it covers the quarter turn. Less wall forbids less, so halving finds the largest T.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gcodegen.design.angles import best_angle
from gcodegen.design.facing import QUARTER, kinds_of
from gcodegen.design.obstacles import Placed
from gcodegen.design.rising import Rising
from gcodegen.design.walls import ScrewHole

_TURN = 360.0
_CLOSE_MM = 1e-6
_ROUGH_MM = 1e-2
_CLOSE_DEG = 1e-9
_ROUNDING_DEG = 0.001  # angles are rounded to a thousandth afterwards

Arc = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BestSet:
    """The best angles of four screws, degrees in 0 to 360, screw 1 first, and the least wall there, mm."""

    angles: tuple[float, float, float, float]
    wall: float


def best_set(hole: ScrewHole, placed: Sequence[Placed], tolerance_deg: float, enough: float = 0.0) -> BestSet:
    """Return the angles, each within the tolerance of a common cross, that leave the largest least wall.

    Where that is less than ``enough`` (mm) it is known to a hundredth of a millimetre only, not to a millionth.
    """
    even = best_angle(hole, placed)
    cross = _cross(even.first_angle)
    tolerance = tolerance_deg - _ROUNDING_DEG
    if tolerance <= 0 or not placed:
        return BestSet(cross, even.wall)
    kinds = [_Kind(hole, obstacle, places) for obstacle, places in kinds_of(placed).items()]
    low, high = even.wall, min(kind.most(tolerance) for kind in kinds)
    middle = enough if low < enough < high else (low + high) / 2
    best = None
    while high - low > (_CLOSE_MM if low >= enough else _ROUGH_MM):
        found = _set_with(kinds, middle, tolerance)
        low, high, best = (middle, high, found) if found else (low, middle, best)
        middle = (low + high) / 2
    return BestSet(best, low) if best else BestSet(cross, even.wall)


def _cross(first: float) -> tuple[float, float, float, float]:
    a, b, c, d = ((first + QUARTER * k) % _TURN for k in range(4))
    return a, b, c, d


class _Kind:
    """Obstacles that differ by their place alone."""

    def __init__(self, hole: ScrewHole, obstacle: Placed, places: Sequence[float]) -> None:
        self._places = [place % _TURN for place in places]
        self._outwards = Rising(hole, obstacle)
        self._inwards = Rising(hole, obstacle, inwards=True)
        self._corner = self._outwards.corner

    def most(self, tolerance: float) -> float:
        """Return the largest wall that the nearest screw can leave, mm."""
        return max(self._inwards(self._corner), self._outwards(QUARTER / 2 + tolerance - self._corner))

    def forbidden(self, wall: float) -> list[Arc]:
        """Return the arcs in which a screw leaves less than ``wall``, degrees."""
        out, into, corner = self._outwards, self._inwards, self._corner
        if out.at_least(0.0) >= wall or out(0.0) >= wall:
            return []
        outer = corner + (out.reaches(wall, out.farthest) if out(out.farthest) >= wall else out.farthest)
        if corner == 0 or into(corner) < wall:
            return [(place - outer, place + outer) for place in self._places]
        inner = corner - into.reaches(wall, corner)
        return [arc for p in self._places for arc in ((p - outer, p - inner), (p + inner, p + outer))]


def _set_with(kinds: Sequence[_Kind], wall: float, tolerance: float) -> tuple[float, float, float, float] | None:
    """Return four angles that leave at least ``wall``; None when there are none."""
    joined = _joined([arc for kind in kinds for arc in kind.forbidden(wall)], _TURN)
    if joined is None:
        return None
    folded = [(a + tolerance, b - tolerance) for a, b in joined if b - a > 2 * tolerance]
    if any(b - a >= QUARTER for a, b in folded):
        return None
    blocked = _joined(folded, QUARTER)
    if blocked is None:
        return None
    place = _middle_of_widest_gap(blocked)
    a, b, c, d = (_nearest_free(place + QUARTER * k, joined) for k in range(4))
    return a, b, c, d


def _joined(arcs: Sequence[Arc], turn: float) -> list[Arc] | None:
    """Return open arcs on a circle of this turn joined, starts in order; None when they leave no place free."""
    joined: list[Arc] = []
    for start, end in sorted((a % turn, a % turn + (b - a)) for a, b in arcs):
        if end - start >= turn:
            return None
        if joined and start < joined[-1][1] - _CLOSE_DEG:
            joined[-1] = (joined[-1][0], max(joined[-1][1], end))
        else:
            joined.append((start, end))
    while len(joined) > 1 and joined[-1][1] > joined[0][0] + turn + _CLOSE_DEG:
        first = joined.pop(0)
        joined[-1] = (joined[-1][0], max(joined[-1][1], first[1] + turn))
    if joined and joined[-1][1] - joined[-1][0] >= turn:
        return None
    return joined


def _middle_of_widest_gap(arcs: Sequence[Arc]) -> float:
    if not arcs:
        return 0.0
    after = [*(a for a, _ in arcs[1:]), arcs[0][0] + QUARTER]
    width, end = max((start - end, end) for (_, end), start in zip(arcs, after, strict=True))
    return end + width / 2


def _nearest_free(angle: float, forbidden: Sequence[Arc]) -> float:
    """Return the angle itself where it is free, else the nearer end of the arc that it lies in."""
    for start, end in forbidden:
        into = (angle - start) % _TURN
        if into < end - start:
            return (start if into < (end - start) / 2 else end) % _TURN
    return angle % _TURN
