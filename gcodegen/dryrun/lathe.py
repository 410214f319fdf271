"""The dry run of a lathe program: every move against the metal that is there at that moment.

The job must be settled: its relief and its spigot length are numbers, and it has a turning tool.
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import NamedTuple, assert_never

import numpy as np
import shapely

from gcodegen.dryrun.lathe_ahead import Ahead, Sweep
from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.lathe_cut import Depths
from gcodegen.dryrun.lathe_gouge import check_gouge
from gcodegen.dryrun.lathe_halts import Halts
from gcodegen.dryrun.lathe_look import look_over
from gcodegen.dryrun.lathe_metal import Metal, Taken, taken
from gcodegen.dryrun.lathe_offset import check_offsets
from gcodegen.dryrun.lathe_path import Halt, Stroke, events
from gcodegen.dryrun.lathe_rapid import check_rapid
from gcodegen.dryrun.lathe_space import Space, where
from gcodegen.dryrun.lathe_stock import GOUGE, Plate, depth_in, plate_frame
from gcodegen.dryrun.lathe_sweep import swept
from gcodegen.dryrun.lathe_time import minutes
from gcodegen.dryrun.lathe_tool import BODY_TOUCH, DUST, Fitted, Shape, body_first, fitted
from gcodegen.dryrun.lathe_trade import Rates
from gcodegen.dryrun.machine import says_before
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import Difference, ToolMinutes
from gcodegen.job import Job, LatheTool
from gcodegen.rs274.machine import Reading
from gcodegen.rs274.motions import Dwell, Kind, Motion
from gcodegen.verdict import Finding

_TOLD = 100  # moves between two words on how far the work is
_FEED_WORD = re.compile(r"G0*9[345](?![0-9]|\.[0-9])")
CODES = {row.code: row for row in LATHE_CODES}


class LatheRun(NamedTuple):
    """What the dry run of a lathe program finds.

    ``minutes`` is the time of its moves and dwells, ``tools`` the same for each tool, 0 before the first;
    ``cutting`` holds the places among the program's steps of the motions that meet metal, or may;
    ``metal`` is the section of the plate after the program, a shapely geometry in (z, r).
    """

    findings: list[Finding]
    minutes: float
    tools: tuple[ToolMinutes, ...]
    cutting: frozenset[int]
    differences: tuple[Difference, ...]
    metal: Shape


def check_lathe(reading: Reading, job: Job, progress: Callable[[float], None] | None = None) -> LatheRun:
    """Return what the dry run of a lathe program finds.

    Parameters
    ----------
    reading : Reading
        The program as read with ``Machine(lathe=True)``.
    job : Job
        A settled job.
    progress : callable, optional
        Called with the part that is done, 0 to 1, as the work goes on.
    """
    book = Notebook(reading.lines, CODES, x_is_radius=job.lathe.dialect.x_values == "radius")
    course = tuple(events(reading.steps))
    tools = _tool_minutes(course, job)
    total = math.fsum(t.minutes for t in tools)
    frame = plate_frame(job)
    turning = [tool for tool in job.lathe.tool if tool.kind == "turning"]
    if frame is None or not turning:
        says = "the job has no turning tool" if frame else "the job's relief or spigot length does not fit"
        book.add("lathe-job-unsettled", 1, says, "Settle the job with the design first.")
        return LatheRun(book.findings, total, tools, frozenset(range(len(reading.steps))), (), None)
    largest = max(tool.nose_radius for tool in job.lathe.tool)
    walk = _Walk(book, job, Plate(frame, turning[0].nose_radius, largest, GOUGE, job.undercut), turning[0])
    _check_feed_mode(book, reading)
    check_offsets(reading, job, book)
    differences = walk.run(course, progress or (lambda _done: None))
    return LatheRun(book.findings, total, tools, frozenset(walk.cutting), differences, walk.stock.shape)


class _Walk:
    """One walk through a program; ``stock`` is the metal that is left."""

    def __init__(self, book: Notebook, job: Job, plate: Plate, usual: LatheTool) -> None:
        self.book = book
        self.job = job
        self.plate = plate
        self.usual = usual
        self.tools = {tool.number: tool for tool in job.lathe.tool}
        self.outlines = {number: fitted(tool) for number, tool in self.tools.items()}
        self.stock = Metal(plate.stock)
        self.space = Space(book, job, plate)
        self.halts = Halts(book, job.lathe.max_speed_rpm)
        self.rates = Rates(book, job, plate.frame)
        self.depths = Depths(book, job.lathe.max_depth_of_cut)
        self.ahead = Ahead(())
        self.cutting: set[int] = set()
        self.last_cut = 0

    def run(self, course: tuple[Stroke | Halt, ...], progress: Callable[[float], None]) -> tuple[Difference, ...]:
        """Walk through the whole program, then look at what is left and return the dimensions that differ."""
        self.ahead = Ahead(self._straight(course))
        for number, event in enumerate(course):
            if number % _TOLD == 0:
                progress(number / len(course))
            match event:
                case Stroke():
                    self._stroke(event)
                case Halt():
                    self.halts.check(event, self.stock.shape, self._fitted(event.tool))
                case _:
                    assert_never(event)
        self.rates.write()
        end = self.last_cut or len(self.book.lines)
        if not self.last_cut:
            says = "no move of the program takes metal off the plate"
            do = "Check signs and zero: Z0 is the spigot's end."
            self.book.add("lathe-nothing-cut", end, says, do)
        return look_over(self.book, self.job, self.plate, self.stock.shape, end)

    def _stroke(self, stroke: Stroke) -> None:
        self.rates.running(stroke)
        if not stroke.known:
            self.cutting.update(stroke.places)
            says = "where this move begins or ends is not known in the work's coordinates"
            self.book.add("lathe-place-unknown", stroke.line, says, "Prove this move by hand.")
            return
        arc = stroke.first.arc
        if arc is not None and arc.axes != "zx":
            says = f"an arc in the plane of {' and '.join(arc.axes.upper())}"
            self.cutting.update(stroke.places)
            self.book.add("lathe-other-plane", stroke.line, says, "Give G18 before the arc.")
            return
        tool, shape = self.tools.get(stroke.tool), self._fitted(stroke.tool)
        self.space.check(stroke, shape)
        if stroke.rapid:
            self.depths.leave()
            self.stock = check_rapid(self.book, stroke, shape, self.stock, self.ahead)
        else:
            self._feed(stroke, tool, shape)

    def _fitted(self, number: int) -> Fitted:
        """Return the outline of a tool; for one that the job has not, that of the usual one."""
        return self.outlines.get(number) or fitted(self.usual)

    def _straight(self, course: tuple[Stroke | Halt, ...]) -> Iterator[tuple[Stroke, Fitted]]:
        """Yield the straight strokes that may meet the plate, with their tools."""
        box = self.stock.box
        for event in course:
            if isinstance(event, Stroke) and event.known and event.straight:
                shape = self._fitted(event.tool)
                if shape.meets_box(event.box, box):
                    yield event, shape

    def _feed(self, stroke: Stroke, tool: LatheTool | None, shape: Fitted) -> None:
        sweep = self.ahead.cut(stroke, shape, self.stock)
        removed = self._removed(stroke, shape, sweep)
        if removed is None:
            self.depths.leave()
            return
        if tool is None:
            name = f"T{stroke.tool} is not a tool of the job" if stroke.tool else "no tool is fitted"
            self.book.add("lathe-tool-unknown", stroke.line, name, "Fit a tool of the job at a stop.")
        self.last_cut = stroke.line
        self.cutting.update(stroke.places)
        whole = sweep.whole
        if shape.body_could_meet(removed.corners, stroke.path) and not self._body_meets(stroke, shape, sweep, removed):
            # What the body only touches stays, so that many touches of a hair each are found as one.
            whole = sweep.cutting
        check_gouge(self.book, self.plate, stroke, removed)
        self.depths.meet(stroke, removed)
        self.rates.meet(stroke, tool or self.usual, shape, removed)
        self.stock = self.stock.without(whole)

    def _removed(self, stroke: Stroke, shape: Fitted, sweep: Sweep) -> Taken | None:
        """Return the metal that a stroke takes; None for none."""
        if not shape.meets_box(stroke.box, self.stock.box) or not self.stock.meets(sweep.whole):
            return None
        removed = self.stock.shape.intersection(sweep.whole)
        return taken(stroke, removed) if removed.area > DUST else None

    def _body_meets(self, stroke: Stroke, shape: Fitted, sweep: Sweep, removed: Taken) -> bool:
        """Report metal that the body meets before the cutting edges have been there."""
        if not shapely.intersects(sweep.bodies, removed.shape).any():
            return False
        stock = removed.shape
        for (start, end), body in zip(pairwise(stroke.path), sweep.bodies, strict=True):
            met = stock.intersection(body)
            if met.area > DUST and (end != start).any():
                met = met.intersection(body_first(shape.shape, start, end))
            if met.area > DUST:
                deep = depth_in(met, self.stock.shape) + BODY_TOUCH
                says = f"the tool's body goes {deep:.2f} mm into metal, {where(met)}"
                self.book.add("lathe-body-in-metal", stroke.line, says, "Take less at a time.")
                return True
            if not stroke.straight:
                stock = stock.difference(swept(shape.shape.cutting, np.array([start, end])))
        return False


def _check_feed_mode(book: Notebook, reading: Reading) -> None:
    """Report a feed whose unit the text has not said; NISTIR 6556's per minute is assumed in going on."""
    feeds = (s.line for s in reading.steps if isinstance(s, Motion) and s.kind in (Kind.FEED, Kind.ARC))
    first = next(feeds, None)
    if first is not None and not says_before(reading, _FEED_WORD, first):
        says = "a feed begins and neither G94 nor G95 has said how F counts"
        book.add("lathe-feed-mode-not-said", first, says, "Put G94 or G95 at the start.")


def _tool_minutes(course: tuple[Stroke | Halt, ...], job: Job) -> tuple[ToolMinutes, ...]:
    """Return the minutes of moves and dwells by the tool that is in the post."""
    limits = {"rapid": job.lathe.rapid, "max_rpm": job.lathe.max_speed_rpm}
    spent: dict[int, list[float]] = defaultdict(list)
    for event in course:
        match event:
            case Stroke():
                spent[event.tool] += [minutes(motion, **limits) for motion in event.motions]
            case Halt(step=Dwell(seconds=seconds)):
                spent[event.tool].append(seconds / 60)
            case _:
                pass
    return tuple(ToolMinutes(tool=tool, minutes=math.fsum(times)) for tool, times in spent.items())
