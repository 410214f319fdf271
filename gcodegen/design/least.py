"""The least value of a function of one number between two bounds.

Parabolas through the three best places, golden sections where those do not help (after R. P. Brent, Algorithms
for Minimization without Derivatives, 1973, chapter 5; from memory). It ends where a parabola foretells both the
value at its bottom and the one before to 1e-12, as it does where the function is smooth, or where the place is
known to 1e-8 of the range: a least value at a bend is right to that times the slope.
"""

from __future__ import annotations

from collections.abc import Callable
from math import inf, sqrt
from typing import TypeAlias

_SHARE = (3 - sqrt(5)) / 2
_STEPS = 60
_NEAR = 1e-8
_LOOKS = 6
_CLOSE = 1e-12
_FARTHER = 5  # looks, from a third of the range to 4e-6 of it


Known: TypeAlias = tuple[float, float]
"""A place, and the function's value there."""


def least(f: Callable[[float], float], low: float, high: float) -> float:
    """Return the least value of a function that falls, then rises, between two bounds."""
    return _between(f, (low, f(low)), (high, f(high)))


def least_of_wave(f: Callable[[float], float], low: float, high: float) -> float:
    """Return the least value of a function that may have a few hollows between two bounds."""
    step = (high - low) / _LOOKS
    looks = [(place, f(place)) for place in (low + k * step for k in range(_LOOKS + 1))]
    at = min(range(_LOOKS + 1), key=lambda k: looks[k][1])
    if 0 < at < _LOOKS:
        return _narrowed(f, *looks[at - 1 : at + 2])
    return _between(f, *(looks[:2] if at == 0 else looks[-2:]))


def _between(f: Callable[[float], float], start: Known, end: Known) -> float:
    first = start[0] + _SHARE * (end[0] - start[0])
    return _narrowed(f, start, (first, f(first)), end)


def _narrowed(f: Callable[[float], float], start: Known, first: Known, end: Known) -> float:
    """Return the least value between two places that are known, as one between them is."""
    a, b = start[0], end[0]
    near = _NEAR * (b - a)
    best, f_best = first
    (second, f_second), (third, f_third) = (start, end) if start[1] < end[1] else (end, start)
    if f_second <= f_best:
        inside = second + near if second == a else second - near
        f_inside = f(inside)
        if f_inside > f_second + _CLOSE or f_inside == f_best:
            return f_second
        if f_inside > f_second - _CLOSE:  # level beside the end, which may be a bottom or a top: farther in it is told
            inside, f_inside = best, f_best
            for _ in range(_FARTHER):
                if f_inside < f_second:
                    break
                best, f_best = inside, f_inside
                inside = second + (best - second) / 10
                f_inside = f(inside)
            if f_inside >= f_second:
                return f_second
        a, b = (a, best) if second == a else (best, b)
        best, f_best, third, f_third = inside, f_inside, best, f_best
    step = before = b - a
    for _ in range(_STEPS):
        middle = (a + b) / 2
        if abs(best - middle) <= 2 * near - (b - a) / 2:
            break
        jump, drop = _parabola((best, f_best), (second, f_second), (third, f_third))
        if abs(jump) < abs(before) / 2 and a + near < best + jump < b - near:
            before, step = step, jump
        else:
            before = (a if best >= middle else b) - best
            step, drop = _SHARE * before, inf
        place = best + (step if abs(step) >= near else near if step > 0 else -near)
        value = f(place)
        if drop < _CLOSE and abs(f_best - drop - value) < _CLOSE:
            return min(value, f_best)
        if value <= f_best:
            a, b = (best, b) if place >= best else (a, best)
            third, f_third, second, f_second, best, f_best = second, f_second, best, f_best, place, value
            continue
        a, b = (place, b) if place < best else (a, place)
        if value <= f_second or second == best:
            third, f_third, second, f_second = second, f_second, place, value
        elif value <= f_third or third in (best, second):
            third, f_third = place, value
    return f_best


def _parabola(best: Known, one: Known, other: Known) -> tuple[float, float]:
    """Return how far from the best place the parabola through three places has its bottom, and how far below.

    Infinitely far where it has none.
    """
    (x, fx), (y, fy), (z, fz) = best, one, other
    if x in (y, z) or y == z:
        return inf, inf
    to_one, to_other = (fy - fx) / (y - x), (fz - fx) / (z - x)
    bend = (to_other - to_one) / (z - y)
    if bend <= 0:
        return inf, inf
    slope = to_one - bend * (y - x)
    jump = -slope / (2 * bend)
    return jump, bend * jump * jump
