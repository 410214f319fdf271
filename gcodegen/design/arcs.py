"""Where round the rim a screw leaves too little wall, and whether four screws find a place between.

For a wall T every obstacle forbids a band on either side of its place: the screws that would leave less than T. The
arcs so forbidden are joined round the whole circle. A screw may leave its place of a common cross by a tolerance, so a
cross is possible where each of its four places is within the tolerance of what is free: shorten each arc by the
tolerance at both ends, fold the rest modulo 90, and see whether it covers the quarter turn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from gcodegen.design.facing import QUARTER, kinds_of
from gcodegen.design.obstacles import Placed
from gcodegen.design.rising import Rising
from gcodegen.design.walls import ScrewHole

_TURN = 360.0
_CLOSE_DEG = 1e-9

Arc = tuple[float, float]
Cross = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Band:
    """What obstacles that are alike forbid: from ``inner`` to ``outer`` degrees aside of their places.

    ``inner`` is above 0 where a pocket's corners are nearer than its middle and the middle leaves enough.
    """

    places: tuple[float, ...]
    inner: float
    outer: float

    def arcs(self) -> Iterator[Arc]:
        """Yield what is forbidden round the circle, degrees."""
        if self.outer <= self.inner:
            return
        for place in self.places:
            if self.inner > 0:
                yield place - self.outer, place - self.inner
                yield place + self.inner, place + self.outer
            else:
                yield place - self.outer, place + self.outer

    def forbids(self, angle: float) -> bool:
        """Return whether a screw at an angle leaves too little, by more than rounding."""
        apart = [abs((angle - place + 180.0) % _TURN - 180.0) for place in self.places]
        low = self.inner + _CLOSE_DEG if self.inner > 0 else 0.0
        return any(low <= a < self.outer - _CLOSE_DEG for a in apart)


class Kind:
    """Obstacles that differ by their place alone."""

    def __init__(self, hole: ScrewHole, obstacle: Placed, places: Sequence[float]) -> None:
        self._places = tuple(place % _TURN for place in places)
        self._outwards = Rising(hole, obstacle)
        self._inwards = Rising(hole, obstacle, inwards=True)
        self._corner = self._outwards.corner

    def most(self, tolerance: float) -> float:
        """Return the largest wall that the nearest screw can leave, mm."""
        return max(self._inwards(self._corner), self._outwards(QUARTER / 2 + tolerance - self._corner))

    def forbidden(self, wall: float) -> Band:
        """Return the band in which a screw leaves less than ``wall``, mm."""
        out, into, corner = self._outwards, self._inwards, self._corner
        if out.at_least(0.0) >= wall or out(0.0) >= wall:
            return Band(self._places, 0.0, 0.0)
        outer = corner + (out.reaches(wall, out.farthest) if out(out.farthest) >= wall else out.farthest)
        inner = corner - into.reaches(wall, corner) if corner > 0 and into(corner) >= wall else 0.0
        return Band(self._places, inner, outer)


def kinds(hole: ScrewHole, placed: Sequence[Placed]) -> list[Kind]:
    """Return the obstacles by kind."""
    return [Kind(hole, obstacle, places) for obstacle, places in kinds_of(placed).items()]


def forbidden(hole: ScrewHole, placed: Sequence[Placed], wall: float) -> tuple[Band, ...]:
    """Return what each kind of obstacle forbids to screws that are to leave ``wall``, mm, in the obstacles' order."""
    return tuple(kind.forbidden(wall) for kind in kinds(hole, placed))


def between(one: Sequence[Band], other: Sequence[Band]) -> tuple[Band, ...]:
    """Return what the same obstacles forbid at every setback between those of two holes.

    The distance of two convex bodies is a convex function of how far one is moved: between two setbacks no wall is
    larger than at both of them, so what both forbid is forbidden there too.
    """
    pairs = zip(one, other, strict=True)
    return tuple(replace(a, inner=max(a.inner, b.inner), outer=min(a.outer, b.outer)) for a, b in pairs)


def cross_beside(bands: Sequence[Band], tolerance: float) -> Cross | None:
    """Return four angles, each within the tolerance of a common cross, that nothing forbids; None: there are none."""
    joined = _joined([arc for band in bands for arc in band.arcs()], _TURN)
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
