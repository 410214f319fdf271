"""Walls between a screw hole and one obstacle as functions of arrays: the slices of ``design.walls``, many at once.

A body is a set of rows, one figure a draw. The first two, ``c`` and ``s``, are cosine and sine of the angle from
the screw round to the obstacle, 0 to 180 degrees, so that ``s`` is not negative.
The hole's setback and radius are choices and the same for all.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from gcodegen.design.sure.least import Flat, least, least_of_wave
from gcodegen.design.sure.sample import Array

Strip: TypeAlias = tuple[Array, Array, Array]


@dataclass(frozen=True, slots=True)
class Axis:
    """The hole's setback and radius, mm, and whether it comes out in the recess."""

    setback: float
    radius: float
    through_recess: bool

    def slice(self, t: Array, inner: Array, outer: Array) -> Strip:
        """Return the hole's slice ``t`` mm from its axis plane."""
        half = _half(self.radius, t)
        return self.start(inner, half), outer, half

    def start(self, inner: Array, half: Array) -> Array:
        """Return where the slice of half width ``half`` begins: in the recess wall, or flat at ``inner``."""
        return _half(inner, half) if self.through_recess else inner


def axial(hole: Axis, rows: Array) -> Array:
    """Return the wall to a bore along the axis; rows: c, s, inner, outer, circle radius, radius, from, to."""

    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, circle, radius = rows[:6]
        gap: Array = _point_to_strip(circle * c, circle * s, hole.slice(t, inner, outer)) - radius
        return gap

    c, s, inner, outer, circle, radius, start, end = rows
    along, beside = circle * c, np.maximum(circle * s - radius, 0.0)
    reach = np.maximum(np.maximum(start - hole.setback, hole.setback - end), 0.0)
    from_axis = _hypot(beside, reach)
    # The foot lies on the hole's flank in every slice: a point beside a round bar, or over it.
    flank = (inner <= along) & (along <= outer) & (from_axis > hole.radius)
    wall: Array = from_axis - hole.radius
    if not flank.all():
        wall[~flank] = _prism(hole, flat, flat, rows[:, ~flank])
    return wall


def channel(hole: Axis, rows: Array) -> Array:
    """Return the wall to a slot; rows: c, s, inner, outer, slot's inner, outer, half width, from, to."""

    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, own_inner, own_outer, half = rows[:7]
        return _strips(hole.slice(t, inner, outer), (own_inner, own_outer, half), c, s)

    def apart(t: Array, rows: Array) -> Array:
        c, s, inner, outer, own_inner, own_outer, half = rows[:7]
        return _strips_apart(hole.slice(t, inner, outer), (own_inner, own_outer, half), c, s)

    return _prism(hole, flat, apart, rows)


def cavity(hole: Axis, rows: Array) -> Array:
    """Return the wall to a cavity all the way round; rows: c, s, inner, outer, cavity's inner, outer, from, to."""
    _, _, inner, outer, own_inner, own_outer, start, end = rows
    return _joined(np.maximum(inner - own_outer, own_inner - outer), _axial_gap(hole, start, end))


def radial(hole: Axis, rows: Array) -> Array:
    """Return the wall to a radial bore; rows: c, s, inner, outer, bore's radius, depth, inner, outer."""
    c, s, inner, outer, radius, depth, own_inner, own_outer = rows
    apart = np.abs(hole.setback - depth)
    nothing = np.zeros_like(radius)
    flat = _strips(hole.slice(nothing, inner, outer), (own_inner, own_outer, radius), c, s)
    wall = _joined(flat, apart - hole.radius - radius)  # right where the axes cross in the rear view
    thin = hole.slice(np.full_like(radius, hole.radius), inner, outer)
    aside = _strips(thin, (own_inner, own_outer, nothing), c, s) > 0
    if aside.any():
        wall[aside] = _beside(hole, np.vstack([rows, apart])[:, aside], flat[aside])
    return wall


