"""From the characters of one line to its words, with columns where a fault needs them.

Two readers of the same rules (NISTIR 6556, section 3.3): ``split_line`` is quick and only knows good lines;
``scan`` goes character by character, finds the place of each word and says what is wrong. Both are linear in
the length of the line.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, NamedTuple

from gcodegen.rs274.refusal import Refusal

BLANKS: Final = " \t"
# No pattern here is followed by anything, so no match is ever taken back: linear time on any text.
# [0-9], not \d: other alphabets' digits are no digits of this language.
_WORD: Final = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")
_COMMENT: Final = re.compile(r"\([^()]*\)")
_LETTERS: Final = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz")
_DIGITS: Final = frozenset("0123456789")
_PARAMETER_SIGNS: Final = frozenset("#[]=*")


class Tokens(NamedTuple):
    """The items of one line.

    ``leads`` is true when no comment stands before the first word, ``deleted`` when a slash begins the line.
    ``pairs`` are letters with the digits as written, without blanks.
    """

    deleted: bool
    leads: bool
    pairs: list[tuple[str, str]]
    comments: list[str]


class Word(NamedTuple):
    """A word with its 1-based column; a comment has the letter "(" and its inner text."""

    letter: str
    text: str
    column: int


def split_line(raw: str) -> Tokens | None:
    """Return the items of a good line, None for a line that ``scan`` would refuse."""
    if "(" in raw or ")" in raw:
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
    if "(" in first or ")" in first:
        return None
    lead = split_line(first)
    if lead is None:
        return None
    pairs = lead.pairs
    leads = bool(pairs)
    for part in rest:
        if "(" in part or ")" in part:
            return None
        more = split_line(part)
        if more is None or more.deleted:
            return None
        pairs.extend(more.pairs)
    return Tokens(lead.deleted, leads, pairs, [comment[1:-1] for comment in _COMMENT.findall(raw)])


def scan(raw: str) -> Iterator[Word]:
    """Yield the words and comments of a line with their columns.

    Raises
    ------
    Refusal
        At the first thing that is neither word, comment, blank nor a leading slash; it carries the column.
    """
    place = _after_blanks(raw, 0)
    if raw[place : place + 1] == "/":
        place += 1
    while (place := _after_blanks(raw, place)) < len(raw):
        if raw[place] == "(":
            text = _comment_at(raw, place)
            yield Word("(", text, place + 1)
            place += len(text) + 2
        elif raw[place] in _LETTERS:
            digits, after = _number_at(raw, place)
            yield Word(raw[place].upper(), digits, place + 1)
            place = after
        else:
            raise _stray(raw, place)


def column_of(raw: str, word: str) -> int:
    """Return the 1-based column of a word named as "X" or "G41" (by value), 1 when it is not there."""
    letter, number = word[:1], word[1:]
    try:
        for found in scan(raw):
            if found.letter == letter and (not number or abs(float(found.text) - float(number)) < 1e-4):
                return found.column
    except Refusal:
        return 1
    return 1


def _after_blanks(raw: str, place: int) -> int:
    while place < len(raw) and raw[place] in BLANKS:
        place += 1
    return place


def _comment_at(raw: str, place: int) -> str:
    close = raw.find(")", place)
    if close < 0:
        raise Refusal("bad-comment", "a comment is opened and not closed on its line", column=place + 1)
    again = raw.find("(", place + 1, close)
    if again >= 0:
        raise Refusal("bad-comment", "a second ( stands inside a comment", column=again + 1)
    return raw[place + 1 : close]


def _number_at(raw: str, start: int) -> tuple[str, int]:
    """Return the digits after the letter at ``start``, without blanks, and the place after them."""
    digits: list[str] = []
    place = _after_blanks(raw, start + 1)
    while place < len(raw):
        sign = raw[place]
        fits = sign in _DIGITS or (sign == "." and "." not in digits) or (sign in "+-" and not digits)
        if not fits:
            break
        digits.append(sign)
        place = _after_blanks(raw, place + 1)
    if not _DIGITS.intersection(digits):
        if place < len(raw) and (raw[place] in _PARAMETER_SIGNS or "[" in raw[place:]):
            raise _stray(raw, raw.find("[", place) if raw[place] not in _PARAMETER_SIGNS else place)
        raise Refusal("bad-number", f"the letter {raw[start]} has no number", column=start + 1)
    if place < len(raw) and raw[place] == ".":
        raise Refusal("bad-number", f"the number after {raw[start]} has two points", column=place + 1)
    return "".join(digits), place


def _stray(raw: str, place: int) -> Refusal:
    sign = raw[place]
    if sign in _PARAMETER_SIGNS:
        says = f"{sign} belongs to parameters and expressions, which are not followed here"
        return Refusal("parameter", says, column=place + 1)
    if sign == "/":
        says = "a slash stands elsewhere than at the beginning of the line"
        return Refusal("bad-character", says, column=place + 1)
    if sign == ")":
        return Refusal("bad-comment", "a ) closes no comment", column=place + 1)
    shown = sign if sign.isascii() and sign.isprintable() else f"character number {ord(sign)}"
    return Refusal("bad-character", f"{shown} is no part of a word", column=place + 1)
