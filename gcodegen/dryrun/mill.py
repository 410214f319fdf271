"""The mill's dry run: follows the tools, gathers the cuts, and holds them against the job."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from gcodegen.dryrun.machine import feed_per_minute, travel
from gcodegen.dryrun.mill_beside import check_beside
from gcodegen.dryrun.mill_cuts import gather
from gcodegen.dryrun.mill_depths import check_depths
from gcodegen.dryrun.mill_differ import differences
from gcodegen.dryrun.mill_holes import check_holes, strays
from gcodegen.dryrun.mill_loads import check_loads
from gcodegen.dryrun.mill_scene import HEIGHT_SPARE, Moment, follow
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.mill_silent import name_silent_stops
from gcodegen.dryrun.mill_space import check_space
from gcodegen.dryrun.mill_stated import check_stated
from gcodegen.dryrun.mill_tapping import check_tapping, check_way_out
from gcodegen.dryrun.mill_trade import check_coolant, check_trade
from gcodegen.dryrun.mill_walls import check_walls
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.report import Difference, HoleWall, ToolMinutes
from gcodegen.job import Job
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Dwell, End, Kind, Motion

_TOLD_EVERY = 256  # moves


@dataclass(frozen=True, slots=True, kw_only=True)
class MillResult:
    """Walls of the holes, minutes of each tool, the motions' places in the steps that met metal, and what differs."""

    walls: tuple[HoleWall, ...]
    tools: tuple[ToolMinutes, ...]
    cutting: frozenset[int]
    differences: tuple[Difference, ...]


def check_mill(
    reading: Reading,
    job: Job,
    book: Notebook,
    only_hole: int | None = None,
    progress: Callable[[float], None] = lambda _done: None,
) -> MillResult:
    """Check what a mill program does to the chuck; findings go into the book.

    ``only_hole`` is the one that the program is to cut; None: all four. ``progress`` is told now and then
    which part of the moves is gone through, 0 to 1.

    Raises
    ------
    GcodegenError
        When the job is not settled.
    """
    setup = MillSetup(job, only_hole)
    moments = follow(reading, setup, book)
    cuts = gather(_told(moments, progress), setup, book)
    holes = check_holes(cuts.holes, setup, book, len(reading.lines))
    name_silent_stops(moments, cuts.holes, setup, book)
    for hole in holes:
        check_depths(hole, setup, book)
    for cut in cuts.holes:
        if cut.tool.kind == "tap":
            check_tapping(cut, setup, book)
        check_trade(cut, setup, book)
        check_loads(cut, setup, book)
    check_way_out(moments, setup, book)
    check_stated(cuts.holes, setup, book)
    check_space(moments, setup, book)
    check_beside(moments, setup, book)
    check_coolant(book)
    _check_end(reading, setup, book)
    others = strays(cuts.holes, holes)
    return MillResult(
        walls=check_walls(holes, others, setup, book),
        tools=minutes_by_tool(moments, job.mill.rapid),
        cutting=frozenset(cuts.cutting),
        differences=differences(holes, others, setup),
    )


def _told(moments: tuple[Moment, ...], progress: Callable[[float], None]) -> Iterator[Moment]:
    """Return the moments one by one, telling how far they are gone through."""
    for done, moment in enumerate(moments):
        if done % _TOLD_EVERY == 0:
            progress(done / len(moments))
        yield moment


def minutes_by_tool(moments: Iterable[Moment], rapid: float) -> tuple[ToolMinutes, ...]:
    """Return the minutes that each tool moves or dwells, in the order of first use; not the operator's.

    ``rapid`` in mm/min; the rotary is taken to turn as many degrees a minute.
    """
    total: defaultdict[int, float] = defaultdict(float)
    for moment in moments:
        match moment.step:
            case Motion():
                total[moment.number or 0] += _minutes(moment.step, rapid)
            case Dwell():
                total[moment.number or 0] += moment.step.seconds / 60
    return tuple(ToolMinutes(tool=tool, minutes=minutes) for tool, minutes in total.items())


def _minutes(motion: Motion, rapid: float) -> float:
    length = travel(motion) or abs(motion.end.a - motion.start.a)
    speed = rapid if motion.kind is Kind.RAPID else feed_per_minute(motion)
    return length / speed if speed and math.isfinite(length) else 0.0


def _check_end(reading: Reading, setup: MillSetup, book: Notebook) -> None:
    for step in reading.steps:
        if not isinstance(step, End) or "z" in step.state.unknown:
            continue
        if step.position.z < setup.clear - HEIGHT_SPARE:
            says = f"the program ends with the tip {step.position.z:.3f} mm above the crest"
            book.add("low-at-end", step.line, says, f"Retract to Z{setup.clear:.3f} (mm) before the end.")
