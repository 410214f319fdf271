"""Follows a mill program: for each step, which tool is in the spindle and how the work is indexed."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gcodegen.dryrun.mill_marks import told_stop
from gcodegen.dryrun.mill_setup import CutTool, MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Kind, Motion, Point, State, Step, Stop, ToolChange, Turning

HEIGHT_SPARE = 0.01  # mm; programs are rounded
_INDEX = re.compile(r"\bINDEX\b", re.IGNORECASE)
_INDEX_TO = re.compile(r"\bINDEX\b.*?\bTO\s+([+-]?\d+(?:\.\d*)?|[+-]?\.\d+)(?!\S*\d)", re.IGNORECASE)
_HAND_TAP = re.compile(r"\bTAP\b.*\b(?:HOLE|PLACE|SCREW)\b", re.IGNORECASE)
_TAP_HOLE = re.compile(r"\bTAP\s+(?:THE\s+)?(?:HOLE|PLACE|SCREW)\b", re.IGNORECASE)
_TOUCH = re.compile(r"\bTOUCH", re.IGNORECASE)
_FITS = re.compile(r"\b(?:FIT|FITTED|TOUCH)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Moment:
    """One step with what the text alone does not carry; ``place`` is its place among the reading's steps.

    ``number`` is the tool's, None before the first is known; ``tool`` is None too when the job lacks it.
    """

    place: int
    step: Step
    number: int | None
    tool: CutTool | None
    index: float


def taps_by_hand(stop: Stop, *, fits: bool = False) -> bool:
    """Return whether a stop asks for a hole to be tapped by hand.

    One at which a tool is fitted (``fits``, or its words say so) may name the tap and the hole beside which it is
    touched off: that is no tapping yet, unless it says TAP HOLE in so many words.
    """
    said = _TAP_HOLE if fits or _FITS.search(stop.message) else _HAND_TAP
    return bool(said.search(stop.message))


def indexes(stop: Stop) -> bool:
    """Return whether a stop asks for the work to be indexed."""
    return bool(_INDEX.search(stop.message))


def follow(reading: Reading, setup: MillSetup, book: Notebook) -> tuple[Moment, ...]:
    """Return the moments of a program; what is wrong with tool changes and indexing goes into the book."""
    scene = _Scene(reading, setup, book)
    return tuple(scene.take(place, step) for place, step in enumerate(reading.steps))


class _Scene:
    """Tool and index while the steps go by."""

    def __init__(self, reading: Reading, setup: MillSetup, book: Notebook) -> None:
        self.setup = setup
        self.book = book
        self.number: int | None = None
        self.tool: CutTool | None = None
        self.index = 0.0
        self.lines = reading.lines
        self.by_hand = setup.job.mill.rotary == "by hand"

    def take(self, place: int, step: Step) -> Moment:
        """Take one step into account."""
        match step:
            case Motion():
                self._move(step)
            case ToolChange():
                self._need_stop(step)
                self._change(step.line, step.tool, step.position, step.state)
            case Stop():
                step = told_stop(step, self.lines[step.line - 1], self.setup)
                self._stop(step)
        return Moment(place, step, self.number, self.tool, self.index)

    def _stop(self, stop: Stop) -> None:
        turns = indexes(stop)
        changes = self.setup.job.mill.tool_change == "by hand" and stop.named_tool not in (0, self.number) and not turns
        if stop.optional and (turns or changes or taps_by_hand(stop)):
            says = f"the program needs this stop, and M1 stops only with its switch on: {stop.message.strip()}"
            self.book.add("optional-stop-needed", stop.line, says, "Write M0.")
            return
        if changes:
            if stop.state.spindle is not Turning.OFF:
                says = f"tool {stop.named_tool} is fitted by hand while the spindle turns"
                self.book.add("change-spindle-on", stop.line, says, "Put M5 before the stop.")
            self._need_touch_off(stop)
            self._change(stop.line, stop.named_tool, stop.position, stop.state)
        if turns and self.by_hand:
            self._index_by_hand(stop)

    def _need_stop(self, change: ToolChange) -> None:
        """Report a change left to M6 on a mill whose tools are changed by hand."""
        if self.setup.job.mill.tool_change == "by hand":
            says = f"tool {change.tool} is changed by M6, without a stop; the job's tools are changed by hand"
            self.book.add("change-by-word", change.line, says, f"Write M5, then T{change.tool} M0.")

    def _need_touch_off(self, stop: Stop) -> None:
        """Report a stop that fits a tool and does not ask for its touch-off, where no table holds its length."""
        if self.setup.job.mill.dialect.length_offset == "touch off" and not _TOUCH.search(stop.message):
            says = f"tool {stop.named_tool} is fitted, and the stop does not ask for it to be touched off"
            self.book.add("touch-off-unsaid", stop.line, says, "Write TOUCH OFF: Z0 ON THE CREST.")

    def _change(self, line: int, number: int, position: Point, state: State) -> None:
        self._need_height(line, position, state, "change-low", "tool change")
        self.number, self.tool = number, self.setup.tool(number)
        if self.tool is None:
            known = ", ".join(f"T{n}" for n in self.setup.numbers) or "none"
            lacks = "is not complete in the job" if number in self.setup.numbers else "is not in the job"
            says = f"tool {number} {lacks}; it has: {known}"
            self.book.add("tool-not-in-job", line, says, "Give the tool in the job, or use one that is there.")

    def _index_by_hand(self, stop: Stop) -> None:
        self._need_height(stop.line, stop.position, stop.state, "index-low", "index")
        if stop.state.spindle is not Turning.OFF:
            says = "the work is indexed by hand while the spindle turns"
            self.book.add("index-spindle-on", stop.line, says, "Put M5 before the stop, M3 after it.")
        found = _INDEX_TO.search(stop.message)
        if found is None:
            says = f"no angle can be read from: {stop.message.strip()}"
            do = "Write INDEX WORK TO and the angle from the mark."
            if self.setup.job.mill.dialect.comments == "left out":
                do = "Write N9, the stop's count in two digits and the hole's number in two."
            self.book.add("index-unread", stop.line, says, do)
            return
        self.index = float(found[1])

    def _move(self, motion: Motion) -> None:
        turn = motion.end.a - motion.start.a
        if turn == 0:
            return
        if self.by_hand:
            says = f"A turns by {turn:g} deg; the job's rotary is turned by hand"
            self.book.add("no-rotary-axis", motion.line, says, "Index at a stop, or put the axis in the job.")
            return
        self.index = motion.end.a
        if motion.start[:3] != motion.end[:3]:
            says = f"A turns by {turn:g} deg while X, Y or Z moves as well"
            self.book.add("index-with-move", motion.line, says, "Give the A word a line of its own.")
        low = motion.start if motion.start.z < motion.end.z else motion.end
        self._need_height(motion.line, low, motion.state, "index-low", "index")
        if motion.kind is not Kind.RAPID and low.z < self.setup.clear - HEIGHT_SPARE:
            says = f"A is fed round with the tool at Z{low.z:.3f}"
            self.book.add("index-with-move", motion.line, says, "Turn A by itself, with the tool clear.")

    def _need_height(self, line: int, at: Point, state: State, code: str, what: str) -> None:
        if "z" in state.unknown:
            says = f"{what} where the tool's height over the work cannot be told from the text"
            self.book.add("height-not-known", line, says, f"Go to Z{self.setup.clear:.3f} (mm) in G54 first.")
        elif at.z < self.setup.clear - HEIGHT_SPARE:
            clear = f"the clear height is {self.setup.clear:g} mm"
            says = f"{what} with the tip {at.z:.3f} mm above the crest; {clear}"
            self.book.add(code, line, says, f"Retract to Z{self.setup.clear:.3f} (mm) first.")
