"""Values of a line, taken the careful way: what they are worth, where they end, and the limits of what is read."""

from __future__ import annotations

import pytest

from gcodegen.rs274.cursor import Cursor
from gcodegen.rs274.formulas import (
    MOST_NESTED,
    MOST_PARAMETERS,
    _usual_expression,
    is_formula,
    parameter_number,
    real_value,
)
from gcodegen.rs274.refusal import Refusal


def look_up(number: int) -> float:
    """Return the value of a parameter: its number and a half; none above 100."""
    if number > 100:
        raise Refusal("parameter", f"#{number} has no value", do="Set it.")
    return number + 0.5


@pytest.fixture(params=["careful", "at one go"])
def cursor_of(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> type[Cursor]:
    """Return the cursor; brackets are taken the careful way alone, or at one go where that can be."""
    if request.param == "careful":
        monkeypatch.setattr("gcodegen.rs274.formulas._usual_expression", lambda cursor: None)
    return Cursor


def refused(text: str, cursor_of: type[Cursor] = Cursor) -> Refusal:
    """Return how a value is refused."""
    with pytest.raises(Refusal) as no:
        real_value(cursor_of(text, look_up))
    return no.value


@pytest.mark.outside("worked by hand; ranks and order from NISTIR 6556, section 3.3.2.3")
@pytest.mark.parametrize(
    ("text", "value", "rest"),
    [
        ("12.5X1", 12.5, "X"), ("-.5", -0.5, ""), ("[2+3*4]Y", 14.0, "Y"), ("[10-2-3]", 5.0, ""), ("[24/4/2]", 3.0, ""),
        ("[2**3**2]", 64.0, ""), ("[2*3+4*5]Z", 26.0, "Z"), ("[1+2*3**2-4]", 15.0, ""), ("[[1+2]*[3+4]]", 21.0, ""),
        ("#3X", 3.5, "X"), ("##3.0", None, ""), ("#[1+1]", 2.5, ""), ("[#1+#2]", 4.0, ""), ("ABS[-4]+", 4.0, "+"),
        ("ATAN[1]/[1]X", 45.0, "X"), ("[1 OR 0 AND 0]", 0.0, ""), ("[5 XOR 2]", 0.0, ""), ("[7 MOD 4]", 3.0, ""),
        ("[[[[[[1]]]]]]X", 1.0, "X"), ("[ATAN[2]/[2]/5]", 9.0, ""), ("[1--3]", 4.0, ""), ("SQRT[SQRT[16]]", 2.0, ""),
    ],
)  # fmt: skip
def test_a_value_is_worth_what_it_says_and_the_cursor_stands_behind_it(
    text: str, value: float | None, rest: str, cursor_of: type[Cursor]
) -> None:
    cursor = cursor_of(text, look_up)
    if value is None:  # the number of a parameter is whole
        with pytest.raises(Refusal):
            real_value(cursor)
        return
    assert real_value(cursor) == value
    assert cursor.sign == rest


@pytest.mark.parametrize("deep", [1, 3, 4, 5, 6, MOST_NESTED - 5, MOST_NESTED - 4, MOST_NESTED - 1, MOST_NESTED])
def test_brackets_may_stand_so_deep_and_no_deeper(deep: int, cursor_of: type[Cursor]) -> None:
    assert real_value(cursor_of("[" * deep + "7" + "]" * deep, look_up)) == 7.0
    if deep == MOST_NESTED:
        no = refused("[" * (deep + 1) + "7" + "]" * (deep + 1), cursor_of)
        assert (no.code, no.column, str(MOST_NESTED) in no.says) == ("bad-formula", deep + 2, True)


@pytest.mark.parametrize("each", ["[0+", "[1*[0+", "[2-1+", "[["])
def test_brackets_count_wherever_they_stand_in_a_bracket(each: str, cursor_of: type[Cursor]) -> None:
    opened = "[0+" * MOST_NESTED
    assert real_value(cursor_of(opened + "7" + "]" * MOST_NESTED, look_up)) == 7.0
    assert refused(each * (MOST_NESTED + 1) + "7", cursor_of).says.endswith("deep")


def test_a_usual_bracket_is_taken_at_one_go_and_others_are_left() -> None:
    cursor = Cursor("[1+#2]X", look_up)
    assert _usual_expression(cursor) == 3.5
    assert cursor.sign == "X"
    for text in ("[1+#200]X", "[1/0]X", "[1+", "[[[[[1]]]]]X", "[1+]X"):
        cursor = Cursor(text, look_up)
        assert _usual_expression(cursor) is None
        assert cursor.place == 0


@pytest.mark.parametrize("inner", ["[", "[1+", "ABS[", "[2*[0+"])
def test_what_is_taken_at_one_go_does_not_go_deeper_than_the_careful_way(inner: str) -> None:
    taken = []
    for around in range(MOST_NESTED - 4, MOST_NESTED + 2):
        text = "[" * around + inner + "7" + "]" * (around + inner.count("["))
        both = []
        for careful in (True, False):
            with pytest.MonkeyPatch.context() as patch:
                if careful:
                    patch.setattr("gcodegen.rs274.formulas._usual_expression", lambda cursor: None)
                try:
                    both.append(real_value(Cursor(text, look_up)))
                except Refusal as no:
                    both.append(float(-no.column))
        assert both[0] == both[1]
        taken.append(both[0] > 0)
    assert sorted(taken, reverse=True) == taken
    assert True in taken
    assert False in taken


def test_parameters_of_parameters_stand_so_deep_and_no_deeper() -> None:
    def same(number: int) -> float:
        return float(number)

    assert real_value(Cursor("#" * MOST_NESTED + "7", same)) == 7.0
    assert parameter_number(Cursor("#" * MOST_NESTED + "7", same)) == 7
    with pytest.raises(Refusal, match="deep"):
        real_value(Cursor("#" * (MOST_NESTED + 1) + "7", same))


@pytest.mark.outside("NISTIR 6556, sections 3.2.1 and 3.3.2.1: numbers 1 to 5399, within 0.0001 of a whole number")
@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("#1", 1), ("#5399", 5399), ("#[2+3]", 5), ("#2.00009", 2), ("#1.99991", 2), ("#0.99995", 1),
        ("#0", None), ("#5400", None), ("#2.00011", None), ("#1.99988", None), ("#2.5", None), ("#-1", None),
        ("#[0-3]", None), ("#5399.5", None),
    ],
)  # fmt: skip
def test_the_number_of_a_parameter(text: str, number: int | None) -> None:
    cursor = Cursor(" " + text, look_up)
    if number is not None:
        assert parameter_number(cursor) == number
        assert cursor.sign == ""
        return
    with pytest.raises(Refusal) as no:
        parameter_number(cursor)
    assert (no.value.code, no.value.column, str(MOST_PARAMETERS - 1) in no.value.says) == ("parameter", 2, True)


