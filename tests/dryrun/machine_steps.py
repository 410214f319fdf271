"""What the checks of a machine say of short texts, and of steps made by hand that no text gives."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from gcodegen.dryrun.machine import check_machine
from gcodegen.dryrun.machine_codes import MACHINE_CODES
from gcodegen.dryrun.notebook import Notebook
from gcodegen.job import Lathe, Mill
from gcodegen.rs274 import Machine, Reading, read_program
from gcodegen.rs274.motions import FeedUnit, Kind, Motion, Point, State, Step, Turning
from tests.dryrun.mill_jobs import AUTOMATIC

KINDS = {row.code: row for row in MACHINE_CODES}
MILL, LATHE = AUTOMATIC.mill, AUTOMATIC.lathe  # 100 to 4000 rev/min and 1200 mm/min; 60 to 2000, and 800
HEAD = "G21 G90 G54\n"
Found = list[tuple[int, str]]


def state(**changes: Any) -> State:
    """Return a state of 500 rev/min and a feed per minute, with changes."""
    usual: dict[str, Any] = {
        "tool": 1,
        "tool_length_offset": 0,
        "spindle": Turning.CLOCKWISE,
        "speed_rpm": 500.0,
        "surface_m_min": None,
        "clamp_rpm": None,
        "feed_unit": FeedUnit.PER_MINUTE,
        "system": "G54",
        "offsets_unknown": False,
        "machine_coordinates": False,
    }
    return State(**usual | changes)


def feed_move(start: tuple[float, float, float], end: tuple[float, float, float], **changes: Any) -> Motion:
    """Return a feed of 100 on line 2; names of a motion's fields are its own, all others its state's."""
    own = {key: changes.pop(key) for key in list(changes) if key in Motion._fields}
    usual: dict[str, Any] = {"line": 2, "kind": Kind.FEED, "feed": 100.0, "state": state(**changes)}
    return Motion(start=Point(*start, 0.0), end=Point(*end, 0.0), **usual | own)


def found_in(
    steps: Sequence[Step], machine: Mill | Lathe, text: str = HEAD, cutting: frozenset[int] | None = None
) -> Found:
    """Return line and code of what is found in steps."""
    reading = Reading(blocks=1, steps=tuple(steps), faults=(), ended=True, text=text)
    return _found(reading, machine, "mm", cutting)


def found_on(machine: Mill | Lathe, text: str, unit: str = "mm") -> Found:
    """Return line and code of what is found in a text, which must read without a fault."""
    reading = read_program(text, Machine(lathe=isinstance(machine, Lathe), speed_clamp="G92 S"))
    assert reading.faults == ()
    return _found(reading, machine, unit, None)


def _found(reading: Reading, machine: Mill | Lathe, unit: str, cutting: frozenset[int] | None) -> Found:
    book = Notebook(reading.lines, KINDS)
    check_machine(reading, machine, unit, book, cutting)
    return [(finding.line, finding.code) for finding in book.findings]
