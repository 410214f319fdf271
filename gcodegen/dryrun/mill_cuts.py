"""Sorts a mill's motions into air, strokes into metal and moves that must not be; gathers the strokes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from gcodegen.dryrun.machine import feed_per_minute
from gcodegen.dryrun.mill_metal import depth_on, is_upright
from gcodegen.dryrun.mill_scene import HEIGHT_SPARE, Moment, taps_by_hand
from gcodegen.dryrun.mill_setup import CutTool, MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.solids import ToolPart
from gcodegen.rs274.motions import Dwell, Kind, Motion, Point, Stop, Turning

TOUCH = 1e-3  # mm; less is rounding
NEAR = 0.5  # mm a rapid should stay off the metal; common practice


@dataclass(slots=True, kw_only=True)
class HoleCut:
    """All strokes of one tool at one place; ``tip`` is the deepest Z reached, None when tapped by hand.

    ``strokes`` are the depths of metal taken at one go, mm; ``repeats`` the lines of strokes that brought
    nothing new.
    """

    where: Where
    tool: CutTool
    line: int
    by_hand: bool = False
    tip: float | None = None
    motions: list[Motion] = field(default_factory=list)
    strokes: list[float] = field(default_factory=list)
    repeats: list[int] = field(default_factory=list)
    dwelt: bool = False
    message: str = ""

    @property
    def depth(self) -> float:
        """Return how deep the tip went below the crest, mm; 0 when it is not known."""
        return -self.tip if self.tip is not None else 0.0

    @property
    def full(self) -> float:
        """Return the Z to which the hole has its full diameter."""
        return (self.tip if self.tip is not None else math.inf) + self.tool.point


@dataclass(slots=True)
class Cuts:
    """The cuts in the order in which they began; ``cutting`` are the places of the motions in metal."""

    holes: list[HoleCut] = field(default_factory=list)
    cutting: set[int] = field(default_factory=set)
    _at: dict[Where, list[HoleCut]] = field(default_factory=dict)

    def at(self, where: Where) -> list[HoleCut]:
        """Return the cuts made so far at a place, to a hundredth of mm and degree."""
        return self._at.setdefault(_rounded(where), [])

    def begin(self, cut: HoleCut) -> HoleCut:
        """Note a new cut."""
        self.holes.append(cut)
        self.at(cut.where).append(cut)
        return cut


def _rounded(where: Where) -> Where:
    return Where(round(where.turn, 2) % 360.0, round(where.x, 2) + 0.0, round(where.y, 2) + 0.0)


def gather(moments: Iterable[Moment], setup: MillSetup, book: Notebook) -> Cuts:
    """Return the cuts of a program; moves that hit the work go into the book."""
    cuts = Cuts()
    last: HoleCut | None = None
    for moment in moments:
        match moment.step:
            case Motion():
                last = _motion(moment, moment.step, setup, cuts, book)
            case Dwell() if last is not None:
                last.dwelt = True
            case Stop() if taps_by_hand(moment.step) and not moment.step.optional:
                _tap_by_hand(moment, moment.step, cuts, book)
    return cuts


def _tap_by_hand(moment: Moment, stop: Stop, cuts: Cuts, book: Notebook) -> None:
    if stop.state.spindle is not Turning.OFF:
        says = "a hole is tapped by hand while the spindle turns"
        book.add("hand-tap-spindle-on", stop.line, says, "Put M5 before the stop.")
    if moment.tool is None or moment.tool.thread is None:
        has = moment.tool.name if moment.tool else "no known tool"
        says = f"a hole is to be tapped by hand with {has} in the spindle"
        book.add("tap-tool-missing", stop.line, says, "Change to the tap first.")
        return
    where = Where(moment.index, stop.position.x, stop.position.y)
    for cut in cuts.at(where):
        if cut.tool.number == moment.tool.number:
            cut.repeats.append(stop.line)
            return
    cuts.begin(HoleCut(where=where, tool=moment.tool, line=stop.line, by_hand=True, message=stop.message))


def _motion(moment: Moment, motion: Motion, setup: MillSetup, cuts: Cuts, book: Notebook) -> HoleCut | None:
    """Judge one motion; return the cut it was a stroke of."""
    if motion.state.machine_coordinates:
        return None
    _need_tool(moment, motion, setup, book)
    tool = moment.tool
    if tool is None:
        return None
    _need_offset(tool, motion, setup, book)
    _need_known(motion, setup, book)
    _spare_holder(tool, motion, setup, book)
    depth = depth_on(motion, tool.cutter, setup)
    upright = is_upright(motion)
    where = Where(moment.index, motion.end.x, motion.end.y)
    in_hole = upright and _inside(cuts.at(where), tool, min(motion.start.z, motion.end.z))
    if depth <= TOUCH:
        if not in_hole:
            _spare_surface(tool, motion, setup, book)
        return None
    if motion.kind is Kind.RAPID:
        if not in_hole:
            says = f"rapid with {tool.name} goes {depth:.3f} mm into metal, to {_show(motion.end)}"
            book.add("rapid-in-metal", motion.line, says, "Stay above the crest at a rapid; feed into metal.")
        return None
    cuts.cutting.add(moment.place)
    if not upright:
        says = f"{tool.name} is fed sideways {depth:.3f} mm deep in metal, to {_show(motion.end)}"
        book.add("sideways-in-metal", motion.line, says, "Retract above the crest before X, Y or A moves.")
        return None
    return _stroke(motion, tool, where, cuts, book) if motion.end.z < motion.start.z else None


def _stroke(motion: Motion, tool: CutTool, where: Where, cuts: Cuts, book: Notebook) -> HoleCut:
    end = motion.end.z
    cut = next((c for c in cuts.at(where) if c.tool.number == tool.number), None)
    if cut is None:
        cut = cuts.begin(HoleCut(where=where, tool=tool, line=motion.line))
    reached = min(cut.tip, 0.0) if cut.tip is not None else 0.0
    cut.motions.append(motion)
    if cut.tip is not None and end >= cut.tip - TOUCH:
        cut.repeats.append(motion.line)
    else:
        cut.strokes.append(reached - end)
        cut.tip = end
    if -end > tool.flute_length + TOUCH:
        says = f"{tool.name} goes {-end:.3f} mm deep; it cuts along {tool.flute_length:g} mm of its length"
        book.add("deeper-than-flutes", motion.line, says, "Go less deep, or take a longer tool.")
    return cut


def _inside(cuts: Iterable[HoleCut], tool: CutTool, lowest: float) -> bool:
    """Return whether a tool at this height stays in a hole that is cut already."""
    for cut in cuts:
        if cut.tip is None:
            continue
        if cut.tool.number == tool.number and lowest >= cut.tip - TOUCH:
            return True
        if cut.tool.radius >= tool.radius - TOUCH and lowest >= cut.full - TOUCH:
            return True
    return False


def _need_tool(moment: Moment, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    if moment.number is None and (motion.kind is not Kind.RAPID or motion.end.z < setup.clear - HEIGHT_SPARE):
        says = f"moves to {_show(motion.end)} before any tool was put in the spindle"
        book.add("tool-unknown", motion.line, says, "Change to the tool first, with its T word.")


def _need_offset(tool: CutTool, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    number = motion.state.tool_length_offset
    if number == 0 and setup.job.mill.dialect.length_offset == "touch off":
        return  # each tool's own Z0 is set at its stop
    # With another offset than a moment ago the old height means nothing: G49 before a retract drops the tool.
    rises = is_upright(motion) and motion.end.z >= motion.start.z and "z" not in motion.state.unknown
    if number == tool.number or rises:
        return
    do = f"Give G43 H{tool.number} with the first Z move after the change."
    if number == 0:
        book.add("no-length-offset", motion.line, f"moves {tool.name} without a tool length offset", do)
    else:
        book.add("wrong-length-offset", motion.line, f"moves {tool.name} with the length offset H{number}", do)


def _need_known(motion: Motion, setup: MillSetup, book: Notebook) -> None:
    if "z" in motion.state.unknown and motion.start[:2] != motion.end[:2]:
        says = f"goes across to {_show(motion.end)} before the text has said how high the tool stands"
        book.add("height-not-known", motion.line, says, f"Go to Z{setup.clear:g} (mm) first.")


def _spare_holder(tool: CutTool, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    depth = depth_on(motion, tool.holder, setup)
    if depth > TOUCH:
        says = f"the holder of {tool.name} goes {depth:.3f} mm into the body, on the way to {_show(motion.end)}"
        book.add("holder-hits-body", motion.line, says, "Let the tool stick out farther, or go less deep.")


def _spare_surface(tool: CutTool, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    if motion.kind is not Kind.RAPID or min(motion.start.z, motion.end.z) >= NEAR:
        return
    lower = ToolPart(tool.cutter.radius, -NEAR, tool.cutter.to_tip)
    if (depth := depth_on(motion, lower, setup)) > TOUCH:
        gap = max(NEAR - depth, 0.0)
        says = f"rapid with {tool.name} passes {gap:.3f} mm from the body, to {_show(motion.end)}"
        book.add("rapid-near-metal", motion.line, says, "Keep rapids 1 mm or more off the body.")


def _show(point: Point) -> str:
    return f"X{point.x:.3f} Y{point.y:.3f} Z{point.z:.3f}"


def feed_per_turn(motion: Motion) -> float | None:
    """Return the feed of a motion in mm per turn; None where feed or speed is not known."""
    feed, speed = feed_per_minute(motion), motion.state.speed_rpm
    return feed / speed if feed is not None and speed else None
