"""What happens between the moves of a lathe program: stops, tool changes, dwells, the spindle, the end."""

from __future__ import annotations

import math

import shapely

from gcodegen.dryrun.lathe_path import Halt
from gcodegen.dryrun.lathe_time import speed_at
from gcodegen.dryrun.lathe_tool import DUST, Fitted, Shape
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Dwell, End, SpindleChange, Stop, ToolChange, Turning

CHANGE_ROOM = 5.0  # mm from the metal at which a tool can be changed (common practice)
END_ROOM = 1.0  # mm from the metal at which the tool should be left (common practice)
MOST_TURNS = 5.0  # that a tool may stand against turning metal: one or two clean a shoulder (common practice)


class Halts:
    """Looks at each halt, with the metal that is left and the tool that stands before it."""

    def __init__(self, book: Notebook, max_rpm: float) -> None:
        self.book = book
        self.max_rpm = max_rpm
        self.tool = 0

    def check(self, halt: Halt, stock: Shape, fitted: Fitted) -> None:
        """Look at one halt."""
        step = halt.step
        match step:
            case Stop():
                self._stop(step, halt, stock, fitted)
            case ToolChange():
                self._change(step.line, step.tool, halt, stock, fitted)
                says = f"tool {step.tool} is changed by M6, without a stop"
                self.book.add("lathe-change-by-word", step.line, says, f"Write M5, then T{step.tool} M0.")
            case Dwell():
                self._dwell(step, halt, stock, fitted)
            case SpindleChange() if _touches(halt, stock, fitted):
                what = "stops" if step.after is Turning.OFF else "starts"
                says = f"the spindle {what} while the tool touches the metal"
                self.book.add("lathe-spindle-in-contact", step.line, says, "Feed clear of the metal first.")
            case End():
                self._end(step, halt, stock, fitted)
            case _:
                pass

    def _stop(self, step: Stop, halt: Halt, stock: Shape, fitted: Fitted) -> None:
        changes = step.named_tool not in (0, self.tool) and not step.optional
        if changes:
            self._change(step.line, step.named_tool, halt, stock, fitted)
        if step.state.spindle is Turning.OFF:
            return
        if changes:
            says = f"tool {step.named_tool} is fitted while the spindle turns"
            self.book.add("lathe-change-spindle-on", step.line, says, "Put M5 before the stop.")
        else:
            says = "the program stops for the operator while the spindle turns"
            self.book.add("lathe-stop-spindle-on", step.line, says, "Put M5 before the stop, and M3 after it.")

    def _change(self, line: int, tool: int, halt: Halt, stock: Shape, fitted: Fitted) -> None:
        self.tool = tool
        room = _room(halt, stock, fitted)
        if room is not None and room < CHANGE_ROOM:
            says = f"tool {tool} is fitted {room:.1f} mm from the metal"
            self.book.add("lathe-change-close", line, says, "Go clear of the plate before the change.")

    def _dwell(self, step: Dwell, halt: Halt, stock: Shape, fitted: Fitted) -> None:
        if halt.at is None or step.state.spindle is Turning.OFF or not _touches(halt, stock, fitted):
            return
        turns = (speed_at(step.state, 2 * float(halt.at[1]), self.max_rpm) or 0.0) * step.seconds / 60
        if turns > MOST_TURNS:
            says = f"the tool rubs on the metal for {turns:.0f} turns"
            self.book.add("lathe-dwell-in-cut", step.line, says, "Take the dwell out, or make it a turn or two long.")

    def _end(self, step: End, halt: Halt, stock: Shape, fitted: Fitted) -> None:
        room = _room(halt, stock, fitted)
        if room is not None and room < END_ROOM:
            says = f"the program ends with the tool {room:.2f} mm from the metal"
            self.book.add("lathe-ends-close", step.line, says, "Retract before the end.")


def _touches(halt: Halt, stock: Shape, fitted: Fitted) -> bool:
    if halt.at is None:
        return False
    return bool(stock.intersection(shapely.Polygon(fitted.grown + halt.at)).area > DUST)


def _room(halt: Halt, stock: Shape, fitted: Fitted) -> float | None:
    """Return the distance of the tool from the metal, mm; None where its place is not known, or no metal is left."""
    if halt.at is None:
        return None
    room = float(shapely.distance(shapely.Polygon(fitted.shape.whole + halt.at), stock))
    return None if math.isnan(room) else room
