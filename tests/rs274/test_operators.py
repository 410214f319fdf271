"""Each operator and function at hand-made values, with the limits of what exists."""

from __future__ import annotations

import math

import pytest

from gcodegen.rs274.operators import FUNCTIONS, OPERATORS, RANKS

NO_VALUE = (ArithmeticError, ValueError)


@pytest.mark.outside("NISTIR 6556, section 3.3.2.3: zero is false, all else true")
@pytest.mark.parametrize("left", [0.0, 1.0, -2.5, 0.001])
@pytest.mark.parametrize("right", [0.0, 1.0, -2.5, 0.001])
def test_logical_operators_take_zero_for_false(left: float, right: float) -> None:
    first, second = bool(left), bool(right)
    assert OPERATORS["OR"](left, right) == (1.0 if first or second else 0.0)
    assert OPERATORS["AND"](left, right) == (1.0 if first and second else 0.0)
    assert OPERATORS["XOR"](left, right) == (1.0 if first is not second else 0.0)


@pytest.mark.outside("definition of the operators; worked by hand; NISTIR 6556, section 3.3.2.3")
@pytest.mark.parametrize(
    ("sign", "left", "right", "value"),
    [
        ("+", 7, 2, 9), ("-", 7, 2, 5), ("*", 7, 2, 14), ("/", 7, 2, 3.5), ("**", 7, 2, 49), ("**", 2, -2, 0.25),
        ("**", -3, 3, -27), ("**", 0, 0, 1), ("MOD", 17, 5, 2), ("MOD", 17.5, 5, 2.5), ("MOD", 4, 5, 4),
        ("MOD", 0, 5, 0), ("MOD", 0.5, 0.75, 0.5),
    ],
)  # fmt: skip
def test_operators_are_worth_what_they_say(sign: str, left: float, right: float, value: float) -> None:
    assert OPERATORS[sign](left, right) == value


@pytest.mark.outside("NISTIR 6556, section 3.3.2.3: the ranks: power; then product, quotient, MOD; then all others")
def test_ranks_of_the_operators() -> None:
    ranked = [{"]"}, {"+", "-", "OR", "XOR", "AND"}, {"*", "/", "MOD"}, {"**"}]
    assert [{sign for sign, rank in RANKS.items() if rank == step} for step in range(4)] == ranked
    assert set(RANKS) == {*OPERATORS, "]"}
    assert list(RANKS).index("**") < list(RANKS).index("*")


@pytest.mark.parametrize(
    ("sign", "left", "right"),
    [("MOD", -7, 3), ("MOD", 7, -3), ("MOD", -0.5, 3), ("MOD", 7, -0.5), ("MOD", 7, 0), ("/", 1, 0), ("**", -8, 0.5)],
)
def test_what_no_operator_gives_is_an_error(sign: str, left: float, right: float) -> None:
    with pytest.raises(NO_VALUE):
        OPERATORS[sign](left, right)


@pytest.mark.parametrize("sign", ["/", "MOD"])
def test_division_by_zero_is_told_as_such(sign: str) -> None:
    with pytest.raises(ZeroDivisionError):
        OPERATORS[sign](7.0, 0.0)


@pytest.mark.outside("definition of the functions; angles in degrees, FIX down, FUP up: NISTIR 6556, section 3.3.2.4")
@pytest.mark.parametrize(
    ("name", "given", "value"),
    [
        ("ABS", -2.5, 2.5), ("ABS", 2.5, 2.5), ("ACOS", 0.5, 60), ("ACOS", -1, 180), ("ASIN", 0.5, 30),
        ("ASIN", -1, -90), ("COS", 60, 0.5), ("COS", 180, -1), ("SIN", 30, 0.5), ("SIN", 270, -1), ("TAN", 45, 1),
        ("TAN", 135, -1), ("TAN", 0, 0), ("TAN", 180, 0), ("TAN", 1, 0.017455064928), ("EXP", 0, 1), ("EXP", 1, math.e),
        ("LN", 1, 0), ("LN", math.e, 1), ("SQRT", 16, 4), ("SQRT", 0, 0), ("FIX", 2.8, 2), ("FIX", -2.8, -3),
        ("FIX", 3, 3), ("FUP", 2.2, 3), ("FUP", -2.8, -2), ("FUP", 3, 3),
    ],
)  # fmt: skip
def test_functions_are_worth_what_they_say(name: str, given: float, value: float) -> None:
    assert FUNCTIONS[name](float(given)) == pytest.approx(value, abs=1e-12)


@pytest.mark.outside("definition of the nearest integer; halves away from zero from memory of NISTIR 6556")
@pytest.mark.parametrize(
    ("given", "value"),
    [
        (0.0, 0),
        (0.4, 0),
        (0.5, 1),
        (0.6, 1),
        (1.5, 2),
        (2.5, 3),
        (2.49, 2),
        (-0.4, 0),
        (-0.5, -1),
        (-2.5, -3),
        (-2.4, -2),
    ],
)
def test_rounding_takes_halves_away_from_zero(given: float, value: float) -> None:
    assert FUNCTIONS["ROUND"](given) == value


@pytest.mark.outside("definition: the angle of a point about the origin, by its quadrant; NISTIR 6556, section 3.3.2.4")
@pytest.mark.parametrize(
    ("up", "along", "angle"),
    [
        (0, 1, 0), (1, 1, 45), (1, 0, 90), (1, -1, 135), (0, -1, 180), (-1, -1, -135), (-1, 0, -90), (-1, 1, -45),
        (0.5, 0, 90), (0, 0.5, 0),
    ],
)  # fmt: skip
def test_the_angle_of_a_point(up: float, along: float, angle: float) -> None:
    assert FUNCTIONS["ATAN"](up, along) == pytest.approx(angle)


@pytest.mark.outside("definition: the tangent of an odd number of right angles does not exist")
@pytest.mark.parametrize("turns", [-3, -1, 1, 3, 5, 101])
def test_a_tangent_that_does_not_exist_is_an_error(turns: int) -> None:
    with pytest.raises(NO_VALUE):
        FUNCTIONS["TAN"](90.0 * turns)
    assert abs(FUNCTIONS["TAN"](90.0 * turns + 0.001)) > 1000


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("ATAN", (0, 0)),
        ("SQRT", (-1,)),
        ("LN", (0,)),
        ("LN", (-1,)),
        ("ASIN", (1.01,)),
        ("ACOS", (-1.01,)),
        ("EXP", (1e9,)),
    ],
)
def test_what_no_function_gives_is_an_error(name: str, given: tuple[float, ...]) -> None:
    with pytest.raises(NO_VALUE):
        FUNCTIONS[name](*given)
