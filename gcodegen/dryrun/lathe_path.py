"""Motions of a lathe program as strokes: paths in the (z, r) plane with the tool that makes them.

Feed moves that go straight on at the same feed are one stroke, so that a cut written in short pieces is
judged like the same cut in one block.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from gcodegen.dryrun.lathe_tool import SAGITTA, Box, Points
from gcodegen.rs274.motions import Dwell, End, FeedUnit, Kind, Motion, SpindleChange, Step, Stop, ToolChange

MOST_CHORDS = 4000  # reached only by a full turn of more than 600 mm radius
_STRAIGHT = 1e-9  # sine of the angle below which two moves go the same way


@dataclass(frozen=True, slots=True)
class Stroke:
    """One path of the programmed point, (n, 2) places (z, r); ``tool`` is its number, 0 when none is known.

    ``places`` are those of its motions among the program's steps, ``box`` is that of its path. ``known`` is false
    when the text does not tell where the path begins or ends; ``from_start`` is true of the first motion, whose
    beginning is only taken to be clear of the work.
    """

    motions: tuple[Motion, ...]
    places: tuple[int, ...]
    path: Points
    box: Box
    tool: int
    known: bool
    from_start: bool

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


@dataclass(frozen=True, slots=True, kw_only=True)
class Halt:
    """A step between strokes, with the tool that is in the post before it.

    ``at`` is the place (z, r) of the tool; None when the text does not tell it, as before the first motion.
    """

    step: Dwell | Stop | ToolChange | SpindleChange | End
    tool: int
    at: Points | None


def events(steps: Sequence[Step]) -> Iterator[Stroke | Halt]:
    """Yield the strokes of a program, and what comes between them, in order.

    A tool is in the post after a tool change, or after a stop for the operator with a new T word; a T word
    alone fits nothing, nor does an optional stop, which stops only with its switch on.
    """
    tool, lost = 0, False
    at: Points | None = None
    waiting: Stroke | None = None
    for place, step in enumerate(steps):
        if isinstance(step, Motion):
            here_lost = step.state.machine_coordinates or bool(step.state.unknown)
            path = _path(step)
            stroke = Stroke((step,), (place,), path, _box(path), tool, not (lost or here_lost), at is None)
            lost, at = here_lost, stroke.path[-1]
            if waiting is not None and (joined := _joined(waiting, stroke)) is not None:
                waiting = joined
                continue
            if waiting is not None:
                yield waiting
            waiting = stroke
            continue
        if waiting is not None:
            yield waiting
            waiting = None
        yield Halt(step=step, tool=tool, at=None if lost else at)
        tool = fitted_after(step, tool)
    if waiting is not None:
        yield waiting


def strokes(steps: tuple[Step, ...]) -> Iterator[Stroke]:
    """Yield the strokes of a program in order, without what comes between them."""
    return (event for event in events(steps) if isinstance(event, Stroke))


def fitted_after(step: Step, tool: int) -> int:
    """Return the number of the tool that is in the post after a step, which was ``tool`` before it."""
    match step:
        case ToolChange():
            return step.tool
        case Stop(named_tool=named, optional=False) if named:
            return named
        case _:
            return tool


def _joined(before: Stroke, after: Stroke) -> Stroke | None:
    """Return two strokes as one when the second goes straight on with the same feed; else None.

    The reader makes no cut that begins or ends at a place that is not known.
    """
    last, motion = before.motions[-1], after.first
    if not (last.kind is motion.kind is Kind.FEED and last.feed == motion.feed and before.tool == after.tool):
        return None
    if last.state is not motion.state and last.state != motion.state:
        return None
    if last.state.feed_unit is FeedUnit.INVERSE_TIME:
        return None  # there F counts for one block alone
    if not _straight_on(before.path.tolist(), after.path.tolist()):
        return None
    path = np.vstack([before.path[0], after.path[1]])
    motions, places = (*before.motions, motion), (*before.places, *after.places)
    return Stroke(motions, places, path, _box(path), before.tool, before.known, before.from_start)


def _straight_on(before: list[list[float]], after: list[list[float]]) -> bool:
    """Return whether a straight piece goes on the way of the one before it."""
    (z0, r0), (z1, r1) = before
    (z2, r2), (z3, r3) = after
    one_z, one_r, two_z, two_r = z1 - z0, r1 - r0, z3 - z2, r3 - r2
    lengths = math.hypot(one_z, one_r) * math.hypot(two_z, two_r)
    ahead, aside = one_z * two_z + one_r * two_r, one_z * two_r - one_r * two_z
    return ahead > 0 and abs(aside) <= _STRAIGHT * lengths


def _path(motion: Motion) -> Points:
    """Return a motion's places (z, r); an arc in chords that leave it by at most ``SAGITTA``."""
    start = motion.start.z, motion.start.x / 2
    end = motion.end.z, motion.end.x / 2
    arc = motion.arc
    if arc is None or arc.axes != "zx":
        return np.array([start, end])
    sweep = math.radians(arc.sweep_deg)
    step = 2 * math.acos(1 - SAGITTA / max(arc.radius, SAGITTA))
    count = min(MOST_CHORDS, math.ceil(abs(sweep) / step))
    first = math.atan2(start[1] - arc.centre[1], start[0] - arc.centre[0])
    angles = first + sweep * np.arange(count + 1) / count
    path = np.array(arc.centre) + arc.radius * np.column_stack([np.cos(angles), np.sin(angles)])
    path[0], path[-1] = start, end
    return path


def _box(path: Points) -> Box:
    if len(path) == 2:
        (z0, r0), (z1, r1) = path.tolist()
        return min(z0, z1), min(r0, r1), max(z0, z1), max(r0, r1)
    (z0, r0), (z1, r1) = path.min(axis=0).tolist(), path.max(axis=0).tolist()
    return z0, r0, z1, r1
