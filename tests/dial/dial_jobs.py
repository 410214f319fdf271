"""Readings and a job for the dial tests. Chucks, parts and figures are invented."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from pathlib import Path

from gcodegen.dial import Reading
from gcodegen.job import Job, load_job

_JOBS = Path(__file__).parents[2] / "jobs"
M6_PITCH = 1.0  # ISO 261, coarse


def steps(n: int, first: float = 0.0) -> list[float]:
    return [first + 360 * i / n for i in range(n)]


def read_at(angles: Sequence[float], surface: Callable[[float], float], plane: float | None = None) -> list[Reading]:
    """Return readings of ``surface``, a function of the angle in radians."""
    return [Reading(angle_deg=a, value=surface(math.radians(a)), plane=plane) for a in angles]


def settled_job(screw: str = "M6", name: str = "chuck-160") -> Job:
    job = load_job(_JOBS / f"{name}.toml")
    return job.model_copy(update={"adjustment": job.adjustment.model_copy(update={"screw": screw})})
