"""Feed, speed and spindle: F, S, G93 to G97, M3 to M5, and the words that limit constant surface speed."""

from __future__ import annotations

from typing import Final

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.groups import AXIS_LETTERS
from gcodegen.rs274.motions import FeedUnit, SpindleChange, Turning
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import Modes

_FEED_UNITS: Final = {930: FeedUnit.INVERSE_TIME, 940: FeedUnit.PER_MINUTE, 950: FeedUnit.PER_TURN}
_TURNING: Final = {3: Turning.CLOCKWISE, 4: Turning.COUNTER, 5: Turning.OFF}


def set_feed_unit(modes: Modes, block: Block) -> None:
    """Take G93, G94 or G95; after a change F must be given anew, because its number now counts otherwise."""
    unit = _FEED_UNITS[block.codes["feed mode"]]
    if unit is not modes.feed_unit:
        modes.feed_unit = unit
        modes.feed = None
        modes.touch()


def set_feed(modes: Modes, block: Block) -> None:
    """Take F; under inverse time it counts for its own line only (NISTIR 6556, section 3.5.19)."""
    feed = block.words["F"]
    if feed < 0:
        raise Refusal("bad-number", f"F{feed:g} is a negative feed", word="F", do="Write F larger than zero.")
    if modes.feed_unit is not FeedUnit.INVERSE_TIME:
        modes.feed = feed


def feed_for(modes: Modes, block: Block, *, only_rotary: bool = False) -> float:
    """Return the feed of a cut: mm/min, mm/turn or 1/min, in degrees where only the rotary axis turns.

    Raises
    ------
    Refusal
        When no feed is in force or when feed per turn meets a spindle that stands.
    """
    if modes.feed_unit is FeedUnit.INVERSE_TIME:
        per_minute = block.words.get("F")
        if not per_minute:
            raise Refusal("missing-feed", "under G93 every cut needs its own F, larger than zero")
        return per_minute
    feed = modes.feed
    if not feed:
        raise Refusal("missing-feed", "a cut begins and no feed larger than zero is in force")
    if modes.feed_unit is FeedUnit.PER_TURN and modes.spindle is Turning.OFF:
        raise Refusal("spindle-stopped", "feed per turn with a spindle that stands")
    if modes.feed_unit is FeedUnit.PER_TURN and not (modes.speed_rpm or modes.constant_surface):
        raise Refusal("missing-speed", "feed per turn with a spindle whose speed was not given")
    # Degrees do not follow the length unit (NISTIR 6556, sections 2.1.2.5 and 2.1.2.9).
    return feed if only_rotary else feed * modes.scale


def set_speed_mode(modes: Modes, block: Block) -> None:
    """Take G96 or G97 (ISO 6983-1, from memory of that publication)."""
    wanted = block.codes["speed mode"] == 960
    if wanted and not modes.machine.lathe:
        says = "G96 holds a surface speed by the diameter of the cut, which a mill has not"
        raise Refusal("not-followed", says, word="G96")
    if wanted and modes.machine.speed_clamp == "G96 D" and "D" in block.words:
        modes.clamp_rpm = _limit(block.words["D"], "D")
    if wanted and modes.clamp_rpm is None:
        says = "G96 without a limit of the spindle: towards the axis the speed grows without bound"
        raise Refusal("needs-clamp", says, word="G96")
    if wanted == modes.constant_surface:
        return
    if "S" not in block.words or sets_clamp(modes, block):
        name = "G96" if wanted else "G97"
        raise Refusal("missing-word", f"{name} changes what S counts and has no S on its line", word=name)
    modes.constant_surface = wanted  # the S of this line, which comes next, sets the speed
    modes.touch()


def sets_clamp(modes: Modes, block: Block) -> bool:
    """Return whether this line limits the spindle, in the words the machine is said to take."""
    once = block.codes.get("once")
    if once is None or once != modes.machine.clamp_code:
        return False
    return once != 920 or "S" in block.words


def set_speed(modes: Modes, block: Block) -> None:
    """Take S: rev/min, or surface speed under G96, or the limit of the spindle on a line that sets it."""
    speed = block.words["S"]
    if speed < 0:
        do = "Write S without a sign; M3 and M4 say which way the spindle turns."
        raise Refusal("bad-number", f"S{speed:g} is a negative speed", word="S", do=do)
    modes.touch()
    if sets_clamp(modes, block):
        if not AXIS_LETTERS.isdisjoint(block.words):
            says = "S with an axis: is it the limit of the spindle or a shift of the zero"
            raise Refusal("ambiguous-word", says, word="S")
        modes.clamp_rpm = _limit(speed, "S")
    elif modes.constant_surface:
        modes.surface = speed
    else:
        modes.speed_rpm = speed


def _limit(speed: float, word: str) -> float:
    if speed <= 0:
        says = f"{word}{speed:g} limits the spindle to {speed:g} rev/min"
        raise Refusal("bad-number", says, word=word, do="Write the highest speed that is allowed, larger than zero.")
    return speed


def set_spindle(modes: Modes, block: Block) -> None:
    """Take M3, M4 or M5."""
    turn(modes, block.line, _TURNING[block.codes["spindle"]])


def turn(modes: Modes, line: int, after: Turning) -> None:
    """Make the spindle do ``after``; a step only when that is a change."""
    before = modes.spindle
    if before is not after:
        modes.spindle = after
        modes.touch()
        modes.steps.append(SpindleChange(line, before, after, modes.position))
