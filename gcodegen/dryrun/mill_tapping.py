"""Tapping: the tap keeps step with the spindle, or goes by hand."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gcodegen.dryrun.mill_cuts import HoleCut, feed_per_turn
from gcodegen.dryrun.mill_scene import Moment
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.handbook import Thread, thread
from gcodegen.rs274.motions import Kind, Motion, Turning

IN_STEP = 0.005  # of the pitch; a holder without axial float takes no more
FLOAT_SHARE = (0.90, 1.0)  # of the pitch, in a floating holder: it draws out, it must not push; common practice
_THREAD_NAME = re.compile(
    r"\bM\d{1,2}(?:\.\d)?(?:\s*X\s*\d(?:\.\d{1,2})?)?\b|(?<![\w.])#?\d{1,2}(?:/\d{1,2})?-\d{2}\b",
    re.IGNORECASE,
)
_SURELY_A_THREAD = re.compile(r"X|#|/", re.IGNORECASE)  # with its pitch, or with the sign of a size


def check_tapping(cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    """Check one cut of a tap."""
    if cut.by_hand:
        _check_message(cut, setup.screw, book)
        return
    if setup.job.mill.tapping == "by hand":
        says = f"{cut.tool.name} is fed by the machine; the job taps by hand"
        book.add("tap-fed-by-machine", cut.line, says, "Stop over the hole and tap by hand.")
    floats = setup.job.mill.tapping == "floating holder"
    pitch = cut.tool.pitch
    for motion in cut.motions:
        if floats:
            _check_float_feed(pitch, motion, book)
            continue
        if not motion.synchronised:
            says = f"{cut.tool.name} is fed without being locked to the spindle"
            book.add("tap-not-in-step", motion.line, says, "Use the tapping cycle G84.")
        step = feed_per_turn(motion)
        if step is not None and abs(step / pitch - 1) > IN_STEP:
            off = f"{100 * (step / pitch - 1):+.1f} percent off"
            says = f"the feed is {step:.4f} mm per turn; the pitch is {pitch:.4f} mm, {off}"
            book.add("tap-out-of-step", motion.line, says, "Make F the speed times the pitch.")


def check_way_out(moments: Iterable[Moment], setup: MillSetup, book: Notebook) -> None:
    """Check how a tap in a floating holder leaves its hole: fed, with the spindle reversed, about a pitch a turn."""
    if setup.job.mill.tapping != "floating holder":
        return
    for moment in moments:
        motion, tool = moment.step, moment.tool
        if not isinstance(motion, Motion) or tool is None or tool.thread is None:
            continue
        if motion.start.z >= 0 or motion.end.z <= motion.start.z:
            continue
        if motion.kind is not Kind.FEED or motion.state.spindle is not Turning.COUNTER:
            how = "at rapid" if motion.kind is not Kind.FEED else f"with the spindle {motion.state.spindle}"
            says = f"{tool.name} is drawn out of its hole {how}"
            book.add("tap-drawn-out", motion.line, says, "Reverse the spindle with M4 and feed out.")
            continue
        _check_float_feed(tool.pitch, motion, book)


def _check_float_feed(pitch: float, motion: Motion, book: Notebook) -> None:
    """Check the feed of a tap that floats along its axis: a little less than its pitch, never more."""
    step = feed_per_turn(motion)
    if step is None:
        return  # without a speed there is no feed per turn: no-speed says so
    least, most = FLOAT_SHARE
    if not least - IN_STEP <= step / pitch <= most + IN_STEP:
        says = f"the feed is {step:.4f} mm per turn; the pitch is {pitch:.4f} mm, and the holder floats"
        book.add("tap-out-of-step", motion.line, says, f"Make F {least:g} to {most:g} of the speed times the pitch.")


def _check_message(cut: HoleCut, screw: Thread, book: Notebook) -> None:
    """Check the thread that a hand-tapping stop names: the operator does what it says."""
    for found in _THREAD_NAME.finditer(cut.message):
        named = _thread_of(found[0])
        if named is None and not _SURELY_A_THREAD.search(found[0]):
            continue  # a word of the machine such as M0, or figures
        if named != screw:
            says = f"the stop says {named.name if named else found[0]}; the screws are {screw.name}"
            book.add("wrong-tap", cut.line, says, f"Write {screw.name}.")


def _thread_of(text: str) -> Thread | None:
    try:
        return thread(text)
    except ValueError:
        return None
