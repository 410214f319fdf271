"""Measured lengths as arrays: a job looked at many times at once, each time with other true sizes."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from gcodegen.job import Job

Array: TypeAlias = NDArray[np.float64]
Lengths: TypeAlias = Array | float
"""One figure for each draw, or the same one for all of them."""
READINGS = "adjustment.reading"
_STEP = re.compile(r"([A-Za-z_]+)|\[(\d+)\]")


def length_at(job: Job, key: str) -> float:
    """Return the length at a dotted path (lists count from 1), mm; 0 where the job leaves it out."""
    node: Any = job
    for name, number in _STEP.findall(key):
        node = node[int(number) - 1] if number else getattr(node, name)
    return float(node) if isinstance(node, int | float) else 0.0


@dataclass(frozen=True, slots=True)
class Sample:
    """A job and the figures that some of its measured lengths take, mm; ``asked`` notes which were looked at."""

    job: Job
    drawn: Mapping[str, Array]
    asked: set[str] = field(default_factory=set)

    def __call__(self, key: str) -> Lengths:
        """Return the length at a dotted path: as drawn, else as the job has it; 0 where the job leaves it out."""
        found = self.drawn.get(key)
        if found is None:
            return length_at(self.job, key)
        self.asked.add(key)
        return found

    def worst_run_out(self) -> Lengths:
        """Return the largest run-out of all readings, mm."""
        worst: Lengths = 0.0
        for number in range(1, len(self.job.adjustment.reading) + 1):
            worst = np.maximum(worst, self(f"{READINGS}[{number}].run_out"))
        return worst


def rectangular(job: Job, keys: Collection[str], draws: int, seed: int) -> Sample:
    """Return a sample in which these lengths lie anywhere within their bounds, alike often (JCGM 101, 6.4.2)."""
    moved = [s for s in job.spread if s.key in keys]
    chance = np.random.default_rng(seed).random((len(moved), draws))
    drawn = {s.key: length_at(job, s.key) + s.within * (2 * row - 1) for s, row in zip(moved, chance, strict=True)}
    return Sample(job, drawn)


def one_at_a_time(job: Job) -> Sample:
    """Return a sample of 2 n figures: each of n spread lengths alone at its low, then alone at its high end."""
    count = len(job.spread)
    drawn = {}
    for place, s in enumerate(job.spread):
        figures = np.full(2 * count, length_at(job, s.key))
        figures[2 * place : 2 * place + 2] += (-s.within, s.within)
        drawn[s.key] = figures
    return Sample(job, drawn)


def corners(job: Job, keys: Iterable[str]) -> Sample:
    """Return every corner of the box that these keys span, the others at nominal; run-outs move together."""
    wanted = set(keys)
    moved = [s for s in job.spread if s.key in wanted]
    if not moved:
        return Sample(job, {})
    groups = list(dict.fromkeys(_group(s.key) for s in moved))
    ends = 2.0 * np.array(np.unravel_index(np.arange(2 ** len(groups)), (2,) * len(groups))) - 1
    return Sample(job, {s.key: length_at(job, s.key) + s.within * ends[groups.index(_group(s.key))] for s in moved})


def _group(key: str) -> str:
    return READINGS if key.startswith(READINGS) else key
