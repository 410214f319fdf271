"""Whether a tool stands in a hole that is cut already: its profile against those of the cuts before it.

All are round about one upright axis, so the question is one of radii at each height: a cone of half angle
atan(slope) from the tip up to the shoulder, then a cylinder. Heights in mm, 0 on the crest.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

TOUCH = 1e-3  # mm; less is rounding
_UNDER = 1e-9  # mm; just under a flat end


class Outline(NamedTuple):
    """A tool at a height: its tip's Z, its radius, and the length of its point (0 for a flat end)."""

    tip: float
    radius: float
    point: float

    def at(self, z: float) -> float:
        """Return the radius at a height, below 0 under the tip."""
        if z < self.tip:
            return -1.0
        return self.radius if z >= self.tip + self.point else self.radius * (z - self.tip) / self.point


def stands_open(tool: Outline, cuts: Sequence[Outline]) -> bool:
    """Return whether a tool is nowhere wider, below the crest, than the widest of the cuts at that height.

    Between the heights looked at every radius runs along a straight line, so nothing is missed between them.
    """
    if not cuts:
        return tool.tip >= 0
    lowered = [cut._replace(tip=cut.tip - TOUCH) for cut in cuts]
    heights = {z for one in (tool, *lowered) for z in (one.tip - _UNDER, one.tip, one.tip + one.point)}
    heights |= {z for a, b in itertools.combinations(lowered, 2) for z in _crossings(a, b)}
    heights = {z for z in heights if tool.tip <= z < 0} | {0.0}
    return all(tool.at(z) <= max(cut.at(z) for cut in lowered) + TOUCH for z in heights)


def _crossings(a: Outline, b: Outline) -> tuple[float, ...]:
    """Return the heights at which two outlines may be as wide as each other."""
    found = [
        cone.tip + cone.point * other.radius / cone.radius
        for cone, other in ((a, b), (b, a))
        if cone.radius >= other.radius
    ]
    steep, flat = a.point / a.radius, b.point / b.radius  # height for each mm of radius
    if steep != flat:
        found.append((steep * b.tip - flat * a.tip) / (steep - flat))
    return tuple(found)
