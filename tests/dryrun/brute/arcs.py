"""A lathe's arcs as chords, from their centre or their radius (from memory of ISO 6983-1; plane of Z and X)."""

from __future__ import annotations

import math

from tests.dryrun.brute.words import Unclear

CLOSES = 0.002  # mm that start and end may differ in their distance from the centre
_CHORD = 3.0  # degrees


def chords(
    start: tuple[float, float], end: tuple[float, float], *, clockwise: bool, words: dict[str, float], unit: float
) -> list[tuple[float, float]]:
    """Return the ends of an arc's chords, (z, r); Unclear where the words make no arc."""
    if "R" in words:
        if {"I", "K"} & set(words) or start == end:
            raise Unclear("arc by radius")
        centre = _by_radius(start, end, words["R"] * unit, clockwise=clockwise)
    elif {"I", "K"} & set(words):
        centre = start[0] + words.get("K", 0.0) * unit, start[1] + words.get("I", 0.0) * unit
    else:
        raise Unclear("arc without a centre")
    radius = math.dist(start, centre)
    if radius == 0 or abs(math.dist(end, centre) - radius) > CLOSES * max(1.0, unit / 10):
        raise Unclear("arc does not close")
    first, last = (math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (start, end))
    sweep = (first - last if clockwise else last - first) % (2 * math.pi) or 2 * math.pi
    count = max(2, math.ceil(math.degrees(sweep) / _CHORD))
    turn = -sweep if clockwise else sweep
    places = [first + turn * k / count for k in range(1, count)]
    return [*((centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in places), end]


def _by_radius(
    start: tuple[float, float], end: tuple[float, float], radius: float, *, clockwise: bool
) -> tuple[float, float]:
    half = math.dist(start, end) / 2
    if abs(radius) < half * (1 - 1e-4):
        raise Unclear("radius too short")
    rise = math.sqrt(max(0.0, radius**2 - half**2))
    along = (end[0] - start[0]) / (2 * half), (end[1] - start[1]) / (2 * half)
    side = 1 if clockwise == (radius < 0) else -1  # the short way round lies to the left when counter-clockwise
    middle = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
    return middle[0] - side * along[1] * rise, middle[1] + side * along[0] * rise
