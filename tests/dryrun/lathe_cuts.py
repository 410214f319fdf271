"""Strokes of a lathe's tool made by hand, for what is judged of one move by itself."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from gcodegen.dryrun.lathe_codes import LATHE_CODES
from gcodegen.dryrun.lathe_path import Stroke, strokes
from gcodegen.dryrun.notebook import Notebook
from gcodegen.rs274.motions import Arc, FeedUnit
from tests.dryrun.machine_steps import feed_move

KINDS = {row.code: row for row in LATHE_CODES}
Place = tuple[float, float]
"""X, a diameter, and Z, mm."""


def stroke(start: Place, end: Place, *, first: bool = False, arc: Arc | None = None, **changes: Any) -> Stroke:
    """Return a cut at 0.1 mm a turn and 500 rev/min; ``first`` where its beginning is only taken for granted."""
    usual: dict[str, Any] = {"feed": 0.1, "feed_unit": FeedUnit.PER_TURN, "arc": arc}
    motion = feed_move((start[0], 0.0, start[1]), (end[0], 0.0, end[1]), **usual | changes)
    (made,) = strokes((motion,))
    return replace(made, from_start=first)


def empty_book() -> Notebook:
    """Return a notebook that knows the lathe's kinds of finding."""
    return Notebook((), KINDS)
