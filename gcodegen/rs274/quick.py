"""The lines that make up nearly all of a long program, read without the general way.

They are straight moves, arcs and further holes of a canned cycle, also with short formulas, and comments. What is
taken here does exactly what the general way would do; a test holds the two together. Anything else, and anything
that could be refused, is left to the general way.
"""

from __future__ import annotations

import re
from functools import partial
from typing import Final

from gcodegen.rs274.arcs import circle
from gcodegen.rs274.formulas import SHORT, short_value
from gcodegen.rs274.motions import FeedUnit, Point, Turning
from gcodegen.rs274.parameters import look_up
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import PLANES, Modes
from gcodegen.rs274.steps import CURVES, FEED, RAPID

# Words in their usual order. Numbers have their point, or are a single zero; none can be too large. What is
# matched is never taken back (the + after each repeat), so time is linear on any text.
_NUMBER: Final = r"([+-]?(?:[0-9]{1,6}+\.[0-9]*+|\.[0-9]++)|0)"
_LINE_NUMBER: Final = r" *+(?:N[0-9]{1,5}+ *+)?"
_COMMENT: Final = r"\(([ -'*-~]*+)\) *+"  # plain printable signs, no bracket
_MOVE: Final = re.compile(
    rf"{_LINE_NUMBER}(?:G(0?[0-3]|8[1-69]) *+)?"
    + "".join(rf"(?:{letter}{_NUMBER} *+)?" for letter in "XYZIJKRPQ")
    + rf"(?:F([0-9]{{1,6}}+\.?+[0-9]*+) *+)?(?:{_COMMENT})?"
)
_REMARK: Final = re.compile(_LINE_NUMBER + _COMMENT)
_FORMULA: Final = re.compile(rf"([XYZIJKRPQF]){SHORT}")
_CODES: Final = {
    **{text: 10 * code for code in (0, 1, 2, 3) for text in (f"{code}", f"{code:02}")},
    **{f"{code}": 10 * code for code in (81, 82, 83, 84, 85, 86, 89)},
}


def remark(modes: Modes, raw: str) -> str | None:
    """Return the text of a line that is a plain comment and no message; None for any other line."""
    found = _REMARK.fullmatch(raw)
    if found is None or len(raw) > modes.machine.longest_line or "," in raw:
        return None
    return found[1].strip()


def quick_move(modes: Modes, raw: str, line: int) -> bool:
    """Carry out a plain motion and return True; return False and do nothing for any other line.

    To be called while ``is_plain`` holds.
    """
    found = _MOVE.fullmatch(raw)
    if found is None and modes.computes and "#" in raw:
        found = _MOVE.fullmatch(_worked_out(modes, raw))
    if found is None or len(raw) > modes.machine.longest_line:
        return False
    code, x, y, z, i, j, k, r, p, q, f, _ = found.groups()
    if (x is None and y is None and z is None) or (y is not None and modes.machine.lathe):
        return False
    motion = modes.motion if code is None else _CODES[code]
    scale = modes.scale
    start = modes.position
    end = Point(
        start[0] if x is None else float(x) * scale,
        start[1] if y is None else float(y) * scale,
        start[2] if z is None else float(z) * scale,
        start[3],
    )
    feed = modes.feed if f is None else float(f)
    centre = i is not None or j is not None or k is not None
    if motion <= 10:
        done = not (centre or r or p or q) and _straight(modes, line, motion, end, feed)
    elif motion <= 30:
        words = {letter: float(text) for letter, text in (("I", i), ("J", j), ("K", k), ("R", r)) if text}
        done = not (p or q) and _arc(modes, line, motion, (x, y, z), words, end, feed)
    else:
        return not centre and motion == modes.motion and _hole(modes, line, (z, r, p, q), end, feed)
    if done:
        modes.position, modes.feed, modes.again = end, feed, None
        modes.moved = True
        if motion != modes.motion:
            modes.motion, modes.sticky = motion, None
    return done


def _worked_out(modes: Modes, raw: str) -> str:
    """Return a line with the values of its short formulas; whatever has none stays and makes no plain word.

    A blank after each value keeps it apart from what follows.
    """
    values = partial(look_up, modes)
    return _FORMULA.sub(lambda found: f"{found[1]}{short_value(found, values)} ", raw)


def _straight(modes: Modes, line: int, motion: int, end: Point, feed: float | None) -> bool:
    if not motion:
        modes.steps.move(line, modes.position, end, modes.state(), RAPID)
    elif feed:
        # Degrees do not follow the length unit, but a line without A turns nothing.
        modes.steps.move(line, modes.position, end, modes.state(), FEED, feed * modes.scale)
    else:
        return False
    return True


def _arc(
    modes: Modes,
    line: int,
    motion: int,
    given: tuple[str | None, str | None, str | None],
    words: dict[str, float],
    end: Point,
    feed: float | None,
) -> bool:
    first, second, _ = PLANES[modes.plane]
    if not feed or (given[first] is None and given[second] is None) or (modes.machine.lathe and modes.plane != 180):
        return False
    try:
        shape = circle(modes, words, line, end, motion)
    except Refusal:
        return False
    steps = modes.steps
    steps.move(line, modes.position, end, modes.state(), CURVES[shape.axes], feed * modes.scale, steps.curve(shape))
    return True


def _hole(modes: Modes, line: int, given: tuple[str | None, ...], end: Point, feed: float | None) -> bool:
    """Carry out one more hole like the last one, where the line says nothing else and nothing came between."""
    kept, again = modes.sticky, modes.again
    if again is None or kept is None or feed != modes.feed or modes.plane != 170:
        return False
    z, r, p, q = given
    scale = modes.scale
    if (z and float(z) * scale != kept.normal) or (r and float(r) * scale != kept.near):
        return False
    if (p and float(p) != kept.seconds) or (q and float(q) * scale != kept.peck):
        return False
    again(line, end if z is None else Point(end.x, end.y, modes.position.z, end.a))
    return True


def is_plain(modes: Modes) -> bool:
    """Return whether no mode is in force that asks more of a plain motion than its end and its feed.

    No line that ``quick_move`` takes changes that.
    """
    if modes.machine.own_words or not modes.absolute or not modes.unit_stated or modes.unknown or modes.length_stale:
        return False
    if modes.feed_unit is FeedUnit.PER_TURN:
        return modes.spindle is not Turning.OFF and bool(modes.speed_rpm)
    return modes.feed_unit is FeedUnit.PER_MINUTE