@pytest.mark.parametrize(
    ("text", "code", "column"),
    [
        ("#200", "parameter", 1), ("[1+#200]", "parameter", 4), ("[1 + 2", "bad-formula", 1),
        ("[[1]", "bad-formula", 1),
        ("[1+[2]", "bad-formula", 1), ("[1 $ 2]", "bad-formula", 4), ("[1 + ]", "bad-formula", 6),
        ("[1 / 0]", "bad-formula", 4), ("[1+2*SQRT[-1]]", "bad-formula", 6), ("SIN 30", "bad-formula", 5),
        ("ATAN[1]*2", "bad-formula", 8), ("ATAN[1]/2", "bad-formula", 9), ("X", "bad-formula", 1),
        ("", "bad-formula", 1),
        ("[1-2/0-3]", "bad-formula", 5), ("[2**3/0]", "bad-formula", 6),
    ],
)  # fmt: skip
def test_a_refusal_points_at_its_place(text: str, code: str, column: int, cursor_of: type[Cursor]) -> None:
    no = refused(text, cursor_of)
    assert (no.code, no.column) == (code, column)
    assert no.do == ("Set it." if code == "parameter" else "")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[1/0]", "/ of 1 and 0 divides by zero"), ("[10**400]", "** of 10 and 400 is too large"),
        ("[9**300*9**300]", "* of 1.87393e+286 and 1.87393e+286 is too large"), ("LN[0]", "LN of 0 does not exist"),
        ("[-8**.5]", "** of -8 and 0.5 does not exist"), ("[7 MOD 0]", "MOD of 7 and 0 divides by zero"),
        ("EXP[800]", "EXP of 800 is too large"),
        ("x", "a number, #, [ or a function was expected, X stands there"),
        ("[1\x07]", "an operator or a ] was expected, a sign of no use stands there"),
        ("[1é]", "an operator or a ] was expected, a sign of no use stands there"),
        ("SIN", "a [ was expected after SIN, the line ends"),
        ("[1", "a [ is opened and not closed"),
    ],
)  # fmt: skip
def test_a_refusal_says_what_is_wrong(text: str, says: str, cursor_of: type[Cursor]) -> None:
    assert refused(text, cursor_of).says == says


@pytest.mark.parametrize(
    ("text", "yes"),
    [
        ("[1]", True), ("#1", True), ("+1", True), ("-[1]", True), ("SIN[1]", True), ("SQRT", True), ("atan[1]", True),
        ("1", False), (".5", False), ("X1", False), ("", False), ("S500", False),
        ("A SIN[1]", True), ("B SIN[1]", False),
    ],
)  # fmt: skip
def test_what_computes_is_seen_by_how_it_begins(text: str, yes: bool) -> None:
    assert is_formula(Cursor(text, look_up)) is yes
