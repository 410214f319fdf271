"""The wall between one screw hole and one obstacle, exactly, in mm; negative: how far one cuts into the other.

A screw hole is a cylinder along a radius, from the recess wall to the rim, over the crests of its thread.
Cut it by planes square to the chuck's axis: each slice is a rectangle, the obstacle's slice a disc or a
rectangle, and the distance in that plane has a closed form. The wall is the least of the slices'
distances; bodies are convex, so that is the minimum of a convex function of the slice, found within 1e-5 mm.
Where an obstacle spans the hole's axis plane the widest slices face each other and no search is needed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import cos, hypot, radians, sin, sqrt

from gcodegen.design.obstacles import AxialBore, Channel, Placed, RadialBore, RoundCavity

_GOLDEN = (sqrt(5) - 1) / 2
_STEPS = 28  # narrows a slice's place to 1.4e-6 of the radius, far below a micron


@dataclass(frozen=True, slots=True)
class ScrewHole:
    """A screw hole: axis ``setback`` behind the rear face, ``radius``, from ``inner`` to ``outer`` radius, mm."""

    setback: float
    radius: float
    inner: float
    outer: float

    def half_width(self, t: float) -> float:
        """Half width of the slice ``t`` mm from the axis plane."""
        return sqrt(max(0.0, self.radius**2 - t**2))


def wall_at(hole: ScrewHole, obstacle: Placed, apart_deg: float) -> float:
    """Return the wall between the hole and an obstacle ``apart_deg`` degrees round from it, mm."""
    angle = radians(abs((apart_deg + 180) % 360 - 180))
    match obstacle:
        case AxialBore():
            return _axial(hole, obstacle, angle)
        case Channel():
            return _channel(hole, obstacle, angle)
        case RadialBore():
            return _radial(hole, obstacle, angle)


def wall_at_least(hole: ScrewHole, obstacle: Placed, apart_deg: float) -> float:
    """Return a quick lower bound of ``wall_at``, mm: the widest slices at the nearest depths."""
    angle = radians(abs((apart_deg + 180) % 360 - 180))
    match obstacle:
        case AxialBore():
            x, y = obstacle.circle_radius * cos(angle), obstacle.circle_radius * sin(angle)
            flat = _point_to_rectangle(x, y, hole.inner, hole.outer, hole.radius) - obstacle.radius
            deep = _axial_gap(hole, obstacle.from_depth, obstacle.to_depth)
        case Channel():
            strip = (obstacle.inner, obstacle.outer, obstacle.half_width)
            flat = _rectangles((hole.inner, hole.outer, hole.radius), strip, angle)
            deep = _axial_gap(hole, obstacle.from_depth, obstacle.to_depth)
        case RadialBore():
            strip = (obstacle.inner, obstacle.outer, obstacle.radius)
            flat = _rectangles((hole.inner, hole.outer, hole.radius), strip, angle)
            deep = abs(hole.setback - obstacle.depth) - hole.radius - obstacle.radius
    return min(flat, deep) if flat <= 0 and deep <= 0 else _joined(flat, deep)


def wall_to_cavity(hole: ScrewHole, cavity: RoundCavity) -> float:
    """Return the wall to a cavity that goes all the way round, mm: the same at every angle."""
    flat = max(hole.inner - cavity.outer, cavity.inner - hole.outer)
    return _joined(flat, _axial_gap(hole, cavity.from_depth, cavity.to_depth))


def _joined(flat: float, deep: float) -> float:
    """Join the gap in the slice's plane with the gap along the axis; both negative: they overlap."""
    if flat <= 0 and deep <= 0:
        return max(flat, deep)
    return hypot(max(flat, 0.0), max(deep, 0.0))


def _axial_gap(hole: ScrewHole, from_depth: float, to_depth: float) -> float:
    return max(from_depth - hole.setback - hole.radius, hole.setback - hole.radius - to_depth)


def _axial(hole: ScrewHole, bore: AxialBore, angle: float) -> float:
    x, y = bore.circle_radius * cos(angle), bore.circle_radius * sin(angle)

    def flat(t: float) -> float:
        return _point_to_rectangle(x, y, hole.inner, hole.outer, hole.half_width(t)) - bore.radius

    return _over_depths(hole, flat, bore.from_depth, bore.to_depth)


def _channel(hole: ScrewHole, channel: Channel, angle: float) -> float:
    def flat(t: float) -> float:
        return _rectangles(
            (hole.inner, hole.outer, hole.half_width(t)), (channel.inner, channel.outer, channel.half_width), angle
        )

    return _over_depths(hole, flat, channel.from_depth, channel.to_depth)


