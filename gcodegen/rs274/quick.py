"""The lines that make up nearly all of a long program, read without the general way: straight moves.

What is taken here does exactly what the general way would do; a test holds the two together. Anything else, and
anything that could be refused or pointed out, is left to the general way.
"""

from __future__ import annotations

import re
from typing import Final

from gcodegen.rs274.motions import FeedUnit, Kind, Motion, Point, Turning
from gcodegen.rs274.state import Modes

# Words in their usual order. Numbers have their point, or are a single zero; none can be too large. What is
# matched is never taken back (the + after each repeat), so time is linear on any text.
_NUMBER: Final = r"([+-]?(?:[0-9]{1,6}+\.[0-9]*+|\.[0-9]++)|0)"
_STRAIGHT: Final = re.compile(
    r" *+(?:N[0-9]{1,5}+ *+)?(?:G0?([01]) *+)?"
    rf"(?:X{_NUMBER} *+)?(?:Y{_NUMBER} *+)?(?:Z{_NUMBER} *+)?(?:F([0-9]{{1,6}}+\.?+[0-9]*+) *+)?"
)


def straight_move(modes: Modes, raw: str, line: int) -> bool:
    """Carry out a line that is a plain G0 or G1 and return True; return False and do nothing for any other."""
    found = _STRAIGHT.fullmatch(raw)
    if found is None or len(raw) > modes.machine.longest_line:
        return False
    code, x, y, z, f = found.groups()
    motion = modes.motion if code is None else (10 if code == "1" else 0)
    feed = modes.feed
    if f is not None and (given := float(f)) != feed:
        feed = given
    if motion > 10 or (motion == 10 and not feed) or not _is_plain(modes):
        return False
    if x is None and y is None and z is None:
        return False
    if y is not None and modes.machine.lathe:
        return False
    start = modes.position
    scale = modes.scale
    end = Point(
        start[0] if x is None else float(x) * scale,
        start[1] if y is None else float(y) * scale,
        start[2] if z is None else float(z) * scale,
        start[3],
    )
    if motion:
        # Degrees do not follow the length unit, but a line without A turns nothing.
        per_minute = feed if scale == 1.0 else (feed or 0.0) * scale
        step = Motion(line, Kind.FEED, start, end, modes.state(), per_minute)
    else:
        step = Motion(line, Kind.RAPID, start, end, modes.state())
    modes.steps.append(step)
    modes.position, modes.feed = end, feed
    modes.moved = True
    if motion != modes.motion:
        modes.motion, modes.sticky = motion, None
    return True


def _is_plain(modes: Modes) -> bool:
    """Return whether no mode is in force that asks more of a straight move than its end and its feed."""
    if modes.machine.own_words or not modes.absolute or not modes.unit_stated or modes.unknown or modes.length_stale:
        return False
    if modes.feed_unit is FeedUnit.PER_TURN:
        return modes.spindle is not Turning.OFF and bool(modes.speed_rpm)
    return modes.feed_unit is FeedUnit.PER_MINUTE
