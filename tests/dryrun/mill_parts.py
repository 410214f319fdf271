"""Motions, cuts and tools of the mill put together by hand, so that each check can be tried by itself.

The chuck is that of ``mill_jobs``: 160 mm across and 64 mm long, recess 125 mm wide, screws M5, setback 5 mm,
the rear face to -X. Its tools: T1 spot drill 6 mm, T2 drill 4.2 mm, T3 tap M5.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

from gcodegen.dryrun.codes import CODES
from gcodegen.dryrun.mill_cuts import HoleCut
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import CutTool, MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Job
from gcodegen.rs274.motions import Arc, FeedUnit, Kind, Motion, Point, State, Step, Turning
from tests.dryrun.mill_jobs import AUTOMATIC

SETUP = MillSetup(AUTOMATIC)
HERE = Where(0.0, 5.0, 0.0)
_PLAIN = State(
    tool=1,
    tool_length_offset=1,
    spindle=Turning.CLOCKWISE,
    speed_rpm=1000.0,
    surface_m_min=None,
    clamp_rpm=None,
    feed_unit=FeedUnit.PER_MINUTE,
    system="G54",
    offsets_unknown=False,
    machine_coordinates=False,
)


def state(**changes: Any) -> State:
    """Return a state: spindle on at 1000 rev/min, feed per minute, offset H1, all places known."""
    return replace(_PLAIN, **changes)


def point(*places: float) -> Point:
    """Return a point; what is left out is 0."""
    return Point(*places, *[0.0] * (4 - len(places)))


def move(
    start: tuple[float, ...],
    end: tuple[float, ...],
    kind: Kind = Kind.FEED,
    *,
    line: int = 1,
    feed: float | None = None,
    arc: Arc | None = None,
    step: str = "",
    synchronised: bool = False,
    **modes: Any,
) -> Motion:
    """Return a motion; a feed of 100 mm/min where none is said, and none for a rapid."""
    given = None if kind is Kind.RAPID else feed if feed is not None else 100.0
    return Motion(
        line, kind, point(*start), point(*end), state(**modes), given, arc, step=step, synchronised=synchronised
    )


def arc(
    axes: str,
    begin: float,
    sweep: float,
    radius: float,
    centre: tuple[float, float, float] = (0.0, 0.0, 0.0),
    *,
    climb: float = 0.0,
) -> Motion:
    """Return an arc from an angle, in degrees from the plane's first axis, through a sweep; it may climb."""
    first, second = ("xyz".index(letter) for letter in axes)
    ends = []
    for angle, rise in ((begin, 0.0), (begin + sweep, climb)):
        place = list(centre)
        place[first] += radius * math.cos(math.radians(angle))
        place[second] += radius * math.sin(math.radians(angle))
        place[3 - first - second] += rise
        ends.append(tuple(place))
    return move(ends[0], ends[1], Kind.ARC, arc=Arc(axes, (centre[first], centre[second]), radius, sweep))


def tool(number: int, job: Job = AUTOMATIC, /, **changes: Any) -> CutTool:
    """Return a tool of the job, with changes."""
    found = MillSetup(job).tool(number)
    assert found is not None
    return replace(found, **changes)


def moment(step: Step, number: int | None = 1, index: float = 0.0, place: int = 0) -> Moment:
    """Return a step with the tool in the spindle."""
    return Moment(place, step, number, SETUP.tool(number) if number is not None else None, index)


def cut(of: int | CutTool, tip: float | None = None, **changes: Any) -> HoleCut:
    """Return the strokes of a tool at the first hole, down to a Z; they stand at line 1, place 0 of the steps."""
    made = of if isinstance(of, CutTool) else tool(of)
    return HoleCut(**({"where": HERE, "tool": made, "line": 1, "place": 0, "tip": tip} | changes))


def book(*lines: str) -> Notebook:
    """Return an empty notebook."""
    return Notebook(lines, CODES)


def codes(notes: Notebook) -> list[str]:
    """Return the codes written down, in their order."""
    return [finding.code for finding in notes.findings]
