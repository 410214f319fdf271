"""Checks a program file against a job: the job's design, and the dry run of the text."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Literal, TypeAlias

from gcodegen.design import Design, design
from gcodegen.dryrun.report import Report
from gcodegen.dryrun.run import Progress, dry_run
from gcodegen.errors import STANDARD_INPUT, ProgramError
from gcodegen.job import Job
from gcodegen.unread import why_unread

Machine: TypeAlias = Literal["mill", "lathe"]
LARGEST_PROGRAM = 64_000_000
HOLE_STEMS = {f"mill-hole-{number}": number for number in range(1, 5)}
"""The programs of single holes, by the stems of their files."""


def check_program(job: Job, program: Path, on: Machine, progress: Progress | None = None) -> tuple[Design, Report]:
    """Return the design of a job and the dry run of a program file against it.

    A file that is named like the program of a single hole is held to that hole alone. ``progress`` is told which
    part of the dry run is done, 0 to 1.

    Raises
    ------
    ProgramError
        When the file cannot be read at all; a text that makes no sense is a finding instead.
    """
    text = program_text(program)
    name = "standard input" if program == STANDARD_INPUT else program.name
    decided = design(job)
    only = single_hole(program.name, on)
    return decided, dry_run(text, decided.job, on, name, only_hole=only, progress=progress)


def program_text(program: Path) -> str:
    """Return the text of a program file, from whatever hand; bytes that are no text come through as they are.

    Raises
    ------
    ProgramError
        When it cannot be read, is no plain file, or is far too large.
    """
    where = str(program)
    try:
        if program == STANDARD_INPUT:
            data = sys.stdin.buffer.read(LARGEST_PROGRAM + 1)
        elif program.exists() and not program.is_file() and not program.is_dir():  # a device may never end
            raise ProgramError("is not a plain file", where=where, do="Give the program's file")
        else:
            with program.open("rb") as file:
                data = file.read(LARGEST_PROGRAM + 1)
    except (OSError, ValueError) as error:
        says, do = why_unread(program, error)
        raise ProgramError(says, where=where, do=do) from error
    if len(data) > LARGEST_PROGRAM:
        raise too_large(where)
    return data.decode("utf-8", errors="surrogateescape")


def too_large(where: str) -> ProgramError:
    """Return what to say of a program that is longer than any that is read."""
    says = f"has more than {LARGEST_PROGRAM // 1_000_000} MB, the most that is read; none of it was judged"
    return ProgramError(says, where=where, do="Cut the program into parts, each with its own start and end")


def single_hole(name: str, on: Machine) -> int | None:
    """Return which hole the name of a program says that it cuts alone; None: all four."""
    if on != "mill":
        return None
    return next((number for stem, number in HOLE_STEMS.items() if name.startswith(f"{stem}.")), None)
