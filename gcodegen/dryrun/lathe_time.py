"""How fast the spindle turns along a lathe motion, and how long the motion takes.

Closed forms. Under constant surface speed the spindle turns at n = 1000 v / (pi D), never above the
program's clamp nor the machine's own limit, so a turn takes max(pi |D| / (1000 v), 1 / clamp) minutes:
a line or a constant in the diameter, integrated piece by piece.
"""

from __future__ import annotations

import math
from itertools import pairwise

from gcodegen.rs274.motions import FeedUnit, Kind, Motion, State


def speed_at(state: State, diameter: float, max_rpm: float) -> float | None:
    """Return the speed in rev/min at a diameter in mm; None when the program gave none."""
    if state.surface_m_min is None:
        return None if state.speed_rpm is None else min(state.speed_rpm, max_rpm)
    limit = min(state.clamp_rpm or max_rpm, max_rpm)
    if diameter == 0:
        return limit
    return min(1000 * state.surface_m_min / (math.pi * abs(diameter)), limit)


def length_mm(motion: Motion) -> float:
    """Return the length of a motion's path, mm; X counts as a radius."""
    if motion.arc is not None:
        return abs(math.radians(motion.arc.sweep_deg)) * motion.arc.radius
    return math.hypot(motion.end.z - motion.start.z, (motion.end.x - motion.start.x) / 2)


def minutes(motion: Motion, *, rapid: float, max_rpm: float) -> float:
    """Return how long a motion takes, minutes.

    Parameters
    ----------
    motion : Motion
        Its feed in the unit of its state: mm/min, mm/turn or 1/min; a thread's feed is per turn.
    rapid : float
        Rapid rate along the path, mm/min.
    max_rpm : float
        The machine's own speed limit, rev/min.

    Returns
    -------
    float
        0 when feed or speed is left out, with which the reader makes no cut.
    """
    length = length_mm(motion)
    if motion.kind is Kind.RAPID:
        return length / rapid
    feed = motion.feed or math.inf
    if motion.kind is not Kind.THREAD and motion.state.feed_unit is FeedUnit.PER_MINUTE:
        return length / feed
    if motion.kind is not Kind.THREAD and motion.state.feed_unit is FeedUnit.INVERSE_TIME:
        return 1 / feed
    return length / feed * _minutes_a_turn(motion, max_rpm)


def _minutes_a_turn(motion: Motion, max_rpm: float) -> float:
    """Return the mean of 1/n along a motion, minutes."""
    state = motion.state
    if state.surface_m_min is None:
        speed = speed_at(state, 0.0, max_rpm)
        return 1 / speed if speed else 0.0
    per_mm = math.pi / (1000 * state.surface_m_min)
    least = 1 / min(state.clamp_rpm or max_rpm, max_rpm)
    diameters = _diameters(motion)
    pairs = pairwise(diameters)
    return sum(_mean(per_mm, least, a, b) for a, b in pairs) / (len(diameters) - 1)


def _diameters(motion: Motion) -> list[float]:
    """Return the ends of a straight motion, or evenly spaced places of an arc, as diameters."""
    arc = motion.arc
    if arc is None or arc.axes != "zx":
        return [motion.start.x, motion.end.x]
    count = max(2, math.ceil(abs(arc.sweep_deg)))
    first = math.atan2(motion.start.x / 2 - arc.centre[1], motion.start.z - arc.centre[0])
    turn = math.radians(arc.sweep_deg) / count
    return [2 * (arc.centre[1] + arc.radius * math.sin(first + k * turn)) for k in range(count + 1)]


def _mean(per_mm: float, least: float, start: float, end: float) -> float:
    """Return the mean of max(per_mm |D|, least) while D goes evenly from start to end."""
    if abs(end - start) < 1e-9:
        return max(per_mm * abs(start), least)
    low, high = min(start, end), max(start, end)
    edge = least / per_mm
    marks = sorted({low, high, *(m for m in (-edge, edge) if low < m < high)})
    total = 0.0
    for a, b in pairwise(marks):
        # Between two marks the integrand is a straight line, so its middle value is its mean.
        total += (b - a) * max(per_mm * abs(a + b) / 2, least)
    return total / (high - low)
