"""What the machine itself forbids, on mill and lathe alike: speeds, feeds, zeros, units, the end."""

from __future__ import annotations

import math
import re
from typing import assert_never

from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.words import words_of
from gcodegen.job import Lathe, Mill
from gcodegen.rs274 import Reading
from gcodegen.rs274.motions import Dwell, End, FeedUnit, Kind, Motion, SpindleChange, State, Turning

FAR_UNDER = 0.25  # of the slowest speed, asked for by a surface speed (own choice)
SPARE = 1.001  # of a limit: programs are rounded to a few digits
LONGEST_DWELL_S = 10.0  # common practice; a dwell of one turn or two is a fraction of a second
_TURNS = {"M3": Turning.CLOCKWISE, "M4": Turning.COUNTER}
_UNIT_WORD = re.compile(r"G0*2([01])(?![0-9])")
_ZERO_WORD = re.compile(r"G0*5[4-9](?![0-9])")
_OVERRIDES_WORD = re.compile(r"M0*49(?![0-9.])")
_DISTANCE_WORD = re.compile(r"G0*9[01](?![0-9]|\.[0-9])")


def check_machine(
    reading: Reading, machine: Mill | Lathe, unit: str, book: Notebook, cutting: frozenset[int] | None = None
) -> None:
    """Write down what the machine cannot or must not do.

    Parameters
    ----------
    reading : Reading
        What the program does.
    machine : Mill or Lathe
        The limits, rev/min and mm/min.
    unit : str
        The job's unit, "mm" or "in".
    book : Notebook
        Takes the findings.
    cutting : frozenset of int, optional
        Places in ``reading.steps`` of the motions that meet metal; left out: every feed motion does.
    """
    _check_words(reading, unit, book)
    _check_zero(reading, book)
    speeds_seen: set[float] = set()
    for place, step in enumerate(reading.steps):
        match step:
            case Motion():
                _check_speed(step.line, step.state, machine, speeds_seen, book)
                if step.kind is not Kind.RAPID:
                    _check_feed(step, machine, book)
                    if cutting is None or place in cutting:
                        _check_cut(step, machine, book)
            case Dwell() if step.seconds > LONGEST_DWELL_S:
                says = f"the tool waits {step.seconds:g} s"
                book.add("dwell-long", step.line, says, "Write the dwell in seconds; one second is long.")
            case End():
                if step.state.spindle is not Turning.OFF:
                    says = "the spindle is still on when the program ends"
                    book.add("spindle-on-at-end", step.line, says, "Put M5 before the end.")


def travel(motion: Motion) -> float:
    """Return the length of a motion along its path in X, Y and Z, mm; on a lathe X must be halved before."""
    a, b = motion.start, motion.end
    if motion.arc is None:
        return math.dist(a[:3], b[:3])
    turned = math.radians(abs(motion.arc.sweep_deg)) * motion.arc.radius
    normal = {"xy": b.z - a.z, "zx": b.y - a.y, "yz": b.x - a.x}[motion.arc.axes]
    return math.hypot(turned, normal)


def says_before(reading: Reading, word: re.Pattern[str], line: int) -> bool:
    """Return whether a word stands in the text up to a line, outside of comments and of lines that may be skipped."""
    for text in reading.lines[:line]:
        bare = words_of(text)
        if not bare.startswith("/") and word.search(bare):
            return True
    return False


def feed_per_minute(motion: Motion) -> float | None:
    """Return the feed of a cut in mm/min, None where it is not known.

    Where only the rotary moves it is in degrees per minute.
    """
    feed = motion.feed or 0.0  # the reader makes no cut without one
    match motion.state.feed_unit:
        case FeedUnit.PER_MINUTE:
            return feed
        case FeedUnit.PER_TURN:
            speed = motion.state.speed_rpm
            return None if speed is None else feed * speed
        case FeedUnit.INVERSE_TIME:
            return feed * travel(motion)
        case _:
            assert_never(motion.state.feed_unit)


def _check_feed(motion: Motion, machine: Mill | Lathe, book: Notebook) -> None:
    feed = feed_per_minute(motion)
    if feed is not None and feed > machine.max_feed * SPARE:
        says = f"feed of {feed:.0f} mm/min; the machine goes to {machine.max_feed:.0f} mm/min"
        book.add("feed-over-machine", motion.line, says, "Lower F.")


