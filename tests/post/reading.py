"""What a program says when it is read back, in the few terms in which a plan can be held against it."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gcodegen.rs274 import Kind, Machine, Motion, Reading, Stop, read_program

INDEX = re.compile(r"INDEX WORK TO (\d+\.\d{3}) DEG")
TAP = re.compile(r"TAP HOLE (\d) BY HAND, (\S+), TAP TIP (\d+\.\d+) (MM|IN)")
COMMENT = re.compile(r"\([^()]*\)")
WORD = re.compile(r"([A-Z])([-+]?[\d.]+)")


@dataclass(frozen=True)
class Plunge:
    """A feed down to a bottom: where, how deep, how fast, with what."""

    index: float
    x: float
    bottom: float
    feed: float
    speed: float
    tool: int
    cycle: str


@dataclass(frozen=True)
class HandTapped:
    """A stop to tap by hand."""

    index: float
    x: float
    height: float


def read_sound(text: str, *, lathe: bool = False, speed_clamp: str = "none") -> Reading:
    """Return the reading of a program that must be without a fault and come to its end."""
    reading = read_program(text, Machine(lathe=lathe, speed_clamp=speed_clamp))
    assert reading.faults == ()
    assert reading.ended
    return reading


def done_in(reading: Reading) -> list[Plunge | HandTapped]:
    """Return plunges (a pecked hole as one, to its deepest) and hand taps, in the order of the program."""
    out: list[Plunge | HandTapped] = []
    told: float | None = None
    for step in reading.steps:
        if isinstance(step, Stop) and (found := INDEX.search(step.message)):
            told = float(found[1])
        elif isinstance(step, Stop) and TAP.search(step.message):
            index = step.position.a % 360 if told is None else told
            out.append(HandTapped(index, step.position.x, step.position.z))
        elif isinstance(step, Motion) and step.kind is Kind.FEED and step.end.z < step.start.z:
            index = step.end.a % 360 if told is None else told
            assert step.feed is not None
            assert step.state.speed_rpm is not None
            cut = Plunge(
                index,
                step.end.x,
                step.end.z,
                step.feed,
                step.state.speed_rpm,
                step.state.tool_length_offset,
                step.cycle,
            )
            last = out[-1] if out else None
            if isinstance(last, Plunge) and (last.index, last.tool) == (cut.index, cut.tool):
                assert cut.bottom < last.bottom
                out.pop()
            out.append(cut)
    return out


def bare(text: str) -> list[str]:
    """Return the lines without comments, without those that then are empty."""
    lines = [COMMENT.sub("", line).strip() for line in text.splitlines()]
    return [line for line in lines if line]
