"""The parts of the search for many least values at once: first looks, parabolas, sections, and where they look."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from gcodegen.design.sure import least as many
from gcodegen.design.sure.least import least, least_of_wave

Array = NDArray[np.float64]


class Looked:
    """A function of places and rows that counts what it is asked, and may be asked between the bounds alone."""

    def __init__(self, f: Callable[[Array, Array], Array], low: float, high: float) -> None:
        self._f, self._low, self._high = f, low - 1e-12, high + 1e-12
        self.asked = 0

    def __call__(self, x: Array, rows: Array) -> Array:
        assert np.all((self._low <= x) & (x <= self._high))
        assert x.shape == (rows.shape[1],)
        self.asked += len(x)
        return self._f(x, rows)


def bounds(low: float, high: float, count: int) -> tuple[Array, Array]:
    return np.full(count, low), np.full(count, high)


@pytest.mark.outside("closed form: a valley, one a column, is 2 at its bottom wherever it lies")
@pytest.mark.parametrize(("low", "high"), [(0.0, 1.0), (3.0, 5.0), (-5.0, -4.5), (-1.0, 1.2)])
def test_few_columns_are_searched_by_sections_in_any_range(low: float, high: float) -> None:
    at = np.concatenate([[low, high], np.random.default_rng(1).uniform(low, high, 60)])
    for f in (lambda x, r: 2 + np.abs(x - r[0]), lambda x, r: 2 + np.maximum(r[0] - x, (x - r[0]) / 30)):
        looked = Looked(f, low, high)
        found = least(looked, at[None], *bounds(low, high, 62))
        assert found == pytest.approx(2.0, abs=5e-9 * (high - low) + 1e-15)
        assert looked.asked < 46 * 62
    wave = Looked(lambda x, r: 2 + np.abs(x - r[0]), low, high)
    assert least_of_wave(wave, at[None], *bounds(low, high, 62)) == pytest.approx(2, abs=5e-9 * (high - low) + 1e-15)


@pytest.mark.outside("closed form: the deepest hollow of a wave on a slope, one a column")
def test_the_deepest_hollow_of_each_column_is_found() -> None:
    low, high = 1.0, 6.0
    turns = np.linspace(0, 2 * np.pi, 25)
    for slope in (0.3, -0.3):
        foot = np.pi - np.arcsin(slope / 1.6)
        hollows = (foot + 2 * np.pi * np.arange(5)[:, None] - turns) / 1.6

        def wave(x: Array, rows: Array, slope: float = slope) -> Array:
            return np.cos(1.6 * x + rows[-1]) + slope * x

        tried = [wave(np.clip(hollow, low, high), turns[None]) for hollow in hollows]
        expected = np.min([*tried, wave(np.array(low), turns[None]), wave(np.array(high), turns[None])], axis=0)
        found = least_of_wave(Looked(wave, low, high), turns[None], *bounds(low, high, 25))
        assert found == pytest.approx(expected, abs=1e-11)


@pytest.mark.outside("closed form: parabolas one a column, in a range that does not begin at nothing")
@pytest.mark.parametrize(("low", "high"), [(4.0, 6.0), (-6.0, -4.0), (-1.0, 1.0)])
def test_many_columns_take_few_looks_each_wherever_the_range_lies(low: float, high: float) -> None:
    count, rng = 2000, np.random.default_rng(2)
    # places that a plane through two figures foretells well, but for a little
    rows = np.array([rng.uniform(0.3, 0.6, count), rng.uniform(0, 0.3, count)])
    at = low + (rows[0] + rows[1] + 0.02 * np.sin(9 * rows[0])) * (high - low)
    full = np.vstack([rows, at])
    looked = Looked(lambda x, r: np.cosh(2 * (x - r[2])) + r[0], low, high)
    assert least(looked, full, *bounds(low, high, count)) == pytest.approx(1 + rows[0], abs=1e-10)
    assert looked.asked < 10 * count


@pytest.mark.outside("closed form: 2 (x - 3)^2 + 5 has its bottom at 3, 5 high; a line and a hill have none")
def test_the_bottoms_of_parabolas_through_three_places() -> None:
    def f(x: float) -> float:
        return 2 * (x - 3) ** 2 + 5

    x, y, z = 1.0, 0.0, 4.5
    known = np.array([[x, f(x), y, f(y), z, f(z)], [x, x, y, y, z, z], [x, -f(x), y, -f(y), z, -f(z)]]).T
    shallow = np.array([[x, 0.1 * f(x), y, 0.1 * f(y), z, 0.1 * f(z)]]).T
    place, height = many._bottom(known)
    assert (place[0], height[0]) == (pytest.approx(3), pytest.approx(5))
    assert list(place[1:]) == [np.inf, np.inf]
    place, height = many._bottom(shallow)
    assert (place[0], height[0]) == (pytest.approx(3), pytest.approx(0.5))


def test_only_the_chosen_columns_are_kept() -> None:
    one, two = np.arange(3.0), np.arange(6.0).reshape(2, 3)
    kept = many._those(np.array([True, False, True]), one, two)
    assert kept[0].tolist() == [0.0, 2.0]
    assert kept[1].tolist() == [[0.0, 2.0], [3.0, 5.0]]
    every = many._those(np.array([True, True, True]), one, two)
    assert every[0].tolist() == one.tolist()


@pytest.mark.outside("closed form: a plane through the places of the scouts foretells places that lie on a plane")
def test_places_on_a_plane_are_foretold() -> None:
    count, rng = 1280, np.random.default_rng(3)
    rows = rng.uniform(1, 2, (2, count))
    low, high = bounds(5.0, 8.0, count)
    at = 5.0 + 0.5 * rows[0] + 0.9 * rows[1]
    place, aside = many._foretold(lambda x, r: (x - 5.0 - 0.5 * r[0] - 0.9 * r[1]) ** 2, rows, low, high)
    assert place == pytest.approx(at, abs=1e-6)
    assert aside == pytest.approx(0.003)  # a thousandth of the range, no nearer

    def off(x: Array, r: Array) -> Array:
        return np.abs(x - 5.0 - 0.5 * r[0] - np.where(r[1] > 1.5, 1.4, 0.4))

    place, aside = many._foretold(off, rows, low, high)
    true = 5.0 + 0.5 * rows[0] + np.where(rows[1] > 1.5, 1.4, 0.4)
    assert np.all(aside > 0.2)
    assert np.mean(np.abs(place - true) < aside) > 0.9


@pytest.mark.outside("closed form: columns whose place is foretold, and some whose is not, all have their bottom")
def test_parabolas_end_only_at_a_bottom() -> None:
    count, rng = 1500, np.random.default_rng(4)
    rows = rng.uniform(0, 1, (1, count))
    low, high = bounds(2.0, 3.0, count)
    sharp = (rows[0] * 997) % 1 < 0.3  # a third of the columns is bent, at another place

    def f(x: Array, r: Array) -> Array:
        bent = (r[0] * 997) % 1 < 0.3
        return np.where(bent, np.abs(x - 2.2), (x - 2.3 - 0.4 * r[0]) ** 2 + 0.1 * (x - 2.3 - 0.4 * r[0]) ** 4) + 7

    assert least(f, rows, low, high) == pytest.approx(7, abs=1e-8)
    found = many._by_parabolas(f, rows, low, high)
    ended = ~np.isnan(found)
    assert found[ended] == pytest.approx(7, abs=1e-10)
    assert np.count_nonzero(ended[~sharp]) > 0.7 * np.count_nonzero(~sharp)
    edge = many._by_parabolas(lambda x, r: x + 0 * r[0], rows, low, high)
    assert np.isnan(edge).all()  # the least is at an end: no parabola
