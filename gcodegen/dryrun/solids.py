"""The chuck's voids as bodies, and the walls that cuts leave to them.

Chuck frame, mm: see ``place``. Holes end flat at the depth they are given; a drill's point under it is
not known here.
"""

from __future__ import annotations

import heapq
import itertools
import math
from dataclasses import dataclass, replace
from typing import TypeAlias, assert_never

from gcodegen.dryrun.cut_body import Cut, cut_body, place, tool_body
from gcodegen.dryrun.distance import WIDTH, Body, Box, Closest, Gap, Revolved, closest, distance, touches
from gcodegen.dryrun.rim_depth import ToolPart, depth_in_rim
from gcodegen.dryrun.simplex import Vec

__all__ = [
    "Body",
    "Box",
    "Cut",
    "Feature",
    "Gap",
    "Revolved",
    "Ring",
    "ToolPart",
    "axial_hole",
    "break_in_depth",
    "cut_body",
    "depth_in_rim",
    "distance",
    "place",
    "plane_gap",
    "radial_hole",
    "rear_face_wall",
    "recess_floor_wall",
    "ring_distance",
    "slot",
    "tool_body",
    "touches",
    "wall",
]

_PIECES = 1000  # sectors of a ring looked at before the bounds are given as they stand


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A cavity all the way round the chuck's axis, such as the scroll chamber; not convex."""

    inner_radius: float
    outer_radius: float
    from_depth: float
    to_depth: float

    def away(self, point: Vec) -> float:
        """Return the distance of a point from the cavity, 0 inside: a rectangle in the half plane."""
        x, rho = point[0], math.hypot(point[1], point[2])
        return math.hypot(
            max(0.0, self.from_depth - x, x - self.to_depth),
            max(0.0, self.inner_radius - rho, rho - self.outer_radius),
        )


Feature: TypeAlias = Revolved | Box | Ring


def axial_hole(theta_deg: float, circle_radius: float, diameter: float, from_depth: float, to_depth: float) -> Revolved:
    """Return a hole along the chuck's axis between two depths."""
    _, y, z = place(theta_deg, circle_radius, 0.0)
    radius = diameter / 2
    return Revolved((0.0, y, z), (1.0, 0.0, 0.0), ((from_depth, radius), (to_depth, radius)))


def radial_hole(theta_deg: float, diameter: float, depth: float, inner_radius: float, outer_radius: float) -> Revolved:
    """Return a bore square to the chuck's axis, its own axis at ``depth``, between two distances from it.

    It ends flat at ``outer_radius``. A cut that ends on the rim is never nearest to the air this adds.
    """
    radius = diameter / 2
    outwards = place(theta_deg, 1.0, 0.0)
    return Revolved((depth, 0.0, 0.0), outwards, ((inner_radius, radius), (outer_radius, radius)))


def slot(
    theta_deg: float,
    width: float,
    from_depth: float,
    to_depth: float,
    inner_radius: float,
    outer_radius: float,
) -> Box:
    """Return a parallel-sided slot along a radius, with square ends."""
    outwards = place(theta_deg, 1.0, 0.0)
    _, c, s = outwards
    return Box(
        place(theta_deg, (inner_radius + outer_radius) / 2, (from_depth + to_depth) / 2),
        ((1.0, 0.0, 0.0), outwards, (0.0, -s, c)),
        ((to_depth - from_depth) / 2, (outer_radius - inner_radius) / 2, width / 2),
    )


def plane_gap(body: Body, normal: Vec, offset: float) -> float:
    """Return the least of ``normal . p - offset`` over a body, mm; exact, and negative when it goes through.

    ``normal`` has length one and points to the side where the body should be.
    """
    x, y, z = body.support((-normal[0], -normal[1], -normal[2]))
    return normal[0] * x + normal[1] * y + normal[2] * z - offset


def rear_face_wall(body: Body) -> float:
    """Return the metal between a cut and the rear seating face, mm; negative when it breaks out."""
    return plane_gap(body, (1.0, 0.0, 0.0), 0.0)


def recess_floor_wall(body: Body, floor_depth: float) -> float:
    """Return the room between a tool and the plane of the recess floor, mm; negative when it cuts the floor.

    Take ``tool_body`` or a cut made without its recess: what passes through the recess's air counts here.
    """
    return plane_gap(body, (-1.0, 0.0, 0.0), -floor_depth)


def wall(cut: Body, feature: Feature, stop_above: float = math.inf) -> Gap:
    """Return the wall between a cut and a feature, mm; [0, 0] or next to it where they meet.

    ``stop_above``: leave off once the wall is shown to be larger (the least wall so far). Then the upper bound may be
    infinite.
    """
    if (
        isinstance(cut, Cut)
        and stop_above < math.inf
        and (far := wall(cut.tool, feature, stop_above)).lower > stop_above
    ):
        return Gap(far.lower, math.inf)
    if isinstance(feature, Ring):
        return ring_distance(cut, feature, stop_above=stop_above)
    return distance(cut, feature, stop_above=stop_above)


