"""What can be reckoned: operators with their ranks, and functions (NISTIR 6556, sections 3.3.2.3 and 3.3.2.4).

Angles are in degrees. What does not exist raises ArithmeticError or ValueError.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Callable
from typing import Final, TypeAlias

Binary: TypeAlias = Callable[[float, float], float]


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
    "*": operator.mul,
    "/": operator.truediv,
    "MOD": _modulo,
    "+": operator.add,
    "-": operator.sub,
    "OR": lambda left, right: float(left != 0 or right != 0),
    "XOR": lambda left, right: float((left != 0) != (right != 0)),
    "AND": lambda left, right: float(left != 0 and right != 0),
}
# Section 3.3.2.3. "**" stands before "*", because the first that fits is taken.
RANKS: Final = {"**": 3, "*": 2, "/": 2, "MOD": 2, "+": 1, "-": 1, "OR": 1, "XOR": 1, "AND": 1, "]": 0}
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
