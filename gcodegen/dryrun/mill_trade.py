"""Speeds, feeds and habits against the handbook's ranges."""

from __future__ import annotations

import math
import re

from gcodegen.dryrun.mill_cuts import DEEP, HoleCut, feed_per_turn, widest
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.words import words_of
from gcodegen.handbook import CUTTING_ROWS, Operation, cutting_speed, feed
from gcodegen.rs274.motions import Motion

OVER = 1.10  # of a range's high end, then a caution
FAR_OVER = 1.5  # then a stop
UNDER = 0.5  # of its low end
FAR_UNDER = 0.25  # of a feed's low end, then a stop
AT_LIMIT = 0.98  # of the machine's own limit: it cannot do better
PECK_DEEP = 2.0  # diameters at one stroke, of those that end deeper than DEEP diameters; common practice
_COOLANT = re.compile(r"M0*[78](?![0-9.])")
_SOFTEST, _HARDEST = min(r.hb_min for r in CUTTING_ROWS), max(r.hb_max for r in CUTTING_ROWS)
_OPERATION: dict[str, Operation] = {"spot drill": "spot", "drill": "drill", "tap": "tap"}


def check_trade(cut: HoleCut, setup: MillSetup, book: Notebook) -> None:
    """Hold one cut's speed, feed, pecking and dwell against the trade's figures."""
    if cut.by_hand or not cut.motions:
        return
    for motion in {(m.state.speed_rpm, feed_per_turn(m)): m for m in reversed(cut.motions)}.values():
        _check_speed(cut, motion, setup, book)
        if cut.tool.kind != "tap":
            _check_feed(cut, motion, book)
    if cut.tool.kind == "drill":
        _check_pecks(cut, book)
    if cut.tool.kind == "spot drill" and not cut.dwelt:
        says = f"{cut.tool.name} does not dwell at the bottom"
        book.add("no-dwell", cut.line, says, "Let it dwell a turn or two, so that the chamfer is round.")


def check_coolant(book: Notebook) -> None:
    """Note coolant: grey iron is cut dry."""
    for line, text in enumerate(book.lines, start=1):
        words = words_of(text)
        if _COOLANT.search(words):
            book.add("coolant-on-iron", line, "turns coolant on; grey iron is cut dry", "Take the word out.")
            return


def _check_pecks(cut: HoleCut, book: Notebook) -> None:
    diameter = 2 * cut.tool.radius
    for taken, most, where in ((cut.longest, DEEP, ""), (cut.longest_deep, PECK_DEEP, f" below {DEEP:g} diameters")):
        if taken > most * diameter:
            says = (
                f"{cut.tool.name} drills {taken:.1f} mm{where}, {taken / diameter:.1f} diameters, before it comes"
                " out of the hole"
            )
            do = "Peck: come out above the crest every diameter or so and clear the dust."
            book.add("no-peck", cut.line, says, do)
            return


def _check_speed(cut: HoleCut, motion: Motion, setup: MillSetup, book: Notebook) -> None:
    speed, mill = motion.state.speed_rpm, setup.job.mill
    if not speed:
        return
    hardness = min(max(setup.job.chuck.hardness, _SOFTEST), _HARDEST)  # beyond the rows: the nearest one's figures
    row = cutting_speed(_OPERATION[cut.tool.kind], cut.tool.material, hardness)
    low, high = row.speed_m_min
    surface = math.pi * widest(cut) * speed / 1000
    allowed = f"the range is {low:.1f} to {high:.1f} m/min"
    says = f"{cut.tool.name} cuts at {surface:.1f} m/min (S{speed:.0f}); {allowed}"
    if surface > FAR_OVER * high:
        book.add("speed-far-high", motion.line, says, "Lower S.")
    elif surface > OVER * high:
        book.add("speed-high", motion.line, says, "Lower S.")
    elif surface < UNDER * low and speed < AT_LIMIT * mill.max_speed_rpm:
        book.add("speed-low", motion.line, says, "Raise S.")


def _check_feed(cut: HoleCut, motion: Motion, book: Notebook) -> None:
    step, diameter = feed_per_turn(motion), 2 * cut.tool.radius
    if step is None:
        return
    try:
        low, high = feed(_OPERATION[cut.tool.kind], diameter).feed_mm_rev
    except ValueError:
        return  # a tool larger or smaller than the handbook's: wrong-drill says so
    says = f"{cut.tool.name} is fed {step:.3f} mm per turn; the range is {low:.3f} to {high:.3f} mm"
    if step > FAR_OVER * high:
        book.add("feed-far-high", motion.line, says, "Lower F.")
    elif step > OVER * high:
        book.add("feed-high", motion.line, says, "Lower F.")
    elif step < FAR_UNDER * low:
        book.add("feed-far-low", motion.line, says, "Raise F, and see that F counts per minute.")
    elif step < UNDER * low:
        book.add("feed-low", motion.line, says, "Raise F: a tool that rubs goes blunt.")
