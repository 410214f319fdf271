"""The least value between two bounds against closed forms: how right it is, where it looks, and how often."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest

from gcodegen.design.least import _parabola, least, least_of_wave

LOW, HIGH = -1.0, 4.0
Made: TypeAlias = Callable[[float, float], Callable[[float], float]]
"""A function that is least, 7, at a place, with a slope."""

SMOOTH: dict[str, Made] = {
    "parabola": lambda at, slope: lambda x: 7 + slope * (x - at) ** 2,
    "cosine": lambda at, slope: lambda x: 7 + slope * (1 - math.cos((x - at) / 2)),
    "root": lambda at, slope: lambda x: 6 + math.hypot(1, slope * (x - at)),
    "lopsided": lambda at, slope: lambda x: 7 + slope * (math.exp(x - at) - 1 - (x - at)),
    "flat": lambda at, slope: lambda x: 7 + slope * (x - at) ** 4,
}
BENT: dict[str, Made] = {
    "valley": lambda at, slope: lambda x: 7 + slope * abs(x - at),
    "steep on the left": lambda at, slope: lambda x: 7 + slope * max(at - x, (x - at) / 20),
    "steep on the right": lambda at, slope: lambda x: 7 + slope * max((at - x) / 20, x - at),
    "round on one side": lambda at, slope: lambda x: 7 + slope * ((x - at) ** 2 if x > at else at - x),
}


class Looked:
    """A function that notes where it is asked, and may be asked between the bounds alone."""

    def __init__(self, f: Callable[[float], float], low: float = LOW, high: float = HIGH) -> None:
        self._f, self._low, self._high = f, low, high
        self.at: list[float] = []

    def __call__(self, x: float) -> float:
        assert self._low <= x <= self._high
        self.at.append(x)
        return self._f(x)


def places(count: int, seed: int) -> list[tuple[float, float]]:
    rng = np.random.default_rng(seed)
    ends = [(LOW, 1.0), (HIGH, 1.0), (LOW + 1e-4, 2.0), (HIGH - 1e-4, 2.0), ((LOW + HIGH) / 2, 1.0)]
    return ends + [(float(rng.uniform(LOW, HIGH)), float(rng.uniform(0.2, 3))) for _ in range(count)]


@pytest.mark.outside("closed form: the bottom of a function that falls, then rises, is 7 wherever it lies")
@pytest.mark.parametrize("kind", SMOOTH)
def test_the_least_of_a_smooth_function_is_right_to_its_last_digits_in_few_looks(kind: str) -> None:
    looks = []
    for at, slope in places(60, 1):
        f = Looked(SMOOTH[kind](at, slope))
        assert least(f, LOW, HIGH) == pytest.approx(7, abs=3e-12)
        looks.append(len(f.at))
    assert np.mean(looks) < {"parabola": 8, "flat": 30}.get(kind, 14)
    assert max(looks) < {"parabola": 12, "flat": 45}.get(kind, 22)


@pytest.mark.outside("closed form: the bottom of a bent line is 7; its place is known to 1e-8 of the range")
@pytest.mark.parametrize("kind", BENT)
def test_the_least_at_a_bend_is_right_to_its_place_times_the_slope(kind: str) -> None:
    looks = []
    for at, slope in places(60, 2):
        f = Looked(BENT[kind](at, slope))
        assert 7 <= least(f, LOW, HIGH) <= 7 + 2.5e-8 * (HIGH - LOW) * slope
        looks.append(len(f.at))
    assert np.mean(looks) < 40
    assert max(looks) < 62


@pytest.mark.outside("closed form: a function that only falls or rises is least at its end")
def test_the_least_at_an_end_takes_few_looks() -> None:
    for f, value in (
        (lambda x: 2 * x, -2.0),
        (lambda x: -x, -4.0),
        (lambda x: math.exp(x), math.exp(-1)),
        (lambda x: math.exp(-x), math.exp(-4)),
        (lambda x: 3.0, 3.0),
    ):
        looked = Looked(f)
        assert least(looked, LOW, HIGH) == value
        assert len(looked.at) <= 4


@pytest.mark.outside("closed form: a valley of slope 1 is 7 at its bottom, wherever the range lies")
@pytest.mark.parametrize(("low", "high"), [(100.0, 101.0), (-0.9, 1.0), (-7.0, -6.0), (0.0, 0.01)])
def test_a_bend_is_found_as_well_in_any_range(low: float, high: float) -> None:
    for share in np.linspace(0.003, 0.997, 30):
        at = low + float(share) * (high - low)
        f = Looked(lambda x, at=at: 7 + abs(x - at), low, high)
        assert least(f, low, high) == pytest.approx(7, abs=2.5e-8 * (high - low) + 1e-15)
        assert len(f.at) < 62
        wave = Looked(lambda x, at=at: 7 + abs(x - at), low, high)
        assert least_of_wave(wave, low, high) == pytest.approx(7, abs=2.5e-8 * (high - low) + 1e-15)
        smooth = Looked(lambda x, at=at: (x - at) ** 2 / (high - low) ** 2, low, high)
        assert least(smooth, low, high) == pytest.approx(0, abs=3e-12)
        assert len(smooth.at) < 12


@pytest.mark.outside("closed form: (u^2 - m^2)^2 is level at u = 0, a top, and 0 at u = m; u^2 is level at its bottom")
@pytest.mark.parametrize("bottom", [0.5, 0.2, 0.1, 0.03, 0.01, 0.001])
def test_an_end_that_is_level_is_told_apart_as_top_or_bottom(bottom: float) -> None:
    def f(u: float) -> float:
        return (u * u - bottom**2) ** 2 / bottom**2

    assert least(Looked(f, 0.0, 1.0), 0.0, 1.0) == pytest.approx(0, abs=3e-12)
    assert least(Looked(lambda x: f(1 - x), 0.0, 1.0), 0.0, 1.0) == pytest.approx(0, abs=3e-12)
    for g in (lambda u: u * u + bottom, lambda u: math.cosh(1 - u) - 1 + bottom):
        level = Looked(g, 0.0, 1.0)
        assert least(level, 0.0, 1.0) == pytest.approx(bottom, abs=1e-12)
        assert len(level.at) < 12


def test_a_plateau_and_a_range_of_one_place_have_their_value() -> None:
    flat = Looked(lambda x: max(1.0, abs(x - 1) - 1))
    assert least(flat, LOW, HIGH) == 1.0
    assert least(lambda x: x * x, 2.0, 2.0) == 4.0


@pytest.mark.outside("closed form: the deepest of several hollows of a wave on a slope")
@pytest.mark.parametrize("slope", [0.3, -0.3])
@pytest.mark.parametrize("turn", np.linspace(0, 2 * math.pi, 13))
def test_the_deepest_hollow_of_a_wave_is_found(slope: float, turn: float) -> None:
    def wave(x: float) -> float:
        return math.cos(2.4 * x + turn) + slope * x

    f = Looked(wave, 0.0, 5.0)
    # where 2.4 sin(2.4 x + turn) = slope on the way up, or at an end
    foot = math.pi - math.asin(slope / 2.4)
    hollows = [(foot + 2 * math.pi * k - turn) / 2.4 for k in range(4)]
    expected = min(wave(x) for x in [0.0, 5.0, *(x for x in hollows if 0 <= x <= 5)])
    assert least_of_wave(f, 0.0, 5.0) == pytest.approx(expected, abs=1e-11)
    assert len(f.at) < 22


@pytest.mark.outside("closed form: hollows in the first, in the last and in a middle part of the range")
@pytest.mark.parametrize("at", [0.0, 0.02, 0.4, 1.0, 2.2, 3.0, 5.1, 5.9, 5.98, 6.0])
def test_a_hollow_in_any_part_of_the_range_is_found(at: float) -> None:
    f = Looked(lambda x: (x - at) ** 2 + 0.25, 0.0, 6.0)
    assert least_of_wave(f, 0.0, 6.0) == pytest.approx(0.25, abs=1e-12)
    assert set(range(7)) <= set(f.at)  # it looks at seven places first
    assert max(abs(x - at) for x in f.at[7:]) <= 1.0  # and then only beside the least of them


@pytest.mark.outside("closed form: the bottom of 2 (x - 3)^2 + 5 through any three of its points")
def test_the_bottom_of_a_parabola_and_how_far_it_lies_below() -> None:
    points = [(x, 2 * (x - 3) ** 2 + 5) for x in (0.0, 1.0, 4.5)]
    for best, one, other in itertools.permutations(points):
        jump, drop = _parabola(best, one, other)
        assert best[0] + jump == pytest.approx(3)
        assert best[1] - drop == pytest.approx(5)


@pytest.mark.parametrize(
    "points",
    [
        ((0.0, 1.0), (1.0, 2.0), (2.0, 3.0)),  # a straight line
        ((0.0, 1.0), (1.0, 5.0), (2.0, 1.0)),  # a hill
        ((0.0, 1.0), (0.0, 1.0), (2.0, 3.0)),  # two of them are one
        ((0.0, 1.0), (2.0, 3.0), (0.0, 1.0)),
        ((2.0, 3.0), (0.0, 1.0), (0.0, 1.0)),
    ],
)
def test_what_is_no_parabola_with_a_bottom_has_none(points: tuple[tuple[float, float], ...]) -> None:
    assert _parabola(*points) == (math.inf, math.inf)
