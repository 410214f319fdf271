"""Block numbers that tell an operator's stop apart, for a program whose texts are left out.

Nothing but M0 would stand there, so its N word says what the stop is for: five digits, the kind (9 turn the work, 8
tap by hand, 7 look), the stop's count in two digits, the hole's number in two. N90302 is the third stop: turn the
work to hole 2. Numbers of other blocks stay below all of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum
from typing import Final

FIRST_MARK: Final = 70_000
_PART: Final = 100


class StopKind(IntEnum):
    """What the operator is to do."""

    LOOK = 7
    TAP = 8
    INDEX = 9


@dataclass(frozen=True, slots=True)
class StopMark:
    """A stop told by its block number: its kind, which of all it is (from 1), and the hole's number."""

    kind: StopKind
    count: int
    hole: int

    @property
    def word(self) -> str:
        """The N word."""
        return f"N{self.kind * _PART * _PART + self.count * _PART + self.hole}"


def read_mark(number: int) -> StopMark | None:
    """Return what a block number tells of a stop; None for that of any other block."""
    if not FIRST_MARK <= number < 10 * _PART * _PART:
        return None
    kind, rest = divmod(number, _PART * _PART)
    return StopMark(StopKind(kind), *divmod(rest, _PART))
