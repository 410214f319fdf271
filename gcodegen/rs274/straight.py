"""Straight motions: G0, G1 and the thread G33."""

from __future__ import annotations

import math

from gcodegen.rs274.blocks import Block
from gcodegen.rs274.groups import AXIS_LETTERS, g_name
from gcodegen.rs274.motions import FeedUnit, Kind, Motion, Point, Turning
from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.spindle import feed_for
from gcodegen.rs274.state import Modes


def need_axis(block: Block, code: int) -> None:
    """Refuse a motion that names no axis (NISTIR 6556, sections 3.5.1 and 3.5.2)."""
    if AXIS_LETTERS.isdisjoint(block.words):
        raise Refusal("missing-axis", f"{g_name(code)} names no axis to move", word=g_name(code))


def rapid(modes: Modes, block: Block, code: int) -> None:
    """Take G0."""
    need_axis(block, code)
    start = modes.position
    end = modes.target(block.words)
    modes.steps.append(Motion(block.line, Kind.RAPID, start, end, modes.state()))
    modes.position = end
    if modes.absolute:
        modes.learn(block.words)


def cut(modes: Modes, block: Block, code: int) -> None:
    """Take G1."""
    need_axis(block, code)
    modes.need_known()
    start = modes.position
    end = modes.target(block.words)
    only_rotary = start[:3] == end[:3] and start.a != end.a
    feed = feed_for(modes, block, only_rotary=only_rotary)
    modes.steps.append(Motion(block.line, Kind.FEED, start, end, modes.state(), feed))
    modes.position = end


def thread(modes: Modes, block: Block, code: int) -> None:
    """Take G33: constant lead, K along Z or I along X (ISO 6983-1, from memory of that publication).

    The motion's feed is along its path, mm per turn, so that time is length over feed and speed.
    """
    need_axis(block, code)
    modes.need_known()
    if modes.feed_unit is FeedUnit.INVERSE_TIME:
        raise Refusal("cycle-mode", "a thread under inverse time feed", word="G33")
    if modes.spindle is Turning.OFF:
        raise Refusal("spindle-stopped", "a thread begins while the spindle stands", word="G33")
    if modes.constant_surface or not modes.speed_rpm:
        raise Refusal("missing-speed", "a thread needs a constant speed, G97 with S", word="G33")
    start = modes.position
    end = modes.target(block.words)
    feed = _path_lead(modes, block, start, end)
    state = modes.state(feed_unit=FeedUnit.PER_TURN)
    modes.steps.append(Motion(block.line, Kind.THREAD, start, end, state, feed, synchronised=True))
    modes.position = end


def _path_lead(modes: Modes, block: Block, start: Point, end: Point) -> float:
    across = abs(end.x - start.x) / (2 if modes.machine.lathe else 1)
    along = abs(end.z - start.z)
    letter, length = ("K", along) if along >= across else ("I", across)
    if length == 0 or start.y != end.y or start.a != end.a:
        raise Refusal("missing-axis", "G33 cuts along X and Z and must move in one of them", word="G33")
    other = "I" if letter == "K" else "K"
    if other in block.words or letter not in block.words:
        says = f"this thread runs chiefly along {'Z' if letter == 'K' else 'X'} and needs {letter} alone"
        raise Refusal("missing-word", says, word="G33")
    lead = block.words[letter] * modes.scale
    if lead <= 0:
        says = f"a lead must be larger than zero, {letter} is {block.words[letter]:g}"
        raise Refusal("bad-number", says, word=letter, do=f"Write {letter} with the lead, without a sign.")
    return lead * math.hypot(along, across) / length
