"""Sorts a mill's motions into air, strokes into metal and moves that must not be; gathers the strokes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from gcodegen.dryrun.machine import feed_per_minute
from gcodegen.dryrun.mill_halts import check_halt
from gcodegen.dryrun.mill_metal import depth_on, depth_round_corner, goes_round_corners, is_upright
from gcodegen.dryrun.mill_open import TOUCH, Outline, stands_open
from gcodegen.dryrun.mill_scene import HEIGHT_SPARE, Moment, indexes, taps_by_hand
from gcodegen.dryrun.mill_setup import CutTool, MillSetup, Where
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.solids import ToolPart
from gcodegen.rs274.motions import Dwell, Kind, Motion, Point, Stop, Turning

NEAR = 0.5  # mm a rapid should stay off the metal; common practice
BOTTOM = 0.05  # mm over a hole's bottom that a rapid back down should not come nearer than; common practice
DEEP = 4.0  # diameters; deeper than that a drill no longer throws its dust out by itself


@dataclass(slots=True, kw_only=True)
class HoleCut:
    """All strokes of one tool at one place; ``tip`` is the deepest Z reached, None when tapped by hand.

    ``longest`` is the most metal taken, mm, without coming out of the hole to clear it, and ``longest_deep`` the
    same of the strokes that end deeper than ``DEEP`` diameters. ``reached`` has the place in the program's steps
    of each stroke that went deeper, with the Z it reached. ``repeats`` are the lines of strokes that brought
    nothing new; ``place`` and ``line`` are those of the first stroke, ``deepest`` is the line of the deepest one.
    """

    where: Where
    tool: CutTool
    line: int
    place: int
    by_hand: bool = False
    tip: float | None = None
    motions: list[Motion] = field(default_factory=list)
    reached: list[tuple[int, float]] = field(default_factory=list)
    repeats: list[int] = field(default_factory=list)
    deepest: int = 0
    longest: float = 0.0
    longest_deep: float = 0.0
    cleared: float = 0.0
    dwelt: bool = False
    message: str = ""

    @property
    def depth(self) -> float:
        """Return how deep the tip went below the crest, mm; 0 when it is not known."""
        return -self.tip if self.tip is not None else 0.0

    @property
    def outline(self) -> Outline:
        """Return the hole that the tool has left so far."""
        return Outline(self.tip if self.tip is not None else 0.0, self.tool.radius, self.tool.point)

    def outline_at(self, depth: float) -> float:
        """Return the radius of the hole at the crest after a stroke so deep."""
        return max(0.0, Outline(-depth, self.tool.radius, self.tool.point).at(0.0))

    def go_to(self, place: int, end: float, line: int) -> None:
        """Take note of a stroke into new metal."""
        taken = self.cleared - end
        self.longest = max(self.longest, taken)
        if -end > DEEP * 2 * self.tool.radius:
            self.longest_deep = max(self.longest_deep, taken)
        self.reached.append((place, end))
        self.tip, self.deepest = end, line


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
    return Where(round(where.turn, 2) % 360.0, round(where.x, 2), round(where.y, 2))


def gather(moments: Iterable[Moment], setup: MillSetup, book: Notebook) -> Cuts:
    """Return the cuts of a program; moves that hit the work go into the book."""
    cuts = Cuts()
    last: HoleCut | None = None
    lost = False  # in machine coordinates, so that the place is stale
    fitted: int | None = None
    for moment in moments:
        if not lost:
            check_halt(moment, setup, book)
        match moment.step:
            case Motion():
                lost = moment.step.state.machine_coordinates
                last = _motion(moment, _as_known(moment.step), setup, cuts, book)
            case Dwell() if last is not None:
                last.dwelt = True
            case Stop() if not moment.step.optional and (
                taps_by_hand(moment.step, fits=moment.number != fitted)
                or (moment.number == fitted and _stands_to_tap(moment, moment.step, setup, cuts))
            ):
                _tap_by_hand(moment, moment.step, cuts, book)
        fitted = moment.number
    return cuts


def _stands_to_tap(moment: Moment, stop: Stop, setup: MillSetup, cuts: Cuts) -> bool:
    """Return whether a stop that does not say so can only be for tapping: the tap stands still over a drilled hole."""
    if setup.job.mill.tapping != "by hand" or moment.tool is None or moment.tool.thread is None:
        return False
    if stop.state.spindle is not Turning.OFF or indexes(stop):
        return False
    return any(cut.tool.kind == "drill" for cut in cuts.at(Where(moment.index, stop.position.x, stop.position.y)))


def _as_known(motion: Motion) -> Motion:
    """Return a motion that begins at an unknown height as one at the height where it ends: it comes from above."""
    if "z" not in motion.state.unknown or motion.start[:2] != motion.end[:2] or motion.arc is not None:
        return motion
    x, y, _, a = motion.start
    return Motion(motion.line, motion.kind, Point(x, y, motion.end.z, a), motion.end, motion.state, motion.feed)


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
    cuts.begin(
        HoleCut(
            where=where,
            tool=moment.tool,
            line=stop.line,
            place=moment.place,
            by_hand=True,
            message=stop.message,
        )
    )


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
    made = cuts.at(where)
    in_hole = upright and _inside(made, tool, min(motion.start.z, motion.end.z))
    if depth <= TOUCH:
        if not (upright and any(cut.tool.number == tool.number for cut in made)):
            _spare_surface(tool, motion, setup, book)
        return None
    if motion.kind is Kind.RAPID:
        _rapid_in_metal(tool, motion, depth, made if in_hole else None, book)
        return None
    cuts.cutting.add(moment.place)
    if not upright:
        says = f"{tool.name} is fed sideways {depth:.3f} mm deep in metal, to {_show(motion.end)}"
        book.add("sideways-in-metal", motion.line, says, "Retract above the crest before X, Y or A moves.")
        return None
    if motion.end.z < motion.start.z:
        return _stroke(moment.place, motion, tool, where, cuts, book)
    _clear(made, tool, motion)
    if tool.kind == "tap" and motion.state.spindle is Turning.CLOCKWISE:
        says = f"{tool.name} is drawn out, to {_show(motion.end)}, while the spindle still turns clockwise"
        book.add("tap-not-reversed", motion.line, says, "Reverse the spindle before the tap comes out.")
    return None


def _rapid_in_metal(tool: CutTool, motion: Motion, depth: float, made: list[HoleCut] | None, book: Notebook) -> None:
    """Judge a rapid below the crest; ``made`` are the cuts of the hole it stays in, None when in none."""
    if made is None:
        says = f"rapid with {tool.name} goes {depth:.3f} mm into metal, to {_show(motion.end)}"
        book.add("rapid-in-metal", motion.line, says, "Stay above the crest at a rapid; feed into metal.")
        return
    _clear(made, tool, motion)
    if tool.kind == "tap":
        says = f"{tool.name} goes at a rapid in its thread, to {_show(motion.end)}"
        book.add("tap-at-rapid", motion.line, says, "Feed the tap in step with the spindle both ways.")
    end = motion.end.z
    if end >= motion.start.z:
        return
    own = any(cut.tool.number == tool.number for cut in made)
    if own and not _inside(made, tool, end - BOTTOM):
        says = f"rapid with {tool.name} goes back to the very bottom of the hole, Z{end:.3f}"
        book.add("rapid-to-bottom", motion.line, says, "Stop a few tenths of a millimetre over the last depth.")
    elif not own and not _inside(made, tool, end - NEAR):
        says = f"rapid with {tool.name} into a hole comes nearer than {NEAR:g} mm to its wall or bottom, at Z{end:.3f}"
        book.add("rapid-near-metal", motion.line, says, "Keep rapids 1 mm or more off the metal.")


def _clear(made: list[HoleCut], tool: CutTool, motion: Motion) -> None:
    """Take note that a tool came out of its hole: what it has cut till then is cleared."""
    for cut in made:
        if cut.tool.number == tool.number and cut.tip is not None and motion.end.z >= 0:
            cut.cleared = cut.tip


def _stroke(place: int, motion: Motion, tool: CutTool, where: Where, cuts: Cuts, book: Notebook) -> HoleCut:
    end = motion.end.z
    cut = next((c for c in cuts.at(where) if c.tool.number == tool.number), None)
    if cut is None:
        cut = cuts.begin(HoleCut(where=where, tool=tool, line=motion.line, place=place))
    cut.motions.append(motion)
    if cut.tip is not None and end >= cut.tip - TOUCH:
        cut.repeats.append(motion.line)
    else:
        cut.go_to(place, end, motion.line)
    if -end > tool.flute_length + TOUCH:
        says = f"{tool.name} goes {-end:.3f} mm deep; it cuts along {tool.flute_length:g} mm of its length"
        book.add("deeper-than-flutes", motion.line, says, "Go less deep, or take a longer tool.")
    return cut


def _inside(cuts: Iterable[HoleCut], tool: CutTool, lowest: float) -> bool:
    """Return whether a tool with its tip at a height stands in a hole that is cut already."""
    made = [cut.outline for cut in cuts if cut.tip is not None]
    return bool(made) and stands_open(Outline(lowest, tool.radius, tool.point), made)


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
        book.add("height-not-known", motion.line, says, f"Go to Z{setup.clear:.3f} (mm) first.")


def _spare_holder(tool: CutTool, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    depth = depth_on(motion, tool.holder, setup)
    if depth > TOUCH:
        says = f"the holder of {tool.name} goes {depth:.3f} mm into the body, on the way to {_show(motion.end)}"
        book.add("holder-hits-body", motion.line, says, "Let the tool stick out farther, or go less deep.")


def _spare_surface(tool: CutTool, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    if motion.kind is not Kind.RAPID or min(motion.start.z, motion.end.z) >= NEAR:
        return
    if goes_round_corners(motion) and not motion.state.unknown:
        depth = max(depth_round_corner(motion, part, setup) for part in (tool.cutter, tool.holder))
        if depth > TOUCH:
            says = f"rapid with {tool.name} may go {depth:.3f} mm into metal where its axes do not arrive together"
            book.add("rapid-not-straight", motion.line, says, "Move up or down in a block of its own.")
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


def widest(cut: HoleCut) -> float:
    """Return the largest diameter at which a cut's tool cuts, mm: a spot drill works with part of its cone."""
    angle = cut.tool.point_angle_deg
    cone = 2 * cut.depth * math.tan(math.radians(angle) / 2) if angle is not None else math.inf
    return min(cone, 2 * cut.tool.radius)