def _check_cut(motion: Motion, machine: Mill | Lathe, book: Notebook) -> None:
    state = motion.state
    if state.spindle is Turning.OFF:
        says = "cuts while the spindle stands still"
        book.add("spindle-off-in-cut", motion.line, says, "Put M3 with S before it.")
        return
    word = machine.turns if isinstance(machine, Lathe) else "M3"
    if state.spindle is not _TURNS[word] and not _backs_out(motion, machine):
        says = f"cuts while the spindle turns {state.spindle}"
        book.add("spindle-wrong-way", motion.line, says, f"Start the spindle with {word}.")
    if not state.speed_rpm and not state.surface_m_min:
        says = "cuts at a spindle speed of zero or none"
        book.add("no-speed", motion.line, says, "Give S where the spindle starts.")
    if state.surface_m_min:
        # A large face may ask for less than the lathe has; far less than that, S counts something else.
        across = max(min(abs(motion.start.x), abs(motion.end.x)), 1.0)
        speed = 1000.0 * state.surface_m_min / (math.pi * across)
        if speed < machine.min_speed_rpm * FAR_UNDER:
            says = f"{state.surface_m_min:g} m/min is {speed:.1f} rev/min on {across:.1f} mm"
            says += f"; the machine turns at least {machine.min_speed_rpm:.0f} rev/min"
            book.add("speed-under-machine", motion.line, says, "Check the S word.")


def _backs_out(motion: Motion, machine: Mill | Lathe) -> bool:
    """Return whether a tap backs out counter-clockwise, in step or in a holder that floats: that is its way."""
    floats = isinstance(machine, Mill) and machine.tapping == "floating holder" and motion.end.z > motion.start.z
    return floats or (motion.synchronised and motion.step != "plunge")


def _check_speed(line: int, state: State, machine: Mill | Lathe, seen: set[float], book: Notebook) -> None:
    if state.spindle is Turning.OFF:
        return
    speed = state.clamp_rpm if state.surface_m_min is not None else state.speed_rpm
    if not speed or speed in seen:
        return
    seen.add(speed)
    if speed > machine.max_speed_rpm * SPARE:
        says = f"{speed:.0f} rev/min; the machine goes to {machine.max_speed_rpm:.0f} rev/min"
        book.add("speed-over-machine", line, says, f"Use at most S{machine.max_speed_rpm:.0f}.")
    if speed < machine.min_speed_rpm / SPARE and state.surface_m_min is None:
        says = f"{speed:.0f} rev/min; the machine turns at least {machine.min_speed_rpm:.0f} rev/min"
        book.add("speed-under-machine", line, says, f"Use at least S{machine.min_speed_rpm:.0f}.")


def _check_zero(reading: Reading, book: Notebook) -> None:
    shifted = other = False
    for step in reading.steps:
        if isinstance(step, SpindleChange):
            continue
        if step.state.offsets_unknown and not shifted:
            shifted = True
            says = "the zero is shifted from here on; positions are no longer those of the set-up sheet"
            book.add("zero-shifted", step.line, says, "Take out G92 and G10; set the zero at the machine.")
        if step.state.system != "G54" and not other:
            other = True
            says = f"works in {step.state.system}; the set-up sheet sets G54"
            book.add("other-zero", step.line, says, "Use G54.")


def _check_words(reading: Reading, unit: str, book: Notebook) -> None:
    """Check what only the text shows: the unit, and whether the zero is stated at all."""
    wanted, unit_said, zero_stated = "0" if unit == "in" else "1", False, False
    for line, text in enumerate(reading.lines, start=1):
        if ("M" in text or "m" in text) and _OVERRIDES_WORD.search(words_of(text)):
            book.add("overrides-off", line, "the operator's feed and speed knobs do nothing from here", "Take M49 out.")
        if "G" not in text and "g" not in text:
            continue
        words = words_of(text)
        zero_stated = zero_stated or _ZERO_WORD.search(words) is not None
        for found in _UNIT_WORD.finditer(words):
            if found[1] != wanted and not unit_said:
                unit_said = True
                counts = "mm" if found[1] == "1" else "inches"
                says = f"G2{found[1]} counts in {counts}; the job counts in {unit}"
                book.add("unit-differs", line, says, f"Write the program in {unit}, with G2{wanted}.")
    first = next((step.line for step in reading.steps if isinstance(step, Motion)), None)
    if first is not None and not zero_stated:
        says = "the first motion comes and no coordinate system was stated"
        book.add("zero-not-stated", first, says, "Put G54 at the start.")
    if first is not None and not says_before(reading, _DISTANCE_WORD, first):
        says = "the first motion comes and neither G90 nor G91 was stated"
        book.add("distance-not-stated", first, says, "Put G90 at the start.")
