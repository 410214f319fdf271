"""The point of a small simplex nearest to the origin: the inner step of the distance between convex bodies.

Every answer is a mean of the simplex's own corners with weights that are not negative and sum to one, so it
lies in the simplex whatever rounding did to the weights; a distance taken from it is never too small.
Region tests for segment and triangle: from memory of C. Ericson, Real-Time Collision Detection (2005), 5.1.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

Vec: TypeAlias = tuple[float, float, float]

_NOWHERE = 1e-9  # mm; two bodies this near count as one touching the other
_THIN = 1e-9  # square of the sine of a triangle's angle, under which its weights may be rounding alone


class Corner(NamedTuple):
    """A corner of the simplex: ``w`` = ``a`` less the other body's point, ``a`` on the first body (mm)."""

    w: Vec
    a: Vec


class Nearest(NamedTuple):
    """The nearest point ``v`` to the origin, the corners that carry it and their weights."""

    v: Vec
    corners: tuple[Corner, ...]
    weights: tuple[float, ...]


def dot(a: Vec, b: Vec) -> float:
    """Return the inner product of two vectors."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def minus(a: Vec, b: Vec) -> Vec:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def _volume(a: Vec, b: Vec, c: Vec) -> float:
    return a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0])


def _mean(corners: tuple[Corner, ...], weights: tuple[float, ...]) -> Nearest:
    x = y = z = 0.0
    for corner, weight in zip(corners, weights, strict=True):
        x += weight * corner.w[0]
        y += weight * corner.w[1]
        z += weight * corner.w[2]
    return Nearest((x, y, z), corners, weights)


def _segment(a: Corner, b: Corner) -> Nearest:
    along = minus(b.w, a.w)
    length2 = dot(along, along)
    t = -dot(a.w, along) / length2 if length2 > 0 else 0.0
    if t <= 0:
        return Nearest(a.w, (a,), (1.0,))
    if t >= 1:
        return Nearest(b.w, (b,), (1.0,))
    return _mean((a, b), (1 - t, t))


def _triangle(a: Corner, b: Corner, c: Corner) -> Nearest:
    ab, ac = minus(b.w, a.w), minus(c.w, a.w)
    d1, d2 = -dot(ab, a.w), -dot(ac, a.w)
    d3, d4 = -dot(ab, b.w), -dot(ac, b.w)
    d5, d6 = -dot(ab, c.w), -dot(ac, c.w)
    at_a, at_b, at_c = d3 * d6 - d5 * d4, d5 * d2 - d1 * d6, d1 * d4 - d3 * d2
    if at_a > 0 and at_b > 0 and at_c > 0:
        total = at_a + at_b + at_c
        inside = _mean((a, b, c), (at_a / total, at_b / total, at_c / total))
        if total > _THIN * (d1 - d3) * (d2 - d6):  # twice the area, and the edges from a, each squared
            return inside
        return min((inside, *_edges(a, b, c)), key=_square)  # rounding can have made these weights
    return min(_edges(a, b, c), key=_square)


def _edges(a: Corner, b: Corner, c: Corner) -> tuple[Nearest, Nearest, Nearest]:
    return (_segment(a, b), _segment(a, c), _segment(b, c))


def _square(nearest: Nearest) -> float:
    return dot(nearest.v, nearest.v)


def _tetrahedron(a: Corner, b: Corner, c: Corner, d: Corner) -> Nearest:
    whole = _volume(minus(b.w, a.w), minus(c.w, a.w), minus(d.w, a.w))
    parts = (
        _volume(b.w, c.w, d.w),
        -_volume(a.w, c.w, d.w),
        _volume(a.w, b.w, d.w),
        -_volume(a.w, b.w, c.w),
    )
    if whole != 0 and all(part * whole >= 0 for part in parts):
        total = sum(parts)
        if total != 0:
            p, q, r, s = parts
            inside = _mean((a, b, c, d), (p / total, q / total, r / total, s / total))
            # A flat tetrahedron can pass the signs by rounding; the mean itself tells the truth.
            if _square(inside) <= _NOWHERE**2:
                return inside
    faces = ((a, b, c), (a, b, d), (a, c, d), (b, c, d))
    # Only a face with the origin on its outer side can be nearest; rounding may leave none, then all four.
    outer = [f for f, part in zip(faces, reversed(parts), strict=True) if part * whole <= 0] or faces
    return min((_triangle(*face) for face in outer), key=_square)


def nearest_to_origin(corners: tuple[Corner, ...]) -> Nearest:
    """Return the point nearest to the origin in the hull of one to four corners (ValueError otherwise)."""
    match corners:
        case (a,):
            return Nearest(a.w, (a,), (1.0,))
        case (a, b):
            return _segment(a, b)
        case (a, b, c):
            return _triangle(a, b, c)
        case (a, b, c, d):
            return _tetrahedron(a, b, c, d)
        case _:
            raise ValueError(f"a simplex has one to four corners, not {len(corners)}")
