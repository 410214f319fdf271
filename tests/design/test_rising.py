"""Where a rising function leaves the negative, held against scipy; and how many values that takes."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np
import pytest
from scipy.optimize import brentq

from gcodegen.design.rising import crossing

CLOSE_DEG, CLOSE_MM = 1e-9, 1e-7


Made: TypeAlias = Callable[[float, float, float], Callable[[float], float]]
"""A rising function of x, 0 to 90, that leaves the negative at the first figure, with a slope and a power."""

KINDS: dict[str, Made] = {
    "straight": lambda at, slope, _: lambda x: slope * (x - at),
    "smooth": lambda at, slope, _: lambda x: math.hypot(slope * x, 4) - math.hypot(slope * at, 4),
    "power": lambda at, _, power: lambda x: x**power - at**power,
    "bent": lambda at, slope, _: lambda x: max(slope * (x - at), 20 * slope * (x - at)),
    "steep": lambda at, *_: lambda x: math.atan(40 * (x - at)),
    "step": lambda at, *_: lambda x: -2.0 if x < at else 0.5,
}


def ends_soon(f: Callable[[float], float]) -> Callable[[float], float]:
    """Return the function, which refuses to be asked for ever."""
    asked = itertools.count()

    def counted(x: float) -> float:
        assert next(asked) < 300
        return f(x)

    return counted


@pytest.mark.outside("scipy.optimize.brentq")
@pytest.mark.parametrize("kind", KINDS)
def test_a_crossing_is_where_a_general_solver_finds_it(kind: str) -> None:
    rng = np.random.default_rng(8)
    for _ in range(60):
        f = KINDS[kind](rng.uniform(1, 89), rng.uniform(0.01, 3), rng.uniform(0.3, 5))
        low, high = crossing(ends_soon(f), 0.0, 90.0)
        place = brentq(f, 0.0, 90.0, xtol=1e-12)
        assert 0 <= high - low <= CLOSE_DEG
        assert abs(f(low)) < CLOSE_MM if low == high else low - CLOSE_DEG <= place <= high + CLOSE_DEG


def test_a_crossing_of_smooth_functions_takes_few_values() -> None:
    asked: list[float] = []

    def f(x: float) -> float:
        asked.append(x)
        assert len(asked) <= 9
        return math.hypot(0.3 * x, 4) - math.hypot(12, 4)

    low, high = crossing(f, 0.0, 90.0)
    assert len(asked) <= 9
    assert (low, high) == pytest.approx((40.0, 40.0), abs=1e-6)


def test_a_crossing_that_is_given_up_lies_between_the_two_places() -> None:
    values: list[float] = []

    def f(x: float) -> float:
        values.append(x)
        assert len(values) <= 4
        return x**3 - 1000.0

    low, high = crossing(f, 0.0, 90.0, lambda: len(values) >= 4)
    assert len(values) == 4
    assert low < 10.0 < high
