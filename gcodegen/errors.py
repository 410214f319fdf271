"""What can go wrong, as one small family.

GcodegenError           wrong input or a wrong call: exit code 2, nothing written
    JobError            the job file: all its problems at once
    ProgramError        a program file that cannot be read at all
    ReadingError        indicator readings
    TemplateError       post templates: missing, wrong, or asking too much
    OutputError         a file or folder that cannot be written
"""

from __future__ import annotations

from dataclasses import dataclass


class GcodegenError(Exception):
    """What is wrong, where, by how much, what to do."""

    def __init__(self, what: str, *, where: str = "", do: str = "") -> None:
        text = ": ".join(part for part in (where, what) if part)
        if do:
            text = f"{text.rstrip('.')}. {do.rstrip('.')}."
        super().__init__(text)
        self.what = what
        self.where = where
        self.do = do


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """One thing wrong with a job file.

    ``key`` is the dotted path as the file spells it (``mill.tool[2].diameter``), ``read`` what stood
    there, ``allowed`` what may stand there, ``do`` the cure.
    """

    key: str
    says: str
    read: str = ""
    allowed: str = ""
    do: str = ""

    def __str__(self) -> str:
        """Return the problem as one line of plain text."""
        parts = [f"{self.key}: {self.says.rstrip('.')}" if self.key else self.says.rstrip(".")]
        if self.read:
            parts.append(f"read {self.read}")
        if self.allowed:
            parts.append(f"allowed: {self.allowed}")
        if self.do:
            parts.append(self.do.rstrip("."))
        return "; ".join(parts) + "."


class JobError(GcodegenError):
    """The job file is wrong; ``problems`` holds every one that was found."""

    def __init__(self, problems: list[Problem], *, where: str = "") -> None:
        self.problems = tuple(problems)
        count = len(self.problems)
        head = f"{count} thing{'s' if count != 1 else ''} to put right"
        super().__init__(head + "".join(f"\n  {p}" for p in self.problems), where=where)


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
