"""Read a whole program: lines, percent lines, the end, and what the operator is told at a stop."""

from __future__ import annotations

from typing import Final

from gcodegen.rs274.blocks import read_block
from gcodegen.rs274.execute import execute
from gcodegen.rs274.forms import published_line
from gcodegen.rs274.machine import Machine, Reading
from gcodegen.rs274.refusal import FaultList
from gcodegen.rs274.state import Modes
from gcodegen.rs274.tokens import BLANKS

MOST_LINES: Final = 2_000_000
MOST_STEPS: Final = 4_000_000


def read_program(text: str, machine: Machine) -> Reading:
    """Read a program in plain RS-274 words; any text is taken, and what is wrong with it is in the answer.

    Parameters
    ----------
    text : str
        The program. Lines end with a line feed, with or without a carriage return before it.
    machine : Machine
        What the text cannot say.

    Returns
    -------
    Reading
        The steps in the order in which a machine acts, and every fault that was found. A line with a
        fault that stops it makes no motion.

    Notes
    -----
    The language is that of NISTIR 6556 (Kramer, Proctor, Messina, 2000), with the lathe words of
    ISO 6983-1 from memory of that publication.
    """
    if text.count("\n") > MOST_LINES:
        return _too_many_lines(text)
    lines = tuple(line.removesuffix("\r") for line in text.removesuffix("\n").split("\n"))
    first = next((place for place, line in enumerate(lines) if line.strip(BLANKS)), len(lines))
    wrapped = first < len(lines) and lines[first].strip(BLANKS) == "%"
    modes = Modes(machine)
    read = tuple(published_line(line, machine) for line in lines) if machine.own_lines else lines
    blocks, stopped_at, ended = _run(read, first + 1 if wrapped else first, wrapped, modes)
    if stopped_at is not None:
        _judge_end(lines, stopped_at, wrapped, ended, modes.faults)
    return Reading(blocks=blocks, steps=tuple(modes.steps), faults=modes.faults.listed(), ended=ended, lines=lines)


def _run(lines: tuple[str, ...], begin: int, wrapped: bool, modes: Modes) -> tuple[int, int | None, bool]:
    """Carry out the lines; return how many held words, where the program stopped, and whether by its end.

    Where is the place of the line, the number of lines when they ran out, None when reading was given up.
    """
    blocks = 0
    told: list[str] = []
    machine, faults = modes.machine, modes.faults
    for place in range(begin, len(lines)):
        raw = lines[place]
        if not raw or not raw.strip(BLANKS):
            continue
        if wrapped and raw.strip(BLANKS) == "%":
            return blocks, place, False
        block = read_block(raw, place + 1, machine, faults)
        if block is None:
            blocks += 1
            told.clear()
            continue
        if not block.words and not block.codes:
            if block.comment and not (block.deleted and machine.block_delete):
                told.append(block.comment)
            continue
        blocks += 1
        message = block.comment or " ".join(told)
        told.clear()
        if block.deleted and machine.block_delete:
            continue
        if execute(modes, block, message):
            return blocks, place, True
        if len(modes.steps) > MOST_STEPS:
            faults.add("too-many-steps", f"more than {MOST_STEPS} steps; reading stops here", line=place + 1)
            return blocks, None, False
    return blocks, len(lines), False


def _judge_end(lines: tuple[str, ...], stopped_at: int, wrapped: bool, ended: bool, faults: FaultList) -> None:
    """Note what is wrong with the end of the text (NISTIR 6556, section 3.1)."""
    rest = [(place, line.strip(BLANKS)) for place, line in enumerate(lines[stopped_at + 1 :], stopped_at + 1)]
    rest = [(place, line) for place, line in rest if line]
    if ended and wrapped:
        closing = next((item for item in rest if item[1] == "%"), None)
        if closing is None:
            says = "the text begins with a percent line and has no second one"
            faults.add("no-end", says, line=len(lines))
        rest = [item for item in rest if item is not closing]
    elif not ended and stopped_at >= len(lines):
        what = "no second percent line and no M2 or M30" if wrapped else "no M2 or M30"
        faults.add("no-end", f"the text ends and {what} was met", line=max(1, len(lines)))
    elif not ended:
        says = "the program ends at its percent line: modes and spindle stay as they are"
        faults.add("ended-by-percent", says, line=stopped_at + 1)
    if rest:
        faults.add("text-after-end", "text after the end of the program is never run", line=rest[0][0] + 1)


def _too_many_lines(text: str) -> Reading:
    faults = FaultList()
    says = f"the text has more than {MOST_LINES} lines; none was read"
    faults.add("too-many-lines", says, line=1)
    first = text[: text.index("\n")].removesuffix("\r")
    return Reading(blocks=0, steps=(), faults=faults.listed(), ended=False, lines=(first,))
