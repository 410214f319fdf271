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
    text = _text(program)
    name = "standard input" if program == STANDARD_INPUT else program.name
    decided = design(job)
    hole = next((number for stem, number in HOLE_STEMS.items() if program.name.startswith(f"{stem}.")), None)
    only = hole if on == "mill" else None
    return decided, dry_run(text, decided.job, on, name, only_hole=only, progress=progress)


def _text(program: Path) -> str:
    try:
        if program == STANDARD_INPUT:
            return sys.stdin.buffer.read(LARGEST_PROGRAM).decode("utf-8", errors="surrogateescape")
        if program.stat().st_size > LARGEST_PROGRAM:
            raise ProgramError(
                f"larger than {LARGEST_PROGRAM // 1_000_000} MB", where=str(program), do="Give a program file"
            )
        return program.read_bytes().decode("utf-8", errors="surrogateescape")
    except OSError as error:
        says, do = why_unread(program, error)
        raise ProgramError(says, where=str(program), do=do) from error
