"""The least values of many functions of one number at once, one a column of rows.

Draws of one chuck differ little, and so do the places of their least values. A few columns, the scouts, are searched
by golden sections; a plane through their places foretells those of all others, and parabolas end there (a vectorised
successive parabolic interpolation). Where those do not end, as at a bend, golden sections do.
"""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gcodegen.design.sure.sample import Array

Flat: TypeAlias = Callable[[Array, Array], Array]
"""A function of places, one for each column of the rows."""
_GOLDEN = (sqrt(5) - 1) / 2
_STEPS = 40  # narrows a place to 4e-9 of the range
_LOOKS = 6
_SCOUTS = 64
_FEW = 8 * _SCOUTS  # columns that are not worth scouts
_PARABOLAS = 4
_CLOSE = 1e-11
_ASIDE = 1e-3  # of the range: a place is never foretold more closely


def least_of_wave(f: Flat, rows: Array, low: Array, high: Array) -> Array:
    """Return the least value of functions that may have a few hollows, one a column."""
    step = (high - low) / _LOOKS
    looks = np.stack([f(low + k * step, rows) for k in range(_LOOKS + 1)])
    at = looks.argmin(axis=0)
    return least(f, rows, np.maximum(low, low + (at - 1) * step), np.minimum(high, low + (at + 1) * step))


def least(f: Flat, rows: Array, low: Array, high: Array) -> Array:
    """Return the least value of functions that fall, then rise, between two bounds, one a column."""
    if rows.shape[1] <= _FEW:
        return _by_sections(f, rows, low, high)[1]
    found = _by_parabolas(f, rows, low, high)
    left = np.isnan(found)
    if left.any():
        found[left] = _by_sections(f, rows[:, left], low[left], high[left])[1]
    return found


def _by_parabolas(f: Flat, rows: Array, low: Array, high: Array) -> Array:
    """Return the least values where parabolas end at them, not a number elsewhere."""
    found = np.full(rows.shape[1], np.nan)
    place, aside = _foretold(f, rows, low, high)
    left: NDArray[Any] = np.flatnonzero((low < place - aside) & (place + aside < high))
    rows, low, high, x, y, z = (a[..., left] for a in (rows, low, high, place, place - aside, place + aside))
    known = np.array([x, f(x, rows), y, f(y, rows), z, f(z, rows)])
    for step in range(_PARABOLAS):
        place, foretold = _bottom(known)
        left, rows, low, high, known, place, foretold = _those(
            (low < place) & (place < high), left, rows, low, high, known, place, foretold
        )
        value = f(place, rows)
        # At once a parabola may foretell the value at its bottom by chance, where that is one of its own places.
        ended = (np.abs(value - foretold) < _CLOSE) & (step > 0)
        found[left[ended]] = np.minimum(value, known[1])[ended]
        known = np.vstack([place, value, known[:4]])
        left, rows, low, high, known = _those(~ended, left, rows, low, high, known)
    return found


def _foretold(f: Flat, rows: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Return about where each column has its least value, and how far off that may be."""
    scouts = slice(None, None, rows.shape[1] // _SCOUTS)
    some = rows[:, scouts]
    places = _by_sections(f, some, low[scouts], high[scouts])[0]
    middle = some.mean(axis=1)
    slopes = np.linalg.lstsq((some - middle[:, None]).T, places - places.mean(), rcond=None)[0]
    foretold = slopes @ rows + (places.mean() - slopes @ middle)
    return foretold, np.maximum(np.abs(foretold[scouts] - places).max(), _ASIDE * (high - low))


def _bottom(known: Array) -> tuple[Array, Array]:
    """Return where the parabolas through three places have their bottoms, and how high; infinitely far without one."""
    x, fx, y, fy, z, fz = known
    with np.errstate(divide="ignore", invalid="ignore"):
        to_one, to_other = (fy - fx) / (y - x), (fz - fx) / (z - x)
        bend = (to_other - to_one) / (z - y)
        jump = (bend * (y - x) - to_one) / (2 * bend)
        return np.where(bend > 0, x + jump, np.inf), fx - bend * jump * jump


def _those(chosen: NDArray[np.bool_], *columns: NDArray[Any]) -> tuple[NDArray[Any], ...]:
    """Return the chosen columns of each array."""
    return columns if chosen.all() else tuple(a[..., chosen] for a in columns)


def _by_sections(f: Flat, rows: Array, low: Array, high: Array) -> tuple[Array, Array]:
    """Return places and values of the least by golden sections: right to 4e-9 of the range at any bend."""
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
    places, values = np.array([c, d, low, high]), np.array([fc, fd, f(low, rows), f(high, rows)])
    best = values.argmin(axis=0)[None]
    return np.take_along_axis(places, best, axis=0)[0], np.take_along_axis(values, best, axis=0)[0]
