"""Read one line sign by sign: every word, comment and setting with its column, and what is wrong with it.

This is the slow reader of the rules of NISTIR 6556, section 3.3. It takes the lines that compute, finds the
columns of faults, and says what was expected where a line goes wrong. It is linear in the length of the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final, NamedTuple

from gcodegen.rs274.cursor import COMMENT, LETTERS, Cursor, LookUp
from gcodegen.rs274.formulas import is_formula, parameter_number, real_value
from gcodegen.rs274.refusal import Refusal

# Words of loops, branches and subprograms, which the report lacks.
_BRANCHES: Final = frozenset({"IF", "THEN", "ELSE", "ELSEIF", "ENDIF", "GOTO", "CALL", "SUB", "ENDSUB", "RETURN"})
_LOOPS: Final = frozenset({"WHILE", "ENDWHILE", "DO", "END", "REPEAT", "ENDREPEAT", "FOR", "TO", "NEXT"})
_BEGIN_FORMULA: Final = ("[", "#")
_KEYWORDS: Final = _BRANCHES | _LOOPS | {"BREAK", "CONTINUE"}


class Word(NamedTuple):
    """A word with its 1-based column; a comment has the letter "(" and its inner text.

    ``text`` is the number as written, without blanks; of a computed one its value, spelled with a point.
    ``setting`` is the number of the parameter that a "#" sets, else 0.
    """

    letter: str
    text: str
    column: int
    setting: int = 0


def scan(raw: str, look_up: LookUp) -> Iterator[Word]:
    """Yield the words, comments and settings of a line with their columns.

    Parameters
    ----------
    raw : str
        The line, without its line end.
    look_up : callable
        Gives the value of a parameter by its number.

    Raises
    ------
    Refusal
        At the first thing that is no item of a line; it carries the column.
    """
    cursor = Cursor(raw, look_up)
    comments = iter(cursor.comments)
    cursor.take("/")
    while sign := cursor.sign:
        column = cursor.column
        if sign == COMMENT:
            yield _comment(cursor, next(comments), column)
        elif sign in LETTERS:
            cursor.place += 1
            yield Word(sign, _value(cursor, sign, column), column)
        elif sign == "#":
            yield _setting(cursor, column)
        else:
            raise _stray(cursor)


def column_of(raw: str, word: str, look_up: LookUp, *, second: bool = False) -> int:
    """Return the 1-based column of a word named as "X" or "G41" (by value), 1 when it is not there."""
    letter, number = word[:1], word[1:]
    try:
        for found in scan(raw, look_up):
            if found.letter == letter and (not number or abs(float(found.text) - float(number)) < 1e-4):
                if not second:
                    return found.column
                second = False
    except Refusal:
        return 1
    return 1


def _comment(cursor: Cursor, text: str, column: int) -> Word:
    cursor.place += 1
    if cursor.sign == "\n":
        raise Refusal("bad-comment", "a comment is opened and not closed on its line", column=column)
    again = text.find("(")
    if again >= 0:
        raise Refusal("bad-comment", "a second ( stands inside a comment", column=column + again + 1)
    return Word(COMMENT, text, column)


def _value(cursor: Cursor, letter: str, column: int) -> str:
    """Return the number after a letter as written, or the value of a formula spelled with a point."""
    if digits := cursor.digits():
        if cursor.sign == ".":
            raise Refusal("bad-number", f"the number after {letter} has two points", column=cursor.column)
        return digits
    if cursor.sign in _BEGIN_FORMULA or cursor.sign in LETTERS or _signed_formula(cursor):
        if is_formula(cursor):
            if letter == "N":
                raise Refusal("bad-number", "a line number is one to five digits, no formula", column=column)
            return _spelled(real_value(cursor))
        _refuse_keyword(cursor, column)
    says = f"the letter {letter} has no number; digits, a # or a [ were expected"
    raise Refusal("bad-number", says, column=column)


def _signed_formula(cursor: Cursor) -> bool:
    """Return whether a sign stands before a formula, which the language does not allow (appendix E.2)."""
    return cursor.sign in ("+", "-") and cursor.signs[cursor.place + 1 : cursor.place + 2] in _BEGIN_FORMULA


def _spelled(value: float) -> str:
    text = repr(value)
    return text if "." in text else text.replace("e", ".e")


def _setting(cursor: Cursor, column: int) -> Word:
    """Take "#number=value" (section 3.3.3)."""
    number = parameter_number(cursor)
    if not cursor.take("="):
        raise Refusal("bad-formula", f"a = was expected after #{number}", column=cursor.column)
    return Word("#", _spelled(real_value(cursor)), column, number)


def _refuse_keyword(cursor: Cursor, column: int) -> None:
    begin = end = cursor.place - 1
    while cursor.signs[end : end + 1] in LETTERS:
        end += 1
    name = cursor.signs[begin:end]
    if name in _KEYWORDS:
        says = f"{name} is a word of loops, branches or subprograms, which the published language has not"
        raise Refusal("subprogram", says, column=column)


def _stray(cursor: Cursor) -> Refusal:
    sign, column = cursor.sign, cursor.column
    if sign in ("[", "]", "=", "*"):
        says = f"{sign} stands outside a formula; a word, a comment or a setting was expected"
        return Refusal("bad-formula", says, column=column)
    if sign == "/":
        says = "a slash stands elsewhere than at the beginning of the line"
        return Refusal("bad-character", says, column=column)
    if sign == ")":
        return Refusal("bad-comment", "a ) closes no comment", column=column)
    shown = sign if sign.isascii() and sign.isprintable() else f"character number {ord(sign)}"
    return Refusal("bad-character", f"{shown} is no part of a word", column=column)
