"""Walls between a screw hole and one obstacle as functions of arrays: the slices of ``design.walls``, many at once.

A body is a set of rows, one figure a draw. The first two, ``c`` and ``s``, are cosine and sine of the angle from
the screw round to the obstacle, 0 to 180 degrees, so that ``s`` is not negative.
The hole's setback and radius are choices and the same for all.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt
from typing import TypeAlias

import numpy as np

from gcodegen.design.sure.sample import Array

Flat: TypeAlias = Callable[[Array, Array], Array]
Strip: TypeAlias = tuple[Array, Array, Array]
_GOLDEN = (sqrt(5) - 1) / 2
_STEPS = 28  # as in design.walls: narrows a slice's place to 1.4e-6 of the radius


@dataclass(frozen=True, slots=True)
class Axis:
    """The hole's setback and radius, mm."""

    setback: float
    radius: float

    def slice(self, t: Array, inner: Array, outer: Array) -> Strip:
        """Return the hole's slice ``t`` mm from its axis plane; it ends flat, as ``design.walls`` has it."""
        return inner, outer, _half(self.radius, t)


def axial(hole: Axis, rows: Array) -> Array:
    """Return the wall to a bore along the axis; rows: c, s, inner, outer, circle radius, radius, from, to."""
    return _prism(hole, _axial_flat(hole), rows)


def _axial_flat(hole: Axis) -> Flat:
    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, circle, radius = rows[:6]
        gap: Array = _point_to_strip(circle * c, circle * s, hole.slice(t, inner, outer)) - radius
        return gap

    return flat


def channel(hole: Axis, rows: Array) -> Array:
    """Return the wall to a slot; rows: c, s, inner, outer, slot's inner, outer, half width, from, to."""

    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, own_inner, own_outer, half = rows[:7]
        return _strips(hole.slice(t, inner, outer), (own_inner, own_outer, half), c, s)

    return _prism(hole, flat, rows)


def cavity(hole: Axis, rows: Array) -> Array:
    """Return the wall to a cavity all the way round; rows: c, s, inner, outer, cavity's inner, outer, from, to."""
    _, _, inner, outer, own_inner, own_outer, start, end = rows
    return _joined(np.maximum(inner - own_outer, own_inner - outer), _axial_gap(hole, start, end))


def radial(hole: Axis, rows: Array) -> Array:
    """Return the wall to a radial bore; rows: c, s, inner, outer, bore's radius, depth, inner, outer."""
    c, s, inner, outer, radius, depth, own_inner, own_outer = rows
    apart = np.abs(hole.setback - depth)
    thread = np.full_like(radius, hole.radius)
    a, b = (inner, outer, thread), (own_inner, own_outer, radius)
    flat = _strips(a, b, c, s)
    deep = apart - hole.radius - radius
    wall = _joined(flat, deep)  # right where the axes cross in the rear view: only the depth keeps the two apart
    nothing = np.zeros_like(radius)
    aside = _strips((inner, outer, nothing), (own_inner, own_outer, nothing), c, s) > 0
    if not aside.any():
        return wall
    wall[aside] = _beside(hole, rows[:, aside], apart[aside])
    return wall


def _beside(hole: Axis, rows: Array, apart: Array) -> Array:
    """Return the wall to a radial bore whose axis the hole's axis does not cross in the rear view."""
    c, s, inner, outer, radius, _, own_inner, own_outer = rows
    thread = np.full_like(radius, hole.radius)
    a, b = (inner, outer, thread), (own_inner, own_outer, radius)
    wall = np.minimum(_rim_to_cylinder(a, b, c, s, apart), _rim_to_cylinder(b, a, c, s, apart))
    low, high = np.maximum(-hole.radius, apart - radius), np.minimum(hole.radius, apart + radius)
    # Slices narrower than the whole bodies cannot overlap where the whole bodies do not.
    doubtful = (low < high) & (_strips(a, b, c, s) <= 0)
    if doubtful.any():
        some = np.vstack([rows[:, doubtful], apart[doubtful]])
        both = _least(_shared_slices(hole), some, low[doubtful], high[doubtful])
        deep = apart[doubtful] - hole.radius - radius[doubtful]
        wall[doubtful] = np.where(both <= 0, np.maximum(both, deep), wall[doubtful])
    return wall


def _shared_slices(hole: Axis) -> Flat:
    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, radius, _, own_inner, own_outer, apart = rows
        own = (own_inner, own_outer, _half(radius, apart - t))
        return _strips(hole.slice(t, inner, outer), own, c, s)

    return flat


def _rim_to_cylinder(a: Strip, b: Strip, c: Array, s: Array, apart: Array) -> Array:
    """Return the wall from the rim of a radial cylinder's inner end to another cylinder."""
    inner, _, radius = a

    def wall(t: Array, rows: Array) -> Array:
        inner, radius, c, s, b0, b1, b2, apart = rows
        h = _half(radius, t)
        along, beside = inner * c + h * s, inner * s - h * c
        return _joined(_hypot(beside, apart - t) - b2, np.maximum(b0 - along, along - b1))

    rows = np.vstack([inner, radius, c, s, *b, apart])
    return _least(wall, rows, -radius, radius)


