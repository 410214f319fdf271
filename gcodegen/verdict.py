"""Verdicts: what a decision and a finding are, and the exit code they make.

A number that came from somewhere carries a ``Source``; a decision says value, limit, margin and why;
a finding says where in the program, what happens and what to do.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Verdict(StrEnum):
    """How a decision stands."""

    GOOD = "good"
    CAUTION = "caution"
    STOP = "stop"


class Severity(StrEnum):
    """How grave a finding is."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Source:
    """Where a number comes from: a published work and the place in it, or how it is known without one."""

    work: str
    place: str = ""

    def __str__(self) -> str:
        """Return the work and the place in one line."""
        return f"{self.work}, {self.place}" if self.place else self.work


COMMON_PRACTICE = Source("common practice, no source")
GEOMETRY = Source("geometry of the job itself")


def memory_of(work: str, place: str = "") -> Source:
    """Return the source of a value recalled, not looked up."""
    return Source(f"from memory of {work}", place)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """One decision of the design: ``margin`` is what is left to ``limit``, negative when it is broken.

    ``worst`` is the least margin within what is known of the measured lengths, ``chance`` how often it is below
    zero there; None where no length says how sure it is.
    """

    id: str
    what: str
    value: float | str | None
    limit: float | str | None = None
    margin: float | None = None
    unit: str = ""
    verdict: Verdict = Verdict.GOOD
    why: str = ""
    do: str = ""
    source: str = str(GEOMETRY)
    worst: float | None = None
    chance: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One finding of a dry run; ``line`` is the 1-based line of the text, ``block`` that line's text."""

    code: str
    severity: Severity
    line: int
    says: str
    do: str
    block: str = ""


def worst(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the gravest of the verdicts; good when there are none."""
    order = (Verdict.GOOD, Verdict.CAUTION, Verdict.STOP)
    return max(verdicts, key=order.index, default=Verdict.GOOD)