def _beside(hole: Axis, rows: Array, flat: Array) -> Array:
    """Return the wall to a radial bore whose axis the hole's axis does not cross in the rear view."""
    wall, radius, apart = _nearer_end(hole, rows), rows[4], rows[-1]
    low, high = np.maximum(-hole.radius, apart - radius), np.minimum(hole.radius, apart + radius)
    # Slices narrower than the whole bodies cannot overlap where the whole bodies do not.
    doubtful = (low < high) & (flat <= 0)
    if doubtful.any():
        doubtful[doubtful] = _widest_meet(hole, rows[:, doubtful], low[doubtful], high[doubtful])
    if doubtful.any():
        both = least(_shared_slices(hole), rows[:, doubtful], low[doubtful], high[doubtful])
        deep = apart[doubtful] - hole.radius - radius[doubtful]
        wall[doubtful] = np.where(both <= 0, np.maximum(both, deep), wall[doubtful])
    return wall


def _widest_meet(hole: Axis, rows: Array, low: Array, high: Array) -> NDArray[np.bool_]:
    """Return whether the widest of the hole's slices meets the widest of the bore's, of those that lie in one plane."""
    c, s, inner, outer, radius, _, own_inner, own_outer, apart = rows
    own = (own_inner, own_outer, _half(radius, apart - np.minimum(high, apart)))
    meet: NDArray[np.bool_] = _strips(hole.slice(np.maximum(low, 0.0), inner, outer), own, c, s) <= 0
    return meet


def _nearer_end(hole: Axis, rows: Array) -> Array:
    """Return the least wall at the inner ends of hole and radial bore."""
    c, s, inner, _, radius, _, own_inner, _, _ = rows
    # How far each end must stay off the other's, at least; the end that is nearer is looked at first.
    start = hole.start(inner, np.full_like(inner, hole.radius))
    edge = own_inner - np.where(c > 0, inner, start) * c - hole.radius * s
    end = start - own_inner * c - radius * s
    nearer, other, still = _edge_to_bore(hole), _end_to_flank(hole), end
    if edge.mean() > end.mean():
        nearer, other, still = other, nearer, edge
    wall = _round_end(nearer, rows)
    both = still < wall
    if both.any():
        wall[both] = np.minimum(wall[both], _round_end(other, rows[:, both]))
    return wall


def _round_end(wall: Flat, rows: Array) -> Array:
    count = rows.shape[1]
    return least_of_wave(wall, rows, np.zeros(count), np.full(count, pi / 2))  # the half that is nearer in depth


def _shared_slices(hole: Axis) -> Flat:
    def flat(t: Array, rows: Array) -> Array:
        c, s, inner, outer, radius, _, own_inner, own_outer, apart = rows
        own = (own_inner, own_outer, _half(radius, apart - t))
        return _strips(hole.slice(t, inner, outer), own, c, s)

    return flat


def _edge_to_bore(hole: Axis) -> Flat:
    """Return the wall from the hole's edge in the recess wall to a radial bore, by the turn round the hole."""

    def wall(turn: Array, rows: Array) -> Array:
        c, s, inner, _, radius, _, own_inner, own_outer, apart = rows
        t, half = hole.radius * np.sin(turn), hole.radius * np.cos(turn)
        start = hole.start(inner, half)
        along, beside = start * c + half * s, start * s - half * c
        return _joined(_hypot(beside, apart - t) - radius, np.maximum(own_inner - along, along - own_outer))

    return wall


def _end_to_flank(hole: Axis) -> Flat:
    """Return the wall from a radial bore's inner end to the hole's flank, by the turn round the bore."""

    def wall(turn: Array, rows: Array) -> Array:
        c, s, inner, outer, radius, _, own_inner, _, apart = rows
        u, half = radius * np.sin(turn), radius * np.cos(turn)
        x, y, t = own_inner * c + half * s, own_inner * s - half * c, apart - u
        out = _hypot(y, t)
        outside = out > hole.radius
        foot = hole.radius * np.abs(y) / np.where(outside, out, 1.0)
        start = hole.start(inner, np.where(outside, foot, _half(hole.radius, t)))
        return _joined(out - hole.radius, np.maximum(start - x, x - outer))

    return wall


