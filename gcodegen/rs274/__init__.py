"""The reader of plain RS-274 words: text in, steps and faults out; it knows no job and no post."""

from __future__ import annotations

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
from gcodegen.rs274.reader import read_program, read_steps
from gcodegen.rs274.refusal import Fault

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
