"""A line read sign by sign: its words with their columns, and at which sign what is wrong."""

from __future__ import annotations

import pytest

from gcodegen.rs274.refusal import Refusal
from gcodegen.rs274.scan import Word, column_of, scan


def look_up(number: int) -> float:
    """Know parameters 1 to 3."""
    values = {1: 5.0, 2: 1e22, 3: 1e-9}
    if number not in values:
        raise Refusal("parameter", f"#{number} has no value here")
    return values[number]


def found(raw: str) -> list[tuple[object, ...]]:
    """Return the words of a line."""
    return [tuple(word) for word in scan(raw, look_up)]


def refused(raw: str) -> tuple[str, int, str]:
    """Return the code, the column and the words of what is wrong."""
    with pytest.raises(Refusal) as no:
        list(scan(raw, look_up))
    return no.value.code, no.value.column, no.value.says


@pytest.mark.outside("NISTIR 6556, sections 3.3 and 3.3.3: words, settings and comments of a line")
def test_the_items_of_a_line_with_their_columns() -> None:
    assert found("/ N1 g 0 (a) x-1 . 5#2=7(b)") == [
        ("N", "1", 3, 0), ("G", "0", 6, 0), ("(", "a", 10, 0), ("X", "-1.5", 14, 0), ("#", "7.0", 21, 2),
        ("(", "b", 25, 0),
    ]  # fmt: skip
    assert found("") == found(" \t") == found("/") == []
    assert Word("X", "1", 1).setting == 0


@pytest.mark.outside("NISTIR 6556, section 3.3.2: a number, a bracket, a parameter or a function")
def test_computed_values_are_spelled_with_a_point() -> None:
    assert found("X[1+1] Y#1 ZSQRT[16] A-3") == [
        ("X", "2.0", 1, 0), ("Y", "5.0", 8, 0), ("Z", "4.0", 12, 0), ("A", "-3", 22, 0),
    ]  # fmt: skip
    for raw, value in (("X#2", 1e22), ("X#3", 1e-9), ("X[1/3]", 1 / 3)):
        [(_, text, *_)] = found(raw)
        assert "." in str(text)
        assert float(str(text)) == value
    assert found("#[1+2]=[4*#1]") == [("#", "20.0", 1, 3)]


@pytest.mark.outside("NISTIR 6556, section 3.3 and appendix E.2: what is not allowed is an error")
@pytest.mark.parametrize(
    ("raw", "code", "column", "says"),
    [
        ("G0 (a", "bad-comment", 4, "not closed"),
        ("G0 (a (b)", "bad-comment", 7, "second ("),
        ("((a)", "bad-comment", 2, "second ("),
        ("G0 )", "bad-comment", 4, "closes no comment"),
        ("X1.2 .3", "bad-number", 6, "two points"),
        ("X1..", "bad-number", 4, "two points"),
        ("G0 X", "bad-number", 4, "has no number"),
        ("G0 X Y1.", "bad-number", 4, "has no number"),
        ("G0 X-", "bad-number", 4, "has no number"),
        ("G0 X+-1", "bad-number", 4, "has no number"),
        ("G0 X(a)1.", "bad-number", 4, "has no number"),
        ("G0 X.", "bad-number", 4, "has no number"),
        ("G0 X\u00e9", "bad-number", 4, "has no number"),
        ("N[1]", "bad-number", 1, "no formula"),
        ("NSIN[1]", "bad-number", 1, "no formula"),
        ("N-[1]", "bad-number", 1, "no formula"),
        ("G0 X-[2]", "bad-formula", 5, "was expected"),
        ("G0 X+#1", "bad-formula", 5, "was expected"),
        ("#1", "bad-formula", 3, "a = was expected after #1"),
        ("#1 5", "bad-formula", 5, "a = was expected after #15"),
        ("X1 =2", "bad-formula", 4, "= stands outside"),
        ("X1 [2]", "bad-formula", 4, "[ stands outside"),
        ("X1 ]", "bad-formula", 4, "] stands outside"),
        ("X1 *2", "bad-formula", 4, "* stands outside"),
        ("X1 /", "bad-character", 4, "slash"),
        ("//X1", "bad-character", 2, "slash"),
        ("X1 $", "bad-character", 4, "$ is no part"),
        ("X1 \x07", "bad-character", 4, "number 7 is"),
        ("X1 \u00e9", "bad-character", 4, "number 233 is"),
        ("X1+2", "bad-character", 3, "+ is no part"),
        ("1X", "bad-character", 1, "1 is no part"),
    ],
)
def test_what_is_wrong_is_told_at_its_sign(raw: str, code: str, column: int, says: str) -> None:
    assert refused(raw)[:2] == (code, column)
    assert says in refused(raw)[2]


@pytest.mark.outside(
    "NISTIR 6556, Tables 3, 5 and 7: no loops, branches and subprograms; common practice, no source: words"
)
@pytest.mark.parametrize(
    "name", ["IF", "THEN", "ELSE", "GOTO", "CALL", "WHILE", "DO", "END", "FOR", "BREAK", "CONTINUE"]
)
def test_words_of_loops_and_branches_are_told_by_name(name: str) -> None:
    for raw in (f"G0 {name} 5", f"G0 {name.lower()}"):
        code, column, says = refused(raw)
        assert (code, column) == ("subprogram", 4)
        assert says.startswith(f"{name} is a word of")
    assert refused(f"G0 {name}X 5")[0] == "bad-number"


WORDS = "G0 X1. (X2) g91.1 #1=2 X[1+2] M03"


@pytest.mark.parametrize(
    ("word", "column"),
    [("X", 4), ("G0", 1), ("G91.1", 13), ("G91", 1), ("X3", 24), ("M3", 31), ("M", 31), ("Y", 1), ("(", 8), ("G", 1)],
)
def test_the_column_of_a_word(word: str, column: int) -> None:
    assert column_of(WORDS, word, look_up) == column


def test_the_column_of_the_second_such_word() -> None:
    assert column_of(WORDS, "X", look_up, second=True) == 24
    assert column_of(WORDS, "G", look_up, second=True) == 13
    assert column_of(WORDS, "M", look_up, second=True) == 1
    assert column_of("G0 X1. X2. X3.", "X", look_up, second=True) == 8


@pytest.mark.outside("NISTIR 6556, section 3.3.2.1: within 0.0001 of a code it is that code")
def test_a_word_is_found_by_its_value() -> None:
    assert column_of("M5 G1.00009", "G1", look_up) == 4
    assert column_of("M5 G1.00011 G1", "G1", look_up) == 13
    assert column_of("M5 G0.9 G01", "G1", look_up) == 9


def test_a_word_of_a_line_that_goes_wrong_before_it_is_not_found() -> None:
    assert column_of("M5 $ X1.", "X", look_up) == 1
    assert column_of("M5 X1. $", "X", look_up) == 4
