"""What a person types in a talk: the keys that go back, end and help, and numbers with a decimal comma.

The talk for a new job file and the one at the lathe take the same keys. Files are stricter: there a comma is refused.
"""

from __future__ import annotations

import re

BACK = frozenset({"<", "b", "back"})
QUIT = frozenset({"q", "quit", "end"})
HELP = "?"
KEYS = "< (or b) goes back to the question before, q (or Ctrl-C) ends"

_COMMA = re.compile(r"(?P<whole>[+-]?\d{0,6}),(?P<part>\d{1,6})(?P<unit>\s*(?:mm|cm|in|inch|inches|\"|lbs?|hp)?)", re.I)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:,\d{3})+(?!\d)")


def goes_back(typed: str) -> bool:
    """Return whether the person wants the question before."""
    return typed.strip().lower() in BACK


def ends(typed: str) -> bool:
    """Return whether the person wants no more."""
    return typed.strip().lower() in QUIT


def with_point(typed: str) -> str:
    """Return a typed number with a decimal point for its comma; all else as it is.

    Raises
    ------
    ValueError
        When the comma may part thousands: 1,250 is 1250 to some and 1.25 to others.
    """
    if _THOUSANDS.match(typed.strip()):
        few = typed.strip().replace(",", ".", 1) if typed.count(",") == 1 else ""
        says = f"may mean {typed.strip().replace(',', '')}" + (f" or {few}" if few else "")
        raise ValueError(f"{says}; write it with a point, or with no sign in it")
    found = _COMMA.fullmatch(typed.strip())
    if not found:
        return typed
    whole = found["whole"] if found["whole"][-1:].isdigit() else f"{found['whole']}0"
    return f"{whole}.{found['part']}{found['unit']}"
