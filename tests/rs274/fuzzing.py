"""What must hold of any text, whoever wrote it: shared by the fuzzer and by the tests of its finds."""

from __future__ import annotations

import math

from gcodegen.rs274 import Machine, Motion, Point, read_program

HOME = Point(300.0, 0.0, 300.0, 0.0)
CLAMPS = ("none", "G92 S", "G50 S")


def machine_of(switches: int) -> Machine:
    """Return the machine whose switches are the bits of a byte."""
    known = bool(switches & 32)
    return Machine(
        lathe=bool(switches & 1),
        block_delete=bool(switches & 2),
        speed_clamp=CLAMPS[(switches >> 2) % 3],
        longest_line=10_000 if switches & 16 else 256,
        origins={1: HOME, 2: Point(1.0, 2.0, 3.0, 4.0)} if known else {},
        tool_lengths={1: 50.0, 2: 75.0} if known else {},
        home=HOME if known else None,
        second_home=HOME if known else None,
        parameters={1: 1.5, 2: 0.0} if known else {},
    )


def read_bytes(data: bytes) -> None:
    """Read the text after the first byte and check what holds of every reading."""
    if not data:
        return
    text = data[1:].decode("utf-8", "surrogateescape")
    reading = read_program(text, machine_of(data[0]))
    last = max(1, len(reading.lines))
    for fault in reading.faults:
        if not (1 <= fault.line <= last and fault.column >= 1):
            raise AssertionError(f"a fault outside the text: {fault}")
    for step in reading.steps:
        if not 1 <= step.line <= last:
            raise AssertionError(f"a step outside the text: {step}")
        if isinstance(step, Motion) and not all(math.isfinite(value) for value in (*step.start, *step.end)):
            raise AssertionError(f"a place that is no place: {step}")
