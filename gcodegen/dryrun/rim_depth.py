"""How deep a tool with its holder goes into the round body on a straight move.

Machine frame at the present index: x along the chuck's axis, y across, z = 0 on the crest; the body's axis
lies at y = 0, z = -R. The tool's axis is upright. Lengths in mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import NamedTuple

from gcodegen.dryrun.simplex import Vec

_GOLDEN = (math.sqrt(5) - 1) / 2
_TURNS = 60  # leaves 3e-13 of the range


class ToolPart(NamedTuple):
    """An upright cylinder of a tool in its holder: radius, and heights of its ends above the tip (mm).

    A pointed end counts as the cylinder round it: never less deep than the point.
    """

    radius: float
    from_tip: float
    to_tip: float


def depth_in_rim(
    parts: Iterable[ToolPart], start: Vec, end: Vec, rim_radius: float, body: tuple[float, float]
) -> float:
    """Return how deep the deepest part goes into the solid body on a straight move of the tip, 0 when clear.

    Parameters
    ----------
    parts : iterable of ToolPart
        Cutter, shank, holder: those that must stay clear.
    start, end : Vec
        Places of the tip, machine frame.
    rim_radius : float
        Radius R of the body.
    body : tuple of float
        x of its two ends, (0, L) or (-L, 0).

    Returns
    -------
    float
        The greatest distance from a point of the tool inside the body to the body's surface, rim or end face,
        whichever is nearer; within 1e-6 mm. From above and away from the faces that is how far the tool is
        below the rim's surface.
    """
    strokes = (_Stroke(part, start, end, rim_radius, (min(body), max(body))) for part in parts)
    return max((stroke.depth() for stroke in strokes), default=0.0)


@dataclass(frozen=True, slots=True)
class _Stroke:
    """One part on one move; ``t`` runs from 0 at the start to 1 at the end."""

    part: ToolPart
    start: Vec
    end: Vec
    rim: float
    body: tuple[float, float]

    def depth(self) -> float:
        """Return how deep the part goes into the body, 0 when clear."""
        if self._is_far():
            return 0.0
        t, depth = _highest(self._under_rim, 0.0, 1.0)
        if depth <= 0:
            return 0.0
        x, y, _ = self._at(t)
        if self._behind_face(x, abs(y)) >= depth:
            return depth  # the rim is the nearer surface there, and no other place is deeper under it
        return max(0.0, _highest(self._inside, 0.0, 1.0)[1])

    def _is_far(self) -> bool:
        radius = self.part.radius
        xs = (self.start[0], self.end[0])
        low, high = self.body
        above = min(self.start[2], self.end[2]) + self.part.from_tip >= 0
        return above or max(xs) + radius <= low or min(xs) - radius >= high

    def _at(self, t: float) -> Vec:
        """Return x and y of the tip, and the least height between the chuck's axis and the part."""
        x, y, z = ((1 - t) * a + t * b for a, b in zip(self.start, self.end, strict=True))
        z += self.rim
        return (x, y, max(0.0, z + self.part.from_tip, -z - self.part.to_tip))

    def _under_rim(self, t: float) -> float:
        _, y, rise = self._at(t)
        return self.rim - math.hypot(max(0.0, abs(y) - self.part.radius), rise)

    def _behind_face(self, x: float, beside: float) -> float:
        """Return how far the chord ``beside`` the part's axis reaches behind the nearer end face."""
        low, high = self.body
        chord = math.sqrt(max(0.0, self.part.radius**2 - beside**2))
        return (high - low) / 2 - max(0.0, abs(x - (low + high) / 2) - chord)

    def _inside(self, t: float) -> float:
        x, y, rise = self._at(t)

        def on_chord(beside: float) -> float:
            return min(self.rim - math.hypot(y + beside, rise), self._behind_face(x, beside))

        return _highest(on_chord, -self.part.radius, self.part.radius)[1]


def _highest(f: Callable[[float], float], low: float, high: float) -> tuple[float, float]:
    """Return where a concave function is highest on an interval and how high (golden section and both ends).

    Depth under a convex surface is concave over the convex set of places and moves, so nothing is missed.
    """
    tried = [(f(low), low), (f(high), high)]
    a, b = low, high
    p, q = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
    fp, fq = f(p), f(q)
    for _ in range(_TURNS):
        if fp >= fq:
            b, q, fq = q, p, fp
            p = b - _GOLDEN * (b - a)
            fp = f(p)
        else:
            a, p, fp = p, q, fq
            q = a + _GOLDEN * (b - a)
            fq = f(q)
    height, where = max(*tried, (fp, p), (fq, q))
    return where, height
