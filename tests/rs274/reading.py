"""Short ways to read a fragment of a program and to write down what it should do."""

from __future__ import annotations

from gcodegen.rs274 import Kind, Machine, Motion, Point, Reading, read_program
from gcodegen.verdict import Severity

MILL_HEAD = "G21 G17 G90 G94 G54 G40 G49\nF100. S1000 M3\n"
LATHE_HEAD = "G21 G18 G90 G94 G54 G40\n"
LETTER = {Kind.RAPID: "T", Kind.FEED: "F", Kind.ARC: "C", Kind.THREAD: "S"}


def read_mill(text: str, at: tuple[float, ...] = (0, 0, 10), head: str = MILL_HEAD, **switches: object) -> Reading:
    """Read a mill fragment after the usual head, from ``at``, with M30 put after it."""
    start = Point(*at, *([0.0] * (4 - len(at))))
    return read_program(f"{head}{text}\nM30\n", Machine(start=start, **switches))  # type: ignore[arg-type]


def read_lathe(text: str, at: tuple[float, float] = (40, 2), **switches: object) -> Reading:
    """Read a lathe fragment after a head, from (diameter, Z), with M30 put after it."""
    machine = Machine(lathe=True, start=Point(at[0], 0, at[1], 0), **switches)  # type: ignore[arg-type]
    return read_program(f"{LATHE_HEAD}{text}\nM30\n", machine)


def motions(reading: Reading) -> list[Motion]:
    """Return the motions alone."""
    return [step for step in reading.steps if isinstance(step, Motion)]


def path(reading: Reading) -> list[tuple[str, float, float, float]]:
    """Return each motion as its letter (T traverse, F feed, C arc, S thread) and its end."""
    return [(LETTER[m.kind], *(round(value, 6) for value in m.end[:3])) for m in motions(reading)]  # type: ignore[misc]


def stops(reading: Reading) -> list[str]:
    """Return the codes of the faults that say stop."""
    return [fault.code for fault in reading.faults if fault.severity is Severity.STOP]


def codes(reading: Reading) -> list[str]:
    """Return the codes of all faults."""
    return [fault.code for fault in reading.faults]
