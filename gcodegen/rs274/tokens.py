"""From the characters of one line to its words.

Two readers of the same rules (NISTIR 6556, section 3.3): ``split_line`` is quick and only knows good lines
that compute nothing; ``read_line`` hands all others to the slow one. Both are linear in the length of the line.
"""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from gcodegen.rs274.cursor import BLANKS, LookUp
from gcodegen.rs274.scan import scan

# No pattern here is followed by anything, so no match is ever taken back: linear time on any text.
# [0-9], not \d: other alphabets' digits are no digits of this language.
_WORD: Final = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")
_COMMENT: Final = re.compile(r"\([^()]*\)")


class Tokens(NamedTuple):
    """The items of one line.

    ``leads`` is true when no comment stands before the first word, ``deleted`` when a slash begins the line.
    ``pairs`` are letters with the digits as written, without blanks. ``computes`` is true when a
    formula or a parameter stands on the line; ``settings`` are numbers and new values of parameters.
    """

    deleted: bool
    leads: bool
    pairs: list[tuple[str, str]]
    comments: list[str]
    settings: tuple[tuple[int, float], ...] = ()
    computes: bool = False


def read_line(raw: str, look_up: LookUp) -> Tokens:
    """Return the items of any good line; ``look_up`` gives the value of a parameter by its number.

    Raises
    ------
    Refusal
        For any other line; it carries the column.
    """
    tokens = None if "(" not in raw and ("#" in raw or "[" in raw) else split_line(raw)
    if tokens is not None:
        return tokens
    items = tuple(scan(raw, look_up))
    leads = not items or items[0].letter != "("
    pairs = [(item.letter, item.text) for item in items if item.letter not in "(#"]
    settings = tuple((item.setting, float(item.text)) for item in items if item.setting)
    comments = [item.text for item in items if item.letter == "("]
    return Tokens(raw.lstrip(BLANKS).startswith("/"), leads, pairs, comments, settings, computes=True)


def split_line(raw: str) -> Tokens | None:
    """Return the items of a good line that computes nothing, None for any other."""
    if "(" in raw:
        return _split_around_comments(raw)
    if not raw.isascii():
        return None
    text = raw.replace(" ", "").replace("\t", "").upper()
    deleted = text.startswith("/")
    if deleted:
        text = text[1:]
    pairs: list[tuple[str, str]] = _WORD.findall(text)
    if sum([len(digits) for _, digits in pairs]) + len(pairs) != len(text):
        return None
    return Tokens(deleted, True, pairs, [])


def _split_around_comments(raw: str) -> Tokens | None:
    first, *rest = _COMMENT.split(raw)
    if "(" in first:
        return None
    lead = split_line(first)
    if lead is None:
        return None
    pairs = lead.pairs
    leads = bool(pairs)
    for part in rest:
        more = split_line(part)
        if more is None or more.deleted:
            return None
        pairs.extend(more.pairs)
    return Tokens(lead.deleted, leads, pairs, [comment[1:-1] for comment in _COMMENT.findall(raw)])
