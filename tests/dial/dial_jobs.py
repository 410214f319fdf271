"""Readings and a job for the dial tests. Chucks, parts and figures are invented."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gcodegen.dial import Reading, ReadingSet
from gcodegen.job import Job, load_job

FloatArray = NDArray[np.float64]
_JOBS = Path(__file__).parents[2] / "jobs"
M6_PITCH = 1.0  # ISO 261, coarse


def steps(n: int, first: float = 0.0) -> list[float]:
    return [first + 360 * i / n for i in range(n)]


def read_at(angles: Sequence[float], surface: Callable[[float], float], plane: float | None = None) -> list[Reading]:
    """Return readings of ``surface``, a function of the angle in radians."""
    return [Reading(angle_deg=a, value=surface(math.radians(a)), plane=plane) for a in angles]


def off(x: float, y: float) -> Callable[[float], float]:
    """Return the surface of a round part that stands off by (x, y), as ``read_at`` wants it."""
    return lambda t: x * math.cos(t) + y * math.sin(t)


def lobed(t: FloatArray, mean: float, e: float, phi: float, *lobes: float) -> FloatArray:
    """Return what a part off by ``e`` towards ``phi`` (radians), with two and three lobes, reads at angles ``t``."""
    a2, b2, a3, b3 = lobes
    return (
        mean + e * np.cos(t - phi) + (a2 * np.cos(2 * t) + b2 * np.sin(2 * t) + a3 * np.cos(3 * t) + b3 * np.sin(3 * t))
    )


def settled_job(screw: str = "M6", name: str = "chuck-160") -> Job:
    job = load_job(_JOBS / f"{name}.toml")
    return job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"screw": screw})})


def taken(readings: Sequence[Reading], resolution: float | None = 0.001, **more: float) -> ReadingSet:
    """Return readings as one set, by an indicator whose step is told."""
    return ReadingSet(readings=tuple(readings), resolution=resolution, **more)
