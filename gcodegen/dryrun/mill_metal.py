"""How deep a part of the tool goes below the rim's surface on one motion of the mill.

Straight up and down there is a closed form. Other moves are looked at in three places first; only where all
three are clear, and the way between might not be, is the whole stroke searched.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.solids import ToolPart, depth_in_rim
from gcodegen.rs274.motions import Motion

_CHORDS = 64
_Vec = tuple[float, float, float]


def is_upright(motion: Motion) -> bool:
    """Return whether a motion goes straight up or down and the work stands still."""
    return motion.start[:2] == motion.end[:2] and motion.start.a == motion.end.a and motion.arc is None


def depth_on(motion: Motion, part: ToolPart, setup: MillSetup) -> float:
    """Return how deep a part of the tool goes into the uncut body on a motion, mm; 0 when it stays clear.

    For a move that is not upright the figure is a lower bound; it is above 0 whenever the part touches.
    """
    if motion.arc is None:
        return _straight(part, motion.start[:3], motion.end[:3], setup)
    # Half of a chord's sag to each side would do; all of it is on the safe side.
    sag = motion.arc.radius * (1 - math.cos(math.radians(motion.arc.sweep_deg) / _CHORDS / 2))
    wider = ToolPart(part.radius + sag, part.from_tip - sag, part.to_tip)
    return max(_straight(wider, a, b, setup) for a, b in _chords(motion))


def _straight(part: ToolPart, start: _Vec, end: _Vec, setup: MillSetup) -> float:
    if min(start[2], end[2]) + part.from_tip >= 0:
        return 0.0  # above the crest, which is the highest of the body
    depths = [_below(part, at, setup) for at in (start, end)]
    if start[:2] == end[:2]:
        return max(depths)
    middle = tuple((a + b) / 2 for a, b in zip(start, end, strict=True))
    depths.append(_below(part, (middle[0], middle[1], middle[2]), setup))
    return max(depths) or depth_in_rim((part,), start, end, setup.radius, setup.body)


def _below(part: ToolPart, tip: _Vec, setup: MillSetup) -> float:
    """Return how far the part's lower end is below the highest of the rim under it, mm; 0 when above."""
    x, y, z = tip
    low, high = setup.body
    outside = max(low - x, x - high, 0.0)
    if outside >= part.radius:
        return 0.0
    reach = math.sqrt(part.radius**2 - outside**2)
    beside = max(0.0, abs(y) - reach)
    if beside >= setup.radius:
        return 0.0
    crest = math.sqrt(setup.radius**2 - beside**2) - setup.radius
    return max(0.0, crest - z - part.from_tip)


def _chords(motion: Motion) -> Iterator[tuple[_Vec, _Vec]]:
    """Return an arc's chords; a helix climbs evenly."""
    arc = motion.arc
    assert arc is not None
    first, second = ("xyz".index(letter) for letter in arc.axes)
    normal = 3 - first - second
    start, end = motion.start[:3], motion.end[:3]
    begin = math.atan2(start[second] - arc.centre[1], start[first] - arc.centre[0])
    before: _Vec = start
    for k in range(1, _CHORDS + 1):
        t = k / _CHORDS
        angle = begin + math.radians(arc.sweep_deg) * t
        place = [0.0, 0.0, 0.0]
        place[first] = arc.centre[0] + arc.radius * math.cos(angle)
        place[second] = arc.centre[1] + arc.radius * math.sin(angle)
        place[normal] = start[normal] + (end[normal] - start[normal]) * t
        after: _Vec = (place[0], place[1], place[2])
        yield before, after
        before = after
