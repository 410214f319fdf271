"""A program's motions with what the text alone does not carry: how the work is turned, which tool is fitted.

For drawings: nothing is judged here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.lathe_path import fitted_after
from gcodegen.dryrun.mill_scene import follow
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.run import read_for
from gcodegen.job import Job
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Motion, Step, Stop


@dataclass(frozen=True, slots=True)
class TracedMotion:
    """One motion; ``turn`` is the index of the work, degrees (0 on a lathe), ``tool`` the number fitted, or 0."""

    motion: Motion
    turn: float
    tool: int


@dataclass(frozen=True, slots=True)
class Trace:
    """All motions in order, the program's lines, and the operator's stops as (line, message)."""

    lines: tuple[str, ...]
    motions: tuple[TracedMotion, ...]
    stops: tuple[tuple[int, str], ...]


def trace(text: str, job: Job, on: Literal["mill", "lathe"]) -> Trace:
    """Return what a program does on one machine, as the dry run reads it.

    Parameters
    ----------
    text : str
        The program.
    job : Job
        Settled.
    on : {"mill", "lathe"}
        The machine.
    """
    reading = read_for(text, job, on, block_delete=False)
    return _on_mill(reading, job) if on == "mill" else Trace(reading.lines, _on_lathe(reading), _stops(reading.steps))


def _on_mill(reading: Reading, job: Job) -> Trace:
    moments = follow(reading, MillSetup(job), Notebook(reading.lines, CODES))
    motions = tuple(TracedMotion(m.step, m.index, m.number or 0) for m in moments if isinstance(m.step, Motion))
    return Trace(reading.lines, motions, _stops(m.step for m in moments))


def _stops(steps: Iterable[Step]) -> tuple[tuple[int, str], ...]:
    return tuple((s.line, s.message.strip()) for s in steps if isinstance(s, Stop))


def _on_lathe(reading: Reading) -> tuple[TracedMotion, ...]:
    found, fitted = [], 0
    for step in reading.steps:
        if isinstance(step, Motion):
            found.append(TracedMotion(step, 0.0, fitted))
        fitted = fitted_after(step, fitted)
    return tuple(found)
