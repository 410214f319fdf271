"""Formulas made ready to be worked out again and again: a long program has few, and has them on many lines.

Usual ones only: of numbers, of parameters that are named by their number, and not deep. Any other is left to the
careful way, and so is whatever has no value.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from math import isfinite
from typing import Final, NoReturn, TypeAlias

from gcodegen.rs274.cursor import LookUp
from gcodegen.rs274.operators import FUNCTIONS, OPERATORS, RANKS
from gcodegen.rs274.refusal import Refusal

Formula: TypeAlias = Callable[[LookUp], float]
NO_VALUE: Final = (ArithmeticError, LookupError, ValueError, Refusal)
DEEPEST: Final = 4  # brackets inside one another
_LONGEST: Final = 100  # characters; each is less than one call inside another
_KEPT: Final = 2000  # formulas, of about a thousand bytes each at most


def _bracket_pattern() -> str:
    """Return a pattern of balanced brackets; what is matched is never taken back, so time is linear."""
    pattern = r"\[[^][()=]*+\]"
    for _ in range(DEEPEST - 1):
        pattern = rf"\[(?:[^][()=]++|{pattern})*+\]"
    return pattern


BRACKET: Final = _bracket_pattern()
USUAL_BRACKET: Final = re.compile(BRACKET)
_VALUE: Final = re.compile(
    r"([+-]?(?:[0-9]++\.?+[0-9]*+|\.[0-9]++))|#([0-9]{1,4}+)|(?:(" + "|".join(FUNCTIONS) + r"))?\["
)
_OPERATOR: Final = re.compile("|".join(map(re.escape, RANKS)))


class UnusualError(ValueError):
    """The text is no formula, or none that is made ready here."""


def worth(text: str, look_up: LookUp) -> float:
    """Return the value of a bracket or a parameter, by the values of the parameters.

    Raises
    ------
    Any of NO_VALUE
        Where it has none, or where that is left to the careful way.
    """
    formula = _prepared(text) if len(text) <= _LONGEST else None
    if formula is None:
        raise UnusualError
    return formula(look_up)


@lru_cache(_KEPT)
def _prepared(text: str) -> Formula | None:
    signs = text.replace(" ", "").replace("\t", "")
    try:
        formula, end = _value(signs, 0)
    except UnusualError:
        return None
    return formula if end == len(signs) else None


def _value(signs: str, place: int) -> tuple[Formula, int]:
    """Return what works out the value at a place, and where the text goes on."""
    found = _VALUE.match(signs, place) or _unusual()
    digits, number, name = found.groups()
    if digits:
        return _constant(float(digits)), found.end()
    if number:
        return _parameter(int(number)), found.end()
    inner, place = _expression(signs, found.end())
    if not name:
        return inner, place
    if name != "ATAN":
        return _one(FUNCTIONS[name], inner), place
    if not signs.startswith("/[", place):
        _unusual()
    along, place = _expression(signs, place + 2)
    return _two(FUNCTIONS[name], inner, along), place


def _expression(signs: str, place: int) -> tuple[Formula, int]:
    """Go on after a [; operators wait on a stack until one of the same or a lower rank follows."""
    value, place = _value(signs, place)
    values = [value]
    waiting: list[str] = []
    while True:
        found = _OPERATOR.match(signs, place) or _unusual()
        sign, place = found[0], found.end()
        while waiting and RANKS[waiting[-1]] >= RANKS[sign]:
            right, left = values.pop(), values.pop()
            values.append(_two(OPERATORS[waiting.pop()], left, right))
        if sign == "]":
            return values[0], place
        waiting.append(sign)
        value, place = _value(signs, place)
        values.append(value)


def _unusual() -> NoReturn:
    raise UnusualError


def _constant(value: float) -> Formula:
    return lambda _: value


def _parameter(number: int) -> Formula:
    return lambda look_up: look_up(number)


def _one(work: Callable[[float], float], inner: Formula) -> Formula:
    return lambda look_up: work(inner(look_up))


def _two(work: Callable[[float, float], float], left: Formula, right: Formula) -> Formula:
    def worked_out(look_up: LookUp) -> float:
        value = work(left(look_up), right(look_up))
        if isfinite(value):
            return value
        raise OverflowError

    return worked_out
