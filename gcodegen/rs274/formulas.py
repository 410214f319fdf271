"""Values that a line computes: parameters, expressions and functions (NISTIR 6556, sections 3.3.2 and 3.3.3).

Operators of one rank go from left to right, powers too; a sign belongs to a number only. This is the careful way,
which says what is wrong and where.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Final

from gcodegen.rs274.cursor import Cursor
from gcodegen.rs274.operators import FUNCTIONS, OPERATORS, RANKS
from gcodegen.rs274.prepared import DEEPEST, NO_VALUE, USUAL_BRACKET, worth
from gcodegen.rs274.refusal import Refusal

MOST_NESTED: Final = 50  # a limit of this reader: brackets and # inside one another
MOST_PARAMETERS: Final = 5400  # section 3.2.1: numbers 1 to 5399
_WHOLE_WITHIN: Final = 0.0001  # section 3.3.2.1
_BY_FIRST_SIGN: Final = {sign[0]: tuple(other for other in RANKS if other[0] == sign[0]) for sign in RANKS}
_NAME: Final = re.compile("|".join(FUNCTIONS))


def real_value(cursor: Cursor, depth: int = 0) -> float:
    """Take a number, a bracket, a parameter or a function at the cursor and return its value.

    Raises
    ------
    Refusal
        For what is none of these, and for a value that does not exist; it carries the column.
    """
    if depth > MOST_NESTED:
        says = f"brackets stand more than {MOST_NESTED} deep"
        raise Refusal("bad-formula", says, column=cursor.column)
    sign = cursor.sign
    if sign == "[":
        value = _usual_expression(cursor) if depth < MOST_NESTED - DEEPEST else None
        return _expression(cursor, depth) if value is None else value
    if sign == "#":
        return _parameter(cursor, depth)
    if digits := cursor.digits():
        return float(digits)
    place = cursor.place
    name = _function_at(cursor)
    if name:
        cursor.take(name)
        return _function(cursor, name, place, depth)
    raise Refusal("bad-formula", f"a number, #, [ or a function was expected, {_found(cursor)}", column=cursor.column)


def is_formula(cursor: Cursor) -> bool:
    """Return whether something that computes comes next, or a sign before it."""
    return cursor.sign in ("[", "#", "+", "-") or bool(_function_at(cursor))


def parameter_number(cursor: Cursor, depth: int = 0) -> int:
    """Take a # with its number (itself a value) and return the number, 1 to 5399."""
    place = cursor.place
    cursor.place += 1
    value = real_value(cursor, depth + 1)
    number = round(value)
    if abs(value - number) > _WHOLE_WITHIN or not 0 < number < MOST_PARAMETERS:
        says = f"#{value:g} is no parameter; they are numbered 1 to {MOST_PARAMETERS - 1}"
        raise Refusal("parameter", says, column=cursor.columns[place])
    return number


def _parameter(cursor: Cursor, depth: int) -> float:
    place = cursor.place
    number = parameter_number(cursor, depth)
    try:
        return cursor.look_up(number)
    except Refusal as no:
        raise Refusal(no.code, no.says, column=cursor.columns[place], do=no.do) from None


def _expression(cursor: Cursor, depth: int) -> float:
    """Take a bracket; operators wait on a stack until one of the same or a lower rank follows."""
    begin = cursor.place
    cursor.place += 1
    values = [real_value(cursor, depth + 1)]
    waiting: list[tuple[str, int]] = []
    while True:
        place = cursor.place
        sign = _operator(cursor, begin)
        while waiting and RANKS[waiting[-1][0]] >= RANKS[sign]:
            operator, its_place = waiting.pop()
            right, left = values.pop(), values.pop()
            values.append(_computed(cursor, its_place, operator, OPERATORS[operator], left, right))
        if sign == "]":
            return values[0]
        waiting.append((sign, place))
        values.append(real_value(cursor, depth + 1))


def _usual_expression(cursor: Cursor) -> float | None:
    """Take a bracket at one go; leave one that is long or odd, and what could be refused, and return None."""
    found = USUAL_BRACKET.match(cursor.signs, cursor.place)
    if found is None:
        return None
    try:
        value = worth(found[0], cursor.look_up)
    except NO_VALUE:
        return None
    cursor.place = found.end()
    return value


def _operator(cursor: Cursor, begin: int) -> str:
    for sign in _BY_FIRST_SIGN.get(cursor.sign, ()):
        if cursor.take(sign):
            return sign
    if not cursor.sign:
        raise Refusal("bad-formula", "a [ is opened and not closed", column=cursor.columns[begin])
    raise Refusal("bad-formula", f"an operator or a ] was expected, {_found(cursor)}", column=cursor.column)


def _function_at(cursor: Cursor) -> str:
    found = _NAME.match(cursor.signs, cursor.place)
    return found[0] if found else ""


def _function(cursor: Cursor, name: str, place: int, depth: int) -> float:
    values = [_argument(cursor, name, depth)]
    if name == "ATAN":
        if not cursor.take("/"):
            raise Refusal("bad-formula", "a / and a second [ were expected after ATAN[ ]", column=cursor.column)
        values.append(_argument(cursor, "ATAN[ ]/", depth))
    return _computed(cursor, place, name, FUNCTIONS[name], *values)


def _argument(cursor: Cursor, name: str, depth: int) -> float:
    if cursor.sign != "[":
        raise Refusal("bad-formula", f"a [ was expected after {name}, {_found(cursor)}", column=cursor.column)
    return real_value(cursor, depth)


def _computed(cursor: Cursor, place: int, name: str, work: Callable[..., float], *values: float) -> float:
    """Return the result; refuse one that does not exist or is too large to be a number."""
    try:
        result = work(*values)
    except ZeroDivisionError:
        wrong = "divides by zero"
    except OverflowError:
        wrong = "is too large"
    except ValueError:
        wrong = "does not exist"
    else:
        if math.isfinite(result):
            return result
        wrong = "is too large"
    shown = " and ".join(f"{value:g}" for value in values)
    raise Refusal("bad-formula", f"{name} of {shown} {wrong}", column=cursor.columns[place])


def _found(cursor: Cursor) -> str:
    sign = cursor.sign
    if not sign or sign == "\n":
        return "the line ends"
    return f"{sign} stands there" if sign.isascii() and sign.isprintable() else "a sign of no use stands there"
