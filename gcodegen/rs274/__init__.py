"""The reader of plain RS-274 words: text in, steps and faults out; it knows no job and no post.

The language is that of NISTIR 6556, with lathe words of ISO 6983-1. ``read_program`` (reader) takes any text: a line is
cut into words (scan, tokens), words become a checked block (blocks), a block is carried out in the order of the report
(execute) on the modes in force (state), and what it does is a list of steps (motions, steps). Arcs, cycles and offsets
have files of their own (arcs, cycles, bores, offsets). What a text cannot say about its machine comes in from outside
(machine, forms). Every fault has its row (faults). Plain lines, nearly all of a long program, go a short way (quick)
that gives the same.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from gcodegen.rs274.faults import FAULTS, FaultKind
from gcodegen.rs274.machine import Machine, Reading
from gcodegen.rs274.motions import (
    Arc,
    Dwell,
    End,
    FeedUnit,
    Kind,
    Motion,
    Point,
    SpindleChange,
    State,
    Step,
    Stop,
    ToolChange,
    Turning,
)
from gcodegen.rs274.refusal import Fault

if TYPE_CHECKING:
    from gcodegen.rs274.reader import read_program, read_steps

__all__ = [
    "FAULTS",
    "Arc",
    "Dwell",
    "End",
    "Fault",
    "FaultKind",
    "FeedUnit",
    "Kind",
    "Machine",
    "Motion",
    "Point",
    "Reading",
    "SpindleChange",
    "State",
    "Step",
    "Stop",
    "ToolChange",
    "Turning",
    "read_program",
    "read_steps",
]


def __getattr__(name: str) -> object:
    """Load the reader itself when it is first asked for: a job names its machine's words and reads no program."""
    if name in ("read_program", "read_steps"):
        from gcodegen.rs274 import reader

        return getattr(reader, name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
