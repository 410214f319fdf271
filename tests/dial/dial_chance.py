"""Chance that is not one: the draws of a rig are told beforehand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import cast

import numpy as np
from numpy.typing import NDArray


class _Told:
    def __init__(self, draws: tuple[float, ...]) -> None:
        self._draws: Iterator[float] = iter(draws)

    def standard_normal(self, size: int | None = None) -> float | NDArray[np.float64]:
        if size is None:
            return next(self._draws, 0.0)
        return np.array([next(self._draws, 0.0) for _ in range(size)])


def told(*draws: float) -> np.random.Generator:
    """Return a generator whose normal draws are these, one after the other, and then zeros."""
    return cast("np.random.Generator", _Told(draws))