def _over_depths(hole: ScrewHole, flat: Callable[[float], float], from_depth: float, to_depth: float) -> float:
    """Return the wall to an obstacle that looks the same in every slice between two depths."""
    s, r = hole.setback, hole.radius
    if from_depth <= s <= to_depth:
        return flat(0.0) if flat(0.0) > 0 else max(flat(0.0), _axial_gap(hole, from_depth, to_depth))
    toward = 1.0 if from_depth > s else -1.0
    reach = abs((from_depth if toward > 0 else to_depth) - s)
    if reach <= r and flat(reach) <= 0:
        return max(flat(reach), reach - r)
    return _least(lambda t: hypot(max(flat(t), 0.0), max(reach - t, 0.0)), 0.0, r)


def _radial(hole: ScrewHole, bore: RadialBore, angle: float) -> float:
    apart = abs(hole.setback - bore.depth)
    a = (hole.inner, hole.outer, hole.radius)
    b = (bore.inner, bore.outer, bore.radius)
    deep = apart - hole.radius - bore.radius
    if _rectangles(_slice(a, hole.radius), _slice(b, bore.radius), angle) <= 0:
        # The axes cross in the rear view: nothing but the depth keeps the two apart.
        return _joined(_rectangles(a, b, angle), deep)
    shared = (max(-hole.radius, apart - bore.radius), min(hole.radius, apart + bore.radius))
    if shared[0] < shared[1]:
        both = _least(lambda t: _rectangles(_slice(a, t), _slice(b, apart - t), angle), *shared)
        if both <= 0:
            return max(both, deep)
    return min(_rim_to_cylinder(a, b, angle, apart), _rim_to_cylinder(b, a, angle, apart))


def _slice(cylinder: tuple[float, float, float], t: float) -> tuple[float, float, float]:
    """Return the slice of a radial cylinder (inner, outer, radius) ``t`` mm from its axis plane."""
    inner, outer, radius = cylinder
    return inner, outer, sqrt(max(0.0, radius**2 - t**2))


def _rim_to_cylinder(a: tuple[float, float, float], b: tuple[float, float, float], angle: float, apart: float) -> float:
    """Return the wall from the rim of a radial cylinder's inner end to another (inner, outer, radius), mm.

    Two radial cylinders draw together inwards, so the inner end of one of them holds the nearest point.
    """
    inner, _, radius = a
    c, s = cos(angle), sin(angle)

    def wall(t: float) -> float:
        h = sqrt(max(0.0, radius**2 - t**2))
        along, beside = inner * c + h * s, inner * s - h * c
        return _joined(hypot(beside, apart - t) - b[2], max(b[0] - along, along - b[1]))

    return _least(wall, -radius, radius)


def _point_to_rectangle(x: float, y: float, x0: float, x1: float, half: float) -> float:
    """Return the distance of a point from the rectangle [x0, x1] by [-half, half]; negative inside."""
    dx, dy = max(x0 - x, x - x1), abs(y) - half
    if dx <= 0 and dy <= 0:
        return max(dx, dy)
    return hypot(max(dx, 0.0), max(dy, 0.0))


def _corners(strip: tuple[float, float, float], angle: float) -> list[tuple[float, float]]:
    x0, x1, half = strip
    c, s = cos(angle), sin(angle)
    return [(x * c - y * s, x * s + y * c) for x, y in ((x0, -half), (x1, -half), (x1, half), (x0, half))]


def _rectangles(a: tuple[float, float, float], b: tuple[float, float, float], angle: float) -> float:
    """Return the distance of two radial strips (inner, outer, half width) ``angle`` apart; negative: overlap."""
    b_in_a, a_in_b = _corners(b, angle), _corners(a, -angle)
    overlap = max(_separation(b_in_a, a), _separation(a_in_b, b))
    if overlap <= 0:
        return overlap
    return min(
        min(_point_to_rectangle(x, y, *a) for x, y in b_in_a),
        min(_point_to_rectangle(x, y, *b) for x, y in a_in_b),
    )


def _separation(points: list[tuple[float, float]], strip: tuple[float, float, float]) -> float:
    """Return the gap between the points and a strip along the strip's own two directions."""
    x0, x1, half = strip
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return max(min(xs) - x1, x0 - max(xs), min(ys) - half, -half - max(ys))


def _least(f: Callable[[float], float], low: float, high: float) -> float:
    """Return the least value of a convex function between two bounds (golden section)."""
    a, b = low, high
    c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
    fc, fd = f(c), f(d)
    for _ in range(_STEPS):
        if fc <= fd:
            b, d, fd = d, c, fc
            c = b - _GOLDEN * (b - a)
            fc = f(c)
        else:
            a, c, fc = c, d, fd
            d = a + _GOLDEN * (b - a)
            fd = f(d)
    return min(fc, fd, f(low), f(high))
