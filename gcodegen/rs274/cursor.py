"""The signs of one line, read one after the other, each with its column."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final, TypeAlias

LookUp: TypeAlias = Callable[[int], float]

BLANKS: Final = " \t"
# Plain letters and [0-9] only: other alphabets' letters and digits are no signs of this language.
LETTERS: Final = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
_RAISED: Final = str.maketrans("abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ", BLANKS)
COMMENT: Final = "("
# What is matched is never taken back (the + after each repeat), so time is linear on any text.
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]++\.?+[0-9]*+|\.[0-9]++)")


class Cursor:
    """The signs of a line without the blanks outside comments, and the place that is read next."""

    def __init__(self, raw: str, look_up: LookUp) -> None:
        self.look_up = look_up
        self.comments: list[str] = []
        self.signs, self.columns = self._clean(raw)
        self.place = 0

    def _clean(self, raw: str) -> tuple[str, list[int]]:
        """Return the signs and their columns; each comment is a single "(", its text goes to ``comments``."""
        if COMMENT not in raw:
            columns = [column for column, sign in enumerate(raw, 1) if sign not in BLANKS]
            return raw.translate(_RAISED), [*columns, len(raw) + 1]
        return self._clean_of_comments(raw)

    def _clean_of_comments(self, raw: str) -> tuple[str, list[int]]:
        signs: list[str] = []
        columns: list[int] = []
        closed = f"{raw})"
        at = 0
        while at < len(raw):
            if raw[at] not in BLANKS:
                signs.append(raw[at])
                columns.append(at + 1)
                if raw[at] == COMMENT:
                    close = closed.index(")", at)
                    self.comments.append(raw[at + 1 : close])
                    at = close
                    if close == len(raw):
                        signs.append("\n")  # no line holds one: the mark of a comment left open
                        columns.append(len(raw))
            at += 1
        return "".join(signs).translate(_RAISED), [*columns, len(raw) + 1]

    @property
    def sign(self) -> str:
        """Return the sign that comes next, "" at the end."""
        return self.signs[self.place : self.place + 1]

    @property
    def column(self) -> int:
        """Return the column of the sign that comes next."""
        return self.columns[self.place]

    def take(self, text: str) -> bool:
        """Pass over ``text`` where it comes next, and say whether it did."""
        if self.signs.startswith(text, self.place):
            self.place += len(text)
            return True
        return False

    def digits(self) -> str:
        """Pass over a number and return it as written, "" where none comes next (section 3.3.2.1)."""
        found = _NUMBER.match(self.signs, self.place)
        if found is None:
            return ""
        self.place = found.end()
        return found[0]
