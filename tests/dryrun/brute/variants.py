"""The shipped jobs put in every shipped dialect: which differ, and what is made of each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from gcodegen.job.dialect import DIALECTS
from tests.dryrun.generated import GOOD_JOBS, Made, edited, made

_BY_HAND: Final = {"mill.rotary": "by hand", "mill.tool_change": "by hand", "mill.tapping": "by hand"}
_ROUND: Final = {"lathe.edge": "round"}


def _words(dialect: str) -> dict[str, Any]:
    """Return the changes that put a job in a dialect; the operator turns, changes and taps where he does all."""
    by_hand = _BY_HAND if DIALECTS[dialect].all_by_hand else {}
    return {"mill.dialect": dialect, "lathe.dialect": dialect, **by_hand}


CHANGES: Final[dict[str, dict[str, Any]]] = {
    "as shipped": {},
    **{dialect: _words(dialect) for dialect in DIALECTS},
    "plain, edge rounded": _words("plain") | _ROUND,
    "radius lathe, edge rounded": _words("radius lathe") | _ROUND,
}
"""What is changed in a shipped job for each dialect; arcs come with a rounded edge alone."""


@dataclass(frozen=True)
class Variant:
    """One job in one dialect, for one machine."""

    job: str
    dialect: str
    on: str

    @property
    def name(self) -> str:
        """Both, and the machine."""
        return f"{self.job}, {self.dialect}, {self.on}"

    @property
    def made(self) -> Made:
        """Return its design and its programs."""
        return in_dialect(self.job, self.dialect)

    @property
    def text(self) -> str:
        """Return its program."""
        return self.made.mill if self.on == "mill" else self.made.lathe


@cache
def in_dialect(job: str, dialect: str) -> Made:
    """Return what is made of a shipped job in a dialect."""
    return made(edited(CHANGES[dialect], job))


_SAME: Final = {
    "mill": {"radius lathe", "plain, edge rounded", "radius lathe, edge rounded"},
    "lathe": {"operator does all"},
}
"""Dialects whose words for one machine are another dialect's."""


def variants() -> tuple[Variant, ...]:
    """Return every job in every dialect for both machines, where the dialect has words of its own."""
    return tuple(
        Variant(job, dialect, on)
        for on, same in _SAME.items()
        for job in GOOD_JOBS
        for dialect in CHANGES
        if dialect not in same
    )