def _prism(hole: Axis, flat: Flat, apart: Flat, rows: Array) -> Array:
    """Return the wall to an obstacle that looks the same in every slice between the depths in its last two rows.

    ``flat`` is its distance from the slice at a depth; ``apart`` does for those that are known not to meet it.
    """
    start, end = rows[-2], rows[-1]
    level = flat(np.zeros_like(start), rows)
    wall: Array = np.maximum(level, _axial_gap(hole, start, end))
    beyond = (start > hole.setback) | (hole.setback > end)
    if beyond.any():
        # Where the widest slice does not meet the obstacle, no narrower one does.
        still = apart if (level[beyond] > 0).all() else flat
        wall[beyond] = _prism_beyond(hole, still, rows[:, beyond])
    return wall


def _prism_beyond(hole: Axis, flat: Flat, rows: Array) -> Array:
    start, end = rows[-2], rows[-1]
    reach = np.abs(np.where(start > hole.setback, start, end) - hole.setback)
    at_reach = flat(np.minimum(reach, hole.radius), rows)
    wall: Array = np.maximum(at_reach, reach - hole.radius)
    apart = at_reach > 0  # else the depth alone keeps them apart, or they meet
    if apart.any():

        def gap(turn: Array, rows: Array) -> Array:
            t = hole.radius * np.sin(turn)
            beside, above = np.maximum(flat(t, rows), 0.0), np.maximum(rows[-1] - t, 0.0)
            return _hypot(beside, above)

        some = np.vstack([rows[:, apart], reach[apart]])
        wall[apart] = least(gap, some, np.zeros(some.shape[1]), np.full(some.shape[1], pi / 2))
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

    The second lies on the positive side of the first. Apart, a corner of one of them is a nearest point: one on the
    side where the other stands; past a right angle, or where the other ends before this one begins, the inner one on
    its other side too.
    """
    overlap = np.maximum(_separation(b, a, c, s), _separation(a, b, c, s))
    return overlap if (overlap <= 0).all() else np.where(overlap <= 0, overlap, _strips_apart(a, b, c, s))


def _strips_apart(a: Strip, b: Strip, c: Array, s: Array) -> Array:
    """Return the distance of two radial strips that do not overlap."""
    distance: Array = np.sqrt(np.minimum(_corners_squared(a, b, c, s), _corners_squared(b, a, c, s)))
    return distance


def _corners_squared(a: Strip, b: Strip, c: Array, s: Array) -> Array:
    """Return the least square of the distance of the corners of ``a`` that may be nearest to ``b`` from it."""
    x0, x1, half = a
    along, aside = half * s, half * c
    least = np.minimum(
        _outside_squared(x0 * c + along, x0 * s - aside, b), _outside_squared(x1 * c + along, x1 * s - aside, b)
    )
    if (c < 0).any() or (b[1] < x0).any():
        least = np.minimum(least, _outside_squared(x0 * c - along, x0 * s + aside, b))
    return least


def _outside_squared(x: Array, y: Array, strip: Strip) -> Array:
    """Return the square of a point's distance from a strip, 0 inside."""
    x0, x1, half = strip
    along: Array = np.maximum(x0 - x, x - x1)
    aside = np.abs(y) - half
    for gap in (along, aside):
        np.maximum(gap, 0.0, out=gap)
        gap *= gap
    along += aside
    return along


def _separation(seen: Strip, strip: Strip, c: Array, s: Array) -> Array:
    """Return the gap of two strips along the second one's own two directions."""
    (p0, p1, hp), (x0, x1, half) = seen, strip
    near, far, wide = p0 * c, p1 * c, hp * np.abs(c)
    along = np.maximum(np.minimum(near, far) - hp * s - x1, x0 - np.maximum(near, far) - hp * s)
    aside: Array = np.maximum(p0 * s - wide, -p1 * s - wide) - half
    return np.maximum(along, aside)
