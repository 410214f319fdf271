"""The least value of a function of one number between two bounds.

Parabolas through the three best places, golden sections where those do not help (after R. P. Brent, Algorithms
for Minimization without Derivatives, 1973, chapter 5; from memory). The place is found to 1e-8 of the range:
a smooth least value to rounding, one at a bend to 1e-8 of the range times the slope.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt

_SHARE = (3 - sqrt(5)) / 2
_STEPS = 60
_NEAR = 1e-8
_LOOKS = 6


def least(f: Callable[[float], float], low: float, high: float) -> float:
    """Return the least value of a function that falls, then rises, between two bounds."""
    near = _NEAR * (high - low)
    a, b = low, high
    best = second = third = a + _SHARE * (b - a)
    f_best = f_second = f_third = f(best)
    step = before = b - a
    for _ in range(_STEPS):
        middle = (a + b) / 2
        if abs(best - middle) <= 2 * near - (b - a) / 2:
            break
        jump = _parabola((best, f_best), (second, f_second), (third, f_third))
        if jump is not None and abs(jump) < abs(before) / 2 and a + near < best + jump < b - near:
            before, step = step, jump
        else:
            before = (a if best >= middle else b) - best
            step = _SHARE * before
        place = best + (step if abs(step) >= near else near if step > 0 else -near)
        value = f(place)
        if value <= f_best:
            a, b = (best, b) if place >= best else (a, best)
            third, f_third, second, f_second, best, f_best = second, f_second, best, f_best, place, value
            continue
        a, b = (place, b) if place < best else (a, place)
        if value <= f_second or second == best:
            third, f_third, second, f_second = second, f_second, place, value
        elif value <= f_third or third in (best, second):
            third, f_third = place, value
    return min(f_best, f(low), f(high))


def _parabola(best: tuple[float, float], one: tuple[float, float], other: tuple[float, float]) -> float | None:
    """Return how far from the best place the parabola through three places has its bottom; None without one."""
    r = (best[0] - one[0]) * (best[1] - other[1])
    q = (best[0] - other[0]) * (best[1] - one[1])
    if q == r:
        return None
    return -((best[0] - other[0]) * q - (best[0] - one[0]) * r) / (2 * (q - r))


def least_of_wave(f: Callable[[float], float], low: float, high: float) -> float:
    """Return the least value of a function that may have a few hollows between two bounds."""
    step = (high - low) / _LOOKS
    looks = [f(low + k * step) for k in range(_LOOKS + 1)]
    at = looks.index(min(looks))
    return least(f, max(low, low + (at - 1) * step), min(high, low + (at + 1) * step))