def _prism(hole: Axis, flat: Flat, rows: Array) -> Array:
    """Return the wall to an obstacle that looks the same in every slice between the depths in its last two rows."""
    start, end = rows[-2], rows[-1]
    level = flat(np.zeros_like(start), rows)
    wall = np.where(level > 0, level, np.maximum(level, _axial_gap(hole, start, end)))
    beyond = (start > hole.setback) | (hole.setback > end)
    if beyond.any():
        wall[beyond] = _prism_beyond(hole, flat, rows[:, beyond])
    return wall


def _prism_beyond(hole: Axis, flat: Flat, rows: Array) -> Array:
    start, end = rows[-2], rows[-1]
    reach = np.abs(np.where(start > hole.setback, start, end) - hole.setback)
    at_reach = flat(np.minimum(reach, hole.radius), rows)
    wall: Array = np.maximum(at_reach, reach - hole.radius)
    # Over or under the obstacle with the axis plane's own line: the depth alone keeps them apart.
    under = (reach > hole.radius) & (at_reach <= 0)
    apart = ~under & ~((reach <= hole.radius) & (at_reach <= 0))
    if apart.any():

        def gap(t: Array, rows: Array) -> Array:
            beside, above = np.maximum(flat(t, rows[:-1]), 0.0), np.maximum(rows[-1] - t, 0.0)
            return _hypot(beside, above)

        some = np.vstack([rows[:, apart], reach[apart]])
        wall[apart] = _least(gap, some, np.zeros(some.shape[1]), np.full(some.shape[1], hole.radius))
    return wall


def _hypot(x: Array, y: Array) -> Array:
    """Return the root of the sum of squares; lengths of a chuck are in no danger of overflow."""
    root: Array = np.sqrt(x * x + y * y)
    return root


def _half(radius: Array | float, t: Array) -> Array:
    width: Array = np.sqrt(np.maximum(0.0, radius * radius - t * t))
    return width


def _axial_gap(hole: Axis, start: Array, end: Array) -> Array:
    gap: Array = np.maximum(start - hole.setback - hole.radius, hole.setback - hole.radius - end)
    return gap


def _joined(flat: Array, deep: Array) -> Array:
    overlap = np.maximum(flat, deep)
    return np.where(overlap <= 0, overlap, _hypot(np.maximum(flat, 0.0), np.maximum(deep, 0.0)))


def _point_to_strip(x: Array, y: Array, strip: Strip) -> Array:
    x0, x1, half = strip
    return _joined(np.maximum(x0 - x, x - x1), np.abs(y) - half)


def _strips(a: Strip, b: Strip, c: Array, s: Array) -> Array:
    """Return the distance of two radial strips (inner, outer, half width); negative: overlap.

    The second lies on the positive side of the first. Apart, a corner of one of them is a nearest point: up to a right
    angle one on the side where the other stands, but for the end of one that faces the other's end.
    """
    overlap = np.maximum(_separation(b, a, c, s), _separation(a, b, c, s))
    if (overlap <= 0).all():
        return overlap
    nearest = np.minimum(_corners_squared(a, b, c, s), _corners_squared(b, a, c, s))
    return np.where(overlap <= 0, overlap, np.sqrt(nearest))


def _corners_squared(a: Strip, b: Strip, c: Array, s: Array) -> Array:
    """Return the least square of the distance of the corners of ``a`` that may be nearest to ``b`` from it."""
    x0, x1, half = a
    along, aside = half * s, half * c
    least = np.minimum(
        _outside_squared(x0 * c + along, x0 * s - aside, b), _outside_squared(x1 * c + along, x1 * s - aside, b)
    )
    if (c < 0).any() or (b[1] < x0).any():
        least = np.minimum(least, _outside_squared(x0 * c - along, x0 * s + aside, b))
        least = np.minimum(least, _outside_squared(x1 * c - along, x1 * s + aside, b))
    return least


def _outside_squared(x: Array, y: Array, strip: Strip) -> Array:
    """Return the square of a point's distance from a strip, 0 inside."""
    x0, x1, half = strip
    along = np.maximum(np.maximum(x0 - x, x - x1), 0.0)
    aside = np.maximum(np.abs(y) - half, 0.0)
    square: Array = along * along + aside * aside
    return square


def _separation(seen: Strip, strip: Strip, c: Array, s: Array) -> Array:
    """Return the gap of two strips along the second one's own two directions."""
    (p0, p1, hp), (x0, x1, half) = seen, strip
    near, far, wide = p0 * c, p1 * c, hp * np.abs(c)
    along = np.maximum(np.minimum(near, far) - hp * s - x1, x0 - np.maximum(near, far) - hp * s)
    aside: Array = np.maximum(p0 * s - wide, -p1 * s - wide) - half
    return np.maximum(along, aside)


def _least(f: Flat, rows: Array, low: Array, high: Array) -> Array:
    """Return the least value of convex functions between two bounds (golden section), one a column."""
    a, b = low, high
    c, d = b - _GOLDEN * (b - a), a + _GOLDEN * (b - a)
    fc, fd = f(c, rows), f(d, rows)
    for _ in range(_STEPS):
        left = fc <= fd
        a, b = np.where(left, a, c), np.where(left, d, b)
        tried = np.where(left, b - _GOLDEN * (b - a), a + _GOLDEN * (b - a))
        value = f(tried, rows)
        c, d = np.where(left, tried, d), np.where(left, c, tried)
        fc, fd = np.where(left, value, fd), np.where(left, fc, value)
    least: Array = np.minimum.reduce([fc, fd, f(low, rows), f(high, rows)])
    return least
