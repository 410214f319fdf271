"""Values that a line computes: parameters, expressions and functions (NISTIR 6556, sections 3.3.2 and 3.3.3).

Angles are in degrees. Operators of one rank go from left to right, powers too; a sign belongs to a number only.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Final, TypeAlias

from gcodegen.rs274.cursor import Cursor, LookUp
from gcodegen.rs274.refusal import Refusal

MOST_NESTED: Final = 50  # a limit of this reader: brackets and # inside one another
MOST_PARAMETERS: Final = 5400  # section 3.2.1: numbers 1 to 5399
_WHOLE_WITHIN: Final = 0.0001  # section 3.3.2.1

Binary: TypeAlias = Callable[[float, float], float]


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
        value = _short_expression(cursor) if depth < MOST_NESTED - 1 else None
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
    if cursor.look_up is None:
        raise Refusal("parameter", f"#{number} has no value here", column=cursor.columns[place])
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


def _short_expression(cursor: Cursor) -> float | None:
    """Take a bracket like [#1+2.5] at one go; leave any other, and what could be refused, and return None."""
    found = _BRACKET.match(cursor.signs, cursor.place)
    if found is None or cursor.look_up is None:
        return None
    value = short_value(found, cursor.look_up)
    if value is not None:
        cursor.place = found.end()
    return value


def short_value(found: re.Match[str], look_up: LookUp) -> float | None:
    """Return the value of what ``SHORT`` found; None where it has none, so that the careful way says why."""
    alone, number, digits, sign, second_number, second_digits = found.group("n", "n1", "d1", "sign", "n2", "d2")
    try:
        value = float(digits) if digits else look_up(int(alone or number))
        if sign:
            value = OPERATORS[sign](value, float(second_digits) if second_digits else look_up(int(second_number)))
    except (Refusal, ArithmeticError):
        return None
    return value if math.isfinite(value) else None


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


def _modulo(left: float, right: float) -> float:
    """Return the remainder of positive numbers; of negative ones the report does not give the sign."""
    if left < 0 or right < 0:
        raise ValueError
    return left % right


def _atan(up: float, along: float) -> float:
    if up == 0 and along == 0:
        raise ValueError
    return math.degrees(math.atan2(up, along))


def _round(value: float) -> float:
    """Return the nearest integer, halves away from zero (from memory of NISTIR 6556)."""
    return math.copysign(math.floor(abs(value) + 0.5), value)


def _tan(angle: float) -> float:
    if abs(math.remainder(angle, 180.0)) == 90.0:
        raise ValueError
    return math.tan(math.radians(angle))


OPERATORS: Final[dict[str, Binary]] = {
    "**": math.pow,  # an error where ** would give a complex number
    "*": lambda left, right: left * right,
    "/": lambda left, right: left / right,
    "MOD": _modulo,
    "+": lambda left, right: left + right,
    "-": lambda left, right: left - right,
    "OR": lambda left, right: float(left != 0 or right != 0),
    "XOR": lambda left, right: float((left != 0) != (right != 0)),
    "AND": lambda left, right: float(left != 0 and right != 0),
}
# Section 3.3.2.3. "**" stands before "*", because the first that fits is taken.
RANKS: Final = {"**": 3, "*": 2, "/": 2, "MOD": 2, "+": 1, "-": 1, "OR": 1, "XOR": 1, "AND": 1, "]": 0}
_BY_FIRST_SIGN: Final = {sign[0]: tuple(other for other in RANKS if other[0] == sign[0]) for sign in RANKS}
FUNCTIONS: Final[dict[str, Callable[..., float]]] = {
    "ABS": abs,
    "ACOS": lambda value: math.degrees(math.acos(value)),
    "ASIN": lambda value: math.degrees(math.asin(value)),
    "ATAN": _atan,
    "COS": lambda angle: math.cos(math.radians(angle)),
    "EXP": math.exp,
    "FIX": lambda value: float(math.floor(value)),
    "FUP": lambda value: float(math.ceil(value)),
    "LN": math.log,
    "ROUND": _round,
    "SIN": lambda angle: math.sin(math.radians(angle)),
    "SQRT": math.sqrt,
    "TAN": _tan,
}
_NAME: Final = re.compile("|".join(FUNCTIONS))
_DIGITS: Final = r"[+-]?(?:[0-9]++\.?+[0-9]*+|\.[0-9]++)"
# A parameter, or a bracket with one value or two and an operator between them: most formulas are no longer.
SHORT: Final = (
    rf"(?:#(?P<n>[0-9]{{1,4}}+)|\[(?:#(?P<n1>[0-9]{{1,4}}+)|(?P<d1>{_DIGITS}))"
    rf"(?:(?P<sign>[-+*/])(?:#(?P<n2>[0-9]{{1,4}}+)|(?P<d2>{_DIGITS})))?\])"
)
_BRACKET: Final = re.compile(SHORT)
