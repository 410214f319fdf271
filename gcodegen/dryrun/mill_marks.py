"""Stops whose text is left out by the dialect: their block number tells what they are for."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import assert_never

from gcodegen.dryrun.mill_setup import MillSetup
from gcodegen.job.stop_marks import StopKind, StopMark, read_mark
from gcodegen.rs274.motions import Stop

_NUMBER = re.compile(r"\s*/?\s*N\s*0*(\d{5})(?!\d)", re.IGNORECASE)


def told_stop(stop: Stop, line: str, setup: MillSetup) -> Stop:
    """Return a stop with the text that its block number stands for; as it is where it has a text, or no such number.

    Only where the job's dialect leaves texts out: in any other program a number means nothing.
    """
    if stop.message.strip() or setup.job.mill.dialect.comments != "left out":
        return stop
    found = _NUMBER.match(line)
    mark = read_mark(int(found[1])) if found else None
    return stop if mark is None else replace(stop, message=_text(mark, setup))


def _text(mark: StopMark, setup: MillSetup) -> str:
    match mark.kind:
        case StopKind.INDEX:
            index = next((place.index for place in setup.places if place.number == mark.hole), None)
            # A number that names no hole gives no angle, and is found to give none.
            return f"INDEX WORK TO HOLE, {mark.word}" if index is None else f"INDEX WORK TO {index:.6f}"
        case StopKind.TAP:
            return f"TAP HOLE {mark.hole} BY HAND"
        case StopKind.LOOK:
            return f"LOOK AT HOLE {mark.hole}"
        case _:
            assert_never(mark.kind)
