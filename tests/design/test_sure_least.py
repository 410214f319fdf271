"""The least values of many functions at once, against closed forms and scipy; many draws against one at a time."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.optimize import minimize_scalar

from gcodegen.design import design
from gcodegen.design.sure.least import least, least_of_wave
from gcodegen.design.sure.sample import Sample, rectangular
from gcodegen.design.sure.walls import governing, wall_margin
from tests.design.sure_jobs import random_jobs

Array = NDArray[np.float64]
MANY = 3000
EXACT = 1e-9


def columns(seed: int) -> tuple[Array, Array, Array]:
    """Return rows of two figures that differ from column to column, and bounds."""
    rng = np.random.default_rng(seed)
    rows = np.array([rng.uniform(0.3, 0.9, MANY), rng.uniform(2, 3, MANY)])
    return rows, np.zeros(MANY), np.full(MANY, 1.5)


@pytest.mark.outside("closed form: bottoms of a parabola, of a chain of cosines, of a bent line, and at an end")
@pytest.mark.parametrize(
    ("f", "bottom"),
    [
        (lambda x, r: r[1] * (x - r[0]) ** 2 + r[0], lambda r: r[0]),
        (lambda x, r: -np.cos(x - r[0]) * r[1], lambda r: -r[1]),
        (lambda x, r: r[1] * np.abs(x - r[0]) + 1, lambda _: np.ones(MANY)),
        (lambda x, r: np.where(x < r[0], r[0] - x, 0.0), lambda _: np.zeros(MANY)),
        (lambda x, r: r[1] * x, lambda _: np.zeros(MANY)),
        (lambda x, r: np.hypot(x, r[1]) - x, lambda r: np.hypot(1.5, r[1]) - 1.5),
        (lambda x, r: np.where(r[0] < 0.6, (x - 0.2) ** 2, np.abs(x - 1.1)), lambda _: np.zeros(MANY)),
    ],
    ids=["parabola", "cosine", "bent", "plateau", "at the low end", "at the high end", "two sorts of column"],
)
def test_many_least_values_are_those_of_closed_forms(
    f: Callable[[Array, Array], Array], bottom: Callable[[Array], Array]
) -> None:
    rows, low, high = columns(1)
    # Golden sections find a bend to 4e-9 of the range.
    assert least(f, rows, low, high) == pytest.approx(bottom(rows), abs=2e-8)


@pytest.mark.outside("scipy.optimize.minimize_scalar over each hollow")
def test_the_least_of_several_hollows_is_found_in_every_column() -> None:
    rows, low, high = columns(2)

    def f(x: Array, r: Array) -> Array:
        return np.cos(5 * x + r[0]) + 0.1 * r[1] * (x - 0.8) ** 2

    found = least_of_wave(f, rows, low, 2 * high)
    for k in range(0, MANY, 100):
        hollows = [
            minimize_scalar(
                lambda x, k=k: float(f(np.array([x]), rows[:, [k]])[0]),
                bounds=(a, a + 0.3),
                method="bounded",
                options={"xatol": 1e-10},
            ).fun
            for a in np.arange(0, 3, 0.3)
        ]
        assert found[k] == pytest.approx(min(hollows), abs=EXACT)


def test_smooth_functions_take_few_values_for_each_column() -> None:
    rows, low, high = columns(3)
    asked = 0

    def f(x: Array, r: Array) -> Array:
        nonlocal asked
        asked += len(x)
        return np.hypot(1 + r[0] * np.sin(x - r[0]), 2.0 - r[1] * np.sin(x))

    least(f, rows, low, high)
    assert asked < 12 * MANY  # golden sections alone take 44


def one_at_a_time(count: int, seed: int, draws: int) -> float:
    """Return the largest difference between walls of all draws at once and of some of them alone, mm."""
    worst = 0.0
    for job in random_jobs(count, seed):
        decided = design(job)
        around = governing(decided)
        every = rectangular(decided.job, [s.key for s in decided.job.spread], draws, seed)
        walls = wall_margin(decided, around, every, draws)
        for k in range(0, draws, draws // 40):
            one = Sample(decided.job, {key: figures[k : k + 1] for key, figures in every.drawn.items()})
            worst = max(worst, abs(walls[k] - wall_margin(decided, around, one, 1)[0]))
    return worst


def test_many_draws_have_the_walls_of_each_alone() -> None:
    assert one_at_a_time(4, 21, 2000) < EXACT


@pytest.mark.slow
def test_many_draws_have_the_walls_of_each_alone_on_100_chucks() -> None:
    assert one_at_a_time(100, 22, 40_000) < EXACT
