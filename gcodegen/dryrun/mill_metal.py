"""How deep a part of the tool goes below the rim's surface on one motion of the mill.

Straight up and down there is a closed form. Other moves are looked at in three places first; where all three are
clear, the distance of the swept part from the body decides, and only a move that touches is searched.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from gcodegen.dryrun.distance import Revolved, touches
from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.dryrun.solids import ToolPart, depth_in_rim
from gcodegen.rs274.motions import Arc, Kind, Motion

_CHORDS_A_TURN = 64
_LOOKS = 32  # places looked at on a move that touches, before the whole of it is searched
_UP, _ALONG = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)
Vec = tuple[float, float, float]


def is_upright(motion: Motion) -> bool:
    """Return whether a motion goes straight up or down and the work stands still."""
    return motion.start[:2] == motion.end[:2] and motion.start.a == motion.end.a and motion.arc is None


def depth_on(motion: Motion, part: ToolPart, setup: MillSetup) -> float:
    """Return how deep a part of the tool goes into the uncut body on a motion, mm; 0 when it stays clear.

    For a move that is not upright the figure is a lower bound; it is above 0 whenever the part touches.
    """
    if motion.arc is None:
        return _straight(part, motion.start[:3], motion.end[:3], setup)
    sag = chord_sag(motion.arc)
    wider = ToolPart(part.radius + sag, part.from_tip - sag, part.to_tip)
    return max(_straight(wider, a, b, setup) for a, b in paths(motion))


def goes_round_corners(motion: Motion) -> bool:
    """Return whether a rapid may leave its line: it moves up or down and across at once.

    ISO 6983-1 leaves it open whether the axes of a rapid arrive together (from memory of that publication).
    """
    return motion.kind is Kind.RAPID and motion.start[:2] != motion.end[:2] and motion.start.z != motion.end.z


def corner_paths(motion: Motion) -> tuple[tuple[Vec, Vec], ...]:
    """Return the lowest way round a rapid's corner: down first, or across first where it rises."""
    start, end = motion.start[:3], motion.end
    low = min(start[2], end[2])
    return ((start, (start[0], start[1], low)), ((start[0], start[1], low), (end[0], end[1], low)))


def depth_round_corner(motion: Motion, part: ToolPart, setup: MillSetup) -> float:
    """Return how deep a part may go into the body where a rapid's axes do not arrive together, mm."""
    return max(_straight(part, a, b, setup) for a, b in corner_paths(motion))


def depth_at(tip: Vec, part: ToolPart, setup: MillSetup) -> float:
    """Return how deep a part of a standing tool is below the rim's surface, mm; 0 when it stays clear."""
    return _straight(part, tip, tip, setup)


def _straight(part: ToolPart, start: Vec, end: Vec, setup: MillSetup) -> float:
    if min(start[2], end[2]) + part.from_tip >= 0:
        return 0.0  # above the crest, which is the highest of the body
    if _passes_by(part, start, end, setup):
        return 0.0
    depth = max(_below(part, start, setup), _below(part, end, setup))
    if start[:2] == end[:2]:
        return depth
    depth = max(depth, _below(part, _between(start, end, 0.5), setup))
    if depth > 0 or not _touches(part, start, end, setup):
        return depth
    depth = max(_below(part, _between(start, end, k / _LOOKS), setup) for k in range(1, _LOOKS))
    return depth or depth_in_rim((part,), start, end, setup.radius, setup.body)


def _passes_by(part: ToolPart, start: Vec, end: Vec, setup: MillSetup) -> bool:
    """Return whether a move stays to one side of the block round the body."""
    (low, high), reach = setup.body, setup.radius + part.radius
    (x, y, z), (u, v, w) = start, end
    beside = max(x, u) + part.radius <= low or min(x, u) - part.radius >= high
    return beside or min(y, v) >= reach or max(y, v) <= -reach or max(z, w) + part.to_tip <= -2 * setup.radius


def _touches(part: ToolPart, start: Vec, end: Vec, setup: MillSetup) -> bool:
    """Return whether a part meets the whole body on a straight move; in doubt it does."""
    sweep = (end[0] - start[0], end[1] - start[1], end[2] - start[2])
    tool = Revolved(start, _UP, ((part.from_tip, part.radius), (part.to_tip, part.radius)), sweep)
    low, high = setup.body
    ends = ((low, setup.radius), (high, setup.radius))
    return touches(tool, Revolved((0.0, 0.0, -setup.radius), _ALONG, ends))


def _between(start: Vec, end: Vec, t: float) -> Vec:
    x, y, z = ((1 - t) * a + t * b for a, b in zip(start, end, strict=True))
    return (x, y, z)


def _below(part: ToolPart, tip: Vec, setup: MillSetup) -> float:
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


def chord_sag(arc: Arc) -> float:
    """Return what to widen a tool by on an arc's chords, mm; half a chord's height to each side would do."""
    return arc.radius * (1 - math.cos(math.radians(arc.sweep_deg) / _chords(arc) / 2))


def _chords(arc: Arc) -> int:
    return max(8, math.ceil(abs(arc.sweep_deg) / 360.0 * _CHORDS_A_TURN))


def paths(motion: Motion) -> Iterator[tuple[Vec, Vec]]:
    """Return the straight path of a motion, or an arc's chords; a helix climbs evenly."""
    start, end = motion.start[:3], motion.end[:3]
    arc = motion.arc
    if arc is None:
        yield start, end
        return
    first, second = ("xyz".index(letter) for letter in arc.axes)
    normal, steps = 3 - first - second, _chords(arc)
    begin = math.atan2(start[second] - arc.centre[1], start[first] - arc.centre[0])
    before: Vec = start
    for k in range(1, steps + 1):
        t = k / steps
        angle = begin + math.radians(arc.sweep_deg) * t
        place = list(start)
        place[first] = arc.centre[0] + arc.radius * math.cos(angle)
        place[second] = arc.centre[1] + arc.radius * math.sin(angle)
        place[normal] = start[normal] + (end[normal] - start[normal]) * t
        after: Vec = (place[0], place[1], place[2])
        yield before, after
        before = after
