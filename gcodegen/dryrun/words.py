"""What a line of a program says to the machine: its words without comments, as checks of the bare text want them."""

from __future__ import annotations

import re

_COMMENT = re.compile(r"\([^)\n]*\)|;[^\n]*")
_BLANK = re.compile(r"[ \t]")


def words_of(text: str) -> str:
    """Return a line, or several, in capitals, without blanks and without comments of either form."""
    return _BLANK.sub("", _COMMENT.sub("", text)).upper()
