"""The room that the mill has: how far its axes go, and the boxes that the tool must not meet."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gcodegen.dryrun.distance import Box, Revolved, touches
from gcodegen.dryrun.mill_metal import Vec, chord_sag, corner_paths, goes_round_corners, paths
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import CutTool, MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.solids import ToolPart
from gcodegen.job import MillKeepOut
from gcodegen.rs274.motions import Motion

ROUNDING = 1e-3  # mm and degrees; programs are rounded
_FROM_ABOVE = 300.0  # mm over its end, where a move begins whose height the text does not tell
_UP: Vec = (0.0, 0.0, 1.0)
_AXES = "xyza"


@dataclass(frozen=True, slots=True)
class _Zone:
    """A box to keep out of, in the program's frame."""

    row: MillKeepOut
    box: Box

    def may_meet(self, low: Vec, high: Vec) -> bool:
        """Return whether what lies between two corners may meet the box."""
        sides = (self.row.x, self.row.y, self.row.z)
        return all(a <= side[1] and b >= side[0] for a, b, side in zip(low, high, sides, strict=True))


def check_space(moments: Iterable[Moment], setup: MillSetup, book: Notebook) -> None:
    """Hold every motion against the mill's travel and its boxes; what leaves or meets them goes into the book."""
    limits = tuple(getattr(setup.job.mill.travel, axis) for axis in _AXES)
    zones = tuple(_zone(row) for row in setup.job.mill.keep_out)
    limited = any(limits)
    if not limited and not zones:
        return
    for moment in moments:
        motion = moment.step
        if not isinstance(motion, Motion):
            continue
        if motion.state.machine_coordinates:
            says = "this move ends in machine coordinates: travel and boxes to keep out of were not checked on it"
            book.add("place-not-checked", motion.line, says, "See at the machine that the way is clear.")
            continue
        if limited:
            _check_travel(motion, limits, book)
        if zones and moment.tool is not None:
            _check_zones(motion, moment.tool, zones, book)


def _check_travel(motion: Motion, limits: tuple[tuple[float, float] | None, ...], book: Notebook) -> None:
    for axis, limit, low, high in zip(_AXES, limits, *_reach(motion), strict=True):
        if limit is None or (low == high and low == motion.start[_AXES.index(axis)]):
            continue  # the axis stands still, perhaps where it has not been told to be yet
        unit = "deg" if axis == "a" else "mm"
        for found, end, beyond in ((low, limit[0], limit[0] - low), (high, limit[1], high - limit[1])):
            if beyond > ROUNDING:
                says = f"goes to {axis.upper()}{found:.3f}; the mill's {axis.upper()} ends at {end:g} {unit}"
                book.add("mill-travel", motion.line, says, "Set the work up elsewhere, or change the move.")


def _reach(motion: Motion) -> tuple[list[float], list[float]]:
    """Return the least and the largest of x, y, z and a on a motion, an arc's bulges among them.

    Its start is its predecessor's end, and counts only on an arc.
    """
    low, high = list(motion.end), list(motion.end)
    arc = motion.arc
    if arc is None:
        return low, high
    first, second = (_AXES.index(letter) for letter in arc.axes)
    begin = math.degrees(math.atan2(motion.start[second] - arc.centre[1], motion.start[first] - arc.centre[0]))
    for axis, centre, turned in ((first, arc.centre[0], 0.0), (second, arc.centre[1], 90.0)):
        if _passes(begin, arc.sweep_deg, turned):
            high[axis] = centre + arc.radius
        if _passes(begin, arc.sweep_deg, turned + 180.0):
            low[axis] = centre - arc.radius
    return low, high


def _passes(begin: float, sweep: float, angle: float) -> bool:
    """Return whether a turn of ``sweep`` degrees from ``begin`` passes an angle."""
    ahead = (angle - begin) % 360.0 if sweep > 0 else (begin - angle) % 360.0
    return ahead <= abs(sweep)


def _zone(row: MillKeepOut) -> _Zone:
    sides = (row.x, row.y, row.z)
    centre, half = ([(side[1] + sign * side[0]) / 2 for side in sides] for sign in (1, -1))
    box = Box((centre[0], centre[1], centre[2]), ((1, 0, 0), (0, 1, 0), (0, 0, 1)), (half[0], half[1], half[2]))
    return _Zone(row, box)


def _check_zones(motion: Motion, tool: CutTool, zones: tuple[_Zone, ...], book: Notebook) -> None:
    sag = chord_sag(motion.arc) if motion.arc is not None else 0.0
    parts = (("the holder of ", tool.holder), ("", tool.cutter))
    for zone in zones:
        for what, part in parts:
            wider = ToolPart(part.radius + sag, part.from_tip - sag, part.to_tip + sag)
            if any(_meets(wider, a, b, zone) for a, b in _known_paths(motion)):
                says = f"{what}{tool.name} meets the {zone.row.name}, on the way to {_show(motion)}"
                book.add("mill-keep-out", motion.line, says, "Lead the tool round it, or change the set-up.")
                break
            if goes_round_corners(motion) and any(_meets(wider, a, b, zone) for a, b in corner_paths(motion)):
                says = f"{what}{tool.name} may meet the {zone.row.name} where a rapid's axes do not arrive together"
                book.add("rapid-not-straight", motion.line, says, "Move up or down in a block of its own.")
                break


def _known_paths(motion: Motion) -> Iterator[tuple[Vec, Vec]]:
    """Return the paths of a motion; where it begins at a place the text does not tell, what is known of them."""
    unknown = motion.state.unknown
    if not unknown:
        yield from paths(motion)
        return
    end = motion.end[:3]
    if "z" in unknown and motion.start.z == motion.end.z:
        return  # at a height that is not known: height-not-known says so
    top = end[2] + _FROM_ABOVE if "z" in unknown else motion.start.z
    yield (end[0], end[1], top), end


def _meets(part: ToolPart, start: Vec, end: Vec, zone: _Zone) -> bool:
    low = [min(a, b) for a, b in zip(start, end, strict=True)]
    high = [max(a, b) for a, b in zip(start, end, strict=True)]
    r = part.radius
    if not zone.may_meet(
        (low[0] - r, low[1] - r, low[2] + part.from_tip), (high[0] + r, high[1] + r, high[2] + part.to_tip)
    ):
        return False
    sweep = (end[0] - start[0], end[1] - start[1], end[2] - start[2])
    body = Revolved(start, _UP, ((part.from_tip, r), (part.to_tip, r)), sweep)
    return touches(body, zone.box)


def _show(motion: Motion) -> str:
    end = motion.end
    return f"X{end.x:.3f} Y{end.y:.3f} Z{end.z:.3f}"
