"""What can go wrong, as one small family.

GcodegenError           wrong input or a wrong call: exit code 2, nothing written
    JobError            the job file: all its problems at once
    ProgramError        a program file that cannot be read at all
    ReadingError        indicator readings
    TemplateError       post templates: missing, wrong, or asking too much
    OutputError         a file or folder that cannot be written
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

STANDARD_INPUT: Final = Path("-")
"""In a file's place on the command line: what comes in on standard input."""


def harmless(text: str) -> str:
    """Return text in which nothing steers a terminal: what cannot be printed is shown by its number."""
    return "".join(c if c.isprintable() or c == "\n" else f"\\x{ord(c):02x}" for c in text)


class GcodegenError(Exception):
    """What is wrong, where, by how much, what to do; its text is harmless on a terminal."""

    def __init__(self, what: str, *, where: str = "", do: str = "") -> None:
        text = ": ".join(part for part in (where, what) if part)
        if do:
            end = "" if text.endswith("?") else "."
            text = f"{text.rstrip('.')}{end} {do.rstrip('.')}."
        super().__init__(harmless(text))
        self.what = what
        self.where = where
        self.do = do


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong with a job file.

    ``key`` is the dotted path as the file spells it (``mill.tool[2].diameter``), ``read`` what stood
    there, ``allowed`` what may stand there, ``do`` the cure. ``line`` and ``column`` count from 1; None: no place
    in the file has to do with it.
    """

    key: str
    says: str
    read: str = ""
    allowed: str = ""
    do: str = ""
    line: int | None = None
    column: int | None = None

    def __str__(self) -> str:
        """Return the problem as one line of plain text."""
        parts = [f"{self.key}: {self.says.rstrip('.')}" if self.key else self.says.rstrip(".")]
        if self.read:
            parts.append(f"read {self.read}")
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.do:
            parts.append(self.do.rstrip("."))
        text = f"{self.place}{'; '.join(parts)}"
        return text if text.endswith("?") else f"{text}."

    @property
    def place(self) -> str:
        """The place in the file, as it stands before the problem: "line 9, column 1: ", or nothing."""
        return "" if self.line is None else f"line {self.line}, column {self.column}: "


class JobError(GcodegenError):
    """The job file is wrong; ``problems`` holds every one that was found, ``perhaps`` the one slip behind them."""

    def __init__(self, problems: Sequence[Problem], *, where: str = "", perhaps: Sequence[Problem] = ()) -> None:
        self.problems = tuple(problems)
        self.perhaps = tuple(perhaps)
        told = [*map(str, self.problems), *(f"Perhaps one slip: {p}" for p in self.perhaps)]
        super().__init__(self.count + "".join(f"\n  {line}" for line in told), where=where)

    @property
    def count(self) -> str:
        """How many things there are to put right, in words."""
        count = len(self.problems)
        return f"{count} thing{'s' if count != 1 else ''} to put right"


class ProgramError(GcodegenError):
    """A program file cannot be read."""


class ReadingError(GcodegenError):
    """Indicator readings cannot be used."""


class TemplateError(GcodegenError):
    """A post template is missing or wrong; no file is written then."""

    def __init__(self, what: str, *, where: str = "", do: str = "") -> None:
        super().__init__(what, where=where, do=f"{do.rstrip('.') or 'Put the template right'}. Nothing was written")


class OutputError(GcodegenError):
    """A file or folder cannot be written."""
