"""Read a whole program: lines, percent lines, the end, and what the operator is told at a stop."""

from __future__ import annotations

import heapq
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import partial
from operator import attrgetter
from typing import Final

from gcodegen.rs274.blocks import read_block
from gcodegen.rs274.cursor import BLANKS, LookUp
from gcodegen.rs274.execute import execute
from gcodegen.rs274.forms import published_line, without_number
from gcodegen.rs274.machine import Machine, Reading
from gcodegen.rs274.motions import Step
from gcodegen.rs274.parameters import look_up
from gcodegen.rs274.quick import is_plain, quick_move, remark
from gcodegen.rs274.refusal import Fault, FaultList
from gcodegen.rs274.state import Modes

MOST_LINES: Final = 2_000_000
MOST_STEPS: Final = 8_000_000  # that are kept at once
# Cycles make many steps of one line. So many are free, and so many more for each line read, so that a short text
# can never stand for hours of work or fill the memory.
FREE_STEPS: Final = 50_000
STEPS_A_LINE: Final = 20
CHUNK: Final = 1 << 16  # characters cut into lines at once, and on to the end of the line


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
    if (count := text.count("\n")) > MOST_LINES:
        return _too_many_lines(text, count)
    run = _Run(Modes(machine))
    for line, lines in _chunks(text):
        _take(run, lines, line)
    _judge_end(run)
    modes = run.modes
    faults = modes.faults.listed()
    return Reading(blocks=run.blocks, steps=modes.steps, faults=faults, ended=run.ended, text=text)


def read_steps(text: str, machine: Machine) -> Iterator[Step | Fault]:
    """Yield the steps of a program and its faults in the order of their lines, without keeping them.

    The same as ``read_program``, for programs too long to hold; of each kind of fault as many are given as
    that lists. There is no limit to the lines.
    """
    run = _Run(Modes(machine))
    steps, faults = run.modes.steps, run.modes.faults
    for line, lines in _chunks(text):
        _take(run, lines, line)
        yield from heapq.merge(steps, faults.taken(), key=attrgetter("line"))
        run.given += len(steps)
        steps.clear()
        run.modes.again = None  # it goes by steps that were there
    _judge_end(run)
    yield from faults.taken()


@dataclass(slots=True)
class _Run:
    """How far reading has come. Lines are counted from 1; ``after`` is the first line after the end, 0: none.

    ``wrapped`` is true when the program stands between percent lines, ``closed`` when it met the second one;
    ``numbered`` when it met the program's number; ``over`` when no more lines are carried out, ``given_up`` when
    that is for the number of steps alone; ``given`` counts the steps that were handed on and are no longer held.
    """

    modes: Modes
    given: int = 0
    blocks: int = 0
    told: list[str] = field(default_factory=list)
    begun: bool = False
    numbered: bool = False
    wrapped: bool = False
    closed: bool = False
    over: bool = False
    ended: bool = False
    given_up: bool = False
    after: int = 0
    last: int = 1
    look_up: LookUp = field(init=False)

    def __post_init__(self) -> None:
        self.look_up = partial(look_up, self.modes)


def _chunks(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield the lines of a text, some hundreds at once, with the number of the first of them."""
    length = len(text.removesuffix("\n"))
    begin, line = 0, 1
    while begin <= length:
        end = text.find("\n", begin + CHUNK, length)
        if end == -1:
            end = length
        part = text[begin:end]
        lines = part.split("\n")
        yield line, [raw.removesuffix("\r") for raw in lines] if "\r" in part else lines
        begin, line = end + 1, line + len(lines)


def _take(run: _Run, lines: list[str], first: int) -> None:
    """Carry out some lines, the first of which has the given number.

    A plain move begins no program: the unit must be stated before, on a line of another kind.
    """
    modes, told = run.modes, run.told
    moves, plain = 0, is_plain(modes)
    if modes.machine.semicolon_comments:
        lines = [published_line(raw) for raw in lines]
    for line, raw in enumerate(lines, first):
        if run.over:
            _take_after(run, raw.strip(BLANKS), line)
        elif plain and quick_move(modes, raw, line):
            moves += 1
            if told:
                told.clear()
            if modes.again:
                _limit_steps(run, line)
        elif raw and (bare := raw.strip(BLANKS)):
            _take_line(run, raw, bare, line)
            plain = is_plain(modes)
    run.blocks += moves
    run.last = first + len(lines) - 1


def _take_line(run: _Run, raw: str, bare: str, line: int) -> None:
    """Carry out one line that is not blank."""
    modes, begun = run.modes, run.begun
    run.begun = True
    if bare == "%" and not begun:
        run.wrapped = True
        return
    if bare == "%" and run.wrapped:
        run.over = run.closed = True
        says = "the program ends at its percent line: modes and spindle stay as they are"
        modes.faults.add("ended-by-percent", says, line=line)
        return
    if text := remark(modes, raw):
        run.told.append(text)
        return
    if modes.machine.program_number and not run.blocks and not run.numbered:
        raw, whole = without_number(raw), raw
        run.numbered = raw is not whole
    block = read_block(raw, line, modes.machine, modes.faults, run.look_up)
    if block is None:
        run.blocks += 1
        run.told.clear()
        return
    skipped = block.deleted and modes.machine.block_delete
    if not block.words and not block.codes and not block.settings:
        if block.comment and not skipped:
            run.told.append(block.comment)
        return
    run.blocks += 1
    message = block.comment or (" ".join(run.told) if run.told else "")
    run.told.clear()
    if not skipped:
        if block.computes:
            _note_computing(modes, line)
        run.ended = run.over = execute(modes, block, message)
        _limit_steps(run, line)


def _limit_steps(run: _Run, line: int) -> None:
    """Give up where the steps are far more than the lines can mean."""
    held = len(run.modes.steps)
    most = min(FREE_STEPS + STEPS_A_LINE * line - run.given, MOST_STEPS)
    if held > most:
        says = f"{run.given + held} steps by this line, {run.given + most} are followed at most; reading stops here"
        run.modes.faults.add("too-many-steps", says, line=line)
        run.over = run.given_up = True


def _note_computing(modes: Modes, line: int) -> None:
    if not modes.computes:
        modes.computes = True  # said once
        says = "the program computes its numbers; another machine may lack parameters, or reckon otherwise"
        modes.faults.add("computed-number", says, line=line)


def _take_after(run: _Run, bare: str, line: int) -> None:
    """Look at a line after the end of the program, which is not carried out."""
    if bare == "%" and run.wrapped and not run.closed:
        run.closed = True
    elif bare and not run.after:
        run.after = line


def _judge_end(run: _Run) -> None:
    """Note what is wrong with the end of the text (NISTIR 6556, section 3.1)."""
    faults = run.modes.faults
    if run.given_up:
        return
    if not run.over:
        what = "no second percent line and no M2 or M30" if run.wrapped else "no M2 or M30"
        faults.add("no-end", f"the text ends and {what} was met", line=run.last)
    elif run.wrapped and not run.closed:
        says = "the text begins with a percent line and has no second one"
        faults.add("no-end", says, line=run.last)
    if run.after:
        faults.add("text-after-end", "text after the end of the program is never run", line=run.after)


def _too_many_lines(text: str, lines: int) -> Reading:
    faults = FaultList()
    says = f"the text has {lines} lines, {MOST_LINES} are read at most; none was read"
    faults.add("too-many-lines", says, line=1)
    first = text[: text.index("\n")]
    return Reading(blocks=0, steps=(), faults=faults.listed(), ended=False, text=first)
