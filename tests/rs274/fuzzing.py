"""What must hold of any text, whoever wrote it: shared by the fuzzer and by the tests of its finds."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from typing import Any
from unittest.mock import patch

import gcodegen.rs274.formulas as formulas
import gcodegen.rs274.reader as reader
from gcodegen.rs274 import Machine, Motion, Point, Reading, Step, read_program

MOST_SECONDS = 2.0
MOST_LOOKED_AT = 300
HOME = Point(300.0, 0.0, 300.0, 0.0)
CLAMPS = ("none", "G92 S", "G50 S", "G96 D")
# Forms of a machine's own, of a mill and of a lathe together: each takes its own.
FORMS: tuple[dict[str, Any], ...] = (
    {},
    {"program_number": True, "semicolon_comments": True, "x_radius": True, "home_clear": True},
    {"semicolon_comments": True, "rotary_letter": "C", "rotary_reversed": True, "tool_word": "tool and offset"},
    {"program_number": True, "home_clear": True, "rotary_by_hand": True, "tool_word": "tool, then offset"},
)


def machine_of(switches: int) -> Machine:
    """Return the machine whose switches are the bits of a byte."""
    known = bool(switches & 32)
    return Machine(
        lathe=bool(switches & 1),
        block_delete=bool(switches & 2),
        speed_clamp=CLAMPS[(switches >> 2) % 4],
        longest_line=10_000 if switches & 16 else 256,
        origins={1: HOME, 2: Point(1.0, 2.0, 3.0, 4.0)} if known else {},
        tool_lengths={1: 50.0, 2: 75.0} if known else {},
        home=HOME if known else None,
        second_home=HOME if known else None,
        parameters={1: 1.5, 2: 0.0} if known else {},
        **FORMS[(switches >> 6) % 4],
    )


def generally(text: str, machine: Machine) -> Reading:
    """Read without any of the quick ways."""
    with (
        patch.object(formulas, "_usual_expression", lambda cursor: None),
        patch.object(reader, "quick_move", lambda modes, raw, line: False),
        patch.object(reader, "remark", lambda modes, raw: None),
    ):
        return read_program(text, machine)


def read_bytes(data: bytes) -> None:
    """Read the text after the first byte and check what holds of every reading."""
    if not data:
        return
    text, machine = data[1:].decode("utf-8", "surrogateescape"), machine_of(data[0])
    begin = time.process_time()
    reading = read_program(text, machine)
    if (seconds := time.process_time() - begin) > MOST_SECONDS:
        raise AssertionError(f"reading took {seconds:.1f} seconds")
    last = max(1, len(reading.lines))
    for fault in reading.faults:
        if not (1 <= fault.line <= last and fault.column >= 1):
            raise AssertionError(f"a fault outside the text: {fault}")
    if shown(reading) != shown(generally(text, machine)):
        raise AssertionError("the quick way differs from the general way")
    for step in some(reading.steps):
        if not 1 <= step.line <= last:
            raise AssertionError(f"a step outside the text: {step}")
        if isinstance(step, Motion) and not all(math.isfinite(value) for value in (*step.start, *step.end)):
            raise AssertionError(f"a place that is no place: {step}")


def some(steps: Sequence[Step]) -> tuple[Step, ...]:
    """Return the first steps and the last; a cycle that repeats makes thousands that are alike."""
    return (*steps[:MOST_LOOKED_AT], *steps[max(MOST_LOOKED_AT, len(steps) - MOST_LOOKED_AT) :])


def shown(reading: Reading) -> object:
    """Return what the quick and the general way must have in common."""
    return len(reading.steps), some(reading.steps), reading.faults, reading.blocks, reading.ended
