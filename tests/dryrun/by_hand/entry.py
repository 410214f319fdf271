"""One edit of a program as a person makes it: what it is for, and what must come of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from gcodegen.verdict import Severity
from tests.dryrun.harm import every, nth, section, sub, swap

Edit = Callable[[str], str]

__all__ = ["Edit", "Entry", "every", "harmful", "harmless", "nth", "section", "sub", "swap", "wants_a_look"]


@dataclass(frozen=True)
class Entry:
    """An edit of one altered job's program; ``code`` is of a finding that must come of it, "" where no stop may."""

    job: str
    on: str
    code: str
    edit: Edit
    severity: Severity = Severity.STOP

    @property
    def name(self) -> str:
        """The edit's name, with its job."""
        return f"{self.edit.__name__}, {self.job}"


def harmful(entries: list[Entry], job: str, on: str, code: str) -> Callable[[Edit], Edit]:
    """Enter an edit of which this stop must come."""

    def enter(edit: Edit) -> Edit:
        entries.append(Entry(job, on, code, edit))
        return edit

    return enter


def harmless(entries: list[Entry], job: str, on: str) -> Callable[[Edit], Edit]:
    """Enter an edit of which no stop may come."""
    return harmful(entries, job, on, "")


def wants_a_look(entries: list[Entry], job: str, on: str, code: str) -> Callable[[Edit], Edit]:
    """Enter an edit of which this caution must come, and no stop."""

    def enter(edit: Edit) -> Edit:
        entries.append(Entry(job, on, code, edit, Severity.CAUTION))
        return edit

    return enter
