"""The offset that a lathe's tool word names: on the set-up sheet it has the tool's own number."""

from __future__ import annotations

import re
from bisect import bisect_right
from typing import NamedTuple

from gcodegen.dryrun.notebook import Notebook
from gcodegen.dryrun.words import words_of
from gcodegen.job import Job
from gcodegen.rs274.machine import Reading
from gcodegen.rs274.motions import Motion

_TOOL = re.compile(r"T([0-9]+)(?:\.0*)?(?![0-9.])")
_OFFSET = re.compile(r"D([0-9]+)(?:\.0*)?(?![0-9.])")
_DIGITS = 100  # T0301: tool 3, offset 1


class _Named(NamedTuple):
    """A line with a tool word: the tool, and the offset it names; None: it names none, 0: it takes it away."""

    line: int
    tool: int
    offset: int | None


def check_offsets(reading: Reading, job: Job, book: Notebook) -> None:
    """Report moves made under another offset than the tool's own, where the job's tool word names offsets."""
    form = job.lathe.dialect.tool_word
    if form == "tool alone":
        return
    named = [found for line, text in enumerate(reading.lines, start=1) if (found := _named(line, text, form))]
    lines = [one.line for one in named]
    told: set[int] = set()
    for step in reading.steps:
        if not isinstance(step, Motion) or step.state.machine_coordinates or not lines or step.line < lines[0]:
            continue
        one = named[bisect_right(lines, step.line) - 1]
        if one.tool in (0, one.offset) or one.line in told:
            continue
        told.add(one.line)
        what = {None: "no offset", 0: "its offset taken away"}.get(one.offset, f"offset {one.offset}")
        says = f"tool {one.tool} moves with {what}; the set-up sheet measures it in offset {one.tool}"
        own = f"T{one.tool:02}{one.tool:02}" if form == "tool and offset" else f"T{one.tool} D{one.tool}"
        book.add("lathe-wrong-offset", one.line, says, f"Write {own}.")


def _named(line: int, text: str, form: str) -> _Named | None:
    words = words_of(text)
    tool = _TOOL.search(words)
    if tool is None or words.startswith("/"):
        return None
    number = int(tool[1])
    if form == "tool and offset":
        return _Named(line, number // _DIGITS, number % _DIGITS)
    offset = _OFFSET.search(words)
    return _Named(line, number, int(offset[1]) if offset else None)
