"""What must not happen while the tool stands in the work: the spindle stopped or started, the operator called."""

from __future__ import annotations

from gcodegen.dryrun.mill_metal import depth_at
from gcodegen.dryrun.mill_open import TOUCH
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import CutTool, MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Point, SpindleChange, Stop, Turning


def check_halt(moment: Moment, setup: MillSetup, book: Notebook) -> None:
    """Judge a stop of the program, or a start or stop of the spindle, by where the tool stands."""
    step, tool = moment.step, moment.tool
    if tool is None:
        return
    match step:
        # A tap is turned round in its thread, and without a tapping cycle perhaps by a stop and a start.
        case SpindleChange() if tool.kind != "tap" and Turning.OFF in (step.before, step.after):
            if _stands_in_work(tool, step.position, setup):
                what = "stops" if step.after is Turning.OFF else "starts"
                says = f"the spindle {what} while {tool.name} stands in the work, at Z{step.position.z:.3f}"
                book.add("spindle-in-hole", step.line, says, "Retract above the crest first.")
        case Stop() if _stands_in_work(tool, step.position, setup):
            says = f"the program stops for the operator while {tool.name} is in the work, at Z{step.position.z:.3f}"
            book.add("stop-in-hole", step.line, says, "Retract above the crest before the stop.")


def _stands_in_work(tool: CutTool, position: Point, setup: MillSetup) -> bool:
    return depth_at(position[:3], tool.cutter, setup) > TOUCH
