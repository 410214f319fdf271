"""Distances in one plane square to the chuck's axis: points and radial strips, in closed form, mm.

A strip is (inner, outer, half width): the rectangle along a radius between two distances from the axis.
"""

from __future__ import annotations

from math import cos, hypot, inf, sin, sqrt
from typing import TypeAlias

Strip: TypeAlias = tuple[float, float, float]


def point_to_strip(x: float, y: float, strip: Strip) -> float:
    """Return the distance of a point from a strip along x; negative inside."""
    x0, x1, half = strip
    dx = x - x1 if x + x > x0 + x1 else x0 - x
    dy = abs(y) - half
    if dx <= 0:
        return dx if dx > dy else dy
    return hypot(dx, dy) if dy > 0 else dx


def strips_apart(a: Strip, b: Strip, angle: float) -> float:
    """Return the distance of two strips ``angle`` radians apart, 0 to pi; negative: how far they overlap."""
    c, s = cos(angle), sin(angle)
    overlap = max(_gap(a, b, c, s), _gap(b, a, c, s))
    return overlap if overlap <= 0 else corners_apart(a, b, c, s)


def corners_apart(a: Strip, b: Strip, c: float, s: float) -> float:
    """Return the distance of two strips that do not overlap, cosine and sine of the angle between them given.

    Apart, a corner of one of them is a nearest point: one on the side where the other stands; past a right angle,
    or where the other ends before this one begins, the inner one on its other side too.
    """
    return sqrt(min(_corners_squared(a, b, c, s), _corners_squared(b, a, c, s)))


def _corners_squared(a: Strip, b: Strip, c: float, s: float) -> float:
    """Return the least square of the distance of the corners of ``a`` that may be nearest to ``b`` from it."""
    x0, x1, half = a
    hs, hc = half * s, half * c
    corners = [(x0 * c + hs, x0 * s - hc), (x1 * c + hs, x1 * s - hc)]
    if c < 0 or b[1] < x0:
        corners.append((x0 * c - hs, x0 * s + hc))
    u0, u1, wide = b
    least = inf
    for x, y in corners:
        along = u0 - x if x < u0 else x - u1 if x > u1 else 0.0
        aside = abs(y) - wide
        if aside < 0.0:
            aside = 0.0
        square = along * along + aside * aside
        if square < least:
            least = square
    return least


def _gap(a: Strip, b: Strip, c: float, s: float) -> float:
    """Return the gap between two strips along the first one's own two directions."""
    x0, x1, half = a
    u0, u1, wide = b
    middle, long = (u0 + u1) / 2, (u1 - u0) / 2
    over = abs(c)
    beside = (middle - long) * s - wide * over - half
    along = abs(middle * c - (x0 + x1) / 2) - long * over - wide * s - (x1 - x0) / 2
    return along if along > beside else beside
