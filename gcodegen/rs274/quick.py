"""The lines that make up nearly all of a long program, read without the general way.

They are straight moves, arcs and further holes of a canned cycle, also with usual formulas, settings of parameters,
and comments. What is taken here does exactly what the general way would do; a test holds the two together. Anything
else, and anything that could be refused, is left to the general way.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from math import isfinite
from typing import Final, TypeAlias

from gcodegen.rs274.arcs import circle
from gcodegen.rs274.blocks import LARGEST_NUMBER
from gcodegen.rs274.groups import POINTED_LETTERS
from gcodegen.rs274.motions import FeedUnit, Point, Turning
from gcodegen.rs274.parameters import FREE
from gcodegen.rs274.prepared import BRACKET, NO_VALUE, worth
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.state import PLANES, Modes
from gcodegen.rs274.steps import CURVES, FEED, RAPID

_LETTERS: Final = "GXYZIJKRPQF"
# Words in their usual order. Numbers have their point, or are a single zero; none can be too large. What is
# matched is never taken back (the + after each repeat), so time is linear on any text.
_NUMBER: Final = r"([+-]?(?:[0-9]{1,6}+\.[0-9]*+|\.[0-9]++)|0)"
_LINE_NUMBER: Final = r" *+(?:N[0-9]{1,5}+ *+)?"
_COMMENT: Final = r"\([ -'*-~]*+\) *+"  # plain printable signs, no bracket
_MOVE: Final = re.compile(
    rf"{_LINE_NUMBER}(?:G(0?[0-3]|8[1-69]) *+)?"
    + "".join(rf"(?:{letter}{_NUMBER} *+)?" for letter in _LETTERS[1:-1])
    + rf"(?:F([0-9]{{1,6}}+\.?+[0-9]*+) *+)?(?:{_COMMENT})?"
)
_REMARK: Final = re.compile(rf"{_LINE_NUMBER}(?P<comment>{_COMMENT})")
# What stands on a line that computes, without blanks: in any order, for splitting leaves nothing between the items.
_ITEM: Final = re.compile(
    rf"([GXYZIJKRPQF]|#[0-9]{{1,4}}+=)([+-]?(?:[0-9]++\.?+[0-9]*+|\.[0-9]++)|#[0-9]{{1,4}}+|{BRACKET})"
)
_NUMBERED: Final = re.compile("N[0-9]{1,5}+")
_Given: TypeAlias = str | float | None  # of a word: its number as written, or its value; None: it is not there
_CODES: Final[dict[_Given, int]] = {
    **{text: 10 * code for code in (0, 1, 2, 3) for text in (f"{code}", f"{code:02}")},
    **{f"{code}": 10 * code for code in (81, 82, 83, 84, 85, 86, 89)},
}


def remark(modes: Modes, raw: str) -> str | None:
    """Return the text of a line that is a plain comment and no message; None for any other line."""
    found = _REMARK.fullmatch(raw)
    if found is None or len(raw) > modes.machine.longest_line or "," in raw:
        return None
    return found[1].rstrip(" ")[1:-1].strip()


def quick_move(modes: Modes, raw: str, line: int) -> bool:
    """Carry out a plain motion, or settings, and return True; return False and do nothing for any other line.

    To be called while ``is_plain`` holds.
    """
    if len(raw) > modes.machine.longest_line:
        return False
    if modes.computes and ("#" in raw or "[" in raw):
        return _computed(modes, raw, line)
    found = _MOVE.fullmatch(raw)
    return found is not None and _go(modes, line, found.groups())


def _computed(modes: Modes, raw: str, line: int) -> bool:
    """Carry out a line with formulas: all its values are found before it sets a parameter (section 3.3.3)."""
    text, bracket, comment = raw.partition("(")
    if bracket and not _REMARK.fullmatch(bracket + comment):
        return False
    numbered, *items = _ITEM.split(text.replace(" ", "").replace("\t", ""))
    if any(items[2::3]) or (numbered and not _NUMBERED.fullmatch(numbered)):  # something stands between the items
        return False
    values = modes.parameters.__getitem__
    given: list[_Given] = [None] * len(_LETTERS)
    settings: dict[int, float] = {}
    try:
        for letter, written in zip(items[::3], items[1::3], strict=True):
            computed = written[0] in "#["
            value = worth(written, values) if computed else float(written)
            if letter[0] == "#":
                settings[int(letter[1:-1])] = value
                continue
            place = _LETTERS.index(letter)
            undotted = value and not computed and "." not in written and letter in POINTED_LETTERS
            if undotted or given[place] is not None or not -LARGEST_NUMBER < value < LARGEST_NUMBER:
                return False
            given[place] = written if letter == "G" else value
    except NO_VALUE:
        return False
    code, feed = given[0], given[-1]
    if (code is not None and code not in _CODES) or (isinstance(feed, float) and feed < 0):
        return False
    if settings and not all(number in FREE and isfinite(value) for number, value in settings.items()):
        return False
    if len(items) > 3 * len(settings) and not _go(modes, line, given):
        return False
    modes.parameters.update(settings)
    return bool(items)


def _go(modes: Modes, line: int, given: Sequence[_Given]) -> bool:
    """Carry out a plain motion by the words in the order of ``_LETTERS``."""
    code, x, y, z, i, j, k, r, p, q, f = given
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
    others = r is not None or p is not None or q is not None
    if motion <= 10:
        done = not (centre or others) and _straight(modes, line, motion, end, feed)
    elif motion <= 30:
        offsets = (("I", i), ("J", j), ("K", k), ("R", r))
        words = {letter: float(text) for letter, text in offsets if text is not None}
        done = p is None and q is None and _arc(modes, line, motion, (x, y, z), words, end, feed)
    else:
        return not centre and motion == modes.motion and _hole(modes, line, (z, r, p, q), end, feed)
    if done:
        modes.position, modes.feed, modes.again = end, feed, None
        modes.moved = True
        if motion != modes.motion:
            modes.motion, modes.sticky = motion, None
    return done


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
    given: tuple[_Given, _Given, _Given],
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


def _hole(modes: Modes, line: int, given: tuple[_Given, ...], end: Point, feed: float | None) -> bool:
    """Carry out one more hole like the last one, where the line says nothing else and nothing came between."""
    kept, again = modes.sticky, modes.again
    if again is None or kept is None or feed != modes.feed or modes.plane != 170:
        return False
    z, r, p, q = given
    scale = modes.scale
    if (z is not None and float(z) * scale != kept.normal) or (r is not None and float(r) * scale != kept.near):
        return False
    if (p is not None and float(p) != kept.seconds) or (q is not None and float(q) * scale != kept.peck):
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