@dataclass(frozen=True, slots=True)
class _Sector:
    """The hull of a ring's part within ``half`` of an ``angle`` (radians; half under 45 degrees)."""

    ring: Ring
    angle: float
    half: float

    @property
    def middle(self) -> Vec:
        """Return the middle of the part's depth and width."""
        ring = self.ring
        out = (ring.inner_radius + ring.outer_radius) / 2
        depth = (ring.from_depth + ring.to_depth) / 2
        return (depth, out * math.cos(self.angle), out * math.sin(self.angle))

    def support(self, d: Vec) -> Vec:
        """Return the point farthest along ``d``."""
        ring = self.ring
        x = ring.to_depth if d[0] > 0 else ring.from_depth
        facing = math.remainder(math.atan2(d[2], d[1]) - self.angle, math.tau)
        turn = min(max(facing, -self.half), self.half)
        radius = ring.outer_radius if abs(facing - turn) <= math.pi / 2 else ring.inner_radius
        angle = self.angle + turn
        return (x, radius * math.cos(angle), radius * math.sin(angle))


def ring_distance(body: Body, ring: Ring, *, width: float = WIDTH, stop_above: float = math.inf) -> Gap:
    """Return the distance between a convex body and a ring-shaped cavity, mm.

    The hull of the ring is the full cylinder: its distance is a lower bound, and the true one when the
    nearest point of the body is not in the ring's eye. Where it is, the ring is cut into sectors, the hull of
    each a lower bound for its part, and the sector with the least bound is halved until the bounds meet. The
    upper bound is always the exact distance of some point of the body. After 1000 sectors the bounds come
    back as they stand.
    """
    hull = Revolved(
        (0.0, 0.0, 0.0),
        (1.0, 0.0, 0.0),
        ((ring.from_depth, ring.outer_radius), (ring.to_depth, ring.outer_radius)),
    )
    found = closest(body, hull, width=width / 2, stop_above=stop_above)
    lower, upper = found.gap.lower, _away(ring, found)
    if upper - lower <= width or lower > stop_above:
        return Gap(min(lower, upper), upper)
    return _by_sectors(body, ring, Gap(lower, upper), width, stop_above)


def _by_sectors(body: Body, ring: Ring, start: Gap, width: float, stop_above: float) -> Gap:
    upper, order = start.upper, itertools.count()
    half = math.pi / 8
    heap = [(start.lower, next(order), _Sector(ring, 2 * half * k, half)) for k in range(8)]
    lower = start.lower
    while len(heap) < _PIECES:
        least, _, sector = heapq.heappop(heap)
        lower = max(lower, least)
        if upper - lower <= width or lower > stop_above:
            break
        half = sector.half / 2
        for angle in (sector.angle - half, sector.angle + half):
            part = _Sector(ring, angle, half)
            found = closest(body, part, width=width / 2, stop_above=upper)
            upper = min(upper, _away(ring, found))
            heapq.heappush(heap, (max(least, found.gap.lower), next(order), part))
    return Gap(min(lower, upper), upper)


def _away(ring: Ring, found: Closest) -> float:
    away = ring.away(found.on_a)
    return away if math.isfinite(away) else math.inf


def break_in_depth(cut: Body, feature: Feature, *, width: float = 1e-4) -> float:
    """Return how deep a cut goes into a feature, mm; 0 when they do not meet.

    The feature is thinned from all sides until the cut no longer reaches it; the answer is how much that
    takes, rounded up to within ``width``. A cut that reaches the feature's middle has no way left to go
    deeper: then half the feature's least breadth is given, and the true depth is that or more.
    """
    slack = width / 10
    if not _reaches(cut, feature, slack):
        return 0.0
    low, high = 0.0, _half_breadth(feature)
    if _reaches(cut, _thinned(feature, high), slack):
        return high
    while high - low > width / 2:
        middle = (low + high) / 2
        if _reaches(cut, _thinned(feature, middle), slack):
            low = middle
        else:
            high = middle
    return high


def _reaches(cut: Body, feature: Feature, slack: float) -> bool:
    return not wall(cut, feature, stop_above=slack).lower > slack


def _half_breadth(feature: Feature) -> float:
    match feature:
        case Revolved(profile=circles):
            ends = [u for u, _ in circles]
            return min((max(ends) - min(ends)) / 2, min(rho for _, rho in circles))
        case Box(half=half):
            return min(half)
        case Ring():
            breadth = feature.outer_radius - feature.inner_radius
            return min(breadth, feature.to_depth - feature.from_depth) / 2
        case _:
            assert_never(feature)


def _thinned(feature: Feature, by: float) -> Feature:
    """Return a feature with all its surfaces moved inwards (holes are plain cylinders)."""
    match feature:
        case Revolved(profile=circles):
            middle = (circles[0][0] + circles[-1][0]) / 2
            thinner = tuple((u + math.copysign(by, middle - u), max(0.0, rho - by)) for u, rho in circles)
            return replace(feature, profile=thinner)
        case Box(half=(x, y, z)):
            return replace(feature, half=(max(0.0, x - by), max(0.0, y - by), max(0.0, z - by)))
        case Ring():
            return Ring(
                inner_radius=feature.inner_radius + by if feature.inner_radius > 0 else 0.0,
                outer_radius=feature.outer_radius - by,
                from_depth=feature.from_depth + by,
                to_depth=feature.to_depth - by,
            )
        case _:
            assert_never(feature)
