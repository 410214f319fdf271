"""Motions of a lathe program as strokes: paths in the (z, r) plane with the tool that makes them.

Feed moves that go straight on at the same feed are one stroke, so that a cut written in short pieces is
judged like the same cut in one block.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from gcodegen.dryrun.lathe_tool import SAGITTA, Points
from gcodegen.rs274.motions import Kind, Motion, Step, Stop, ToolChange

MOST_CHORDS = 4000  # reached only by a full turn of more than 600 mm radius
_STRAIGHT = 1e-9  # sine of the angle below which two moves go the same way


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One path of the programmed point, (n, 2) places (z, r); ``tool`` is its number, 0 when none is known.

    ``known`` is false when the text does not tell where the path begins or ends.
    """

    motions: tuple[Motion, ...]
    path: Points
    tool: int
    known: bool

    @property
    def first(self) -> Motion:
        """The first of its motions."""
        return self.motions[0]

    @property
    def line(self) -> int:
        """The line on which it begins."""
        return self.motions[0].line

    @property
    def rapid(self) -> bool:
        """Whether it is made at rapid."""
        return self.first.kind is Kind.RAPID

    @property
    def straight(self) -> bool:
        """Whether it is one straight piece."""
        return len(self.path) == 2


def strokes(steps: tuple[Step, ...]) -> Iterator[Stroke]:
    """Yield the strokes of a program in order.

    A tool is in the post after a tool change, or after a stop for the operator with a new T word; a T word
    alone fits nothing, nor does an optional stop, which stops only with its switch on.
    """
    tool, lost = 0, False
    waiting: Stroke | None = None
    for step in steps:
        if isinstance(step, Motion):
            here_lost = step.state.machine_coordinates or bool(step.state.unknown)
            stroke = Stroke(motions=(step,), path=_path(step), tool=tool, known=not (lost or here_lost))
            lost = here_lost
            if waiting is not None and (joined := _joined(waiting, stroke)) is not None:
                waiting = joined
                continue
        elif waiting is None or not isinstance(step, Stop | ToolChange):
            tool = _fitted(step, tool)
            continue
        if waiting is not None:
            yield waiting
        tool, waiting = (tool, stroke) if isinstance(step, Motion) else (_fitted(step, tool), None)
    if waiting is not None:
        yield waiting


def _fitted(step: Step, tool: int) -> int:
    match step:
        case ToolChange():
            return step.tool
        case Stop(named_tool=named, optional=False) if named:
            return named
        case _:
            return tool


def _joined(before: Stroke, after: Stroke) -> Stroke | None:
    """Return two strokes as one when the second goes straight on with the same feed; else None."""
    last, motion = before.motions[-1], after.first
    same = last.kind is motion.kind is Kind.FEED and last.state == motion.state and last.feed == motion.feed
    if not (same and before.straight and before.tool == after.tool and before.known and after.known):
        return None
    one, two = before.path[1] - before.path[0], after.path[1] - after.path[0]
    lengths = math.hypot(*one) * math.hypot(*two)
    if lengths == 0 or float(one @ two) <= 0 or abs(one[0] * two[1] - one[1] * two[0]) > _STRAIGHT * lengths:
        return None
    path = np.vstack([before.path[0], after.path[1]])
    return Stroke(motions=(*before.motions, motion), path=path, tool=before.tool, known=True)


def _path(motion: Motion) -> Points:
    """Return a motion's places (z, r); an arc in chords that leave it by at most ``SAGITTA``."""
    start = motion.start.z, motion.start.x / 2
    end = motion.end.z, motion.end.x / 2
    arc = motion.arc
    if arc is None or arc.axes != "zx":
        return np.array([start, end])
    sweep = math.radians(arc.sweep_deg)
    step = 2 * math.acos(max(0.0, 1 - SAGITTA / max(arc.radius, SAGITTA)))
    count = min(MOST_CHORDS, max(1, math.ceil(abs(sweep) / step)))
    first = math.atan2(start[1] - arc.centre[1], start[0] - arc.centre[0])
    angles = first + sweep * np.arange(count + 1) / count
    path = np.array(arc.centre) + arc.radius * np.column_stack([np.cos(angles), np.sin(angles)])
    path[0], path[-1] = start, end
    return path
