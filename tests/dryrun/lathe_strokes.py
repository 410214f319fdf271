"""Motions and strokes of a lathe, built by hand; places are (z, r), mm, r in RADIUS."""

from __future__ import annotations

import math

from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.rs274.motions import Arc, FeedUnit, Kind, Motion, Point, State, Turning

Place = tuple[float, float]

STATE = State(
    tool=1,
    tool_length_offset=0,
    spindle=Turning.CLOCKWISE,
    speed_rpm=500.0,
    surface_m_min=None,
    clamp_rpm=None,
    feed_unit=FeedUnit.PER_TURN,
    system="G54",
    offsets_unknown=False,
    machine_coordinates=False,
)


def point(place: Place) -> Point:
    """Return a place as a point of the program, X a diameter."""
    return Point(2 * place[1], 0.0, place[0], 0.0)


def straight(start: Place, end: Place, kind: Kind = Kind.FEED, state: State = STATE, line: int = 1) -> Motion:
    """Return a straight motion."""
    feed = None if kind is Kind.RAPID else 0.1
    return Motion(line, kind, point(start), point(end), state, feed)


def round_motion(centre: Place, radius: float, first_deg: float, sweep_deg: float, state: State = STATE) -> Motion:
    """Return an arc about a centre, from an angle (0 towards +z, 90 towards +r) on by another."""
    ends = [math.radians(first_deg), math.radians(first_deg + sweep_deg)]
    start, end = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in ends]
    return Motion(1, Kind.ARC, point(start), point(end), state, 0.1, Arc("zx", centre, radius, sweep_deg))


def stroke_of(*motions: Motion) -> Stroke:
    """Return motions that go on in one line as the one stroke that they are."""
    (stroke,) = strokes(motions)
    return stroke


def feed(start: Place, end: Place) -> Stroke:
    """Return a straight feed as a stroke."""
    return stroke_of(straight(start, end))


def rapid(start: Place, end: Place) -> Stroke:
    """Return a rapid as a stroke; it begins where the move before it ended."""
    *_, stroke = strokes((straight(start, start, Kind.RAPID), straight(start, end, Kind.RAPID)))
    return stroke
